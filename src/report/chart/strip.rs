//! Few days: a row for each day, a cell for each meal with what was served.

use std::fmt::Write as _;

use super::WIDTH;
use super::marks;
use super::svg::{Anchor, Svg, cut, two_lines};
use crate::notebook::How;

/// A meal in a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StripCell {
    /// How much of the meal was eaten.
    pub how: How,
    /// The dishes that were served.
    pub what: String,
    /// Whether something was seen afterwards.
    pub reaction: bool,
}

/// A row for a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StripDay {
    /// The day: `Mon 5 Oct`.
    pub label: String,
    /// Whether anything is on record.
    pub recorded: bool,
    /// The meals of each column; usually one, or none.
    pub cells: Vec<Vec<StripCell>>,
}

/// Days of meals.
#[derive(Debug)]
pub struct Strip<'a> {
    /// An id of its own on the page.
    pub id: &'a str,
    /// The title of the chart.
    pub title: &'a str,
    /// The names of the meals; at least one.
    pub columns: &'a [String],
    /// The days.
    pub days: &'a [StripDay],
}

const LABEL: f64 = 63.0;
const HEAD: f64 = 36.0;
const ROW: f64 = 28.0;
const TEXT: f64 = 10.0;

impl Strip<'_> {
    /// The picture.
    pub fn svg(&self) -> String {
        let mut svg = Svg::default();
        super::calendar::legend(&mut svg);
        let cell = (WIDTH - LABEL) / self.columns.len().max(1) as f64;
        for (at, name) in self.columns.iter().enumerate() {
            let x = LABEL + cell * at as f64;
            svg.text(
                "key",
                Anchor::Start,
                (x, HEAD - 5.0),
                &cut(name, cell, TEXT),
            );
        }
        let mut top = HEAD;
        for day in self.days {
            svg.line("hairline", &[(0.0, top), (WIDTH, top)]);
            svg.text("key", Anchor::Start, (0.0, top + 12.0), &day.label);
            if !day.recorded {
                svg.text(
                    "faint",
                    Anchor::Start,
                    (LABEL, top + 12.0),
                    "– no meal on record",
                );
            }
            for (at, meals) in day.cells.iter().enumerate() {
                draw(&mut svg, meals, (LABEL + cell * at as f64, top), cell);
            }
            top += ROW;
        }
        svg.line("hairline", &[(0.0, top), (WIDTH, top)]);
        svg.finish(self.id, top + 1.0, self.title, &self.words())
    }

    fn words(&self) -> String {
        let mut words = String::new();
        for day in self.days {
            let meals: Vec<_> = day
                .cells
                .iter()
                .flatten()
                .map(|cell| {
                    let seen = if cell.reaction {
                        ", reaction noted"
                    } else {
                        ""
                    };
                    format!("{}, {}{seen}", cell.what, cell.how.shown())
                })
                .collect();
            let served = match (meals.is_empty(), day.recorded) {
                (false, _) => meals.join("; "),
                (true, true) => "no meal".into(),
                (true, false) => "no meal on record".into(),
            };
            let _ = write!(words, "{}: {served}. ", day.label);
        }
        words.trim_end().to_string()
    }
}

/// The first meal of a cell, and how many more there are.
fn draw(svg: &mut Svg, meals: &[StripCell], (left, top): (f64, f64), width: f64) {
    let Some(first) = meals.first() else {
        return;
    };
    marks::meal(svg, first.how, (left + 4.5, top + 8.5), 4.2);
    let width = width - 16.0;
    let lines = match meals.len() {
        1 => two_lines(&first.what, width, TEXT),
        count => vec![
            cut(&first.what, width, TEXT),
            format!("and {} more", count - 1),
        ],
    };
    let mut foot = top + 12.0;
    for line in lines {
        svg.text("cell", Anchor::Start, (left + 12.0, foot), &line);
        foot += 11.5;
    }
    if meals.iter().any(|meal| meal.reaction) {
        marks::reaction(svg, (left + 4.5, top + 20.5), 3.2);
    }
}
