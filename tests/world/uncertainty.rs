//! Intervals against worked numbers (the same formula in another program, from the rows of SR28,
//! 2015), against random draws, and against analyses that they were not fitted on.

use std::collections::BTreeMap;

use data_import::{NutrientId as N, reference};
use serde::Deserialize;
use trayful::cooking::YieldBasis;
use trayful::nutrition::Total;
use trayful::portion::{Cubes, Tray};
use trayful::quantity::Mass;
use trayful::recipe::{Batch, CubeMade, Prepared};
use trayful::uncertainty::{Cause, Interval};

use crate::support;

/// Tolerance of the worked numbers, relative.
const TOLERANCE: f64 = 2e-3;

/// An invented recipe: weighed by the gram, steamed and simmered in one pot, some of the liquid back in.
const LENTIL_SQUASH: &str = r#"
[[ingredient]]
food   = "11485"
amount = "600 g"
method = "steam"

[[ingredient]]
food   = "16144"
amount = "150 g"
method = "simmer"

[[ingredient]]
food   = "04053"
amount = "1 tablespoon"
method = "none"

[liquid]
collected = "250 ml"
returned  = "200 ml"

[serving]
cubes = 3
"#;

/// The worked numbers let food keep all its solids, and know these two yields.
fn as_worked(mut prepared: Prepared) -> Batch {
    for (one, (factor, basis)) in prepared
        .ingredients
        .iter_mut()
        .zip([(0.93, YieldBasis::Estimate), (3.0362, YieldBasis::Derived)])
    {
        one.preparation.solids_kept = 1.0;
        one.preparation.yield_factor.factor = factor;
        one.preparation.yield_factor.basis = basis;
    }
    prepared.calculate().unwrap().unwrap()
}

/// Cubes of a batch of the usual tray, all of them counted or none.
fn of_cubes(batch: &Batch, nutrient: N, cubes: u32, counted: Option<u32>) -> Interval {
    let tray = Tray::usual();
    let mass = match counted {
        Some(all) => batch.masses.puree * (1.0 / f64::from(all)),
        None => tray.cube_mass(batch.density),
    };
    let made = CubeMade {
        mass,
        tray: &tray.name,
        counted,
    };
    let serving = batch.cube(made, |_| Vec::new()).times(f64::from(cubes));
    let total = serving.total(nutrient);
    total
        .interval(nutrient, [serving.interval_part(nutrient)])
        .unwrap()
}

fn assert_worked(found: &Interval, [value, low, high, spread]: [f64; 4], what: &str) {
    for (found, worked) in [
        (found.value, value),
        (found.low, low),
        (found.known_high, high),
        (found.spread, spread),
    ] {
        assert!(
            (found / worked - 1.0).abs() < TOLERANCE,
            "{what}: {found}, worked {worked}"
        );
    }
}

#[test]
fn three_cubes_of_lentils_and_squash() {
    let batch = as_worked(support::batch(LENTIL_SQUASH).prepared);
    for (nutrient, not_counted, counted) in [
        (
            N::IRON,
            [1.0153, 0.6928, 1.4879, 0.2982],
            [1.0634, 0.7477, 1.5122, 0.2748],
        ),
        (
            N::ZINC,
            [0.4208, 0.3079, 0.5750, 0.2437],
            [0.4407, 0.3349, 0.5799, 0.2142],
        ),
        (
            N::VITAMIN_C,
            [6.2291, 1.8274, 21.2336, 0.9569],
            [6.5241, 1.9308, 22.0451, 0.9500],
        ),
        (
            N::PROTEIN,
            [3.0833, 2.4404, 3.8956, 0.1825],
            [3.2293, 2.6968, 3.8671, 0.1406],
        ),
        (
            N::ENERGY,
            [66.5685, 55.4818, 79.8706, 0.1421],
            [69.7216, 62.7370, 77.4837, 0.0824],
        ),
        (
            N::WATER,
            [69.1348, 62.0573, 77.0195, 0.0843],
            [72.4095, 60.5420, 86.6032, 0.1397],
        ),
    ] {
        let found = of_cubes(&batch, nutrient, 3, None);
        assert_worked(&found, not_counted, &format!("{nutrient}"));
        let found = of_cubes(&batch, nutrient, 3, Some(38));
        assert_worked(&found, counted, &format!("{nutrient}, counted"));
    }
}

