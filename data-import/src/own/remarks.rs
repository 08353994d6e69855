//! Remarks on how the figures of a label were read.

use super::columns::{CARBOHYDRATE, DailyValues, SALT};
use super::compose::{Figure, Label, SALT_PER_SODIUM};
use super::declared::LabelUnit;
use super::food::Remark;
use crate::nutrient::{NutrientId as N, nutrient};

/// A remark for each figure that was not taken as it stands.
pub(super) fn remarks(label: &Label<'_>, who: Option<DailyValues>) -> Vec<Remark> {
    let figures = label.figures.iter();
    let remarks = figures.filter_map(|figure| {
        share(figure, who)
            .or_else(|| unit(figure))
            .or_else(|| other_nutrient(figure, label))
    });
    remarks.collect()
}

/// A percentage of a Daily Value.
fn share(figure: &Figure<'_>, who: Option<DailyValues>) -> Option<Remark> {
    if figure.declared.unit != LabelUnit::Percent {
        return None;
    }
    let who = who?;
    let whom = match who {
        DailyValues::Infants => "infants to 12 months",
        DailyValues::Children => "children of 1 to 3 years",
    };
    Some(Remark::assumed(format!(
        "{}: worked out as {} of {} {}, the Daily Value for {whom} (21 CFR 101.9, from memory); \
         labels round such shares",
        figure.label.column,
        figure.cell.text,
        figure.label.daily_value(who)?,
        unit_of(figure.id)
    )))
}

/// A unit that is not the nutrient's own.
fn unit(figure: &Figure<'_>) -> Option<Remark> {
    let (name, text) = (&figure.label.column, &figure.cell.text);
    match (figure.declared.unit, figure.declared.kind.as_str()) {
        (LabelUnit::Kilojoule, _) => {
            Some(Remark::plain(format!("{name}: {text} / 4.184, in kcal")))
        }
        (LabelUnit::International, _) if figure.id == N::VITAMIN_A_IU => Some(Remark::plain(
            format!("{name}: {text} do not tell how much is retinol, so µg RAE stay missing"),
        )),
        (_, "RE") => Some(Remark::assumed(format!(
            "{name}: retinol equivalents taken as RAE, which holds for retinol, not for carotene"
        ))),
        (_, "NE") => Some(Remark::assumed(format!(
            "{name}: niacin equivalents taken as niacin, though protein may have part in them"
        ))),
        _ => None,
    }
}

/// Salt and European carbohydrate, which the tables do not count as they stand.
fn other_nutrient(figure: &Figure<'_>, label: &Label<'_>) -> Option<Remark> {
    let text = &figure.cell.text;
    let words = match figure.label.column.as_str() {
        SALT if label.figure("sodium").is_none() => {
            format!("sodium: {text} of salt / {SALT_PER_SODIUM}, as European labels count")
        }
        CARBOHYDRATE => match label.figure("fibre") {
            Some(fibre) => format!(
                "carbohydrate: {text} without fibre, and {} of fibre",
                fibre.cell.text
            ),
            None => format!(
                "carbohydrate: {text} without fibre, and fibre is not known, so it stays missing"
            ),
        },
        _ => return None,
    };
    Some(Remark::plain(words))
}

/// The unit of a nutrient.
pub(super) fn unit_of(id: N) -> &'static str {
    let nutrient = nutrient(id).ok().flatten();
    nutrient.map_or("", |nutrient| nutrient.unit.as_str())
}

/// A figure in a sentence: three digits or so.
pub(super) fn short(value: f64) -> String {
    let places = if value >= 100.0 {
        0
    } else if value >= 1.0 {
        1
    } else {
        3
    };
    let text = format!("{value:.places$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}
