//! Energy of each day or week: food below, milk on top, beside what is published.

use std::fmt::Write as _;

use super::WIDTH;
use super::svg::{Anchor, Area, Svg};

/// The bar of a day, or of the average day of a week; all in kcal.
#[derive(Debug, Clone, PartialEq)]
pub struct EnergyBar {
    /// The first day that the bar stands for: `5 Oct`.
    pub label: String,
    /// Whether anything is on record.
    pub recorded: bool,
    /// Energy from food; `None` where it is not known.
    pub food: Option<f64>,
    /// Energy from milk; `None` where it is not known.
    pub milk: Option<f64>,
    /// Whether every amount is known; otherwise both are lower bounds.
    pub complete: bool,
    /// The recommended energy from complementary food, or from all food.
    pub wanted: Option<f64>,
    /// The child's total energy requirement.
    pub need: Option<f64>,
}

/// A chart of energy.
#[derive(Debug)]
pub struct EnergyBars<'a> {
    /// An id of its own on the page.
    pub id: &'a str,
    /// The title of the chart.
    pub title: &'a str,
    /// The scope of the figure `wanted`: `food, WHO`.
    pub wanted_of: &'a str,
    /// The days or weeks.
    pub bars: &'a [EnergyBar],
}

const LEFT: f64 = 30.0;
const TOP: f64 = 34.0;
const HEIGHT: f64 = 100.0;
const FOOT: f64 = TOP + HEIGHT;

impl EnergyBars<'_> {
    /// The picture.
    pub fn svg(&self) -> String {
        let mut svg = Svg::default();
        self.legend(&mut svg);
        let end = self.scale_end();
        for step in 0..=4 {
            let value = end * f64::from(step) / 4.0;
            let y = y(value, end);
            svg.line("hairline", &[(LEFT, y), (WIDTH, y)]);
            let words = format!("{value:.0}");
            svg.text("key", Anchor::End, (LEFT - 4.0, y + 3.5), &words);
        }
        let slot = (WIDTH - LEFT) / self.bars.len().max(1) as f64;
        for (at, bar) in self.bars.iter().enumerate() {
            bar.draw(&mut svg, LEFT + slot * at as f64, slot, end);
        }
        self.labels(&mut svg, slot);
        svg.finish(self.id, FOOT + 16.0, self.title, &self.words())
    }

    /// A round figure above everything that is drawn.
    fn scale_end(&self) -> f64 {
        let most = |bar: &EnergyBar| {
            let all = bar.food.unwrap_or(0.0) + bar.milk.unwrap_or(0.0);
            all.max(bar.wanted.unwrap_or(0.0))
                .max(bar.need.unwrap_or(0.0))
        };
        let most = self.bars.iter().map(most).fold(1.0, f64::max) * 1.08;
        let round = [25.0, 50.0, 100.0, 150.0, 200.0, 250.0, 300.0, 400.0, 500.0];
        let step = round.into_iter().find(|step| step * 4.0 >= most);
        step.unwrap_or(most / 4.0) * 4.0
    }

    /// As many days as there is room for.
    fn labels(&self, svg: &mut Svg, slot: f64) {
        const ROOM: f64 = 40.0;
        let mut free = 0.0;
        for (at, bar) in self.bars.iter().enumerate() {
            let x = (LEFT + slot * (at as f64 + 0.5)).min(WIDTH - ROOM / 2.0);
            if x >= free {
                svg.text("key", Anchor::Middle, (x, FOOT + 12.0), &bar.label);
                free = x + ROOM;
            }
        }
    }

    fn legend(&self, svg: &mut Svg) {
        let key = |x: f64| Area {
            x,
            y: 1.5,
            width: 16.0,
            height: 8.0,
        };
        svg.rect("food", key(0.0));
        svg.text("key", Anchor::Start, (20.0, 9.0), "food");
        svg.hatched(key(50.0));
        svg.text("key", Anchor::Start, (70.0, 9.0), "milk");
        svg.text("key", Anchor::End, (WIDTH, 9.0), "kcal a day");
        let mut x = 0.0;
        if self.bars.iter().any(|bar| bar.wanted.is_some()) {
            svg.line("wanted", &[(x, 19.0), (x + 18.0, 19.0)]);
            svg.text("key", Anchor::Start, (x + 23.0, 22.5), self.wanted_of);
            x = 176.0;
        }
        if self.bars.iter().any(|bar| bar.need.is_some()) {
            svg.line("reference", &[(x, 19.0), (x + 18.0, 19.0)]);
            svg.text(
                "key",
                Anchor::Start,
                (x + 23.0, 22.5),
                "needed in all (EER)",
            );
        }
    }

    fn words(&self) -> String {
        let mut words = String::new();
        let figure = |value: Option<f64>| {
            value.map_or_else(|| "not known".to_string(), |kcal| format!("{kcal:.0} kcal"))
        };
        for bar in self.bars {
            if !bar.recorded {
                let _ = write!(words, "{}: no record. ", bar.label);
                continue;
            }
            let bound = if bar.complete { "" } else { "at least, " };
            let (food, milk) = (figure(bar.food), figure(bar.milk));
            let _ = write!(words, "{}: {bound}food {food}, milk {milk}", bar.label);
            if let Some(wanted) = bar.wanted {
                let _ = write!(words, ", {} {wanted:.0} kcal", self.wanted_of);
            }
            if let Some(need) = bar.need {
                let _ = write!(words, ", needed in all {need:.0} kcal");
            }
            words.push_str(". ");
        }
        words.trim_end().to_string()
    }
}

impl EnergyBar {
    fn draw(&self, svg: &mut Svg, left: f64, slot: f64, end: f64) {
        let width = (slot * 0.62).min(30.0);
        let x = left + (slot - width) / 2.0;
        if !self.recorded {
            svg.text(
                "faint",
                Anchor::Middle,
                (left + slot / 2.0, FOOT - 4.0),
                "–",
            );
            return;
        }
        let food = self.food.unwrap_or(0.0).max(0.0);
        let all = food + self.milk.unwrap_or(0.0).max(0.0);
        let area = |from: f64, to: f64| Area {
            x,
            y: y(to, end),
            width,
            height: y(from, end) - y(to, end),
        };
        svg.rect("food", area(0.0, food));
        svg.hatched(area(food, all));
        if !self.complete {
            let (foot, top) = (y(all, end), (y(all, end) - 9.0).max(TOP - 8.0));
            svg.line(
                "open",
                &[(x, foot), (x, top), (x + width, top), (x + width, foot)],
            );
        }
        let over = [(left, 0.0), (left + slot, 0.0)];
        for (class, value) in [("wanted", self.wanted), ("reference", self.need)] {
            if let Some(value) = value {
                svg.line(class, &over.map(|(x, _)| (x, y(value, end))));
            }
        }
    }
}

fn y(value: f64, end: f64) -> f64 {
    FOOT - (value / end).clamp(0.0, 1.0) * HEIGHT
}
