//! The short answer about a batch: what to weigh out, how much it makes, iron and energy, and the usual cautions.

use std::collections::BTreeSet;

use data_import::NutrientId;
use jiff::civil::Date;

use super::batch::{BatchReport, BatchView};
use super::batch_cost::CostReport;
use super::batch_density::Density;
use super::batch_figures::{Figures, NewerReport};
use super::batch_ingredient::IngredientReport;
use super::card::Card;
use super::ingredient_words::basis_words;
use super::number::{decimals, kitchen_volume, unbroken};
use super::objections::{objection_lines, objection_list};
use super::plan::short_name;
use super::text::{Look, Page};
use crate::cooking::{Method, Practice};
use crate::next_step::{NextStep, Remark};
use crate::recipe::{Basis, Batch, PreparedIngredient};
use crate::safety::{Objection, Severity, Texture};
use crate::spoken::plain_name;
use crate::words::{self, capital, joined};

/// The least share of a figure by which a newer value changes it to be worth a line (judgement).
const MATTERS: f64 = 0.1;
/// The most foods without a value that are named (judgement).
const MOST_NAMED: usize = 3;

/// The most lines of eighty columns of the answer about a batch of [`USUAL_FOODS`]; each further food may add a line
/// (judgement).
const MOST_LINES: usize = 20;
/// The foods of a usual recipe, at most (judgement).
const USUAL_FOODS: usize = 6;

/// How much is left to the evidence, so that the answer is no longer than it may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd)]
enum Brevity {
    Full,
    Brief,
    Briefer,
    Shortest,
}

impl Brevity {
    const ALL: [Self; 4] = [Self::Full, Self::Brief, Self::Briefer, Self::Shortest];
}

impl Card<'_> {
    /// Adds the answer: for up to six ingredients at most twenty lines of eighty columns, the
    /// objections that stop or warn not counted.
    pub(super) fn answer(
        &self,
        page: &mut Page,
        report: &BatchReport,
        batch: &Batch,
        view: &BatchView<'_>,
    ) {
        let grave = report.objections.iter();
        let grave: Vec<Objection> = grave
            .filter(|one| one.severity != Severity::Mind)
            .cloned()
            .collect();
        objection_list(page, &grave);
        page.warnings(self.warnings.iter().cloned());
        let most = MOST_LINES + report.ingredients.len().saturating_sub(USUAL_FOODS);
        // The words do not depend on the width: a narrow terminal takes more lines for them.
        let look = Look {
            width: Look::PLAIN_WIDTH,
            ..page.look()
        };
        let fits = |brevity: &Brevity| {
            let mut answer = Page::new(look);
            self.in_lines(&mut answer, (report, batch, view), *brevity);
            answer.lines() <= most
        };
        let brevity = Brevity::ALL.into_iter().find(fits);
        self.in_lines(
            page,
            (report, batch, view),
            brevity.unwrap_or(Brevity::Shortest),
        );
    }

    /// Adds the answer in more or fewer words.
    fn in_lines(
        &self,
        page: &mut Page,
        (report, batch, view): (&BatchReport, &Batch, &BatchView<'_>),
        brevity: Brevity,
    ) {
        let times = report.scaled(self.target);
        let times = times
            .map(|_| decimals(report.factor, 2))
            .filter(|times| times != "1.00");
        let times = times.map_or_else(String::new, |times| format!(", {times} times"));
        let basis = report.common_basis();
        let weighed = basis.map_or(String::new(), |basis| format!(" {}", basis_words(basis)));
        page.title(&format!("{}{times}: weigh out{weighed}", report.recipe));
        let foods = report.ingredients.iter().zip(&batch.prepared.ingredients);
        page.rows(foods.map(|both| food_row(both, basis, view, brevity)), &[]);
        let rows = [
            ("Water", report.water(brevity)),
            ("Makes", Some(report.makes_and_fills())),
            (
                "Cost",
                report
                    .cost
                    .as_ref()
                    .and_then(|cost| cost.short(brevity == Brevity::Full)),
            ),
            ("Iron", report.iron_of_a_serving()),
            ("Energy", report.energy_of_a_serving()),
            ("Mind", report.to_mind(brevity)),
            ("Cool", report.short_caution("cool")),
            (
                "Freeze",
                self.use_by
                    .map(used_by)
                    .or_else(|| report.short_caution("freezer-life")),
            ),
            ("Warm", report.short_caution("reheat")),
            ("Unsure", Some(page.look().worded(&report.unsure(brevity)))),
        ];
        let rows = rows
            .into_iter()
            .filter_map(|(label, words)| Some([label.to_string(), words?]));
        page.rows(rows, &[]);
        page.paragraph(
            report
                .short_caution(crate::safety::DEFER)
                .as_deref()
                .unwrap_or(report.defer()),
        );
    }
}

