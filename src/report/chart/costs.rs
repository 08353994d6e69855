//! The cost of recipes at home and of the jar, one bar under the other.

use std::fmt::Write as _;

use rust_decimal::prelude::ToPrimitive as _;

use super::legend::Legend;
use super::medium::Medium;
use super::svg::{Anchor, Area, HAIRLINE, Svg, cut};
use crate::cost::Money;
use crate::report::number::or_not_known;

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
    /// The unit of all costs: `EUR per 100 g`.
    pub unit: &'a str,
    /// The recipes.
    pub bars: &'a [CostBar],
}

const THICK: f64 = 11.0;
/// The space beyond the longest bar, for the open end of a lower bound.
const BEYOND: f64 = 16.0;
/// Half of the ground that is left free around the mark of the jar.
const GROUND: f64 = 2.5;

impl CostBars<'_> {
    /// The picture.
    pub fn svg(&self) -> String {
        Medium::both(|medium| self.drawn(medium))
    }

    fn drawn(&self, medium: Medium) -> String {
        let mut svg = Svg::new(medium);
        let size = medium.text();
        let mut top = self.legend(&mut svg);
        let costs = self.bars.iter().flat_map(|bar| [bar.home, bar.jar]);
        let most = costs.flatten().max().unwrap_or(Money::ZERO);
        for bar in self.bars {
            top = bar.draw(&mut svg, top, most);
        }
        let (foot, end) = (top + 0.6 * size, medium.width() - BEYOND);
        let most = format!("{} {}", most.shown(), self.unit);
        svg.text("key", Anchor::Start, (0.0, foot), "0");
        svg.text("key", Anchor::End, (end, foot), &most);
        svg.finish(self.id, foot + 0.4 * size, self.title, &self.words())
    }

    /// Returns its height.
    fn legend(&self, svg: &mut Svg) -> f64 {
        let mut legend = Legend::at_top_of(svg);
        legend.sign("at home", |svg, area| svg.rect("food", area));
        legend.sign("the jar", |svg, area| {
            let x = area.x + area.width / 2.0;
            svg.line(
                "reference",
                &[(x, area.y - 1.0), (x, area.y + area.height + 1.0)],
            );
        });
        if self.bars.iter().any(|bar| !bar.complete) {
            legend.open("or more: a price is missing");
        }
        legend.end()
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
        let home = or_not_known(self.home.map(|home| format!("{bound}{}", home.shown())));
        match self.jar {
            Some(jar) => format!("{home}, the jar {}", jar.shown()),
            None => home,
        }
    }

    /// Draws name, figures and bar. Returns their foot.
    fn draw(&self, svg: &mut Svg, top: f64, most: Money) -> f64 {
        let y = self.text(svg, top + svg.size()) + 0.45 * svg.size();
        let (foot, right) = (y + THICK, svg.width());
        let along = |amount| along(amount, most) * (right - BEYOND);
        svg.line(HAIRLINE, &[(0.0, foot), (right, foot)]);
        if let Some(home) = self.home {
            let end = along(home);
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
            let at = along(jar);
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
        foot + 0.6 * svg.size()
    }

    /// The name, and the figures beside it or on the next line. Returns the last line that text stands on.
    fn text(&self, svg: &mut Svg, line: f64) -> f64 {
        let (size, right, figures) = (svg.size(), svg.width(), self.figures());
        // The name is bold, which is wider.
        let beside = 1.12 * svg.text_width(&self.name) + size + svg.text_width(&figures) <= right;
        let name = cut(&self.name, right / 1.12, size);
        let next = if beside { line } else { line + 1.25 * size };
        svg.text("name", Anchor::Start, (0.0, line), &name);
        svg.text("value", Anchor::End, (right, next), &figures);
        next
    }
}

/// The position of an amount on the scale, 0 to 1.
fn along(amount: Money, most: Money) -> f64 {
    let share = amount.amount().checked_div(most.amount());
    let share = share.and_then(|share| share.to_f64()).unwrap_or(0.0);
    share.clamp(0.0, 1.0)
}
