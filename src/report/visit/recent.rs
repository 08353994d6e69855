//! The last complete days beside the whole time: what a child eats now says more than an average
//! from the first spoon on.

use std::collections::BTreeMap;

use data_import::NutrientId;
use jiff::civil::Date;
use serde::Serialize;

use super::VisitView;
use super::figures::{self, amount};
use crate::nutrition::week::DayFigures;
use crate::report::week::AmountReport;

/// The numbers of last complete days that are averaged, the fewest first (judgement).
const SPANS: [usize; 2] = [7, 14];

/// The average of the last complete days.
#[derive(Debug, Clone, Serialize)]
pub struct RecentLine {
    /// How many complete days.
    pub days: usize,
    /// The first of them.
    pub from: Date,
    /// The last of them.
    pub to: Date,
    /// Iron a day.
    pub iron_mg: AmountReport,
    /// Energy from food a day, in kcal.
    pub food_kcal: Option<f64>,
    /// Each nutrient a day, of food, milk and supplements together.
    pub nutrients: BTreeMap<&'static str, AmountReport>,
}

impl RecentLine {
    /// The heading of its column.
    pub(super) fn heading(&self) -> &'static str {
        match self.days {
            7 => "last 7 days",
            _ => "last 14 days",
        }
    }
}

/// Each nutrient that the page shows.
fn shown(view: &VisitView<'_>, last: &[&DayFigures]) -> BTreeMap<&'static str, AmountReport> {
    let shown = view.week.nutrients.iter();
    let shown = shown.filter(|one| one.nutrient.default_order.is_some());
    shown
        .map(|one| (one.nutrient.tag.as_str(), amount(last, one.nutrient.id)))
        .collect()
}

/// The last 7 and the last 14 complete days, each where there are so many and more.
pub(super) fn recent(view: &VisitView<'_>) -> Vec<RecentLine> {
    let counted: Vec<&DayFigures> = view.week.counted().collect();
    let spans = SPANS.into_iter().filter(|days| *days < counted.len());
    spans
        .filter_map(|days| {
            let last = counted.get(counted.len() - days..)?;
            Some(RecentLine {
                days,
                from: last.first()?.date,
                to: last.last()?.date,
                iron_mg: amount(last, NutrientId::IRON),
                nutrients: shown(view, last),
                food_kcal: figures::food_kcal(last),
            })
        })
        .collect()
}
