//! The shopping list as a page, as CSV and as JSON.

use std::fmt::Write as _;

use crate::next_step::{NextStep, Remark};
use jiff::civil::Date;
use serde::Serialize;

use super::cell::cell;
use super::food_facts::{BuyingEntry, buying};
use super::number::kitchen_mass;
use super::objections::objection_list;
use super::plan::{short_name, wrapped};
use super::text::{Look, Page};
use crate::buying::{
    ORGANIC_SAID, RESIDUE_SAID, Residues, Storage, TrimmedGoods, UsPrice, WASHING_SAID,
};
use crate::cost::Money;
use crate::planning::shop::{Item, ShoppingList};
use crate::safety::Objection;
use crate::words::{self, capital, joined};

/// Letters that the columns beside the names take, but for the last.
const OTHER_COLUMNS: usize = 34;
/// The column of names is never narrower.
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
    /// The last.
    pub to: Date,
    /// Currency of every price.
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
        let legend = self.seasons().into_iter().chain(self.ticks());
        legend.for_each(|words| page.paragraph(&words));
        page.remark(self.in_all());
        for words in self.to_mind() {
            page.paragraph(&words);
        }
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
            for words in RESIDUES_SAID {
                page.paragraph(words);
            }
        }
    }

    /// What is known for buying each food, by its name; only foods of which something is.
    pub fn facts(&self) -> Vec<(String, Vec<String>)> {
        let told = self.list.items().map(|item| {
            let entry = buying(&item.facts, Some(self.month));
            let mut lines = entry.lines();
            lines.extend(entry.residue_lines());
            (capital(&short_name(&item.name)), lines)
        });
        told.filter(|(_, lines)| !lines.is_empty()).collect()
    }

    /// What is to be minded about the list: prices, what keeps shortest, refuse.
    pub fn to_mind(&self) -> Vec<String> {
        let all = [
            self.prices_said(),
            self.usual(),
            self.cook_first(),
            self.sold_trimmed(),
        ];
        all.into_iter().flatten().collect()
    }

    /// `fresh 6.80, frozen 5.17 USD a kg`, where both have a usual price.
    pub fn fresh_and_frozen(item: &Item) -> Option<String> {
        let prices = &item.facts.us_prices;
        let of = |form: &str| prices.iter().find(|price| price.form == form);
        let (fresh, frozen) = (of("fresh")?, of("frozen")?);
        Some(format!(
            "fresh {}, frozen {} {} a kg",
            fresh.usd_per_kg.shown(),
            frozen.usd_per_kg.shown(),
            UsPrice::CURRENCY
        ))
    }

    /// Whose prices fresh and frozen goods stand side by side with; `None` where none do.
    pub fn prices_said(&self) -> Option<String> {
        let mut items = self.list.items();
        items
            .any(|item| Self::fresh_and_frozen(item).is_some())
            .then(|| format!("Fresh and frozen: {}; in no sum.", UsPrice::MARK))
    }

    /// What to buy of vegetables that shops sell trimmed otherwise than the dataset counts their refuse; `None` where none is on the list.
    pub fn sold_trimmed(&self) -> Option<String> {
        let trimmed = self.list.items().filter_map(|item| {
            let goods = item.facts.trimmed.as_ref()?;
            let bought = kitchen_mass(goods.bought_for(item.edible));
            Some(format!(
                "{} hold as much, since {}",
                bought,
                goods.in_words()
            ))
        });
        let trimmed = joined(trimmed, "; ");
        (!trimmed.is_empty()).then(|| {
            format!(
                "Refuse is counted as of the whole plant: {trimmed} ({}).",
                TrimmedGoods::SOURCE
            )
        })
    }

    /// The usual prices of what has none on record, in one sentence; `None` where there are none.
    pub fn usual(&self) -> Option<String> {
        let usual = self.list.items().filter_map(|item| {
            let cost = item.usual_cost()?.shown();
            Some(format!("{} {cost}", short_name(&item.name)))
        });
        let usual = joined(usual, "; ");
        (!usual.is_empty()).then(|| {
            let currency = UsPrice::CURRENCY;
            format!(
                "Usually, {} in {currency}: {usual}. They are in no sum.",
                UsPrice::MARK
            )
        })
    }

    /// What has to be cooked within a week, the shortest first; `None` where nothing has.
    pub fn cook_first(&self) -> Option<String> {
        let first = self.list.cook_first();
        let first = first.iter().filter_map(|(item, storage)| {
            let keeps = storage.in_short()?;
            Some(format!("{} {keeps}", short_name(&item.name)))
        });
        let first = joined(first, "; ");
        (!first.is_empty()).then(|| format!("Cook first: {first} ({}).", Storage::SOURCE))
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
        let here = |wanted| {
            let mut items = self.list.items();
            items.any(|item| item.in_season(self.month) == Some(wanted))
        };
        let words = [
            (here(true), "* in season"),
            (here(false), "+ out of season"),
        ];
        let shown = words.iter().filter(|(here, _)| *here);
        let shown = joined(shown.map(|(_, words)| *words), ", ");
        (!shown.is_empty()).then(|| format!("{shown} by {}", self.season_sources()))
    }

    fn any_ticked(&self) -> bool {
        self.list.items().any(Item::ticked)
    }

    /// What is ticked off, and of what more is needed than was; nothing where nothing was.
    fn ticks(&self) -> Vec<String> {
        let any = self.any_ticked().then(|| "x ticked off".to_string());
        any.into_iter()
            .chain(self.list.items().filter_map(short_of))
            .collect()
    }

    /// Whose word the seasons of the list are.
    pub fn season_sources(&self) -> String {
        let noted = self.list.items().any(|item| !item.season.is_empty());
        let mut sources: Vec<&str> = noted.then_some("your notes").into_iter().collect();
        let of_table = self.list.items().filter(|item| item.season.is_empty());
        for season in of_table.filter_map(|item| item.facts.seasons.first()) {
            if !sources.contains(&season.source) {
                sources.push(season.source);
            }
        }
        joined(sources, ", else by ")
    }

    /// The total cost, as far as prices are known.
    pub fn in_all(&self) -> Remark {
        let unpriced: Vec<String> = self
            .list
            .unpriced()
            .map(|item| short_name(&item.name))
            .collect();
        match (self.list.cost(), unpriced.as_slice()) {
            (Some(cost), []) => format!("In all: {} {}", cost.shown(), self.currency).into(),
            (Some(cost), missing) => format!(
                "In all: at least {} {}; no price yet for {}",
                cost.shown(),
                self.currency,
                missing.join("; ")
            )
            .into(),
            (None, _) => Remark::with("No price is on record yet", NextStep::RecordPrices),
        }
    }

    /// The list as plain text to send: a line for each food, those that are ticked off marked.
    pub fn plain(&self) -> String {
        let mut text = format!("To buy, {}\n", words::days(self.from, self.to));
        for shelf in &self.list.shelves {
            let _ = write!(text, "\n{}\n", shelf.name);
            for item in &shelf.items {
                let [name, needed, buy, _, _] = Self::cells(item);
                let sign = if item.ticked() { 'x' } else { ' ' };
                let buy = if item.packs.is_some() {
                    format!(", buy {buy}")
                } else {
                    String::new()
                };
                let name = capital(&name);
                let _ = writeln!(text, "[{sign}] {name}: {needed}{buy}");
            }
        }
        text
    }

    /// The list as CSV, a row for each food; a cost that is not known is empty.
    pub fn csv(&self) -> Result<String, csv::Error> {
        let mut csv = csv::Writer::from_writer(Vec::new());
        csv.write_record([
            "shelf", "food", "name", "needed_g", "buy_g", "packs", "pack_g", "cost", "currency",
            "for", "ticked",
        ])?;
        for shelf in &self.list.shelves {
            for item in &shelf.items {
                let pack = item.packs.as_ref();
                csv.write_record([
                    shelf.name,
                    item.food.as_str(),
                    &cell(&item.name),
                    &item.needed.grams().to_string(),
                    &item.buy.grams().to_string(),
                    &pack.map_or_else(String::new, |pack| pack.count.to_string()),
                    &pack.map_or_else(String::new, |pack| pack.last.mass.grams().to_string()),
                    &item
                        .cost()
                        .map_or_else(String::new, |cost| cost.to_string()),
                    &cell(self.currency),
                    &cell(&item.used_for.join(" ")),
                    if item.ticked() { "yes" } else { "" },
                ])?;
            }
        }
        let bytes = csv.into_inner().map_err(csv::IntoInnerError::into_error)?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }
}

