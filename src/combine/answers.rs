//! Suggestions that really differ, best first, each the best of what the earlier ones leave.

use data_import::FoodId;

use super::CombineError;
use super::ask::{CombineRequest, Prefer};
use super::kitchen::{KitchenAmounts, weighed_out};
use super::nearest::{Near, nearest};
use super::question::Best;
use super::selection::{LimitKind, Narrowed, Selection};
use super::stock::{Candidates, LeftOut};
use crate::nutrition::vitamin_c::VITAMIN_C_MG_FOR_IRON_MG;

/// A family that brings at least this share of the added iron is ruled out of later answers
/// (judgement).
const A_SOURCE: f64 = 1.0 / 3.0;
/// Rounding within which a limit is reached.
const REACHED: f64 = 1e-7;

/// The suggestions for a request, or how near its limits can be met.
#[derive(Debug)]
pub struct Combinations {
    /// The suggestions, best first; empty where no purée meets the request.
    pub suggestions: Vec<Suggestion>,
    /// How near the limits can be met, one by one; empty where there are suggestions.
    pub nearest: Vec<Near>,
    /// The number of foods that may be added.
    pub candidates: usize,
    /// Numbers of foods that were left out.
    pub left_out: LeftOut,
}

/// A suggestion.
#[derive(Debug, Clone)]
pub struct Suggestion {
    /// The foods that are added.
    pub added: Vec<FoodId>,
    /// The families that bring the added iron: the first most of it, the others a third or more.
    pub iron_sources: Vec<String>,
    /// The parts of the purée, the largest first.
    pub parts: Vec<Suggested>,
    /// What a serving holds.
    pub serving: SuggestedServing,
    /// Energy, kcal in a gram.
    pub energy_kcal_per_g: f64,
    /// Dry matter, as a share of the mass, 0 to 1.
    pub dry_matter: f64,
    /// Density, g/ml.
    pub density: f64,
    /// The number of foods that are new to the child.
    pub new_foods: usize,
    /// Limits that hold it back.
    pub held_back: Vec<LimitKind>,
    /// Families that earlier answers are from, and that are ruled out here.
    pub without: Vec<String>,
    /// The amounts to weigh out.
    pub kitchen: KitchenAmounts,
}

/// The kind of a part of a purée.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PartOf {
    /// A food, with its name and role.
    Food(FoodId, String, String),
    /// The purée that is added to.
    Base,
    /// Water.
    Water,
}

/// A part of a suggested purée.
#[derive(Debug, Clone)]
pub struct Suggested {
    /// The food, the base or the water.
    pub part: PartOf,
    /// Samples behind its iron value; `None` for a base and water.
    pub iron_analyses: Option<u32>,
    /// The share of the purée, 0 to 1.
    pub share: f64,
    /// Least and most share; `None` for water.
    pub limits: Option<(f64, f64)>,
    /// Grams in a serving, as cooked.
    pub grams: f64,
    /// Grams in a serving, raw and trimmed.
    pub edible_raw: f64,
    /// Iron that it brings to a serving, mg.
    pub iron: f64,
    /// Whether it is new to the child.
    pub new: bool,
}

/// What a serving holds.
#[derive(Debug, Clone)]
pub struct SuggestedServing {
    /// Mass, g.
    pub grams: f64,
    /// The nutrient of the request, in its unit.
    pub goal: f64,
    /// Iron, mg.
    pub iron: f64,
    /// Iron of meat, poultry, liver and fish, mg.
    pub iron_from_meat_or_fish: f64,
    /// Vitamin C beside iron, in molecules for each atom; `None` where there is no iron. A lower
    /// bound where a value is missing.
    pub vitamin_c_to_iron: Option<f64>,
    /// Whether the vitamin C of a food in it is not known.
    pub vitamin_c_lacks: bool,
    /// Energy, kcal.
    pub energy: f64,
    /// Sodium, mg.
    pub sodium: f64,
    /// Retinol, µg.
    pub retinol: f64,
    /// Cost, in the currency of the request; `None` where a price is missing.
    pub cost: Option<f64>,
}

