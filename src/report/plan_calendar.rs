//! A plan as events: what to take out of the freezer on the evening before, and what to cook.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::icalendar::DayEvent;
use super::plan::{short_name, spoken_day};
use crate::notebook::{Child, Pick, PlannedFood, Slot};
use crate::planning::agenda::{Agenda, AgendaCooking, AgendaMeal, AgendaPart, Outcome};
use crate::planning::facts::Facts;
use crate::planning::supply::{StockOrigin, TakenCubes};
use crate::words::{capital, counted, lower, together};

/// The events of what is still to come: one for each evening, from today's on, before a day with
/// cubes; one for each day of cooking.
pub fn events(facts: &Facts<'_>, agenda: &Agenda) -> Vec<DayEvent> {
    let household = mark(&facts.settings.children);
    let mut days: BTreeMap<Date, Vec<&AgendaMeal>> = BTreeMap::new();
    for meal in agenda.meals.iter().filter(|meal| to_come(facts, meal)) {
        days.entry(meal.slot.day).or_default().push(meal);
    }
    let mut events: Vec<DayEvent> = Vec::new();
    for (day, meals) in &days {
        let Ok(evening) = day.yesterday() else {
            continue;
        };
        let thaw: Vec<String> = meals
            .iter()
            .filter_map(|meal| thawed(facts, meal))
            .collect();
        if !thaw.is_empty() && evening >= facts.today {
            events.push(DayEvent {
                uid: format!("thaw-{day}-{household}@trayful.invalid"),
                day: evening,
                summary: format!("Thaw tonight: {}", thaw.join("; ")),
                description: description(facts, *day, meals),
            });
        }
    }
    let mut cooking: BTreeMap<Date, Vec<&AgendaCooking>> = BTreeMap::new();
    for planned in agenda
        .cooking
        .iter()
        .filter(|planned| !planned.done && planned.day >= facts.today)
    {
        cooking.entry(planned.day).or_default().push(planned);
    }
    for (day, cooking) in cooking {
        let batches: Vec<String> = cooking
            .iter()
            .map(|planned| cooking_in_words(facts, planned))
            .collect();
        events.push(DayEvent {
            uid: format!("cook-{day}-{household}@trayful.invalid"),
            day,
            summary: format!("Cook: {}", batches.join("; ")),
            description: String::new(),
        });
    }
    events.sort_by(|a, b| (a.day, &a.uid).cmp(&(b.day, &b.uid)));
    events
}

fn to_come(facts: &Facts<'_>, meal: &AgendaMeal) -> bool {
    meal.outcome == Outcome::Open && meal.slot.day >= facts.today
}

/// Whether cubes of a planned meal are stopped for its child on its day.
pub fn is_stopped(facts: &Facts<'_>, slot: &Slot, (pick, taken): (&Pick, &TakenCubes)) -> bool {
    let lots = taken.parts.iter().map(|(lot, _)| match lot.origin {
        StockOrigin::Batch(id) => format!("#{id}"),
        StockOrigin::Cooking(_) => lot.name.clone(),
    });
    let mut names = lots.chain([pick.name.clone()]);
    names.any(|name| {
        let why = facts.reason_against(&slot.child, &name, slot.day);
        why.is_some()
    })
}

/// `2 red lentil and squash (#3) for lunch`; cubes that are stopped are to stay where they are. `None` where nothing comes from the freezer.
pub(super) fn thawed(facts: &Facts<'_>, meal: &AgendaMeal) -> Option<String> {
    let who = if facts.settings.children.len() > 1 {
        format!("{}'s ", meal.slot.child)
    } else {
        String::new()
    };
    let (mut thaw, mut stopped) = (Vec::new(), Vec::new());
    for part in &meal.parts {
        if let AgendaPart::Cubes(pick, taken) = part
            && frozen_before(taken, meal.slot.day)
        {
            let title = lower(facts.title(&pick.name));
            let words = format!("{} {title}{}", pick.cubes, lots(taken));
            if is_stopped(facts, &meal.slot, (pick, taken)) {
                stopped.push(words);
            } else {
                thaw.push(words);
            }
        }
    }
    let line = |parts: &[String]| format!("{} for {who}{}", together(parts), meal.slot.meal);
    let left = || format!("do not thaw: {} (stopped)", line(&stopped));
    match (thaw.is_empty(), stopped.is_empty()) {
        (true, true) => None,
        (true, false) => Some(capital(&left())),
        (false, true) => Some(line(&thaw)),
        (false, false) => Some(format!("{}; {}", line(&thaw), left())),
    }
}

/// Whether any of the cubes are in the freezer on the evening before.
fn frozen_before(taken: &TakenCubes, day: Date) -> bool {
    taken.parts.iter().any(|(lot, _)| lot.from < day)
}

/// The batches that cubes come from: ` (#3, 1 of #7)`.
fn lots(taken: &TakenCubes) -> String {
    let is_single = taken.parts.len() == 1 && taken.short.is_none();
    let mut named: Vec<String> = taken
        .parts
        .iter()
        .map(|(lot, cubes)| {
            let from = match lot.origin {
                StockOrigin::Batch(id) => format!("#{id}"),
                StockOrigin::Cooking(day) => format!("batch of {}", spoken_day(day)),
            };
            if is_single {
                from
            } else {
                format!("{cubes} of {from}")
            }
        })
        .collect();
    if !taken.short.is_none() {
        named.push(format!("{} not there", taken.short));
    }
    if named.is_empty() {
        return String::new();
    }
    format!(" ({})", named.join(", "))
}

/// The description of a day's event: every meal, with the other food on the plate.
fn description(facts: &Facts<'_>, day: Date, meals: &[&AgendaMeal]) -> String {
    let mut lines = vec![format!("Planned for {}:", spoken_day(day))];
    for meal in meals {
        let parts = meal.parts.iter().map(|part| part_in_words(facts, part));
        let parts: Vec<String> = parts.collect();
        lines.push(format!(
            "{}, {}: {}",
            meal.slot.child,
            meal.slot.meal,
            parts.join(", ")
        ));
    }
    lines.join("\n")
}

/// `2 red lentil and squash (#3)`, `30 g yogurt, plain, whole milk`.
pub fn part_in_words(facts: &Facts<'_>, part: &AgendaPart) -> String {
    match part {
        AgendaPart::Cubes(pick, taken) => {
            let title = lower(facts.title(&pick.name));
            format!("{} {title}{}", pick.cubes, lots(taken))
        }
        AgendaPart::Food(PlannedFood { id, mass, .. }) => {
            let food = facts.foods.get(id);
            let name = food.map_or(id.as_str(), |(food, _)| &food.name);
            format!("{:.0} g {}", mass.grams(), short_name(name))
        }
    }
}

/// `2 trays of red lentil and squash (32 cubes)`.
pub fn cooking_in_words(facts: &Facts<'_>, cooking: &AgendaCooking) -> String {
    let cubes = facts
        .dishes
        .get(&cooking.recipe)
        .map_or_else(String::new, |dish| {
            format!(
                " ({} cubes)",
                dish.cubes_a_tray.saturating_mul(cooking.trays)
            )
        });
    format!(
        "{} of {}{cubes}",
        counted(cooking.trays, "tray"),
        lower(facts.title(&cooking.recipe))
    )
}

/// The part of an event's identifier that distinguishes households: FNV-1a over names and dates of
/// birth, from which neither can be read back.
fn mark(children: &[Child]) -> String {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for child in children {
        for byte in format!("{}|{}\n", child.name, child.born).bytes() {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
    format!("{hash:016x}")
}
