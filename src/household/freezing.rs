//! Freezing a batch: the checks, the record, and what its cubes cost.

use std::collections::BTreeSet;

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::objections::{BookJudge, Judged};
use super::{calculated, keeping};
use crate::cost::Comparison;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, NewBatch, Store};
use crate::portion::{Cubes, Target, Tray};
use crate::problem::{Located, Place, Problem, SourceText};
use crate::quantity::Mass;
use crate::recipe::{Batch, NoteKind, Recipe};
use crate::safety::{AllergenTable, Objection};
use crate::words::counted;

/// The cubes of a usual serving (judgement).
pub const USUAL_SERVING: f64 = 2.0;

/// A batch that is about to go into the freezer.
#[derive(Debug)]
pub struct Freezing<'a> {
    /// Name of the recipe, as its file is called.
    pub name: &'a str,
    /// The recipe as it was cooked.
    pub recipe: Recipe,
    /// The target to which the recipe was scaled.
    pub target: Target,
    /// The tray.
    pub tray: &'a Tray,
    /// The blended purée on the scale.
    pub weighed: Option<Located<Mass>>,
    /// The number of cubes frozen; `None` for all that the batch makes.
    pub cubes: Option<u32>,
    /// The day on which it is frozen.
    pub day: Date,
}

/// A batch that went into the freezer.
#[derive(Debug)]
pub struct Frozen {
    /// The number of the batch.
    pub id: i64,
    /// The batch as it was calculated.
    pub batch: Batch,
    /// Cubes that went in.
    pub cubes: u32,
    /// Mass of one cube.
    pub cube: Mass,
    /// The last day it is to be eaten.
    pub use_by: Date,
    /// The cost of the cubes, beside the jar.
    pub comparison: Comparison,
    /// The warnings, each a sentence without its full stop.
    pub warnings: Vec<String>,
}

/// Records a batch, unless an objection blocks it and the caller does not override it.
pub fn freeze(
    book: &Book,
    store: &mut Store,
    pantry: &Pantry,
    freezing: &Freezing<'_>,
    anyway: impl FnOnce(&[Objection]) -> bool,
) -> Result<Judged<Frozen>, BookError> {
    let batch = calculated(&freezing.recipe, &freezing.target, freezing.tray, pantry)?;
    let batch = on_the_scale(batch, freezing.weighed.as_ref())?;
    check_cube_size(&batch, freezing.tray, freezing.cubes)?;
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let objections = judge.batch(&batch, freezing.tray, freezing.day, None)?;
    Judged::unless_stopped(objections, anyway, || record(book, store, freezing, batch))
}

fn record(
    book: &Book,
    store: &mut Store,
    freezing: &Freezing<'_>,
    batch: Batch,
) -> Result<Frozen, BookError> {
    let (day, tray) = (freezing.day, freezing.tray);
    let full = Cubes::of(batch.masses.puree, tray.cube_mass(batch.density));
    let cubes = freezing.cubes.unwrap_or_else(|| full.whole()).max(1);
    let life = freezing
        .recipe
        .freezer
        .days
        .unwrap_or(book.settings.freezer_days);
    let name = freezing.name;
    let new = NewBatch {
        day,
        name,
        batch: &batch,
        tray: &tray.name,
        cubes,
        told: freezing.cubes.is_some(),
        full: full.each,
        use_by: day.saturating_add(i64::from(life).days()),
        dataset: &sources(&batch),
    };
    let (use_by, cube) = (new.use_by, new.filled().each);
    let mut warnings: Vec<String> = weighed_doubt(&batch)
        .map(String::from)
        .into_iter()
        .collect();
    warnings.extend(keeping::too_much(book, store, day, life, cubes)?);
    warnings.extend(keeping::too_long(&batch, life)?);
    warnings.extend(too_many_entered(freezing.cubes, full.whole(), cube));
    warnings.extend(rest(batch.masses.puree, cube * f64::from(cubes), cube));
    let (id, cost) = store.freeze(&new, &AllergenTable::builtin()?)?;
    let comparison = Comparison {
        mass: cube * f64::from(cubes),
        cost,
        ready_made: book.settings.ready_made_for(name).cloned(),
    };
    Ok(Frozen {
        id,
        batch,
        cubes,
        cube,
        use_by,
        comparison,
        warnings,
    })
}