/// A food: its name, what to weigh out, and how it is cooked, with the time where one is known.
fn food_row(
    (one, prepared): (&IngredientReport, &PreparedIngredient),
    common: Option<Basis>,
    view: &BatchView<'_>,
    brevity: Brevity,
) -> [String; 3] {
    let practice = &view.tables.practice;
    let time = prepared.practice(practice).and_then(Practice::time);
    let time = time.map_or_else(String::new, |time| format!(", {time}"));
    let heat = practice
        .inside(&prepared.class)
        .filter(|_| prepared.method != Method::None);
    let heat = heat.map_or_else(String::new, |inside| format!(" {}", inside.heat()));
    [
        capital(&match brevity {
            Brevity::Shortest => first_part(&one.name),
            _ => short_name(&one.name),
        }),
        one.weigh_out(common),
        format!("{}{time}{heat}", one.cook()),
    ]
}

/// The beginning of a name: `salmon` of `Fish, salmon, Atlantic, wild, raw` is said by its second part.
fn first_part(name: &str) -> String {
    words::lower(&joined(name.split(", ").take(2), ", "))
}

/// What newer analyses found, where that matters: a tenth of the figure or more.
fn newer_than(figures: &Figures) -> Option<&NewerReport> {
    let newer = figures.newer.as_ref()?;
    let here = figures.per_serving.filter(|here| *here > 0.0)?;
    ((newer.per_serving / here - 1.0).abs() >= MATTERS).then_some(newer)
}

fn used_by(day: Date) -> String {
    format!("and use by {}", words::day(day))
}

impl BatchReport {
    /// The basis in which most is weighed; `None` where nothing is thrown away of any food.
    fn common_basis(&self) -> Option<Basis> {
        let mut bases = self.ingredients.iter().filter(|one| !one.is_all_eaten());
        let first = bases.next()?.basis;
        let bought = bases.any(|one| one.basis == Basis::Purchased);
        Some(if bought { Basis::Purchased } else { first })
    }

    /// How much water the pot needs, and what becomes of the liquid.
    fn water(&self, brevity: Brevity) -> Option<String> {
        let needs = self.pot_water.map(|water| match brevity {
            Brevity::Full => kitchen_volume(water),
            _ => unbroken(&format!("{} ml", decimals(water.millilitres(), 0))),
        });
        let beside = if self.milk_in_pot {
            " beside the milk (where it is cooked in the milk, there are fewer cubes: weigh the purée)"
        } else {
            ""
        };
        let needs = needs.map(|water| format!("at least {water}{beside}"));
        let liquid = &self.liquid;
        let ml = |ml: f64| unbroken(&format!("{} ml", decimals(ml, 0)));
        let stays = (liquid.collected_ml > 0.0).then(|| {
            let (stays, returned) = (ml(liquid.collected_ml), ml(liquid.returned_ml));
            format!("{stays} stay, {returned} of them go back in")
        });
        let adds = (liquid.added_ml > 0.0).then(|| format!("add {}", ml(liquid.added_ml)));
        let words: Vec<_> = [needs, stays, adds].into_iter().flatten().collect();
        (!words.is_empty()).then(|| words.join("; "))
    }

    /// Cubes, trays, and what is left over.
    fn makes_and_fills(&self) -> String {
        let left = self.left_over();
        let left = left.map_or_else(String::new, |rest| format!("; {rest} left over"));
        format!("{}: {}{left}", self.makes(), self.wells())
    }

