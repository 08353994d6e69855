//! A nutrient of each day or week: food below, milk on top, beside what is published.

use std::fmt::Write as _;

use super::legend::Legend;
use super::medium::Medium;
use super::svg::{Anchor, Area, HAIRLINE, Svg};
use super::whisker::Whisker;
use crate::report::number::or_not_known;

/// The bar of a day, or of the average day of a week; all in the unit of the chart.
#[derive(Debug, Clone, PartialEq)]
pub struct PeriodBar {
    /// The first day that the bar stands for: `5 Oct`.
    pub label: String,
    /// Whether anything is on record.
    pub recorded: bool,
    /// The amount from food; `None` where it is not known.
    pub food: Option<f64>,
    /// The amount from milk; `None` where it is not known.
    pub milk: Option<f64>,
    /// The amount from supplements; `None` where none was given.
    pub supplement: Option<f64>,
    /// Whether every amount is known; otherwise they are lower bounds.
    pub complete: bool,
    /// From where to where all of it most likely lies; `None` where that is not known.
    pub whisker: Option<Whisker>,
    /// What is expected of a part of it, such as of food alone.
    pub wanted: Option<f64>,
    /// What the child needs in all.
    pub need: Option<f64>,
}

/// A chart of days or weeks.
#[derive(Debug)]
pub struct PeriodBars<'a> {
    /// An id of its own on the page.
    pub id: &'a str,
    /// The title of the chart.
    pub title: &'a str,
    /// The unit of all amounts: `kcal`.
    pub unit: &'a str,
    /// What a bar stands for: `a day`.
    pub each: &'a str,
    /// The scope of the figure `wanted`: `expected of food (WHO)`.
    pub wanted_of: &'a str,
    /// The scope of the figure `need`: `needed in all (EER)`.
    pub need_of: &'a str,
    /// The days or weeks.
    pub bars: &'a [PeriodBar],
}

/// Height of the scale.
const fn height(medium: Medium) -> f64 {
    match medium {
        Medium::Screen => 110.0,
        Medium::Paper => 60.0,
    }
}

/// Where the bars stand.
struct PeriodPlot {
    left: f64,
    right: f64,
    top: f64,
    foot: f64,
    /// The amount at the top.
    end: f64,
}

impl PeriodPlot {
    fn y(&self, value: f64) -> f64 {
        let share = (value / self.end).clamp(0.0, 1.0);
        self.foot - share * (self.foot - self.top)
    }
}