/// That a purée weighs far more or less than its recipe leads to expect; the bowl may be with it, or a part of it missing.
pub fn weighed_doubt(batch: &Batch) -> Option<&str> {
    let mut notes = batch.notes.iter();
    let note = notes.find(|note| note.kind == NoteKind::Weighed)?;
    Some(&note.text)
}

/// That more of the batch than one cube was not frozen, and what becomes of its cost.
pub(super) fn rest(puree: Mass, frozen: Mass, cube: Mass) -> Option<String> {
    let rest = puree - frozen;
    (rest >= cube).then(|| {
        format!(
            "{:.0} g of the batch were not frozen, and their share of the cost is left out",
            rest.grams()
        )
    })
}

/// A warning where far more cubes were entered than a batch fills, which may be a slip; of fewer,
/// the rest is taken to be eaten at once.
fn too_many_entered(entered: Option<u32>, fills: u32, cube: Mass) -> Option<String> {
    let entered = entered.filter(|entered| *entered > fills.saturating_mul(2))?;
    Some(format!(
        "the batch fills {} of this tray, but {entered} were entered, of {:.0} g each: check the number",
        counted(fills, "cube"),
        cube.grams()
    ))
}

/// Whole cubes that a batch makes.
pub fn cubes_of(batch: &Batch, tray: &Tray) -> u32 {
    Cubes::of(batch.masses.puree, tray.cube_mass(batch.density)).whole()
}

/// The batch with the mass of its purée as weighed.
///
/// Errors: the tables cannot be read; or the ingredients cannot make that mass.
pub fn on_the_scale(batch: Batch, weighed: Option<&Located<Mass>>) -> Result<Batch, BookError> {
    let Some(weighed) = weighed else {
        return Ok(batch);
    };
    let mut prepared = batch.prepared;
    prepared.weighed = Some(weighed.clone());
    prepared.check_weighed()?;
    Ok(prepared.calculate()??)
}

/// The name under which a problem speaks of the number of cubes that was entered.
pub const CUBES_TOLD: &str = "the number of cubes";

/// The least share of a full well that a cube holds: a smaller one is a slip of the number, or
/// comes from another tray (judgement).
const LEAST_SHARE: f64 = 1.0 / 3.0;

/// Checks that the number of cubes entered is one that fills the wells of the tray. With fewer
/// cubes than the batch fills the rest was eaten at once, so that a cube is never more than its
/// well holds.
fn check_cube_size(batch: &Batch, tray: &Tray, entered: Option<u32>) -> Result<(), BookError> {
    let full = Cubes::of(batch.masses.puree, tray.cube_mass(batch.density));
    let Some(entered) = entered.filter(|entered| *entered > 1) else {
        return Ok(());
    };
    let each = full.filled(entered, true).each;
    if each / full.each >= LEAST_SHARE {
        return Ok(());
    }
    let place = Place::whole(&SourceText::new(CUBES_TOLD, entered.to_string()));
    let what = format!(
        "{entered} cubes of this batch would weigh {:.1} g each, and a well of the tray holds {:.0} g",
        each.grams(),
        full.each.grams()
    );
    let hint = "look at the number of cubes, and at the tray that was filled";
    Err(Problem::at(place, what).hint(hint).into())
}

/// The datasets, each with its release, that the figures of a batch come from.
fn sources(batch: &Batch) -> String {
    let water = std::iter::once(&batch.prepared.liquid.water);
    let sources: BTreeSet<&str> = batch
        .foods()
        .chain(water)
        .map(|food| food.source.as_str())
        .collect();
    sources.into_iter().collect::<Vec<_>>().join("; ")
}
