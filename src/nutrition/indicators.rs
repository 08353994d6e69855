//! The feeding indicators of one day: WHO and UNICEF, Indicators for assessing infant and young
//! child feeding practices: definitions and measurement methods (2021). They are made for surveys
//! of many children, each asked about the day before; of one child's day they say little.

use std::collections::BTreeSet;

use serde::ser::SerializeStruct as _;
use serde::{Serialize, Serializer};

use super::traits::{DairyForm, Traits};
use super::{Complementary, Day, DietGroup, Grouping, Meal, Milk, ServedFood, Serving, Source};
use crate::quantity::Mass;

/// The result of an indicator for a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum IndicatorResult {
    /// The indicator is met.
    Met,
    /// The indicator is not met.
    NotMet,
    /// The result is not known, with the reasons.
    NotKnown(Vec<String>),
    /// The indicator is not made for this child or day, with the reason.
    DoesNotApply(&'static str),
}

/// The indicators of one day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Indicators {
    /// Minimum dietary diversity: five of the eight groups.
    pub diversity: IndicatorResult,
    /// The groups of the day.
    pub groups: BTreeSet<DietGroup>,
    /// Further groups that the day may have.
    #[serde(rename = "doubtful_groups")]
    pub doubtful: BTreeSet<DietGroup>,
    /// Minimum meal frequency.
    #[serde(rename = "meal_frequency")]
    pub frequency: IndicatorResult,
    /// The number of meals, without those of a trivial amount.
    pub meals: u32,
    /// Minimum milk feeding frequency, of a child who is not breast-fed: two milk feeds.
    pub milk_feeds: IndicatorResult,
    /// Minimum acceptable diet: all indicators that apply.
    #[serde(rename = "acceptable_diet")]
    pub acceptable: IndicatorResult,
}

/// The publication of the definitions.
pub const INDICATORS_SOURCE: &str = "WHO and UNICEF, Indicators for assessing infant and young \
     child feeding practices: definitions and measurement methods (2021)";

/// The groups of the minimum dietary diversity, of eight.
pub const LEAST_GROUPS: usize = 5;

/// The least milk feeds of a child who is not breast-fed.
pub const LEAST_MILK_FEEDS: u32 = 2;

/// The masses of a food and of a meal below which they are trivial amounts. The publication leaves
/// these out and sets no line (judgement).
const TRIVIAL_FOOD: Mass = Mass::from_grams(1.0);
const TRIVIAL_MEAL: Mass = Mass::from_grams(5.0);

const OF_AGE: std::ops::RangeInclusive<u16> = 6..=23;
const NOT_OF_AGE: &str = "it is made for children of 6 to 23 months";
const BREAST_FED: &str = "it is made for children who are not breast-fed";
const NO_MILK: &str = "milk is not on record";
const NO_MEAL: &str = "no meal is on record";

/// Whether the child had breast milk that day; `None` where milk is not on record.
pub fn breast_fed(day: &Day) -> Option<bool> {
    let milk = day.milk.as_ref()?;
    Some(milk.iter().any(|milk| milk.breast && was_had(milk)))
}

/// Whether the milk of a day was breast milk alone, or the child had no milk at all; `None` where
/// it had other milk, or milk is not on record.
pub fn breast_milk_alone(day: &Day) -> Option<bool> {
    let mut had = day.milk.as_ref()?.iter().filter(|milk| was_had(milk));
    had.all(|milk| milk.breast)
        .then(|| breast_fed(day))
        .flatten()
}

fn was_had(milk: &Milk) -> bool {
    milk.serving.mass > Mass::ZERO
}

/// Serialises the word for the result, with the reasons.
impl Serialize for IndicatorResult {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut fields = serializer.serialize_struct("Finding", 2)?;
        fields.serialize_field("finding", self.word())?;
        fields.serialize_field("why", &self.why())?;
        fields.end()
    }
}

impl IndicatorResult {
    /// The word for it.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::NotMet => "not met",
            Self::NotKnown(_) => "not known",
            Self::DoesNotApply(_) => "does not apply",
        }
    }

    /// The reasons where the result is not known or does not apply.
    pub fn why(&self) -> Vec<&str> {
        match self {
            Self::Met | Self::NotMet => Vec::new(),
            Self::NotKnown(why) => why.iter().map(String::as_str).collect(),
            Self::DoesNotApply(why) => vec![why],
        }
    }

    /// The result of several indicators: met where all that apply are met; not met where one is
    /// not.
    fn all(parts: &[Self]) -> Self {
        if parts.contains(&Self::NotMet) {
            return Self::NotMet;
        }
        let mut why: Vec<String> = Vec::new();
        for part in parts {
            if let Self::NotKnown(reasons) = part {
                let new = reasons.iter().filter(|reason| !why.contains(reason));
                let new: Vec<_> = new.cloned().collect();
                why.extend(new);
            }
        }
        if why.is_empty() {
            Self::Met
        } else {
            Self::NotKnown(why)
        }
    }
}

