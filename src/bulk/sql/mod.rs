//! The same calculation as SQL, one text that `DuckDB` and Apache Spark both run.
//!
//! Doubles are written with an exponent, since a bare 0.9 is a decimal in both. A number is tested
//! by `x - x = 0e0`, which is false for NaN and for infinity: NaN is not in the statistics of a
//! Parquet file, by which comparisons and even `isnan` may be decided beforehand.

use data_import::{Nutrient, NutrientId};

use super::fault::{Fault, LOST_ZEROS, UNKNOWN_FOOD, UNKNOWN_METHOD};
use super::food::{LANES, Lanes, PreparedFood};
use super::input::{InputColumn, LINES, RECIPES};
use super::lines::DIGITS_OF_AN_ID;
use super::nutrient_columns::{column_name, nutrient_columns, place_of};
use super::{
    DRY_SLACK, MOST, MOST_CUBES, MOST_LIQUID, MOST_TIMES, MOST_YIELD, OptionalColumn, Per,
};
use crate::cooking::Method;
use crate::portion::{Constituents, ROOM_CELSIUS};
use crate::problem::Problem;
use crate::words::joined;

const HEADER: &str = include_str!("header.sql");
const RESULTS: &str = include_str!("results.sql");
const REJECTS: &str = include_str!("rejects.sql");

/// Which columns of `prepared` a nutrient has besides its own, by its place: only those in which something stands.
#[derive(Debug, Clone, Copy)]
pub(super) struct ColumnTerms {
    pub(super) used: [bool; LANES],
    pub(super) both: [bool; LANES],
    pub(super) warm: [bool; LANES],
}

impl ColumnTerms {
    /// The columns that these foods need.
    pub(super) fn of<'a>(foods: impl Iterator<Item = &'a PreparedFood>) -> Self {
        let mut terms = Self {
            used: [false; LANES],
            both: [false; LANES],
            warm: [false; LANES],
        };
        for food in foods {
            note(&mut terms.used, &food.profile.used, 0.0);
            note(&mut terms.both, &food.profile.both, 0.0);
            note(&mut terms.warm, &food.profile.warm, 1.0);
        }
        terms
    }
}

#[expect(clippy::float_cmp, reason = "what is exactly nothing needs no column")]
fn note(used: &mut [bool; LANES], figures: &Lanes, nothing: f64) {
    for (used, figure) in used.iter_mut().zip(figures) {
        *used |= *figure != nothing;
    }
}

/// What stands for a table after FROM: the table itself or, where it lacks columns, its others with NULL for those.
fn source(table: &str, columns: &[InputColumn], lacking: &[OptionalColumn]) -> String {
    let lacks = |column: &InputColumn| {
        let mut lacking = lacking.iter();
        lacking.any(|one| one.table == table && one.name == column.name)
    };
    if !columns.iter().any(lacks) {
        return table.to_owned();
    }
    let columns = columns.iter().map(|column| {
        let name = column.name;
        if lacks(column) {
            format!("CAST(NULL AS {}) AS {name}", column.sql_type())
        } else {
            name.to_owned()
        }
    });
    format!("(SELECT {} FROM {table})", joined(columns, ", "))
}

/// A text as SQL writes it.
fn quoted(text: &str) -> String {
    format!("'{}'", text.replace('\'', "''"))
}

/// A double as both dialects read it.
fn double(number: f64) -> String {
    format!("{number:?}e0")
}

/// True where something is a number above 0 and not above a limit.
fn within(what: &str, most: f64) -> String {
    format!(
        "{what} - {what} = 0e0 AND {what} > 0e0 AND {what} <= {}",
        double(most)
    )
}

/// True where a volume is a number of 0 or more, and not above the limit.
fn volume(what: &str) -> String {
    within(what, MOST).replace("> 0e0", ">= 0e0")
}

