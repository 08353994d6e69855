//! The contrast of the colours, measured (WCAG 2.2, 1.4.3, 1.4.6 and 1.4.11; relative luminance as
//! defined there).

use std::collections::BTreeMap;

const STYLE: &str = include_str!("../../templates/web/style.css");

type Colours = BTreeMap<String, [f64; 3]>;

/// The colours of the two schemes: the second `:root` has the dark one.
fn schemes() -> [Colours; 2] {
    let blocks: Vec<&str> = STYLE
        .split(":root {")
        .skip(1)
        .take(2)
        .map(|block| block.split('}').next().unwrap())
        .collect();
    [colours(blocks[0]), colours(blocks[1])]
}

fn colours(block: &str) -> Colours {
    // Comments stand between declarations.
    let block: String = block
        .split("/*")
        .map(|part| part.split_once("*/").map_or(part, |(_, rest)| rest))
        .collect();
    let declared = block.split(';').filter_map(|one| one.split_once(':'));
    let hex =
        declared.filter_map(|(name, value)| Some((name.trim(), value.trim().strip_prefix('#')?)));
    hex.map(|(name, hex)| {
        let part = |at: usize| f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
        (name.to_string(), [part(0), part(2), part(4)])
    })
    .collect()
}

fn luminance(colour: [f64; 3]) -> f64 {
    let linear = |part: f64| {
        if part <= 0.040_45 {
            part / 12.92
        } else {
            ((part + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * linear(colour[0]) + 0.7152 * linear(colour[1]) + 0.0722 * linear(colour[2])
}

fn contrast(one: [f64; 3], other: [f64; 3]) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// WCAG 2.2: black on white is 21 to 1, a colour on itself 1 to 1.
#[test]
fn contrast_is_that_of_the_definition() {
    assert!((contrast([0.0; 3], [1.0; 3]) - 21.0).abs() < 1e-9);
    assert!((contrast([0.3; 3], [0.3; 3]) - 1.0).abs() < 1e-9);
}

#[test]
fn words_and_controls_stand_out_in_both_schemes() {
    for colours in schemes() {
        let of = |one: &str, other: &str| contrast(colours[one], colours[other]);
        for ground in [
            "--paper",
            "--card",
            "--mind",
            "--stop-ground",
            "--good-ground",
            "--accent-ground",
        ] {
            assert!(
                of("--ink", ground) >= 7.0,
                "ink on {ground}: {:.2}",
                of("--ink", ground)
            );
            assert!(
                of("--accent", ground) >= 4.5,
                "accent on {ground}: {:.2}",
                of("--accent", ground)
            );
            assert!(
                of("--soft", ground) >= 4.5,
                "soft on {ground}: {:.2}",
                of("--soft", ground)
            );
        }
        for (frame, ground) in [
            ("--line", "--paper"),
            ("--line", "--card"),
            ("--stop", "--paper"),
            ("--stop", "--card"),
            ("--stop", "--stop-ground"),
            ("--good", "--good-ground"),
            ("--good", "--paper"),
        ] {
            let contrast = of(frame, ground);
            assert!(contrast >= 3.0, "{frame} on {ground}: {contrast:.2}");
        }
        assert!(of("--on-stop", "--stop") >= 4.5, "the sign of a stop");
        for ground in ["--paper", "--card", "--stop-ground"] {
            assert!(of("--stop", ground) >= 4.5, "what throws away, on {ground}");
        }
        assert!(
            of("--on-accent", "--accent") >= 7.0,
            "on accent: {:.2}",
            of("--on-accent", "--accent")
        );
    }
}
