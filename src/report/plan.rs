//! A plan as a page: a grid of days and meals, what to thaw, what to cook.

use std::collections::BTreeSet;

use data_import::Error;
use jiff::civil::Date;

use super::objections::objection_list;
use super::plan_calendar::thawed;
use super::text::{Look, Page};
pub use crate::food::short_name;
use crate::next_step::{NextStep, Remark};
use crate::notebook::{How, PlannedFood};
use crate::planning::agenda::{Agenda, AgendaMeal, AgendaPart, Outcome};
use crate::planning::facts::Facts;
use crate::planning::findings::Finding;
use crate::planning::supply::{StockOrigin, TakenCubes};
use crate::safety::{CautionTable, Objection};
use crate::words::{self, counted};

/// The width of the day's column in a table of days and meals.
const DAY_COLUMN: usize = 12;
/// The least width of a meal's column.
const NARROWEST: usize = 12;

/// The inputs of the page of a plan.
#[derive(Debug)]
pub struct PlanPage<'a> {
    /// The facts of the book that the plan is compared with.
    pub facts: &'a Facts<'a>,
    /// The agenda from `from` to `to`.
    pub agenda: &'a Agenda,
    /// The agenda of tomorrow, whatever days are shown: it says what to thaw tonight.
    pub tomorrow: &'a Agenda,
    /// The first day that is shown.
    pub from: Date,
    /// The last day that is shown.
    pub to: Date,
    /// The objections to what is shown that is still to come, the gravest first.
    pub objections: &'a [Objection],
    /// The findings about the plan.
    pub findings: &'a [Finding],
    /// The advice on thawing, with its source.
    pub thawing: Option<String>,
}

impl PlanPage<'_> {
    /// The page as text.
    pub fn render(&self, look: Look) -> String {
        let mut page = Page::new(look);
        objection_list(&mut page, self.objections);
        let children: BTreeSet<&str> = self
            .agenda
            .meals
            .iter()
            .map(|meal| meal.slot.child.as_str())
            .collect();
        for child in children {
            self.grid(&mut page, child);
        }
        self.legend(&mut page);
        self.thaw(&mut page);
        self.cook(&mut page);
        if !self.findings.is_empty() {
            page.line("");
            let what = format!("{} to look at", counted(self.findings.len(), "thing"));
            page.remark(Remark::with(what, NextStep::CheckPlan));
        }
        page.finish()
    }

    fn grid(&self, page: &mut Page, child: &str) {
        let settings = &self.facts.settings;
        let known = settings.children.iter().find(|one| one.name == child);
        let age = known.map_or_else(String::new, |one| {
            let age = one.age_on(self.from).0;
            format!(
                ", {} old on {}",
                counted(age, "month"),
                words::day(self.from)
            )
        });
        page.heading(&format!("PLAN FOR {child}{age}"));
        let of_child = || {
            self.agenda
                .meals
                .iter()
                .filter(|meal| meal.slot.child == child)
        };
        let mut meals: Vec<&str> = settings.meals.iter().map(String::as_str).collect();
        for meal in of_child() {
            if !meals.contains(&meal.slot.meal.as_str()) {
                meals.push(&meal.slot.meal);
            }
        }
        let column = meal_column(page, meals.len()).max(NARROWEST);
        let mut rows = Vec::new();
        let days = std::iter::successors(Some(self.from), |day| day.tomorrow().ok());
        for day in days.take_while(|day| *day <= self.to) {
            let mut row = vec![spoken_day(day)];
            row.extend(meals.iter().map(|name| {
                let mut planned = of_child();
                let meal = planned.find(|one| one.slot.day == day && one.slot.meal == *name);
                meal.map_or_else(|| "  -".to_string(), |meal| self.cell(meal, column))
            }));
            rows.push(row);
        }
        let mut header = vec![String::new()];
        header.extend(meals.iter().map(|meal| format!("  {meal}")));
        page.table(header, rows, &[]);
    }

    fn cell(&self, meal: &AgendaMeal, column: usize) -> String {
        let mark = mark(meal, self.facts.today);
        let lines = meal.parts.iter().enumerate().flat_map(|(at, part)| {
            let text = match part {
                AgendaPart::Cubes(pick, taken) => {
                    let name = self.facts.recipe_of(&pick.name);
                    format!("{} {name}{}", pick.cubes, lots(taken))
                }
                AgendaPart::Food(PlannedFood { id, mass, .. }) => {
                    let foods = &self.facts.foods;
                    let name = foods.get(id).map_or(id.as_str(), |(food, _)| &food.name);
                    format!("{:.0} g {}", mass.grams(), short_name(name))
                }
            };
            wrapped(&text, if at == 0 { mark } else { ' ' }, column)
        });
        lines.collect::<Vec<_>>().join("\n")
    }

    fn legend(&self, page: &mut Page) {
        let marks: BTreeSet<char> = self
            .agenda
            .meals
            .iter()
            .map(|meal| mark(meal, self.facts.today))
            .collect();
        let words = [
            ('x', "x eaten as planned"),
            ('~', "~ eaten otherwise"),
            ('0', "0 refused"),
            ('?', "? nothing on record"),
        ];
        let shown: Vec<&str> = words
            .iter()
            .filter(|(mark, _)| marks.contains(mark))
            .map(|(_, words)| *words)
            .collect();
        if !shown.is_empty() {
            page.line("");
            page.line(&shown.join("   "));
        }
    }

    fn thaw(&self, page: &mut Page) {
        let thaw = to_thaw(self.facts, self.tomorrow);
        if thaw.is_empty() {
            return;
        }
        let tonight = spoken_day(self.facts.today);
        page.heading(&format!("THAW TONIGHT, {tonight}"));
        page.list(thaw);
        page.paragraphs(&self.thawing);
    }

    fn cook(&self, page: &mut Page) {
        if self.agenda.cooking.is_empty() {
            return;
        }
        page.heading("COOK");
        let rows = self.agenda.cooking.iter().map(|planned| {
            let dish = self.facts.dishes.get(&planned.recipe);
            let cubes = dish.map(|dish| dish.cubes_a_tray.saturating_mul(planned.trays));
            let state = match (planned.done, planned.day < self.facts.today) {
                (true, _) => "cooked",
                (false, true) => "nothing on record",
                (false, false) => "",
            };
            vec![
                spoken_day(planned.day),
                counted(planned.trays, "tray"),
                self.facts.title(&planned.recipe).to_string(),
                cubes.map_or_else(String::new, |cubes| format!("{cubes} cubes")),
                state.to_string(),
            ]
        });
        page.rows(rows, &[]);
    }
}