/// The doubts of one batch add over its servings, and those of a food over all its batches.
#[test]
fn a_week_of_two_batches_of_one_recipe() {
    let batch = as_worked(support::batch(LENTIL_SQUASH).prepared);
    let tray = Tray::usual();
    let cube = CubeMade::of(tray.cube_mass(batch.density), &tray.name);
    let of = |pot: &str| {
        let mut serving = batch.cube(cube, |_| Vec::new()).times(3.0);
        let portion = serving.portion.take().unwrap();
        serving.portion = Some(portion.in_pot(&pot.into()));
        serving
    };
    let servings = ["1", "1", "1", "2", "2"].map(of);
    let mut sum = Total::default();
    for one in &servings {
        sum.add(&one.total(N::IRON));
    }
    let parts = servings.iter().map(|one| one.interval_part(N::IRON));
    let week = sum.interval(N::IRON, parts).unwrap();
    assert_worked(&week, [5.0764, 3.597, 7.164, 0.2687], "week");
}

#[test]
fn one_food_weighed_once_or_twice() {
    let lentils = |amounts: &[f64]| {
        let parts = amounts.iter();
        let parts: Vec<_> = parts
            .map(|grams| support::ingredient("16144", *grams, "none", ""))
            .collect();
        of_cubes(&support::batch(&parts.concat()), N::IRON, 2, Some(10)).spread
    };
    for (found, worked) in [
        (lentils(&[200.0]), 0.2994),
        (lentils(&[120.0, 80.0]), 0.2995),
    ] {
        assert!(
            (found / worked - 1.0).abs() < TOLERANCE,
            "{found}, {worked}"
        );
    }
    // More squash of the same pot is as much more purée: what was weighed and peeled cancels.
    let squash = "[[ingredient]]\nfood = \"11485\"\namount = \"600 g\"\nmethod = \"steam\"\n";
    let batch = as_worked(support::batch(squash).prepared);
    let found = of_cubes(&batch, N::IRON, 2, None).spread;
    assert!((found / 0.6164 - 1.0).abs() < TOLERANCE, "{found}");
    assert!(Cubes::of(batch.masses.puree, Mass::from_grams(30.0)).whole() > 10);
}

/// Normal deviates from a seed: a xorshift of 64 bits (Marsaglia 2003), two uniform numbers made
/// normal (Box and Muller 1958).
struct Draws(u64);

impl Draws {
    fn uniform(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64 + f64::EPSILON
    }

    /// A factor around 1 that errs by so much, relative to it.
    fn factor(&mut self, spread: f64) -> f64 {
        let radius = (-2.0 * self.uniform().ln()).sqrt();
        let normal = radius * (std::f64::consts::TAU * self.uniform()).cos();
        (spread * normal).exp()
    }
}

/// One ingredient of the worked recipe, with how far each step may be off.
struct Drawn {
    cooked: f64,
    brings: f64,
    of_value: Vec<f64>,
    of_mass: Vec<f64>,
    of_yield: f64,
}

/// Three cubes of the worked recipe, drawn again and again: every step is multiplied by a factor of
/// its own, and the batch calculated again, so that nothing of the formula is taken for granted but
/// how far each step is off.
fn drawn(batch: &Batch, nutrient: N, draws: &mut Draws) -> Vec<f64> {
    let cube = Tray::usual().cube_mass(batch.density);
    let doubts = batch.doubts(CubeMade::of(cube, "usual tray"));
    let unit = cube / batch.masses.puree;
    let scale = [2.0 / 600.0, 2.0 / 150.0, 0.12];
    let refuse = [0.15 * 0.16 / 0.84, 0.0, 0.0];
    let yields = [0.20, 0.15, 0.0];
    let all = batch.prepared.ingredients.iter().enumerate();
    let all = all.map(|(at, one)| {
        let warmed = one.preparation.reheating.factor(nutrient, 0.0);
        let brings = one.edible().grams() / 100.0
            * one.food.composition.get(nutrient).unwrap()
            * one.share_kept(one.kept(), nutrient)
            * warmed.unwrap_or(1.0);
        let of_value = doubts.of(nutrient).filter(|(cause, _)| {
            let told = matches!(
                cause,
                Cause::Lot(..) | Cause::Database(_) | Cause::Retention(..)
            );
            told && cause.food() == Some(&one.food.id)
        });
        Drawn {
            cooked: one.cooked().grams(),
            of_value: of_value
                .map(|(_, amount)| amount / (brings * unit))
                .collect(),
            brings,
            of_mass: vec![scale[at], refuse[at]],
            of_yield: yields[at],
        }
    });
    let all: Vec<Drawn> = all
        .filter(|one| one.brings > 0.0 || one.cooked > 0.0)
        .collect();
    let liquid = batch.prepared.liquid_mass().grams();
    let of_water = batch
        .prepared
        .liquid
        .water
        .composition
        .get(nutrient)
        .unwrap()
        / 100.0
        * liquid;
    let draw = |draws: &mut Draws| {
        let (mut brought, mut puree) = (of_water, liquid);
        for one in &all {
            let mass: f64 = one
                .of_mass
                .iter()
                .map(|spread| draws.factor(*spread))
                .product();
            let value: f64 = one
                .of_value
                .iter()
                .map(|spread| draws.factor(*spread))
                .product();
            brought += one.brings * mass * value;
            puree += one.cooked * mass * draws.factor(one.of_yield);
        }
        let cubes = [0.05, 0.02, 0.10 / 3.0_f64.sqrt()];
        let filled: f64 = cubes.iter().map(|spread| draws.factor(*spread)).product();
        3.0 * cube.grams() * filled * brought / puree
    };
    (0..20_000).map(|_| draw(draws)).collect()
}

