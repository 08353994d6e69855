//! The first page: what today asks for, and the planned meals to tick off.

use crate::words::counted;
use askama::Template;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::at_hand::{self, Again, DishAtHand, due_meal};
use super::catch_up;
use super::meal_form::serve;
use super::phrases::{self, Last, SelectOption};
use super::planned_meal::{Planned, feeding};
use crate::household::{Forecast, eaten_days, plan_facts, planned_meal};
use crate::notebook::{Outlook, Plan, Slot, Store};
use crate::planning::agenda::{Agenda, AgendaMeal, Outcome};
use crate::planning::facts::{Facts, Span};
use crate::report::{TasteReport, iron_at_a_glance, planned_list, thawing, to_thaw};
use crate::spoken::Lookup as _;
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::layout::Layout;
use crate::web::request::{PageRequest, Reply};
use crate::words::day;

/// Cubes of which the last day is nearer than this are named.
const SOON_DAYS: i64 = 7;
/// A planned meal is ticked off at most so many days later.
const LATEST_DAYS: i32 = 7;

#[derive(Template)]
#[template(path = "web/today.html")]
struct TodayPage {
    frame: Layout,
    day: String,
    today: Date,
    /// The reactions that are open, each in a sentence.
    open: Vec<String>,
    meals: Vec<Planned>,
    /// Whether the meals of several children stand side by side, the same meal of each beside the other.
    abreast: bool,
    /// The meal that is due, for what is not planned; `None` where all of today are on record.
    due: Option<String>,
    dishes: Vec<DishAtHand>,
    /// Further dishes of the freezer.
    more: usize,
    /// The one child that is seen, of several: a dish is served to that one.
    seen: Option<String>,
    /// The children to choose from, where all are seen.
    children: Vec<SelectOption>,
    /// Whether the book has one child at most, so that another may be added.
    alone: bool,
    meal_names: Vec<SelectOption>,
    /// The meal of yesterday, by child.
    again: Vec<(String, Again)>,
    thaw: Vec<String>,
    /// Days of which nothing is written down, by child.
    gaps: Vec<String>,
    thawing: Option<String>,
    /// When the next new food may come, by child.
    next: Vec<(String, String)>,
    past: Vec<Soon>,
    soon: Vec<Soon>,
    soon_until: String,
    iron: Vec<(String, String)>,
    wrong: Wrong,
    last: Option<Last>,
}

/// Cubes that are to be eaten soon.
struct Soon {
    id: i64,
    words: String,
    use_by: String,
    when: String,
}

/// Shows the day.
pub(in crate::web) fn show(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    Reply::page(&filled(visit, None, Wrong::default())?)
}

/// Ticks off a planned meal.
pub(in crate::web) fn record(visit: &PageRequest<'_>, fields: &Fields) -> Result<Reply, PageError> {
    let slot = slot(visit, fields)?;
    let child = visit.book.settings.child(Some(&slot.child))?;
    let mut wrong = Wrong::default();
    let went = phrases::went(fields, &mut wrong);
    let seen = phrases::seen(fields, &mut wrong);
    let store = visit.record()?;
    if let Some(words) = passed_by(visit, store, &slot, fields.text("planned"))? {
        wrong.say("parts", words);
    } else if let (Some(went), Some(seen)) = (went, seen)
        && let Some(servings) = planned_meal(store, visit, &slot)?
    {
        let feeding = feeding(&slot, &servings, (went, seen));
        let (name, on, went) = (&slot.meal, day(slot.day), went.words());
        let done = format!("{}, {name}, {on}: as planned, {went}.", slot.child);
        let (form, meal) = ((fields, "parts"), (child, &feeding));
        if let Some(answer) = serve(visit, form, meal, done, ("/", "/"), "/", &mut wrong)? {
            return Ok(answer);
        }
    }
    Reply::wrong(&filled(visit, Some((&slot, fields)), wrong)?)
}

/// The meal that a form is about. Its day, child and meal stand in hidden fields: what does not fit is no form of ours.
fn slot(visit: &PageRequest<'_>, fields: &Fields) -> Result<Slot, PageError> {
    let on: Date = fields.text("on").parse().map_err(|_| PageError::NotFound)?;
    let earliest = visit.today.saturating_sub(LATEST_DAYS.days());
    if !(earliest..=visit.today).contains(&on) {
        return Err(PageError::NotFound);
    }
    Ok(Slot {
        day: on,
        child: fields.text("child").to_string(),
        meal: fields.text("meal").to_string(),
    })
}

/// Why a meal is not to be recorded as it was shown: it was changed, or is on record by now.
fn passed_by(
    visit: &PageRequest<'_>,
    store: &Store,
    slot: &Slot,
    shown: &str,
) -> Result<Option<&'static str>, PageError> {
    let facts = facts(visit, store, slot.day)?;
    let agenda = Agenda::of(&facts);
    let meal = agenda.meals.iter().find(|meal| meal.slot == *slot);
    Ok(match meal {
        Some(meal) if meal.outcome != Outcome::Open => Some("This meal is on record already."),
        Some(_) if planned_list(&facts, facts.plan.meals.get(slot)) == shown => None,
        _ => Some("The plan was changed since this page was opened: look at the meal again."),
    })
}

fn facts<'a>(
    visit: &'a PageRequest<'_>,
    store: &Store,
    from: Date,
) -> Result<Facts<'a>, PageError> {
    let span = Span {
        today: visit.today,
        from,
        to: visit.today,
    };
    let new = Plan::default();
    Ok(plan_facts(&visit.book, store, visit.foods()?, span, new)?)
}

