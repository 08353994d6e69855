//! The judge: the objections to giving these foods to this child.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use data_import::{Error, Food};
use jiff::civil::Date;

use super::allergens::AllergenTable;
use super::child::ChildFacts;
use super::hazards::{self, Hazard};
use super::objection::{Objection, Severity, gravest_first};
use super::portion::{EatenMeal, Portion};
use super::sums::Limit;
use super::texture::{self, Texture};
use super::{first_tastes, on_record, reactions};
use crate::nutrition::AgeMonths;
use crate::words::{day, joined};

/// The age that is assumed where none is known: that of the first purées (judgement).
pub const UNKNOWN_AGE: AgeMonths = AgeMonths(6);

/// The ids of the hazards of solid food that comes too early.
pub const BEFORE_SOLIDS: [&str; 2] = ["too-early", "ask-first"];

/// The stage of foods on their way to the child.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FeedingStage {
    /// In the pot, or on the way into the freezer.
    Cooked,
    /// In a bowl that is being put together.
    Mixed,
    /// Served.
    Served,
    /// In a plan.
    Planned,
}

/// Foods for a child at a meal.
#[derive(Debug)]
pub struct Case<'a> {
    /// The child.
    pub child: &'a ChildFacts,
    /// The day of the meal.
    pub day: Date,
    /// The stage of the foods.
    pub context: FeedingStage,
    /// The foods of the meal.
    pub portions: &'a [Portion],
    /// The other meals of the child, eaten or planned, and its milk, of the six days before and
    /// after.
    pub others: &'a [EatenMeal],
    /// The reaction after the meal, in the parent's words; empty for none.
    pub seen: &'a str,
}

/// Judges what a child may be given.
#[derive(Debug)]
pub struct Judge {
    hazards: Vec<Hazard>,
    allergens: AllergenTable,
    textures: Vec<Texture>,
}

