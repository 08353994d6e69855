//! A plan as a CSV file, one row for each thing that is planned, and back.
//!
//! The columns are `day,child,meal,cubes,what,grams,trays`. A row has one of `cubes`, `grams` and `trays`: cubes of a recipe
//! or of a batch (`#7`), grams of a food by its id, trays to be cooked of a recipe (no child, no meal). A row with none of
//! them, and without `what`, says that nothing is planned for that meal, or that nothing is cooked that day.

use std::collections::BTreeMap;
use std::sync::Arc;

use data_import::FoodId;
use jiff::civil::Date;

use super::admission::{Admission, name_of};
use crate::notebook::{Pick, Plan, PlannedCooking, PlannedServing, Slot};
use crate::problem::{Located, Place, Problem, SourceText};
use crate::quantity::Mass;

/// The columns, in their order.
pub const COLUMNS: [&str; 7] = ["day", "child", "meal", "cubes", "what", "grams", "trays"];
/// More rows than anybody plans at once.
const MOST_ROWS: usize = 10_000;
/// More cubes than any meal.
const MOST_CUBES: u32 = 1000;

/// One row, read but not yet admitted.
#[derive(Debug)]
pub struct Row {
    line: Place,
    cells: [Located<String>; 7],
    day: Date,
    thing: Thing,
}

/// What a row plans.
#[derive(Debug)]
enum Thing {
    Serving(PlannedServing),
    Cooking(PlannedCooking),
    EmptyMeal,
    NoCooking,
}

