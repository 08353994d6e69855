//! Foods of the household's own, copied off their labels.

use askama::Template;

use super::HERE;
use crate::food::{FoodId, OwnShelf, own_names};
use crate::problem::Problem;
use crate::quantity::with_point;
use crate::web::rooms::phrases::{self, SelectOption};
use crate::web::{
    Fields, Layout, Notice, PageAnswer, PageError, PageRequest, PageResult, Reply, Wrong,
};

/// The longest text of a field, in characters.
const LONGEST: usize = 120;
/// The longest id, in characters.
const LONGEST_ID: usize = 40;
/// The amounts to which the figures of a label refer: value and label.
const PER: [(&str, &str); 3] = [
    ("100 g", "100 g"),
    ("100 ml", "100 ml"),
    ("serving", "a serving"),
];
/// The other columns of the file that the form has, with their labels.
const COLUMNS: [(&str, &str); 20] = [
    ("name", "Name, with what it contains"),
    ("maker", "Maker"),
    ("serving", "Size of a serving, such as 15 g"),
    ("measure", "A measure, such as 1 tbsp = 4 g"),
    ("energy", "Energy, kcal or kJ"),
    ("protein", "Protein"),
    ("fat", "Fat"),
    ("saturated", "Saturated fat"),
    (
        "carbohydrate",
        "Carbohydrate without fibre (European labels)",
    ),
    ("total-carbohydrate", "Total carbohydrate (American labels)"),
    ("sugars", "Sugars"),
    ("fibre", "Fibre"),
    ("salt", "Salt"),
    ("sodium", "Sodium"),
    ("iron", "Iron"),
    ("zinc", "Zinc"),
    ("calcium", "Calcium"),
    ("vitamin-a", "Vitamin A"),
    ("vitamin-c", "Vitamin C"),
    ("vitamin-d", "Vitamin D"),
];

#[derive(Template)]
#[template(path = "web/household-foods.html")]
struct OwnFoodsPage {
    layout: Layout,
    foods: Vec<(FoodId, String)>,
    per: Vec<SelectOption>,
    columns: Vec<LabelField>,
    wrong: Wrong,
}

/// A field for a figure of the label.
struct LabelField {
    column: &'static str,
    label: &'static str,
    value: String,
}

/// Shows the own foods and the form.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &Fields::default(), Wrong::default())?)
}

/// Adds a food.
pub(super) fn add(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut wrong = Wrong::default();
    let line = own_food_line(fields, &mut wrong);
    if wrong.is_empty() {
        match OwnShelf::add(&request.state.own_file(&request.place), &line)? {
            Ok((shelf, id)) => {
                let words = format!(
                    "Added {}: it is found by its name from now on.",
                    fields.text("name")
                );
                let added = shelf.foods().get(&id);
                let odd = added.map(|label| shelf.warnings(label)).unwrap_or_default();
                let notice = Notice {
                    more: odd.iter().map(ToString::to_string).collect(),
                    ..Notice::of(words)
                };
                return Ok(Reply::Done(format!("/foods/{id}"), notice));
            }
            Err(problems) => note(&problems, &line, &mut wrong)?,
        }
    }
    Reply::wrong(&filled(request, fields, wrong)?)
}

/// The food in one line, as the command line takes it.
fn own_food_line(fields: &Fields, wrong: &mut Wrong) -> String {
    let name = fields.text("name");
    let id = id(name);
    if id.is_empty() {
        wrong.say("name", "Write the name, as you would look for it.");
    }
    let per = PER.iter().find(|(value, _)| *value == fields.text("per"));
    let per = wrong.needed("per", per, "Choose what the figures on the label hold for.");
    let per = per.map_or("", |(value, _)| value);
    let mut line = format!("id=own-{id}; per={per}");
    for (column, _) in COLUMNS {
        let Some(value) = phrases::short(fields, column, LONGEST, wrong) else {
            continue;
        };
        if value.contains([';', '=', '\n', '\r']) && column != "measure" || value.contains(';') {
            wrong.say(column, "Write it without “;” and “=”.");
        } else if !value.is_empty() {
            let value = match column {
                "name" | "maker" => value.to_string(),
                _ => with_points(value),
            };
            line = format!("{line}; {column}={value}");
        }
    }
    line
}

/// Figures with decimal points instead of the decimal commas of many labels; a comma that may group
/// thousands stays.
fn with_points(value: &str) -> String {
    let words = value.split(' ').map(|word| {
        let from = word.find(|c: char| c.is_ascii_digit());
        let (before, rest) = word.split_at(from.unwrap_or(word.len()));
        let to = rest.find(|c: char| !c.is_ascii_digit() && !matches!(c, ',' | '.'));
        let (number, unit) = rest.split_at(to.unwrap_or(rest.len()));
        let number = with_point(number).unwrap_or(number.into());
        format!("{before}{number}{unit}")
    });
    words.collect::<Vec<_>>().join(" ")
}

/// An id from a name: small letters, digits and hyphens.
fn id(name: &str) -> String {
    let letters = name.to_lowercase();
    let words = letters.split(|letter: char| !letter.is_ascii_alphanumeric());
    let words: Vec<_> = words.filter(|word| !word.is_empty()).collect();
    let id: String = words.join("-").chars().take(LONGEST_ID).collect();
    id.trim_matches('-').to_string()
}

/// Notes problems of the line at their fields. A problem without a place in the line is one of the
/// disk, and an error.
fn note(problems: &[Problem], line: &str, wrong: &mut Wrong) -> PageResult<()> {
    for problem in problems {
        let place = problem
            .place
            .as_ref()
            .filter(|place| place.source.text == line);
        let Some(place) = place else {
            return Err(PageError::broken(problem));
        };
        let before = line.get(..place.span.end).unwrap_or(line);
        let part = before.rsplit("; ").next().unwrap_or_default();
        let column = part.split('=').next().unwrap_or_default();
        let field = COLUMNS.iter().find(|(known, _)| *known == column);
        let field = field.map_or(
            if column == "per" { "per" } else { "name" },
            |(known, _)| known,
        );
        wrong.problems(field, std::slice::from_ref(problem));
    }
    Ok(())
}

fn filled(request: &PageRequest<'_>, fields: &Fields, wrong: Wrong) -> PageResult<OwnFoodsPage> {
    let own = own_names(request.state.own(&request.place)?.as_ref());
    let per = match fields.text("per") {
        "" => "100 g",
        per => per,
    };
    Ok(OwnFoodsPage {
        layout: Layout::of(request, "Own foods", HERE),
        foods: own.into_iter().map(|food| (food.id, food.name)).collect(),
        per: SelectOption::all(&PER, per),
        columns: COLUMNS
            .map(|(column, label)| LabelField {
                column,
                label,
                value: fields.text(column).to_string(),
            })
            .into(),
        wrong,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_made_of_a_name() {
        assert_eq!(id("Oat cereal (with milk), 6+"), "oat-cereal-with-milk-6");
        assert_eq!(id("  "), "");
        assert!(id(&"long ".repeat(30)).len() <= LONGEST_ID);
    }

    #[test]
    fn decimal_commas_of_a_label_are_points() {
        for (typed, read) in [
            ("7,5 mg", "7.5 mg"),
            ("<0,5g", "<0.5g"),
            ("1,5 tbsp = 4,5 g", "1.5 tbsp = 4.5 g"),
            ("9.5 g", "9.5 g"),
            ("1,200 mg", "1,200 mg"),
            ("1 cup, sliced", "1 cup, sliced"),
            ("much", "much"),
        ] {
            assert_eq!(with_points(typed), read, "{typed}");
        }
    }
}
