//! The sentences beside the figures of the page to take along.

use data_import::NutrientId;
use jiff::civil::Date;

use super::figures::NutrientLine;
use super::recent::RecentLine;
use super::{EventKind, MilkBreak, VisitReport, page_charts};
use crate::nutrition::reading::{EAR, IRON_RDA};
use crate::nutrition::vitamin_c::RICH_IN_PHYTATE;
use crate::report::interval::Fineness;
use crate::report::number::{amount, bounded_percent, decimals, unbroken};
use crate::words::{counted, grouped, joined};

/// The sentence on the days with each allergen.
pub(super) fn exposures(report: &VisitReport) -> Vec<String> {
    let exposures = &report.variety.exposures;
    let Some(weeks) = exposures.first().map(|one| one.days_by_week.len()) else {
        return Vec::new();
    };
    let each = exposures.iter().map(|one| {
        let days = one.days_by_week.iter().map(ToString::to_string);
        unbroken(&format!("{} {}", one.allergen, joined(days, ", ")))
    });
    let over = match weeks {
        1 => "Days with each allergen".to_string(),
        _ => format!(
            "Days with each allergen, week by week from {}",
            page_charts::day(report.from)
        ),
    };
    vec![format!("{over}: {}.", joined(each, "; "))]
}

/// The sentences on the completeness of the record.
pub(super) fn record(report: &VisitReport) -> Vec<String> {
    let record = &report.record;
    let days = counted(record.dates.days, "day");
    let mut sentences = vec![match record.dates.counted {
        0 => "No day is complete, so there is no average.".to_string(),
        1 => format!("1 of {days} is complete; averages are over that one."),
        some => format!("{some} of {days} are complete; averages are over these."),
    }];
    let not_known = report.days.iter().filter(|day| day.not_known);
    let not_known: Vec<Date> = not_known.map(|day| day.date).collect();
    let mut nothing = [
        &record.dates.without_record[..],
        &record.dates.without_meals,
    ]
    .concat();
    nothing.sort_unstable();
    nothing.retain(|day| !not_known.contains(day));
    for (words, days) in [
        (
            "Fewer meals than usual, not counted, on",
            &record.dates.incomplete,
        ),
        ("Nothing written down on", &nothing),
        ("Not known, as we said, on", &not_known),
        ("No milk on record on", &record.dates.without_milk),
    ] {
        if !days.is_empty() {
            sentences.push(format!("{words} {}.", listed(days)));
        }
    }
    let meals = counted(record.meals, "meal");
    sentences.push(format!(
        "{meals}: {} eaten, {} in part, {} not eaten.",
        record.taken, record.some, record.refused
    ));
    if record.milk_estimated > 0 {
        let days = counted(record.milk_estimated, "day");
        sentences.push(format!("The amount of milk is an estimate on {days}."));
    }
    sentences.extend(report.milk_breaks.iter().map(MilkBreak::sentence));
    sentences
}

/// A few days by date, many by their count.
fn listed(days: &[Date]) -> String {
    const FEW: usize = 6;
    if days.len() > FEW {
        return counted(days.len(), "day");
    }
    let days: Vec<_> = days.iter().map(|date| page_charts::day(*date)).collect();
    days.join(", ")
}

/// The dishes that were served, listed where the chart has no room for them.
pub(super) fn dishes(report: &VisitReport) -> Vec<String> {
    if report.days.len() <= page_charts::STRIP_DAYS || report.dishes.is_empty() {
        return Vec::new();
    }
    let dish = |dish: &super::DishLine| format!("{} ({})", dish.what, dish.meals);
    let dishes: Vec<_> = report.dishes.iter().map(dish).collect();
    vec![format!(
        "Served, and at how many meals: {}.",
        dishes.join("; ")
    )]
}

/// Iron first.
pub(super) fn iron(report: &VisitReport) -> Vec<String> {
    let mut sentences = Vec::new();
    let complete = report.record.dates.counted > 0;
    let mut nutrients = report.nutrients.iter().filter(|_| complete);
    if let Some(iron) = nutrients.find(|line| line.id == "FE") {
        let fine = Fineness::of_report(iron.interval.as_ref(), iron.parts.complete);
        let known = fine.in_words(iron.parts.total, iron.nutrient);
        let beside = match (page_charts::share(iron), &iron.reference) {
            (Some(share), Some(reference)) => format!(
                ", {share} of {} mg a day ({})",
                page_charts::reference_amount(reference.amount),
                reference.kind
            ),
            _ => String::new(),
        };
        let mut spans: Vec<String> = report
            .recent
            .iter()
            .map(|one| last_days(one, iron))
            .collect();
        let all = if spans.is_empty() { "" } else { "in all " };
        let per_kg = report.iron.mg_per_kg.map(|mg| {
            let figure = unbroken(&fine.like(mg, 2));
            format!(", {figure} mg for each kg of body weight")
        });
        spans.push(format!(
            "{all}{known}{beside}{}",
            per_kg.unwrap_or_default()
        ));
        sentences.push(format!("Iron on a complete day: {}.", joined(spans, "; ")));
    }
    let flesh = &report.iron.flesh;
    if let (Some(mg), Some(share)) = (flesh.mg, flesh.percent) {
        let bound = page_charts::bound(flesh.complete);
        sentences.push(format!(
            "From meat, fish and poultry: {bound}{} mg, {} of it.",
            decimals(mg, 2),
            unbroken(&bounded_percent(share, flesh.complete))
        ));
    }
    let iron = &report.iron;
    if iron.meals > iron.meals_of_meat_or_fish {
        sentences.push(format!(
            "Vitamin C, which helps iron from plants: {} or more for 1 of iron (molecules; {} with {RICH_IN_PHYTATE}) in {} of {} without meat or \
             fish{}.",
            iron.wanted_ratio,
            iron.wanted_ratio_much_phytate,
            iron.meals_with_vitamin_c,
            counted(iron.meals - iron.meals_of_meat_or_fish, "meal"),
            match iron.meals_not_known {
                0 => String::new(),
                unknown => format!(", {unknown} not known"),
            }
        ));
    }
    sentences
}

