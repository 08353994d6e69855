//! A batch in words that are the same at a terminal, on the page and on paper.

use data_import::NutrientId;

use super::batch::{BatchReport, Figures, IngredientReport};
use super::interval::Fineness;
use super::number::{
    decimals, decimals_beside, kitchen_mass, kitchen_volume, percent, percent_beside, unbroken,
    whole_grams,
};
use crate::cooking::{Method, PracticeTable, State};
use crate::nutrition::reading::NO_REFERENCE;
use crate::nutrition::{AgeMonths, Complementary};
use crate::portion::Target;
use crate::quantity::{Mass, Volume};
use crate::recipe::{Basis, Batch};
use crate::safety::{Caution, DEFER};
use crate::words::{counted, grouped, joined};

/// Meals a day that the least energy density is looked up for (judgement).
const MEALS: u32 = 3;

impl BatchReport {
    /// `31 cubes`.
    pub fn cubes_made(&self) -> String {
        counted(self.cubes.whole, "cube")
    }

    /// `31 cubes of 29.0 g (28.5 ml)`.
    pub fn makes(&self) -> String {
        let (grams, ml) = (self.cubes.cube_g, self.cubes.cube_ml);
        let each = format!("{} g ({} ml)", decimals(grams, 1), decimals(ml, 1));
        format!("{} of {}", self.cubes_made(), unbroken(&each))
    }

    /// The purée that fills no cube; `None` where it is a negligible amount.
    pub(super) fn left_over(&self) -> Option<String> {
        let rest = self.cubes.leftover_g;
        (rest >= 0.5).then(|| whole_grams(Mass::from_grams(rest)))
    }

    /// `1 full tray and 5 wells more of 16 wells`.
    pub(super) fn wells(&self) -> String {
        let (trays, wells) = (self.trays(), self.cubes.wells);
        format!("{trays} of {}", counted(wells, "well"))
    }

    /// `1 full tray and 5 wells more`.
    pub fn trays(&self) -> String {
        let wells = self.cubes.wells;
        let (full, rest) = (self.cubes.whole / wells, self.cubes.whole % wells);
        match (counted(full, "full tray"), full, rest) {
            (_, 0, rest) => format!("{} of one tray", counted(rest, "well")),
            (trays, _, 0) => trays,
            (trays, _, rest) => format!("{trays} and {} more", counted(rest, "well")),
        }
    }

    /// The wells that are filled, and how much purée that takes.
    pub fn filled(&self) -> String {
        let left = self.left_over();
        let left = left.map_or_else(String::new, |rest| format!(", {rest} left over"));
        let puree = decimals(self.mass.puree.grams(), 0);
        format!("{}{left}; {puree} g of purée in all", self.wells())
    }

    /// `2 cubes, warmed`.
    pub fn served(&self) -> String {
        let warmed = if self.serving.reheat { ", warmed" } else { "" };
        counted(self.serving.cubes, "cube") + warmed
    }

    /// Energy in a gram.
    pub fn energy(&self) -> String {
        let density = self.energy_density_kcal_per_g;
        density.map_or_else(
            || "not known".into(),
            |density| unbroken(&format!("{} kcal per g", decimals(density, 2))),
        )
    }

    /// The share of dry matter.
    pub fn dry(&self) -> String {
        let water = self.figures(NutrientId::WATER).filter(|one| one.complete);
        let water = water.and_then(|water| water.per_100g);
        water.map_or_else(|| "not known".into(), |water| percent(100.0 - water))
    }

    /// Iron in a cube.
    pub fn iron(&self) -> String {
        let iron = self.figures(NutrientId::IRON);
        iron.map_or_else(|| "not known".into(), |iron| iron.shown(iron.per_cube))
    }

    /// The summary that is announced when the figures of a form have changed.
    pub fn at_a_glance(&self) -> String {
        let (makes, energy, iron) = (self.makes(), self.energy(), self.iron());
        format!("{makes}. Energy density {energy}. Iron in a cube {iron}.")
    }

    pub(super) fn figures(&self, nutrient: NutrientId) -> Option<&Figures> {
        let mut all = self.nutrients.iter();
        all.find(|one| one.total.nutrient.id == nutrient)
    }

    /// The nutrients that are shown, in the order in which they are looked at.
    pub(super) fn chosen(&self, all: bool) -> Vec<&Figures> {
        let order = |one: &Figures| one.total.nutrient.default_order;
        let chosen = self.nutrients.iter();
        let mut chosen: Vec<_> = chosen.filter(|one| all || order(one).is_some()).collect();
        chosen.sort_by_key(|one| (order(one).is_none(), order(one)));
        chosen
    }

