//! A batch in words, which are the same in the terminal, on the page and on paper.

use data_import::NutrientId;

use super::batch::BatchReport;
use super::batch_figures::Figures;
use super::interval::Fineness;
use super::number::{
    decimals, kitchen_mass, or_not_known, percent, percent_beside, unbroken, whole_grams,
};
use crate::nutrition::reading::NO_REFERENCE;
use crate::portion::Target;
use crate::quantity::Mass;
use crate::safety::{Caution, DEFER};
use crate::words::{counted, grouped, joined};

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

    /// The energy density: `0.78 kcal per g`.
    pub fn energy(&self) -> String {
        let density = self.energy_density_kcal_per_g;
        let density = density.map(|density| format!("{} kcal per g", decimals(density, 2)));
        or_not_known(density.map(|words| unbroken(&words)))
    }

    /// The share of dry matter.
    pub fn dry(&self) -> String {
        or_not_known(self.dry_share.map(|dry| percent(100.0 * dry)))
    }

    /// The iron in a cube.
    pub fn iron(&self) -> String {
        let iron = self.figures(NutrientId::IRON);
        or_not_known(iron.map(|iron| iron.shown(iron.per_cube)))
    }

    /// The summary that is announced when the figures of a form have changed.
    pub fn at_a_glance(&self) -> String {
        let (makes, energy, iron) = (self.makes(), self.energy(), self.iron());
        format!("{makes}. Energy density {energy}. Iron in a cube {iron}.")
    }

    /// The figures of a nutrient; `None` for one that no batch adds up.
    pub(super) fn figures(&self, nutrient: NutrientId) -> Option<&Figures> {
        let mut all = self.nutrients.iter();
        all.find(|figures| figures.total.nutrient.id == nutrient)
    }

    /// The nutrients that are shown, in the order in which they are looked at.
    pub(super) fn chosen(&self, all: bool) -> Vec<&Figures> {
        let order = |figures: &Figures| figures.total.nutrient.default_order;
        let chosen = self.nutrients.iter();
        let mut chosen: Vec<_> = chosen
            .filter(|figures| all || order(figures).is_some())
            .collect();
        chosen.sort_by_key(|figures| (order(figures).is_none(), order(figures)));
        chosen
    }

    /// A nutrient: its name, the amounts in a cube and in a serving, and the share of a day's
    /// reference; a dash without one.
    pub(super) fn nutrient_row(&self, figures: &Figures) -> [String; 4] {
        let none = self.age_band.map_or(NO_REFERENCE, |_| "-");
        [
            figures.total.nutrient.plain.clone(),
            figures.shown(figures.per_cube),
            figures.served_range(),
            figures.share().unwrap_or_else(|| none.into()),
        ]
    }

    /// The dozen nutrients that are looked at first.
    pub fn nutrient_rows(&self) -> Vec<[String; 4]> {
        let chosen = self.chosen(false).into_iter();
        chosen.map(|figures| self.nutrient_row(figures)).collect()
    }

    /// Whether the cooked mass of any ingredient is an estimate.
    pub fn estimated(&self) -> bool {
        self.ingredients
            .iter()
            .any(|ingredient| ingredient.estimated)
    }

    /// Nutrients whose total lacks a value, under the foods that have none, each group of foods once.
    pub fn missing_lines(&self) -> Vec<String> {
        let lacking = self.nutrients.iter().filter(|figures| !figures.complete);
        let lacking = lacking.map(|figures| (&figures.missing, &figures.total.nutrient.plain));
        let line = |(foods, names): (&Vec<String>, _)| {
            format!("{}: {}", self.named(foods), joined(names, "; "))
        };
        grouped(lacking).into_iter().map(line).collect()
    }

    /// Foods by their names.
    pub(super) fn named(&self, foods: &[String]) -> String {
        let name = |id: &String| {
            let ingredient = self
                .ingredients
                .iter()
                .find(|ingredient| ingredient.food == *id);
            ingredient.map_or_else(
                || format!("the water ({id})"),
                |ingredient| ingredient.name.clone(),
            )
        };
        joined(foods.iter().map(name), " and ")
    }

    /// Nutrients of which one serving is more than the upper level of a day.
    pub fn above_upper(&self) -> Vec<String> {
        let line = |figures: &Figures| {
            let upper = figures.upper.as_ref()?;
            let share = upper.percent.filter(|share| *share > 100.0)?;
            let share = percent_beside(share, 100.0);
            Some(format!(
                "{}: one serving is {} of the upper level for a day, {} {} ({}). Fewer cubes, less often; ask the \
                 paediatrician.",
                figures.total.nutrient.plain, share, upper.amount, figures.unit, upper.counts
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
        let foods = self
            .ingredients
            .iter()
            .map(|ingredient| ingredient.source.as_str());
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
    /// How finely the amounts and their shares are shown.
    pub(super) fn fineness(&self) -> Fineness {
        Fineness::of_report(self.interval.as_ref(), self.complete)
    }

    /// An amount of the nutrient with its unit.
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
