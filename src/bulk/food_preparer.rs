//! Prepares foods, each by a method when it is first asked for: the same code as for one batch decides what it keeps.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use data_import::{Food, FoodId, Nutrient, Provenance, nutrients};

use super::BulkError;
use super::food::{
    Bent, Composition, LANES, PreparedFood, Profile, Rising, at_points, density_outlasts_warming,
    rising,
};
use crate::cooking::{ClassTable, CookingTables, FoodClass, Method, Preparation, Stated};
use crate::food::Pantry;
use crate::problem::Problem;
use crate::quantity::Mass;
use crate::recipe::{DrainedCan, PreparedIngredient};
use crate::uncertainty::{FoodSpreads, SpreadTable};

/// Foods by their ids, each with the ways to cook it that were asked for.
#[derive(Debug)]
pub(super) struct FoodPreparer<'a> {
    pantry: &'a Pantry,
    classes: &'static ClassTable,
    tables: CookingTables,
    nutrients: &'static [Nutrient],
    /// How far values may be off, where that is asked for.
    spreads: Option<SpreadTable>,
    foods: Vec<TableFood>,
    /// The place of each food by each method among `prepared`; [`NOT_YET`] where it is not there.
    places: Vec<[u32; METHODS]>,
    prepared: Vec<PreparedFood>,
    /// The place of each id that was looked up; `None` where there is no such food.
    known: HashMap<String, Option<FoodPlace>>,
    profiles: Profiles,
}

/// The profiles of retention that were worked out, each kept once for all foods it fits.
#[derive(Debug, Default)]
struct Profiles {
    /// Foods of one class that are cooked in one way and lose no fat keep the same.
    of_classes: HashMap<(FoodClass, Method, bool), Arc<Profile>>,
    /// By their bits: many others are alike.
    all: HashMap<Vec<u64>, Arc<Profile>>,
}

/// How many ways to cook there are.
pub(super) const METHODS: usize = 10;
/// The place of what is not there yet.
const NOT_YET: u32 = u32::MAX;

pub(super) fn lost() -> Problem {
    Problem::new("a food that was looked up is not there")
        .hint("this is a fault of the program: please report it")
}

/// A food that was looked up and is there: its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct FoodPlace(pub(super) usize);

/// The way to cook that a word stands for: the very word, since what an SQL engine compares is its bytes.
pub(super) fn method_of(word: &str) -> Option<Method> {
    Method::all().find(|one| one.word() == word)
}

/// A food that the dataset knows.
#[derive(Debug)]
struct TableFood {
    whole: CountedFood,
    /// Without the liquid of its can.
    drained: Option<(DrainedCan, CountedFood)>,
    /// A gram of it as it was cooked last, which is cooked again for each method.
    ingredient: Option<PreparedIngredient>,
}

/// The food whose composition counts.
#[derive(Debug)]
struct CountedFood {
    food: Food,
    class: FoodClass,
    composition: Arc<Composition>,
    /// Empty where intervals are not asked for.
    spreads: FoodSpreads,
}

impl TableFood {
    /// The food that a method cooks: the drained content of a can, unless it is stewed, or else the whole food.
    fn eaten(&self, method: Method) -> (Option<&DrainedCan>, &CountedFood) {
        match self.drained.as_ref().filter(|_| method != Method::Stew) {
            Some((can, eaten)) => (Some(can), eaten),
            None => (None, &self.whole),
        }
    }
}

impl<'a> FoodPreparer<'a> {
    /// Foods with nothing in it yet; with how far their values may be off, or without.
    ///
    /// Errors: a table of the program does not read.
    pub(super) fn new(pantry: &'a Pantry, with_spreads: bool) -> Result<Self, BulkError> {
        Ok(Self {
            spreads: with_spreads.then(SpreadTable::builtin).transpose()?,
            pantry,
            classes: ClassTable::builtin()?,
            tables: CookingTables::for_many()?,
            nutrients: nutrients()?,
            foods: Vec::new(),
            places: Vec::new(),
            prepared: Vec::new(),
            known: HashMap::new(),
            profiles: Profiles::default(),
        })
    }

