//! What is doubtful about a cube of a batch: each doubt as an amount under its cause, see [`crate::uncertainty`].

use std::sync::Arc;

use data_import::NutrientId;

use super::{Batch, NutrientTotal, PreparedIngredient, RetainedShares};
use crate::cooking::{Method, RetentionRow, WEIGHED_SPREAD, is_fully_retained};
use crate::quantity::Mass;
use crate::uncertainty::{
    Cause, CubesTaken, Doubts, NutrientClass, PotId, UnsurePortion, ValueSpread,
};

/// What a kitchen scale shows is right to so many grams (judgement).
const SCALE_G: f64 = 2.0;
/// A household measure, relative to it (judgement).
const MEASURE: f64 = 0.12;
/// The share that is thrown away, relative to it (judgement).
const REFUSE: f64 = 0.15;
/// How full the wells are, relative to it (judgement).
const FILL: f64 = 0.05;
/// What stays in the pot and the blender, relative to the batch (judgement).
const TRANSFER: f64 = 0.02;
/// The published factors of retention go in steps of 5 %: a twentieth over the square root of 12.
const ROUNDED: f64 = 0.0144;
/// A row that is the nearest and not the right one (judgement).
const NEAREST_ROW: f64 = 0.05;
/// What goes with the solids, the fat, or neither (judgement).
const SOLIDS: f64 = 0.05;

/// A cube whose doubts are asked for.
#[derive(Debug, Clone, Copy)]
pub struct CubeMade<'a> {
    /// What it weighs.
    pub mass: Mass,
    /// The name of its tray.
    pub tray: &'a str,
    /// How many cubes the batch made, where they were counted: each then holds its share of the
    /// batch, whatever it weighs.
    pub counted: Option<u32>,
}

impl<'a> CubeMade<'a> {
    /// A cube of a batch whose cubes are not counted.
    pub fn of(mass: Mass, tray: &'a str) -> Self {
        Self {
            mass,
            tray,
            counted: None,
        }
    }
}

/// One ingredient of a cube, for one nutrient.
struct IngredientDoubt<'a> {
    ingredient: &'a PreparedIngredient,
    place: usize,
    /// Its part of the nutrient.
    amount: f64,
    /// How the cube changes with the ingredient's mass beyond that, per relative change.
    beside: f64,
    /// How the cube changes with its yield, per relative change.
    with_yield: f64,
}

impl Batch {
    /// One cube, with its doubts.
    pub fn portion(&self, cube: CubeMade<'_>) -> UnsurePortion {
        UnsurePortion {
            doubts: Arc::new(self.doubts(cube)),
            times: 1.0,
            cubes: Some(CubesTaken {
                taken: 1.0,
                counted: cube.counted.map(f64::from),
            }),
        }
    }

    /// The doubts of one cube, as it is served.
    pub fn doubts(&self, cube: CubeMade<'_>) -> Doubts {
        let mut doubts = Doubts::default();
        for total in &self.nutrients {
            if total.nutrient.id == NutrientId::WATER {
                self.water_doubts(&mut doubts, total, cube);
            } else {
                self.nutrient_doubts(&mut doubts, total, cube);
            }
        }
        doubts
    }

    fn nutrient_doubts(&self, doubts: &mut Doubts, total: &NutrientTotal, cube: CubeMade<'_>) {
        let nutrient = total.nutrient.id;
        let value = self.in_cube(total, cube.mass);
        let unit = cube.mass / self.blended();
        for (place, ingredient) in self.prepared.ingredients.iter().enumerate() {
            // A food without a value brings nothing that is known, and still thins the rest.
            let mut amount = 0.0;
            let per_100g = ingredient.eaten().composition.get(nutrient);
            if let Some((per_100g, spread)) = per_100g.zip(ingredient.spreads.get(&nutrient)) {
                let kept = ingredient.kept();
                let (cooking, warming) = self.prepared.survival(ingredient, kept, nutrient);
                amount = ingredient.edible().grams() * per_100g / 100.0 * cooking * warming * unit;
                note_value(doubts, nutrient, &ingredient.eaten().id, spread, amount);
                let retention = cooking_spread(ingredient, kept, nutrient, spread.class);
                note_retention(doubts, nutrient, ingredient, retention * amount);
                self.note_reheating(doubts, nutrient, ingredient, amount);
            }
            let thinned = self.thinned(ingredient, cube.counted.is_some());
            let share = IngredientDoubt {
                ingredient,
                place,
                amount,
                beside: -thinned * value,
                with_yield: -self.moved(ingredient, cube.counted.is_some()) * value,
            };
            share.note(doubts, nutrient);
        }
        let water = &self.prepared.liquid;
        if let Some(spread) = water.spreads.get(&nutrient) {
            let per_gram = water
                .water
                .composition
                .get(nutrient)
                .map(|value| value / 100.0);
            let amount = per_gram.map(|value| self.prepared.liquid_mass().grams() * value * unit);
            note_value(
                doubts,
                nutrient,
                &water.water.id,
                spread,
                amount.unwrap_or(0.0),
            );
        }
        self.note_weighed(doubts, nutrient, value, cube.counted.is_some());
        note_filling(doubts, nutrient, value, cube);
    }