/// Finds suggestions for a request, or how near its limits can be met. `cubes` are made at a time.
///
/// Errors: a table cannot be read; what is asked contradicts itself.
pub fn combine(
    stock: &Candidates,
    ask: &CombineRequest,
    cubes: u32,
) -> Result<Combinations, CombineError> {
    let selection = stock.selection(ask)?;
    let suggestions = suggestions(&selection, cubes)?;
    let nearest = if suggestions.is_empty() {
        nearest(stock, &selection)?
    } else {
        Vec::new()
    };
    Ok(Combinations {
        suggestions,
        nearest,
        candidates: selection.open.len(),
        left_out: selection.left_out,
    })
}

fn suggestions(selection: &Selection<'_>, cubes: u32) -> Result<Vec<Suggestion>, CombineError> {
    let ask = selection.ask;
    let mut narrowed = selection.as_asked();
    if ask.prefer == Prefer::FewestNew {
        let Some(fewest) = fewest_new(selection)? else {
            return Ok(Vec::new());
        };
        narrowed = fewest;
    }
    let aim = match ask.prefer {
        Prefer::Cheapest => LimitKind::Money,
        Prefer::Most | Prefer::FewestNew => LimitKind::Target,
    };
    let mut found: Vec<Suggestion> = Vec::new();
    while found.len() < ask.answers {
        let Some(best) = best(selection, aim, &narrowed)? else {
            break;
        };
        let suggestion = suggestion(selection, &best, &found, cubes);
        let last = best.added.is_empty() || suggestion.iron_sources.is_empty();
        let spent = &suggestion.iron_sources;
        let family = |at: usize| &selection.items[at].part.family;
        narrowed.open.retain(|at| !spent.contains(family(*at)));
        let together = usize::from(narrowed.added.1 > 1);
        narrowed.earlier.push((best.added, together));
        found.push(suggestion);
        if last {
            // Nothing that is added brings iron: there is no other kind.
            break;
        }
    }
    Ok(found)
}

/// The best set of foods for a narrowed request.
pub(super) fn best(
    selection: &Selection<'_>,
    aim: LimitKind,
    narrowed: &Narrowed,
) -> Result<Option<Best>, CombineError> {
    match selection.question(aim, (None, true), narrowed) {
        Some(question) => Ok(question.best()?),
        None => Ok(None),
    }
}

/// Narrows to the fewest new foods with which the limits can be kept, and of those to the fewest
/// foods.
fn fewest_new(selection: &Selection<'_>) -> Result<Option<Narrowed>, CombineError> {
    let asked = selection.as_asked();
    let most = asked.most_new.unwrap_or(asked.added.1);
    for new in selection.new_among_must()..=most {
        for added in asked.added.0..=asked.added.1 {
            let narrowed = Narrowed {
                most_new: Some(new),
                added: (added, added),
                ..asked.clone()
            };
            if best(selection, LimitKind::Target, &narrowed)?.is_some() {
                return Ok(Some(narrowed));
            }
        }
    }
    Ok(None)
}

fn suggestion(
    selection: &Selection<'_>,
    best: &Best,
    earlier: &[Suggestion],
    cubes: u32,
) -> Suggestion {
    let column = |place: usize| selection.column(place);
    let volume = best.mean(|at| column(at).volume);
    let grams = selection.ask.serving_size().millilitres() / volume;
    let iron = best.mean(|at| column(at).iron);
    let vitamin_c = best.mean(|at| column(at).vitamin_c.unwrap_or(0.0));
    let priced = best
        .shares
        .iter()
        .all(|(place, _)| match selection.items.get(*place) {
            Some(item) => item.cost.is_some(),
            None if *place == selection.water_place() => true,
            None => selection.base.is_none_or(|base| base.cost.is_some()),
        });
    let parts = parts(selection, best, grams);
    let items = best
        .shares
        .iter()
        .filter_map(|(place, _)| selection.items.get(*place));
    Suggestion {
        added: best
            .added
            .iter()
            .map(|at| selection.items[*at].food.id.clone())
            .collect(),
        iron_sources: iron_sources(selection, best),
        serving: SuggestedServing {
            grams,
            goal: best.mean(|at| column(at).goal) * grams,
            iron: iron * grams,
            iron_from_meat_or_fish: best.mean(|at| meat_iron(selection, at)) * grams,
            vitamin_c_to_iron: (iron > 0.0).then(|| vitamin_c / VITAMIN_C_MG_FOR_IRON_MG / iron),
            vitamin_c_lacks: best
                .shares
                .iter()
                .any(|(at, share)| *share > 0.0 && column(*at).vitamin_c.is_none()),
            energy: best.mean(|at| column(at).energy) * grams,
            sodium: best.mean(|at| column(at).sodium) * grams,
            retinol: best.mean(|at| column(at).retinol) * grams,
            cost: (selection.ask.prices.is_some() && priced)
                .then(|| best.mean(|at| selection.cost(at)) * grams),
        },
        energy_kcal_per_g: best.mean(|at| column(at).energy),
        dry_matter: best.mean(|at| column(at).dry_matter),
        density: 1.0 / volume,
        new_foods: items.filter(|item| item.new).count(),
        held_back: held_back(selection, best),
        without: sources_of(earlier),
        kitchen: weighed_out(selection, best, cubes),
        parts,
    }
}

