//! Many days: a row for each week, a cell for each day, a shape for each meal.

use std::fmt::Write as _;

use super::legend::Legend;
use super::marks;
use super::medium::Medium;
use super::svg::{Anchor, Area, HAIRLINE, Svg};
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

/// Above this number of meals a day, meals are counted and not drawn on paper.
const MOST_ON_PAPER: usize = 5;
/// The shapes in a row on a screen, where a cell has two rows.
const IN_A_ROW: usize = 3;

/// The room of a day.
#[derive(Debug, Clone, Copy)]
struct DayRoom {
    width: f64,
    height: f64,
}

impl Calendar<'_> {
    /// The picture.
    pub fn svg(&self) -> String {
        Medium::both(|medium| self.drawn(medium))
    }

    fn drawn(&self, medium: Medium) -> String {
        let mut svg = Svg::new(medium);
        let size = medium.text();
        let mut days = self.weeks.iter().flat_map(|week| &week.days);
        let counts = days.any(|day| day.is_counted(medium));
        let head = legend(&mut svg, counts) + size;
        let label = svg.text_width("29 Mar") + 0.3 * size;
        let cell = DayRoom {
            width: (medium.width() - label) / 7.0,
            height: match medium {
                Medium::Screen => 34.0,
                Medium::Paper => 20.0,
            },
        };
        for (at, day) in (0..7).zip(self.weekdays) {
            let x = label + cell.width * (f64::from(at) + 0.5);
            svg.text("key", Anchor::Middle, (x, head), day);
        }
        let mut top = head + 0.45 * size;
        for week in self.weeks {
            let middle = top + cell.height / 2.0;
            svg.line(HAIRLINE, &[(0.0, top), (medium.width(), top)]);
            svg.text(
                "key",
                Anchor::Start,
                (0.0, middle + 0.35 * size),
                &week.label,
            );
            for (at, day) in (0..7).zip(&week.days) {
                let x = label + cell.width * (f64::from(at) + 0.5);
                day.draw(&mut svg, medium, (x, middle), cell);
            }
            top += cell.height;
        }
        svg.line(HAIRLINE, &[(0.0, top), (medium.width(), top)]);
        svg.finish(self.id, top + 1.0, self.title, &self.words())
    }

    fn words(&self) -> String {
        let mut words = String::new();
        for week in self.weeks {
            let meals = || week.days.iter().flat_map(|day| &day.meals);
            let count = |how| meals().filter(|(one, _)| *one == how).count();
            let reactions = meals().filter(|(_, seen)| *seen).count();
            let without = week
                .days
                .iter()
                .filter(|day| day.meals.is_empty() && !day.recorded)
                .count();
            let (taken, some, refused) = (count(How::Taken), count(How::Some), count(How::Refused));
            let _ = write!(
                words,
                "From {}: meals eaten {taken}, some of it {some}, not eaten {refused}, reactions {reactions}, days without a record {without}. ",
                week.label
            );
        }
        words.trim_end().to_string()
    }
}

impl CalendarDay {
    /// Meals and reactions, each a shape.
    fn shapes(&self) -> usize {
        self.meals.len() + self.meals.iter().filter(|(_, seen)| *seen).count()
    }

    /// Whether there are more meals than there is room for, so that a number stands for them.
    fn is_counted(&self, medium: Medium) -> bool {
        match medium {
            Medium::Screen => self.shapes() > 2 * IN_A_ROW,
            Medium::Paper => self.meals.len() > MOST_ON_PAPER,
        }
    }

    fn draw(&self, svg: &mut Svg, medium: Medium, (x, y): (f64, f64), cell: DayRoom) {
        let text_foot = y + 0.35 * svg.size();
        if self.meals.is_empty() {
            let words = if self.recorded { "milk" } else { "–" };
            svg.text("faint", Anchor::Middle, (x, text_foot), words);
        } else if self.is_counted(medium) {
            let seen = self.meals.iter().any(|(_, seen)| *seen);
            let words = format!("{}{}", self.meals.len(), if seen { "◆" } else { "" });
            svg.text("faint", Anchor::Middle, (x, text_foot), &words);
        } else {
            self.draw_shapes(svg, medium, (x, y), cell);
        }
    }

    /// In one row on paper, in two on a screen, which is narrower and longer.
    fn draw_shapes(&self, svg: &mut Svg, medium: Medium, (x, y): (f64, f64), cell: DayRoom) {
        let mut shapes = Vec::new();
        for (how, seen) in &self.meals {
            shapes.push(Some(*how));
            shapes.extend(seen.then_some(None));
        }
        let in_a_row = match medium {
            Medium::Screen => IN_A_ROW,
            Medium::Paper => shapes.len(),
        };
        let most = shapes.len().min(in_a_row) as f64;
        let step = ((cell.width - 3.0) / most).min(11.4);
        let radius = (step - 1.8) / 2.0;
        let rows = shapes.chunks(in_a_row);
        let mut level = y - step * (rows.len() as f64 - 1.0) / 2.0;
        for row in rows {
            let mut at = x - step * (row.len() as f64 - 1.0) / 2.0;
            for shape in row {
                match shape {
                    Some(how) => marks::meal(svg, *how, (at, level), radius),
                    None => marks::reaction(svg, (at, level), radius),
                }
                at += step;
            }
            level += step;
        }
    }
}

/// Draws the legend of the shapes; with numbers, where they stand for meals. Returns its height.
pub(super) fn legend(svg: &mut Svg, counts: bool) -> f64 {
    let mut legend = Legend::at_top_of(svg);
    let middle = |area: Area| (area.x + area.width / 2.0, area.y + area.height / 2.0);
    for (how, word) in [
        (How::Taken, "eaten"),
        (How::Some, "some of it"),
        (How::Refused, "not eaten"),
    ] {
        legend.small_sign(word, |svg, area| {
            marks::meal(svg, how, middle(area), area.height / 2.0);
        });
    }
    legend.small_sign("reaction", |svg, area| {
        marks::reaction(svg, middle(area), area.height / 2.0);
    });
    let letter = |letter: &'static str| {
        move |svg: &mut Svg, area: Area| {
            let foot = area.y + area.height;
            svg.text("faint", Anchor::Middle, (middle(area).0, foot), letter);
        }
    };
    legend.small_sign("no record", letter("–"));
    if counts {
        legend.small_sign("so many meals", letter("7"));
    }
    legend.end()
}
