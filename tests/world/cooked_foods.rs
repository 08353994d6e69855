//! Raw foods cooked by the library, beside the same foods as published cooked.
//!
//! Source: USDA National Nutrient Database for Standard Reference, Release 28 (2015): foods that it
//! lists raw and cooked. Each is cooked as a user cooks it, with the yield, the solids, the fat and
//! the retention that the program chooses, and never with the water of the cooked row. The two rows
//! of a pair are often different samples, and many cooked values are themselves calculated from the
//! raw ones; so values that rest on analyses on both sides are shown apart from the others, and so
//! is what agrees because the cooked row went into the figure.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use serde::Deserialize;
use trayful::cooking::YieldBasis;
use trayful::nutrition::NutrientId;
use trayful::recipe::{Batch, PreparedIngredient};

use crate::support::{batch, data, food, ingredient, median, per_100_g, tagged};

#[derive(Deserialize)]
struct Pair {
    raw: String,
    cooked: String,
    method: String,
    kind: String,
    analysed: String,
}

/// One value of one food: predicted / published, per 100 g cooked.
struct Compared {
    kind: String,
    basis: YieldBasis,
    /// Fat that melts out, where it is more than 1 g per 100 g, and where the figure is from.
    melts: Option<String>,
    tag: &'static str,
    ratio: f64,
    /// Whether both values rest on analyses.
    analysed: bool,
    /// Whether the cooked row went into the prediction of this value.
    constructed: bool,
}

const TAGS: [&str; 8] = [
    "ENERC_KCAL",
    "PROCNT",
    "FAT",
    "WATER",
    "FE",
    "ZN",
    "K",
    "VITC",
];

/// The dataset's rows of stewed meat are without the liquid.
fn cooked(pair: &Pair) -> Batch {
    let rest = match pair.method.as_str() {
        "stew" => "drippings = \"poured off\"",
        _ => "",
    };
    batch(&ingredient(&pair.raw, 1000.0, &pair.method, rest))
}

fn compared() -> Vec<Compared> {
    let pairs: Vec<Pair> = data("cooked-pairs.csv");
    pairs.iter().flat_map(of_pair).collect()
}

fn of_pair(pair: &Pair) -> Vec<Compared> {
    let batch = cooked(pair);
    let one = &batch.prepared.ingredients[0];
    let all = TAGS.into_iter().filter_map(|tag| {
        let id = tagged(tag);
        let published = food(&pair.cooked)
            .composition
            .get(id)
            .filter(|it| *it > 0.0)?;
        let melted = one.preparation.melted.as_ref();
        let melted = melted.filter(|fat| fat.per_100_g > 1.0);
        Some(Compared {
            kind: pair.kind.clone(),
            basis: one.preparation.yield_factor.basis,
            melts: melted.map(|fat| fat.from.clone()),
            tag,
            ratio: per_100_g(&batch, id)? / published,
            analysed: pair.analysed.split('|').any(|one| one == tag),
            constructed: is_constructed(one, &pair.cooked, id),
        })
    });
    all.collect()
}

/// Protein agrees where it gave the yield, fat where the cooked fat gave what melts, and the energy
/// of both with them; water and energy where the dry matter gave the yield.
fn is_constructed(one: &PreparedIngredient, cooked: &str, nutrient: NutrientId) -> bool {
    let made = &one.preparation.yield_factor;
    let from_row = made.source.contains(cooked);
    let fat_from_row = one
        .preparation
        .melted
        .as_ref()
        .is_some_and(|fat| fat.from == cooked);
    let energy = nutrient == NutrientId::ENERGY;
    match made.basis {
        YieldBasis::Protein => {
            let of_fat = energy || nutrient == NutrientId::FAT;
            from_row && (nutrient == NutrientId::PROTEIN || (fat_from_row && of_fat))
        }
        YieldBasis::DryMatter | YieldBasis::Derived => {
            from_row && (energy || nutrient == NutrientId::WATER)
        }
        _ => fat_from_row && nutrient == NutrientId::FAT,
    }
}

/// Median of predicted / published, and the median distance from 1 in percent.
#[derive(Clone, Copy)]
struct Found {
    pairs: usize,
    ratio: f64,
    distance: f64,
}

fn found<'a>(of: impl Iterator<Item = &'a Compared>) -> Option<Found> {
    let ratios: Vec<f64> = of.map(|one| one.ratio).collect();
    (!ratios.is_empty()).then(|| Found {
        pairs: ratios.len(),
        distance: median(ratios.iter().map(|one| (one - 1.0).abs() * 100.0).collect()),
        ratio: median(ratios),
    })
}