    /// A nutrient, in a cube, in a serving, and its share of a day's; a dash where there is nothing to share.
    pub(super) fn nutrient_row(&self, one: &Figures) -> [String; 4] {
        let none = self.age_band.map_or(NO_REFERENCE, |_| "-");
        [
            one.total.nutrient.plain.clone(),
            one.shown(one.per_cube),
            one.served_range(),
            one.share().unwrap_or_else(|| none.into()),
        ]
    }

    /// The dozen nutrients that are looked at first.
    pub fn nutrient_rows(&self) -> Vec<[String; 4]> {
        let chosen = self.chosen(false).into_iter();
        chosen.map(|one| self.nutrient_row(one)).collect()
    }

    /// Whether a mass of an ingredient is an estimate.
    pub fn estimated(&self) -> bool {
        self.ingredients.iter().any(|one| one.estimated)
    }

    /// Nutrients whose total lacks a value, under the foods that have none, each group of foods once.
    pub fn missing_lines(&self) -> Vec<String> {
        let lacking = self.nutrients.iter().filter(|one| !one.complete);
        let lacking = lacking.map(|one| (&one.missing, &one.total.nutrient.plain));
        let line = |(foods, names): (&Vec<String>, _)| {
            format!("{}: {}", self.named(foods), joined(names, "; "))
        };
        grouped(lacking).into_iter().map(line).collect()
    }

    /// Foods by their names.
    pub(super) fn named(&self, foods: &[String]) -> String {
        let name = |id: &String| {
            let one = self.ingredients.iter().find(|one| one.food == *id);
            one.map_or_else(|| format!("the water ({id})"), |one| one.name.clone())
        };
        joined(foods.iter().map(name), " and ")
    }

    /// Nutrients of which one serving is more than the upper level of a day.
    pub fn above_upper(&self) -> Vec<String> {
        let line = |one: &Figures| {
            let upper = one.upper.as_ref()?;
            let share = upper.percent.filter(|share| *share > 100.0)?;
            let share = percent_beside(share, 100.0);
            Some(format!(
                "{}: one serving is {} of the upper level for a day, {} {} ({}). Fewer cubes, less often; ask the \
                 paediatrician.",
                one.total.nutrient.plain, share, upper.amount, one.unit, upper.counts
            ))
        };
        self.nutrients.iter().filter_map(line).collect()
    }

    /// The cautions, without the one that defers to others.
    pub fn cautions(&self) -> impl Iterator<Item = &Caution> {
        self.cautions.iter().filter(|caution| caution.id != DEFER)
    }

    /// The advice to follow the child's own doctor before anything printed here.
    pub fn defer(&self) -> &str {
        let last = self.cautions.iter().find(|caution| caution.id == DEFER);
        last.map_or("", |caution| &caution.text)
    }

    /// The scaling of the recipe, as a sentence; `None` for a recipe that is cooked as written.
    pub(super) fn scaled(&self, target: &Target) -> Option<String> {
        let goal = match target {
            Target::AsWritten => return None,
            Target::Trays(n) => format!("to fill {}", counted(*n, "tray")),
            Target::Cubes(n) => format!("to make {}", counted(*n, "cube")),
            Target::Servings(n) => format!("to make {}", counted(*n, "serving")),
            Target::UseUp { food, pack } => format!("to use up {} of {food}", kitchen_mass(*pack)),
        };
        let times = decimals(self.factor, 2);
        Some(format!(
            "The recipe {times} times, {goal}; amounts rounded to the gram."
        ))
    }

    /// The sources of the figures: datasets, yields, retention factors, reference intakes.
    pub(super) fn figure_sources(&self) -> [String; 4] {
        let foods = self.ingredients.iter().map(|one| one.source.as_str());
        let mut foods: Vec<_> = foods.collect();
        foods.sort_unstable();
        foods.dedup();
        [
            format!("food composition: {}", joined(foods, "; ")),
            "nutrient retention: USDA Table of Nutrient Retention Factors, Release 6 (2007)".into(),
            "reference intakes: NASEM Dietary Reference Intakes".into(),
            "density: Choi and Okos (1986)".into(),
        ]
    }
}

impl Figures {
    /// How finely its amounts and their shares are shown.
    pub(super) fn fineness(&self) -> Fineness {
        Fineness::of_report(self.interval.as_ref(), self.complete)
    }