/// A plan as a file; the same plan gives the same text.
pub fn write(plan: &Plan) -> Result<String, csv::Error> {
    let mut csv = csv::Writer::from_writer(Vec::new());
    csv.write_record(COLUMNS)?;
    for (slot, parts) in &plan.meals {
        let day = slot.day.to_string();
        let mut row = |cubes: &str, what: &str, grams: &str| {
            csv.write_record([&day, &slot.child, &slot.meal, cubes, what, grams, ""])
        };
        if parts.is_empty() {
            row("", "", "")?;
        }
        for part in parts {
            match part {
                PlannedServing::Cubes(pick) => row(&pick.cubes.to_string(), &pick.name, "")?,
                PlannedServing::Food(food, mass) => {
                    row("", food.as_str(), &mass.grams().to_string())?;
                }
            }
        }
    }
    for (day, cooking) in &plan.cooking {
        let day = day.to_string();
        if cooking.is_empty() {
            csv.write_record([day.as_str(), "", "", "", "", "", ""])?;
        }
        for one in cooking {
            let trays = one.trays.to_string();
            csv.write_record([day.as_str(), "", "", "", one.recipe.as_str(), "", &trays])?;
        }
    }
    let bytes = csv.into_inner().map_err(|error| error.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// The rows of a file.
///
/// Errors: everything in it that cannot be read, each with its place.
pub fn read(source: &Arc<SourceText>) -> Result<Vec<Row>, Vec<Problem>> {
    let start = source.text.len() - source.text.trim_start_matches('\u{feff}').len();
    let mut csv = csv::ReaderBuilder::new()
        .flexible(true)
        .has_headers(false)
        .from_reader(source.text[start..].as_bytes());
    let mut lines: Vec<(usize, csv::StringRecord)> = Vec::new();
    for record in csv.records() {
        let record = record.map_err(|error| {
            let what = format!("this is no table of text: {error}");
            vec![Problem::at(Place::new(source, start..start), what)]
        })?;
        let at = record.position().map_or(0, csv::Position::byte);
        lines.push((start + usize::try_from(at).unwrap_or(usize::MAX), record));
    }
    let ends: Vec<usize> = lines.iter().skip(1).map(|(at, _)| *at).collect();
    let ends = ends.into_iter().chain([source.text.len()]);
    let mut lines = lines.into_iter().zip(ends);
    let Some(((at, header), end)) = lines.next() else {
        return Err(vec![headless(Place::whole(source))]);
    };
    if header.iter().map(str::trim).ne(COLUMNS) {
        return Err(vec![headless(line(source, at, end))]);
    }
    let mut problems = Vec::new();
    let mut rows = Vec::new();
    for ((at, record), end) in lines {
        match row(line(source, at, end), &record) {
            Ok(row) => rows.push(row),
            Err(several) => problems.extend(several),
        }
    }
    if rows.len() > MOST_ROWS {
        let what = format!("{} rows are more than anybody plans", rows.len());
        problems.push(Problem::at(Place::whole(source), what));
    }
    if problems.is_empty() { Ok(rows) } else { Err(problems) }
}

/// The foods that rows name by their ids.
pub fn foods(rows: &[Row]) -> Vec<FoodId> {
    let food = |row: &Row| match &row.thing {
        Thing::Serving(PlannedServing::Food(food, _)) => Some(food.clone()),
        _ => None,
    };
    let mut foods: Vec<_> = rows.iter().filter_map(food).collect();
    foods.sort();
    foods.dedup();
    foods
}

/// The plan that rows make, where all of it may be planned. `known` are the foods that there are.
///
/// Errors: everything that may not be planned, and every two rows that contradict each other: the same thing twice in a
/// meal, the same recipe twice on a day, something and nothing for one meal.
pub fn plan(
    rows: &[Row],
    admission: &Admission<'_>,
    known: &[FoodId],
) -> Result<Plan, Vec<Problem>> {
    let mut plan = Plan::default();
    let mut problems = Vec::new();
    let mut first: BTreeMap<(Date, Option<Slot>, String), usize> = BTreeMap::new();
    for row in rows {
        let (slot, name) = match admitted(row, admission, known) {
            Ok(admitted) => admitted,
            Err(several) => {
                problems.extend(several);
                continue;
            }
        };
        let (number, _) = row.line.line_and_column();
        let meal = first.range((row.day, slot.clone(), String::new())..);
        let mut meal = meal.take_while(|((day, one, _), _)| *day == row.day && *one == slot);
        let clashes = |other: &str| other == name || other.is_empty() || name.is_empty();
        if let Some((_, line)) = meal.find(|((_, _, other), _)| clashes(other)) {
            problems.push(contradiction(row, &name, *line));
            continue;
        }
        first.insert((row.day, slot.clone(), name), number);
        match (&row.thing, slot) {
            (Thing::Serving(serving), Some(slot)) => {
                plan.meals.entry(slot).or_default().push(serving.clone());
            }
            (Thing::EmptyMeal, Some(slot)) => drop(plan.meals.entry(slot).or_default()),
            (Thing::Cooking(cooking), _) => {
                let day = plan.cooking.entry(row.day).or_default();
                day.push(cooking.clone());
            }
            _ => drop(plan.cooking.entry(row.day).or_default()),
        }
    }
    if problems.is_empty() { Ok(plan) } else { Err(problems) }
}

fn contradiction(row: &Row, name: &str, line: usize) -> Problem {
    let what = if name.is_empty() {
        format!("nothing is to be planned here, and line {line} plans something")
    } else {
        format!("`{name}` is in line {line} too, for the same meal or day")
    };
    Problem::at(row.line.clone(), what).hint("write one row for it, with the whole amount")
}

/// The meal that a row is about, and the name of what it plans.
fn admitted(
    row: &Row,
    admission: &Admission<'_>,
    known: &[FoodId],
) -> Result<(Option<Slot>, String), Vec<Problem>> {
    let [day, child, meal, _, what, _, _] = &row.cells;
    let mut problems = Vec::new();
    let mut keep = |result: Result<(), Problem>, cell: &Located<String>| {
        problems.extend(result.err().map(|problem| Problem {
            place: cell.place.clone(),
            ..problem
        }));
    };
    let mut slot = None;
    let mut name = String::new();
    match &row.thing {
        Thing::Serving(_) | Thing::EmptyMeal => {
            let said = Some(child.value.as_str()).filter(|child| !child.is_empty());
            if let Err(problem) = admission.settings.child(said) {
                keep(Err(problem), child);
            } else if let Err(problem) = admission.settings.meal(&meal.value) {
                keep(Err(problem), meal);
            } else {
                match admission.slot(row.day, said, &meal.value) {
                    Ok(found) => slot = Some(found),
                    Err(problem) => keep(Err(problem), day),
                }
            }
        }
        Thing::Cooking(_) | Thing::NoCooking => {
            keep(admission.cooking_day(row.day).map(drop), day);
        }
    }
    match &row.thing {
        Thing::Serving(serving) => {
            name = name_of(serving);
            keep(admission.serving(serving), what);
            if let PlannedServing::Food(food, _) = serving
                && !known.contains(food)
            {
                let problem = Problem::new(format!("no food has the id {food}"));
                let hint = "find the id with `trayful foods sweet potato`";
                keep(Err(problem.hint(hint)), what);
            }
        }
        Thing::Cooking(cooking) => {
            name.clone_from(&cooking.recipe);
            keep(admission.cooking(cooking), what);
        }
        Thing::EmptyMeal | Thing::NoCooking => {}
    }
    if problems.is_empty() { Ok((slot, name)) } else { Err(problems) }
}

/// Without its line break.
fn line(source: &Arc<SourceText>, at: usize, end: usize) -> Place {
    let text = source.text.get(at..end).unwrap_or_default();
    let text = text.trim_end_matches(['\n', '\r']);
    // A record begins behind the line break of the one before, and behind empty lines.
    let start = at + (text.len() - text.trim_start_matches(['\n', '\r']).len());
    Place::new(source, start..at + text.len())
}

fn headless(place: Place) -> Problem {
    Problem::at(place, "a plan begins with the names of its columns").hint(format!(
        "the first line is: {}; `trayful plan export -` shows one",
        COLUMNS.join(",")
    ))
}

fn row(line: Place, record: &csv::StringRecord) -> Result<Row, Vec<Problem>> {
    if record.len() != COLUMNS.len() {
        let what = format!("{} cells, where {} are due", record.len(), COLUMNS.len());
        let hint = "put quotes around a cell that holds a comma";
        return Err(vec![Problem::at(line, what).hint(hint)]);
    }
    let cells = cells(&line, record);
    let [day, child, meal, cubes, what, grams, trays] = &cells;
    let mut problems = Vec::new();
    let read_day = day.value.parse::<Date>().map_err(|_| {
        let wrong = format!("`{}` is not a day", day.value);
        day.problem(wrong).hint("write year-month-day, such as 2026-03-02")
    });
    let thing = thing(&line, (child, meal), (cubes, what, grams, trays));
    let day = read_day.map_err(|problem| problems.push(problem)).ok();
    let thing = thing.map_err(|problem| problems.push(problem)).ok();
    match (day, thing) {
        (Some(day), Some(thing)) => Ok(Row {
            line,
            cells,
            day,
            thing,
        }),
        _ => Err(problems),
    }
}

/// The cells of a row, each with its place.
fn cells(line: &Place, record: &csv::StringRecord) -> [Located<String>; 7] {
    let text = line.source.text.get(line.span.clone()).unwrap_or_default();
    let mut from = 0;
    let mut cell = |at: usize| {
        let raw = record.get(at).unwrap_or_default();
        // A cell with quotes in it is not found as it is: then the whole line is the place.
        let found = text.get(from..).and_then(|rest| rest.find(raw));
        let place = match found {
            Some(found) if !raw.is_empty() => {
                let start = line.span.start + from + found;
                from += found + raw.len();
                Place::new(&line.source, start..start + raw.len())
            }
            _ => line.clone(),
        };
        Located::at(raw.trim().to_string(), place)
    };
    std::array::from_fn(&mut cell)
}

type Cell = Located<String>;

fn thing(
    line: &Place,
    (child, meal): (&Cell, &Cell),
    (cubes, what, grams, trays): (&Cell, &Cell, &Cell, &Cell),
) -> Result<Thing, Problem> {
    let said = [cubes, grams, trays].map(|cell| !cell.value.is_empty());
    let nobody = child.value.is_empty() && meal.value.is_empty();
    match said {
        [false, false, false] if what.value.is_empty() => Ok(if nobody {
            Thing::NoCooking
        } else {
            Thing::EmptyMeal
        }),
        [false, false, false] => {
            Err(what.problem(format!("how much of `{}`?", what.value))
                .hint("write cubes, grams or trays"))
        }
        _ if what.value.is_empty() => Err(Problem::at(line.clone(), "`what` is empty")
            .hint("write a recipe, a batch such as #7, or the id of a food")),
        [true, false, false] => Ok(Thing::Serving(PlannedServing::Cubes(Pick {
            cubes: whole(cubes, MOST_CUBES)?,
            name: what.value.clone(),
        }))),
        [false, true, false] => {
            let food = what.value.parse::<FoodId>().map_err(|_| {
                what.problem(format!("`{}` is not the id of a food", what.value))
                    .hint("find the id with `trayful foods sweet potato`")
            })?;
            Ok(Thing::Serving(PlannedServing::Food(food, mass(grams)?)))
        }
        [false, false, true] if nobody => Ok(Thing::Cooking(PlannedCooking {
            recipe: what.value.clone(),
            trays: whole(trays, u32::MAX)?,
        })),
        [false, false, true] => Err(trays
            .problem("trays are cooked for no child and no meal")
            .hint("leave child and meal empty, or write cubes")),
        _ => Err(Problem::at(line.clone(), "a row has one of cubes, grams and trays")
            .hint("write a row for each thing")),
    }
}

fn whole(cell: &Cell, most: u32) -> Result<u32, Problem> {
    let number = cell.value.parse().ok();
    number.filter(|number| (1..=most).contains(number)).ok_or_else(|| {
        let what = format!("`{}` is not a number of them", cell.value);
        cell.problem(what).hint("write a whole number, such as 2")
    })
}

fn mass(cell: &Cell) -> Result<Mass, Problem> {
    match cell.value.parse::<f64>() {
        Ok(grams) if grams > 0.0 && grams.is_finite() => Ok(Mass::from_grams(grams)),
        _ => Err(cell
            .problem(format!("`{}` is not a number of grams", cell.value))
            .hint("write grams with a point and without a unit, such as 30")),
    }
}