/// A table by a heading of each row, a column a nutrient.
fn show(title: &str, values: &[&Compared], row: impl Fn(&Compared) -> String) {
    let mut rows: BTreeMap<String, Vec<&Compared>> = BTreeMap::new();
    for one in values {
        rows.entry(row(one)).or_default().push(one);
        rows.entry("together".into()).or_default().push(one);
    }
    let mut text = format!("\n{title}\n{:<14}", "");
    text += &TAGS.map(|tag| format!("{tag:>20}")).concat();
    for (name, values) in rows {
        let _ = write!(text, "\n{name:<14}");
        for tag in TAGS {
            let of_it = values.iter().copied().filter(|one| one.tag == tag);
            text += &found(of_it).map_or(format!("{:>20}", "-"), |it| {
                format!("{:>6.2} {:>5.1} % {:>5}", it.ratio, it.distance, it.pairs)
            });
        }
    }
    println!("{text}");
}

/// What is required of one nutrient of one choice of pairs: the median of predicted / published
/// within a percentage of 1.
fn holds(values: &[&Compared], tag: &str, percent: f64, what: &str) {
    let it = found(values.iter().copied().filter(|one| one.tag == tag)).unwrap();
    let off = (it.ratio - 1.0).abs() * 100.0;
    assert!(
        off <= percent,
        "{what}, {tag}: median {} of {} pairs",
        it.ratio,
        it.pairs
    );
}

#[test]
fn cooked_foods_are_predicted_by_the_yields_that_users_get() {
    let all = compared();
    let (constructed, open): (Vec<&Compared>, Vec<_>) = all.iter().partition(|one| one.constructed);
    println!(
        "\nEach cell: median of predicted / published per 100 g cooked, median distance, pairs."
    );
    show("by kind of food", &open, |one| one.kind.clone());
    show("by kind of yield", &open, |one| one.basis.word().into());
    let (analysed, imputed): (Vec<&Compared>, Vec<_>) = open.iter().partition(|one| one.analysed);
    show(
        "by kind of food, analysed on both sides",
        &analysed,
        |one| one.kind.clone(),
    );
    show(
        "vegetables by kind of yield, analysed on both sides",
        &of(&analysed, "vegetable"),
        |one| one.basis.word().into(),
    );
    show(
        "by kind of food, not analysed on one side at least",
        &imputed,
        |one| one.kind.clone(),
    );
    let melting: Vec<_> = open
        .iter()
        .copied()
        .filter(|one| one.melts.is_some())
        .collect();
    show(
        "meat out of which more than 1 g of fat per 100 g melts",
        &melting,
        |one| format!("{} {}", one.kind, one.basis.word()),
    );
    show(
        "true by construction: the cooked row went into the figure",
        &constructed,
        |one| format!("{} {}", one.kind, one.basis.word()),
    );
    held(&analysed, &open);
}

fn held(analysed: &[&Compared], open: &[&Compared]) {
    for tag in ["FE", "ZN"] {
        holds(analysed, tag, 3.0, "every food analysed on both sides");
        holds(&of(analysed, "meat"), tag, 4.0, "meat");
        holds(&of(analysed, "poultry"), tag, 4.0, "poultry");
        holds(&of(analysed, "pulse"), tag, 7.0, "pulses");
    }
    holds(&of(analysed, "vegetable"), "ZN", 4.0, "vegetables");
    // The cooked iron of 67 vegetables with analyses on both sides is lower than by the retention table.
    holds(&of(analysed, "vegetable"), "FE", 12.5, "vegetables");
    for kind in ["vegetable", "pulse"] {
        holds(&of(open, kind), "ENERC_KCAL", 4.0, kind);
        holds(&of(open, kind), "PROCNT", 3.0, kind);
    }
    let published = |kind: &str| -> Vec<&Compared> {
        let of_kind = of(open, kind).into_iter();
        of_kind
            .filter(|one| {
                one.melts.is_some() && one.basis == YieldBasis::Published && one.tag == "ENERC_KCAL"
            })
            .collect()
    };
    // The yield is published; the fat that melts is published too, or follows from the cooked row.
    for (kind, pairs) in [("meat", 80), ("poultry", 30)] {
        let it = found(published(kind).into_iter()).unwrap();
        assert!(
            it.pairs >= pairs && it.distance <= 2.5,
            "{kind}: {} %",
            it.distance
        );
    }
    // The fat that melts is the published change of fat, and nothing of the cooked row went in.
    let alone: Vec<_> = published("meat")
        .into_iter()
        .filter(|one| one.melts.as_deref() == Some("published"))
        .collect();
    let it = found(alone.into_iter()).unwrap();
    assert!(
        it.pairs >= 13 && it.distance <= 4.0,
        "{} pairs, {} %",
        it.pairs,
        it.distance
    );
}

fn of<'a>(values: &[&'a Compared], kind: &str) -> Vec<&'a Compared> {
    values
        .iter()
        .copied()
        .filter(|one| one.kind == kind)
        .collect()
}
