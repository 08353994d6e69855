//! No figure stands in silently for one that is not known: a number as what is taken otherwise
//! (`unwrap_or(0.0)`, `unwrap_or(Mass::ZERO)`) is counted here by file, each file with why it is
//! sound there.

use std::collections::BTreeMap;

use super::support::root;

/// Files with such defaults: how many at most, and why none of them passes for a figure that is
/// known. Charts are left out: each has a table with the same figures beside it.
#[rustfmt::skip]
const ARGUED: [(&str, usize, &str); 40] = [
    ("data-import/src/own/basis.rs", 1, "a label without a density: noted as assumed"),
    ("data-import/src/own/checks.rs", 1, "a label without fibre: only a check of plausibility"),
    ("src/bulk/export.rs", 1, "the cell is marked as empty beside it"),
    ("src/bulk/food.rs", 1, "no published factor of warming keeps all, as in a batch"),
    ("src/bulk/outcome.rs", 4, "not a number where a column is missing, which is an error of the recipe; the assumed density is marked"),
    ("src/bulk/food_preparer.rs", 1, "the nutrient has its bit among the missing"),
    ("src/bulk/recipes.rs", 1, "a liquid that is not written is none"),
    ("src/bulk/rejects.rs", 1, "the cell is marked as empty beside it"),
    ("src/bulk/lines.rs", 2, "not a number: of grams an error of the line, of the others what is not given"),
    ("src/combine/answers.rs", 1, "told as a lower bound: `vitamin_c_lacks`"),
    ("src/combine/ask_json.rs", 3, "a limit that is null is none; a decimal has a nearest float"),
    ("src/combine/column.rs", 1, "only of foods whose role holds no retinol"),
    ("src/combine/search.rs", 2, "water and what stands beside the sums of the programme: no limit of their own"),
    ("src/combine/selection.rs", 4, "a price that nobody asked for; of a least, a missing value counts as nothing"),
    ("src/combine/simplex.rs", 1, "a slack costs nothing"),
    ("src/cooking/retention.rs", 1, "no published factor keeps all: the notes on a batch say so"),
    ("src/food/measure.rs", 1, "no refuse is known: the notes on a batch say so"),
    ("src/household/eaters.rs", 2, "sums of what is known: passing the limit holds whatever is missing, and iron of milk that is not on record is not counted on"),
    ("src/household/food_facts.rs", 1, "for the size of a spoon alone"),
    ("src/household/mixing.rs", 1, "for the order of a list alone"),
    ("src/household/raising.rs", 1, "no largest share is all of it"),
    ("src/notebook/cube_doubts.rs", 1, "the doubt about an amount of which nothing is known"),
    ("src/nutrition/week/parts.rs", 1, "a sum of what is known: what is missing is listed beside it"),
    ("src/planning/propose/mod.rs", 1, "an aim that only costs has no points to win"),
    ("src/planning/propose/model.rs", 3, "no bound is known yet; no plan is a plan of nothing"),
    ("src/planning/request.rs", 1, "a lower bound, and told as one with the plan"),
    ("src/planning/shop.rs", 1, "of a food that was not bought none is at hand"),
    ("src/portion/density.rs", 2, "fibre not known is counted with the starch; ash not known is in the water or, as the notes on a batch say, left out"),
    ("src/portion/water.rs", 1, "ash not known is counted with the water: an upper bound"),
    ("src/quantity/amount.rs", 1, "a decimal has a nearest float"),
    ("src/bulk/results.rs", 1, "an end that is not known is marked as null beside it"),
    ("src/recipe/calculate.rs", 1, "a note says that the density is assumed"),
    ("src/recipe/doubts.rs", 2, "the doubt about an amount of which nothing is known"),
    ("src/report/combine_list.rs", 1, "no limit of its own is any share"),
    ("src/report/food.rs", 1, "for the size of two cubes alone"),
    ("src/safety/sums.rs", 1, "a sum of what is known: passing the limit holds whatever is missing"),
    ("src/uncertainty/doubts.rs", 1, "no value was noted as hardly more than nothing"),
    ("src/uncertainty/interval.rs", 1, "an amount that is not known adds nothing: the interval is open above"),
    ("src/web/rooms/cook/pot.rs", 1, "the length of a slider"),
    ("src/web/rooms/household/rules.rs", 1, "nothing is written as nothing in the form"),
];

/// Whether what follows is a float, or nothing of a quantity.
fn is_figure(rest: &str) -> bool {
    let word: String = rest
        .chars()
        .take_while(|c| c.is_ascii_alphanumeric() || "_.:-".contains(*c))
        .collect();
    let float = word.contains('.') && word.parse::<f64>().is_ok();
    let named = ["::ZERO", "::NAN", "::INFINITY"];
    float || named.iter().any(|name| word.ends_with(name))
}

fn defaults(text: &str) -> usize {
    // The tests of a file stand at its end.
    let code = text
        .split("\n#[cfg(test)]\nmod tests {")
        .next()
        .unwrap_or(text);
    let lines = code
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"));
    let code: String = lines.collect::<Vec<_>>().join("\n");
    let after = code.split("unwrap_or(").skip(1);
    after
        .filter(|rest| is_figure(rest.trim_start_matches(['(', ' ', '\n'])))
        .count()
}

#[test]
fn no_figure_stands_in_silently_for_one_that_is_not_known() {
    let root = root();
    let argued: BTreeMap<_, _> = ARGUED
        .iter()
        .map(|(file, most, _)| (*file, *most))
        .collect();
    let mut wrong = Vec::new();
    let mut all = 0;
    for folder in ["src", "data-import/src/own"] {
        for path in super::layers::files(&root.join(folder)) {
            let name = path
                .strip_prefix(&root)
                .unwrap()
                .to_str()
                .unwrap()
                .to_owned();
            if name.ends_with("tests.rs") || name.starts_with("src/report/chart/") {
                continue;
            }
            let found = defaults(&std::fs::read_to_string(&path).unwrap());
            all += found;
            let most = argued.get(name.as_str()).copied().unwrap_or(0);
            if found > most {
                wrong.push(format!("{name}: {found}, of which {most} are argued"));
            }
        }
    }
    assert!(all > 10, "the search finds none at all");
    assert!(
        wrong.is_empty(),
        "make it an error, an Option or a proof, or argue it in ARGUED:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn the_search_tells_figures_from_counts_and_words() {
    assert_eq!(
        defaults("iron.unwrap_or(0.0) + mass.unwrap_or(Mass::ZERO)"),
        2
    );
    assert_eq!(defaults("shares.unwrap_or((0.0, 1.0))"), 1);
    assert_eq!(defaults("count.unwrap_or(0); name.unwrap_or(\"1.0\")"), 0);
    assert_eq!(defaults("    // x.unwrap_or(0.0)\nlist.unwrap_or(&[])"), 0);
}