    /// Water is what is left of the purée beside its dry matter: more of a dry food in it is less water.
    fn water_doubts(&self, doubts: &mut Doubts, total: &NutrientTotal, cube: CubeMade<'_>) {
        let nutrient = NutrientId::WATER;
        let value = self.in_cube(total, cube.mass);
        let unit = cube.mass / self.blended();
        let dry = cube.mass.grams() - value;
        for (place, ingredient) in self.prepared.ingredients.iter().enumerate() {
            let Some(own_dry) = ingredient.dry_matter() else {
                continue;
            };
            let per_100g = ingredient.eaten().composition.get(nutrient);
            if let Some((per_100g, spread)) = per_100g.zip(ingredient.spreads.get(&nutrient)) {
                let amount = ingredient.edible().grams() * per_100g / 100.0 * unit;
                note_value(doubts, nutrient, &ingredient.eaten().id, spread, amount);
            }
            let own_dry = own_dry.grams() * unit;
            // Of a counted batch a cube is a share of all that came out; else it is as heavy as ever.
            let expected = if self.prepared.weighed.is_some() {
                0.0
            } else {
                self.share_of_puree(ingredient)
            };
            let of_puree = if cube.counted.is_some() {
                cube.mass.grams()
            } else {
                dry
            };
            let moved = if ingredient.weighed.is_some() {
                0.0
            } else {
                expected
            };
            let share = IngredientDoubt {
                ingredient,
                place,
                amount: -own_dry,
                beside: moved * of_puree,
                with_yield: expected * of_puree,
            };
            share.note(doubts, nutrient);
        }
        let weighed = if cube.counted.is_some() {
            cube.mass.grams()
        } else {
            dry
        };
        if self.prepared.weighed.is_some() {
            doubts.note(
                nutrient,
                Cause::Weighing(PUREE, here()),
                weighed * WEIGHED_SPREAD,
            );
        }
        note_filling(doubts, nutrient, value, cube);
    }

    fn in_cube(&self, total: &NutrientTotal, cube: Mass) -> f64 {
        total.served.unwrap_or(0.0) * (cube / self.masses.puree)
    }

    /// The share of an ingredient in the purée that is expected.
    fn share_of_puree(&self, ingredient: &PreparedIngredient) -> f64 {
        ingredient.cooked() / self.prepared.expected()
    }

    /// The share of an ingredient in the purée where more of it makes a thinner cube of the rest:
    /// not where the purée or the ingredient was weighed, or a cube is its share of the batch.
    fn thinned(&self, ingredient: &PreparedIngredient, counted: bool) -> f64 {
        if ingredient.weighed.is_some() {
            0.0
        } else {
            self.moved(ingredient, counted)
        }
    }

    /// The share of an ingredient in the purée where a greater yield makes a thinner cube.
    fn moved(&self, ingredient: &PreparedIngredient, counted: bool) -> f64 {
        if counted || self.prepared.weighed.is_some() {
            0.0
        } else {
            self.share_of_puree(ingredient)
        }
    }

    fn note_reheating(
        &self,
        doubts: &mut Doubts,
        nutrient: NutrientId,
        ingredient: &PreparedIngredient,
        amount: f64,
    ) {
        let reheating = &ingredient.preparation.reheating;
        if !self.prepared.serving.reheat || is_fully_retained(nutrient) {
            return;
        }
        if let Some(factor) = reheating
            .factor(nutrient, 0.0)
            .filter(|factor| *factor > 0.0)
        {
            let row = reheating
                .drained
                .as_ref()
                .map_or("", |row| row.code.as_str());
            let cause = Cause::Retention(ingredient.eaten().id.clone(), row.into());
            doubts.note(nutrient, cause, amount * ROUNDED / factor);
        }
    }

    fn note_weighed(&self, doubts: &mut Doubts, nutrient: NutrientId, value: f64, counted: bool) {
        if self.prepared.weighed.is_some() && !counted {
            doubts.note(
                nutrient,
                Cause::Weighing(PUREE, here()),
                value * WEIGHED_SPREAD,
            );
        }
    }
}