    /// Looks up the foods with these ids, so that they are read together; gives for each what is there.
    pub(super) fn look_up<'b>(
        &mut self,
        ids: impl Iterator<Item = &'b str>,
    ) -> Result<Vec<Option<FoodPlace>>, BulkError> {
        let asked: Vec<&str> = ids.collect();
        let mut new: Vec<(&str, FoodId)> = Vec::new();
        for id in asked.iter().copied() {
            if self.known.contains_key(id) {
                continue;
            }
            match id.parse() {
                Ok(parsed) => new.push((id, parsed)),
                Err(_) => drop(self.known.insert(id.to_owned(), None)),
            }
        }
        let ids: Vec<FoodId> = new.iter().map(|(_, id)| id.clone()).collect();
        let found = self.pantry.foods(&ids)?;
        let cans = ids.iter().map(|id| self.tables.can(id));
        let cans = cans.collect::<Result<Vec<_>, _>>()?;
        let drained: Vec<FoodId> = cans
            .iter()
            .flatten()
            .map(|can| can.drained.clone())
            .collect();
        let sources = match &self.spreads {
            Some(_) => {
                let all: Vec<FoodId> = ids.iter().chain(&drained).cloned().collect();
                self.pantry.provenance_of(&all)?
            }
            None => BTreeMap::new(),
        };
        let mut drained = self.pantry.foods(&drained)?.into_iter();
        for (((id, _), food), can) in new.into_iter().zip(found).zip(cans) {
            let drained = can.and_then(|can| {
                Some(DrainedCan {
                    food: drained.next().flatten()?,
                    share: can.share,
                    source: can.source,
                })
            });
            let counted = |food| self.counted(food, &sources);
            let drained = drained.map(|can| Ok::<_, BulkError>((can.clone(), counted(can.food)?)));
            let drained = drained.transpose()?;
            let whole = food.map(counted).transpose()?;
            let known = whole.map(|whole| {
                self.foods.push(TableFood {
                    whole,
                    drained,
                    ingredient: None,
                });
                self.places.push([NOT_YET; METHODS]);
                FoodPlace(self.foods.len() - 1)
            });
            self.known.insert(id.to_owned(), known);
        }
        let found = asked
            .into_iter()
            .map(|id| self.known.get(id).copied().flatten());
        Ok(found.collect())
    }

    /// The food at a place.
    pub(super) fn get(&self, place: u32) -> Result<&PreparedFood, BulkError> {
        Ok(self.prepared.get(place as usize).ok_or_else(lost)?)
    }

    /// The place of a food that was looked up, cooked by a method.
    pub(super) fn place(&mut self, food: FoodPlace, method: Method) -> Result<u32, BulkError> {
        let by_method = self.places.get_mut(food.0).ok_or_else(lost)?;
        let place = by_method.get_mut(method as usize).ok_or_else(lost)?;
        if *place != NOT_YET {
            return Ok(*place);
        }
        let known = self.foods.get_mut(food.0).ok_or_else(lost)?;
        let (drained, eaten) = known.eaten(method);
        let (food, class) = (&eaten.food, &eaten.class);
        let stated = Stated::default();
        let preparation = Preparation::by(&self.tables, food, class, method, stated)?;
        let (drained, class, composition) = (
            drained.cloned(),
            class.clone(),
            Arc::clone(&eaten.composition),
        );
        let ingredient = match known.ingredient.take() {
            Some(ingredient) => PreparedIngredient {
                drained,
                class,
                method,
                preparation,
                ..ingredient
            },
            None => {
                let food = known.whole.food.clone();
                PreparedIngredient::gram(food, drained, class, method, preparation)
            }
        };
        let mut ingredient = ingredient;
        let prepared = prepare(
            &mut ingredient,
            &composition,
            &mut self.profiles,
            self.nutrients,
        )?;
        known.ingredient = Some(ingredient);
        *place = u32::try_from(self.prepared.len()).unwrap_or(NOT_YET);
        self.prepared.push(prepared);
        Ok(*place)
    }

    /// A gram of a food that was looked up, with how far its values may be off; `None` where there
    /// is no such food or method.
    ///
    /// Errors: a table of the program does not read.
    pub(super) fn unsure(
        &self,
        id: &str,
        method: &str,
        own_yield: Option<f64>,
    ) -> Result<Option<PreparedIngredient>, BulkError> {
        let Some((known, method)) = self.looked_up(id).zip(method_of(method)) else {
            return Ok(None);
        };
        let (drained, eaten) = known.eaten(method);
        let stated = Stated {
            yield_factor: own_yield,
            ..Stated::default()
        };
        let (food, class) = (&eaten.food, &eaten.class);
        let preparation = Preparation::by(&self.tables, food, class, method, stated)?;
        let food = known.whole.food.clone();
        let gram =
            PreparedIngredient::gram(food, drained.cloned(), class.clone(), method, preparation);
        Ok(Some(PreparedIngredient {
            spreads: eaten.spreads.clone(),
            ..gram
        }))
    }

    /// A food that was looked up, to be poured in.
    pub(super) fn unsure_water(&self, id: &str) -> Option<(Food, FoodSpreads)> {
        let whole = &self.looked_up(id)?.whole;
        Some((whole.food.clone(), whole.spreads.clone()))
    }

    fn looked_up(&self, id: &str) -> Option<&TableFood> {
        let known = self.known.get(id).copied().flatten()?;
        self.foods.get(known.0)
    }

    fn counted(
        &self,
        food: Food,
        sources: &BTreeMap<FoodId, Vec<Provenance>>,
    ) -> Result<CountedFood, BulkError> {
        let of_food = sources.get(&food.id).map_or(&[][..], Vec::as_slice);
        let spreads = self.spreads.as_ref();
        let spreads = spreads.map(|table| table.of_food(&food, of_food));
        Ok(CountedFood {
            class: self.classes.class_of(&food),
            composition: Arc::new(composition(&food, self.nutrients)),
            spreads: spreads.transpose()?.unwrap_or_default(),
            food,
        })
    }
}

