//! The amounts of an average day, nutrient by nutrient.

use data_import::{Nutrient, NutrientId};
use jiff::civil::Date;
use serde::Serialize;

use super::{names, spans};
use crate::nutrition::week::{NutrientWeek, Yardstick, had};
use crate::nutrition::{Total, Week, reading};
use crate::report::interval::Fineness;
use crate::report::number::{self, amount, bound, decimals, or_not_known};
use crate::report::text::Page;

/// The nutrients that are shown, in order: all, or those that are looked at first.
pub(in crate::report) fn chosen(week: &Week, all: bool) -> impl Iterator<Item = &NutrientWeek> {
    let shown = week.nutrients.iter();
    let shown = shown.filter(move |figures| all || figures.nutrient.default_order.is_some());
    let mut shown: Vec<_> = shown.collect();
    shown.sort_by_key(|figures| {
        let order = figures.nutrient.default_order;
        (order.is_none(), order)
    });
    shown.into_iter()
}

/// A row of the table, with a column for supplements or without; `no_reference` is shown for a
/// nutrient without a reference.
pub(super) fn nutrient_row(
    figures: &NutrientWeek,
    (no_reference, supplements): (&str, bool),
) -> Vec<String> {
    let nutrient = figures.nutrient;
    let shown =
        |total: &Total| amount(figures.per_day.from_food(total), total.complete(), nutrient);
    let milk = match figures.per_day.from_milk() {
        None if !figures.per_day.milk_on_record => "not on record".into(),
        known => amount(
            known,
            figures.per_day.milk.complete() && figures.per_day.milk_on_record,
            nutrient,
        ),
    };
    let reference = figures.reference.as_ref();
    let fine = fineness(figures);
    let value = figures.daily_value.as_ref().and_then(|value| value.percent);
    let mut cells = vec![
        nutrient.plain.clone(),
        milk,
        shown(&figures.per_day.puree),
        shown(&figures.per_day.other),
    ];
    cells.extend(supplements.then(|| match figures.per_day.supplement {
        given if given > 0.0 => amount(Some(given), true, nutrient),
        _ => "-".into(),
    }));
    cells.extend([
        fine.amount_with_ends(figures.per_day.amount(), nutrient),
        reference.map_or_else(
            || no_reference.into(),
            |reference| of_yardstick(reference, nutrient, fine) + &ear_of(reference, nutrient),
        ),
        value.map_or_else(|| "-".into(), |share| fine.share(share)),
    ]);
    cells
}

/// Whether a supplement gave any of the nutrients, so that the table has a column for it.
pub(super) fn with_supplements(week: &Week, all: bool) -> bool {
    chosen(week, all).any(|one| one.per_day.supplement > 0.0)
}

/// How finely the amount of an average day and its shares are shown.
pub(super) fn fineness(figures: &NutrientWeek) -> Fineness {
    Fineness::of(figures.interval.as_ref(), figures.per_day.complete())
}

/// `>= 38 % of 11 mg (RDA)`; a lower bound of zero is left out, as it carries no information.
pub(super) fn of_yardstick(reference: &Yardstick, nutrient: &Nutrient, fine: Fineness) -> String {
    let (amount, unit) = (trimmed(reference.amount, nutrient), &nutrient.unit);
    let whole = format!("{amount} {unit} ({})", reference.kind);
    if nutrient.id == NutrientId::ENERGY && reference.percent.is_none() {
        return format!("{whole}; milk estimated");
    }
    fine.share_of(reference.percent, &whole)
}

/// `, EAR 6.9` in the unit of the reference where one is set, else nothing.
fn ear_of(reference: &Yardstick, nutrient: &Nutrient) -> String {
    let words = |ear| format!(", EAR {}", trimmed(ear, nutrient));
    reference.ear.map_or_else(String::new, words)
}

/// A number with at most the decimals of the nutrient, without trailing zeros.
fn trimmed(value: f64, nutrient: &Nutrient) -> String {
    number::trimmed(value, nutrient.decimals)
}

/// Days on which a nutrient was above its upper level, in a sentence.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AboveUpper {
    /// Whether the sentence is a warning; otherwise it is a note.
    pub alarm: bool,
    /// The sentence.
    pub text: String,
}

/// The days on which a nutrient was above its upper level: a warning, and a note on those that formula accounts for.
pub(super) fn upper_lines(figures: &NutrientWeek) -> Vec<AboveUpper> {
    let Some(upper) = &figures.upper else {
        return Vec::new();
    };
    let line = |alarm: bool, days: &[Date], advice: &str| {
        let text = format!(
            "{}: above the upper level for a day, {} {} ({}), on {}{advice}",
            figures.nutrient.plain,
            trimmed(upper.amount, figures.nutrient),
            figures.nutrient.unit,
            upper.counts,
            spans(days)
        );
        (!days.is_empty()).then_some(AboveUpper { alarm, text })
    };
    let alarm = line(true, &upper.alarming(), ". Ask the paediatrician.");
    let note = line(false, &upper.by_formula, reading::ABOVE_BY_FORMULA);
    alarm.into_iter().chain(note).collect()
}

pub(super) fn salt_and_sugar(page: &mut Page, week: &Week) {
    page.heading("SODIUM AND ADDED SUGAR");
    if let Some(sodium) = week.nutrient(NutrientId::SODIUM) {
        let parts = &sodium.per_day;
        let food = parts.food();
        page.paragraph(&format!(
            "Sodium: {} a day, of it {} from food. The UK limit for all salt is 0.4 g of sodium a day \
             to 12 months and 0.8 g from 1 to 3 years (read in two secondary copies).",
            amount(parts.amount(), parts.complete(), sodium.nutrient),
            amount(had(&food), food.complete(), sodium.nutrient),
        ));
    }
    let sugar = &week.added_sugar;
    let known = had(sugar).filter(|grams| sugar.complete() || *grams > 0.0);
    let bound = bound(sugar.complete());
    let shown = or_not_known(known.map(|grams| format!("{bound}{} g a day", decimals(grams, 1))));
    page.paragraph(&format!(
        "Added sugar of food: {shown}. Sugars and syrups count in full; a packet only where its label \
         says."
    ));
    if !sugar.missing.is_empty() {
        page.paragraph(&format!(
            "Without a value: {}.",
            names(week, &sugar.missing)
        ));
    }
}
