//! What is known of a food beside its values, as JSON and in words, which are the same on a page and in the terminal.

use data_import::{Food, FoodId, NutrientId};
use serde::Serialize;

use super::food::{FoodReport, GoodFor};
use super::number::{decimals, percent, unbroken};
use super::plan::short_name;
use crate::buying::{BuyingFacts, Residues, Season, Storage, TrimmedGoods, UsPrice};
use crate::combine::{LEAST_ENERGY, Lack};
use crate::cooking::Method;
use crate::household::{Complement, FoodPortion, PortionMeasure, RecipeWithFood};
use crate::notebook::Takings;
use crate::nutrition::reading::why_no_reference;
use crate::nutrition::{AgeMonths, IntakeTable};
use crate::words::{capital, counted, joined, lower};

/// The most nutrients that the line about a food names.
const GOOD_TOLD: usize = 4;

/// How much of a food a baby eats at a meal.
#[derive(Debug, Clone, Serialize)]
pub struct EatenEntry {
    pub grams: f64,
    /// `a teaspoon of it (4.5 g)`.
    pub words: String,
    pub method: Option<&'static str>,
    pub energy_kcal: Option<f64>,
    pub iron_mg: Option<f64>,
    /// The share of a day's reference intake.
    pub iron_percent: Option<f64>,
}

impl EatenEntry {
    pub(super) fn new(
        portion: &FoodPortion,
        food: &Food,
        (intakes, age): (&IntakeTable, AgeMonths),
    ) -> Self {
        let iron = portion.amount(food, NutrientId::IRON);
        let wanted = intakes.intake(NutrientId::IRON, age);
        Self {
            iron_mg: iron,
            iron_percent: iron
                .zip(wanted)
                .map(|(iron, wanted)| iron / wanted.amount * 100.0),
            grams: portion.mass.grams(),
            words: portion_words(portion),
            method: portion.method.map(Method::word),
            energy_kcal: portion.amount(food, NutrientId::ENERGY),
        }
    }
}

/// Something that a food lacks.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct LackEntry {
    pub lack: &'static str,
    pub why: String,
    pub foods: Vec<NamedFood>,
}

/// A food by id and name.
#[derive(Debug, Clone, Serialize)]
pub struct NamedFood {
    pub food: FoodId,
    pub name: String,
}

/// A recipe of the household with the food.
#[derive(Debug, Clone, Serialize)]
pub struct RecipeEntry {
    pub recipe: String,
    pub title: String,
    pub meals: u32,
    #[serde(flatten)]
    pub takings: Takings,
}

/// Figures for the shop, each with its source.
#[derive(Debug, Clone, Serialize)]
pub struct BuyingEntry {
    pub storage: Option<Storage>,
    pub storage_source: Option<&'static str>,
    pub seasons: Vec<Season>,
    /// Whether the food is in season this month; `null` where that is not known.
    pub in_season: Option<bool>,
    pub residues: Vec<Residues>,
    pub residues_source: Option<&'static str>,
    /// The price of the food, then those of its other forms; empty in a book of other money.
    pub us_prices: Vec<UsPrice>,
    pub us_prices_source: Option<&'static str>,
    /// The share that is eaten of it as shops sell it, where the dataset counts refuse otherwise.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trimmed: Option<TrimmedGoods>,
}

/// What a food or a purée lacks, and the foods that bring it.
pub fn lack(complement: &Complement) -> LackEntry {
    LackEntry {
        lack: complement.lack.word(),
        why: why(complement.lack),
        foods: complement
            .foods
            .iter()
            .map(|(food, name)| NamedFood {
                food: food.clone(),
                name: name.clone(),
            })
            .collect(),
    }
}

pub(super) fn recipe(known: &RecipeWithFood) -> RecipeEntry {
    RecipeEntry {
        recipe: known.name.clone(),
        title: known.title.clone(),
        meals: known.takings.meals(),
        takings: known.takings,
    }
}

