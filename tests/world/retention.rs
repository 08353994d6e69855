//! What survives cooking.
//!
//! Sources: USDA Table of Nutrient Retention Factors, Release 6 (2007); USDA SR28 documentation
//! (true retention, after Murphy, Criner and Gray 1975); Phenol-Explorer, retention factors (open
//! research database). The line between two published rows is judgement.

use data_import::reference;
use serde::Deserialize;
use trayful::cooking::{Method, Retention, RetentionRow};
use trayful::nutrition::NutrientId;

use crate::support::{batch, class_of, data, food, ingredient, per_100_g, rows};

fn codes() -> Vec<String> {
    let (_, rows) = reference::records("retention.csv", reference::RETENTION).unwrap();
    rows.iter().map(|row| row[0].to_string()).collect()
}

fn row(code: &str) -> RetentionRow {
    RetentionRow::find(code).unwrap()
}

fn code(row: Option<&RetentionRow>) -> Option<&str> {
    row.map(|row| row.code.as_str())
}

#[test]
fn the_table_is_whole() {
    let (header, rows) = reference::records("retention.csv", reference::RETENTION).unwrap();
    assert_eq!((rows.len(), header.len() - 3), (270, 26));
    let cells = rows
        .iter()
        .flat_map(|row| row.iter().skip(3))
        .collect::<Vec<_>>();
    assert_eq!(cells.iter().filter(|cell| cell.is_empty()).count(), 2);
    let share = |cell: &&str| cell.parse::<f64>().is_ok_and(|percent| percent <= 100.0);
    assert_eq!(
        cells.iter().filter(|cell| share(cell)).count(),
        270 * 26 - 2
    );
}

#[derive(Deserialize)]
struct Check {
    code: String,
    description: String,
    nutrient: u16,
    percent: f64,
}

#[test]
fn single_values_are_those_published() {
    let checks: Vec<Check> = data("retention-checks.csv");
    assert!(checks.len() >= 60, "{}", checks.len());
    for check in &checks {
        let row = row(&check.code);
        let published = row.kept(NutrientId::new(check.nutrient));
        let what = format!("{} {}", check.code, check.nutrient);
        approx::assert_relative_eq!(published.unwrap() * 100.0, check.percent, epsilon = 1e-9);
        assert_eq!(row.description, check.description, "{what}");
    }
    println!("{} published retention factors found again", checks.len());
}

#[derive(Deserialize)]
struct Sum {
    nutrient: u16,
    values: usize,
    sum_percent: f64,
}

#[test]
fn every_column_adds_up_to_what_is_published() {
    let sums: Vec<Sum> = data("retention-sums.csv");
    assert_eq!(sums.len(), 26);
    let codes = codes();
    for Sum {
        nutrient,
        values,
        sum_percent,
    } in sums
    {
        let kept = |code: &String| row(code).kept(NutrientId::new(nutrient));
        let column: Vec<f64> = codes.iter().filter_map(kept).collect();
        assert_eq!(column.len(), values, "{nutrient}");
        let sum = column.iter().sum::<f64>() * 100.0;
        approx::assert_abs_diff_eq!(sum, sum_percent, epsilon = 1e-6);
    }
}

/// Release 6: roots boiled covered and drained keep 65 % of vitamin C, the water used 75 %.
#[test]
fn liquid_returned_in_part_lies_on_the_line() {
    let carrots = Retention::cooking(&class_of("11124"), Method::Boil).unwrap();
    assert_eq!(
        (
            code(carrots.drained.as_deref()),
            code(carrots.used.as_deref())
        ),
        (Some("3455"), Some("3456"))
    );
    for (returned, kept) in [(0.0, 0.65), (0.25, 0.675), (0.5, 0.70), (1.0, 0.75)] {
        let factor = carrots.factor(NutrientId::VITAMIN_C, returned).unwrap();
        approx::assert_relative_eq!(factor, kept, epsilon = 1e-12);
    }
    let one_row = Retention::named(row("3464"));
    let factor = |returned| one_row.factor(NutrientId::VITAMIN_C, returned);
    assert_eq!(factor(0.0), factor(1.0));
}

