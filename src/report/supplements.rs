//! Supplements over the days of a visit: what was given, on how many days, and what was missed.

use data_import::{Error, nutrient};
use jiff::civil::Date;
use serde::Serialize;

use crate::notebook::SupplementDose;
use crate::report::number::trimmed;
use crate::words::{counted, joined};

/// What a supplement counts as, shown wherever one is recorded.
pub const SUPPLEMENT_COUNTS: &str = "It counts in the week and on the page for the visit as a source of its own; it is \
     no meal and no first taste.";

/// A supplement over some days.
#[derive(Debug, Clone, Serialize)]
pub struct SupplementLine {
    /// The product, in the parent's words.
    pub product: String,
    /// The tag of the nutrient that it gives.
    pub nutrient: &'static str,
    /// The unit of the amounts.
    pub unit: &'static str,
    /// The dose of the last day on which it was given.
    pub dose: f64,
    /// The days on which it was given.
    pub days_given: usize,
    /// The days on which it was missed.
    pub days_missed: usize,
    /// What it gave in all.
    pub total: f64,
    /// The line in words.
    pub text: String,
}

/// A line for each product.
pub(super) fn lines(doses: &[SupplementDose]) -> Result<Vec<SupplementLine>, Error> {
    let mut products: Vec<&str> = doses.iter().map(|dose| dose.product.as_str()).collect();
    products.sort_unstable();
    products.dedup();
    let mut lines = Vec::new();
    for product in products {
        let of_it = || doses.iter().filter(|dose| dose.product == product);
        let given = || of_it().filter(|dose| dose.amount > 0.0);
        let Some(last) = given().next_back().or_else(|| of_it().next_back()) else {
            continue;
        };
        let named = nutrient(last.nutrient)?;
        let unit = named.map_or("", |one| one.unit.as_str());
        let (days_given, days) = (given().count(), of_it().count());
        let missed = match days - days_given {
            0 => String::new(),
            missed => format!("; missed on {}", counted(missed, "day")),
        };
        let given_at = runs(given());
        let given_at = given_at.iter().map(|run| run.words(unit));
        let given_at = match days_given {
            0 => "not given".to_string(),
            _ => joined(given_at, ", then "),
        };
        lines.push(SupplementLine {
            product: product.to_string(),
            nutrient: named.map_or("", |one| one.tag.as_str()),
            unit,
            dose: last.amount,
            days_given,
            days_missed: days - days_given,
            total: given().map(|dose| dose.amount).sum(),
            text: format!("{product}: {given_at}{missed}"),
        });
    }
    Ok(lines)
}

/// Days that follow one another among those on which a product was given, with one dose.
struct DoseRun {
    amount: f64,
    days: usize,
    from: Date,
    to: Date,
}

/// The doses in their order, a run for each change.
fn runs<'a>(given: impl Iterator<Item = &'a SupplementDose>) -> Vec<DoseRun> {
    let mut runs: Vec<DoseRun> = Vec::new();
    for dose in given {
        match runs.last_mut() {
            Some(run) if run.amount.total_cmp(&dose.amount).is_eq() => {
                run.days += usize::from(run.to != dose.day);
                run.to = dose.day;
            }
            _ => runs.push(DoseRun {
                amount: dose.amount,
                days: 1,
                from: dose.day,
                to: dose.day,
            }),
        }
    }
    runs
}

impl DoseRun {
    /// `7.5 mg a day on 3 days, 12 Nov to 14 Nov`.
    fn words(&self, unit: &str) -> String {
        let day = |date: Date| date.strftime("%-d %b").to_string();
        let dates = if self.from == self.to {
            day(self.from)
        } else {
            format!("{} to {}", day(self.from), day(self.to))
        };
        let (amount, days) = (trimmed(self.amount, 2), counted(self.days, "day"));
        format!("{amount} {unit} a day on {days}, {dates}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use data_import::NutrientId;
    use jiff::civil::date;

    #[test]
    fn a_line_tells_every_dose_with_its_days() {
        let dose = |day, amount| SupplementDose {
            day: date(2026, 11, day),
            product: "drops".into(),
            nutrient: NutrientId::IRON,
            amount,
        };
        let text = |doses: &[SupplementDose]| lines(doses).unwrap().pop().unwrap().text;
        let raised: Vec<_> = (1..=7)
            .map(|day| dose(day, if day < 6 { 5.0 } else { 15.0 }))
            .collect();
        assert_eq!(
            text(&raised),
            "drops: 5 mg a day on 5 days, 1 Nov to 5 Nov, then 15 mg a day on 2 days, 6 Nov to 7 Nov"
        );
        let stopped = [dose(12, 7.5), dose(13, 7.5), dose(14, 7.5), dose(15, 0.0)];
        assert_eq!(
            text(&stopped),
            "drops: 7.5 mg a day on 3 days, 12 Nov to 14 Nov; missed on 1 day"
        );
        assert_eq!(text(&stopped[3..]), "drops: not given; missed on 1 day");
    }
}