/// The page; `again` is the form that has mistakes.
fn filled(
    visit: &PageRequest<'_>,
    again: Option<(&Slot, &Fields)>,
    wrong: Wrong,
) -> Result<TodayPage, PageError> {
    let store = visit.record()?;
    let (today, settings) = (visit.today, &visit.book.settings);
    let from = again.map_or(today, |(slot, _)| slot.day);
    let facts = facts(visit, store, from)?;
    let agenda = Agenda::of(&facts);
    let tomorrow = today.saturating_add(1.day());
    let thaw = to_thaw(&facts, &agenda.clone().between(tomorrow, tomorrow));
    let asked = |meal: &&AgendaMeal| {
        meal.slot.day == today && visit.is_seen(&meal.slot.child)
            || again.is_some_and(|(slot, _)| meal.slot == *slot)
    };
    let place = |meal: &&AgendaMeal| {
        let child = settings
            .children
            .iter()
            .position(|one| one.name == meal.slot.child);
        (
            meal.slot.day,
            settings.meals.iter().position(|one| *one == meal.slot.meal),
            child,
        )
    };
    let mut meals: Vec<&AgendaMeal> = agenda.meals.iter().filter(asked).collect();
    meals.sort_by_key(place);
    let meals = meals.into_iter().enumerate();
    let meals = meals.map(|numbered| Planned::of(visit, store, &facts, numbered, again));
    let meals: Vec<Planned> = meals.collect::<Result<_, PageError>>()?;
    let first = meals.first().map(|one| &one.child);
    let abreast = meals.iter().any(|one| Some(&one.child) != first);
    let outlook = Forecast::of(&visit.book, store, today, 0)?.outlook();
    // Batches past their last day are never offered to be eaten.
    let past = outlook.iter().filter(|one| one.days_left < 0);
    let near = outlook
        .iter()
        .filter(|one| (0..SOON_DAYS).contains(&one.days_left));
    let (dishes, more) = at_hand::dishes(visit, store, &outlook)?;
    let due = due_meal(visit)?;
    let again = visit.children().iter().filter_map(|child| {
        let due = due.as_deref()?;
        let again = at_hand::again(visit, store, (child, due), &outlook).transpose()?;
        Some(again.map(|again| (child.name.clone(), again)))
    });
    let gaps = catch_up::gaps(visit)?.into_iter().map(|(child, days)| {
        let days = counted(days.len(), "day");
        format!("{}: nothing is written down for {days}.", child.name)
    });
    let tastes = tastes(visit, &facts)?;
    Ok(TodayPage {
        gaps: gaps.collect(),
        dishes,
        more,
        children: match visit.seen_child() {
            Some(_) => Vec::new(),
            None => phrases::children(settings, ""),
        },
        seen: visit.seen_child().map(|child| child.name.clone()),
        alone: settings.children.len() < 2,
        meal_names: phrases::meals(settings, due.as_deref().unwrap_or_default()),
        again: again.collect::<Result<_, PageError>>()?,
        due,
        today,
        frame: Layout::of(visit, "Today", "/"),
        day: today.strftime("%A, %-d %B").to_string(),
        meals,
        abreast,
        thawing: if thaw.is_empty() { None } else { thawing()? },
        thaw,
        open: tastes.iter().flat_map(TasteReport::open_in_short).collect(),
        next: next_tastes(&tastes),
        past: past.map(soon).collect(),
        soon: near.map(soon).collect(),
        soon_until: day(today.saturating_add((SOON_DAYS - 1).days())),
        iron: iron(visit, store)?,
        wrong,
        last: phrases::last(visit)?,
    })
}

/// What each child that is seen has tasted.
fn tastes(visit: &PageRequest<'_>, facts: &Facts<'_>) -> Result<Vec<TasteReport>, PageError> {
    let settings = &visit.book.settings;
    let known = visit.children().iter();
    let known = known.filter_map(|child| Some((child, facts.tastes.get(&child.name)?)));
    let tastes = known.map(|(child, record)| {
        Ok(TasteReport::new(
            record,
            child,
            settings,
            (visit.today, Vec::new()),
            Vec::new(),
        )?)
    });
    tastes.collect()
}

/// When each child may have the next new food.
fn next_tastes(tastes: &[TasteReport]) -> Vec<(String, String)> {
    let next = tastes.iter();
    next.map(|one| (one.child.clone(), one.next.clone()))
        .collect()
}

/// The same in a line, for the children that are seen.
pub(super) fn next_tastes_of(visit: &PageRequest<'_>) -> Result<String, PageError> {
    let (store, today) = (visit.record()?, visit.today);
    let next = next_tastes(&tastes(visit, &facts(visit, store, today)?)?);
    Ok(match next.as_slice() {
        [(_, words)] => words.clone(),
        several => {
            let each = several
                .iter()
                .map(|(name, words)| format!("{name}: {words}"));
            each.collect::<Vec<_>>().join(" ")
        }
    })
}

/// The iron of yesterday, child by child.
fn iron(visit: &PageRequest<'_>, store: &Store) -> Result<Vec<(String, String)>, PageError> {
    let yesterday = visit.today.saturating_sub(1.day());
    let pantry = visit.foods()?;
    let born = visit.children().iter();
    let born = born.filter(|child| child.born <= yesterday);
    let iron = born.map(|child| {
        let kept = eaten_days(store, &pantry, child, (yesterday, yesterday))?;
        let words = iron_at_a_glance(&kept.week);
        let words = words.unwrap_or_else(|| "no meal is on record".into());
        Ok((child.name.clone(), words))
    });
    iron.collect()
}

fn soon(one: &Outlook) -> Soon {
    let batch = &one.stock.batch;
    Soon {
        id: batch.id,
        words: format!("{} of {}", counted(one.stock.left, "cube"), batch.title),
        use_by: day(batch.use_by),
        when: phrases::when(one.days_left),
    }
}
