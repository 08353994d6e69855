//! The first page: what today asks for, and the planned meals to tick off.

use askama::Template;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::at_hand::{self, Again, DishAtHand, due_meal};
use super::catch_up;
use super::meal_form::serve;
use super::phrases::{self, Last, SelectOption};
use super::planned_meal::{Planned, feeding};
use crate::household::{Forecast, eaten_days, plan_facts, planned_meal};
use crate::notebook::{Outlook, Plan, Slot};
use crate::planning::agenda::{Agenda, AgendaMeal, Outcome};
use crate::planning::facts::{Facts, Span};
use crate::report::{TasteReport, iron_at_a_glance, planned_list, thawing, to_thaw};
use crate::spoken::Lookup as _;
use crate::web::{Fields, Layout, PageAnswer, PageError, PageRequest, PageResult, Reply, Wrong};
use crate::words::{counted, day};

/// Cubes with fewer days left than this are listed (judgement).
const SOON_DAYS: i64 = 7;
/// The most days after which a planned meal is still ticked off (judgement).
const LATEST_DAYS: i32 = 7;

#[derive(Template)]
#[template(path = "web/today.html")]
struct TodayPage {
    layout: Layout,
    day: String,
    today: Date,
    /// The reactions that are open, each in a sentence.
    open: Vec<String>,
    meals: Vec<Planned>,
    /// Whether the meals of several children stand side by side.
    abreast: bool,
    /// The meal that is due, for food that is not planned; `None` where all meals of today are on
    /// record.
    due: Option<String>,
    dishes: Vec<DishAtHand>,
    /// Further dishes of the freezer.
    more: usize,
    /// The child that is seen, of several: a dish is served to that child.
    seen: Option<String>,
    /// The children to choose from, where all are seen.
    children: Vec<SelectOption>,
    /// Whether the book has one child at most, so that another may be added.
    alone: bool,
    meal_names: Vec<SelectOption>,
    /// The meal of yesterday, by child.
    again: Vec<(String, Again)>,
    thaw: Vec<String>,
    /// Sentences about days of which nothing is written down, one for each child.
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
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, None, Wrong::default())?)
}

/// Ticks off a planned meal.
pub(in crate::web) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let slot = slot(request, fields)?;
    let child = request.book.settings.child(Some(&slot.child))?;
    let mut wrong = Wrong::default();
    let went = phrases::went(fields, &mut wrong);
    let seen = phrases::seen(fields, &mut wrong);
    let store = request.record()?;
    if let Some(words) = outdated(request, &slot, fields.text("planned"))? {
        wrong.say("parts", words);
    } else if slot.day != request.today && !fields.text("opened").is_empty() {
        phrases::opened_today(request, fields, "parts", &mut wrong);
    }
    if let (Some(went), Some(seen), true) = (went, seen, wrong.is_empty())
        && let Some(servings) = planned_meal(store, request, &slot)?
    {
        let feeding = feeding(&slot, &servings, (went, seen));
        let (name, on, went) = (&slot.meal, day(slot.day), went.words());
        let done = format!("{}, {name}, {on}: as planned, {went}.", slot.child);
        let (form, meal) = ((fields, "parts"), (child, &feeding));
        if let Some(answer) = serve(request, form, meal, done, ("/", "/"), "/", &mut wrong)? {
            return Ok(answer);
        }
    }
    Reply::wrong(&filled(request, Some((&slot, fields)), wrong)?)
}

/// The meal that a form is about. The page writes its day, child and meal into hidden fields: a
/// form with others is not from this page.
fn slot(request: &PageRequest<'_>, fields: &Fields) -> PageResult<Slot> {
    let on: Date = fields.parsed("on")?;
    let earliest = request.today.saturating_sub(LATEST_DAYS.days());
    if !(earliest..=request.today).contains(&on) {
        return Err(PageError::NotFound);
    }
    Ok(Slot {
        day: on,
        child: fields.text("child").to_string(),
        meal: fields.text("meal").to_string(),
    })
}

