//! What becomes of a recipe: its masses, density, cubes and serving, or what is wrong with it.

use data_import::NutrientId;

use super::fault::{Fault, is_within};
use super::food::Lanes;
use super::recipes::Header;
use super::sums::Sums;
use super::{CELSIUS, MOST, MOST_CUBES};
use crate::portion::Constituents;

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
    /// Water of the purée before a loss; holds where `missing` does not say otherwise.
    pub(super) water: f64,
    /// The purée before a loss, the whole of which every nutrient is a part.
    pub(super) blended: f64,
    pub(super) missing: u64,
    pub(super) nothing: u64,
}

/// The places of the nutrients that make up a food, in the table of nutrients.
#[derive(Debug, Clone, Copy)]
pub(super) struct Places {
    pub(super) protein: usize,
    pub(super) fat: usize,
    pub(super) carbohydrate: usize,
    pub(super) fibre: usize,
    pub(super) ash: usize,
}

impl Places {
    fn of(self, id: NutrientId) -> Option<usize> {
        Some(match id {
            NutrientId::PROTEIN => self.protein,
            NutrientId::FAT => self.fat,
            NutrientId::CARBOHYDRATE => self.carbohydrate,
            NutrientId::FIBRE => self.fibre,
            NutrientId::ASH => self.ash,
            _ => return None,
        })
    }
}

/// Finishes a recipe: with its header, where it has one, and the sums of its lines and its water.
pub(super) fn outcome(header: Option<&Header>, sums: &Sums, places: Places) -> BulkRow {
    let mut row = BulkRow {
        errors: faults(header, sums),
        lines: sums.lines,
        ..BulkRow::default()
    };
    let Some(header) = header.filter(|_| row.errors == 0) else {
        return row;
    };
    let expected = sums.cooked + header.liquid();
    let blended = header.puree_weighed.unwrap_or(expected);
    let dry = Some(sums.dry).filter(|_| sums.missing & 1 == 0);
    if !is_heavy_enough(header, blended, dry) {
        row.errors = Fault::PureeTooLight.bit();
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
    row.missing = sums.missing;
    row.nothing = sums.nothing;
    let density = density(sums, row.water, places);
    row.density_assumed = density.is_none();
    row.density = density.unwrap_or(1.0);
    let volume = header.well.unwrap_or(f64::NAN) * header.fill.unwrap_or(f64::NAN);
    row.cube = volume * row.density;
    row.cubes = puree / row.cube;
    row.serving = row.cube * header.cubes.unwrap_or(f64::NAN);
    row
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

/// Whether the purée weighs no less than its dry matter, and more than its loss.
fn is_heavy_enough(header: &Header, blended: f64, dry: Option<f64>) -> bool {
    let loss_fits = header.loss >= 0.0 && header.loss < blended;
    blended > 0.0
        && blended.is_finite()
        && dry.is_none_or(|dry| dry <= blended)
        && (header.puree_weighed.is_some() || loss_fits)
}

/// `None` where a part other than fibre is not known.
fn density(sums: &Sums, water: f64, places: Places) -> Option<f64> {
    // Warming takes nothing of these parts, so that either sum will do.
    let parts: &Lanes = if sums.per_is_served() {
        &sums.served
    } else {
        &sums.frozen
    };
    let is_set = |bits: u64, at: usize| bits >> at & 1 == 1;
    let constituents = Constituents::of(|id| {
        if id == NutrientId::WATER {
            return Some(water).filter(|_| !is_set(sums.missing, 0));
        }
        let at = places.of(id)?;
        let unknown = if id == NutrientId::FIBRE {
            is_set(sums.nothing, at)
        } else {
            is_set(sums.missing, at)
        };
        parts.get(at).copied().filter(|_| !unknown)
    });
    constituents?.density(CELSIUS)
}
