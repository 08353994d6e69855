//! The facts about a child that planning needs: foods known and barred, usual size of a meal, and
//! daily needs.

use crate::food::same_food;
use crate::next_step::NextStep;
use std::collections::{BTreeMap, BTreeSet};

use data_import::{NutrientId, group};
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::BookJudge;
use super::week::milk_of;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, Eaten, Store, TasteRecord};
use crate::nutrition::{AgeMonths, Complementary, Day, IntakeTable, Source};
use crate::planning::limit::{Counts, DayLimit};
use crate::planning::rules::table::{FISH_A_WEEK, OFFER_AFTER_DAYS};
use crate::planning::usual::MealSize;
use crate::planning::{Eater, IronGoal, Need};
use crate::portion::Tray;
use crate::problem::Problem;
use crate::quantity::Volume;
use crate::safety::{Measure, Portion, Window};

/// The number of days on record from which the size of a meal is estimated. Fewer than the least
/// are first spoons, too few for an estimate (judgement).
const DAYS_ON_RECORD: usize = 7;
const LEAST_DAYS: usize = 3;
/// Meals with a food that were eaten before it counts as liked, whatever was refused since
/// (judgement).
const LIKED_AFTER: u32 = 3;
/// Food groups a day to aim for beside milk: five of eight are the least for 6 to 23 months, and
/// breast milk or dairy is one of them (WHO and UNICEF, Indicators for assessing infant and young
/// child feeding practices, 2021).
const GROUPS_WANTED: u32 = 4;

/// The inputs from which the eaters of a plan are gathered.
pub(super) struct Household<'a> {
    pub(super) book: &'a Book,
    pub(super) store: &'a Store,
    pub(super) pantry: &'a Pantry,
    pub(super) tray: &'a Tray,
    pub(super) judge: &'a BookJudge<'a>,
    pub(super) days: (Date, Date),
    /// 100 g of each food that may be planned.
    pub(super) foods: Vec<Portion>,
}

