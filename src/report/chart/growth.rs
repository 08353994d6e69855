//! The number of foods a child knows, day by day, with every first taste and every reaction.

use std::fmt::Write as _;

use jiff::civil::Date;

use super::WIDTH;
use super::marks;
use super::svg::{Anchor, Svg};
use crate::words::day;

/// First tastes or a reaction on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GrowthMark {
    /// The day.
    pub day: Date,
    /// The number of first tastes; 0 for a reaction.
    pub foods: u32,
    /// The reference into the table beside the chart: `3-5`, or `a` for a reaction.
    pub label: String,
}

/// The growth of variety.
#[derive(Debug)]
pub struct Growth<'a> {
    /// An id of its own on the page.
    pub id: &'a str,
    /// The title of the chart.
    pub title: &'a str,
    /// First and last day.
    pub period: (Date, Date),
    /// Foods known before the first day.
    pub known_before: u32,
    /// First tastes, each day once, in order.
    pub tastes: &'a [GrowthMark],
    /// Reactions, in order.
    pub reactions: &'a [GrowthMark],
}

const LEFT: f64 = 26.0;
const RIGHT: f64 = WIDTH - 26.0;
const TOP: f64 = 24.0;
const FOOT: f64 = 140.0;
/// The height at which reactions are drawn, below the axis.
const BELOW: f64 = FOOT + 13.0;

impl Growth<'_> {
    /// The picture.
    pub fn svg(&self) -> String {
        let mut svg = Svg::default();
        legend(&mut svg);
        let end = scale_end(self.known());
        for step in 0..=4 {
            let value = end / 4 * step;
            let y = y(value, end);
            svg.line("hairline", &[(LEFT, y), (RIGHT, y)]);
            svg.text(
                "key",
                Anchor::End,
                (LEFT - 5.0, y + 3.5),
                &value.to_string(),
            );
        }
        self.steps(&mut svg, end);
        for reaction in self.reactions {
            let x = self.x(reaction.day);
            marks::reaction(&mut svg, (x, BELOW), 4.0);
            svg.text(
                "key",
                Anchor::Start,
                (x + 5.5, BELOW + 3.5),
                &reaction.label,
            );
        }
        let (from, to) = self.period;
        for (anchor, day) in [(Anchor::Start, from), (Anchor::End, to)] {
            let words = day.strftime("%-d %b").to_string();
            svg.text("key", anchor, (self.x(day), BELOW + 19.0), &words);
        }
        svg.finish(self.id, BELOW + 23.0, self.title, &self.words())
    }

    fn known(&self) -> u32 {
        self.known_before + self.tastes.iter().map(|mark| mark.foods).sum::<u32>()
    }

    fn x(&self, day: Date) -> f64 {
        let (from, to) = self.period;
        let days = |until: Date| f64::from((until - from).get_days());
        let share = days(day) / days(to).max(1.0);
        LEFT + share.clamp(0.0, 1.0) * (RIGHT - LEFT)
    }

    /// The line, a ring for each day with first tastes, and their numbers where there is room.
    fn steps(&self, svg: &mut Svg, end: u32) {
        let mut known = self.known_before;
        let mut line = vec![(LEFT, y(known, end))];
        let mut rings = Vec::new();
        for mark in self.tastes {
            let x = self.x(mark.day);
            line.push((x, y(known, end)));
            known += mark.foods;
            line.push((x, y(known, end)));
            rings.push((x, y(known, end), mark.label.as_str()));
        }
        line.push((RIGHT, y(known, end)));
        svg.line("growth", &line);
        let words = known.to_string();
        svg.text(
            "name",
            Anchor::Start,
            (RIGHT + 5.0, y(known, end) + 4.0),
            &words,
        );
        let mut taken: Vec<(f64, f64)> = Vec::new();
        for (x, y, label) in rings {
            svg.circle("ring", (x, y), 3.0);
            let width = 5.5 * label.chars().count() as f64;
            let places = [
                (x - 5.0 - width, y - 2.0),
                (x - width / 2.0, y - 6.0),
                (x + 5.0, y - 4.0),
            ];
            let free = |(left, foot): &(f64, f64)| {
                *left >= LEFT
                    && left + width <= RIGHT + 4.0
                    && taken
                        .iter()
                        .all(|(end, at)| *left > end + 1.5 || (foot - at).abs() > 9.5)
            };
            if let Some((left, foot)) = places.into_iter().find(free) {
                svg.text("key", Anchor::Start, (left, foot), label);
                taken.push((left + width, foot));
            }
        }
    }

    fn words(&self) -> String {
        let (from, to) = (day(self.period.0), day(self.period.1));
        let mut words = format!(
            "{} foods known before {from}, {} on {to}.",
            self.known_before,
            self.known()
        );
        for mark in self.tastes {
            let _ = write!(words, " {}: first taste {}.", day(mark.day), mark.label);
        }
        for mark in self.reactions {
            let _ = write!(words, " {}: reaction {}.", day(mark.day), mark.label);
        }
        words
    }
}

/// A multiple of four, or of more where there are many.
fn scale_end(known: u32) -> u32 {
    let step = [1, 2, 5, 10, 20, 25, 50, 100, 250];
    let step = step.into_iter().find(|step| step * 4 >= known);
    step.unwrap_or(known / 4 + 1) * 4
}

fn y(known: u32, end: u32) -> f64 {
    FOOT - f64::from(known) / f64::from(end.max(1)) * (FOOT - TOP)
}

fn legend(svg: &mut Svg) {
    svg.circle("ring", (4.5, 6.0), 3.0);
    svg.text("key", Anchor::Start, (12.0, 9.5), "first taste");
    marks::reaction(svg, (76.5, 6.0), 4.0);
    svg.text("key", Anchor::Start, (84.0, 9.5), "reaction");
    svg.text("key", Anchor::End, (WIDTH, 9.5), "foods known");
}