    /// Iron of a serving, and the share of a day's.
    pub fn iron_of_a_serving(&self) -> Option<String> {
        let iron = self.figures(NutrientId::IRON)?;
        let age = unbroken(&words::counted(self.age_months, "month"));
        let fine = iron.fineness();
        let figure = fine.in_fewest_words(iron.per_serving, iron.total.nutrient);
        let cubes = words::counted(self.serving.cubes, "cube");
        let parts = [
            Some(joined(
                [Some(format!("{figure} in {cubes}")), self.none_of(iron)]
                    .into_iter()
                    .flatten(),
                ", ",
            )),
            iron.share().map(|share| format!("{share} at {age}")),
            self.no_reference.map(String::from),
            newer_than(iron)
                .map(|newer| format!("newer analyses: {}", iron.shown(Some(newer.per_serving)))),
        ];
        Some(joined(parts.into_iter().flatten(), "; "))
    }

    /// The iron of a serving in few words, for where there is little room: `about 1.1 mg (0.7 to
    /// 1.6) in 2 cubes, 10 % of 11 mg (RDA)`.
    pub fn iron_in_short(&self) -> Option<String> {
        let iron = self.figures(NutrientId::IRON)?;
        let fine = iron.fineness();
        let figure = fine.in_few_words(iron.per_serving, iron.total.nutrient);
        let cubes = words::counted(self.serving.cubes, "cube");
        Some(joined(
            [Some(format!("{figure} in {cubes}")), iron.share()]
                .into_iter()
                .flatten(),
            ", ",
        ))
    }

    /// The widest doubt about iron, and what newer analyses found.
    pub(super) fn iron_doubt(&self) -> Option<String> {
        let iron = self.figures(NutrientId::IRON)?;
        let plain = |id: &str| self.plain_food(id);
        let widest = iron.interval.as_ref().and_then(|one| one.widest(plain));
        let widest = widest.map(|words| format!("Iron: {}", words::lower(&words)));
        let both = [widest, Self::newer_of(iron)];
        let both = joined(both.into_iter().flatten(), " ");
        (!both.is_empty()).then_some(both)
    }

    /// What newer analyses found, where that matters: a tenth of the figure or more.
    pub(super) fn newer_of(figures: &Figures) -> Option<String> {
        let newer = newer_than(figures)?;
        let here = figures.per_serving?;
        let less = if newer.per_serving < here {
            "less"
        } else {
            "more"
        };
        let samples: u32 = newer.values.iter().map(|one| one.analyses).sum();
        let years: Vec<&str> = newer.values.iter().map(|one| one.years.as_str()).collect();
        let years = match years.as_slice() {
            [one] => (*one).to_string(),
            _ => {
                let first = newer.values.iter().map(|one| one.from).min()?;
                let last = newer.values.iter().map(|one| one.to).max()?;
                format!("{first} to {last}")
            }
        };
        let plain = words::lower(&figures.total.nutrient.plain);
        let amount = figures.shown(Some(newer.per_serving));
        Some(format!(
            "Newer analyses ({samples} samples, {years}) found {less} {plain}: {amount} where this says {}.",
            figures.shown(Some(here)),
        ))
    }

    /// The foods without a value: `no value for the water`.
    fn none_of(&self, figures: &Figures) -> Option<String> {
        let missing = figures.missing.iter().map(|id| self.plain_food(id));
        let missing = joined(missing, " and ");
        (!missing.is_empty()).then(|| format!("no value for {missing}"))
    }

    /// The short name of a food: the beginning of its name.
    fn plain_food(&self, id: &str) -> String {
        let mut foods = self.ingredients.iter();
        let food = foods.find(|one| one.food == id || one.drained_to.as_deref() == Some(id));
        food.map_or("the water".into(), |one| {
            format!(
                "the {}",
                words::lower(one.name.split(',').next().unwrap_or(&one.name))
            )
        })
    }

    /// The ingredients to weigh out, in one line, by the names that a parent uses: `600 g butternut
    /// squash; 150 g red lentil`.
    pub fn weigh_out_in_a_line(&self) -> String {
        let basis = self.common_basis();
        let foods = self.ingredients.iter().map(|one| {
            let grams = match basis {
                Some(Basis::Edible) => one.edible_g,
                _ => one.purchased_g,
            };
            // The plain name of a food is that of the raw one.
            let id = one.food.parse().ok();
            let id = id.filter(|_| one.name.ends_with(", raw"));
            let plain = id.and_then(|id| plain_name(&id));
            let name = plain.map_or_else(|| short_name(&one.name), String::from);
            format!("{} {name}", unbroken(&format!("{} g", decimals(grams, 0))))
        });
        joined(foods, "; ")
    }

