//! The steps of a kitchen card, from the board to the blender and into the freezer.

use std::fmt::Write as _;

use super::batch_ingredient::IngredientReport;
use super::batch_liquid::LiquidWords;
use super::ingredient_words::cook_words;
use super::kitchen_card::SourcedLine;
use super::number::{kitchen_mass, kitchen_volume, unbroken, whole_grams};
use super::sources::Sources;
use crate::cooking::{Method, Practice, PracticeTable};
use crate::quantity::Volume;
use crate::recipe::{Batch, PreparedIngredient};
use crate::safety::{Caution, Step, Texture};
use crate::words::capital;

/// The id of the caution about cooling, the first of the step of freezing.
const COOL: &str = "cool";
/// The id of the caution about the label, the last of the step of freezing.
const LABEL: &str = "label-cubes";

/// A step of the card: a title, and the lines below it.
pub(super) struct CardStep {
    pub(super) title: String,
    pub(super) lines: Vec<SourcedLine>,
}

impl CardStep {
    pub(super) fn new(title: impl Into<String>, lines: Vec<SourcedLine>) -> Self {
        Self {
            title: title.into(),
            lines,
        }
    }
}

/// A rule of thumb as a line with its source.
fn rule(practice: &PracticeTable, id: &str, sources: &mut Sources) -> Option<SourcedLine> {
    let rule = practice.rule(id)?;
    Some(SourcedLine::new(&rule.text, &rule.source, sources))
}

/// The steps from the chopping board to weighing the blended purée.
pub(super) fn cooking_steps(
    practice: &PracticeTable,
    (batch, texture): (&Batch, Option<&Texture>),
    sources: &mut Sources,
) -> Vec<CardStep> {
    let prepare = rule(practice, "prepare", sources).into_iter().collect();
    let mut steps = vec![CardStep::new("Prepare", prepare)];
    steps.extend(pots(practice, batch, sources));
    let liquid = LiquidWords::of(batch).keep;
    let liquid = vec![SourcedLine::plain(liquid)];
    steps.push(CardStep::new("Keep the cooking liquid", liquid));
    steps.push(blend(practice, (batch, texture), sources));
    steps.push(weigh(batch));
    steps
}

/// The ingredients that are cooked by the same method.
struct MethodGroup<'a> {
    method: Method,
    practice: Option<&'a Practice>,
    /// Whether the foods are cooked already.
    warmed: bool,
    foods: Vec<&'a PreparedIngredient>,
}

/// One step for each cooking method, the longest cooking time first, then in the order of the recipe.
fn pots(practice: &PracticeTable, batch: &Batch, sources: &mut Sources) -> Vec<CardStep> {
    let mut pots: Vec<MethodGroup<'_>> = Vec::new();
    for ingredient in &batch.prepared.ingredients {
        if ingredient.method == Method::None {
            continue;
        }
        let (how, warmed) = (ingredient.practice(practice), ingredient.is_warmed());
        let same = |pot: &&mut MethodGroup<'_>| {
            pot.method == ingredient.method && pot.practice == how && pot.warmed == warmed
        };
        match pots.iter_mut().find(same) {
            Some(pot) => pot.foods.push(ingredient),
            None => pots.push(MethodGroup {
                method: ingredient.method,
                practice: how,
                warmed,
                foods: vec![ingredient],
            }),
        }
    }
    pots.sort_by_key(|pot| std::cmp::Reverse(pot.practice.and_then(|how| how.minutes)));
    pots.iter().map(|pot| pot.step(practice, sources)).collect()
}

