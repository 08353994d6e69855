//! The outcome of a recipe: its masses, density, cubes and serving, or what is wrong with it.

use data_import::{Nutrient, NutrientId};

use super::fault::{Fault, is_within};
use super::nutrient_columns::place_of;
use super::recipes::Header;
use super::sums::Sums;
use super::{MOST, MOST_CUBES, MOST_TIMES};
use crate::portion::{Constituents, ROOM_CELSIUS};
use crate::problem::Problem;

/// The row of a recipe.
#[derive(Debug, Default)]
pub(super) struct BulkRow {
    /// Bits of what is wrong; the figures hold where there are none.
    pub(super) errors: i64,
    pub(super) lines: i64,
    pub(super) purchased: f64,
    pub(super) edible: f64,
    pub(super) cooked: f64,
    pub(super) liquid: f64,
    pub(super) puree: f64,
    pub(super) density: f64,
    pub(super) density_assumed: bool,
    pub(super) cube: f64,
    pub(super) cubes: f64,
    pub(super) serving: f64,
    /// Water of the purée before a loss; holds where the dry matter is known.
    pub(super) water: f64,
    dry_is_known: bool,
    /// The purée before a loss, the whole of which every nutrient is a part.
    pub(super) blended: f64,
    pub(super) missing: u64,
    pub(super) nothing: u64,
    /// The volume of a cube, in ml.
    cube_volume: f64,
    cubes_of_a_serving: f64,
}

/// The nutrients beside water that make up a food, by which its density is worked out.
pub(super) const PARTS: [NutrientId; 5] = [
    NutrientId::PROTEIN,
    NutrientId::FAT,
    NutrientId::CARBOHYDRATE,
    NutrientId::FIBRE,
    NutrientId::ASH,
];

/// The places of [`PARTS`] in the table of nutrients.
#[derive(Debug, Clone, Copy)]
pub(super) struct Places(pub(super) [usize; PARTS.len()]);

impl Places {
    /// Errors: the table lacks one of them.
    pub(super) fn new(nutrients: &[Nutrient]) -> Result<Self, Problem> {
        let mut places = Self([0; PARTS.len()]);
        for (place, id) in places.0.iter_mut().zip(PARTS) {
            *place = place_of(id, nutrients)?;
        }
        Ok(places)
    }

    fn of(self, id: NutrientId) -> Option<usize> {
        let at = PARTS.iter().position(|part| *part == id)?;
        self.0.get(at).copied()
    }
}

/// The outcome of a recipe without its nutrients, from its header, where it has one, and the sums
/// of its lines and its water.
pub(super) fn outcome(header: Option<&Header>, sums: &Sums) -> BulkRow {
    let mut row = BulkRow {
        errors: faults(header, sums),
        lines: sums.lines,
        ..BulkRow::default()
    };
    let Some(header) = header else {
        return row;
    };
    let expected = sums.cooked + header.liquid();
    let blended = header.puree_weighed.unwrap_or(expected);
    let dry = Some(sums.dry).filter(|_| sums.dry_is_known);
    let has_sums = row.errors & Fault::WITHOUT_SUMS == 0;
    let of_sums = is_heavy_enough(header, blended, dry) && blended <= MOST_TIMES * expected;
    let fits = can_be(header) && (!has_sums || of_sums);
    row.errors |= Fault::PureeTooLight.unless(fits);
    if row.errors != 0 {
        return row;
    }
    let puree = match header.puree_weighed {
        Some(weighed) => weighed,
        None => blended - header.loss,
    };
    row.purchased = sums.purchased;
    row.edible = sums.edible;
    row.cooked = sums.cooked;
    row.liquid = header.liquid();
    row.puree = puree;
    row.blended = blended;
    row.water = blended - sums.dry;
    row.dry_is_known = sums.dry_is_known;
    row.missing = sums.missing;
    row.nothing = sums.nothing;
    row.cube_volume = header.well.unwrap_or(f64::NAN) * header.fill.unwrap_or(f64::NAN);
    row.cubes_of_a_serving = header.cubes.unwrap_or(f64::NAN);
    row
}

impl BulkRow {
    /// Fills cubes with the purée of a recipe without faults: the density follows from its
    /// nutrients, `amount` is that of the nutrient at a place, as served or as frozen.
    pub(super) fn fill_cubes(&mut self, places: Places, amount: impl Fn(usize) -> f64) {
        let density = self.known_density(places, amount);
        self.density_assumed = density.is_none();
        self.density = density.unwrap_or(1.0);
        self.cube = self.cube_volume * self.density;
        self.cubes = self.puree / self.cube;
        self.serving = self.cube * self.cubes_of_a_serving;
    }

    /// `None` where a part other than fibre and ash is not known.
    fn known_density(&self, places: Places, amount: impl Fn(usize) -> f64) -> Option<f64> {
        let is_set = |bits: u64, at: usize| bits >> at & 1 == 1;
        let constituents = Constituents::of(|id| {
            if id == NutrientId::WATER {
                return Some(self.water).filter(|_| self.dry_is_known);
            }
            let at = places.of(id)?;
            let unknown = if [NutrientId::FIBRE, NutrientId::ASH].contains(&id) {
                is_set(self.nothing, at)
            } else {
                is_set(self.missing, at)
            };
            // Warming takes nothing of these parts, so that either sum will do.
            Some(amount(at)).filter(|_| !unknown)
        });
        constituents?.density(ROOM_CELSIUS)
    }
}

/// What is wrong before the purée is looked at.
fn faults(header: Option<&Header>, sums: &Sums) -> i64 {
    let mut faults = sums.faults | Fault::NoLines.unless(sums.lines > 0);
    faults |= Fault::OnlyWater.unless(!sums.is_only_water());
    let Some(header) = header else {
        return faults | Fault::NoRecipe.bit();
    };
    let volume = |ml: f64| ml == 0.0 || is_within(ml, MOST);
    let liquid = [header.collected, header.returned, header.added];
    let tray = [
        (header.well, MOST),
        (header.fill, 1.0),
        (header.cubes, MOST_CUBES),
    ];
    let given = |(figure, most): (Option<f64>, f64)| figure.is_some_and(|one| is_within(one, most));
    faults
        | Fault::RecipeTwice.unless(header.copies == 1)
        | Fault::Liquid
            .unless(liquid.into_iter().all(volume) && header.returned <= header.collected)
        | Fault::Tray.unless(tray.into_iter().all(given))
}

/// Whether the mass of a purée and a loss are numbers that a scale shows, whatever went in.
fn can_be(header: &Header) -> bool {
    let weighed = header.puree_weighed;
    weighed.is_none_or(|weighed| weighed > 0.0 && weighed.is_finite())
        && header.loss >= 0.0
        && header.loss.is_finite()
}

/// Whether the purée weighs no less than its dry matter, and more than its loss where it was not weighed after that.
fn is_heavy_enough(header: &Header, blended: f64, dry: Option<f64>) -> bool {
    blended > 0.0
        && blended.is_finite()
        && dry.is_none_or(|dry| dry <= blended)
        && (header.puree_weighed.is_some() || header.loss < blended)
}
