//! What the lines of one recipe add up to, in their order, all but its nutrients.

use super::block::RecipeBlock;
use super::fault::{Fault, is_within};
use super::food::PreparedFood;
use super::food_layout::FoodLayout;
use super::lines::{LineBasis, RecipeLine, given};
use super::{DRY_SLACK, MOST, MOST_LIQUID, MOST_YIELD};

/// What the lines of a recipe add up to, in g.
#[derive(Debug)]
pub(super) struct Sums {
    /// Bits of what is wrong.
    pub(super) faults: i64,
    pub(super) lines: i64,
    pub(super) purchased: f64,
    pub(super) edible: f64,
    pub(super) cooked: f64,
    pub(super) dry: f64,
    /// Whether the dry matter of every food is known.
    pub(super) dry_is_known: bool,
    /// A bit for each nutrient that some food lacks.
    pub(super) missing: u64,
    /// A bit for each nutrient that every food lacks.
    pub(super) nothing: u64,
    only_water: bool,
}

impl Sums {
    pub(super) fn new() -> Self {
        Self {
            faults: 0,
            lines: 0,
            purchased: 0.0,
            edible: 0.0,
            cooked: 0.0,
            dry: 0.0,
            dry_is_known: true,
            missing: 0,
            nothing: u64::MAX,
            only_water: true,
        }
    }

    /// Adds a line to a recipe that returns this share of its liquid; its nutrients are summed with
    /// the block. Gives the bits of what is wrong with it.
    #[inline]
    pub(super) fn add(
        &mut self,
        line: &RecipeLine<'_>,
        share: f64,
        block: &mut RecipeBlock,
    ) -> i64 {
        self.lines += 1;
        let grams = line.grams;
        let has_grams = is_within(grams, MOST);
        // What is not given is not a number.
        let fits = |figure: f64, most| figure.is_nan() || is_within(figure, most);
        let weighed_fits = fits(line.weighed, MOST) && fits(line.own_yield, MOST_YIELD);
        let mut faults = Fault::Grams.unless(has_grams)
            | Fault::Basis.unless(line.basis != LineBasis::Unknown)
            | Fault::WeighedOrYield.unless(weighed_fits);
        let Some(food) = line.food else {
            self.only_water = false;
            faults |= Fault::UnknownFoodOrMethod.bit();
            self.faults |= faults;
            return faults;
        };
        self.only_water &= food.is_water;
        self.dry_is_known &= food.dry_is_known;
        self.note_missing(food.missing);
        let (purchased, trimmed) = match line.basis {
            LineBasis::Edible => (grams / food.edible_share, grams),
            _ => (grams, grams * food.edible_share),
        };
        let edible = trimmed * food.drained_share;
        let cooked = if line.weighed.is_nan() {
            let by_table = food.cooked + share * line.melted.cooked;
            edible * given(line.own_yield).unwrap_or(by_table)
        } else {
            line.weighed
        };
        let least = food.dry.none + share * line.melted.least;
        let too_light = food.dry_is_known && edible * least * DRY_SLACK > cooked;
        faults |= Fault::CookedTooLight.unless(!(has_grams && weighed_fits && too_light));
        self.faults |= faults;
        if self.faults != 0 {
            return faults;
        }
        self.purchased += purchased;
        self.edible += edible;
        self.cooked += cooked;
        self.dry += edible * food.dry.at(share);
        block.push_line(edible, food.nutrients);
        faults
    }

    /// Adds returned and plain water, in g, which is neither cooked nor warmed.
    pub(super) fn add_water(
        &mut self,
        water: Option<&PreparedFood>,
        grams: f64,
        foods: &mut FoodLayout,
        block: &mut RecipeBlock,
    ) {
        if !(grams > 0.0 && grams <= MOST_LIQUID) {
            return;
        }
        // What is in a can is drained, so that no more than a part of it would be the water that is meant.
        #[expect(clippy::float_cmp, reason = "exactly all of it")]
        let Some(water) = water.filter(|water| water.drained_share == 1.0) else {
            self.faults |= Fault::UnknownWater.bit();
            return;
        };
        self.dry += water.dry.map_or(0.0, |dry| grams * dry.none);
        self.dry_is_known &= water.dry.is_some();
        self.note_missing(water.composition.missing);
        block.push_line(grams, foods.uncooked(water));
    }

    /// Whether there is a line, and all of them are water.
    pub(super) fn is_only_water(&self) -> bool {
        self.lines > 0 && self.only_water
    }

    fn note_missing(&mut self, missing: u64) {
        self.missing |= missing;
        self.nothing &= missing;
    }
}
