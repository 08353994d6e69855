//! Nutrients of a visit: of an average day, of each week, of each day.

use std::collections::BTreeMap;

use data_import::{Nutrient, NutrientId};
use jiff::civil::Date;
use serde::Serialize;

use crate::household::VisitFacts;
use crate::nutrition::energy::Requirement;
use crate::nutrition::week::{
    DayFigures, NutrientWeek, Parts, UpperWeek, Yardstick, had, interval_of_days,
    mean as mean_parts,
};
use crate::nutrition::{Day, IntakeTable, Serving, Source, Total};
use crate::report::interval::IntervalReport;
use crate::report::week::{AmountReport, PartsReport, chosen};

/// A fortnight at most has a figure for each day, more than that one for each week.
pub(super) const FEW_DAYS: usize = 14;

/// A nutrient of an average day.
#[derive(Debug, Clone, Serialize)]
pub struct NutrientLine {
    #[serde(skip)]
    pub(super) nutrient: &'static Nutrient,
    pub id: &'static str,
    pub number: u16,
    pub name: &'static str,
    pub unit: &'static str,
    pub parts: PartsReport,
    /// Whether what is from milk, or from food, is all of it; else it is a lower bound.
    pub milk_complete: bool,
    pub food_complete: bool,
    pub reference: Option<Yardstick>,
    pub upper: Option<UpperWeek>,
    /// Where an average day most likely lies.
    pub interval: Option<IntervalReport>,
    /// Whether the upper level is of the very total that is shown.
    pub upper_of_total: bool,
}

/// A day, or the average day of a week.
#[derive(Debug, Clone, Serialize)]
pub struct PeriodFigures {
    pub from: Date,
    pub to: Date,
    /// Days on record.
    pub counted: usize,
    pub iron_mg: AmountReport,
    /// Iron by where it comes from, in mg.
    pub iron: PartsReport,
    pub food_kcal: Option<f64>,
    pub food_complete: bool,
    pub milk_kcal: Option<f64>,
    pub milk_complete: bool,
    pub kcal: Option<f64>,
    pub kcal_complete: bool,
    /// Where the energy in all most likely lies.
    pub kcal_interval: Option<IntervalReport>,
    /// The recommended energy from complementary food, or from all food where the child is not breast-fed, in kcal.
    pub wanted_kcal: Option<f64>,
    /// The estimated energy requirement.
    pub needed_kcal: Option<f64>,
}

/// A day: the nutrients that the page shows, in total and item by item.
#[derive(Debug, Clone, Serialize)]
pub struct DayLine {
    pub date: Date,
    pub age_months: u16,
    pub recorded: bool,
    /// Whether the household said that the day is not known.
    pub not_known: bool,
    pub milk_on_record: bool,
    pub nutrients: BTreeMap<&'static str, PartsReport>,
    pub references: BTreeMap<&'static str, Share>,
    pub items: Vec<ItemLine>,
}

/// A reference intake, and the share of it that was had.
#[derive(Debug, Clone, Serialize)]
pub struct Share {
    pub kind: &'static str,
    pub amount: f64,
    pub percent: Option<f64>,
    /// Estimated average requirement, where one is set beside the RDA.
    pub ear: Option<f64>,
}

/// A food or drink, as far as it was eaten.
#[derive(Debug, Clone, Serialize)]
pub struct ItemLine {
    pub what: String,
    pub source: &'static str,
    pub nutrients: BTreeMap<&'static str, AmountReport>,
}

/// The nutrients that a parent and a paediatrician look at first.
pub(super) fn nutrients(facts: &VisitFacts, intakes: &IntakeTable) -> Vec<NutrientLine> {
    let shown = chosen(&facts.kept.week, false);
    let lines = shown.map(|one| NutrientLine::new(one, facts, intakes));
    lines.collect()
}

