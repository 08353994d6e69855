//! Nutrients against their reference intakes, one bar under the other.

use std::fmt::Write as _;

use super::WIDTH;
use super::svg::{Anchor, Area, Svg};

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
const HEAD: f64 = 30.0;
const ROW: f64 = 30.0;
const FIRST_ROW: f64 = 41.0;

impl NutrientBars<'_> {
    /// The picture.
    pub fn svg(&self) -> String {
        let mut svg = Svg::default();
        legend(&mut svg, self.bars);
        let mut top = HEAD;
        for (at, bar) in self.bars.iter().enumerate() {
            let (row, thick) = if at == 0 {
                (FIRST_ROW, 17.0)
            } else {
                (ROW, 9.0)
            };
            bar.draw(&mut svg, top, thick, at == 0);
            top += row;
        }
        svg.finish(self.id, top, self.title, &self.words())
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
            if let Some(upper) = bar.upper {
                let _ = write!(words, ", upper level at {upper:.0} %");
            }
            words.push_str(". ");
        }
        words.trim_end().to_string()
    }
}

impl NutrientBar {
    fn draw(&self, svg: &mut Svg, top: f64, thick: f64, labelled: bool) {
        svg.text("name", Anchor::Start, (0.0, top + 10.0), &self.name);
        let figures = format!("{} · {}", self.amount, self.against);
        svg.text("figure", Anchor::End, (WIDTH, top + 10.0), &figures);
        let y = top + 13.5;
        let foot = y + thick;
        svg.line("hairline", &[(0.0, foot), (x(SCALE_END), foot)]);
        let food = self.food.unwrap_or(0.0).clamp(0.0, SCALE_END);
        let both = (food + self.milk.unwrap_or(0.0).max(0.0)).min(SCALE_END);
        let area = |from: f64, to: f64| Area {
            x: x(from),
            y,
            width: x(to) - x(from),
            height: thick,
        };
        svg.rect("food", area(0.0, food));
        svg.hatched(area(food, both));
        let three = (both + self.supplement.unwrap_or(0.0).max(0.0)).min(SCALE_END);
        if three > both {
            svg.rect("supplement", area(both, three));
        }
        if labelled {
            in_bar(svg, area(0.0, food), "in-food", "food");
            in_bar(svg, area(food, both), "in-milk", "milk");
        }
        let parts = [self.food, self.milk, self.supplement];
        let all: f64 = parts.into_iter().flatten().sum();
        self.end(svg, all, (y, foot));
        let middle = x(100.0);
        svg.line("reference", &[(middle, y - 2.0), (middle, foot + 2.0)]);
        if let Some(upper) = self.drawn_upper() {
            upper_mark(svg, x(upper).max(4.0), foot);
        }
    }

    /// The upper level, where it lies on the scale.
    fn drawn_upper(&self) -> Option<f64> {
        self.upper.filter(|upper| *upper <= SCALE_END)
    }

    /// The end of the bar: nothing, an open end for a lower bound, an arrow where the value exceeds the scale.
    fn end(&self, svg: &mut Svg, all: f64, (y, foot): (f64, f64)) {
        let at = x(all.min(SCALE_END));
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
            let end = (at + BEYOND).min(WIDTH);
            svg.line("open", &[(at, y), (end, y), (end, foot), (at, foot)]);
        }
    }
}

fn x(share: f64) -> f64 {
    share / SCALE_END * (WIDTH - BEYOND)
}

fn in_bar(svg: &mut Svg, area: Area, class: &str, word: &str) {
    const WIDE_ENOUGH: f64 = 34.0;
    if area.width < WIDE_ENOUGH {
        return;
    }
    let (middle, foot) = (area.x + area.width / 2.0, area.y + area.height / 2.0 + 3.5);
    if class == "in-milk" {
        let ground = Area {
            x: middle - 13.0,
            width: 26.0,
            y: area.y + 2.0,
            height: area.height - 4.0,
        };
        svg.rect("ground", ground);
    }
    svg.text(class, Anchor::Middle, (middle, foot), word);
}

/// The upper level: a triangle under the bar.
fn upper_mark(svg: &mut Svg, at: f64, foot: f64) {
    let base = foot + 5.0;
    svg.shape(
        "upper",
        &[(at - 4.0, base), (at + 4.0, base), (at, foot - 1.0)],
    );
}

/// The legend: the signs that occur, and the line of the reference.
fn legend(svg: &mut Svg, bars: &[NutrientBar]) {
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
    if bars.iter().any(|bar| !bar.complete) {
        svg.line(
            "open",
            &[(102.0, 1.5), (116.0, 1.5), (116.0, 9.5), (102.0, 9.5)],
        );
        svg.text(
            "key",
            Anchor::Start,
            (121.0, 9.0),
            "or more: a value is missing",
        );
    }
    if bars.iter().any(|bar| bar.supplement.is_some()) {
        let second_row = Area {
            y: 16.5,
            ..key(20.0)
        };
        svg.rect("supplement", second_row);
        svg.text("key", Anchor::Start, (40.0, 24.0), "supplement");
    }
    if bars.iter().any(|bar| bar.drawn_upper().is_some()) {
        upper_mark(svg, 268.0, 4.0);
        svg.text("key", Anchor::Start, (276.0, 9.0), "upper level");
    }
    let middle = x(100.0);
    svg.text("key", Anchor::Middle, (middle, 24.0), "reference, 100 %");
    svg.text("key", Anchor::Start, (0.0, 24.0), "0");
    svg.text("key", Anchor::End, (x(SCALE_END), 24.0), "200 %");
}