/// The figures for the shop; `month` is that of the household, 1 to 12, and `None` where its country is not known.
pub(super) fn buying(facts: &BuyingFacts, month: Option<u32>) -> BuyingEntry {
    let season = facts.seasons.first();
    BuyingEntry {
        storage_source: facts.storage.as_ref().map(|_| Storage::SOURCE),
        storage: facts.storage.clone(),
        in_season: season.zip(month).map(|(season, month)| season.holds(month)),
        seasons: facts.seasons.clone(),
        residues_source: facts.residues.first().map(|_| Residues::SOURCE),
        residues: facts.residues.clone(),
        us_prices_source: facts.us_prices.first().map(|_| UsPrice::SOURCE),
        us_prices: facts.us_prices.clone(),
        trimmed: facts.trimmed.clone(),
    }
}

/// `two cubes of it, steamed (58 g)`, `a teaspoon of it (4.5 g)`.
fn portion_words(portion: &FoodPortion) -> String {
    let grams = portion.mass.grams();
    let mass = format!("{} g", decimals(grams, u8::from(grams < 9.95)));
    let cooked = portion.method.map_or("", cooked);
    match portion.measure {
        PortionMeasure::TwoCubes if portion.method.is_none() => {
            format!("two cubes of it as it stands ({mass})")
        }
        PortionMeasure::TwoCubes => format!("two cubes of it{cooked} ({mass})"),
        PortionMeasure::ShareOfTwoCubes(share) => format!(
            "{mass} of it{cooked}, {} of two cubes",
            percent(share * 100.0)
        ),
        PortionMeasure::Teaspoon => format!("a teaspoon of it ({mass})"),
        PortionMeasure::Pinch => format!("a pinch of it ({mass})"),
        PortionMeasure::Dry => format!("{mass} of it, dry"),
    }
}

fn cooked(method: Method) -> &'static str {
    match method {
        Method::Steam => ", steamed",
        Method::Boil => ", boiled",
        Method::Simmer => ", simmered",
        Method::Stew => ", stewed",
        Method::Bake => ", baked",
        Method::Roast => ", roasted",
        Method::Saute => ", sautéed",
        Method::Microwave => ", from the microwave",
        Method::Pressure => ", from the pressure cooker",
        Method::None => "",
    }
}

/// Why other foods go with a food that lacks a nutrient.
fn why(lack: Lack) -> String {
    match lack {
        Lack::Energy(density) => format!(
            "thin, {} kcal a gram ({LEAST_ENERGY} and more fills less with water)",
            decimals(density, 2)
        ),
        Lack::Iron(iron) => format!("little iron, {} mg in 100 g", decimals(iron, 1)),
        Lack::VitaminC(iron, ratio, wanted) => format!(
            "little vitamin C beside its iron of {} mg in 100 g: {} molecules to each of iron, {wanted} help it",
            decimals(iron, 1),
            decimals(ratio, 1)
        ),
        Lack::PlantIron(vitamin_c) => format!(
            "its vitamin C, {} mg in 100 g, helps the iron of plants",
            decimals(vitamin_c, 0)
        ),
        Lack::Fat(_) => "its carotenoids need a little fat at the same meal".to_string(),
        Lack::Lysine(held) => format!(
            "its protein has {} mg lysine a gram, 57 are wanted",
            decimals(held, 0)
        ),
        Lack::Sulphur(held) => format!(
            "its protein has {} mg methionine and cystine a gram, 28 are wanted",
            decimals(held, 0)
        ),
    }
}

impl NamedFood {
    /// The name in short.
    pub fn short(&self) -> String {
        let before_brackets = self.name.split(" (").next();
        short_name(before_brackets.unwrap_or(&self.name))
    }
}

impl LackEntry {
    /// `little iron, 0.3 mg in 100 g: beef, lentils, tofu`.
    pub fn in_words(&self) -> String {
        let foods = self.foods.iter().map(NamedFood::short);
        format!("{}: {}", self.why, joined(foods, "; "))
    }
}

impl RecipeEntry {
    /// `Butternut: eaten 5 times, not eaten once`.
    pub fn in_words(&self) -> String {
        if self.meals == 0 {
            return format!("{}: not given yet", self.title);
        }
        format!("{}: {}", self.title, self.takings.in_words())
    }
}