    pub(super) fn shown(&self, value: Option<f64>) -> String {
        unbroken(&self.fineness().amount(value, self.total.nutrient))
    }

    /// The amount of a serving with both its ends: `1.0 mg (0.7 to 1.5)`.
    pub(super) fn served_range(&self) -> String {
        let shown = self.shown(self.per_serving);
        let ends = self.fineness().ends(self.per_serving);
        joined([Some(shown), ends].into_iter().flatten(), " ")
    }

    /// The share of a reference intake, if it is known.
    pub(super) fn known_share(&self) -> Option<f64> {
        let share = self.reference.as_ref()?.percent?;
        (self.complete || share > 0.0).then_some(share)
    }

    /// `7.6 % of 11 mg (AI)`; `None` without a reference.
    pub(super) fn share(&self) -> Option<String> {
        let reference = self.reference.as_ref()?;
        let whole = format!("{} {} ({})", reference.amount, self.unit, reference.kind);
        Some(self.fineness().share_of(reference.percent, &whole))
    }
}

impl IngredientReport {
    /// What to weigh out, in the basis of the recipe, which is named where it is not the `common` one.
    pub(super) fn weigh_out(&self, common: Option<Basis>) -> String {
        let mass = match self.basis {
            Basis::Purchased => self.bought(),
            Basis::Edible => self.trimmed(),
        };
        if self.is_all_eaten() || common == Some(self.basis) {
            return mass;
        }
        format!("{mass} {}", basis_words(self.basis))
    }

    /// Whether nothing of it is thrown away.
    pub(super) fn is_all_eaten(&self) -> bool {
        (self.purchased_g - self.edible_g).abs() < 0.5
    }

    /// As bought, in both systems.
    pub(super) fn bought(&self) -> String {
        unbroken(&kitchen_mass(Mass::from_grams(self.purchased_g)))
    }

    /// The mass after trimming, in both systems of units.
    pub(super) fn trimmed(&self) -> String {
        unbroken(&kitchen_mass(Mass::from_grams(self.edible_g)))
    }

    /// As bought, after trimming, and about what becomes of it; the last is marked where it is an estimate.
    pub fn masses(&self) -> [String; 3] {
        let cooked = whole_grams(Mass::from_grams(self.cooked_g));
        let grams = |grams| whole_grams(Mass::from_grams(grams));
        // Pounds stand beside the mass that the recipe weighs.
        let [bought, trimmed] = match self.basis {
            Basis::Purchased => [self.bought(), grams(self.edible_g)],
            Basis::Edible => [grams(self.purchased_g), self.trimmed()],
        };
        [
            bought,
            trimmed,
            cooked + if self.estimated { "\u{a0}~" } else { "" },
        ]
    }

    /// The cooking method, and the state the food is in unless it is raw.
    pub fn cook(&self) -> String {
        let method = cook_words(self.method);
        match (self.method, self.state) {
            ("none", _) | (_, State::Raw) => method.into(),
            (_, state) if state.is_ready() => format!("warm ({state})"),
            (_, state) => format!("{method} from {state}"),
        }
    }
}

/// What to do to cook by a method, by its word in the tables.
pub(super) fn cook_words(method: &'static str) -> &'static str {
    match method {
        "none" => "as it is",
        "pressure" => "pressure-cook",
        "saute" => "sauté",
        method => method,
    }
}

/// What a mass counts.
pub(super) fn basis_words(basis: Basis) -> &'static str {
    match basis {
        Basis::Purchased => "as bought",
        Basis::Edible => "trimmed",
    }
}

/// What to do with the liquid, a sentence each.
#[derive(Debug)]
pub(super) struct LiquidWords {
    /// How much of the cooking liquid is kept, and how much goes back in.
    pub(super) keep: String,
    /// What to do with the liquid of each pot of its own.
    pots: Vec<String>,
    /// Plain water to add.
    pub(super) add: Option<String>,
    /// What stays in the pot.
    pub(super) loss: Option<String>,
    some_kept: bool,
}

