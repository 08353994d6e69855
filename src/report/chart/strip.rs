//! Few days, with what was served at each meal: a table on paper, one meal under the other on a screen.

use std::fmt::Write as _;

use super::marks;
use super::medium::Medium;
use super::svg::{Anchor, HAIRLINE, Svg, cut, two_lines};
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
    /// Whether this day has entries, or is said not to be known.
    pub record: DayRecord,
    /// The meals of each column; usually one, or none.
    pub cells: Vec<Vec<StripCell>>,
}

/// Whether a day has entries, was said not to be known, or was left blank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayRecord {
    /// Entries.
    Entries,
    /// The book says that nobody knows what was eaten on this day.
    NotKnown,
    /// Nothing.
    Nothing,
}

impl DayRecord {
    /// The words that are printed in the place of the meals.
    pub fn without_a_meal(self) -> &'static str {
        match self {
            Self::Entries => "no meal",
            Self::NotKnown => "not known",
            Self::Nothing => "no meal on record",
        }
    }
}

impl StripDay {
    /// What is drawn where there are no entries.
    fn nothing(&self) -> Option<String> {
        let without = self.record != DayRecord::Entries;
        without.then(|| format!("– {}", self.record.without_a_meal()))
    }
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

/// Height of a day on paper.
const ROW: f64 = 28.0;

impl Strip<'_> {
    /// The picture.
    pub fn svg(&self) -> String {
        Medium::both(|medium| {
            let mut svg = Svg::new(medium);
            let head = super::calendar::legend(&mut svg, false);
            let foot = match medium {
                Medium::Screen => self.list(&mut svg, head),
                Medium::Paper => self.table(&mut svg, head),
            };
            svg.line(HAIRLINE, &[(0.0, foot), (medium.width(), foot)]);
            svg.finish(self.id, foot + 1.0, self.title, &self.words())
        })
    }

    /// A day under the other, and in it a line for each meal. Returns the foot.
    fn list(&self, svg: &mut Svg, mut top: f64) -> f64 {
        let size = svg.size();
        let line = 1.4 * size;
        for day in self.days {
            svg.line(HAIRLINE, &[(0.0, top), (svg.width(), top)]);
            svg.text("name", Anchor::Start, (0.0, top + 1.2 * size), &day.label);
            if let Some(nothing) = day.nothing() {
                let beside = (1.15 * svg.text_width(&day.label) + size, top + 1.2 * size);
                svg.text("faint", Anchor::Start, beside, &nothing);
            }
            top += line;
            let meals = self.columns.iter().zip(&day.cells);
            let meals = meals.flat_map(|(name, meals)| meals.iter().map(move |meal| (name, meal)));
            for (name, meal) in meals {
                let middle = top + 0.75 * size;
                marks::meal(svg, meal.how, (0.5 * size, middle), 0.4 * size);
                let mut left = 1.3 * size;
                if meal.reaction {
                    marks::reaction(svg, (1.5 * size, middle), 0.35 * size);
                    left = 2.2 * size;
                }
                let words = format!("{name}: {}", meal.what);
                let words = cut(&words, svg.width() - left, size);
                svg.text("cell", Anchor::Start, (left, top + 1.1 * size), &words);
                top += line;
            }
            top += 0.4 * size;
        }
        top
    }

    /// A row for each day, a column for each meal. Returns the foot.
    fn table(&self, svg: &mut Svg, head: f64) -> f64 {
        let size = svg.size();
        let label = svg.text_width("Wed 29 Mar") + 0.5 * size;
        let cell = (svg.width() - label) / self.columns.len().max(1) as f64;
        for (at, name) in self.columns.iter().enumerate() {
            let x = label + cell * at as f64;
            let name = cut(name, cell - 0.5 * size, size);
            svg.text("key", Anchor::Start, (x, head + 0.9 * size), &name);
        }
        let mut top = head + 1.3 * size;
        for day in self.days {
            svg.line(HAIRLINE, &[(0.0, top), (svg.width(), top)]);
            svg.text("key", Anchor::Start, (0.0, top + 12.0), &day.label);
            if let Some(nothing) = day
                .nothing()
                .filter(|_| day.cells.iter().all(Vec::is_empty))
            {
                svg.text("faint", Anchor::Start, (label, top + 12.0), &nothing);
            }
            for (at, meals) in day.cells.iter().enumerate() {
                draw(svg, meals, (label + cell * at as f64, top), cell);
            }
            top += ROW;
        }
        top
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
            let served = if meals.is_empty() {
                day.record.without_a_meal().into()
            } else {
                meals.join("; ")
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
    let size = svg.size();
    marks::meal(svg, first.how, (left + 4.5, top + 8.5), 4.2);
    let width = width - 16.0;
    let lines = match meals.len() {
        1 => two_lines(&first.what, width, size),
        count => vec![
            cut(&first.what, width, size),
            cut(&format!("and {} more", count - 1), width, size),
        ],
    };
    let mut foot = top + 12.0;
    for line in lines {
        svg.text("cell", Anchor::Start, (left + 12.0, foot), &line);
        foot += 12.0;
    }
    if meals.iter().any(|meal| meal.reaction) {
        marks::reaction(svg, (left + 4.5, top + 20.5), 3.2);
    }
}