impl PeriodBars<'_> {
    /// The picture; `None` where nothing is on record.
    pub fn svg(&self) -> Option<String> {
        let any = self.bars.iter().any(|bar| bar.recorded);
        any.then(|| Medium::both(|medium| self.drawn(medium)))
    }

    fn drawn(&self, medium: Medium) -> String {
        let mut svg = Svg::new(medium);
        let size = medium.text();
        let head = self.legend(&mut svg) + 0.9 * size;
        let unit = format!("{} {}", self.unit, self.each);
        svg.text("key", Anchor::Start, (0.0, head), &unit);
        let step = step(self.most());
        let labels: Vec<_> = (0..=4).map(|at| tick(step, at)).collect();
        let widths = labels.iter().map(|label| svg.text_width(label));
        let left = widths.fold(0.0, f64::max) + 5.0;
        let top = head + 0.9 * size;
        let plot = PeriodPlot {
            left,
            right: medium.width(),
            top,
            foot: top + height(medium),
            end: step * 4.0,
        };
        for (at, label) in (0_i32..).zip(&labels) {
            let y = plot.y(step * f64::from(at));
            svg.line(HAIRLINE, &[(left, y), (plot.right, y)]);
            svg.text("key", Anchor::End, (left - 4.0, y + 0.34 * size), label);
        }
        let slot = (plot.right - left) / self.bars.len().max(1) as f64;
        for (at, bar) in self.bars.iter().enumerate() {
            bar.draw(&mut svg, &plot, (left + slot * at as f64, slot));
        }
        self.labels(&mut svg, &plot, slot);
        svg.finish(self.id, plot.foot + 1.7 * size, self.title, &self.words())
    }

    /// The most that is drawn.
    fn most(&self) -> f64 {
        let most = |bar: &PeriodBar| {
            let high = bar.whisker.map_or(0.0, |whisker| whisker.high);
            let wanted = bar.wanted.unwrap_or(0.0);
            bar.all().max(wanted).max(bar.need.unwrap_or(0.0)).max(high)
        };
        self.bars.iter().map(most).fold(0.0, f64::max)
    }

    /// As many days as there is room for, evenly.
    fn labels(&self, svg: &mut Svg, plot: &PeriodPlot, slot: f64) {
        let size = svg.size();
        let widths = self.bars.iter().map(|bar| svg.text_width(&bar.label));
        let room = widths.fold(0.0, f64::max) + 0.6 * size;
        let far_enough = |every: &usize| slot * *every as f64 >= room;
        let count = self.bars.len().max(1);
        let every = (1..count).find(far_enough).unwrap_or(count);
        for (at, bar) in self.bars.iter().enumerate().step_by(every) {
            let half = svg.text_width(&bar.label) / 2.0;
            let middle = plot.left + slot * (at as f64 + 0.5);
            let at = (middle.min(plot.right - half), plot.foot + 1.3 * size);
            // The last may be moved to the left, towards the one before.
            if svg.has_room(Anchor::Middle, at, &bar.label) {
                svg.text("key", Anchor::Middle, at, &bar.label);
            }
        }
    }

    /// The signs that occur. Returns the height that they take.
    fn legend(&self, svg: &mut Svg) -> f64 {
        let any = |has: fn(&PeriodBar) -> bool| self.bars.iter().any(has);
        let mut legend = Legend::at_top_of(svg);
        legend.food_and_milk();
        if any(|bar| bar.supplement.is_some()) {
            legend.sign("supplement", |svg, area| svg.rect("supplement", area));
        }
        if any(|bar| bar.recorded && !bar.complete) {
            legend.open("or more");
        }
        if any(|bar| bar.wanted.is_some()) {
            legend.across("wanted", self.wanted_of);
        }
        if any(|bar| bar.need.is_some()) {
            legend.across("reference", self.need_of);
        }
        if any(|bar| bar.whisker.is_some()) {
            legend.whisker();
        }
        legend.end()
    }

    fn words(&self) -> String {
        let mut words = String::new();
        let unit = self.unit;
        let number = |value: f64| format!("{value:.*}", usize::from(self.most() < 40.0));
        let figure = |value: Option<f64>| {
            or_not_known(value.map(|value| format!("{} {unit}", number(value))))
        };
        for bar in self.bars {
            if !bar.recorded {
                let _ = write!(words, "{}: no record. ", bar.label);
                continue;
            }
            let bound = if bar.complete { "" } else { "at least, " };
            let (food, milk) = (figure(bar.food), figure(bar.milk));
            let _ = write!(words, "{}: {bound}food {food}, milk {milk}", bar.label);
            if bar.supplement.is_some() {
                let _ = write!(words, ", supplement {}", figure(bar.supplement));
            }
            if let Some(whisker) = &bar.whisker {
                let _ = write!(words, ", in all {}", whisker.words(number, unit));
            }
            for (of, value) in [(self.wanted_of, bar.wanted), (self.need_of, bar.need)] {
                if value.is_some() {
                    let _ = write!(words, ", {of} {}", figure(value));
                }
            }
            words.push_str(". ");
        }
        words.trim_end().to_string()
    }
}

/// A round step of which four reach above an amount.
fn step(most: f64) -> f64 {
    let most = most.max(0.001) * 1.04;
    let magnitude = 10_f64.powf((most / 4.0).log10().floor());
    let round = [1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 10.0];
    let mut round = round.into_iter().map(|step| step * magnitude);
    round.find(|step| step * 4.0 >= most).unwrap_or(most)
}

/// A figure of the scale, as short as it is exact.
fn tick(step: f64, at: i32) -> String {
    let text = format!("{:.4}", step * f64::from(at));
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

impl PeriodBar {
    fn all(&self) -> f64 {
        let parts = [self.food, self.milk, self.supplement]
            .into_iter()
            .flatten();
        parts.map(|part| part.max(0.0)).sum()
    }

    fn draw(&self, svg: &mut Svg, plot: &PeriodPlot, (left, slot): (f64, f64)) {
        let width = (slot * 0.62).min(30.0);
        let (x, middle) = (left + (slot - width) / 2.0, left + slot / 2.0);
        if !self.recorded {
            svg.text("faint", Anchor::Middle, (middle, plot.foot - 4.0), "–");
            return;
        }
        let food = self.food.unwrap_or(0.0).max(0.0);
        let both = food + self.milk.unwrap_or(0.0).max(0.0);
        let all = self.all();
        let area = |from: f64, to: f64| Area {
            x,
            y: plot.y(to),
            width,
            height: plot.y(from) - plot.y(to),
        };
        svg.rect("food", area(0.0, food));
        svg.hatched(area(food, both));
        if all > both {
            svg.rect("supplement", area(both, all));
        }
        if !self.complete {
            let (foot, right) = (plot.y(all), x + width);
            let top = (foot - 9.0).max(plot.top - 8.0);
            svg.line("open", &[(x, foot), (x, top), (right, top), (right, foot)]);
        }
        for (class, value) in [("wanted", self.wanted), ("reference", self.need)] {
            if let Some(value) = value {
                let y = plot.y(value);
                svg.line(class, &[(left, y), (left + slot, y)]);
            }
        }
        if let Some(whisker) = self.whisker {
            let ends = [whisker.low, whisker.high].map(|value| (middle, plot.y(value)));
            svg.whisker(ends, (true, true));
        }
    }
}