/// A statement with the parts that both have in common put in.
fn filled(text: &str, lacking: &[OptionalColumn]) -> String {
    let of = |fault: Fault| fault.bit().to_string();
    let grams = within("grams", MOST);
    let weighed_fits = format!(
        "{} AND {}",
        within("coalesce(weighed_g, 1e0)", MOST),
        within("coalesce(own_yield, 1e0)", MOST_YIELD)
    );
    let cooked =
        "coalesce(weighed_g, edible_of_line * coalesce(own_yield, yield + share * yield_used))";
    let line_errors = [
        format!(
            "CASE WHEN food IS NULL THEN {} ELSE 0 END",
            of(Fault::UnknownFoodOrMethod)
        ),
        format!("CASE WHEN {grams} THEN 0 ELSE {} END", of(Fault::Grams)),
        format!(
            "CASE WHEN coalesce(basis, 'purchased') IN ('purchased', 'edible') THEN 0 ELSE {} END",
            of(Fault::Basis)
        ),
        format!(
            "CASE WHEN {weighed_fits} THEN 0 ELSE {} END",
            of(Fault::WeighedOrYield)
        ),
        format!(
            "CASE WHEN {grams} AND {weighed_fits} AND (least + share * least_used) * {} * edible_of_line > {cooked} THEN {} ELSE 0 END",
            double(DRY_SLACK),
            of(Fault::CookedTooLight)
        ),
    ];
    let share = "CASE WHEN h.collected_ml > 0e0 THEN least(1e0, h.returned_ml / h.collected_ml) ELSE 0e0 END";
    let edible = "CASE WHEN l.basis = 'edible' THEN l.grams ELSE l.grams * prep.edible_share END * prep.drained_share";
    let mut text = text
        .replace("{header}", HEADER.trim_end())
        .replace("{lines}", &source("lines", &LINES, lacking))
        .replace("{recipes}", &source("recipes", &RECIPES, lacking))
        .replace("{share}", share)
        .replace("{edible}", edible)
        .replace("{cooked}", cooked)
        .replace("{line_errors}", &line_errors.join("\n         | "))
        .replace("{without_sums}", &Fault::WITHOUT_SUMS.to_string())
        .replace("{most_times}", &double(MOST_TIMES))
        .replace("{most_liquid}", &double(MOST_LIQUID));
    for fault in Fault::all() {
        text = text.replace(&format!("{{{}}}", fault.code()), &of(fault));
    }
    text
}

/// The statement for `results`.
///
/// Errors: the table of nutrients lacks one that the density needs.
pub(super) fn results(
    per: Per,
    wanted: &[usize],
    nutrients: &[Nutrient],
    terms: &ColumnTerms,
    lacking: &[OptionalColumn],
) -> Result<String, Problem> {
    let name = |id| {
        let name = column_name(&nutrients[place_of(id, nutrients)?]);
        // Warming takes nothing of these nutrients, so that either sum will do.
        Ok::<_, Problem>(if per.is_frozen() {
            name
        } else {
            name + "_served"
        })
    };
    let must = [
        NutrientId::PROTEIN,
        NutrientId::FAT,
        NutrientId::CARBOHYDRATE,
    ];
    let bits = nutrients
        .iter()
        .enumerate()
        .filter(|(_, one)| must.contains(&one.id));
    let must: u64 = bits.map(|(at, _)| 1 << at).sum();
    let mut text = filled(RESULTS, lacking)
        .replace("{sums}", &sums(per, nutrients, terms).join(",\n         "))
        .replace("{out}", &out(per, wanted, nutrients).join(",\n       "))
        .replace("{must}", &must.to_string())
        .replace("{collected_fits}", &volume("h.collected_ml"))
        .replace("{returned_fits}", &volume("h.returned_ml"))
        .replace("{added_fits}", &volume("h.added_ml"))
        .replace("{well_fits}", &within("h.well_ml", MOST))
        .replace("{fill_fits}", &within("h.fill", 1.0))
        .replace("{cubes_fit}", &within("h.cubes_per_serving", MOST_CUBES));
    for (place, id) in [
        ("{procnt}", NutrientId::PROTEIN),
        ("{fat}", NutrientId::FAT),
        ("{chocdf}", NutrientId::CARBOHYDRATE),
        ("{fibtg}", NutrientId::FIBRE),
        ("{ash}", NutrientId::ASH),
    ] {
        text = text.replace(place, &name(id)?);
    }
    for (place, density) in densities()? {
        text = text.replace(&format!("{{of_{place}}}"), &double(density));
    }
    Ok(text)
}

/// The sums over the lines, one or two for each nutrient but water.
fn sums(per: Per, nutrients: &[Nutrient], terms: &ColumnTerms) -> Vec<String> {
    let mut sums = Vec::new();
    for (at, nutrient) in nutrients.iter().enumerate() {
        if nutrient.id == NutrientId::WATER {
            continue;
        }
        let name = column_name(nutrient);
        let rise = match (terms.used[at], terms.both[at]) {
            (false, false) => name.clone(),
            (true, false) => format!("({name} + share * {name}_used)"),
            (false, true) => format!("({name} + share * share * {name}_both)"),
            (true, true) => format!("({name} + share * ({name}_used + share * {name}_both))"),
        };
        if per.is_frozen() {
            sums.push(format!("sum(edible_of_line * {rise}) AS {name}"));
        }
        if per.is_served() {
            let warmed = if terms.warm[at] {
                format!(" * (1e0 + warm * {name}_warm)")
            } else {
                String::new()
            };
            sums.push(format!(
                "sum(edible_of_line * {rise}{warmed}) AS {name}_served"
            ));
        }
    }
    sums
}