/// The place of the purée among what is weighed after cooking; ingredients follow by their own places.
const PUREE: usize = 0;

/// The pot at hand.
fn here() -> PotId {
    Arc::from("")
}

impl IngredientDoubt<'_> {
    /// Notes what the scale, the peeler and the heat make doubtful.
    fn note(&self, doubts: &mut Doubts, nutrient: NutrientId) {
        let Self {
            ingredient, place, ..
        } = self;
        let food = &ingredient.eaten().id;
        let with_mass = self.amount + self.beside;
        let grams = ingredient.amount.grams();
        let scale = if ingredient.measure.is_some() {
            MEASURE
        } else if grams > 0.0 {
            SCALE_G / grams
        } else {
            0.0
        };
        doubts.note(
            nutrient,
            Cause::Mass(food.clone(), *place, here()),
            with_mass * scale,
        );
        if ingredient.basis == super::Basis::Purchased {
            let edible = ingredient.edible_share();
            let refuse = REFUSE * (1.0 - edible) / edible;
            doubts.note(nutrient, Cause::Refuse(food.clone()), with_mass * refuse);
        }
        if ingredient.weighed.is_some() {
            let cause = Cause::Weighing(place + 1, here());
            doubts.note(nutrient, cause, self.with_yield * WEIGHED_SPREAD);
        } else {
            let factor = &ingredient.preparation.yield_factor;
            let row = format!("{} {}", ingredient.method.word(), factor.basis.word());
            let amount = self.with_yield * factor.spread(&ingredient.class);
            doubts.note(nutrient, Cause::Yield(food.clone(), row), amount);
        }
    }
}

fn note_value(
    doubts: &mut Doubts,
    nutrient: NutrientId,
    food: &data_import::FoodId,
    spread: &ValueSpread,
    amount: f64,
) {
    doubts.note(
        nutrient,
        Cause::Lot(food.clone(), here()),
        amount * spread.lot,
    );
    doubts.note(
        nutrient,
        Cause::Database(food.clone()),
        amount * spread.database,
    );
    doubts.note_value(nutrient, food, spread.evidence);
    doubts.note_faint(nutrient, if spread.faint { amount } else { 0.0 });
}

fn note_retention(
    doubts: &mut Doubts,
    nutrient: NutrientId,
    ingredient: &PreparedIngredient,
    amount: f64,
) {
    let row = ingredient.preparation.retention.drained.as_ref();
    let row = row.map_or(String::new(), |row| row.code.clone());
    doubts.note(
        nutrient,
        Cause::Retention(ingredient.eaten().id.clone(), row),
        amount,
    );
}

fn note_filling(doubts: &mut Doubts, nutrient: NutrientId, value: f64, cube: CubeMade<'_>) {
    if cube.counted.is_none() {
        doubts.note(nutrient, Cause::Fill(cube.tray.into()), value * FILL);
        doubts.note(nutrient, Cause::Transfer(here()), value * TRANSFER);
    }
}

/// How far the share of a nutrient that survives cooking may be off, relative to it (between a first proposal and what
/// raw and cooked rows of the dataset need at most).
fn cooking_spread(
    ingredient: &PreparedIngredient,
    kept: RetainedShares,
    nutrient: NutrientId,
    class: NutrientClass,
) -> f64 {
    let retention = &ingredient.preparation.retention;
    let (published, unknown) = match class {
        NutrientClass::Minerals | NutrientClass::Selenium => (0.07, 0.12),
        NutrientClass::Vitamins => (0.12, 0.20),
        NutrientClass::Water | NutrientClass::Energy | NutrientClass::Proximates => {
            let cooked = ingredient.method != Method::None && !ingredient.is_warmed();
            return if cooked { SOLIDS } else { 0.0 };
        }
    };
    if ingredient.method == Method::None {
        return 0.0;
    }
    let Some(factor) = retention.factor(nutrient, kept.leavings) else {
        return if ingredient.is_warmed() { 0.0 } else { unknown };
    };
    if factor <= 0.0 {
        return 0.0;
    }
    if ingredient.is_warmed() {
        return ROUNDED / factor;
    }
    let nearest = if retention.note.is_some() {
        NEAREST_ROW
    } else {
        0.0
    };
    let between = |row: Option<&RetentionRow>| row?.kept(nutrient);
    let rows = between(retention.used.as_deref()).zip(between(retention.drained.as_deref()));
    let apart = rows.map_or(0.0, |(used, drained)| used - drained);
    let line = kept.leavings.min(1.0 - kept.leavings) * apart / 3.0_f64.sqrt();
    let squares = [ROUNDED, published, nearest, line].map(|one| one * one);
    squares.iter().sum::<f64>().sqrt() / factor
}
