//! The nutrients of an average day as bars.

use data_import::NutrientId;

use super::amounts::{chosen, fineness, of_yardstick};
use crate::nutrition::week::{DayFigures, NutrientWeek, interval_of_days};
use crate::nutrition::{Day, Week};
use crate::report::chart::{NutrientBar, NutrientBars, PeriodBar, PeriodBars};
use crate::report::interval::whisker;
use crate::report::number::amount;

/// Milk and food against the reference intakes, as SVG; `id` is one of its own on the page. `None`
/// where no day counts, or no nutrient has a reference.
pub fn week_bars(week: &Week, id: &str, title: &str) -> Option<String> {
    week.counted().next()?;
    let bars: Vec<NutrientBar> = chosen(week, false).filter_map(bar).collect();
    let bars = NutrientBars {
        id,
        title,
        bars: &bars,
    };
    bars.svg()
}

/// Iron of each day beside the mean reference intake, as SVG; `None` where no day counts.
pub fn iron_by_day((days, week): (&[Day], &Week), id: &str, title: &str) -> Option<String> {
    let reference = week.nutrient(NutrientId::IRON)?.reference.as_ref();
    let need_of = reference.map_or_else(String::new, |one| format!("reference ({})", one.kind));
    let bar = |(day, figures): (&Day, &DayFigures)| {
        let parts = figures.parts(NutrientId::IRON)?;
        let interval = interval_of_days(NutrientId::IRON, &[day], parts);
        Some(PeriodBar {
            label: day.date.strftime("%-d %b").to_string(),
            recorded: figures.recorded,
            food: parts.from_food(&parts.food()),
            milk: parts.from_milk(),
            supplement: Some(parts.supplement).filter(|amount| *amount > 0.0),
            complete: parts.complete(),
            whisker: interval.as_ref().and_then(whisker),
            wanted: None,
            need: reference.map(|one| one.amount),
        })
    };
    let bars: Vec<_> = days.iter().zip(&week.days).filter_map(bar).collect();
    let chart = PeriodBars {
        id,
        title,
        unit: "mg iron",
        each: "a day",
        wanted_of: "",
        need_of: &need_of,
        bars: &bars,
    };
    chart.svg()
}

fn bar(figures: &NutrientWeek) -> Option<NutrientBar> {
    let reference = figures.reference.as_ref()?;
    let parts = &figures.per_day;
    let share = |amount: Option<f64>| amount.map(|amount| amount / reference.amount * 100.0);
    Some(NutrientBar {
        name: figures.nutrient.plain.clone(),
        amount: amount(parts.amount(), parts.complete(), figures.nutrient),
        against: of_yardstick(reference, figures.nutrient, fineness(figures)),
        milk: share(parts.from_milk()),
        food: share(parts.from_food(&parts.food())),
        supplement: share(Some(parts.supplement).filter(|amount| *amount > 0.0)),
        complete: parts.complete(),
        whisker: figures
            .interval
            .as_ref()
            .and_then(whisker)
            .map(|ends| ends.times(100.0 / reference.amount)),
        // An upper level often applies to another total than the one drawn: `above_upper_levels` reports it.
        upper: None,
    })
}