/// A count of which a part is in doubt, with the reasons.
#[derive(Debug, Clone, Default)]
struct Count {
    least: u32,
    most: u32,
    doubts: Vec<String>,
}

impl Count {
    fn exactly(count: u32) -> Self {
        Self {
            least: count,
            most: count,
            doubts: Vec::new(),
        }
    }

    fn from(least: u32, most: u32, doubt: &str) -> Self {
        Self {
            least,
            most,
            doubts: vec![doubt.into()],
        }
    }

    fn plus(&self, other: &Self) -> Self {
        let mut doubts = self.doubts.clone();
        let new = other
            .doubts
            .iter()
            .filter(|doubt| !self.doubts.contains(doubt));
        doubts.extend(new.cloned());
        Self {
            least: self.least.saturating_add(other.least),
            most: self.most.saturating_add(other.most),
            doubts,
        }
    }

    fn reaches(&self, wanted: u32) -> IndicatorResult {
        if self.least >= wanted {
            IndicatorResult::Met
        } else if self.most < wanted {
            IndicatorResult::NotMet
        } else {
            IndicatorResult::NotKnown(self.doubts.clone())
        }
    }
}

impl Indicators {
    /// The indicators of a day.
    pub fn of(day: &Day, traits: &Traits, table: &Complementary) -> Self {
        let groups = Groups::of(day, traits);
        let feeds = Feeds::of(day, traits);
        let (diversity, frequency, milk_feeds, acceptable) = if OF_AGE.contains(&day.age.0) {
            let diversity = groups.diversity();
            let (frequency, milk_feeds) = feeds.findings(day, table);
            let parts = [diversity.clone(), frequency.clone(), milk_feeds.clone()];
            let acceptable = IndicatorResult::all(&parts);
            (diversity, frequency, milk_feeds, acceptable)
        } else {
            let apart = || IndicatorResult::DoesNotApply(NOT_OF_AGE);
            (apart(), apart(), apart(), apart())
        };
        Self {
            diversity,
            doubtful: groups.possible.difference(&groups.sure).copied().collect(),
            groups: groups.sure,
            frequency,
            meals: feeds.meals.least,
            milk_feeds,
            acceptable,
        }
    }
}

/// The groups of a day, with those in doubt.
#[derive(Default)]
struct Groups {
    sure: BTreeSet<DietGroup>,
    possible: BTreeSet<DietGroup>,
    doubts: Vec<String>,
}

impl Groups {
    fn of(day: &Day, traits: &Traits) -> Self {
        let mut groups = Self::default();
        let eaten = day.meals.iter().filter(|meal| meal.share > 0.0);
        for meal in eaten {
            for food in meal.servings.iter().flat_map(|serving| &serving.foods) {
                groups.add(food, meal.share, traits);
            }
        }
        if day.meals.is_empty() {
            groups.doubt(not_milk_of_the_breast(), NO_MEAL.into());
        }
        groups.add_milk(day.milk.as_deref(), traits);
        groups
    }

    fn add(&mut self, food: &ServedFood, share: f64, traits: &Traits) {
        let trivial = food.edible.is_some_and(|mass| mass * share < TRIVIAL_FOOD);
        match traits.get(&food.id).map(|traits| traits.grouping) {
            Some(Grouping::Apart) => {}
            Some(Grouping::Group(group)) if trivial => self.doubt(
                BTreeSet::from([group]),
                format!("of {} there was less than a gram", food.name),
            ),
            Some(Grouping::Group(group)) => {
                self.sure.insert(group);
            }
            Some(Grouping::Unknown) | None => self.doubt(
                not_milk_of_the_breast(),
                format!("the food groups of {} are not known", food.name),
            ),
        }
    }

    fn add_milk(&mut self, milk: Option<&[Milk]>, traits: &Traits) {
        let Some(milk) = milk else {
            let milks = BTreeSet::from([DietGroup::BreastMilk, DietGroup::Dairy]);
            return self.doubt(milks, NO_MILK.into());
        };
        for milk in milk.iter().filter(|milk| was_had(milk)) {
            if milk.breast {
                self.sure.insert(DietGroup::BreastMilk);
            } else if is_dairy(milk, traits) {
                self.sure.insert(DietGroup::Dairy);
            }
        }
    }

    fn doubt(&mut self, groups: BTreeSet<DietGroup>, why: String) {
        self.possible.extend(groups);
        if !self.doubts.contains(&why) {
            self.doubts.push(why);
        }
    }

    fn diversity(&self) -> IndicatorResult {
        if self.sure.len() >= LEAST_GROUPS {
            IndicatorResult::Met
        } else if self.sure.union(&self.possible).count() < LEAST_GROUPS {
            IndicatorResult::NotMet
        } else {
            IndicatorResult::NotKnown(self.doubts.clone())
        }
    }
}

