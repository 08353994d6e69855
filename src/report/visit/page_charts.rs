//! The pictures of the page.

use jiff::civil::Date;

use super::figures::FEW_DAYS;
use super::{DayLine, EventKind, MealLine, NutrientLine, VisitReport};
use crate::report::chart::{
    Calendar, CalendarDay, CalendarWeek, DayRecord, Growth, GrowthMark, NutrientBar, NutrientBars,
    PeriodBar, PeriodBars, Strip, StripCell, StripDay, Whisker,
};
use crate::report::interval::IntervalReport;
use crate::report::number::{amount, bounded_percent, decimals, unbroken};

/// The longest time in days for which the dishes of each meal are named in the chart.
pub(super) const STRIP_DAYS: usize = 8;

/// A date in a table: `5 Oct`.
pub(super) fn day(date: Date) -> String {
    date.strftime("%-d %b").to_string()
}

/// A date with the day of the week: `Mon 5 Oct`.
pub(super) fn weekday(date: Date) -> String {
    date.strftime("%a %-d %b").to_string()
}

/// Meals day by day, or week by week.
pub(super) fn meals(report: &VisitReport) -> String {
    let title = format!("Meals of {}, day by day", report.child.name);
    if report.days.len() > STRIP_DAYS {
        return calendar(report, &title);
    }
    let columns = columns(report);
    let days: Vec<_> = report
        .days
        .iter()
        .map(|line| StripDay {
            label: weekday(line.date),
            record: record(line),
            cells: in_columns(report, line.date, columns.len())
                .into_iter()
                .map(|meals| meals.into_iter().map(cell).collect())
                .collect(),
        })
        .collect();
    Strip {
        id: "meals",
        title: &title,
        columns: &columns,
        days: &days,
    }
    .svg()
}

/// Whether a day has entries, was said not to be known, or was left blank.
pub(super) fn record(line: &DayLine) -> DayRecord {
    match (line.recorded, line.not_known) {
        (true, _) => DayRecord::Entries,
        (false, true) => DayRecord::NotKnown,
        (false, false) => DayRecord::Nothing,
    }
}

fn cell(meal: &MealLine) -> StripCell {
    StripCell {
        how: meal.how,
        what: meal.what.join(", "),
        reaction: meal.reaction.is_some(),
    }
}

fn calendar(report: &VisitReport, title: &str) -> String {
    let of_day = |date: Date| report.meals.iter().filter(move |meal| meal.date == date);
    let weeks: Vec<_> = report
        .days
        .chunks(7)
        .map(|days| CalendarWeek {
            label: days.first().map_or_else(String::new, |line| day(line.date)),
            days: days
                .iter()
                .map(|line| CalendarDay {
                    recorded: line.recorded,
                    meals: of_day(line.date)
                        .map(|meal| (meal.how, meal.reaction.is_some()))
                        .collect(),
                })
                .collect(),
        })
        .collect();
    let first = report.days.iter().take(7);
    let weekdays: Vec<_> = first
        .map(|line| line.date.strftime("%a").to_string())
        .collect();
    Calendar {
        id: "meals",
        title,
        weekdays: &weekdays,
        weeks: &weeks,
    }
    .svg()
}

/// The most columns of meals that a strip has room for.
const MOST_COLUMNS: usize = 4;

/// The meals there were, in the order of the household; those that nobody named come last.
pub(super) fn columns(report: &VisitReport) -> Vec<String> {
    let named = |name: &&String| report.meals.iter().any(|meal| meal.meal == **name);
    let mut columns: Vec<_> = report.meal_names.iter().filter(named).cloned().collect();
    for meal in report.meals.iter().filter(|meal| !meal.meal.is_empty()) {
        if !columns.contains(&meal.meal) {
            columns.push(meal.meal.clone());
        }
    }
    columns.truncate(MOST_COLUMNS);
    let unnamed = |date| {
        let meals = report.meals.iter().filter(move |meal| meal.date == date);
        meals.filter(|meal| meal.meal.is_empty()).count()
    };
    let most = report
        .days
        .iter()
        .map(|line| unnamed(line.date))
        .max()
        .unwrap_or(0);
    let room = MOST_COLUMNS
        .saturating_sub(columns.len())
        .max(usize::from(most > 0));
    for number in 1..=most.min(room) {
        columns.push(match (most, number) {
            (1, _) => "meal".into(),
            (_, number) => format!("meal {number}"),
        });
    }
    if columns.is_empty() {
        columns.push("meal".into());
    }
    columns
}

