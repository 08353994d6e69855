//! What the figures of a label hold for, in grams, and the measures of its food.

use std::ops::{Range, RangeInclusive};

use super::cells::{Cell, trimmed};
use super::columns::{DENSITY, MEASURE, PER, SERVING};
use super::declared::{Declared, LabelUnit};
use super::entry::Entry;
use super::finding::Finding;
use crate::measure::Measure;

/// The amounts that servings and packages have, in g or ml.
const SIZES: RangeInclusive<f64> = 0.01..=10_000.0;
/// From puffed grain to syrup, in g/ml (common practice, no source).
const DENSITIES: RangeInclusive<f64> = 0.05..=2.5;

/// The amount of food that the figures hold for.
#[derive(Debug, PartialEq)]
pub(super) struct Basis {
    /// In words: `100 g`, `serving of 15 g`.
    pub(super) per: String,
    /// In grams.
    pub(super) grams: f64,
    /// Where 1 ml was taken as 1 g, because the density is not known.
    pub(super) assumed: Option<Range<usize>>,
    /// Measures of the food.
    pub(super) measures: Vec<Measure>,
}

/// A mass in g or a volume in ml.
#[derive(Debug, Clone)]
struct Size {
    amount: f64,
    is_volume: bool,
    span: Range<usize>,
}

impl Size {
    fn grams(&self, density: Option<f64>) -> f64 {
        if self.is_volume {
            self.amount * density.unwrap_or(1.0)
        } else {
            self.amount
        }
    }
}

/// Reads the basis of an entry. Errors: everything that is wrong with it.
pub(super) fn basis(entry: &Entry) -> Result<Basis, Vec<Finding>> {
    let mut findings = Vec::new();
    let per = keep(&mut findings, per(entry));
    let serving = match entry.cell(SERVING) {
        // The basis has been read, or given, as what the figures hold for.
        Some(_) if counts_servings(entry) => per.as_ref().map(|(_, size)| size.clone()),
        Some(cell) => keep(&mut findings, size(cell, SERVING)),
        None => None,
    };
    let density = entry.cell(DENSITY).map(density);
    let density = density.and_then(|density| keep(&mut findings, density));
    let household = entry.cell(MEASURE).into_iter().flat_map(household);
    let household: Vec<_> = household
        .filter_map(|measure| keep(&mut findings, measure))
        .collect();
    let Some((words, per)) = per.filter(|_| findings.is_empty()) else {
        return Err(findings);
    };
    let beside = entry.cell(SERVING).and_then(|cell| printed(cell).1);
    let beside = beside.zip(serving.clone());
    let serving = serving.map(|size| ("1 serving".to_owned(), size));
    let mut sizes: Vec<_> = serving.into_iter().chain(beside).chain(household).collect();
    if density.is_some() || per.is_volume {
        let amount = 100.0;
        let is_volume = true;
        let span = per.span.clone();
        sizes.push((
            "100 ml".to_owned(),
            Size {
                amount,
                is_volume,
                span,
            },
        ));
    }
    let mut volumes = sizes.iter().map(|(_, size)| size).chain([&per]);
    let unknown = volumes.find(|size| size.is_volume && density.is_none());
    let measures = sizes.iter();
    let measures = measures.map(|(label, size)| Measure::parse(label, size.grams(density)));
    Ok(Basis {
        per: words,
        grams: per.grams(density),
        assumed: unknown.map(|size| size.span.clone()),
        measures: measures.collect(),
    })
}

fn keep<T>(findings: &mut Vec<Finding>, read: Result<T, Finding>) -> Option<T> {
    read.map_err(|finding| findings.push(finding)).ok()
}

/// Whether the figures hold for a serving.
fn counts_servings(entry: &Entry) -> bool {
    let per = entry.cell(PER).map(|cell| cell.text.to_lowercase());
    per.is_some_and(|per| ["serving", "1 serving", "per serving"].contains(&per.as_str()))
}

/// What the figures hold for, in words, and its size.
fn per(entry: &Entry) -> Result<(String, Size), Finding> {
    let Some(cell) = entry.cell(PER) else {
        let hint = "write what its figures hold for: 100 g, 100 ml or serving";
        let what = "this food has no “per”";
        return Err(Finding::new(entry.span.clone(), what, hint));
    };
    if !counts_servings(entry) {
        return Ok((cell.text.clone(), size(cell, PER)?));
    }
    let Some(serving) = entry.cell(SERVING) else {
        let hint = "write it as “serving”, such as 15 g; it stands on the label";
        let what = "the size of the serving is not known";
        return Err(Finding::at(cell, what, hint));
    };
    let words = format!("serving of {}", serving.text);
    Ok((words, size(serving, SERVING)?))
}

/// The weight or volume of a cell as labels print it, `28 g`, `2 tbsp (28 g)` or `28 g (2 tbsp)`,
/// and the household measure beside it.
fn printed(cell: &Cell) -> (Cell, Option<String>) {
    let parts = cell.text.split_once('(');
    let parts = parts.and_then(|(before, rest)| Some((before, rest.trim_end().strip_suffix(')')?)));
    let Some((before, inside)) = parts else {
        return (cell.clone(), None);
    };
    let start = cell.span.start;
    let before_it = trimmed(before, start);
    let inside_it = trimmed(inside, start + before.len() + 1);
    let is_weight = Declared::read(&inside_it)
        .is_ok_and(|one| matches!(one.unit, LabelUnit::Gram | LabelUnit::Millilitre));
    if is_weight {
        (inside_it, Some(before_it.text))
    } else {
        (before_it, Some(inside_it.text))
    }
}

