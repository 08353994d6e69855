//! Reading the rows of a plan's file, each cell with its place.

use crate::next_step::{NextStep, Remark};
use crate::portion::CubeCount;
use std::sync::Arc;

use data_import::FoodId;
use jiff::civil::Date;

use super::{COLUMNS, FIRST_COLUMNS, PlanRow, Thing};
use crate::notebook::{Pick, PlannedCooking, PlannedFood, PlannedServing};
use crate::problem::{Located, Place, Problem, SourceText};
use crate::quantity::Mass;

/// The largest number of rows that is accepted (judgement).
const MOST_ROWS: usize = 10_000;

/// Reads the rows of a file, with the problems of those that cannot be read, each with its place.
pub fn read(source: &Arc<SourceText>) -> (Vec<PlanRow>, Vec<Problem>) {
    let (columns, lines) = match lines(source) {
        Ok(read) => read,
        Err(problem) => return (Vec::new(), vec![problem]),
    };
    let mut problems = Vec::new();
    let mut rows = Vec::new();
    for (place, record) in lines {
        match row(place, &record, columns) {
            Ok(row) => rows.push(row),
            Err(several) => problems.extend(several),
        }
    }
    if rows.len() > MOST_ROWS {
        let what = format!("{} rows are more than anybody plans", rows.len());
        problems.push(Problem::at(Place::whole(source), what));
    }
    (rows, problems)
}

/// The number of columns, and the records below the header, each with its line.
fn lines(source: &Arc<SourceText>) -> Result<(usize, Vec<(Place, csv::StringRecord)>), Problem> {
    let start = source.text.len() - source.text.trim_start_matches('\u{feff}').len();
    let mut csv = csv::ReaderBuilder::new()
        .flexible(true)
        .has_headers(false)
        .from_reader(&source.text.as_bytes()[start..]);
    let mut records: Vec<(usize, csv::StringRecord)> = Vec::new();
    for record in csv.records() {
        let record = record.map_err(|error| {
            let what = format!("this is no table of text: {error}");
            Problem::at(Place::new(source, start..start), what)
        })?;
        let at = record.position().map_or(0, csv::Position::byte);
        let at = usize::try_from(at).map_err(|_| Problem::new("the table is too long"))?;
        records.push((start + at, record));
    }
    let ends: Vec<usize> = records.iter().skip(1).map(|(at, _)| *at).collect();
    let ends = ends.into_iter().chain([source.text.len()]);
    let placed = records.into_iter().zip(ends);
    let mut lines = placed.map(|((at, record), end)| (line(source, at, end), record));
    match lines.next() {
        Some((_, header)) if is_header(&header) => Ok((header.len(), lines.collect())),
        Some((place, _)) => Err(headless(place)),
        None => Err(headless(Place::whole(source))),
    }
}

/// Whether a record names the columns, all of them or the first ones.
fn is_header(record: &csv::StringRecord) -> bool {
    let names = record.iter().map(str::trim);
    record.len() >= FIRST_COLUMNS && names.eq(COLUMNS.into_iter().take(record.len()))
}

/// The place of a line, without its line break.
fn line(source: &Arc<SourceText>, at: usize, end: usize) -> Place {
    let text = source.text.get(at..end).unwrap_or_default();
    let text = text.trim_end_matches(['\n', '\r']);
    // A record begins behind the line break of the one before, and behind empty lines.
    let start = at + (text.len() - text.trim_start_matches(['\n', '\r']).len());
    Place::new(source, start..at + text.len())
}

fn headless(place: Place) -> Problem {
    let first = format!("the first line is: {}", COLUMNS.join(","));
    Problem::at(place, "a plan begins with the names of its columns")
        .hint(Remark::with(first, NextStep::SeePlanFile))
}

fn row(line: Place, record: &csv::StringRecord, columns: usize) -> Result<PlanRow, Vec<Problem>> {
    if record.len() != columns {
        let what = format!("{} cells, where {columns} are due", record.len());
        let hint = "put quotes around a cell that holds a comma";
        return Err(vec![Problem::at(line, what).hint(hint)]);
    }
    let cells = cells(&line, record);
    let [day, child, meal, cubes, what, grams, trays, typed] = &cells;
    let mut problems = Vec::new();
    let read_day = day.value.parse::<Date>().map_err(|_| {
        let wrong = format!("“{}” is not a day", day.value);
        day.problem(wrong)
            .hint("write year-month-day, such as 2026-03-02")
    });
    let thing = thing(&line, (child, meal), (cubes, what, grams, trays))
        .and_then(|thing| thing_typed_as(thing, typed));
    let day = read_day.map_err(|problem| problems.push(problem)).ok();
    let thing = thing.map_err(|problem| problems.push(problem)).ok();
    match (day, thing) {
        (Some(day), Some(thing)) => Ok(PlanRow {
            line,
            cells,
            day,
            thing,
        }),
        _ => Err(problems),
    }
}