impl Judge {
    /// The judge with the built-in tables, which are read once.
    pub fn builtin() -> Result<&'static Self, Error> {
        static BUILTIN: OnceLock<Judge> = OnceLock::new();
        if let Some(judge) = BUILTIN.get() {
            return Ok(judge);
        }
        let judge = Self {
            hazards: hazards::builtin()?,
            allergens: AllergenTable::builtin()?,
            textures: texture::builtin()?,
        };
        Ok(BUILTIN.get_or_init(|| judge))
    }

    /// The allergens that names reveal.
    pub fn allergens(&self) -> &AllergenTable {
        &self.allergens
    }

    /// All objections to a meal, the gravest first; for each hazard at most one that stops, and one
    /// that does not.
    pub fn objections(&self, case: &Case<'_>) -> Vec<Objection> {
        let age = case.child.age.unwrap_or(UNKNOWN_AGE);
        let mut found: Vec<Objection> = Vec::new();
        found.extend(reactions::response(&case.child.name, case.seen));
        found.extend(self.on_record(case));
        let hazards = self.hazards.iter();
        let hazards =
            hazards.filter(|hazard| hazard.is_for(age) && hazard.is_said_in(case.context));
        found.extend(gravest_of_each_food(
            hazards.filter_map(|hazard| about(hazard, case)),
        ));
        found.extend(first_tastes::objections(case, age, &self.allergens));
        if case.context == FeedingStage::Cooked {
            found.extend(self.texture(case.child, age));
        }
        if case.child.age.is_none() {
            found.push(no_age());
        }
        gravest_first(&mut found);
        found
    }

    /// The objections by the child's own record: allergies, reactions that no doctor has cleared,
    /// an early birth.
    pub fn on_record(&self, case: &Case<'_>) -> Vec<Objection> {
        on_record::objections(case, &self.allergens)
    }

    /// The texture that fits an age, said while food is cooked, with the one on record.
    fn texture(&self, child: &ChildFacts, age: AgeMonths) -> Option<Objection> {
        let mut textures = self.textures.iter().rev();
        let texture = textures.find(|texture| texture.is_for(age))?;
        Some(Objection {
            hazard: Texture::ID.into(),
            severity: Severity::Mind,
            child: String::new(),
            foods: Vec::new(),
            names: Vec::new(),
            text: match &child.texture {
                Some((stage, since)) => format!(
                    "{} On record for {}: {stage}, since {}.",
                    texture.text,
                    child.name,
                    day(*since)
                ),
                None => texture.text.clone(),
            },
            instead: "Coarser step by step, as the child manages.".into(),
            source: texture.source.clone(),
        })
    }

    /// All objections that a food may have at an age, in whichever form it is given, for a page
    /// about the food itself.
    pub fn about(&self, food: &Food, age: AgeMonths) -> Vec<Objection> {
        let of_age = self.hazards.iter().filter(|hazard| hazard.is_for(age));
        let named = of_age.filter(|hazard| hazard.names(food) && hazard.limit.is_none());
        let mut found = gravest_of_each_food(named.map(|hazard| {
            let foods = (vec![food.id.to_string()], vec![food.name.clone()]);
            objection(hazard, "", foods, hazard.text)
        }));
        let major: Vec<&str> = self.allergens.of(food).collect();
        if !major.is_empty() {
            found.push(first_tastes::major_allergen(food, &major));
        }
        gravest_first(&mut found);
        found
    }

    /// The reason why words for a food name one that no baby is given, or one with a warning,
    /// whichever food of the table they mean: `unpasteurised cheddar`.
    pub fn stopped_by_words(&self, words: &str) -> Option<&str> {
        let words = words.to_lowercase();
        let of_age = self
            .hazards
            .iter()
            .filter(|hazard| hazard.is_for(UNKNOWN_AGE));
        let stopping = of_age.filter(|hazard| hazard.stops_words(&words));
        let gravest = stopping.min_by_key(|hazard| hazard.severity)?;
        Some(gravest.text)
    }

    /// The major allergens that a child's record stops, by an allergy or an open reaction.
    pub fn stopped_allergens(&self, child: &ChildFacts) -> BTreeSet<String> {
        on_record::stopped_allergens(child)
    }

    /// What is to be asked before the first peanut, for a child whom that concerns.
    pub fn before_peanut(&self, child: &ChildFacts) -> Option<Objection> {
        first_tastes::before_peanut(child)
    }

    /// The sentence on solids before they are due at an age, with its source; `None` from then on.
    pub fn before_solids(&self, age: AgeMonths) -> Option<String> {
        let until_due = self
            .hazards
            .iter()
            .filter(|hazard| BEFORE_SOLIDS.contains(&hazard.id) && hazard.ends_after(age));
        let until_due: Vec<_> = until_due.collect();
        let last = until_due.last()?;
        let texts = joined(until_due.iter().map(|hazard| hazard.text), " ");
        Some(format!(
            "{} ({}).",
            texts.trim_end_matches('.'),
            last.source
        ))
    }

    /// The limits over days that a plan for a child of this age must keep, each with its number and
    /// the name of its hazard; see [`Judge::counts`].
    pub fn limits(&self, age: AgeMonths) -> impl Iterator<Item = (usize, &str, Limit)> {
        let rows = self.hazards.iter().enumerate();
        rows.filter(move |(_, hazard)| hazard.severity != Severity::Mind && hazard.is_for(age))
            .filter_map(|(row, hazard)| Some((row, hazard.id, hazard.limit?)))
    }

    /// The amount that a meal adds to the limit with this number, as [`Judge::limits`] returns it.
    pub fn counts(&self, row: usize, portions: &[Portion]) -> f64 {
        let Some(hazard) = self.hazards.get(row) else {
            return 0.0;
        };
        let limit = hazard.limit.as_ref();
        limit.map_or(0.0, |limit| {
            limit.of_meal(portions, &|portion| hazard.is_about(portion))
        })
    }
}