/// Iron on the last days, beside its reference: `last 7 days 2.00 mg, 18 %`.
fn last_days(recent: &RecentLine, iron: &NutrientLine) -> String {
    let iron_mg = &recent.iron_mg;
    let known = amount(iron_mg.amount, iron_mg.complete, iron.nutrient);
    let reference = iron.reference.as_ref().map(|reference| reference.amount);
    let share = iron_mg.amount.zip(reference).map(|(mg, reference)| {
        let share = bounded_percent(mg / reference * 100.0, iron_mg.complete);
        format!(", {}", unbroken(&share))
    });
    format!("{} {known}{}", recent.heading(), share.unwrap_or_default())
}

/// The sentences on reading the references, and on intakes above an upper level.
pub(super) fn references(report: &VisitReport) -> Vec<String> {
    let mut references = report.nutrients.iter().flat_map(|line| &line.reference);
    let has_ear = references.any(|reference| reference.ear.is_some());
    let reading: Vec<&str> = match report.no_reference {
        Some(why) => vec![why],
        None if has_ear => vec![EAR, IRON_RDA],
        None => Vec::new(),
    };
    let above = report.above_upper.iter().map(|line| line.text.clone());
    reading
        .into_iter()
        .map(str::to_string)
        .chain(above)
        .collect()
}

/// The legend of the lines in the energy chart, which is not drawn where no day is complete.
pub(super) fn energy(report: &VisitReport) -> Vec<String> {
    if report.record.dates.counted == 0 {
        return Vec::new();
    }
    let kcal = |kcal: f64| unbroken(&format!("{} kcal", decimals(kcal, 0)));
    let recent = report.recent.iter().filter_map(|one| {
        let energy = kcal(one.food_kcal?);
        Some(format!("last {} days {energy}", one.days))
    });
    let recent: Vec<String> = recent.collect();
    let all = report.nutrients.iter();
    let mut all = all.filter(|one| one.nutrient.id == NutrientId::ENERGY);
    let all = all.next().and_then(|one| one.parts.food).map(kcal);
    let mut sentences = match (recent.is_empty(), all) {
        (false, Some(all)) => vec![format!(
            "Energy from food on a complete day: {}; in all {all}.",
            joined(recent, "; ")
        )],
        _ => Vec::new(),
    };
    if report.energy.wanted_source.is_some() {
        let of = match report.energy.breast_fed {
            Some(false) => "all food and milk of a child that is not breast-fed",
            _ => "complementary food beside average breast milk of developing countries",
        };
        let other = report.energy.wanted_industrialised_kcal;
        let other =
            other.map(|kcal| format!("; of industrialised ones {} kcal", decimals(kcal, 0)));
        sentences.push(format!(
            "Dashed line: what is expected of {of}{}.",
            other.unwrap_or_default()
        ));
    }
    if report.energy.needed_source.is_some() {
        sentences.push("Full line: the requirement estimated from age and weight.".into());
    }
    sentences
}

pub(super) fn variety(report: &VisitReport) -> String {
    let variety = &report.variety;
    let new = variety.of(EventKind::FirstTaste).count();
    let reactions = variety.of(EventKind::Reaction).count();
    let reactions = match reactions {
        0 => "No reaction is on record.".to_string(),
        count => format!(
            "{} on record, in the parent's words.",
            counted(count, "reaction")
        ),
    };
    format!(
        "{} known before, {} new, {} known at the end. {reactions}",
        counted(variety.known_before, "food"),
        new,
        variety.known_after
    )
}

/// The sentences on values that are missing, which make totals lower bounds. Nutrients that lack a value from the same
/// foods share a line.
pub(super) fn missing(report: &VisitReport) -> Vec<String> {
    let missing = report.missing.iter();
    let missing = missing.map(|one| (&one.foods, &one.nutrient));
    let line = |(foods, nutrients): (&Vec<String>, _)| {
        let (nutrients, foods) = (joined(nutrients, ", "), joined(foods, "; "));
        format!("{nutrients}: no value for {foods}")
    };
    let milk = report.record.dates.without_milk.len();
    let milk = (milk > 0).then(|| format!("Milk: not on record on {}", counted(milk, "day")));
    milk.into_iter()
        .chain(grouped(missing).into_iter().map(line))
        .collect()
}