impl NutrientLine {
    fn new(figures: &NutrientWeek, facts: &VisitFacts, intakes: &IntakeTable) -> Self {
        let id = figures.nutrient.id;
        let counted = facts.kept.week.counted().count() > 0;
        let days = facts.kept.days.iter();
        let covers = days.filter_map(|day| intakes.upper(id, day.age));
        Self {
            nutrient: figures.nutrient,
            id: &figures.nutrient.tag,
            number: id.number(),
            name: &figures.nutrient.name,
            unit: &figures.nutrient.unit,
            // Without any day on record nothing is known.
            parts: if counted {
                PartsReport::from(&figures.per_day)
            } else {
                PartsReport::default()
            },
            milk_complete: figures.per_day.milk_on_record && figures.per_day.milk.complete(),
            food_complete: figures.per_day.food().complete(),
            // Energy is a share of a requirement only where the milk in it was measured.
            reference: figures
                .reference
                .clone()
                .filter(|_| id != NutrientId::ENERGY || milk_was_measured(facts)),
            upper: figures.upper.clone(),
            interval: IntervalReport::known("per_day", figures.interval.clone()),
            upper_of_total: covers
                .map(|upper| upper.compared_with)
                .all(|of| of == Some(id)),
        }
    }
}

/// Whether the amount of milk is measured, or none was drunk, on every day that counts.
pub(super) fn milk_was_measured(facts: &VisitFacts) -> bool {
    let counted = facts.kept.days.iter().zip(&facts.kept.week.days);
    let mut counted = counted.filter(|(_, one)| one.recorded);
    counted.all(|(day, _)| {
        let milk = day.milk.as_ref();
        milk.is_some_and(|milk| milk.iter().all(|one| one.estimate.is_none()))
    })
}

/// The periods of the charts: days for a short time, weeks for a long one.
pub(super) fn periods(facts: &VisitFacts) -> Vec<PeriodFigures> {
    let size = if facts.kept.days.len() <= FEW_DAYS {
        1
    } else {
        7
    };
    let days = facts
        .kept
        .days
        .chunks(size)
        .zip(facts.kept.week.days.chunks(size));
    days.filter_map(|days| PeriodFigures::new(days, facts))
        .collect()
}

impl PeriodFigures {
    fn new((had_days, days): (&[Day], &[DayFigures]), facts: &VisitFacts) -> Option<Self> {
        let counted: Vec<_> = days.iter().filter(|day| day.recorded).collect();
        let of_days = had_days.iter().zip(days).filter(|(_, day)| day.recorded);
        let of_days: Vec<&Day> = of_days.map(|(day, _)| day).collect();
        let with_interval = |id| {
            let parts = mean_parts(&counted, id);
            let interval = interval_of_days(id, &of_days, &parts);
            let interval = interval.filter(|_| !counted.is_empty());
            PartsReport {
                interval: IntervalReport::known("per_day", interval),
                ..PartsReport::from(&parts)
            }
        };
        let parts = |id| counted.iter().filter_map(move |day| day.parts(id));
        let energy = || parts(NutrientId::ENERGY);
        let milk_known = energy().any(|day| day.from_milk().is_some());
        let need = |day: &&DayFigures| {
            Some(Requirement::of_2005(day.age, *facts.kept.weights.get(&day.date)?)?.kcal)
        };
        let wanted = |day: &&DayFigures| Some(day.energy.as_ref()?.wanted);
        let all = had(&mean(energy().map(Parts::total)));
        Some(Self {
            from: days.first()?.date,
            to: days.last()?.date,
            counted: counted.len(),
            iron_mg: amount(&counted, NutrientId::IRON),
            iron: with_interval(NutrientId::IRON),
            kcal_interval: with_interval(NutrientId::ENERGY).interval,
            food_kcal: food_kcal(&counted),
            food_complete: energy().all(|day| day.food().complete()),
            milk_complete: energy().all(|day| day.milk_on_record && day.milk.complete()),
            milk_kcal: had(&mean(energy().map(|day| day.milk.clone()))).filter(|_| milk_known),
            kcal: all.filter(|_| !counted.is_empty()),
            kcal_complete: !counted.is_empty() && energy().all(Parts::complete),
            wanted_kcal: middle(counted.iter().filter_map(wanted)),
            needed_kcal: middle(counted.iter().filter_map(need)),
        })
    }
}