impl MethodGroup<'_> {
    fn step(&self, practice: &PracticeTable, sources: &mut Sources) -> CardStep {
        let word = if self.warmed {
            format!("Warm ({})", self.method)
        } else {
            capital(cook_words(self.method.word()))
        };
        let title = match self.practice {
            Some(how) => format!("{word}, {}", how.text),
            None => word,
        };
        let lines = self.foods.iter().map(|ingredient| {
            let inside = practice.inside(&ingredient.class);
            let rules = self.practice.into_iter().chain(inside);
            SourcedLine {
                text: cooked(&IngredientReport::new(ingredient), inside),
                sources: rules.map(|rule| sources.number(&rule.source)).collect(),
            }
        });
        let lines = lines.collect();
        CardStep::new(title, lines)
    }
}

/// One ingredient of a step: its mass, the core temperature to reach, and its mass when cooked.
fn cooked(ingredient: &IngredientReport, inside: Option<&Practice>) -> String {
    let heat = inside.map_or(String::new(), |rule| format!("{}; ", rule.text));
    let [_, trimmed, cooked] = ingredient.masses();
    format!(
        "{}: {heat}{trimmed} becomes about {cooked}.",
        ingredient.name
    )
}

fn blend(
    practice: &PracticeTable,
    (batch, texture): (&Batch, Option<&Texture>),
    sources: &mut Sources,
) -> CardStep {
    let liquid = &batch.prepared.liquid;
    let mut with: Vec<_> = batch
        .prepared
        .ingredients
        .iter()
        .filter(|one| one.method == Method::None)
        .map(|one| format!("{} {}", whole_grams(one.edible()), one.food.name))
        .collect();
    if liquid.returned > Volume::ZERO {
        let volume = kitchen_volume(liquid.returned);
        with.push(format!("{volume} of the cooking liquid"));
    }
    let coarse = texture.map(|texture| SourcedLine::new(&texture.text, &texture.source, sources));
    let mut lines: Vec<_> = coarse.into_iter().collect();
    lines.extend(rule(practice, "blend", sources));
    if !with.is_empty() {
        lines.push(SourcedLine::plain(format!(
            "Blend in: {}.",
            with.join("; ")
        )));
    }
    lines.extend(LiquidWords::of(batch).add.map(SourcedLine::plain));
    CardStep::new("Blend", lines)
}

/// The step of weighing the purée: the measured mass replaces every estimate.
fn weigh(batch: &Batch) -> CardStep {
    let puree = unbroken(&kitchen_mass(batch.masses.puree));
    let mut text = if batch.prepared.weighed.is_some() {
        format!("{puree} by the recipe's own weighing.")
    } else {
        format!("{puree} are expected\u{a0}~.")
    };
    if let Some(loss) = LiquidWords::of(batch).loss {
        let _ = write!(text, " {loss}");
    }
    text += " Without the bowl it weighs ________\u{a0}g.";
    CardStep::new("Weigh the purée", vec![SourcedLine::plain(text)])
}

/// The steps from the filled tray into the freezer: the cautions for freezing, the one about cooling first and the one
/// about the label last.
pub(super) fn freezing_steps(
    practice: &PracticeTable,
    cautions: &[Caution],
    sources: &mut Sources,
) -> [CardStep; 3] {
    let mut lines_of = |wanted: &dyn Fn(&str) -> bool| -> Vec<SourcedLine> {
        let due = cautions.iter().filter(|one| one.step == Step::Freeze);
        due.filter(|one| wanted(&one.id))
            .map(|one| SourcedLine::new(&one.text, &one.source, sources))
            .collect()
    };
    let cool = lines_of(&|id| id == COOL);
    let keep = lines_of(&|id| id != COOL && id != LABEL);
    let mut label = lines_of(&|id| id == LABEL);
    label.push(SourcedLine::plain(
        "Batch\u{a0}#\u{a0}_____ Made\u{a0}_________ Use\u{a0}by\u{a0}_________".into(),
    ));
    let mut freeze: Vec<_> = rule(practice, "freeze", sources).into_iter().collect();
    freeze.extend(keep);
    [
        CardStep::new("Cool", cool),
        CardStep::new("Freeze", freeze),
        CardStep::new("Label", label),
    ]
}
