//! What the lines of one recipe add up to, in their order.

use super::fault::{Fault, is_within};
use super::food::{LANES, Lanes, PreparedFood, Profile};
use super::lines::{LineBasis, RecipeLine};
use super::results::Per;
use super::{MOST, MOST_LIQUID, MOST_YIELD};

/// A cooked mass may lie so far below its dry matter as the scale and the table are in doubt.
const DRY_SLACK: f64 = 0.98;

/// What the lines of a recipe add up to, in g and in the units of the nutrients.
#[derive(Debug)]
pub(super) struct Sums {
    per: Per,
    /// Bits of what is wrong.
    pub(super) faults: i64,
    pub(super) lines: i64,
    pub(super) purchased: f64,
    pub(super) edible: f64,
    pub(super) cooked: f64,
    pub(super) dry: f64,
    /// A bit for each nutrient that some food lacks; bit 0 says that the dry matter is not known.
    pub(super) missing: u64,
    /// A bit for each nutrient that every food lacks.
    pub(super) nothing: u64,
    /// As frozen, where that is asked for.
    pub(super) frozen: Lanes,
    /// As served, where that is asked for.
    pub(super) served: Lanes,
    only_water: bool,
}

impl Sums {
    pub(super) fn new(per: Per) -> Self {
        Self {
            per,
            faults: 0,
            lines: 0,
            purchased: 0.0,
            edible: 0.0,
            cooked: 0.0,
            dry: 0.0,
            missing: 0,
            nothing: u64::MAX,
            frozen: [0.0; LANES],
            served: [0.0; LANES],
            only_water: true,
        }
    }

    /// Notes what the foods of some lines lack, and whether all are water, before the lines are added: the foods lie far apart, and the waits
    /// for memory overlap where all are looked at first.
    pub(super) fn note_foods<'f>(&mut self, foods: impl Iterator<Item = Option<&'f PreparedFood>>) {
        for food in foods {
            self.only_water &= food.is_some_and(|food| food.is_water);
            if let Some(food) = food {
                self.note_missing(food);
            }
        }
    }

    /// Adds a line, whose food was noted, to a recipe that returns this share of its liquid, and whose cubes are warmed or not. Gives the bits of what is wrong
    /// with it.
    pub(super) fn add(&mut self, line: &RecipeLine<'_>, share: f64, warm: bool) -> i64 {
        self.lines += 1;
        let grams = line.grams.unwrap_or(f64::NAN);
        let has_grams = is_within(grams, MOST);
        let given = |figure: Option<f64>, most| figure.is_none_or(|given| is_within(given, most));
        let mut faults = Fault::Grams.unless(has_grams)
            | Fault::Basis.unless(line.basis != LineBasis::Unknown)
            | Fault::WeighedOrYield
                .unless(given(line.weighed, MOST) && given(line.own_yield, MOST_YIELD));
        let Some(food) = line.food else {
            faults |= Fault::UnknownFoodOrMethod.bit();
            self.faults |= faults;
            return faults;
        };
        let (purchased, trimmed) = match line.basis {
            LineBasis::Edible => (grams / food.edible_share, grams),
            _ => (grams, grams * food.edible_share),
        };
        let edible = trimmed * food.drained_share;
        let by_yield = || edible * line.own_yield.unwrap_or_else(|| food.cooked.at(share));
        let cooked = line.weighed.unwrap_or_else(by_yield);
        let too_light = |least: super::food::Rising| edible * least.at(share) * DRY_SLACK > cooked;
        faults |= Fault::CookedTooLight.unless(!(has_grams && food.least.is_some_and(too_light)));
        self.faults |= faults;
        if self.faults != 0 {
            return faults;
        }
        self.purchased += purchased;
        self.edible += edible;
        self.cooked += cooked;
        self.dry += food.dry.map_or(0.0, |dry| edible * dry.at(share));
        self.add_nutrients(&food.composition.values, &food.profile, edible, share, warm);
        faults
    }

    /// Adds returned and plain water, in g, which is neither cooked nor warmed.
    pub(super) fn add_water(&mut self, water: Option<&PreparedFood>, grams: f64) {
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
        self.note_missing(water);
        let values = &water.composition.values;
        for (at, value) in values.iter().enumerate() {
            self.frozen[at] += grams * value;
            self.served[at] += grams * value;
        }
    }

    /// Whether there is a line, and all of them are water.
    pub(super) fn is_only_water(&self) -> bool {
        self.lines > 0 && self.only_water
    }

    /// Whether figures as served are summed.
    pub(super) fn per_is_served(&self) -> bool {
        self.per.is_served()
    }

    fn note_missing(&mut self, food: &PreparedFood) {
        self.missing |= food.composition.missing;
        self.nothing &= food.composition.missing;
    }

    fn add_nutrients(
        &mut self,
        values: &Lanes,
        profile: &Profile,
        grams: f64,
        share: f64,
        warm: bool,
    ) {
        let with_liquid: Lanes;
        let kept = if profile.varies && share > 0.0 {
            with_liquid = std::array::from_fn(|at| {
                profile.kept[at] + share * (profile.used[at] + share * profile.both[at])
            });
            &with_liquid
        } else {
            &profile.kept
        };
        if self.per.is_frozen() {
            for at in 0..LANES {
                self.frozen[at] += grams * values[at] * kept[at];
            }
        }
        if self.per.is_served() && warm {
            for at in 0..LANES {
                self.served[at] += grams * values[at] * kept[at] * profile.warm[at];
            }
        } else if self.per.is_served() {
            for at in 0..LANES {
                self.served[at] += grams * values[at] * kept[at];
            }
        }
    }
}
