//! Nutrients against their reference intakes, one bar under the other.

use std::fmt::Write as _;

use super::legend::Legend;
use super::medium::Medium;
use super::svg::{Anchor, Area, HAIRLINE, Svg, cut};
use super::whisker::Whisker;

/// The bar of a nutrient. Shares are in percent of its reference intake.
#[derive(Debug, Clone, PartialEq)]
pub struct NutrientBar {
    /// The name of the nutrient.
    pub name: String,
    /// The amount a day with its unit, as text: `>= 5.7 mg`.
    pub amount: String,
    /// The reference it is compared with, as text: `52 % of 11 mg RDA`.
    pub against: String,
    /// The share from milk; `None` where it is not known.
    pub milk: Option<f64>,
    /// The share from food; `None` where it is not known.
    pub food: Option<f64>,
    /// The share from supplements, drawn behind food and milk; `None` where none was given.
    pub supplement: Option<f64>,
    /// Whether every food has a value; otherwise both shares are lower bounds.
    pub complete: bool,
    /// From where to where the total most likely lies, in percent; `None` where that is not known.
    pub whisker: Option<Whisker>,
    /// The upper level, where one is set that a total may be held against.
    pub upper: Option<f64>,
}

/// A chart of nutrients, the first drawn larger.
#[derive(Debug)]
pub struct NutrientBars<'a> {
    /// An id of its own on the page.
    pub id: &'a str,
    /// The title of the chart.
    pub title: &'a str,
    /// The nutrients.
    pub bars: &'a [NutrientBar],
}

/// The share at the end of the scale.
const SCALE_END: f64 = 200.0;
/// The space beyond the end of the scale, for marks of larger values.
const BEYOND: f64 = 16.0;

impl NutrientBars<'_> {
    /// The picture; `None` where nothing is known of any nutrient.
    pub fn svg(&self) -> Option<String> {
        let known = |bar: &NutrientBar| bar.milk.or(bar.food).or(bar.supplement).is_some();
        let any = self.bars.iter().any(known);
        any.then(|| Medium::both(|medium| self.drawn(medium)))
    }

    fn drawn(&self, medium: Medium) -> String {
        let mut svg = Svg::new(medium);
        let mut top = self.legend(&mut svg);
        top = axis(&mut svg, top);
        for (at, bar) in self.bars.iter().enumerate() {
            let thick = if at == 0 { 1.25 } else { 0.8 };
            top = bar.draw(&mut svg, top, thick * medium.text());
        }
        svg.finish(self.id, top, self.title, &self.words())
    }

    /// The signs that occur. Returns the height that they take.
    fn legend(&self, svg: &mut Svg) -> f64 {
        let any = |has: fn(&NutrientBar) -> bool| self.bars.iter().any(has);
        let mut legend = Legend::at_top_of(svg);
        legend.food_and_milk();
        if any(|bar| bar.supplement.is_some()) {
            legend.sign("supplement", |svg, area| svg.rect("supplement", area));
        }
        if any(|bar| !bar.complete) {
            legend.open("or more");
        }
        if any(|bar| bar.drawn_upper().is_some()) {
            legend.sign("upper level", |svg, area| {
                upper_mark(svg, area.x + area.width / 2.0, area.y + 2.0);
            });
        }
        if any(|bar| bar.whisker.is_some()) {
            legend.whisker();
        }
        legend.end()
    }

    /// Everything that is drawn.
    fn words(&self) -> String {
        let mut words = String::new();
        for bar in self.bars {
            let _ = write!(words, "{}: {}, {}", bar.name, bar.amount, bar.against);
            if let Some(share) = bar.supplement {
                let _ = write!(words, ", supplement {share:.0} %");
            }
            for (part, share) in [("milk", bar.milk), ("food", bar.food)] {
                let _ = match share {
                    Some(share) => write!(words, ", {part} {share:.0} %"),
                    None => write!(words, ", {part} not known"),
                };
            }
            if let Some(whisker) = &bar.whisker {
                let ends = whisker.words(|share| format!("{share:.0}"), "%");
                let _ = write!(words, ", {ends}");
            }
            if let Some(upper) = bar.upper {
                let _ = write!(words, ", upper level at {upper:.0} %");
            }
            words.push_str(". ");
        }
        words.trim_end().to_string()
    }
}