impl LiquidWords {
    pub(super) fn of(batch: &Batch) -> Self {
        let liquid = &batch.prepared.liquid;
        let some_kept = liquid.collected > Volume::ZERO;
        let pots: Vec<String> = pot_lines(batch).collect();
        let keep = if some_kept {
            format!(
                "Keep {} of the cooking liquid, blend {} of it back in ({}).",
                kitchen_volume(liquid.collected),
                kitchen_volume(liquid.returned),
                unbroken(&percent(liquid.returned_share() * 100.0)),
            )
        } else if pots.is_empty() {
            "No cooking liquid is blended back in.".into()
        } else {
            "Of the other pots no liquid is blended back in.".into()
        };
        let water = (liquid.added > Volume::ZERO).then_some(liquid.added);
        let loss = batch.prepared.expected_loss();
        Self {
            keep,
            some_kept,
            pots,
            add: water.map(|water| format!("Add {} of water.", kitchen_volume(water))),
            loss: loss
                .map(|loss| format!("{} stay in the pot and the blender.", whole_grams(loss))),
        }
    }

    /// All of it, with the rule of thumb on how much liquid makes a purée thin.
    pub(super) fn all(self, practice: &PracticeTable) -> String {
        let rule = practice.rule("liquid").filter(|_| self.some_kept);
        let words = [
            Some(self.keep),
            rule.map(|rule| rule.text.clone()),
            Some(joined(self.pots, " ")).filter(|pots| !pots.is_empty()),
            self.add,
            self.loss,
        ];
        joined(words.into_iter().flatten(), " ")
    }
}

/// A sentence for each ingredient with a pot of its own.
pub(super) fn pot_lines(batch: &Batch) -> impl Iterator<Item = String> {
    let parts = batch.prepared.ingredients.iter();
    parts.filter_map(|one| {
        let pot = one.pot?;
        Some(format!(
            "{}: of the {} of its own liquid blend {} back in ({}).",
            one.food.name,
            kitchen_volume(pot.collected),
            kitchen_volume(pot.returned),
            percent(one.returned * 100.0),
        ))
    })
}

/// The water that the pot needs at least: what the food takes up, and the liquid that is left. What boils away comes on
/// top. `None` where nothing takes up water and no liquid is left.
pub(super) fn pot_water(batch: &Batch) -> Option<Volume> {
    let in_water = |method| matches!(method, Method::Boil | Method::Simmer | Method::Stew);
    let cooked = batch.prepared.ingredients.iter();
    let cooked = cooked.filter(|one| in_water(one.method) && !one.preparation.state.is_ready());
    // A gram of water is a millilitre.
    let taken_up = cooked.map(|one| (one.cooked().grams() - one.edible().grams()).max(0.0));
    let least = taken_up.sum::<f64>() + batch.prepared.liquid.collected.millilitres();
    (least >= 1.0).then(|| Volume::from_millilitres(least))
}

/// Whether a batch has so much milk that porridge may be cooked in it: then the water that the yield counts on does not go in.
pub(super) fn has_milk(batch: &Batch) -> bool {
    const SPLASH_G: f64 = 50.0;
    let mut foods = batch.prepared.ingredients.iter();
    foods.any(|one| {
        let is_milk = matches!(one.class.0.as_str(), "milk" | "infant-formula");
        is_milk && one.edible().grams() >= SPLASH_G
    })
}

/// The energy density of a purée beside the least that complementary food is looked for at an age.
#[derive(Debug, Clone, PartialEq)]
pub struct Density {
    kcal_per_g: f64,
    /// The least, and its publication; `None` at an age without one.
    least: Option<(f64, String)>,
}

impl Density {
    pub(super) fn of(table: &Complementary, batch: &Batch, age: AgeMonths) -> Option<Self> {
        let needs = table.needs(age, true);
        Some(Self {
            kcal_per_g: batch.energy_density()?,
            least: needs.map(|needs| (needs.least_density(MEALS), needs.density_source.clone())),
        })
    }

    /// `0.78 kcal per g, at or above the 0.6 looked for`.
    pub fn short(&self) -> String {
        let Some((least, _)) = &self.least else {
            return unbroken(&format!("{} kcal per g", decimals(self.kcal_per_g, 2)));
        };
        let shown = decimals_beside(self.kcal_per_g, *least, 2);
        let verdict = if self.kcal_per_g < *least {
            "under"
        } else {
            "at or above"
        };
        format!(
            "{}, {verdict} the {least} looked for",
            unbroken(&format!("{shown} kcal per g"))
        )
    }

    /// The same as a sentence, with what it holds for, its source, and what makes a purée richer.
    pub fn sentence(&self) -> String {
        let short = self.short();
        let Some((_, source)) = &self.least else {
            return short + ".";
        };
        format!(
            "{short} over a day's food at this age and {MEALS} meals a day ({source}). Less water or a little oil makes it \
             richer."
        )
    }
}
