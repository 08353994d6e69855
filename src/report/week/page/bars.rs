//! The nutrients of an average day as bars.

use super::amounts::{chosen, of_yardstick};
use crate::nutrition::Week;
use crate::nutrition::week::NutrientWeek;
use crate::report::chart::{NutrientBar, NutrientBars};
use crate::report::interval::ShownRange;
use crate::report::number::amount;

/// Milk and food against the reference intakes, as SVG; `id` is one of its own on the page. `None` where no nutrient has a
/// reference.
pub fn week_bars(week: &Week, id: &str, title: &str) -> Option<String> {
    let bars: Vec<NutrientBar> = chosen(week, false).filter_map(bar).collect();
    let bars = NutrientBars {
        id,
        title,
        bars: &bars,
    };
    (!bars.bars.is_empty()).then(|| bars.svg())
}

fn bar(one: &NutrientWeek) -> Option<NutrientBar> {
    let reference = one.reference.as_ref()?;
    let parts = &one.per_day;
    let share = |amount: Option<f64>| amount.map(|amount| amount / reference.amount * 100.0);
    Some(NutrientBar {
        name: one.nutrient.plain.clone(),
        amount: amount(parts.amount(), parts.complete(), one.nutrient),
        against: of_yardstick(
            reference,
            parts.complete(),
            one.nutrient,
            one.interval.as_ref().map(ShownRange::of),
        ),
        milk: share(parts.from_milk()),
        food: share(parts.from_food(&parts.food())),
        supplement: share(Some(parts.supplement).filter(|amount| *amount > 0.0)),
        complete: parts.complete(),
        // An upper level often applies to another total than the one drawn: `above_upper_levels` reports it.
        upper: None,
    })
}