impl Household<'_> {
    /// The facts about a child, from what it tasted and ate before the first day; what it refused
    /// since then counts too.
    pub(super) fn eater(
        &self,
        child: &Child,
        tastes: &TasteRecord,
        up_to_now: &TasteRecord,
        eaten: &[Eaten],
    ) -> Result<Eater, BookError> {
        let milk = milk_of(self.store, child, self.days, self.pantry)?;
        let size = MealSize {
            cube: Volume::from_millilitres(self.tray.well.millilitres() * self.tray.fill),
            eaten: self.usual_cubes(eaten),
        };
        let published = Complementary::builtin()?;
        let known = tastes.known().into_keys();
        let known = known.filter_map(|food| food.parse().ok());
        let names = tastes.known_by_name();
        let foods = self.foods.iter().map(|portion| &portion.food);
        let in_other_form = foods.filter(|food| names.contains_key(&same_food(&food.name)));
        let in_other_form = in_other_form.map(|food| food.id.clone());
        let refused = || {
            let refused = up_to_now.to_offer_again();
            refused.filter_map(|taste| Some((taste.food.parse().ok()?, taste)))
        };
        let again = refused().map(|(food, taste)| {
            let free = taste.last.saturating_add(OFFER_AFTER_DAYS.days());
            (food, free)
        });
        let hardly_eaten = refused().filter(|(_, taste)| taste.accepted < LIKED_AFTER);
        Ok(Eater {
            name: child.name.clone(),
            meals: self.book.settings.meals.clone(),
            days: needs(&milk, size, &published)?,
            size_on_record: size.eaten.is_some(),
            iron: iron_goal(&milk)?,
            known: known.chain(in_other_form).collect(),
            new_from: tastes.next_free(&self.book.settings),
            allergens: self.well_taken(tastes),
            offer_again: again.collect(),
            not_liked_yet: hardly_eaten.map(|(food, _)| food).collect(),
            limits: self.limits(child.age_on(self.days.0))?,
            groups_wanted: GROUPS_WANTED,
        })
    }

    /// The median of the purée eaten at a meal on the last days on record, in cubes of the first
    /// tray.
    fn usual_cubes(&self, eaten: &[Eaten]) -> Option<f64> {
        let puree = |eaten: &Eaten| -> f64 {
            let servings = eaten.meal.servings.iter();
            let puree = servings.filter(|serving| serving.source == Source::Puree);
            puree.map(|serving| serving.mass.grams()).sum::<f64>() * eaten.meal.share
        };
        let before = eaten.iter().filter(|eaten| eaten.day < self.days.0);
        let meals: Vec<(Date, f64)> = before
            .map(|eaten| (eaten.day, puree(eaten)))
            .filter(|(_, grams)| *grams > 0.0)
            .collect();
        let days: BTreeSet<Date> = meals.iter().map(|(day, _)| *day).collect();
        let count = days.len();
        if count < LEAST_DAYS {
            return None;
        }
        let last = days.into_iter().rev().nth(DAYS_ON_RECORD.min(count) - 1)?;
        let recent = meals.iter().filter(|(day, _)| *day >= last);
        let mut grams: Vec<f64> = recent.map(|(_, grams)| *grams).collect();
        grams.sort_by(f64::total_cmp);
        // A purée is taken to weigh 1 g in a millilitre.
        let cube = (self.tray.well.millilitres() * self.tray.fill).max(1.0);
        grams.get(grams.len() / 2).map(|grams| grams / cube)
    }

    /// Major allergens that the child had, with nothing noted after any meal with them.
    fn well_taken(&self, tastes: &TasteRecord) -> BTreeSet<String> {
        let names: Vec<&str> = tastes.known_allergens().into_keys().collect();
        let had = tastes.allergens(&names, self.days.0).into_iter();
        let well = had.filter(|taste| taste.first.is_some() && taste.reactions.is_empty());
        well.map(|taste| taste.allergen).collect()
    }

    /// The limits on sums that no plan may exceed: those of the judge, and those of plans alone for
    /// preformed vitamin A and for fish.
    fn limits(&self, age: AgeMonths) -> Result<Vec<DayLimit>, BookError> {
        let judge = self.judge.judge();
        let mut limits: Vec<DayLimit> = judge
            .limits(age)
            .map(|(row, hazard, limit)| {
                let amounts = |portion: &Portion| judge.counts(row, std::slice::from_ref(portion));
                let meals = limit.measure == Measure::Meals;
                let days = match limit.window {
                    Window::Day => 1,
                    Window::Week => 7,
                };
                DayLimit {
                    judged: true,
                    ..self.limit(hazard, (days, limit.most), meals, amounts)
                }
            })
            .collect();
        let fish = |portion: &Portion| {
            f64::from(u8::from(portion.food.group == group::FISH_AND_SHELLFISH))
        };
        limits.push(self.limit("fish", (7, FISH_A_WEEK), true, fish));
        let upper = IntakeTable::builtin()?.upper(NutrientId::VITAMIN_A_RAE, age);
        let retinol = |portion: &Portion| {
            let value = portion.food.composition.get(NutrientId::RETINOL);
            value.unwrap_or(0.0)
        };
        limits.extend(upper.map(|upper| self.limit("retinol", (1, upper.amount), false, retinol)));
        Ok(limits)
    }

    /// A limit, from what 100 g of each food add to it. A missing value adds nothing here, since
    /// liver is recognised by its name.
    fn limit(
        &self,
        hazard: &str,
        (days, most): (u32, f64),
        meals: bool,
        amount: impl Fn(&Portion) -> f64,
    ) -> DayLimit {
        let foods = self.foods.iter();
        let counted = foods
            .map(|portion| (portion.food.id.clone(), amount(portion)))
            .filter(|(_, amount)| *amount > 0.0);
        DayLimit {
            hazard: hazard.into(),
            days,
            most,
            counts: if meals {
                Counts::Meals(counted.map(|(food, _)| food).collect())
            } else {
                Counts::Grams(
                    counted
                        .map(|(food, amount)| (food, amount / 100.0))
                        .collect(),
                )
            },
            judged: false,
        }
    }
}

/// The needs of each day. A child whose milk is not on record is taken as breast-fed, which lowers
/// the energy needed from food.
fn needs(
    days: &[Day],
    size: MealSize,
    published: &Complementary,
) -> Result<BTreeMap<Date, Need>, BookError> {
    let mut needs = BTreeMap::new();
    for (at, day) in (0..).zip(days) {
        let breast_fed = day
            .milk
            .as_ref()
            .is_none_or(|milk| milk.iter().any(|part| part.breast));
        let need = Need::on(at, day.age, breast_fed, size, published);
        let need = need.ok_or_else(|| {
            let what = format!("nothing is published for a child of {} months", day.age.0);
            Problem::new(what).hint(NextStep::PlanMeals)
        })?;
        needs.insert(day.date, need);
    }
    Ok(needs)
}

/// The iron references for the age of the first day, and what milk brings on an average day.
fn iron_goal(days: &[Day]) -> Result<Option<IronGoal>, BookError> {
    let Some(age) = days.first().map(|day| day.age) else {
        return Ok(None);
    };
    let intakes = IntakeTable::builtin()?;
    let milk = days
        .iter()
        .filter_map(|day| day.total(NutrientId::IRON, None).known);
    let from_milk = milk.sum::<f64>() / days.len() as f64;
    let ear = intakes.ear(NutrientId::IRON, age);
    let rda = intakes.intake(NutrientId::IRON, age);
    Ok(ear.zip(rda).map(|(ear, rda)| IronGoal {
        ear,
        rda: rda.amount,
        from_milk,
    }))
}