fn not_milk_of_the_breast() -> BTreeSet<DietGroup> {
    let groups = DietGroup::ALL.into_iter();
    groups
        .filter(|group| *group != DietGroup::BreastMilk)
        .collect()
}

/// Whether a milk is dairy: formula and animal milk are, a drink of plants given in their place is
/// not.
fn is_dairy(milk: &Milk, traits: &Traits) -> bool {
    let mut foods = milk.serving.foods.iter();
    let apart = |food: &ServedFood| {
        let grouping = traits.get(&food.id).map(|traits| traits.grouping);
        matches!(grouping, Some(Grouping::Apart))
    };
    milk.serving.foods.is_empty() || !foods.all(apart)
}

/// Meals and milk feeds of a day.
struct Feeds {
    meals: Count,
    /// Feeds of formula and animal milk.
    milk: Count,
    /// Meals with yogurt, which are milk feeds too.
    yogurt: Count,
}

impl Feeds {
    fn of(day: &Day, traits: &Traits) -> Self {
        let milk = match &day.milk {
            None => Count::from(0, u32::MAX, NO_MILK),
            Some(milk) => {
                let others = milk.iter().filter(|milk| !milk.breast && was_had(milk));
                let dairy = others.filter(|milk| is_dairy(milk, traits));
                dairy.fold(Count::default(), |sum, milk| sum.plus(&feeds_of(milk)))
            }
        };
        let mut feeds = Self {
            meals: Count::default(),
            milk,
            yogurt: Count::default(),
        };
        for meal in day.meals.iter().filter(|meal| meal.share > 0.0) {
            feeds.add_meal(meal, traits);
        }
        if day.meals.is_empty() {
            feeds.meals = Count::from(0, u32::MAX, NO_MEAL);
        }
        feeds
    }

    fn add_meal(&mut self, meal: &Meal, traits: &Traits) {
        let solid: Vec<_> = solids(meal, traits).collect();
        if solid.is_empty() {
            return;
        }
        let mass = solid.iter().map(|serving| serving.mass).sum::<Mass>() * meal.share;
        let count = if mass >= TRIVIAL_MEAL {
            Count::exactly(1)
        } else {
            Count::from(0, 1, "a meal was of less than 5 g")
        };
        self.meals = self.meals.plus(&count);
        let mut foods = meal.servings.iter().flat_map(|serving| &serving.foods);
        if foods.any(|food| form_of(food, traits) == Some(DairyForm::Yogurt)) {
            self.yogurt = self.yogurt.plus(&count);
        }
    }

    /// Minimum meal frequency, and minimum milk feeding frequency.
    fn findings(&self, day: &Day, table: &Complementary) -> (IndicatorResult, IndicatorResult) {
        let feeds = self.milk.plus(&self.yogurt);
        match breast_fed(day) {
            Some(true) => (
                self.frequency(day, table, true),
                IndicatorResult::DoesNotApply(BREAST_FED),
            ),
            Some(false) => (
                self.frequency(day, table, false),
                feeds.reaches(LEAST_MILK_FEEDS),
            ),
            None => {
                let unknown = || IndicatorResult::NotKnown(vec![NO_MILK.into()]);
                let either = [true, false].map(|fed| self.frequency(day, table, fed));
                let [breast_fed, not] = either;
                let frequency = if breast_fed == not {
                    breast_fed
                } else {
                    unknown()
                };
                (frequency, unknown())
            }
        }
    }

    fn frequency(&self, day: &Day, table: &Complementary, breast_fed: bool) -> IndicatorResult {
        let Some(needs) = table.needs(day.age, breast_fed) else {
            return IndicatorResult::DoesNotApply(NOT_OF_AGE);
        };
        if breast_fed {
            return self.meals.reaches(needs.least_meals);
        }
        let all = self.meals.plus(&self.milk);
        IndicatorResult::all(&[all.reaches(needs.least_meals), self.meals.reaches(1)])
    }
}

/// The feeds of one milk; at least one, where they were not counted.
fn feeds_of(milk: &Milk) -> Count {
    milk.feeds.map_or_else(
        || Count::from(1, u32::MAX, "milk feeds were not counted"),
        Count::exactly,
    )
}

fn form_of(food: &ServedFood, traits: &Traits) -> Option<DairyForm> {
    traits.get(&food.id).map(|traits| traits.form)
}

/// The solid servings of a meal: those that hold more than drinks.
pub(super) fn solids<'a>(
    meal: &'a Meal,
    traits: &'a Traits,
) -> impl Iterator<Item = &'a Serving> + 'a {
    let drink = |food: &ServedFood| form_of(food, traits) == Some(DairyForm::Drink);
    meal.servings.iter().filter(move |serving| {
        serving.source == Source::Puree
            || serving.foods.is_empty()
            || !serving.foods.iter().all(drink)
    })
}