/// The meals of a day by column; meals without a column of their own are in the last.
pub(super) fn in_columns(report: &VisitReport, date: Date, columns: usize) -> Vec<Vec<&MealLine>> {
    let names = self::columns(report);
    let mut cells = vec![Vec::new(); columns];
    let first_unnamed = names
        .iter()
        .position(|name| !report.meals.iter().any(|meal| meal.meal == *name));
    let mut unnamed = first_unnamed.unwrap_or(columns.saturating_sub(1));
    for meal in report.meals.iter().filter(|meal| meal.date == date) {
        let named = names.iter().position(|name| *name == meal.meal);
        let at = named.unwrap_or_else(|| {
            unnamed += 1;
            unnamed - 1
        });
        let last = cells.len().saturating_sub(1);
        if let Some(cell) = cells.get_mut(at.min(last)) {
            cell.push(meal);
        }
    }
    cells
}

/// The chart of every nutrient with a reference, except energy; `None` where no day is complete.
pub(super) fn nutrients(report: &VisitReport) -> Option<String> {
    let lines = report.nutrients.iter().filter(|line| line.id != ENERGY);
    let bars: Vec<_> = lines.filter_map(bar).collect();
    NutrientBars {
        id: "nutrients",
        title: "Nutrients of an average day beside their reference intakes",
        bars: &bars,
    }
    .svg()
}

/// Tagname of energy.
pub(super) const ENERGY: &str = "ENERC_KCAL";

/// Both ends of a figure, where they are known.
fn whisker(interval: Option<&IntervalReport>) -> Option<Whisker> {
    interval?.whisker()
}

fn bar(line: &NutrientLine) -> Option<NutrientBar> {
    let reference = line.reference.as_ref()?;
    let share = |amount: Option<f64>| amount.map(|amount| amount / reference.amount * 100.0);
    let upper = line.upper.as_ref().filter(|_| line.upper_of_total);
    Some(NutrientBar {
        name: line.nutrient.plain.clone(),
        amount: amount(line.parts.total, line.parts.complete, line.nutrient),
        against: against(line).unwrap_or_default(),
        milk: share(line.parts.milk),
        food: share(line.parts.food),
        supplement: share(line.parts.supplement),
        complete: line.parts.complete,
        whisker: whisker(line.interval.as_ref()).map(|ends| ends.times(100.0 / reference.amount)),
        upper: upper.map(|upper| upper.amount / reference.amount * 100.0),
    })
}

/// `52 % of 11 mg RDA`, with `>=` where it is a lower bound.
fn against(line: &NutrientLine) -> Option<String> {
    let reference = line.reference.as_ref()?;
    let amount = reference_amount(reference.amount);
    let of = format!("of {amount} {} {}", line.unit, reference.kind);
    Some(match share(line) {
        Some(share) => format!("{share} {of}"),
        None => of,
    })
}

/// Share of the reference, with `>=` where it is a lower bound.
pub(super) fn share(line: &NutrientLine) -> Option<String> {
    let (known, complete) = (line.reference.as_ref()?.percent?, line.parts.complete);
    let useful = complete || known > 0.0;
    useful.then(|| unbroken(&bounded_percent(known, complete)))
}

/// The sign before a figure that is a lower bound.
pub(super) fn bound(complete: bool) -> &'static str {
    if complete { "" } else { ">=\u{a0}" }
}

