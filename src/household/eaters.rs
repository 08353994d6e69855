//! The facts about a child that planning needs: foods known and barred, usual size of a meal, and
//! daily needs.

use crate::food::same_food;
use crate::next_step::NextStep;
use std::collections::{BTreeMap, BTreeSet};

use data_import::{FoodId, NutrientId, group};
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::BookJudge;
use super::plan_facts::usual_cube;
use super::week::milk_of;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, Eaten, Store, TasteRecord};
use crate::nutrition::{AgeMonths, Complementary, Day, IntakeTable, SOLIDS_FROM, Source};
use crate::planning::limit::{Counts, DayLimit};
use crate::planning::rules::table::{FISH_A_WEEK, OFFER_AFTER_DAYS};
use crate::planning::usual::MealSize;
use crate::planning::{Eater, IronGoal, Need};
use crate::portion::Tray;
use crate::problem::Problem;
use crate::safety::{Measure, Portion, Window, is_brought_new_foods, is_taste};

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

/// Major allergens, as planning needs them; see [`Eater`].
struct Allergens {
    no_longer_new: BTreeSet<String>,
    to_keep_up: BTreeSet<String>,
}

/// The inputs from which the eaters of a plan are gathered.
pub(super) struct Household<'a> {
    pub(super) book: &'a Book,
    pub(super) store: &'a Store,
    pub(super) pantry: &'a Pantry,
    pub(super) tray: &'a Tray,
    pub(super) judge: &'a BookJudge<'a>,
    pub(super) today: Date,
    pub(super) days: (Date, Date),
    /// The days of them that are planned.
    pub(super) planned: (Date, Date),
    /// A hundred grams of each food that may be planned.
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
            cube: self.tray.cube_volume(),
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
        let never_new = self.never_new(child);
        let ages = self.ages(child);
        let allergens = self.allergens(child, tastes)?;
        Ok(Eater {
            name: child.name.clone(),
            meals: self.book.settings.meals.clone(),
            days: needs(&milk, size, &published)?,
            solids_from: solids_from(child),
            eaten_lately: size.eaten,
            iron: iron_goal(&milk, self.planned)?,
            known: known.chain(in_other_form).chain(never_new).collect(),
            new_from: tastes.next_free(&self.book.settings),
            allergens: allergens.no_longer_new,
            keep_up: allergens.to_keep_up,
            offer_again: again.collect(),
            not_liked_yet: hardly_eaten.map(|(food, _)| food).collect(),
            limits: self.limits(&ages)?,
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
        // What is on record as several servings is one meal.
        let mut meals: BTreeMap<(Date, &str), f64> = BTreeMap::new();
        for one in eaten.iter().filter(|one| one.day < self.days.0) {
            *meals.entry((one.day, &one.meal.name)).or_default() += puree(one);
        }
        meals.retain(|_, grams| *grams > 0.0);
        let days: BTreeSet<Date> = meals.keys().map(|(day, _)| *day).collect();
        let count = days.len();
        if count < LEAST_DAYS {
            return None;
        }
        let last = days.into_iter().rev().nth(DAYS_ON_RECORD.min(count) - 1)?;
        let recent = meals.iter().filter(|((day, _), _)| *day >= last);
        let mut grams: Vec<f64> = recent.map(|(_, grams)| *grams).collect();
        grams.sort_by(f64::total_cmp);
        let cube = usual_cube(self.tray).grams().max(1.0);
        grams.get(grams.len() / 2).map(|grams| grams / cube)
    }

    /// The foods of which a child is brought no first taste: what is no taste, and every food for a
    /// child who eats from the family table.
    fn never_new(&self, child: &Child) -> impl Iterator<Item = FoodId> {
        let brings = is_brought_new_foods(child.age_on(self.planned.0));
        let foods = self.foods.iter().map(|portion| &portion.food);
        foods
            .filter(move |food| !brings || !is_taste(&food.name))
            .map(|food| food.id.clone())
    }

    /// The ages of a child on the days that are planned.
    fn ages(&self, child: &Child) -> BTreeSet<AgeMonths> {
        let (from, to) = self.planned;
        let days = from.series(1.day()).take_while(|day| *day <= to);
        days.map(|day| child.age_on(day)).collect()
    }

    /// What planning knows of a child's major allergens, by what it had, what it drinks as milk,
    /// and what its record stops.
    fn allergens(&self, child: &Child, tastes: &TasteRecord) -> Result<Allergens, BookError> {
        let facts = self.judge.facts(child, self.today)?;
        let stopped = self.judge.judge().stopped_allergens(&facts);
        let in_milk = self.judge.milk_allergens(child, self.today)?;
        let well_taken = self.well_taken(tastes);
        let to_keep_up = well_taken.difference(&stopped);
        Ok(Allergens {
            to_keep_up: to_keep_up
                .filter(|one| !in_milk.contains(one))
                .cloned()
                .collect(),
            no_longer_new: well_taken
                .into_iter()
                .chain(stopped)
                .chain(in_milk)
                .collect(),
        })
    }

    /// Major allergens that the child had, with nothing noted after any meal with them.
    fn well_taken(&self, tastes: &TasteRecord) -> BTreeSet<String> {
        let names: Vec<&str> = tastes.known_allergens().into_keys().collect();
        let had = tastes.allergens(&names, self.days.0).into_iter();
        let well = had.filter(|taste| taste.first.is_some() && taste.reactions.is_empty());
        well.map(|taste| taste.allergen).collect()
    }

    /// Limits on sums that no plan may exceed, at each of these ages: where two differ, the
    /// stricter one holds.
    fn limits(&self, ages: &BTreeSet<AgeMonths>) -> Result<Vec<DayLimit>, BookError> {
        let mut limits: Vec<DayLimit> = Vec::new();
        for age in ages {
            for new in self.limits_at(*age)? {
                let same = |one: &&mut DayLimit| {
                    (&one.hazard, one.days, &one.counts) == (&new.hazard, new.days, &new.counts)
                };
                match limits.iter_mut().find(same) {
                    Some(known) => known.most = known.most.min(new.most),
                    None => limits.push(new),
                }
            }
        }
        Ok(limits)
    }

    /// Limits at an age: those of the judge, and the plan's own for preformed vitamin A and for
    /// fish.
    fn limits_at(&self, age: AgeMonths) -> Result<Vec<DayLimit>, BookError> {
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

/// The day on which a child is six months old, when solids begin (WHO, Guideline for complementary
/// feeding of infants and young children 6-23 months of age, 2023).
fn solids_from(child: &Child) -> Date {
    // Born on the last day of a month, a child is so old a day or more after the last day of a
    // shorter one.
    let mut days = child
        .born
        .saturating_add(6.months())
        .series(1.day())
        .take(4);
    let old_enough = days.find(|day| child.age_on(*day) >= SOLIDS_FROM);
    old_enough.unwrap_or(child.born.saturating_add(6.months()))
}

/// The iron references, each the mean over the days that are planned, and what milk brings on a day
/// on which it is on record.
fn iron_goal(days: &[Day], (from, to): (Date, Date)) -> Result<Option<IronGoal>, BookError> {
    let intakes = IntakeTable::builtin()?;
    let milk = days
        .iter()
        .filter(|day| day.milk.is_some())
        .filter_map(|day| day.total(NutrientId::IRON, None).known);
    let from_milk = mean(milk).unwrap_or(0.0);
    let planned = days.iter().filter(|day| (from..=to).contains(&day.date));
    let ages = planned.map(|day| day.age);
    let ear = mean(
        ages.clone()
            .filter_map(|age| intakes.ear(NutrientId::IRON, age)),
    );
    let rda = ages.filter_map(|age| intakes.intake(NutrientId::IRON, age));
    let rda = mean(rda.map(|rda| rda.amount));
    Ok(ear.zip(rda).map(|(ear, rda)| IronGoal {
        ear,
        rda,
        from_milk,
    }))
}

/// The mean of some amounts; `None` of none.
fn mean(amounts: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = amounts.fold((0.0, 0_u32), |(sum, count), one| (sum + one, count + 1));
    (count > 0).then(|| sum / f64::from(count))
}
