//! The terminal, the page and the JSON agree on random batches, bowls and weeks: every objection,
//! and every figure with its bound. The JSON has full precision; what is shown must be it, rounded
//! to the digits that are shown.

use data_import::nutrients;
use jiff::ToSpan as _;
use jiff::civil::date;
use serde_json::Value;

use super::client::encoded;
use super::running::{Running, household};
use super::support::trayful;

/// Numbers that look random and are the same on every run (Knuth's MMIX generator).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % sides
    }

    fn pick<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.roll(all.len())]
    }
}

/// Foods with and without hazards, with and without missing values: squash, lentils, beef liver,
/// spinach, honey, salt, egg, salmon, peanut butter, an own food.
const FOODS: [&str; 10] = [
    "11485",
    "16069",
    "13325",
    "11457",
    "19296",
    "02047",
    "01123",
    "15076",
    "16098",
    "own-oat-cereal",
];
const METHODS: [&str; 4] = ["steam", "boil", "roast", "none"];

fn recipe(dice: &mut Dice, number: usize) -> String {
    let mut text = vec![format!("title = \"Random {number}\"\n")];
    for _ in 0..=dice.roll(4) {
        let (food, grams, method) = (dice.pick(&FOODS), 5 + dice.roll(600), dice.pick(&METHODS));
        text.push(format!(
            "\n[[ingredient]]\nfood = \"{food}\"\namount = \"{grams} g\"\nmethod = \"{method}\"\n"
        ));
    }
    let returned = dice.roll(200);
    text.concat() + &format!("\n[liquid]\ncollected = \"200 ml\"\nreturned = \"{returned} ml\"\n")
}

/// Text as a person reads it: without tags, entities, line breaks and fixed spaces.
fn words(text: &str) -> String {
    let mut words = String::new();
    for part in text.split('<') {
        words.push(' ');
        words += part.split_once('>').map_or(part, |(_, rest)| rest);
    }
    plain(&words)
}

fn plain(text: &str) -> String {
    let mut text = text.replace('\u{a0}', " ");
    for (entity, letter) in [
        ("&#39;", "'"),
        ("&#34;", "\""),
        ("&#60;", "<"),
        ("&#62;", ">"),
        ("&gt;", ">"),
        ("&amp;", "&"),
        ("&#38;", "&"),
    ] {
        text = text.replace(entity, letter);
    }
    let words: Vec<_> = text.split_whitespace().collect();
    words.join(" ")
}

/// The JSON of a command and its text; JSON `null` where the command is refused.
fn both(folder: &std::path::Path, arguments: &[&str]) -> (Value, String) {
    let json = trayful(&[arguments, &["--json"]].concat());
    let json = json.inside(folder).said();
    // The text has all figures only with its evidence.
    let why = ["batch", "week"].contains(&arguments[0]).then_some("--why");
    let text = trayful(&[arguments, why.as_slice()].concat());
    // So wide that each row of a table is a line.
    let text = text.inside(folder).with("COLUMNS", "100").said();
    assert_eq!(json.code, text.code, "{arguments:?}: {}", text.err);
    let json = (json.code < 2).then(|| serde_json::from_str(&json.out).unwrap());
    (json.unwrap_or_default(), text.out)
}