/// The cells of a row, each with its place.
fn cells(line: &Place, record: &csv::StringRecord) -> [Located<String>; 8] {
    let text = line.source.text.get(line.span.clone()).unwrap_or_default();
    let mut from = 0;
    let mut cell = |at: usize| {
        let raw = record.get(at).unwrap_or_default();
        // A cell with quotes in it is not found literally; its place is then the whole line.
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

type LocatedText = Located<String>;

fn thing(
    line: &Place,
    (child, meal): (&LocatedText, &LocatedText),
    (cubes, what, grams, trays): (&LocatedText, &LocatedText, &LocatedText, &LocatedText),
) -> Result<Thing, Problem> {
    let given = [cubes, grams, trays].map(|cell| !cell.value.is_empty());
    let nobody = child.value.is_empty() && meal.value.is_empty();
    match given {
        [false, false, false] if what.value.is_empty() => Ok(if nobody {
            Thing::NoCooking
        } else {
            Thing::EmptyMeal
        }),
        [false, false, false] => Err(what
            .problem(format!("how much of “{}”?", what.value))
            .hint("write cubes, grams or trays")),
        _ if what.value.is_empty() => Err(Problem::at(line.clone(), "“what” is empty")
            .hint("write a recipe, a batch such as #7, or the id of a food")),
        [true, false, false] => Ok(Thing::Serving(PlannedServing::Cubes(Pick {
            cubes: cube_count(cubes)?,
            name: what.value.clone(),
        }))),
        [false, true, false] => {
            let food = what.value.parse::<FoodId>().map_err(|_| {
                what.problem(format!("“{}” is not the id of a food", what.value))
                    .hint(NextStep::find_food())
            })?;
            let food = PlannedFood::by_id(food, mass(grams)?);
            Ok(Thing::Serving(PlannedServing::Food(food)))
        }
        [false, false, true] if nobody => Ok(Thing::Cooking(PlannedCooking {
            recipe: what.value.clone(),
            trays: whole(trays, u32::MAX)?,
        })),
        [false, false, true] => Err(trays
            .problem("trays are cooked for no child and no meal")
            .hint("leave child and meal empty, or write cubes")),
        _ => Err(
            Problem::at(line.clone(), "a row has one of cubes, grams and trays")
                .hint("write a row for each thing"),
        ),
    }
}

/// The content of a row with the words for its food.
fn thing_typed_as(thing: Thing, typed: &LocatedText) -> Result<Thing, Problem> {
    match thing {
        Thing::Serving(PlannedServing::Food(food)) => {
            Ok(Thing::Serving(PlannedServing::Food(PlannedFood {
                typed: typed.value.clone(),
                ..food
            })))
        }
        other if typed.value.is_empty() => Ok(other),
        _ => Err(typed
            .problem("only grams of a food have words for it")
            .hint("leave “typed” empty")),
    }
}

fn cube_count(cell: &LocatedText) -> Result<CubeCount, Problem> {
    cell.value.parse().map_err(|_| {
        let what = format!("“{}” is not a number of cubes", cell.value);
        cell.problem(what).hint("write a number such as 2 or 1.5")
    })
}

fn whole(cell: &LocatedText, most: u32) -> Result<u32, Problem> {
    let number = cell.value.parse().ok();
    number
        .filter(|number| (1..=most).contains(number))
        .ok_or_else(|| {
            let what = format!("“{}” is not a number of them", cell.value);
            cell.problem(what).hint("write a whole number, such as 2")
        })
}

fn mass(cell: &LocatedText) -> Result<Mass, Problem> {
    match cell.value.parse::<f64>() {
        Ok(grams) if grams > 0.0 && grams.is_finite() => Ok(Mass::from_grams(grams)),
        _ => Err(cell
            .problem(format!("“{}” is not a number of grams", cell.value))
            .hint("write grams with a point and without a unit, such as 30")),
    }
}
