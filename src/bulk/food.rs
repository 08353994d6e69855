//! A food cooked by a method: all that a recipe needs of it, per gram of its edible part.

use std::sync::Arc;

use data_import::Nutrient;

use super::outcome::PARTS;
use crate::recipe::PreparedIngredient;

/// Places for the nutrients of a batch, a few more than there are, so that they are summed in whole vectors.
pub(super) const LANES: usize = 48;
/// A figure for each nutrient, in the order of their table.
pub(super) type Lanes = [f64; LANES];

/// A figure that rises with the share of the liquid that is returned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rising {
    /// Where nothing is returned.
    pub(super) none: f64,
    /// What it is more where all is returned.
    pub(super) more: f64,
}

impl Rising {
    /// The figure where a share, 0 to 1, is returned.
    pub(super) fn at(self, share: f64) -> f64 {
        self.none + share * self.more
    }
}

/// The share of each nutrient that is kept: `kept + share x (used + share x both)`, where `share`
/// is the share of the liquid that is returned; and what is left of that after warming.
#[derive(Debug, PartialEq)]
pub(super) struct Profile {
    pub(super) kept: Lanes,
    pub(super) used: Lanes,
    pub(super) both: Lanes,
    pub(super) warm: Lanes,
}

/// What the dataset says of a food, per gram.
#[derive(Debug)]
pub(super) struct Composition {
    /// 0 where there is no value, which `missing` says.
    pub(super) values: Lanes,
    /// A bit for each nutrient without a value.
    pub(super) missing: u64,
}

/// A food cooked by a method, with what it shares with others: counted, or only lent, see [`LentFood`].
#[derive(Debug, Clone)]
pub(super) struct PreparedFood<C = Arc<Composition>, P = Arc<Profile>> {
    pub(super) composition: C,
    pub(super) profile: P,
    /// The share of the purchased mass that is not refuse.
    pub(super) edible_share: f64,
    /// The share that is left when the liquid of its can is poured away.
    pub(super) drained_share: f64,
    /// Cooked mass.
    pub(super) cooked: Rising,
    /// Dry matter that is eaten; by difference where water has no value.
    pub(super) dry: Option<Rising>,
    /// Dry matter without the liquid: no cooked mass is less.
    pub(super) least: Option<Rising>,
    /// Whether it is water.
    pub(super) is_water: bool,
}

/// A food to look at. Counting the references to what it shares for each line would take longer
/// than the look.
pub(super) type LentFood<'a> = PreparedFood<&'a Arc<Composition>, &'a Arc<Profile>>;

impl<C, P> PreparedFood<C, P> {
    /// Replaces the composition and the profile, so that a food that owns them can be lent as one that borrows them.
    fn with<C2, P2>(&self, composition: C2, profile: P2) -> PreparedFood<C2, P2> {
        PreparedFood {
            composition,
            profile,
            edible_share: self.edible_share,
            drained_share: self.drained_share,
            cooked: self.cooked,
            dry: self.dry,
            least: self.least,
            is_water: self.is_water,
        }
    }
}

impl PreparedFood {
    /// Lends it.
    pub(super) fn lent(&self) -> LentFood<'_> {
        self.with(&self.composition, &self.profile)
    }
}

impl LentFood<'_> {
    /// To keep.
    pub(super) fn kept(&self) -> PreparedFood {
        self.with(Arc::clone(self.composition), Arc::clone(self.profile))
    }
}

/// A figure that does not follow the share of the liquid as it ought to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Bent;

impl Profile {
    /// The shares of the nutrients that a gram of an ingredient keeps.
    pub(super) fn of(
        ingredient: &mut PreparedIngredient,
        nutrients: &[Nutrient],
    ) -> Result<Self, Bent> {
        let mut points = [[0.0; LANES]; POINTS.len()];
        for (share, point) in POINTS.into_iter().zip(&mut points) {
            ingredient.return_liquid(share);
            let kept = ingredient.kept();
            for (nutrient, place) in nutrients.iter().zip(point.iter_mut()) {
                *place = ingredient.share_kept(kept, nutrient.id);
            }
        }
        let mut profile = Self {
            kept: [0.0; LANES],
            used: [0.0; LANES],
            both: [0.0; LANES],
            warm: [1.0; LANES],
        };
        let reheating = &ingredient.preparation.reheating;
        for (nutrient, place) in nutrients.iter().zip(&mut profile.warm) {
            *place = reheating.factor(nutrient.id, 0.0).unwrap_or(1.0);
        }
        profile.fit(&points).map(|()| profile)
    }

