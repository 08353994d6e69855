//! How near each limit can be met while all the others hold, where no purée meets the request. No
//! limit is ever dropped silently.

use data_import::FoodId;

use super::CombineError;
use super::answers::{PartOf, best};
use super::ask::{CombineRequest, MOST_ADDED};
use super::question::Best;
use super::selection::{LimitKind, Narrowed, Selection};
use super::stock::Candidates;

/// A limit, and how near to it a purée comes.
#[derive(Debug, Clone)]
pub struct Near {
    /// Which limit.
    pub limit: NearLimit,
    /// What the request asks for.
    pub wanted: Wanted,
    /// What is possible; for a food that stays out, that it would help.
    pub possible: Wanted,
    /// The foods that are added then.
    pub foods: Vec<FoodId>,
    /// Names of these foods.
    pub names: Vec<String>,
    /// The shares of the purée with these foods, each 0 to 1.
    pub shares: Vec<(PartOf, f64)>,
}

/// Which limit stands in the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NearLimit {
    /// This limit alone.
    One(LimitKind),
    /// This limit and the target together.
    WithTarget(LimitKind),
    /// How many foods may be new.
    NewFoods,
    /// How many foods may be added.
    FoodsAdded,
    /// The foods that stay out by wish.
    Without,
}

/// A value of a limit.
#[derive(Debug, Clone, PartialEq)]
pub enum Wanted {
    /// A figure in the limit's unit.
    Figure(f64),
    /// A number of foods.
    Count(usize),
    /// The food or the kind of foods that stays out.
    Word(String),
    /// That the purée would be possible.
    Would,
}

/// The limits that are dropped one by one, in the order in which they are shown.
const LET_GO: [LimitKind; 8] = [
    LimitKind::Target,
    LimitKind::EnergyDensity,
    LimitKind::Money,
    LimitKind::Sodium,
    LimitKind::Retinol,
    LimitKind::VitaminC,
    LimitKind::Thickest,
    LimitKind::Thinnest,
];

pub(super) fn nearest(
    stock: &Candidates,
    selection: &Selection<'_>,
) -> Result<Vec<Near>, CombineError> {
    let asked = selection.as_asked();
    let mut found = Vec::new();
    for kind in LET_GO {
        let limit = NearLimit::One(kind);
        let near = let_go(selection, &asked, kind, limit, kind != LimitKind::Target)?;
        found.extend(near);
    }
    if found.is_empty() {
        for kind in LET_GO.into_iter().skip(1) {
            let limit = NearLimit::WithTarget(kind);
            found.extend(let_go(selection, &asked, kind, limit, false)?);
        }
    }
    found.extend(more_new(selection, &asked)?);
    found.extend(more_foods(selection, &asked)?);
    for word in &selection.ask.without {
        found.extend(with(stock, selection.ask, word)?);
    }
    Ok(found)
}

/// How near one limit can be met while the others hold.
fn let_go(
    selection: &Selection<'_>,
    asked: &Narrowed,
    kind: LimitKind,
    limit: NearLimit,
    with_target: bool,
) -> Result<Option<Near>, CombineError> {
    let Some(wanted) = wanted(selection, kind) else {
        return Ok(None);
    };
    let Some(question) = selection.question(kind, (Some(kind), with_target), asked) else {
        return Ok(None);
    };
    let best = question.best()?;
    Ok(best.map(|best| {
        let ratio = best.ratio;
        let possible = if is_least(kind) { ratio } else { -ratio };
        let figures = (Wanted::Figure(wanted), Wanted::Figure(possible));
        near(selection, &best, limit, figures)
    }))
}

/// Whether a limit is a least, not a most.
fn is_least(kind: LimitKind) -> bool {
    matches!(
        kind,
        LimitKind::Target | LimitKind::EnergyDensity | LimitKind::VitaminC | LimitKind::Thinnest
    )
}

/// The figure that the request sets for a limit, in its unit; `None` where it sets none.
fn wanted(selection: &Selection<'_>, kind: LimitKind) -> Option<f64> {
    use rust_decimal::prelude::ToPrimitive as _;
    let ask = selection.ask;
    let limits = &ask.limits;
    match kind {
        LimitKind::Target => ask.at_least,
        LimitKind::EnergyDensity => limits.energy_kcal_per_g,
        LimitKind::Money => limits.cost?.amount().to_f64(),
        LimitKind::Sodium => selection.sodium_mg,
        LimitKind::Retinol => limits.retinol_share,
        LimitKind::VitaminC => limits.vitamin_c_to_iron,
        LimitKind::Thickest => Some(limits.dry_matter_max),
        LimitKind::Thinnest => Some(limits.dry_matter_min),
        LimitKind::Share(_) => None,
    }
}

/// The fewest new foods above those allowed with which there is a purée.
fn more_new(selection: &Selection<'_>, asked: &Narrowed) -> Result<Option<Near>, CombineError> {
    let Some(most) = asked.most_new else {
        return Ok(None);
    };
    let among = selection.new_among_must();
    for new in (most + 1).max(among)..=among + asked.added.1 {
        let narrowed = Narrowed {
            most_new: Some(new),
            ..asked.clone()
        };
        if let Some(best) = best(selection, LimitKind::Target, &narrowed)? {
            let counts = (Wanted::Count(most), Wanted::Count(new));
            return Ok(Some(near(selection, &best, NearLimit::NewFoods, counts)));
        }
    }
    Ok(None)
}

/// Whether one food more would make a purée possible.
fn more_foods(selection: &Selection<'_>, asked: &Narrowed) -> Result<Option<Near>, CombineError> {
    let most = asked.added.1;
    if most >= MOST_ADDED {
        return Ok(None);
    }
    let narrowed = Narrowed {
        added: (asked.added.0, most + 1),
        ..asked.clone()
    };
    let best = best(selection, LimitKind::Target, &narrowed)?;
    let counts = (Wanted::Count(most), Wanted::Count(most + 1));
    Ok(best.map(|best| near(selection, &best, NearLimit::FoodsAdded, counts)))
}

/// Whether something that stays out by wish would make a purée possible.
fn with(
    stock: &Candidates,
    ask: &CombineRequest,
    word: &str,
) -> Result<Option<Near>, CombineError> {
    let without = ask.without.iter().filter(|other| *other != word);
    let other = CombineRequest {
        without: without.cloned().collect(),
        ..ask.clone()
    };
    let selection = stock.selection(&other)?;
    let best = best(&selection, LimitKind::Target, &selection.as_asked())?;
    let figures = (Wanted::Word(word.to_string()), Wanted::Would);
    Ok(best.map(|best| near(&selection, &best, NearLimit::Without, figures)))
}

fn near(
    selection: &Selection<'_>,
    best: &Best,
    limit: NearLimit,
    (wanted, possible): (Wanted, Wanted),
) -> Near {
    let items = || best.added.iter().map(|at| selection.items[*at]);
    Near {
        limit,
        wanted,
        possible,
        foods: items().map(|item| item.food.id.clone()).collect(),
        names: items().map(|item| item.food.name.clone()).collect(),
        shares: best
            .shares
            .iter()
            .map(|(place, share)| (selection.part_of(*place), *share))
            .collect(),
    }
}