#[test]
fn the_formula_is_as_wide_as_random_draws() {
    let batch = as_worked(support::batch(LENTIL_SQUASH).prepared);
    let mut draws = Draws(20_261_128);
    println!("width and middle of 20,000 draws beside the formula");
    for nutrient in [N::IRON, N::ZINC, N::VITAMIN_C, N::PROTEIN, N::ENERGY] {
        let formula = of_cubes(&batch, nutrient, 3, None);
        let mut values = drawn(&batch, nutrient, &mut draws);
        values.sort_by(f64::total_cmp);
        let at = |tenths: usize| values[values.len() * tenths / 10];
        let width = (at(9) - at(1)) / (formula.known_high - formula.low) - 1.0;
        let middle = at(5) / formula.value - 1.0;
        println!(
            "{nutrient}: width {:+.1} %, middle {:+.1} %",
            100.0 * width,
            100.0 * middle
        );
        assert!(width.abs() < 0.08, "{nutrient}: width {width}");
        let off = 0.02 + formula.spread / 20.0;
        assert!(middle.abs() < off, "{nutrient}: middle {middle}");
    }
}

#[derive(Debug, Deserialize)]
struct NewerRow {
    ndb: String,
    fitted: String,
    number: N,
    amount: f64,
    at_most: f64,
}

/// Where newer analyses of a food lie in the interval that its value in SR28 gets. Source:
/// `newer-analyses.csv`, Foundation Foods of October 2024, samples of 2016 and later; foods that
/// the spreads were fitted on are left out.
#[test]
fn intervals_hold_for_analyses_they_were_not_fitted_on() {
    let rows: Vec<NewerRow> =
        reference::rows("newer-analyses.csv", reference::NEWER_ANALYSES).unwrap();
    let told = [
        N::IRON,
        N::ZINC,
        N::CALCIUM,
        N::POTASSIUM,
        N::VITAMIN_C,
        N::PROTEIN,
        N::ENERGY,
    ];
    let mut held: BTreeMap<N, Vec<bool>> = BTreeMap::new();
    let mut batches: BTreeMap<&str, Batch> = BTreeMap::new();
    for row in rows.iter().filter(|row| row.fitted == "no") {
        if !told.contains(&row.number) {
            continue;
        }
        // A whole kilogram, weighed, in counted cubes, all of them: nothing is unsure but the food.
        let batch = batches
            .entry(&row.ndb)
            .or_insert_with(|| support::batch(&support::ingredient(&row.ndb, 1000.0, "none", "")));
        if support::in_batch(batch, row.number).is_none_or(|value| value == 0.0) {
            continue;
        }
        let found = of_cubes(batch, row.number, 10, Some(10));
        // A sample below detection holds nothing, or as much as could just not be detected.
        let inside = found.low / 10.0 <= row.at_most && row.amount <= found.known_high / 10.0;
        held.entry(row.number).or_default().push(inside);
    }
    println!("share of newer analyses inside the interval, meant to be 80 %");
    let all: Vec<bool> = held.values().flatten().copied().collect();
    let shares = held
        .iter()
        .map(|(nutrient, held)| (nutrient.to_string(), held.as_slice()));
    for (what, held) in shares.chain([("all".to_string(), all.as_slice())]) {
        let inside = held.iter().filter(|inside| **inside).count();
        let share = support::percent(inside, held.len());
        println!("{what}: {share:.1} % of {}", held.len());
        assert!((70.0..=95.0).contains(&share), "{what}: {share}");
    }
    assert!(all.len() > 300, "{}", all.len());
}