/// Why a meal is not to be recorded as it was shown: it was changed, or is on record by now.
fn outdated(
    request: &PageRequest<'_>,
    slot: &Slot,
    shown: &str,
) -> PageResult<Option<&'static str>> {
    let facts = facts(request, slot.day)?;
    let agenda = Agenda::of(&facts);
    let meal = agenda.meals.iter().find(|meal| meal.slot == *slot);
    Ok(match meal {
        Some(meal) if meal.outcome != Outcome::Open => Some("This meal is on record already."),
        Some(_) if planned_list(&facts, facts.plan.meals.get(slot)) == shown => None,
        _ => Some("The plan was changed since this page was opened: look at the meal again."),
    })
}

/// The plan and the record from a day up to today.
fn facts<'a>(request: &'a PageRequest<'_>, from: Date) -> PageResult<Facts<'a>> {
    let store = request.record()?;
    let span = Span {
        today: request.today,
        from,
        to: request.today,
    };
    let new = Plan::default();
    Ok(plan_facts(
        &request.book,
        store,
        request.foods()?,
        span,
        new,
    )?)
}

/// The page; `again` is the form that has mistakes.
fn filled(
    request: &PageRequest<'_>,
    again: Option<(&Slot, &Fields)>,
    wrong: Wrong,
) -> PageResult<TodayPage> {
    let store = request.record()?;
    let (today, settings) = (request.today, &request.book.settings);
    let from = again.map_or(today, |(slot, _)| slot.day);
    let facts = facts(request, from)?;
    let agenda = Agenda::of(&facts);
    let tomorrow = today.saturating_add(1.day());
    let thaw = to_thaw(&facts, &agenda.clone().between(tomorrow, tomorrow));
    let due = due_meal(request)?;
    let of_plan = (&facts, &agenda, due.as_deref());
    let meals = planned_meals(request, of_plan, again)?;
    let first = meals.first().map(|meal| &meal.child);
    let abreast = meals.iter().any(|meal| Some(&meal.child) != first);
    let outlook = Forecast::of(&request.book, store, today, 0)?.outlook();
    let (past, soon) = expiring(&outlook);
    let (dishes, more) = at_hand::dishes(request, &outlook)?;
    let tastes = tastes(request, &facts)?;
    Ok(TodayPage {
        gaps: gaps(request)?,
        dishes,
        more,
        children: match request.seen_child() {
            Some(_) => Vec::new(),
            None => phrases::children(settings, ""),
        },
        seen: request.seen_child().map(|child| child.name.clone()),
        alone: settings.children.len() < 2,
        meal_names: phrases::meals(settings, due.as_deref().unwrap_or_default()),
        again: meals_again(request, due.as_deref(), &outlook)?,
        due,
        today,
        layout: Layout::of(request, "Today", "/"),
        day: today.strftime("%A, %-d %B").to_string(),
        meals,
        abreast,
        thawing: if thaw.is_empty() { None } else { thawing()? },
        thaw,
        open: tastes.iter().flat_map(TasteReport::open_in_short).collect(),
        next: next_tastes(&tastes),
        past,
        soon,
        soon_until: day(today.saturating_add((SOON_DAYS - 1).days())),
        iron: iron(request)?,
        wrong,
        last: phrases::last(request)?,
    })
}

