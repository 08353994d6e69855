//! The short answer about a week: how complete it is, iron, energy, variety, what is new, and what to do next.

use std::collections::{BTreeMap, BTreeSet};

use data_import::NutrientId;
use jiff::civil::Date;

use super::amounts::{fineness, of_yardstick};
use super::energy::gap_in_short;
use super::iron::{amount_and_share, flesh_share, iron_per_kg, vitamin_c_meals};
use super::{above_upper_levels, chosen, head, on_record, spans};
use crate::next_step::{NextStep, Remark};
use crate::notebook::Measured;
use crate::nutrition::indicators::LEAST_GROUPS;
use crate::nutrition::week::Yardstick;
use crate::nutrition::{IndicatorResult, Week};
use crate::report::household::measured;
use crate::report::milk_breaks::MilkBreak;
use crate::report::plan::short_name;
use crate::report::text::{Look, Page};
use crate::report::week::day::DayReport;
use crate::report::week::{WeekReport, WeekView};
use crate::words::{self, capital, counted, joined, lower};

/// The most nutrients, foods or next steps that are named (judgement): fewer where the answer would
/// be too long; the evidence has all.
const MOST_NAMED: usize = 3;
/// The most lines of eighty columns of the answer (judgement); two more defer to those who know the child.
const MOST_LINES: usize = 23;

/// Adds the answer: at most twenty-five lines of eighty columns, what is above an upper level not counted.
pub(super) fn answer(
    page: &mut Page,
    report: &WeekReport,
    view: &WeekView<'_>,
    evidence: &NextStep,
) {
    let week = view.week;
    for line in above_upper_levels(week).iter().filter(|line| line.alarm) {
        page.paragraph(&format!("! {}", line.text));
    }
    // The words do not depend on the width: a narrow terminal takes more lines for them.
    let look = Look {
        width: Look::PLAIN_WIDTH,
        ..page.look()
    };
    let fits = |most: &usize| {
        let mut answer = Page::new(look);
        in_lines(&mut answer, report, view, (evidence, *most));
        answer.lines() <= MOST_LINES
    };
    let most = (1..=MOST_NAMED).rev().find(fits).unwrap_or(1);
    in_lines(page, report, view, (evidence, most));
}

/// Adds the answer with at most `most` names of a kind.
fn in_lines(
    page: &mut Page,
    report: &WeekReport,
    view: &WeekView<'_>,
    (evidence, most): (&NextStep, usize),
) {
    let week = view.week;
    head(page, report);
    let rows = [
        ("Record", Some(on_record(report))),
        ("Iron", iron(week)),
        ("Vitamin C", vitamin_c(week)),
        ("Energy", week.energy.as_ref().map(gap_in_short)),
        ("Dense", density(report)),
        ("Variety", variety(report)),
        ("Lowest", lowest(week, most)),
        ("Supplements", supplements(report, most)),
        ("Measured", measurements(report, most)),
        ("Milk", milk_breaks(report, most)),
        ("New", new(report, most)),
        ("Allergens", allergens(report)),
        ("Reaction", reactions(report, most)),
        ("Refused", refused(report, most)),
        ("Next", next(report, week, most)),
        (
            "Unsure",
            Some(page.look().worded(&unsure(report, week, (evidence, most)))),
        ),
    ];
    let rows = rows.into_iter();
    let rows = rows.filter_map(|(label, words)| Some([label.to_string(), words?]));
    page.rows(rows, &[]);
}

fn iron(week: &Week) -> Option<String> {
    let iron = week.nutrient(NutrientId::IRON)?;
    let share = flesh_share(week);
    let per_kg = iron_per_kg(week).map(|words| format!(" ({words})"));
    Some(format!(
        "{} on an average day{}; {share}",
        amount_and_share(iron, week),
        per_kg.unwrap_or_default()
    ))
}

fn vitamin_c(week: &Week) -> Option<String> {
    let meals = vitamin_c_meals(week);
    let unknown = match meals.unknown {
        0 => String::new(),
        some => format!("; not known of {some}"),
    };
    (meals.of > 0).then(|| {
        format!(
            "enough beside the iron in {} of {} without meat or fish{unknown}",
            meals.enough,
            counted(meals.of, "meal")
        )
    })
}