/// The scale in percent of the reference. Returns its foot.
fn axis(svg: &mut Svg, top: f64) -> f64 {
    let size = svg.size();
    let end = scale_width(svg);
    let foot = top + 0.9 * size;
    svg.text("key", Anchor::Start, (0.0, foot), "0 %");
    svg.text(
        "key",
        Anchor::Middle,
        (end / 2.0, foot),
        "100 % of reference",
    );
    svg.text("key", Anchor::End, (end, foot), "200 %");
    top + 1.25 * size
}

impl NutrientBar {
    /// Draws name, figures and bar. Returns their foot.
    fn draw(&self, svg: &mut Svg, top: f64, thick: f64) -> f64 {
        let size = svg.size();
        let y = self.figures(svg, top + size) + 0.42 * size;
        let foot = y + thick;
        let end = scale_width(svg);
        let x = |share: f64| share.clamp(0.0, SCALE_END) / SCALE_END * end;
        let middle = x(100.0);
        let food = x(self.food.unwrap_or(0.0));
        let both = x(self.food.unwrap_or(0.0).max(0.0) + self.milk.unwrap_or(0.0).max(0.0));
        let parts = [self.food, self.milk, self.supplement];
        let all: f64 = parts.into_iter().flatten().map(|part| part.max(0.0)).sum();
        let area = |from: f64, to: f64| Area {
            x: from,
            y,
            width: to - from,
            height: thick,
        };
        let whisker = self.whisker.filter(|whisker| whisker.low <= SCALE_END);
        let whisker = whisker.map(|ends| {
            let inside = ends.high <= SCALE_END;
            ([x(ends.low), x(ends.high)], (true, inside))
        });
        let upper = self.drawn_upper().map(|upper| x(upper).max(4.0));
        let supplement = area(both, x(all));
        svg.line(HAIRLINE, &[(0.0, foot), (end, foot)]);
        svg.rect("food", area(0.0, food));
        svg.hatched(area(food, both));
        if supplement.width > 0.0 {
            svg.rect("supplement", supplement);
        }
        self.end(svg, (supplement.x + supplement.width, all), (y, foot));
        if let Some(([low, high], closed)) = whisker {
            let level = f64::midpoint(y, foot);
            svg.whisker([(low, level), (high, level)], closed);
        }
        svg.line("reference", &[(middle, y - 2.0), (middle, foot + 2.0)]);
        if let Some(upper) = upper {
            upper_mark(svg, upper, foot);
        }
        foot + 0.5 * size
    }

    /// The name and the figures, on one line or on two. Returns the last line that text stands on.
    fn figures(&self, svg: &mut Svg, line: f64) -> f64 {
        let right = svg.width();
        svg.text("name", Anchor::Start, (0.0, line), &self.name);
        // The name is bold, which is wider.
        let free = right - 1.12 * svg.text_width(&self.name) - svg.size();
        let figures = format!("{} · {}", self.amount, self.against);
        if svg.text_width(&figures) <= free {
            svg.text("value", Anchor::End, (right, line), &figures);
            return line;
        }
        let next = line + 1.25 * svg.size();
        let (above, below) = if svg.text_width(&self.amount) <= free {
            (self.amount.as_str(), self.against.as_str())
        } else {
            ("", figures.as_str())
        };
        svg.text("value", Anchor::End, (right, line), above);
        svg.text(
            "value",
            Anchor::End,
            (right, next),
            &cut(below, right, svg.size()),
        );
        next
    }

    /// The upper level, where it lies on the scale.
    fn drawn_upper(&self) -> Option<f64> {
        self.upper.filter(|upper| *upper <= SCALE_END)
    }

    /// The end of the bar: nothing, an open end for a lower bound, an arrow where the value exceeds the scale.
    fn end(&self, svg: &mut Svg, (at, all): (f64, f64), (y, foot): (f64, f64)) {
        if all > SCALE_END {
            let class = if self.complete { "arrow" } else { "arrow open" };
            svg.shape(
                class,
                &[
                    (at + 2.0, y),
                    (at + BEYOND - 4.0, f64::midpoint(y, foot)),
                    (at + 2.0, foot),
                ],
            );
        } else if !self.complete {
            let end = (at + BEYOND).min(svg.width());
            svg.line("open", &[(at, y), (end, y), (end, foot), (at, foot)]);
        }
    }
}

/// Where the scale ends.
fn scale_width(svg: &Svg) -> f64 {
    svg.width() - BEYOND
}

/// The upper level: a triangle under the bar.
fn upper_mark(svg: &mut Svg, at: f64, foot: f64) {
    let base = foot + 5.0;
    svg.shape(
        "upper",
        &[(at - 4.0, base), (at + 4.0, base), (at, foot - 1.0)],
    );
}