impl BuyingEntry {
    /// One sentence to each figure, with its source.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        if let Some(storage) = &self.storage {
            lines.push(format!(
                "Keeps: {} ({}; {})",
                storage.in_words(),
                storage.called,
                Storage::SOURCE
            ));
        }
        for season in &self.seasons {
            let now = match self.in_season {
                Some(true) => "; now",
                Some(false) => "; not now",
                None => "",
            };
            lines.push(format!(
                "{}{now} ({})",
                capital(&season.in_words()),
                season.source
            ));
        }
        if let Some(first) = self.us_prices.first() {
            let prices = self.us_prices.iter().map(UsPrice::in_words);
            lines.push(format!(
                "Usual price of {}: {} ({}; {})",
                first.called,
                joined(prices, ", "),
                UsPrice::MARK,
                UsPrice::SOURCE
            ));
        }
        if let Some(trimmed) = &self.trimmed {
            lines.push(format!(
                "Refuse: {} ({}); the dataset counts otherwise",
                trimmed.in_words(),
                TrimmedGoods::SOURCE
            ));
        }
        lines
    }

    /// Residues, a line for each form.
    pub fn residue_lines(&self) -> Vec<String> {
        let lines = self.residues.iter();
        lines
            .map(|residues| capital(&residues.in_words()))
            .collect()
    }
}

impl FoodReport {
    /// Why the food is good at this age: one line of figures for the amount that is eaten of it.
    pub fn why_good(&self) -> String {
        let mut figures: Vec<String> = Vec::new();
        if let Some(energy) = self.eaten.energy_kcal {
            figures.push(format!("{} kcal", decimals(energy, 0)));
        }
        if let Some((iron, share)) = self.eaten.iron_mg.zip(self.eaten.iron_percent) {
            let (iron, share) = (decimals(iron, 1), percent(share));
            figures.push(unbroken(&format!("iron {iron} mg ({share})")));
        }
        // The nutrients that are looked at first come first; iron is in the line already.
        let mut good: Vec<&GoodFor> = self.good_for.iter().collect();
        good.retain(|good| good.id != "FE");
        good.sort_by_key(|good| !good.first);
        let figure = |good: &&GoodFor| {
            let share = unbroken(&percent(good.percent));
            format!("{} {share}", lower(good.plain))
        };
        figures.extend(good.iter().take(GOOD_TOLD).map(figure));
        let more = match good.len().saturating_sub(GOOD_TOLD) {
            0 => String::new(),
            more => format!(", and {more} more above 10 %"),
        };
        let eaten = capital(&self.eaten.words);
        if self.good_for.is_empty() {
            let nothing = self.good_for_nothing();
            return match joined(&figures, ", ") {
                none if none.is_empty() => format!("{eaten}. {nothing}"),
                figures => format!("{eaten}: {figures}. {nothing}"),
            };
        }
        format!(
            "{eaten}: {} of a day's reference intake{more}.",
            joined(figures, ", ")
        )
    }

    /// The reason for an empty list of nutrients that the food is good for.
    pub fn good_for_nothing(&self) -> String {
        let beyond = why_no_reference(AgeMonths(self.age_months));
        beyond.map_or_else(
            || "That is no tenth of any reference intake.".to_string(),
            String::from,
        )
    }

    /// The nutrients that it is good for: name, amount, and share of the reference intake.
    pub fn good_for_rows(&self) -> Vec<[String; 3]> {
        let row = |good: &GoodFor| {
            let held = decimals(good.per_eaten, good.decimals);
            let share = percent(good.percent);
            [
                good.plain.to_string(),
                format!("{held} {}", good.unit),
                format!("{share} of {} {} ({})", good.amount, good.unit, good.kind),
            ]
        };
        self.good_for.iter().map(row).collect()
    }

    /// `Carrot, in 214 recipes: with celery in 76 (8 books), turnip in 73 (6 books)`; `None` where
    /// the books have too little.
    pub fn cooked_together_line(&self) -> Option<String> {
        let counts = self.cooked_together.as_ref()?;
        let with = counts.with.iter().map(|met| {
            let books = counted(met.books, "book");
            format!("{} in {} ({books})", met.word, met.recipes)
        });
        let recipes = counted(counts.recipes, "recipe");
        let head = match &counts.as_for {
            None => format!("{}, in {recipes}", capital(&counts.word)),
            Some(kin) => format!("As for {kin}, in {recipes}"),
        };
        Some(format!("{head}: with {}.", joined(with, ", ")))
    }
}

/// The source of the counts of cookery books, and what they do not say.
pub const COOKERY_SAID: &str = "Counted in 5447 recipes of ten books of before 1930. A food that is not named here was only not written about.";