/// The objection of one row, where it applies.
fn about(hazard: &Hazard, case: &Case<'_>) -> Option<Objection> {
    let concerned: Vec<&Portion> = case
        .portions
        .iter()
        .filter(|portion| hazard.is_about(portion))
        .collect();
    if concerned.is_empty() {
        return None;
    }
    let mut text = hazard.text.to_owned();
    if let Some(limit) = &hazard.limit {
        let here = (case.day, case.portions);
        let amount = limit.amount(here, case.others, &|portion| hazard.is_about(portion));
        if amount <= limit.most {
            return None;
        }
        text = text.replace("{amount}", &format!("{amount:.0}"));
    }
    Some(objection(
        hazard,
        &case.child.name,
        (ids(&concerned), names(&concerned)),
        &text,
    ))
}

fn objection(
    hazard: &Hazard,
    child: &str,
    (foods, names): (Vec<String>, Vec<String>),
    text: &str,
) -> Objection {
    Objection {
        hazard: hazard.id.into(),
        severity: hazard.severity,
        child: child.to_string(),
        foods,
        names,
        text: text.to_string(),
        instead: hazard.instead.into(),
        source: hazard.source.into(),
    }
}

/// The objections of the table, one for each hazard: the gravest, with the foods of all. What stops
/// stands apart from what does not, so that no food is called forbidden because of another.
fn gravest_of_each_food(rows: impl Iterator<Item = Objection>) -> Vec<Objection> {
    let stops = |objection: &Objection| objection.severity == Severity::Block;
    let mut found: Vec<Objection> = Vec::new();
    for new in rows {
        let mut of_hazard = found.iter_mut();
        let known =
            of_hazard.find(|known| known.hazard == new.hazard && stops(known) == stops(&new));
        match known {
            Some(known) => keep_the_gravest(known, new),
            None => found.push(new),
        }
    }
    let stopping: Vec<Objection> = found.iter().filter(|one| stops(one)).cloned().collect();
    for other in found.iter_mut().filter(|other| !stops(other)) {
        let stopping = stopping.iter().filter(|one| one.hazard == other.hazard);
        let stopped: Vec<&String> = stopping.flat_map(|one| &one.foods).collect();
        let foods = other.foods.drain(..).zip(other.names.drain(..));
        let left = foods.filter(|(food, _)| !stopped.contains(&food));
        (other.foods, other.names) = left.unzip();
    }
    found.retain(|objection| !objection.foods.is_empty());
    found
}

/// Keeps the graver of two objections, with the foods of both.
fn keep_the_gravest(known: &mut Objection, new: Objection) {
    let mut other = new;
    if other.severity < known.severity {
        std::mem::swap(known, &mut other);
    }
    for (food, name) in other.foods.into_iter().zip(other.names) {
        if !known.foods.contains(&food) {
            known.foods.push(food);
            known.names.push(name);
        }
    }
}

fn no_age() -> Objection {
    Objection {
        hazard: "age-unknown".into(),
        severity: Severity::Mind,
        child: String::new(),
        foods: Vec::new(),
        names: Vec::new(),
        text: format!("No age is known: judged as for {} months.", UNKNOWN_AGE.0),
        instead: "Say the age in completed months.".into(),
        source: "our own choice: the age of the first purées".into(),
    }
}

/// Ids of foods, each once.
pub(super) fn ids(portions: &[&Portion]) -> Vec<String> {
    let mut ids: Vec<String> = Vec::new();
    for portion in portions {
        let id = portion.food.id.to_string();
        if !ids.contains(&id) {
            ids.push(id);
        }
    }
    ids
}

/// Names of foods, each food once, in the order of [`ids`].
pub(super) fn names(portions: &[&Portion]) -> Vec<String> {
    let mut seen = Vec::new();
    let mut names = Vec::new();
    for portion in portions {
        if !seen.contains(&&portion.food.id) {
            seen.push(&portion.food.id);
            names.push(portion.food.name.clone());
        }
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hazards_before_solids_are_rows_of_the_table() {
        let judge = Judge::builtin().unwrap();
        for id in BEFORE_SOLIDS {
            assert!(judge.hazards.iter().any(|hazard| hazard.id == id), "{id}");
        }
    }
}