fn composition(food: &Food, nutrients: &[Nutrient]) -> Composition {
    let mut of = Composition {
        values: [0.0; LANES],
        missing: 0,
    };
    for (at, (nutrient, place)) in nutrients.iter().zip(&mut of.values).enumerate() {
        let value = food.composition.get(nutrient.id);
        *place = value.unwrap_or(0.0) / 100.0;
        of.missing |= u64::from(value.is_none()) << at;
    }
    of
}

/// The figures, for each gram, with which recipes count an ingredient cooked by a method.
fn prepare(
    ingredient: &mut PreparedIngredient,
    composition: &Arc<Composition>,
    profiles: &mut Profiles,
    nutrients: &[Nutrient],
) -> Result<PreparedFood, BulkError> {
    let (name, method) = (ingredient.food.id.clone(), ingredient.method);
    let bent = |_| {
        let what = format!("{name}, {method}: what is kept does not follow the liquid");
        Problem::new(what).hint("this is a fault of the program: please report it")
    };
    let shared = ingredient.preparation.melted.is_none();
    let key = (ingredient.class.clone(), method, ingredient.is_warmed());
    let profile = match profiles.of_classes.get(&key).filter(|_| shared) {
        Some(known) => Arc::clone(known),
        None => {
            let profile = Profile::of(ingredient, nutrients).map_err(bent)?;
            if !density_outlasts_warming(&profile, nutrients) {
                let what = format!("{name}: warming takes away what its density is made of");
                return Err(Problem::new(what).into());
            }
            let alike = profiles.all.entry(profile.bits());
            let profile = Arc::clone(alike.or_insert_with(|| Arc::new(profile)));
            if shared {
                profiles.of_classes.insert(key, Arc::clone(&profile));
            }
            profile
        }
    };
    let edible = ingredient.edible().grams();
    let has_dry = ingredient.dry_matter().is_some();
    let per_gram = |mass: Option<Mass>| mass.map_or(0.0, |mass| mass.grams() / edible);
    let [cooked, dry, least] = at_points(ingredient, |ingredient| {
        [
            ingredient.cooked().grams() / edible,
            per_gram(ingredient.dry_matter()),
            per_gram(ingredient.drained_dry_matter()),
        ]
    });
    let known = |points| rising(points).map(|line| Some(line).filter(|_| has_dry));
    let (dry, least) = (known(dry).map_err(bent)?, known(least).map_err(bent)?);
    let without_liquid = |one: Option<Rising>| one.map(|one| one.none.to_bits());
    if without_liquid(dry) != without_liquid(least) {
        return Err(bent(Bent).into());
    }
    Ok(PreparedFood {
        composition: Arc::clone(composition),
        profile,
        edible_share: ingredient.edible_share(),
        drained_share: edible,
        cooked: rising(cooked).map_err(bent)?,
        dry,
        least,
        is_water: ingredient.class.0 == "water",
    })
}

#[cfg(test)]
mod tests {
    use data_import::{FoodTable, reference};

    use super::*;

    #[test]
    fn what_foods_keep_follows_the_liquid() {
        let pantry = Pantry::from(FoodTable::builtin().unwrap());
        let mut foods = FoodPreparer::new(&pantry, false).unwrap();
        // Foods that melt or come in cans, and some of the others.
        let special = [
            ("yields.csv", reference::YIELDS),
            ("drained-cans.csv", reference::DRAINED_CANS),
        ];
        let rows = special.map(|(name, text)| reference::records(name, text).unwrap().1);
        let of_tables = rows.iter().flatten().map(|row| row[0].to_owned());
        let others = pantry.ids().unwrap().into_iter().map(|id| id.to_string());
        let ids: Vec<String> = of_tables.chain(others.step_by(40)).collect();
        let known = foods.look_up(ids.iter().map(String::as_str)).unwrap();
        let mut squares = 0;
        for food in known {
            for method in Method::all() {
                let place = foods.place(food.unwrap(), method).unwrap();
                let food = foods.get(place).unwrap();
                squares += usize::from(food.profile.both.iter().any(|both| *both != 0.0));
            }
        }
        assert!(
            squares > 0,
            "no vitamin goes with the fat and with the water"
        );
        assert_eq!(method_of("fry"), None);
        assert_eq!(foods.look_up(["99999"].into_iter()).unwrap(), [None]);
    }
}