/// The days on which food was less dense in energy than is looked for.
fn density(report: &WeekReport) -> Option<String> {
    let known = report.days.iter().filter_map(|day| {
        let density = day.density.as_ref()?;
        let (dense, least) = (density.kcal_per_g?, density.least_kcal_per_g?);
        density.complete.then_some((day.date, dense < least))
    });
    let known: Vec<(Date, bool)> = known.collect();
    let under = known.iter().filter(|(_, under)| *under);
    let under: Vec<Date> = under.map(|(day, _)| *day).collect();
    let of = counted(known.len(), "day");
    match (known.is_empty(), under.is_empty()) {
        (true, _) => None,
        (_, true) => Some(format!(
            "food at or above what is looked for on {} of {of}",
            known.len()
        )),
        _ => Some(format!(
            "food under what is looked for on {}",
            spans(&under)
        )),
    }
}

fn variety(report: &WeekReport) -> Option<String> {
    let days = || report.days.iter().filter(|day| day.recorded);
    let met = |of: fn(&DayReport) -> &IndicatorResult| {
        days()
            .filter(|day| matches!(of(day), IndicatorResult::Met))
            .count()
    };
    let all = days().count();
    (all > 0).then(|| {
        format!(
            "at least {LEAST_GROUPS} of 8 food groups on {} of {}, enough meals on {}",
            met(|day| &day.indicators.diversity),
            counted(all, "day"),
            met(|day| &day.indicators.frequency)
        )
    })
}

/// The nutrients that are the smallest share of their reference, and those of which a value is missing.
fn lowest(week: &Week, most: usize) -> Option<String> {
    // Little sodium is not a lack.
    let others = chosen(week, false).filter(|one| one.nutrient.id != NutrientId::SODIUM);
    let shares = others.filter_map(|one| {
        let reference: &Yardstick = one.reference.as_ref()?;
        Some((reference.percent?, one, reference))
    });
    let shares = shares.filter(|(share, ..)| *share < 100.0);
    // Of a lower bound nobody knows how little it is: what labels leave out is not ranked as if it were not there.
    let (mut shares, unknown): (Vec<_>, Vec<_>) =
        shares.partition(|(_, one, _)| one.per_day.complete());
    shares.sort_by(|a, b| a.0.total_cmp(&b.0));
    let shares = shares.into_iter().take(most).map(|(_, one, reference)| {
        let share = of_yardstick(reference, one.nutrient, fineness(one));
        format!("{} {share}", lower(&one.nutrient.plain))
    });
    let unknown = unknown.iter().map(|(_, one, _)| lower(&one.nutrient.plain));
    let unknown = few(unknown, most).map(|names| format!("not known in full: {names}"));
    let all = joined(shares.chain(unknown), "; ");
    (!all.is_empty()).then_some(all)
}

/// At most `most` names, and how many more there are.
fn few(names: impl IntoIterator<Item = String>, most: usize) -> Option<String> {
    let names: Vec<String> = names.into_iter().collect();
    let more = names.len().saturating_sub(most);
    let named = names.into_iter().take(most);
    let all = joined(
        named.chain((more > 0).then(|| format!("{more} more"))),
        "; ",
    );
    (!all.is_empty()).then_some(all)
}

fn supplements(report: &WeekReport, most: usize) -> Option<String> {
    let all = report.supplements.iter().map(|one| one.text.clone());
    few(all, most)
}

/// What was measured, day by day, the last day first: `weight 8.4 kg, length 66 cm (16 Nov 2026)`.
fn measurements(report: &WeekReport, most: usize) -> Option<String> {
    let mut by_day: BTreeMap<Date, Vec<String>> = BTreeMap::new();
    for measurement in &report.measurements {
        let what = match measurement.what {
            Measured::Weight => "weight",
            Measured::Length => "length",
            Measured::Head => "head",
        };
        let of_day = by_day.entry(measurement.day).or_default();
        of_day.push(format!("{what} {}", measured(measurement)));
    }
    let days = by_day.iter().rev();
    let days = days.map(|(day, values)| format!("{} ({})", values.join(", "), words::day(*day)));
    few(days, most)
}

/// Where milk was written down in another way.
fn milk_breaks(report: &WeekReport, most: usize) -> Option<String> {
    few(report.milk_breaks.iter().map(MilkBreak::in_short), most)
}

fn new(report: &WeekReport, most: usize) -> Option<String> {
    let first = report.tastes.first.iter();
    let first = first.map(|one| format!("{} ({})", short_name(&one.name), words::day(one.date)));
    few(first, most)
}

fn allergens(report: &WeekReport) -> Option<String> {
    let eaten = report
        .tastes
        .allergens
        .iter()
        .filter(|one| !one.days.is_empty());
    let eaten = eaten.map(|one| format!("{} on {}", one.allergen, counted(one.days.len(), "day")));
    let eaten = joined(eaten, ", ");
    (!eaten.is_empty()).then_some(eaten)
}