    /// Energy of a serving and what a cube costs, for where there is little room.
    pub fn energy_and_cost(&self) -> String {
        let energy = self.figures(NutrientId::ENERGY);
        let cubes = words::counted(self.serving.cubes, "cube");
        let energy = energy.map(|one| format!("{} in {cubes}", one.shown(one.per_serving)));
        let cost = self.cost.as_ref().and_then(CostReport::of_a_cube);
        joined(energy.into_iter().chain(cost), " \u{b7} ")
    }

    /// Energy of a serving, the share of a day's where the child's weight is known, and how dense it is.
    fn energy_of_a_serving(&self) -> Option<String> {
        let energy = self.figures(NutrientId::ENERGY)?;
        let parts = [
            Some(energy.served_range()),
            energy.share(),
            self.density.as_ref().map(Density::short),
        ];
        Some(joined(parts.into_iter().flatten(), "; "))
    }

    /// The first thing to mind: about the foods of this batch, else about the age.
    fn to_mind(&self, brevity: Brevity) -> Option<String> {
        let mind = self
            .objections
            .iter()
            .filter(|one| one.severity == Severity::Mind);
        let (texture, foods): (Vec<Objection>, Vec<_>) =
            mind.cloned().partition(|one| one.hazard == Texture::ID);
        let lines = objection_lines(&[foods, texture].concat());
        let first = lines.first()?;
        let more = lines.len() - 1;
        // The first sentence alone, of which the evidence has the foods and the rest.
        let short = first
            .text
            .split_once(". ")
            .map_or(&*first.text, |(short, _)| short);
        let words = match brevity {
            Brevity::Full => first.sentence(),
            Brevity::Brief if first.about.is_empty() => words::sentence(short),
            Brevity::Brief => words::sentence(&format!("{}: {short}", first.about)),
            _ => words::sentence(short),
        };
        let things = words::counted(lines.len(), "thing");
        Some(match (brevity, more) {
            (Brevity::Shortest, _) => format!("{things} that the evidence names"),
            (_, 0) => words,
            (_, more) => format!("{words} And {more} more."),
        })
    }

    /// The usual cautions after cooking, in short: cool, freeze, warm.
    pub fn steps_after(&self) -> Vec<String> {
        let steps = [
            ("Cool", "cool"),
            ("Freeze", "freezer-life"),
            ("Warm", "reheat"),
        ];
        let short = steps.map(|(step, id)| {
            let words = self.short_caution(id)?;
            Some(format!("{step}: {words}"))
        });
        short.into_iter().flatten().collect()
    }

    fn short_caution(&self, id: &str) -> Option<String> {
        let caution = self.cautions.iter().find(|one| one.id == id)?;
        Some(caution.short.clone()).filter(|short| !short.is_empty())
    }

    /// How much is estimated, and which foods lack a value of some nutrient.
    fn unsure(&self, brevity: Brevity) -> Remark {
        let estimated = words::estimates(self.notes.len());
        let lacking = |figures: &&Figures| !figures.complete;
        let missing = self
            .nutrients
            .iter()
            .filter(lacking)
            .flat_map(|one| &one.missing);
        let name = |id: &String| {
            let food = self.ingredients.iter().find(|one| one.food == *id);
            food.map_or("water", |one| {
                one.name.split(',').next().unwrap_or(&one.name)
            })
        };
        let mut seen = BTreeSet::new();
        let foods: Vec<&str> = missing
            .map(name)
            .filter(|name| seen.insert(*name))
            .collect();
        let more = foods.len().saturating_sub(MOST_NAMED);
        let named = foods.iter().take(MOST_NAMED).map(|name| words::lower(name));
        let named = named.chain((more > 0).then(|| format!("{more} more")));
        let named = joined(named, ", ");
        let values = if named.is_empty() || brevity == Brevity::Shortest {
            String::new()
        } else {
            format!("; not every value is known of {named}")
        };
        Remark::with(format!("{estimated}{values}"), NextStep::SeeEvidence)
    }
}
