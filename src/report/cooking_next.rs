//! The report of how much to cook next, as text and as JSON.

use jiff::civil::Date;
use serde::Serialize;

use super::freezer::PaceReport;
use super::objections::objection_list;
use super::text::{Look, Page};
use crate::household::{CookNext, NextRecipe};
use crate::next_step::{NextStep, Remark};
use crate::safety::{Objection, distinct, gravest_first};
use crate::words::{self, counted};

/// Below this number of known foods, small batches of one or two flavours are the better start (common practice, no
/// source).
const FEW_FOODS: usize = 6;

/// The report of how much to cook next.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct CookNextReport {
    pub schema: u32,
    pub day: Date,
    pub pace: PaceReport,
    pub children: Vec<KnownFoodsLine>,
    /// `None` where no pace is known.
    pub room: Option<RoomReport>,
    /// The recipes, fewest cubes in the freezer first.
    pub recipes: Vec<NextRecipe>,
    /// The objections to any of these recipes, the gravest first.
    pub objections: Vec<Objection>,
}

/// The number of foods that a child knows.
#[derive(Debug, Clone, Serialize)]
pub struct KnownFoodsLine {
    pub child: String,
    pub known_foods: usize,
    /// Whether small batches of one or two flavours are the better start.
    pub few: bool,
}

/// The room for a new batch.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct RoomReport {
    pub keeps_days: u32,
    pub eaten_by_then: u32,
    pub waiting: u32,
    pub cubes: u32,
}

impl CookNextReport {
    /// Builds the report for a day; a new batch keeps for `keeps_days` days.
    pub fn new(next: &CookNext, day: Date, keeps_days: u32) -> Self {
        let children = next.known_foods.iter().map(|known| KnownFoodsLine {
            child: known.child.clone(),
            known_foods: known.foods,
            few: known.foods < FEW_FOODS,
        });
        let mut objections = distinct(next.recipes.iter().flat_map(|one| &one.objections));
        gravest_first(&mut objections);
        Self {
            schema: 1,
            day,
            pace: PaceReport::of(&next.forecast),
            children: children.collect(),
            room: next.room.map(|room| RoomReport {
                keeps_days,
                eaten_by_then: room.eaten_by_then,
                waiting: room.waiting,
                cubes: room.cubes,
            }),
            recipes: next.recipes.clone(),
            objections,
        }
    }

    /// As text.
    pub fn render(&self, look: Look) -> String {
        let mut page = Page::new(look);
        if let Some(room) = self.room {
            page.paragraph(&format!(
                "There is room for {}: a batch cooked on {} keeps {} days; {} can be eaten by then, and {} that {} come first.",
                counted(room.cubes, "cube"),
                words::day(self.day),
                room.keeps_days,
                counted(room.eaten_by_then, "cube"),
                room.waiting,
                if self.pace.planned_until.is_some() {
                    "lie in the freezer or are planned"
                } else {
                    "lie in the freezer"
                },
            ));
        }
        page.paragraph(&format!("Pace: {}.", self.pace.words()));
        if self.room.is_none() {
            page.remark(Remark::with(
                "How much to cook needs a pace",
                NextStep::SayPace,
            ));
        }
        for known in self.children.iter().filter(|known| known.few) {
            page.paragraph(&format!(
                "{} knows {} so far: cook one or two flavours, and small batches (common \
                 practice, no source).",
                known.child,
                counted(known.known_foods, "food")
            ));
        }
        for recipe in &self.recipes {
            let grave: Vec<Objection> = recipe
                .objections
                .iter()
                .filter(|one| one.bars_a_plan())
                .cloned()
                .collect();
            if !grave.is_empty() {
                page.line(&format!("{}:", recipe.name));
                objection_list(&mut page, &grave);
            }
        }
        if !self.recipes.is_empty() {
            page.line("");
            page.table(
                ["", "in the freezer", "a batch makes", "fits"],
                self.recipes.iter().map(cells),
                &[1, 2, 3],
            );
        }
        page.finish()
    }
}

fn cells(next: &NextRecipe) -> [String; 4] {
    [
        next.name.clone(),
        next.left.to_string(),
        format!("{:.0}", next.makes.floor()),
        format!("{:.2} times", next.factor),
    ]
}
