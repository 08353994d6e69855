//! Energy from complementary food compared with published needs, and the energy density of that
//! food.

use data_import::NutrientId;

use super::DayFigures;
use super::parts::food_on_record;
use crate::nutrition::indicators::{breast_fed, breast_milk_alone, solids};
use crate::nutrition::{
    BreastMilk, Complementary, Day, Needs, ServedFood, Serving, Source, Total, Traits,
};
use crate::quantity::Mass;

/// Energy compared with what complementary food is to bring.
#[derive(Debug, Clone, PartialEq)]
pub struct EnergyGap {
    /// Whether the child is breast-fed: milk is counted only for one who is not.
    pub breast_fed: bool,
    /// The energy eaten, kcal.
    pub had: Total,
    /// The published energy, kcal; for a breast-fed child beside average breast milk of developing
    /// countries.
    pub wanted: f64,
    /// The published energy beside average breast milk of industrialised countries, kcal; `None`
    /// where the child is not breast-fed.
    pub wanted_industrialised: Option<f64>,
    /// The publication.
    pub source: String,
}

/// The energy density of a day's complementary food, without drinks.
#[derive(Debug, Clone, PartialEq)]
pub struct DayDensity {
    /// The mass of the food as eaten.
    pub mass: Mass,
    /// The energy of the food, kcal.
    pub energy: Total,
    /// Cooking liquid and plain water in the food; `None` where it is not on record.
    pub liquid: Option<Mass>,
    /// The number of meals of the day.
    pub meals: u32,
    /// The least published density, kcal/g, with its publication; `None` outside the ages of the
    /// table, without milk on record, or for a child who has formula or other milk, for whom the
    /// publication has none.
    pub least: Option<(f64, String)>,
}

impl EnergyGap {
    /// The energy of a day; `None` outside the ages of the table, or where milk or food is not on
    /// record.
    pub(super) fn of(day: &Day, traits: &Traits, table: &Complementary) -> Option<Self> {
        if !food_on_record(day) {
            return None;
        }
        let breast_fed = breast_fed(day)?;
        let needs = table.needs(day.age, breast_fed)?;
        let had = if breast_fed {
            complementary_energy(day, traits)
        } else {
            day.total(NutrientId::ENERGY, None)
        };
        Some(Self {
            breast_fed,
            had,
            wanted: needs.kcal,
            wanted_industrialised: needs.kcal_industrialised,
            source: needs.energy_source.clone(),
        })
    }

    /// The mean over the days with a figure, if they agree on whether the child is breast-fed.
    pub(super) fn mean(counted: &[&DayFigures]) -> Option<Self> {
        let days: Vec<_> = counted
            .iter()
            .filter_map(|day| day.energy.as_ref())
            .collect();
        let first = days.first()?;
        let mut had = Total::default();
        for day in &days {
            had.add(&day.had);
        }
        let share = 1.0 / days.len() as f64;
        let agree = days.iter().all(|day| day.breast_fed == first.breast_fed);
        agree.then(|| Self {
            breast_fed: first.breast_fed,
            had: had.times(share),
            wanted: days.iter().map(|day| day.wanted).sum::<f64>() * share,
            wanted_industrialised: days
                .iter()
                .map(|day| day.wanted_industrialised)
                .sum::<Option<f64>>()
                .map(|sum| sum * share),
            source: first.source.clone(),
        })
    }
}

/// Energy of the meals without breast milk and formula in a bowl, which are milk however they are given: complementary foods
/// are those beside breast milk and its substitutes (WHO, Guideline for complementary
/// feeding of infants and young children 6-23 months of age, 2023; from memory).
fn complementary_energy(day: &Day, traits: &Traits) -> Total {
    let is_milk = |food: &ServedFood| {
        let formula = traits.get(&food.id).is_some_and(|food| food.formula);
        formula || food.id.as_str() == BreastMilk::FOOD
    };
    let mut had = Total::default();
    for meal in &day.meals {
        let food = |serving: &&Serving| {
            serving.source == Source::Puree
                || serving.foods.is_empty()
                || !serving.foods.iter().all(is_milk)
        };
        for serving in meal.servings.iter().filter(food) {
            had.add(&serving.total(NutrientId::ENERGY).times(meal.share));
        }
    }
    had
}

impl DayDensity {
    /// The density of a day; `None` where nothing was eaten.
    pub(super) fn of(day: &Day, traits: &Traits, table: &Complementary) -> Option<Self> {
        let mut density = Self {
            mass: Mass::ZERO,
            energy: Total::default(),
            liquid: Some(Mass::ZERO),
            meals: 0,
            least: None,
        };
        for meal in day.meals.iter().filter(|meal| meal.share > 0.0) {
            let before = density.mass;
            for serving in solids(meal, traits) {
                density.mass = density.mass + serving.mass * meal.share;
                let energy = serving.total(NutrientId::ENERGY);
                density.energy.add(&energy.times(meal.share));
                let both = density.liquid.zip(serving.liquid);
                density.liquid = both.map(|(sum, more)| sum + more * meal.share);
            }
            density.meals += u32::from(density.mass > before);
        }
        let needs = breast_milk_alone(day).and_then(|fed| table.needs(day.age, fed));
        density.least = needs.map(|needs| needs.at(density.meals));
        (density.mass > Mass::ZERO).then_some(density)
    }

    /// The density in kcal/g; a lower bound where energy is missing.
    pub fn kcal_per_gram(&self) -> Option<f64> {
        Some(self.energy.known? / self.mass.grams())
    }

    /// The density in kcal/g without the liquid blended in; `None` where that is not on record.
    pub fn without_liquid(&self) -> Option<f64> {
        let dry = self.mass - self.liquid?;
        let energy = self.energy.known?;
        (dry > Mass::ZERO).then(|| energy / dry.grams())
    }
}

impl Needs {
    fn at(&self, meals: u32) -> (f64, String) {
        (self.least_density(meals), self.density_source.clone())
    }
}
