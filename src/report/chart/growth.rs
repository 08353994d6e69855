//! The number of foods a child knows, day by day, with every first taste and every reaction.

use std::fmt::Write as _;

use jiff::civil::Date;

use super::legend::Legend;
use super::marks;
use super::medium::Medium;
use super::svg::{Anchor, Area, HAIRLINE, Svg};
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

/// Height of the scale.
const HEIGHT: f64 = 112.0;

/// Where the line is drawn.
struct GrowthPlot {
    left: f64,
    right: f64,
    top: f64,
    foot: f64,
    /// The number of foods at the top.
    end: u32,
    period: (Date, Date),
}

impl GrowthPlot {
    fn x(&self, day: Date) -> f64 {
        let (from, to) = self.period;
        let days = |until: Date| f64::from((until - from).get_days());
        let share = days(day) / days(to).max(1.0);
        self.left + share.clamp(0.0, 1.0) * (self.right - self.left)
    }

    fn y(&self, known: u32) -> f64 {
        let share = f64::from(known) / f64::from(self.end.max(1));
        self.foot - share * (self.foot - self.top)
    }
}

impl Growth<'_> {
    /// The picture; `None` where no food is known and no reaction on record.
    pub fn svg(&self) -> Option<String> {
        let any = self.known() > 0 || !self.reactions.is_empty();
        any.then(|| Medium::both(|medium| self.drawn(medium)))
    }

    fn drawn(&self, medium: Medium) -> String {
        let mut svg = Svg::new(medium);
        let size = medium.text();
        let head = legend(&mut svg) + 0.9 * size;
        svg.text("key", Anchor::Start, (0.0, head), "foods known");
        let end = scale_end(self.known());
        let known = self.known().to_string();
        let plot = GrowthPlot {
            left: svg.text_width(&end.to_string()) + 5.0,
            right: medium.width() - 1.12 * svg.text_width(&known) - 7.0,
            top: head + 0.9 * size,
            foot: head + 0.9 * size + HEIGHT,
            end,
            period: self.period,
        };
        for step in 0..=4 {
            let value = end / 4 * step;
            let y = plot.y(value);
            svg.line(HAIRLINE, &[(plot.left, y), (plot.right, y)]);
            let at = (plot.left - 4.0, y + 0.34 * size);
            svg.text("key", Anchor::End, at, &value.to_string());
        }
        let at = (plot.right + 5.0, plot.y(self.known()) + 0.36 * size);
        svg.text("name", Anchor::Start, at, &known);
        let rings = self.steps(&mut svg, &plot);
        let level = plot.foot + 0.9 * size;
        for reaction in self.reactions {
            marks::reaction(&mut svg, (plot.x(reaction.day), level), 4.0);
        }
        self.labels(&mut svg, rings, |day| (plot.x(day), level));
        let below = plot.foot + 2.5 * size;
        for (anchor, day) in [(Anchor::Start, self.period.0), (Anchor::End, self.period.1)] {
            let words = day.strftime("%-d %b").to_string();
            svg.text("key", anchor, (plot.x(day), below), &words);
        }
        svg.finish(self.id, below + 0.4 * size, self.title, &self.words())
    }

    fn known(&self) -> u32 {
        self.known_before + self.tastes.iter().map(|mark| mark.foods).sum::<u32>()
    }

    /// The line, and a ring for each day with first tastes. Returns where the rings are.
    fn steps(&self, svg: &mut Svg, plot: &GrowthPlot) -> Vec<(f64, f64)> {
        let mut known = self.known_before;
        let mut line = vec![(plot.left, plot.y(known))];
        let mut rings = Vec::new();
        for mark in self.tastes {
            let x = plot.x(mark.day);
            line.push((x, plot.y(known)));
            known += mark.foods;
            line.push((x, plot.y(known)));
            rings.push((x, plot.y(known)));
        }
        line.push((plot.right, plot.y(known)));
        svg.line("growth", &line);
        for ring in &rings {
            svg.circle("ring", *ring, 3.0);
        }
        rings
    }

    /// The numbers of first tastes and the letters of reactions, where there is room.
    fn labels(&self, svg: &mut Svg, rings: Vec<(f64, f64)>, reaction: impl Fn(Date) -> (f64, f64)) {
        let size = svg.size();
        for ((x, y), mark) in rings.into_iter().zip(self.tastes) {
            let places = [
                (Anchor::End, (x - 5.0, y - 4.0)),
                (Anchor::Middle, (x, y - 7.0)),
                (Anchor::Start, (x + 6.0, y + 1.1 * size)),
            ];
            label_where_free(svg, places, &mark.label);
        }
        for mark in self.reactions {
            let (x, y) = reaction(mark.day);
            let foot = y + 0.35 * size;
            let places = [
                (Anchor::Start, (x + 6.5, foot)),
                (Anchor::End, (x - 6.5, foot)),
            ];
            label_where_free(svg, places, &mark.label);
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

/// Writes a label at the first of the places where nothing else is; the table beside the drawing has all of them.
fn label_where_free<const N: usize>(svg: &mut Svg, places: [(Anchor, (f64, f64)); N], label: &str) {
    let free = |(anchor, at): &(Anchor, (f64, f64))| svg.has_room(*anchor, *at, label);
    if let Some((anchor, at)) = places.into_iter().find(free) {
        svg.text("key", anchor, at, label);
    }
}

/// Returns its height.
fn legend(svg: &mut Svg) -> f64 {
    let mut legend = Legend::at_top_of(svg);
    let middle = |area: Area| (area.x + area.width / 2.0, area.y + area.height / 2.0);
    legend.small_sign("first taste", |svg, area| {
        svg.circle("ring", middle(area), 3.0);
    });
    legend.small_sign("reaction", |svg, area| {
        marks::reaction(svg, middle(area), 4.0);
    });
    legend.end()
}