/// A nutrient of an average day; nothing is known where no day counts.
pub(super) fn amount(counted: &[&DayFigures], nutrient: NutrientId) -> AmountReport {
    let parts = || counted.iter().filter_map(|day| day.parts(nutrient));
    let mean = mean(parts().map(Parts::total));
    let any = !counted.is_empty();
    AmountReport {
        amount: had(&mean).filter(|_| any),
        complete: any && parts().all(Parts::complete),
        missing: mean.missing,
    }
}

/// Energy from food of an average day, in kcal; `None` where nothing is known.
pub(super) fn food_kcal(counted: &[&DayFigures]) -> Option<f64> {
    let energy = counted
        .iter()
        .filter_map(|day| day.parts(NutrientId::ENERGY));
    had(&mean(energy.map(Parts::food))).filter(|_| !counted.is_empty())
}

fn mean(totals: impl Iterator<Item = Total>) -> Total {
    let (mut sum, mut count) = (Total::default(), 0u32);
    for total in totals {
        sum.add(&total);
        count += 1;
    }
    sum.times(1.0 / f64::from(count.max(1)))
}

fn middle(figures: impl Iterator<Item = f64>) -> Option<f64> {
    let figures: Vec<_> = figures.collect();
    let sum: f64 = figures.iter().sum();
    (!figures.is_empty()).then(|| sum / figures.len() as f64)
}

/// Every day of the time, with or without a record.
pub(super) fn days(
    facts: &VisitFacts,
    intakes: &IntakeTable,
    nutrients: &[NutrientLine],
) -> Vec<DayLine> {
    let days = facts.kept.days.iter().zip(&facts.kept.week.days);
    days.map(|(day, figures)| {
        let parts = |line: &NutrientLine| {
            let (id, parts) = (line.nutrient.id, figures.parts(line.nutrient.id)?);
            Some((line.id, PartsReport::of_day(id, day, parts)))
        };
        let share = |line: &NutrientLine| {
            Some((
                line.id,
                Share::new(line, (figures, day.milk_is_estimated()), (facts, intakes))?,
            ))
        };
        let milk = day.milk.iter().flatten();
        let milk = milk.map(|milk| (&milk.serving, 1.0));
        let meals = day.meals.iter().filter(|meal| meal.share > 0.0);
        let meals = meals.flat_map(|meal| meal.servings.iter().map(|one| (one, meal.share)));
        DayLine {
            date: day.date,
            age_months: day.age.0,
            recorded: figures.recorded,
            not_known: facts.not_known.contains(&day.date),
            milk_on_record: day.milk.is_some(),
            nutrients: nutrients.iter().filter_map(parts).collect(),
            references: nutrients.iter().filter_map(share).collect(),
            items: milk
                .chain(meals)
                .map(|(one, share)| ItemLine::new(one, share, nutrients))
                .collect(),
        }
    })
    .collect()
}

impl Share {
    fn new(
        line: &NutrientLine,
        (day, estimated): (&DayFigures, bool),
        (facts, intakes): (&VisitFacts, &IntakeTable),
    ) -> Option<Self> {
        let id = line.nutrient.id;
        let (kind, amount, ear) = if id == NutrientId::ENERGY {
            let need = Requirement::of_2005(day.age, *facts.kept.weights.get(&day.date)?)?;
            ("EER", need.kcal, None)
        } else {
            let intake = intakes.intake(id, day.age)?;
            (intake.kind.label(), intake.amount, intake.ear)
        };
        // Milk that is an estimate makes no share of a requirement of energy.
        let guessed = id == NutrientId::ENERGY && estimated;
        let known = had(&day.parts(id)?.total()).filter(|_| day.recorded && !guessed);
        Some(Self {
            kind,
            amount,
            percent: known.map(|known| known / amount * 100.0),
            ear,
        })
    }
}

impl ItemLine {
    fn new(serving: &Serving, share: f64, nutrients: &[NutrientLine]) -> Self {
        let amount = |line: &NutrientLine| {
            let total = serving.total(line.nutrient.id).times(share);
            (line.id, AmountReport::from(&total))
        };
        Self {
            what: serving.what.clone(),
            source: Source::word(serving.source),
            nutrients: nutrients.iter().map(amount).collect(),
        }
    }
}