/// Checks that terminal and page show each objection of the JSON once, and gives their number.
#[track_caller]
fn same_objections(json: &Value, text: &str, page: &str) -> usize {
    let objections = json["objections"].as_array().unwrap();
    let seen = [words(page), plain(text)];
    let mut lines: Vec<String> = Vec::new();
    for objection in objections {
        let sentence = plain(objection["text"].as_str().unwrap());
        for shown in &seen {
            assert!(shown.contains(&sentence), "{sentence}\n\n{shown}");
        }
        let line = format!("{}{}{sentence}", objection["hazard"], objection["foods"]);
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    let lists: Vec<&str> = page.split("<ul class=\"objections\">").skip(1).collect();
    let shown: usize = lists
        .iter()
        .filter_map(|list| list.split("</ul>").next())
        .map(|list| list.matches("<li ").count())
        .sum();
    assert_eq!(shown, lines.len(), "{lines:?}\n{page}");
    lines.len()
}

/// Checks that a shown amount is a value rounded to the digits that are shown, with its bound.
#[track_caller]
fn is_figure(shown: &str, value: &Value, complete: bool, unit: &str) {
    let shown = plain(shown);
    let known = value.as_f64().filter(|value| complete || *value > 0.0);
    let Some(known) = known else {
        assert!(
            shown.starts_with("not known") || shown.starts_with("not on record"),
            "{shown}, not {value}"
        );
        return;
    };
    let (bound, rest) = match shown.strip_prefix(">= ") {
        Some(rest) => (true, rest),
        None => (false, shown.as_str()),
    };
    assert_eq!(bound, !complete, "{shown}, of {value}");
    let (number, rest) = rest.split_once(' ').unwrap();
    assert!(rest.starts_with(unit), "{shown} in {unit}");
    let digits = number.split_once('.').map_or(0, |(_, digits)| digits.len());
    // A wide interval leaves tens and hundreds.
    let zeros = number.len() - number.trim_end_matches('0').len();
    let coarse = if digits == 0 && number != "0" {
        zeros
    } else {
        0
    };
    let place = i32::try_from(coarse).unwrap() - i32::try_from(digits).unwrap();
    // A lower bound is rounded down.
    let off = if bound { 1.0 } else { 0.5 } * 10f64.powi(place) + 1e-9;
    let number: f64 = number.parse().unwrap();
    assert!((number - known).abs() <= off, "{shown} is not {known}");
}

/// The cells after a name: of a row of a table of the page, or of a line of terminal text with two
/// spaces between columns.
#[track_caller]
fn cells(shown: &str, name: &str) -> Vec<String> {
    let head = format!(">{name}</th>");
    if let Some((_, rest)) = shown.split_once(&head) {
        let row = rest.split("</tr>").next().unwrap();
        return row
            .split("<td")
            .skip(1)
            .map(|cell| words(&format!("<td{cell}")))
            .collect();
    }
    let line = shown
        .lines()
        .find(|line| line.starts_with(&format!("{name}  ")));
    assert!(line.is_some(), "no row {name}:\n{shown}");
    let line = line.unwrap_or_default();
    let cells = line[name.len()..].split("  ").map(str::trim);
    cells
        .filter(|cell| !cell.is_empty())
        .map(String::from)
        .collect()
}

#[test]
fn random_batches_are_the_same() {
    let folder = household();
    let page = Running::inside(folder.path());
    let (mut dice, mut objections, mut bounds, mut worked_out) = (Dice(7), 0, 0, 0);
    for number in 0..16 {
        let name = format!("random-{number}");
        let file = format!("recipes/{name}.toml");
        std::fs::write(folder.path().join(&file), recipe(&mut dice, number)).unwrap();
        let (json, text) = both(folder.path(), &["batch", &file]);
        let seen = page.get(&format!("/cook/recipe/{name}"));
        // A batch that cannot be calculated is refused by the page as by the command.
        let status = if json.is_null() { 422 } else { 200 };
        assert_eq!(seen.status, status, "{}", seen.body);
        if json.is_null() {
            continue;
        }
        worked_out += 1;
        objections += same_objections(&json, &text, &seen.body);
        for one in json["nutrients"].as_array().unwrap() {
            let known = nutrients().unwrap().iter();
            let nutrient = known
                .clone()
                .find(|known| known.tag == one["id"].as_str().unwrap());
            let Some(nutrient) = nutrient.filter(|nutrient| nutrient.default_order.is_some())
            else {
                continue;
            };
            let complete = one["complete"].as_bool().unwrap();
            bounds += usize::from(!complete);
            for shown in [&seen.body, &text] {
                let row = cells(shown, &nutrient.plain);
                is_figure(&row[0], &one["per_cube"], complete, &nutrient.unit);
                is_figure(&row[1], &one["per_serving"], complete, &nutrient.unit);
            }
        }
        let made = format!("{} cube", json["cubes"]["whole"]);
        assert!(plain(&text).contains(&made) && words(&seen.body).contains(&made));
    }
    assert!(
        worked_out > 8 && objections > 10 && bounds > 5,
        "{worked_out}, {objections}, {bounds}"
    );
}

#[test]
fn random_bowls_are_the_same() {
    let folder = household();
    let page = Running::inside(folder.path());
    let (freezer, _) = both(folder.path(), &["freezer"]);
    let today = super::support::TODAY.to_string();
    let batches = freezer["batches"].as_array().unwrap().iter();
    let batches = batches.filter(|one| one["use_by"].as_str().unwrap() >= today.as_str());
    let batches: Vec<i64> = batches.map(|one| one["batch"].as_i64().unwrap()).collect();
    let (mut dice, mut objections) = (Dice(11), 0);
    for _ in 0..10 {
        let food = dice.pick(&FOODS);
        let mut said = vec![format!("{} g {food}", 2 + dice.roll(120))];
        let mut fields = vec![("other".to_string(), said[0].clone())];
        if !batches.is_empty() {
            let (batch, cubes) = (dice.pick(&batches), 1 + dice.roll(3));
            said.push(format!("{cubes} #{batch}"));
            fields.push((format!("cubes-{batch}"), cubes.to_string()));
        }
        let fields = fields
            .iter()
            .map(|(name, value)| (name.as_str(), value.as_str()));
        let arguments: Vec<&str> = std::iter::once("mix")
            .chain(said.iter().map(String::as_str))
            .collect();
        let (json, text) = both(folder.path(), &arguments);
        let seen = page.get(&format!("/mix?{}", encoded(&fields.collect::<Vec<_>>())));
        assert_eq!(seen.status, 200, "{}", seen.body);
        objections += same_objections(&json, &text, &seen.body);
        let bowl = &json["bowl"];
        for (name, key, unit) in [
            ("vitamin C", "vitamin_c_mg", "mg"),
            ("energy", "energy_kcal", "kcal"),
        ] {
            let complete = bowl[key]["complete"].as_bool().unwrap();
            for shown in [&seen.body, &text] {
                is_figure(&cells(shown, name)[0], &bowl[key]["amount"], complete, unit);
            }
        }
        let mass = format!("{:.0} g", bowl["mass_g"].as_f64().unwrap());
        for shown in [&seen.body, &text] {
            assert_eq!(cells(shown, "mass")[0], mass);
        }
    }
    assert!(objections > 3, "{objections}");
}

#[test]
fn random_weeks_are_the_same() {
    let folder = household();
    let page = Running::inside(folder.path());
    let (mut dice, mut bounds) = (Dice(13), 0);
    for _ in 0..6 {
        let offset = i64::try_from(dice.roll(45)).unwrap();
        let from = date(2026, 10, 1).saturating_add(offset.days()).to_string();
        let (json, text) = both(folder.path(), &["week", "--from", &from]);
        let seen = page.get(&format!("/week/held?what=eaten&from={from}"));
        assert_eq!(seen.status, 200, "{}", seen.body);
        if json["record"]["counted"] == 0 {
            continue;
        }
        for nutrient in nutrients()
            .unwrap()
            .iter()
            .filter(|one| one.default_order.is_some())
        {
            let one = &json["week"][&nutrient.tag];
            let complete = one["complete"].as_bool().unwrap();
            bounds += usize::from(!complete);
            for shown in [&seen.body, &text] {
                let total = &cells(shown, &nutrient.plain)[3];
                is_figure(total, &one["per_day"], complete, &nutrient.unit);
            }
        }
    }
    assert!(bounds > 0, "no bound was seen");
}