/// The cubes of these meals that must still come out of the freezer, a line each.
pub fn to_thaw(facts: &Facts<'_>, agenda: &Agenda) -> Vec<String> {
    let open = |meal: &&AgendaMeal| meal.outcome == Outcome::Open;
    let meals = agenda.meals.iter().filter(open);
    meals.filter_map(|meal| thawed(facts, meal)).collect()
}

/// The advice on thawing, with its source.
pub fn thawing() -> Result<Option<String>, Error> {
    let cautions = CautionTable::builtin()?;
    let thaw = cautions.all().iter().find(|one| one.id == "thaw");
    Ok(thaw.map(|one| format!("{} ({})", one.text, one.source)))
}

/// The width of each column of a table of days and so many meals, as far as the page has room.
pub(super) fn meal_column(page: &Page, meals: usize) -> usize {
    let room = usize::from(page.look().width).saturating_sub(DAY_COLUMN);
    (room / meals.max(1)).saturating_sub(2)
}

/// The mark before a meal.
fn mark(meal: &AgendaMeal, today: Date) -> char {
    match meal.outcome {
        Outcome::AsPlanned(How::Refused) | Outcome::Otherwise(How::Refused) => '0',
        Outcome::AsPlanned(_) => 'x',
        Outcome::Otherwise(_) => '~',
        Outcome::Open if meal.slot.day < today => '?',
        Outcome::Open => ' ',
    }
}

/// The batches from which cubes are taken, in short: ` #3`, ` #3, #7`, ` (29 Nov)`, ` (1 lacking)`.
fn lots(taken: &TakenCubes) -> String {
    let mut named: Vec<String> = taken
        .parts
        .iter()
        .map(|(lot, _)| match lot.origin {
            StockOrigin::Batch(id) => format!("#{id}"),
            StockOrigin::Cooking(day) => format!("({})", day.strftime("%-d\u{a0}%b")),
        })
        .collect();
    if !taken.short.is_none() {
        named.push(format!("({}\u{a0}lacking)", taken.short));
    }
    if named.is_empty() {
        String::new()
    } else {
        format!(" {}", named.join(" "))
    }
}

/// Text in lines of a column, broken at spaces and behind hyphens; the mark stands before the first.
pub(super) fn wrapped(text: &str, mark: char, column: usize) -> Vec<String> {
    let room = column.saturating_sub(2);
    let mut lines = vec![String::new()];
    for piece in text.split_inclusive([' ', '-']) {
        let so_far = lines.last().map_or(0, |line| line.chars().count());
        if so_far > 0 && so_far + piece.trim_end().chars().count() > room {
            lines.push("  ".to_string());
        }
        if let Some(line) = lines.last_mut() {
            line.push_str(piece);
        }
    }
    let numbered = lines.iter().enumerate();
    let line = |(at, line): (usize, &String)| {
        let mark = if at == 0 { mark } else { ' ' };
        format!("{mark} {}", line.trim_end().replace('\u{a0}', " "))
    };
    numbered.map(line).collect()
}

/// The date in the short form of sentences: `Wed 25 Nov`.
pub fn spoken_day(day: Date) -> String {
    day.strftime("%a %-d %b").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_breaks_at_spaces_and_behind_hyphens() {
        let lines = wrapped("2 beef-beetroot-barley #61", 'x', 18);
        assert_eq!(lines, ["x 2 beef-beetroot-", "    barley #61"]);
        assert_eq!(wrapped("2 squash", ' ', 18), ["  2 squash"]);
    }
}
