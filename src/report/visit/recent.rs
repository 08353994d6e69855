//! The last complete days beside the whole time: what a child eats now says more than an average
//! from the first spoon on.

use std::collections::BTreeMap;

use data_import::NutrientId;
use jiff::ToSpan as _;
use jiff::civil::Date;
use serde::Serialize;

use super::figures::{self, amount};
use crate::household::VisitFacts;
use crate::nutrition::week::DayFigures;
use crate::report::week::{AmountReport, chosen};

/// The numbers of last complete days that are averaged, the fewest first (judgement).
const SPANS: [usize; 2] = [7, 14];
/// They may lie within this many times as many days (judgement).
const LONGEST_REACH: i32 = 2;

/// The average of the last complete days.
#[derive(Debug, Clone, Serialize)]
pub struct RecentLine {
    /// How many complete days.
    pub days: usize,
    /// The first of them.
    pub from: Date,
    /// The last of them.
    pub to: Date,
    /// Whether they are the last days of the record, without another between or after them.
    pub unbroken: bool,
    /// Iron a day.
    pub iron_mg: AmountReport,
    /// Energy from food a day, in kcal.
    pub food_kcal: Option<f64>,
    /// Each nutrient a day, of food, milk and supplements together.
    pub nutrients: BTreeMap<&'static str, AmountReport>,
}

impl RecentLine {
    /// The heading of its column: `last 7 days`, or `last 7 complete days` where others lie between or after them.
    pub(super) fn heading(&self) -> &'static str {
        match (self.days, self.unbroken) {
            (7, true) => "last 7 days",
            (7, false) => "last 7 complete days",
            (_, true) => "last 14 days",
            (_, false) => "last 14 complete days",
        }
    }
}

/// Each nutrient that the page shows.
fn shown(facts: &VisitFacts, last: &[&DayFigures]) -> BTreeMap<&'static str, AmountReport> {
    chosen(&facts.kept.week, false)
        .map(|one| (one.nutrient.tag.as_str(), amount(last, one.nutrient.id)))
        .collect()
}

/// The last 7 and the last 14 complete days, each where there are more than that and they are not long ago.
pub(super) fn recent(facts: &VisitFacts) -> Vec<RecentLine> {
    let counted: Vec<&DayFigures> = facts.kept.week.counted().collect();
    let spans = SPANS.into_iter().filter(|days| *days < counted.len());
    let end = facts.kept.days.last().map(|day| day.date);
    spans
        .filter_map(|days| {
            let last = counted.get(counted.len() - days..)?;
            let (from, to) = (last.first()?.date, last.last()?.date);
            let reach = i32::try_from(days).ok()?;
            // Days before a long pause say nothing of what the child eats now.
            let recent = |back: i32| end.is_some_and(|end| from > end.saturating_sub(back.days()));
            recent(reach * LONGEST_REACH).then_some(())?;
            Some(RecentLine {
                days,
                from,
                to,
                unbroken: recent(reach),
                iron_mg: amount(last, NutrientId::IRON),
                nutrients: shown(facts, last),
                food_kcal: figures::food_kcal(last),
            })
        })
        .collect()
}