#[test]
fn equivalents_take_the_column_that_is_published() {
    let column = |code: &str, number| row(code).kept(NutrientId::new(number));
    for code in codes() {
        let kept = |nutrient| Retention::named(row(&code)).factor(nutrient, 0.0);
        assert_eq!(
            kept(NutrientId::VITAMIN_A_RAE),
            column(&code, 392),
            "{code}"
        );
        assert_eq!(kept(NutrientId::RETINOL), column(&code, 392), "{code}");
        assert_eq!(kept(NutrientId::FOLATE_DFE), column(&code, 417), "{code}");
        assert_eq!(kept(NutrientId::FOLIC_ACID), column(&code, 431), "{code}");
        assert_eq!(kept(NutrientId::FOOD_FOLATE), column(&code, 432), "{code}");
        assert_eq!(
            kept(NutrientId::BETA_CAROTENE),
            column(&code, 321),
            "{code}"
        );
    }
}

#[test]
fn what_has_no_column_has_no_factor_and_macronutrients_stay() {
    let roots = Retention::named(row("3455"));
    for nutrient in [
        NutrientId::VITAMIN_E,
        NutrientId::VITAMIN_K,
        NutrientId::VITAMIN_D,
        NutrientId::PANTOTHENIC_ACID,
        NutrientId::MANGANESE,
        NutrientId::SELENIUM,
        NutrientId::ASH,
        NutrientId::CHOLESTEROL,
    ] {
        assert_eq!(roots.factor(nutrient, 0.0), None, "{nutrient}");
    }
    for nutrient in [
        NutrientId::ENERGY,
        NutrientId::PROTEIN,
        NutrientId::FAT,
        NutrientId::CARBOHYDRATE,
        NutrientId::FIBRE,
        NutrientId::SUGARS,
        NutrientId::SATURATED_FAT,
    ] {
        assert_eq!(roots.factor(nutrient, 0.0), Some(1.0), "{nutrient}");
    }
}

#[test]
fn every_code_chosen_is_in_the_table() {
    let known = codes();
    let choices = rows(reference::RETENTION_CHOICE);
    let chosen = choices
        .iter()
        .flat_map(|row| [&row["drained"], &row["used"]]);
    let chosen = chosen.filter(|code| !code.is_empty()).collect::<Vec<_>>();
    for code in &chosen {
        assert!(known.contains(code), "{code}");
    }
    println!(
        "{} classes and steps name {} rows",
        choices.len(),
        chosen.len()
    );
}

/// Share kept by the masses: concentration cooked / concentration raw x yield.
fn true_retention(raw: f64, cooked: f64, yield_factor: f64) -> f64 {
    cooked * yield_factor / raw
}

#[derive(Deserialize)]
struct TrueRetention {
    #[serde(rename = "yield")]
    yield_factor: f64,
    raw: f64,
    cooked: f64,
    retention: f64,
    printed: f64,
}

/// The definition itself, as plain arithmetic on the database's figures.
#[test]
fn true_retention_as_the_database_prints_it() {
    let rows: Vec<TrueRetention> = data("true-retention.csv");
    assert_eq!(rows.len(), 11);
    for row in rows {
        let kept = true_retention(row.raw, row.cooked, row.yield_factor);
        approx::assert_abs_diff_eq!(kept, row.retention, epsilon = 0.01);
        approx::assert_abs_diff_eq!(kept, row.printed, epsilon = 0.01);
    }
}

/// The same definition on a batch of the library's gives back the published factor, at each of
/// the yields the database names.
#[test]
fn a_batch_has_the_true_retention_of_its_row() {
    for stated in [0.65, 0.85, 0.86] {
        let recipe = ingredient("11124", 500.0, "boil", &format!("yield = {stated}"));
        let batch = batch(&recipe);
        for (nutrient, raw) in food("11124")
            .composition
            .iter()
            .filter(|(_, raw)| *raw > 0.0)
        {
            let row = Retention::named(row("3455"));
            let Some(published) = row.factor(nutrient, 0.0) else {
                continue;
            };
            if nutrient == NutrientId::WATER {
                continue;
            }
            let kept = true_retention(raw, per_100_g(&batch, nutrient).unwrap(), stated);
            // What goes with the solids leaves with them: see solids-kept.csv.
            let with_solids = [
                NutrientId::ENERGY,
                NutrientId::PROTEIN,
                NutrientId::CARBOHYDRATE,
                NutrientId::SUGARS,
            ];
            let solids = if with_solids.contains(&nutrient) {
                0.92
            } else {
                1.0
            };
            approx::assert_relative_eq!(kept, published * solids, max_relative = 1e-9);
        }
    }
}