/// The sentence on a food that was ticked off and of which more is needed by now.
pub fn short_of(item: &Item) -> Option<String> {
    let left = kitchen_mass(item.short_of()?);
    let name = capital(&short_name(&item.name));
    Some(format!(
        "{name}: ticked off, but more is needed by now than the {left} that are left"
    ))
}

/// `2 x 907 g`, or a mass where no pack is known.
fn bought(item: &Item) -> String {
    match &item.packs {
        None => kitchen_mass(item.buy),
        Some(packs) => format!("{} x {:.0} g", packs.count, packs.last.mass.grams()),
    }
}

/// The list for other programs.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct ShopReport {
    pub schema: u32,
    pub from: String,
    pub to: String,
    pub currency: String,
    pub objections: Vec<Objection>,
    pub shelves: Vec<ShelfReport>,
    /// The cost of the foods with a price; `null` where no food has one.
    pub cost: Option<Money>,
    pub complete: bool,
    /// Ids of the foods without a price.
    pub unpriced: Vec<String>,
    /// Ids of the foods to be cooked within a week, those that keep shortest first.
    pub cook_first: Vec<String>,
}

#[derive(Debug, Clone, Serialize)]
pub struct ShelfReport {
    pub name: &'static str,
    pub items: Vec<ItemReport>,
}