/// The columns of nutrients.
fn out(per: Per, wanted: &[usize], nutrients: &[Nutrient]) -> Vec<String> {
    let columns = nutrient_columns(per, wanted, nutrients);
    let column = |(column, nutrient, served): (String, &Nutrient, bool)| {
        let sum = match (nutrient.id, served) {
            // Its bit is the first. An estimate of it serves the density alone.
            (NutrientId::WATER, _) => "CASE WHEN incomplete & 1 = 0 THEN water_g END".to_owned(),
            (_, true) => column_name(nutrient) + "_served",
            (_, false) => column_name(nutrient),
        };
        let factor = if served {
            "factor_serving"
        } else {
            "factor_100g"
        };
        format!("{sum} * {factor} AS {column}")
    };
    columns.into_iter().map(column).collect()
}

/// The density of each part alone, in g/ml.
fn densities() -> Result<Vec<(&'static str, f64)>, Problem> {
    let parts = [
        ("water", NutrientId::WATER),
        ("protein", NutrientId::PROTEIN),
        ("fat", NutrientId::FAT),
        ("carbohydrate", NutrientId::CARBOHYDRATE),
        ("fibre", NutrientId::FIBRE),
        ("ash", NutrientId::ASH),
    ];
    let density = |(name, id): (&'static str, NutrientId)| {
        let alone = Constituents::of(|part| Some(if part == id { 1.0 } else { 0.0 }));
        let density = alone.and_then(|alone| alone.density(ROOM_CELSIUS));
        let unknown = || Problem::new(format!("the density of {name} is not known"));
        Ok((name, density.ok_or_else(unknown)?))
    };
    parts.into_iter().map(density).collect()
}

/// The statement for `rejects`.
pub(super) fn rejects(lacking: &[OptionalColumn]) -> String {
    let unknown = Fault::UnknownFoodOrMethod;
    let values = |of_line: bool| {
        // What is not known of a food and its method is found by itself.
        let faults = Fault::all().filter(move |fault| *fault != unknown);
        let faults = faults.filter(move |fault| fault.is_of_a_line() == of_line);
        let rows = faults.map(|fault| {
            let texts = [fault.code(), fault.what(), fault.hint()].map(quoted);
            format!("({}, {})", fault.bit(), texts.join(", "))
        });
        rows.collect::<Vec<_>>().join(",\n    ")
    };
    let methods = Method::all().map(|method| quoted(method.word()));
    filled(REJECTS, lacking)
        .replace("{of_line}", &values(true))
        .replace("{of_recipe}", &values(false))
        .replace("{unknown_code}", &quoted(unknown.code()))
        .replace("{no_food}", &quoted(UNKNOWN_FOOD.0))
        .replace("{no_food_hint}", &quoted(UNKNOWN_FOOD.1))
        .replace("{lost_zeros}", &quoted(LOST_ZEROS))
        .replace("{digits}", &DIGITS_OF_AN_ID.to_string())
        .replace("{no_method}", &quoted(UNKNOWN_METHOD.0))
        .replace("{no_method_hint}", &quoted(UNKNOWN_METHOD.1))
        .replace("{methods}", &joined(methods, ", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_that_a_table_lacks_is_null_in_the_statements() {
        let whole = rejects(&[]);
        assert!(whole.contains("FROM lines l JOIN bad"), "{whole}");
        assert!(whole.contains("FROM recipes GROUP BY recipe_id"), "{whole}");
        let lacking = [
            ("lines", "line", "INT"),
            ("lines", "yield", "DOUBLE"),
            ("recipes", "reheat", "BOOLEAN"),
        ];
        let lacking = lacking.map(|(table, name, sql_type)| OptionalColumn {
            table,
            name,
            sql_type,
        });
        let filled = rejects(&lacking);
        assert!(
            filled.contains(
                "FROM (SELECT recipe_id, CAST(NULL AS INT) AS line, food, method, grams, basis, weighed_g, CAST(NULL AS DOUBLE) AS yield FROM \
                 lines) l JOIN bad"
            ),
            "{filled}"
        );
        assert!(filled.contains("CAST(NULL AS BOOLEAN) AS reheat FROM recipes)"));
    }

    #[test]
    fn no_place_of_the_statement_for_rejects_stays_open() {
        let text = rejects(&[]);
        assert!(!text.contains(['{', '}']), "{text}");
        assert!(text.contains("'steam', 'boil'"), "{text}");
    }
}
