//! Many days: a row for each week, a cell for each day, a shape for each meal.

use std::fmt::Write as _;

use super::WIDTH;
use super::marks;
use super::svg::{Anchor, Svg};
use crate::notebook::How;

/// A day of the calendar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CalendarDay {
    /// Whether anything is on record.
    pub recorded: bool,
    /// How each meal went, in order, and whether a reaction was seen after it.
    pub meals: Vec<(How, bool)>,
}

/// Seven days, or what is left of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CalendarWeek {
    /// The first day of the week: `5 Oct`.
    pub label: String,
    /// The days of the week.
    pub days: Vec<CalendarDay>,
}

/// Weeks of meals.
#[derive(Debug)]
pub struct Calendar<'a> {
    /// An id of its own on the page.
    pub id: &'a str,
    /// The title of the chart.
    pub title: &'a str,
    /// The days of a week, from the first day of the period on: `Mon`.
    pub weekdays: &'a [String],
    /// The weeks.
    pub weeks: &'a [CalendarWeek],
}

const LABEL: f64 = 46.0;
const CELL: f64 = (WIDTH - LABEL) / 7.0;
const HEAD: f64 = 36.0;
const ROW: f64 = 20.0;
/// Above this number of meals a day, meals are counted and not drawn.
const MOST_DRAWN: usize = 5;

impl Calendar<'_> {
    /// The picture.
    pub fn svg(&self) -> String {
        let mut svg = Svg::default();
        legend(&mut svg);
        for (at, day) in (0..7).zip(self.weekdays) {
            let x = LABEL + CELL * (f64::from(at) + 0.5);
            svg.text("key", Anchor::Middle, (x, HEAD - 5.0), day);
        }
        let mut top = HEAD;
        for week in self.weeks {
            svg.line("hairline", &[(0.0, top), (WIDTH, top)]);
            svg.text("key", Anchor::Start, (0.0, top + 13.5), &week.label);
            for (at, day) in (0..7).zip(&week.days) {
                day.draw(&mut svg, (LABEL + CELL * f64::from(at), top));
            }
            top += ROW;
        }
        svg.line("hairline", &[(0.0, top), (WIDTH, top)]);
        svg.finish(self.id, top + 1.0, self.title, &self.words())
    }

    fn words(&self) -> String {
        let mut words = String::new();
        for week in self.weeks {
            let count = |how| {
                let meals = week.days.iter().flat_map(|day| &day.meals);
                meals.filter(|(one, _)| *one == how).count()
            };
            let without = week.days.iter().filter(|day| !day.recorded).count();
            let (taken, some, refused) = (count(How::Taken), count(How::Some), count(How::Refused));
            let _ = write!(
                words,
                "From {}: meals eaten {taken}, some of it {some}, not eaten {refused}, reactions {}, days without a record {without}. ",
                week.label,
                week.days
                    .iter()
                    .flat_map(|day| &day.meals)
                    .filter(|(_, seen)| *seen)
                    .count()
            );
        }
        words.trim_end().to_string()
    }
}

impl CalendarDay {
    fn draw(&self, svg: &mut Svg, (left, top): (f64, f64)) {
        let middle = (left + CELL / 2.0, top + ROW / 2.0);
        if self.meals.is_empty() {
            let words = if self.recorded { "milk" } else { "–" };
            svg.text("faint", Anchor::Middle, (middle.0, middle.1 + 3.5), words);
        } else if self.meals.len() > MOST_DRAWN {
            let seen = self.meals.iter().any(|(_, seen)| *seen);
            let words = format!("{} meals{}", self.meals.len(), if seen { " ◆" } else { "" });
            svg.text("faint", Anchor::Middle, (middle.0, middle.1 + 3.5), &words);
        } else {
            let seen = self.meals.iter().filter(|(_, seen)| *seen).count();
            let count = (self.meals.len() + seen) as f64;
            let step = ((CELL - 5.0) / count).min(10.2);
            let radius = (step - 1.8) / 2.0;
            let mut x = middle.0 - step * (count - 1.0) / 2.0;
            for (how, seen) in &self.meals {
                marks::meal(svg, *how, (x, middle.1), radius);
                x += step;
                if *seen {
                    marks::reaction(svg, (x, middle.1), radius);
                    x += step;
                }
            }
        }
    }
}

/// Draws the legend of the shapes.
pub(super) fn legend(svg: &mut Svg) {
    let mut x = 4.5;
    for (how, word, room) in [
        (How::Taken, "eaten", 48.0),
        (How::Some, "some of it", 72.0),
        (How::Refused, "not eaten", 68.0),
    ] {
        marks::meal(svg, how, (x, 6.0), 4.2);
        svg.text("key", Anchor::Start, (x + 8.0, 9.5), word);
        x += room;
    }
    marks::reaction(svg, (x, 6.0), 3.2);
    svg.text("key", Anchor::Start, (x + 7.0, 9.5), "reaction");
    svg.text("key", Anchor::End, (WIDTH, 9.5), "– none on record");
}
