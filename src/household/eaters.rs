//! What a plan may know of a child: what it knows and may have, how much it eats, and what its days need.

use std::collections::{BTreeMap, BTreeSet};

use data_import::{FoodId, NutrientId};
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::plan_objections::is_liver;
use super::week::milk_of;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, Eaten, Store, TasteRecord};
use crate::nutrition::{AgeMonths, Complementary, Day, DietGroup, IntakeTable, Source};
use crate::planning::limit::{Counts, Limit};
use crate::planning::rules::table::{FISH_A_WEEK, IRON, LIVER_A_WEEK, OFFER_AFTER_DAYS};
use crate::planning::usual::MealSize;
use crate::planning::{Eater, IronGoal, Need};
use crate::portion::Tray;
use crate::problem::Problem;
use crate::quantity::Volume;
use crate::safety::CautionTable;

/// Days on record that the size of a meal is taken from; of fewer than the least, first spoons, it says nothing yet.
const DAYS_ON_RECORD: usize = 7;
const LEAST_DAYS: usize = 3;
/// Food groups a day to aim for beside milk: five of eight are the least for 6 to 23 months, and breast milk or dairy is
/// one of them (WHO and UNICEF, Indicators for assessing infant and young child feeding practices, 2021).
const GROUPS_WANTED: u32 = 4;

/// What the eaters of a book are gathered from.
pub(super) struct Household<'a> {
    pub(super) book: &'a Book,
    pub(super) store: &'a Store,
    pub(super) pantry: &'a Pantry,
    pub(super) tray: &'a Tray,
    pub(super) days: (Date, Date),
    /// Foods that may be planned: name and, where it counts for one, food group.
    pub(super) foods: BTreeMap<FoodId, (String, Option<DietGroup>)>,
}

impl Household<'_> {
    /// A child, from what it tasted and ate before the first day.
    pub(super) fn eater(
        &self,
        child: &Child,
        tastes: &TasteRecord,
        eaten: &[Eaten],
    ) -> Result<Eater, BookError> {
        let milk = milk_of(self.store, child, self.days, self.pantry)?;
        let size = MealSize {
            cube: Volume::from_millilitres(self.tray.well.millilitres() * self.tray.fill),
            eaten: self.usual_cubes(eaten),
        };
        let published = Complementary::builtin()?;
        let known = tastes.foods.iter();
        let known = known.filter_map(|taste| Some((taste.food.parse().ok()?, taste.first)));
        let again = tastes.to_offer_again().filter_map(|taste| {
            let free = taste.last.saturating_add(OFFER_AFTER_DAYS.days());
            Some((taste.food.parse().ok()?, free))
        });
        Ok(Eater {
            name: child.name.clone(),
            meals: self.book.settings.meals.clone(),
            days: needs(&milk, size, &published)?,
            size_on_record: size.eaten.is_some(),
            iron: iron_goal(&milk),
            known: known.collect(),
            allergens: self.well_taken(tastes)?,
            offer_again: again.collect(),
            limits: self.limits(child.age_on(self.days.0))?,
            groups_wanted: GROUPS_WANTED,
        })
    }

    /// The median of what was eaten of purée at a meal on the last days on record, in cubes of the first tray.
    fn usual_cubes(&self, eaten: &[Eaten]) -> Option<f64> {
        let puree = |one: &Eaten| -> f64 {
            let servings = one.meal.servings.iter();
            let puree = servings.filter(|serving| serving.source == Source::Puree);
            puree.map(|one| one.mass.grams()).sum::<f64>() * one.meal.share
        };
        let before = eaten.iter().filter(|one| one.day < self.days.0);
        let meals: Vec<(Date, f64)> = before
            .map(|one| (one.day, puree(one)))
            .filter(|(_, grams)| *grams > 0.0)
            .collect();
        let days: BTreeSet<Date> = meals.iter().map(|(day, _)| *day).collect();
        if days.len() < LEAST_DAYS {
            return None;
        }
        let last = days.into_iter().rev().take(DAYS_ON_RECORD).last()?;
        let recent = meals.iter().filter(|(day, _)| *day >= last);
        let mut grams: Vec<f64> = recent.map(|(_, grams)| *grams).collect();
        grams.sort_by(f64::total_cmp);
        // A purée weighs about a gram in a millilitre.
        let cube = (self.tray.well.millilitres() * self.tray.fill).max(1.0);
        grams.get(grams.len() / 2).map(|grams| grams / cube)
    }

    /// Major allergens that the child had, with nothing noted after any meal with them.
    fn well_taken(&self, tastes: &TasteRecord) -> Result<BTreeSet<String>, BookError> {
        let cautions = CautionTable::builtin()?;
        let all = cautions.all().iter();
        let names: BTreeSet<&str> = all.filter_map(|one| one.allergen.as_deref()).collect();
        let names: Vec<&str> = names.into_iter().collect();
        let had = tastes.allergens(&names, self.days.0).into_iter();
        let well = had.filter(|one| one.first.is_some() && one.reactions.is_empty());
        Ok(well.map(|one| one.allergen).collect())
    }

    /// Sums that no plan may pass: preformed vitamin A a day, liver and fish a week.
    fn limits(&self, age: AgeMonths) -> Result<Vec<Limit>, BookError> {
        let foods = |wanted: &dyn Fn(&str, Option<DietGroup>) -> bool| {
            let foods = self.foods.iter();
            let wanted = foods.filter(|(_, (name, group))| wanted(name, *group));
            wanted.map(|(id, _)| id.clone()).collect()
        };
        let meals = |hazard: &str, most, foods| Limit {
            hazard: hazard.into(),
            days: 7,
            most,
            counts: Counts::Meals(foods),
        };
        let fish = |name: &str, group| group == Some(DietGroup::Flesh) && name.starts_with("Fish");
        let mut limits = vec![
            meals("liver", LIVER_A_WEEK, foods(&|name, _| is_liver(name))),
            meals("fish", FISH_A_WEEK, foods(&fish)),
        ];
        let retinol = IntakeTable::builtin()?.upper(NutrientId::VITAMIN_A_RAE, age);
        limits.extend(retinol.map(|upper| Limit {
            hazard: "retinol".into(),
            days: 1,
            most: upper.amount,
            counts: Counts::Nutrient(NutrientId::RETINOL),
        }));
        Ok(limits)
    }
}

/// What each day needs. Where milk is not on record, a breast-fed child is assumed: it needs less from the spoon.
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
            .is_none_or(|milk| milk.iter().any(|one| one.breast));
        let need = Need::on(at, day.age, breast_fed, size, published);
        let need = need.ok_or_else(|| {
            let what = format!("nothing is published for a child of {} months", day.age.0);
            Problem::new(what).hint("plan its meals with `trayful plan set`")
        })?;
        needs.insert(day.date, need);
    }
    Ok(needs)
}

/// The iron references for the age of the first day, and what milk brings on an average day.
fn iron_goal(days: &[Day]) -> Option<IronGoal> {
    let age = days.first()?.age;
    let (_, ear, rda) = IRON.iter().find(|(ages, ..)| ages.contains(&age.0))?;
    let milk = days
        .iter()
        .filter_map(|day| day.total(NutrientId::IRON, None).known);
    Some(IronGoal {
        ear: *ear,
        rda: *rda,
        from_milk: milk.sum::<f64>() / days.len() as f64,
    })
}
