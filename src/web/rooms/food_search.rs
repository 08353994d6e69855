//! The search for foods by kitchen words: a part of a page, and alone for updates while typing.

use std::collections::BTreeSet;

use askama::Template;

use super::stops;
use crate::food::search::Hit;
use crate::food::{Food, FoodId};
use crate::household::BookJudge;
use crate::report::objection_lines;
use crate::spoken::food_words;
use crate::web::error::PageError;
use crate::web::objections::gravest_stop;
use crate::web::request::{PageRequest, Reply};
use crate::words::counted;

/// The most foods that a search lists.
const LISTED: usize = 20;
/// The most foods that a choice offers.
pub(super) const OFFERED: usize = 8;
/// The longest search text, in characters.
const LONGEST: usize = 100;

/// A food that was found.
pub(super) struct FoundFood {
    pub(super) id: String,
    pub(super) name: String,
    pub(super) about: String,
    /// The objection that stops the food; `None` where there is none, or where nobody asked.
    stop: Option<FoodStop>,
}

/// The gravest stop of a food for the children that are seen.
struct FoodStop {
    mark: String,
    /// The reason; empty where it stands at a food above.
    reason: String,
}

/// The results: a list of links, or buttons that add a food to a recipe.
#[derive(Template)]
#[template(path = "web/found.html")]
pub(super) struct FoundPart<'a> {
    words: &'a str,
    found: Vec<FoundFood>,
    status: String,
    offered: bool,
}

/// The part of the page for the search of foods.
pub(in crate::web) fn listed(request: &PageRequest<'_>) -> Result<Reply, PageError> {
    Reply::page(&FoundPart::listed(
        request,
        request.address.query.text("words"),
    )?)
}

/// The part of the page for a recipe that is written.
pub(in crate::web) fn offered(request: &PageRequest<'_>) -> Result<Reply, PageError> {
    Reply::page(&FoundPart::offered(
        request,
        request.address.query.text("words"),
    )?)
}

impl<'a> FoundPart<'a> {
    fn of(
        request: &PageRequest<'_>,
        words: &'a str,
        (most, offered): (usize, bool),
    ) -> Result<Self, PageError> {
        let mut found = found_by(request, &food_words(words)?, most)?;
        mark_stops(request, &mut found)?;
        Ok(Self {
            status: status_words(words, &found),
            words,
            found,
            offered,
        })
    }

    pub(super) fn listed(request: &PageRequest<'_>, words: &'a str) -> Result<Self, PageError> {
        Self::of(request, words, (LISTED, false))
    }

    pub(super) fn offered(request: &PageRequest<'_>, words: &'a str) -> Result<Self, PageError> {
        Self::of(request, words, (OFFERED, true))
    }
}

/// A sentence for those who do not see the list.
fn status_words(words: &str, found: &[FoundFood]) -> String {
    match found.len() {
        _ if words.is_empty() => String::new(),
        0 => "Nothing found".into(),
        many => counted(many, "food") + " found",
    }
}

/// The foods that match kitchen words.
pub(super) fn found_by(
    request: &PageRequest<'_>,
    words: &str,
    most: usize,
) -> Result<Vec<FoundFood>, PageError> {
    if words.is_empty() || words.chars().count() > LONGEST {
        return Ok(Vec::new());
    }
    let hits = request.state.pantry(&request.place)?.search(words, most)?;
    let hit = |hit: Hit| FoundFood {
        // Packaged foods have no group; the manufacturer distinguishes them.
        about: match data_import::group_name(&hit.group) {
            Some(group) => group.to_string(),
            None if hit.manufacturer.is_empty() => hit.group,
            None => hit.manufacturer,
        },
        id: hit.id,
        name: hit.name,
        stop: None,
    };
    Ok(hits.into_iter().map(hit).collect())
}

/// Marks the foods that are stopped for a child that is seen.
fn mark_stops(request: &PageRequest<'_>, found: &mut [FoundFood]) -> Result<(), PageError> {
    if found.is_empty() {
        return Ok(());
    }
    let settings = &request.book.settings;
    let pantry = request.state.pantry(&request.place)?;
    let judge = BookJudge::new(settings, Some(request.record()?), &pantry)?;
    let parsed = found.iter().map(|hit| hit.id.parse());
    let ids: Vec<FoodId> = parsed.collect::<Result<_, _>>()?;
    let foods: Vec<Food> = pantry.foods(&ids)?.into_iter().flatten().collect();
    let judged = judge.stops(&foods, request.today, None)?;
    let mut given = BTreeSet::new();
    for (food, mut objections) in foods.iter().zip(judged) {
        objections.retain(|one| request.is_seen(&one.child));
        let lines = objection_lines(&objections);
        let stop = gravest_stop(&lines).map(|(_, reason)| {
            let mark = stops::mark(&objections, settings);
            let is_new = given.insert((mark.clone(), reason.to_string()));
            let reason = reason.to_string();
            FoodStop {
                mark,
                reason: if is_new { reason } else { String::new() },
            }
        });
        if let Some(hit) = found.iter_mut().find(|hit| hit.id == food.id.as_str()) {
            hit.stop = stop;
        }
    }
    Ok(())
}