/// Reads `15 g`, `60 ml` or `2 tbsp (28 g)`; `column` is named in errors.
fn size(cell: &Cell, column: &str) -> Result<Size, Finding> {
    let cell = &printed(cell).0;
    let hint = "write the grams or millilitres of the label, such as 100 g, 15 g or 60 ml";
    let wrong = |finding: Finding| finding.about(column).hinting(hint);
    let declared = Declared::read(cell).map_err(wrong)?;
    let is_volume = match declared.unit {
        LabelUnit::Gram => false,
        LabelUnit::Millilitre => true,
        _ => return Err(wrong(Finding::at(cell, "neither in g nor in ml", hint))),
    };
    if declared.less_than || !SIZES.contains(&declared.number) {
        return Err(wrong(Finding::at(cell, "no label counts in this", hint)));
    }
    Ok(Size {
        amount: declared.number,
        is_volume,
        span: cell.span.clone(),
    })
}

/// Reads `1.03 g/ml`.
fn density(cell: &Cell) -> Result<f64, Finding> {
    let hint = "weigh 100 ml of it: 103 g make 1.03 g/ml";
    let wrong = |finding: Finding| finding.about(DENSITY).hinting(hint);
    let declared = Declared::read(cell).map_err(wrong)?;
    if declared.unit != LabelUnit::GramPerMillilitre {
        return Err(wrong(Finding::at(cell, "not in g/ml", hint)));
    }
    if declared.less_than || !DENSITIES.contains(&declared.number) {
        return Err(wrong(Finding::at(cell, "no food has this density", hint)));
    }
    Ok(declared.number)
}

/// Reads `1 tbsp = 4 g | 1 cup = 60 g`, one by one.
fn household(cell: &Cell) -> Vec<Result<(String, Size), Finding>> {
    let mut at = cell.span.start;
    let measures = cell.text.split('|').map(|text| {
        let place = trimmed(text, at);
        at += text.len() + 1;
        let hint = "write the measure and its weight, such as 1 tbsp = 4 g; part several by |";
        match text.split_once('=') {
            Some((label, weight)) if !label.trim().is_empty() => {
                let weight = Cell {
                    text: weight.trim().to_owned(),
                    span: place.span,
                };
                Ok((label.trim().to_owned(), size(&weight, MEASURE)?))
            }
            _ => Err(Finding::at(
                &place,
                "measure: not a measure with its weight",
                hint,
            )),
        }
    });
    measures.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::own::entry::of_pairs;

    fn read(text: &str) -> Result<Basis, Vec<String>> {
        let entry = of_pairs(text).unwrap().unwrap();
        let whats = |all: Vec<Finding>| all.into_iter().map(|finding| finding.what).collect();
        basis(&entry).map_err(whats)
    }

    #[test]
    fn the_figures_hold_for_what_is_said() {
        for (text, grams, assumed) in [
            ("per=100 g", 100.0, false),
            ("per=serving; serving=15 g", 15.0, false),
            ("per=100 g; serving=15 g", 100.0, false),
            ("per=serving; serving=2 tbsp (28 g)", 28.0, false),
            ("per=serving; serving=28 g (2 tbsp)", 28.0, false),
            ("per=100 g; serving=1 container (170 g)", 100.0, false),
            ("per=100 ml; density=1.03 g/ml", 103.0, false),
            (
                "per=serving; serving=200 ml; density=1.03 g/ml",
                206.0,
                false,
            ),
            ("per=100 ml", 100.0, true),
            ("per=serving; serving=60 ml", 60.0, true),
        ] {
            let basis = read(text).unwrap();
            assert!(
                (basis.grams - grams).abs() < 1e-9,
                "{text}: {}",
                basis.grams
            );
            assert_eq!(basis.assumed.is_some(), assumed, "{text}");
        }
    }

    #[test]
    fn measures_are_those_of_the_label() {
        let text =
            "per=100 ml; serving=60 ml; density=1.05 g/ml; measure=1 tbsp = 15 g|2 scoop=10 ml";
        let measures = read(text).unwrap().measures;
        let shown: Vec<_> = measures.iter().map(|m| (m.label(), m.grams)).collect();
        let expected = [
            ("1 serving", 63.0),
            ("1 tbsp", 15.0),
            ("2 scoop", 10.5),
            ("100 ml", 105.0),
        ];
        assert_eq!(
            shown,
            expected.map(|(label, grams)| (label.to_owned(), grams))
        );
    }

    #[test]
    fn each_slip_is_told_once() {
        assert_eq!(
            read("per=serving; serving=1 cup; density=9 g/ml; measure=1 tbsp").unwrap_err(),
            [
                "serving: “cup” is not a unit",
                "density: no food has this density",
                "measure: not a measure with its weight"
            ]
        );
    }
}
