//! The shopping list as a page: a row for each food, and the evidence.

use jiff::civil::Date;

use super::food_facts::buying;
use super::number::kitchen_mass;
use super::objections::objection_list;
use super::plan::{short_name, wrapped};
use super::shop_sentences::short_of;
use super::text::{Look, Page};
use crate::buying::{ORGANIC_SAID, RESIDUE_SAID, Residues, WASHING_SAID};
use crate::cost::Money;
use crate::next_step::NextStep;
use crate::planning::shop::{Item, ShoppingList};
use crate::safety::Objection;
use crate::words::{self, capital, joined};

/// The width of all columns but the names and the last.
const OTHER_COLUMNS: usize = 34;
/// The least width of the column of names.
const NARROWEST: usize = 16;

/// The limits of the list, printed below it.
pub const CUPBOARD: &str = "What is still in the cupboard is not known here: take off what you have. Refuse is \
     counted in; a pack and its price are as you bought it last.";

/// What residues mean, washing and organic food do, and where the counts come from.
pub const RESIDUES_SAID: [&str; 4] = [RESIDUE_SAID, WASHING_SAID, ORGANIC_SAID, Residues::SOURCE];

/// The shopping list of some days.
#[derive(Debug)]
pub struct ShopPage<'a> {
    /// The list.
    pub list: &'a ShoppingList,
    /// The objections to the meals and batches on the list, the gravest first.
    pub objections: &'a [Objection],
    /// The first day it is for.
    pub from: Date,
    /// The last day.
    pub to: Date,
    /// The currency of every price.
    pub currency: &'a str,
    /// The month in which it is bought, 1 to 12.
    pub month: u32,
    /// Whether the figures behind each food are shown too.
    pub why: bool,
}

impl ShopPage<'_> {
    /// The page as text.
    pub fn render(&self, look: Look) -> String {
        let mut page = Page::new(look);
        objection_list(&mut page, self.objections);
        if self.list.shelves.is_empty() {
            page.paragraph(&format!(
                "Nothing is to be bought from {}: no cooking and no food from the table is \
                 planned; {}.",
                words::days(self.from, self.to),
                (look.step)(&NextStep::PlanCooking)
            ));
            return page.finish();
        }
        page.heading(&format!(
            "TO BUY FOR {}, {}",
            words::days(self.from, self.to),
            self.currency
        ));
        let column = self.column(look).max(NARROWEST);
        let mut rows = Vec::new();
        for shelf in &self.list.shelves {
            rows.push(vec![shelf.name.to_uppercase()]);
            rows.extend(shelf.items.iter().map(|item| self.row(item, column)));
        }
        page.table(["", "needed", "buy", "cost", "for"], rows, &[1, 3]);
        page.line("");
        page.paragraphs(self.seasons().into_iter().chain(self.ticks()));
        page.remark(self.in_all());
        page.paragraphs(self.to_mind());
        page.paragraph(CUPBOARD);
        if self.why {
            self.evidence(&mut page);
        }
        page.finish()
    }

    /// A food, with a sign before it where any of the list is ticked off.
    fn row(&self, item: &Item, column: usize) -> Vec<String> {
        let season = match item.in_season(self.month) {
            Some(true) => '*',
            Some(false) => '+',
            None => ' ',
        };
        let [name, needed, buy, cost, used_for] = Self::cells(item);
        let (sign, indent) = match (self.any_ticked(), item.ticked()) {
            (false, _) => ("", ""),
            (true, true) => ("x ", "  "),
            (true, false) => ("  ", "  "),
        };
        let width = column.saturating_sub(sign.len());
        let mut name = wrapped(&name, season, width);
        if let Some(prices) = Self::fresh_and_frozen(item) {
            name.extend(wrapped(&prices, ' ', width));
        }
        let name = format!("{sign}{}", name.join(&format!("\n{indent}")));
        vec![name, needed, buy, cost, used_for]
    }

    /// Each food with its storage, season, usual price and residues.
    fn evidence(&self, page: &mut Page) {
        for (name, lines) in self.facts() {
            page.listed(&name, lines);
        }
        if self
            .list
            .items()
            .any(|item| !item.facts.residues.is_empty())
        {
            page.heading("Residues");
            page.paragraphs(RESIDUES_SAID);
        }
    }

    /// The lines about buying each food, by its name; foods without any are left out.
    pub fn facts(&self) -> Vec<(String, Vec<String>)> {
        let facts = self.list.items().map(|item| {
            let entry = buying(&item.facts, Some(self.month));
            let mut lines = entry.lines();
            lines.extend(entry.residue_lines());
            (capital(&short_name(&item.name)), lines)
        });
        facts.filter(|(_, lines)| !lines.is_empty()).collect()
    }

    /// The cells of a food: name, amount needed, what to buy, cost, and the meals or batches it is for.
    pub fn cells(item: &Item) -> [String; 5] {
        [
            short_name(&item.name),
            format!("{:.0} g", item.needed.grams()),
            bought(item),
            item.cost().map_or_else(|| "?".to_string(), Money::shown),
            item.used_for.join(", "),
        ]
    }

    /// The width that is left for the names of foods.
    fn column(&self, look: Look) -> usize {
        let recipes = self.list.items().flat_map(|item| &item.used_for);
        let longest = recipes.map(|name| name.chars().count()).max();
        usize::from(look.width).saturating_sub(OTHER_COLUMNS + longest.unwrap_or(0))
    }

    /// The legend of the season marks; `None` where no food has one.
    fn seasons(&self) -> Option<String> {
        let any = |wanted| {
            let mut items = self.list.items();
            items.any(|item| item.in_season(self.month) == Some(wanted))
        };
        let words = [(any(true), "* in season"), (any(false), "+ out of season")];
        let shown = words.iter().filter(|(any, _)| *any);
        let shown = joined(shown.map(|(_, words)| *words), ", ");
        (!shown.is_empty()).then(|| format!("{shown} by {}", self.season_sources()))
    }

    fn any_ticked(&self) -> bool {
        self.list.items().any(Item::ticked)
    }

    /// The legend of the ticks, and a sentence for each food of which more is needed than was ticked off.
    fn ticks(&self) -> Vec<String> {
        let any = self.any_ticked().then(|| "x ticked off".to_string());
        any.into_iter()
            .chain(self.list.items().filter_map(short_of))
            .collect()
    }
}

/// `2 x 907 g`, or a mass where no pack is known.
fn bought(item: &Item) -> String {
    match &item.packs {
        None => kitchen_mass(item.buy),
        Some(packs) => format!("{} x {:.0} g", packs.count, packs.last.mass.grams()),
    }
}