/// Masses are as bought, refuse included.
#[derive(Debug, Clone, Serialize)]
pub struct ItemReport {
    pub food: String,
    pub name: String,
    pub needed_g: f64,
    pub buy_g: f64,
    pub packs: Option<u32>,
    pub pack_g: Option<f64>,
    pub cost: Option<Money>,
    pub in_season: Option<bool>,
    /// What it usually costs, where no purchase is on record: in no sum.
    pub usual_cost: Option<Money>,
    pub buying: BuyingEntry,
    #[serde(rename = "for")]
    pub used_for: Vec<String>,
    /// Whether it was ticked off, and enough of it is left.
    pub ticked: bool,
    /// What is left of what was ticked off.
    pub at_hand_g: f64,
}

impl ShopReport {
    /// Builds the report of a list.
    pub fn new(page: &ShopPage<'_>) -> Self {
        let unpriced: Vec<String> = page
            .list
            .unpriced()
            .map(|item| item.food.to_string())
            .collect();
        let item = |item: &Item| ItemReport {
            food: item.food.to_string(),
            name: item.name.clone(),
            needed_g: item.needed.grams(),
            buy_g: item.buy.grams(),
            packs: item.packs.as_ref().map(|packs| packs.count),
            pack_g: item.packs.as_ref().map(|packs| packs.last.mass.grams()),
            cost: item.cost(),
            in_season: item.in_season(page.month),
            usual_cost: item.usual_cost(),
            buying: buying(&item.facts, Some(page.month)),
            used_for: item.used_for.clone(),
            ticked: item.ticked(),
            at_hand_g: item.at_hand.grams(),
        };
        let shelves = page.list.shelves.iter().map(|shelf| ShelfReport {
            name: shelf.name,
            items: shelf.items.iter().map(item).collect(),
        });
        Self {
            schema: 1,
            from: page.from.to_string(),
            to: page.to.to_string(),
            currency: page.currency.to_string(),
            objections: page.objections.to_vec(),
            shelves: shelves.collect(),
            cost: page.list.cost(),
            complete: unpriced.is_empty(),
            unpriced,
            cook_first: page
                .list
                .cook_first()
                .iter()
                .map(|(item, _)| item.food.to_string())
                .collect(),
        }
    }
}