    /// The bits of all its figures, by which equal profiles are found.
    pub(super) fn bits(&self) -> Vec<u64> {
        let lanes = [&self.kept, &self.used, &self.both, &self.warm];
        lanes
            .into_iter()
            .flatten()
            .map(|one| one.to_bits())
            .collect()
    }

    fn fit(&mut self, points: &[Lanes; POINTS.len()]) -> Result<(), Bent> {
        let [none, half, all, check] = points;
        for lane in 0..LANES {
            let of_lane = [none[lane], half[lane], all[lane], check[lane]];
            let [kept, used, both] = polynomial(of_lane)?;
            self.kept[lane] = kept;
            self.used[lane] = used;
            self.both[lane] = both;
        }
        Ok(())
    }
}

/// The shares at which a figure is asked for: the last one is a check of the others.
const POINTS: [f64; 4] = [0.0, 0.5, 1.0, 0.25];

/// Nothing about the two tables is more exact than this.
const SLACK: f64 = 1e-12;

/// The polynomial of second degree through figures at [`POINTS`]. Solids come back in proportion to
/// the liquid, and so do fat and what is dissolved in it: where a nutrient goes with both, their
/// product is of second degree.
fn polynomial([none, half, all, check]: [f64; 4]) -> Result<[f64; 3], Bent> {
    let size = none.abs().max(all.abs()).max(1.0);
    let rounded = |figure: f64| {
        if figure.abs() <= SLACK * size {
            0.0
        } else {
            figure
        }
    };
    let both = rounded(2.0 * (none + all) - 4.0 * half);
    let used = rounded(all - none - both);
    let at_check = none + POINTS[3] * (used + POINTS[3] * both);
    if (at_check - check).abs() > 10.0 * SLACK * size {
        return Err(Bent);
    }
    Ok([none, used, both])
}

/// A figure that is proportional to the share that is returned.
pub(super) fn rising(points: [f64; 4]) -> Result<Rising, Bent> {
    match polynomial(points)? {
        [none, more, 0.0] => Ok(Rising { none, more }),
        _ => Err(Bent),
    }
}

/// Some figures of a gram of an ingredient, each at each of [`POINTS`].
pub(super) fn at_points<const N: usize>(
    ingredient: &mut PreparedIngredient,
    figures: impl Fn(&PreparedIngredient) -> [f64; N],
) -> [[f64; 4]; N] {
    let of_points = POINTS.map(|share| {
        ingredient.return_liquid(share);
        figures(ingredient)
    });
    std::array::from_fn(|figure| of_points.map(|of_point| of_point[figure]))
}

/// Whether warming leaves alone what the density is worked out from.
pub(super) fn density_outlasts_warming(profile: &Profile, nutrients: &[Nutrient]) -> bool {
    let warm = nutrients.iter().zip(&profile.warm);
    #[expect(clippy::float_cmp, reason = "a factor of exactly one")]
    let mut whole = warm.map(|(nutrient, warm)| !PARTS.contains(&nutrient.id) || *warm == 1.0);
    whole.all(|whole| whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_polynomial_is_found_and_anything_else_is_refused() {
        let square = |t: f64| (0.3 + 0.7 * t) * (0.9 + 0.05 * t);
        let [none, used, both] = polynomial(POINTS.map(square)).unwrap();
        for share in [0.0, 0.1, 0.6, 1.0] {
            let found = none + share * (used + share * both);
            approx::assert_relative_eq!(found, square(share), epsilon = 1e-14);
        }
        assert_eq!(polynomial(POINTS.map(|_| 0.85)), Ok([0.85, 0.0, 0.0]));
        assert_eq!(polynomial(POINTS.map(|t| (t - 0.3).max(0.0))), Err(Bent));
    }
}