/// The families of earlier answers.
fn sources_of(earlier: &[Suggestion]) -> Vec<String> {
    let all = earlier
        .iter()
        .flat_map(|suggestion| &suggestion.iron_sources);
    all.cloned().collect()
}

/// Iron of meat and fish in a gram of what is at a place.
fn meat_iron(selection: &Selection<'_>, place: usize) -> f64 {
    match selection.items.get(place) {
        Some(item) if selection.role(item).is_meat_or_fish() => item.column.iron,
        Some(_) => 0.0,
        None if place == selection.water_place() => 0.0,
        None => {
            let foods = selection.base.iter().flat_map(|base| &base.foods);
            let of_meat = |food: &&super::base::BaseFood| {
                selection
                    .base_role(food)
                    .is_some_and(super::tables::Role::is_meat_or_fish)
            };
            foods.filter(of_meat).map(|food| food.iron).sum()
        }
    }
}

impl Selection<'_> {
    /// The food, the added water or the base at a place among the parts of the purée.
    pub(super) fn part_of(&self, place: usize) -> PartOf {
        match self.items.get(place) {
            Some(item) => PartOf::Food(
                item.food.id.clone(),
                item.food.name.clone(),
                self.role(item).role.clone(),
            ),
            None if place == self.water_place() => PartOf::Water,
            None => PartOf::Base,
        }
    }
}

fn parts(selection: &Selection<'_>, best: &Best, grams: f64) -> Vec<Suggested> {
    let mut parts: Vec<Suggested> = best
        .shares
        .iter()
        .map(|(place, share)| {
            let item = selection.items.get(*place);
            let column = selection.column(*place);
            Suggested {
                part: selection.part_of(*place),
                iron_analyses: item.map(|item| item.iron_analyses),
                share: *share,
                limits: selection.shares(*place),
                grams: share * grams,
                edible_raw: share * grams * column.edible,
                iron: share * grams * column.iron,
                new: item.is_some_and(|item| item.new),
            }
        })
        .collect();
    parts.sort_by(|a, b| b.share.total_cmp(&a.share));
    parts
}

/// The families that bring the added iron.
fn iron_sources(selection: &Selection<'_>, best: &Best) -> Vec<String> {
    let mut by_share = best.shares.clone();
    by_share.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut families: Vec<(&str, f64)> = Vec::new();
    for (place, share) in by_share
        .iter()
        .filter(|(place, _)| best.added.contains(place))
    {
        let item = selection.items[*place];
        let iron = share * item.column.iron;
        match families
            .iter_mut()
            .find(|(family, _)| *family == item.part.family)
        {
            Some((_, sum)) => *sum += iron,
            None => families.push((&item.part.family, iron)),
        }
    }
    let all: f64 = families.iter().map(|(_, iron)| iron).sum();
    if all <= 0.0 {
        return Vec::new();
    }
    // A stable sort keeps the larger share before the smaller where both bring the same.
    families.sort_by(|a, b| b.1.total_cmp(&a.1));
    let sources = families.iter().enumerate();
    let sources = sources.filter(|(at, (_, iron))| *at == 0 || *iron >= all * A_SOURCE);
    sources
        .map(|(_, (family, _))| (*family).to_string())
        .collect()
}

fn held_back(selection: &Selection<'_>, best: &Best) -> Vec<LimitKind> {
    let limits = selection.limits(None, true).into_iter();
    let reached = limits.filter(|(_, row)| best.mean(|place| row[place]).abs() < REACHED);
    reached.map(|(kind, _)| kind).collect()
}
