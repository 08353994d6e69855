//! The cost of recipes at home and of the jar, one bar under the other.

use std::fmt::Write as _;

use rust_decimal::prelude::ToPrimitive as _;

use super::WIDTH;
use super::svg::{Anchor, Area, Svg, cut};
use crate::cost::Money;

/// A recipe. Costs are those of 100 g.
#[derive(Debug, Clone, PartialEq)]
pub struct CostBar {
    /// The title of the recipe.
    pub name: String,
    /// The cost at home; `None` where no price is known.
    pub home: Option<Money>,
    /// Whether every price is known; otherwise `home` is a lower bound.
    pub complete: bool,
    /// The cost of the jar; `None` where the recipe is compared with none.
    pub jar: Option<Money>,
}

/// A chart of recipes.
#[derive(Debug)]
pub struct CostBars<'a> {
    /// An id of its own on the page.
    pub id: &'a str,
    /// The title of the chart.
    pub title: &'a str,
    /// The recipes.
    pub bars: &'a [CostBar],
}

const HEAD: f64 = 22.0;
const ROW: f64 = 32.0;
const THICK: f64 = 11.0;
/// The space beyond the longest bar, for the open end of a lower bound.
const BEYOND: f64 = 16.0;
/// Half of the ground that is left free around the mark of the jar.
const GROUND: f64 = 2.5;
/// The width that the figures take at the end of a title.
const FIGURES: f64 = 120.0;
const NAME_SIZE: f64 = 12.0;

impl CostBars<'_> {
    /// The picture.
    pub fn svg(&self) -> String {
        let mut svg = Svg::default();
        self.legend(&mut svg);
        let costs = self.bars.iter().flat_map(|bar| [bar.home, bar.jar]);
        let most = costs.flatten().max().unwrap_or(Money::ZERO);
        let mut top = HEAD;
        for bar in self.bars {
            bar.draw(&mut svg, top, most);
            top += ROW;
        }
        svg.finish(self.id, top, self.title, &self.words())
    }

    fn legend(&self, svg: &mut Svg) {
        let key = Area {
            x: 0.0,
            y: 1.5,
            width: 16.0,
            height: 8.0,
        };
        svg.rect("food", key);
        svg.text("key", Anchor::Start, (20.0, 9.0), "at home");
        svg.line("reference", &[(74.0, 0.5), (74.0, 10.5)]);
        svg.text("key", Anchor::Start, (80.0, 9.0), "the jar");
        if self.bars.iter().any(|bar| !bar.complete) {
            svg.line(
                "open",
                &[(126.0, 1.5), (140.0, 1.5), (140.0, 9.5), (126.0, 9.5)],
            );
            let words = "or more: a price is missing";
            svg.text("key", Anchor::Start, (145.0, 9.0), words);
        }
    }

    /// Everything that is drawn.
    fn words(&self) -> String {
        let mut words = String::new();
        for bar in self.bars {
            let _ = write!(words, "{}: {}. ", bar.name, bar.figures());
        }
        words.trim_end().to_string()
    }
}

impl CostBar {
    /// `0.50, the jar 1.14`.
    fn figures(&self) -> String {
        let bound = if self.complete { "" } else { ">= " };
        let home = self.home.map_or_else(
            || "not known".to_string(),
            |home| format!("{bound}{}", home.shown()),
        );
        match self.jar {
            Some(jar) => format!("{home}, the jar {}", jar.shown()),
            None => home,
        }
    }

    fn draw(&self, svg: &mut Svg, top: f64, most: Money) {
        let name = cut(&self.name, WIDTH - FIGURES, NAME_SIZE);
        svg.text("name", Anchor::Start, (0.0, top + 10.0), &name);
        svg.text("figure", Anchor::End, (WIDTH, top + 10.0), &self.figures());
        let (y, foot) = (top + 13.5, top + 13.5 + THICK);
        svg.line("hairline", &[(0.0, foot), (WIDTH, foot)]);
        if let Some(home) = self.home {
            let end = along(home, most);
            let bar = Area {
                x: 0.0,
                y,
                width: end,
                height: THICK,
            };
            svg.rect("food", bar);
            if !self.complete {
                let open = end + BEYOND;
                svg.line("open", &[(end, y), (open, y), (open, foot), (end, foot)]);
            }
        }
        if let Some(jar) = self.jar {
            let at = along(jar, most);
            // The gap makes the mark visible on a bar of any colour.
            let from = (at - GROUND).max(0.0);
            let ground = Area {
                x: from,
                y,
                width: at + GROUND - from,
                height: THICK,
            };
            svg.rect("ground", ground);
            svg.line("reference", &[(at, y - 2.0), (at, foot + 2.0)]);
        }
    }
}

/// The position of an amount on the scale, in units of the drawing.
fn along(amount: Money, most: Money) -> f64 {
    let share = amount.amount().checked_div(most.amount());
    let share = share.and_then(|share| share.to_f64()).unwrap_or(0.0);
    share.clamp(0.0, 1.0) * (WIDTH - BEYOND)
}