/// A reference as it is published, without decimals that a mean over ages would bring.
pub(super) fn reference_amount(amount: f64) -> String {
    let text = match amount {
        ..10.0 => decimals(amount, 2),
        10.0..100.0 => decimals(amount, 1),
        _ => return decimals(amount, 0),
    };
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// Energy of each day or week; `None` where no day is complete.
pub(super) fn energy(report: &VisitReport) -> Option<String> {
    let bars: Vec<_> = report
        .periods
        .iter()
        .map(|period| PeriodBar {
            label: day(period.from),
            recorded: period.counted > 0,
            food: period.food_kcal,
            milk: period.milk_kcal,
            supplement: None,
            complete: period.kcal_complete,
            whisker: whisker(period.kcal_interval.as_ref()),
            wanted: period.wanted_kcal,
            need: period.needed_kcal,
        })
        .collect();
    PeriodBars {
        id: "energy",
        title: "Energy from food and from milk",
        unit: "kcal",
        each: each(report),
        wanted_of: wanted_of(report),
        need_of: "needed in all (EER)",
        bars: &bars,
    }
    .svg()
}

/// Iron of each day or week; `None` where no day is complete.
pub(super) fn iron(report: &VisitReport) -> Option<String> {
    let iron = data_import::NutrientId::IRON;
    let line = report
        .nutrients
        .iter()
        .find(|line| line.nutrient.id == iron);
    let reference = line.and_then(|line| line.reference.as_ref());
    let need_of = reference.map_or_else(String::new, |one| format!("reference ({})", one.kind));
    let bars: Vec<_> = report
        .periods
        .iter()
        .map(|period| PeriodBar {
            label: day(period.from),
            recorded: period.counted > 0,
            food: period.iron.food,
            milk: period.iron.milk,
            supplement: period.iron.supplement,
            complete: period.iron.complete,
            whisker: whisker(period.iron.interval.as_ref()),
            wanted: None,
            need: reference.map(|one| one.amount),
        })
        .collect();
    PeriodBars {
        id: "iron",
        title: "Iron from food and from milk",
        unit: "mg iron",
        each: each(report),
        wanted_of: "",
        need_of: &need_of,
        bars: &bars,
    }
    .svg()
}

/// What a bar stands for.
fn each(report: &VisitReport) -> &'static str {
    if report.days.len() > FEW_DAYS {
        "on an average day of each week"
    } else {
        "a day"
    }
}

/// The scope of the published energy recommendation.
pub(super) fn wanted_of(report: &VisitReport) -> &'static str {
    match report.energy.breast_fed {
        Some(false) => "expected of all (WHO)",
        _ => "expected of food (WHO)",
    }
}

/// First tastes and reactions; `None` where there are none and no food is known.
pub(super) fn variety(report: &VisitReport) -> Option<String> {
    let mut tastes: Vec<(GrowthMark, &str)> = Vec::new();
    for event in report.variety.of(EventKind::FirstTaste) {
        match tastes.last_mut().filter(|(mark, _)| mark.day == event.date) {
            Some((mark, first)) => {
                mark.foods += 1;
                mark.label = format!("{first}-{}", event.mark);
            }
            None => tastes.push((mark(event.date, 1, &event.mark), &event.mark)),
        }
    }
    let tastes: Vec<_> = tastes.into_iter().map(|(mark, _)| mark).collect();
    let reactions = report.variety.of(EventKind::Reaction);
    // Open ones of earlier stand in the table alone.
    let reactions: Vec<_> = reactions
        .filter(|event| event.date >= report.from)
        .map(|event| mark(event.date, 0, &event.mark))
        .collect();
    Growth {
        id: "variety",
        title: "Foods known, first tastes and reactions",
        period: (report.from, report.to),
        known_before: report.variety.known_before,
        tastes: &tastes,
        reactions: &reactions,
    }
    .svg()
}

fn mark(day: Date, foods: u32, label: &str) -> GrowthMark {
    GrowthMark {
        day,
        foods,
        label: label.to_string(),
    }
}