/// The planned meals of today for the children that are seen, and that of the form with mistakes,
/// the one that is due first, then by day, meal and child.
fn planned_meals(
    request: &PageRequest<'_>,
    (facts, agenda, due): (&Facts<'_>, &Agenda, Option<&str>),
    again: Option<(&Slot, &Fields)>,
) -> PageResult<Vec<Planned>> {
    let settings = &request.book.settings;
    let is_shown = |meal: &&AgendaMeal| {
        meal.slot.day == request.today && request.is_seen(&meal.slot.child)
            || again.is_some_and(|(slot, _)| meal.slot == *slot)
    };
    let order = |meal: &&AgendaMeal| {
        let (mut meals, mut children) = (settings.meals.iter(), settings.children.iter());
        let is_due = due == Some(meal.slot.meal.as_str());
        (
            !is_due,
            meal.slot.day,
            meals.position(|name| *name == meal.slot.meal),
            children.position(|child| child.name == meal.slot.child),
        )
    };
    let mut meals: Vec<&AgendaMeal> = agenda.meals.iter().filter(is_shown).collect();
    meals.sort_by_key(order);
    let meals = meals.into_iter().enumerate();
    let meals = meals.map(|numbered| Planned::of(request, facts, numbered, again));
    meals.collect()
}

/// The batches past their last day, which are never offered to be eaten, and those near it.
fn expiring(outlook: &[Outlook]) -> (Vec<Soon>, Vec<Soon>) {
    let past = outlook.iter().filter(|batch| batch.days_left < 0);
    let near = outlook
        .iter()
        .filter(|batch| (0..SOON_DAYS).contains(&batch.days_left));
    (past.map(soon).collect(), near.map(soon).collect())
}

/// The due meal of the day before, for each child that can have it again.
fn meals_again(
    request: &PageRequest<'_>,
    due: Option<&str>,
    outlook: &[Outlook],
) -> PageResult<Vec<(String, Again)>> {
    let Some(due) = due else {
        return Ok(Vec::new());
    };
    let mut all = Vec::new();
    for child in request.children() {
        if let Some(again) = at_hand::again(request, (child, due), outlook)? {
            all.push((child.name.clone(), again));
        }
    }
    Ok(all)
}

/// A sentence for each child with days of which nothing is written down.
fn gaps(request: &PageRequest<'_>) -> PageResult<Vec<String>> {
    let gaps = catch_up::gaps(request)?.into_iter().map(|(child, days)| {
        let days = counted(days.len(), "day");
        format!("{}: nothing is written down for {days}.", child.name)
    });
    Ok(gaps.collect())
}

/// What each child that is seen has tasted.
fn tastes(request: &PageRequest<'_>, facts: &Facts<'_>) -> PageResult<Vec<TasteReport>> {
    let settings = &request.book.settings;
    let known = request.children().iter();
    let known = known.filter_map(|child| Some((child, facts.tastes.get(&child.name)?)));
    let tastes = known.map(|(child, record)| {
        Ok(TasteReport::new(
            record,
            child,
            settings,
            (request.today, Vec::new()),
            Vec::new(),
        )?)
    });
    tastes.collect()
}

/// When each child may have the next new food.
fn next_tastes(tastes: &[TasteReport]) -> Vec<(String, String)> {
    let next = tastes.iter();
    next.map(|report| (report.child.clone(), report.next.clone()))
        .collect()
}

/// When each child that is seen may have the next new food, in a line.
pub(super) fn next_tastes_of(request: &PageRequest<'_>) -> PageResult<String> {
    let next = next_tastes(&tastes(request, &facts(request, request.today)?)?);
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
fn iron(request: &PageRequest<'_>) -> PageResult<Vec<(String, String)>> {
    let store = request.record()?;
    let yesterday = request.today.saturating_sub(1.day());
    let pantry = request.foods()?;
    let born = request.children().iter();
    let born = born.filter(|child| child.born <= yesterday);
    let iron = born.map(|child| {
        let kept = eaten_days(store, &pantry, child, (yesterday, yesterday))?;
        let words = iron_at_a_glance(&kept.week);
        let words = words.unwrap_or_else(|| "no meal is on record".into());
        Ok((child.name.clone(), words))
    });
    iron.collect()
}

fn soon(outlook: &Outlook) -> Soon {
    let batch = &outlook.stock.batch;
    Soon {
        id: batch.id,
        words: format!("{} of {}", counted(outlook.stock.left, "cube"), batch.title),
        use_by: day(batch.use_by),
        when: phrases::when(outlook.days_left),
    }
}
