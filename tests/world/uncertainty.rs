//! Intervals against worked numbers: a calculation of the same formula by another program, from the rows of SR28 (2015).

use data_import::NutrientId as N;
use trayful::cooking::YieldBasis;
use trayful::nutrition::Total;
use trayful::portion::{Cubes, Tray};
use trayful::quantity::Mass;
use trayful::recipe::{Batch, CubeMade, Prepared};
use trayful::uncertainty::Interval;

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

/// So many cubes of a batch of the usual tray, all of them counted or none.
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