fn reactions(report: &WeekReport, most: usize) -> Option<String> {
    let seen = report.tastes.reactions.iter().map(|one| {
        let foods = joined(one.foods.iter().map(|food| short_name(food)), "; ");
        format!("{} after {foods}: {}", words::day(one.date), one.words)
    });
    // The gravest come first, and none of these is left out.
    let severe = report.tastes.reactions.iter().filter(|one| one.severe);
    let most = most.max(severe.count());
    few(seen, most)
}

fn refused(report: &WeekReport, most: usize) -> Option<String> {
    let refused = report.tastes.refused.iter();
    let refused = refused.map(|one| format!("{} ({})", one.what.join(", "), words::day(one.date)));
    few(refused, most)
}

/// What to do next, the gravest first.
fn next(report: &WeekReport, week: &Week, most: usize) -> Option<String> {
    let open = report
        .tastes
        .reactions
        .iter()
        .filter(|one| one.open)
        .count();
    let record = &report.record;
    let mut missing = [&record.without_record[..], &record.without_meals[..]].concat();
    // A record that begins today owes nothing of the days before it.
    missing.retain(|day| report.planned || report.first_meal.is_some_and(|first| *day > first));
    let meals = vitamin_c_meals(week);
    // What was followed by a reaction is never suggested.
    let well = report.tastes.allergens.iter().filter(|one| !one.reacted);
    let kept_up = well.filter(|one| one.days.is_empty() && one.first.is_some());
    let kept_up = joined(kept_up.map(|one| one.allergen.as_str()), ", ");
    let poor = report
        .days
        .iter()
        .filter(|day| day.recorded && matches!(day.indicators.diversity, IndicatorResult::NotMet));
    let poor: Vec<Date> = poor.map(|day| day.date).collect();
    let kept = if report.planned { "plan" } else { "write down" };
    let steps = [
        match open {
            0 => None,
            1 => Some(
                "ask your paediatrician about the reaction before the food is offered again".into(),
            ),
            _ => Some(
                "ask your paediatrician about the reactions before any of these foods is offered again"
                    .into(),
            ),
        },
        (!missing.is_empty()).then(|| format!("{kept} the meals of {}", spans(&missing))),
        low_iron(week),
        vitamin_d(report, week),
        (!record.without_milk.is_empty())
            .then(|| format!("{kept} the milk of {}", spans(&record.without_milk))),
        (meals.enough < meals.of / 2).then(|| {
            "fruit or vegetables with vitamin C in the same meal help iron from plants".into()
        }),
        (!kept_up.is_empty()).then(|| format!("offer again what is known: {kept_up}")),
        (!poor.is_empty())
            .then(|| format!("another food group on days such as {}", words::day(poor[0]))),
    ];
    let steps: Vec<String> = steps.into_iter().flatten().take(most).collect();
    (!steps.is_empty()).then(|| capital(&steps.join("; ")))
}

/// A question about iron, where an average day lies below what half of all children of this age need, with every value known.
fn low_iron(week: &Week) -> Option<String> {
    let iron = week.nutrient(NutrientId::IRON)?;
    let ear = iron.reference.as_ref()?.ear?;
    let had = iron.per_day.amount().filter(|_| iron.per_day.complete())?;
    (had < ear).then(|| "ask your paediatrician about iron, which is below the EAR".into())
}

/// A question about drops of vitamin D, where none are on record and food and milk bring less than is advised.
fn vitamin_d(report: &WeekReport, week: &Week) -> Option<String> {
    let vitamin = week.nutrient(NutrientId::VITAMIN_D)?;
    let advised = vitamin.reference.as_ref()?.percent?;
    let given = report
        .supplements
        .iter()
        .any(|line| line.nutrient == vitamin.nutrient.tag && line.days_given > 0);
    (!given && advised < 100.0 && vitamin.per_day.complete())
        .then(|| "ask about vitamin D drops: none are on record".into())
}

fn unsure(report: &WeekReport, week: &Week, (evidence, most): (&NextStep, usize)) -> Remark {
    // The batches that were eaten have estimates of their own, which are named with each of them.
    let estimates = match report.estimates.len() {
        0 => "the amounts eaten and drunk: none estimated".into(),
        some => words::estimates(some),
    };
    let lacking = chosen(week, false).flat_map(|one| one.per_day.total().missing);
    let mut foods: Vec<String> = lacking.map(|food| short_name(week.name(&food))).collect();
    let mut seen = BTreeSet::new();
    foods.retain(|name| seen.insert(name.clone()));
    let missing = few(foods, most).map_or_else(String::new, |foods| {
        format!("; not every value is known of {foods}")
    });
    Remark::with(format!("{estimates}{missing}"), evidence.clone())
}
