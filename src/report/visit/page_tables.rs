//! The tables of the page, with the figures of the pictures.

use super::figures::FEW_DAYS;
use super::page_charts::{
    STRIP_DAYS, bound, columns, day, in_columns, record, reference_amount, share, weekday,
};
use super::recent::RecentLine;
use super::{Event, EventKind, MealLine, NutrientLine, VisitReport};
use crate::notebook::How;
use crate::nutrition::reading::NO_REFERENCE;
use crate::nutrition::week::Yardstick;
use crate::report::interval::Fineness;
use crate::report::number::{decimals, figure, unbroken};

/// A table: its first column names the rows.
#[derive(Debug)]
pub(super) struct FigureTable {
    pub(super) caption: String,
    pub(super) head: Vec<&'static str>,
    pub(super) rows: Vec<(String, Vec<String>)>,
    /// Whether the cells are text; otherwise they are figures, aligned right.
    pub(super) words: bool,
}

/// The sign for a figure that is not known; each caption explains it.
const NOT_KNOWN: &str = "–";

/// Meals of each day, or their count in each week.
pub(super) fn meals(report: &VisitReport) -> FigureTable {
    if report.days.len() > STRIP_DAYS {
        return weeks(report);
    }
    let columns = columns(report).len();
    let row = |line: &super::DayLine| {
        let cells = in_columns(report, line.date, columns);
        let meals: Vec<_> = cells.into_iter().flatten().map(meal_words).collect();
        let text = if meals.is_empty() {
            record(line).without_a_meal().into()
        } else {
            meals.join("; ")
        };
        (weekday(line.date), vec![text])
    };
    FigureTable {
        caption: "What was served, and how it went".into(),
        head: vec!["day", "meals"],
        rows: report.days.iter().map(row).collect(),
        words: true,
    }
}

fn meal_words(meal: &MealLine) -> String {
    let name = if meal.meal.is_empty() {
        String::new()
    } else {
        format!("{}: ", meal.meal)
    };
    let share = format!("{} %", decimals(meal.share * 100.0, 0));
    let how = match (meal.how, meal.share_estimated) {
        (How::Some, false) => format!("{share} of it"),
        (how, _) => how.shown().to_string(),
    };
    format!("{name}{}, {how}", meal.what.join(", "))
}

fn weeks(report: &VisitReport) -> FigureTable {
    let row = |days: &[super::DayLine]| {
        let within = |meal: &&MealLine| days.iter().any(|line| line.date == meal.date);
        let meals: Vec<_> = report.meals.iter().filter(within).collect();
        let how = |how| meals.iter().filter(|meal| meal.how == how).count();
        let recorded = days.iter().filter(|line| line.recorded).count();
        // A day stays on one line.
        let label = days
            .first()
            .map_or_else(String::new, |line| day(line.date).replace(' ', "\u{a0}"));
        let reactions = meals.iter().filter(|meal| meal.reaction.is_some()).count();
        let days = format!("{recorded} of {}", days.len());
        let counts = [
            how(How::Taken),
            how(How::Some),
            how(How::Refused),
            reactions,
        ];
        let counts = counts.into_iter().map(|count| count.to_string());
        (label, std::iter::once(days).chain(counts).collect())
    };
    FigureTable {
        caption: "Meals of each week".into(),
        head: vec![
            "from",
            "complete days",
            How::Taken.shown(),
            How::Some.shown(),
            How::Refused.shown(),
            "reactions",
        ],
        rows: report.days.chunks(7).map(row).collect(),
        words: false,
    }
}

/// The table of every nutrient that is shown.
pub(super) fn nutrients(report: &VisitReport) -> FigureTable {
    let none = report.no_reference.map_or("none set", |_| NO_REFERENCE);
    let mut lines = report.nutrients.iter();
    let recent = !report.recent.is_empty();
    let supplemented = lines.any(|line| line.parts.supplement.is_some());
    let row = |line: &NutrientLine| {
        let places = line.nutrient.decimals;
        let of = |value: Option<f64>, complete: bool| {
            let value = value.map(|value| decimals(value, places));
            let value = value.map(|value| format!("{}{value}", bound(complete)));
            value.unwrap_or_else(|| NOT_KNOWN.into())
        };
        let reference = line.reference.as_ref().map(reference_cell);
        // A requirement of energy stands in its own chart; milk that is an estimate makes no share of it.
        let energy = line.nutrient.id == data_import::NutrientId::ENERGY;
        let estimated = energy && report.record.milk_estimated > 0;
        let none = if estimated { "milk estimated" } else { none };
        let given =
            |value: Option<f64>| value.map_or_else(String::new, |value| decimals(value, places));
        let recently = |recent: &RecentLine| {
            let amount = recent.nutrients.get(line.id);
            amount.map_or_else(|| NOT_KNOWN.into(), |one| of(one.amount, one.complete))
        };
        // The last complete days lead, where there are more than these.
        let mut cells: Vec<String> = report.recent.iter().map(recently).collect();
        if recent {
            cells.push(in_all(line));
        } else {
            cells.push(of(line.parts.milk, line.milk_complete));
        }
        cells.push(of(line.parts.food, line.food_complete));
        cells.extend(supplemented.then(|| given(line.parts.supplement)));
        cells.extend((!recent).then(|| in_all(line)));
        cells.push(reference.unwrap_or_else(|| none.into()));
        // Beside all these columns there is no room for it; the drawing has it too.
        cells.extend((!recent).then(|| share(line).unwrap_or_else(|| "–".into())));
        (format!("{}, {}", line.nutrient.plain, line.unit), cells)
    };
    FigureTable {
        caption: if recent {
            "An average complete day, of the last and of all (–: not known)".into()
        } else {
            "An average day of those on record (–: not known)".into()
        },
        head: std::iter::once("")
            .chain(report.recent.iter().map(RecentLine::heading))
            .chain(if recent {
                ["all", "of it food"]
            } else {
                ["milk", "food"]
            })
            .chain(supplemented.then_some("supplement"))
            .chain((!recent).then_some("in all"))
            .chain(["reference"])
            .chain((!recent).then_some("share"))
            .collect(),
        rows: report.nutrients.iter().map(row).collect(),
        words: false,
    }
}

/// `11 RDA, EAR 6.9`, which may run over two lines between the two.
fn reference_cell(reference: &Yardstick) -> String {
    let amount = reference_amount(reference.amount);
    let ear = reference
        .ear
        .map(|ear| format!("EAR {}", reference_amount(ear)));
    let both = std::iter::once(format!("{amount} {}", reference.kind)).chain(ear);
    let both: Vec<_> = both.map(|words| unbroken(&words)).collect();
    both.join(", ")
}

/// The total without its unit, which the head of the row names.
fn in_all(line: &NutrientLine) -> String {
    let complete = line.parts.complete;
    let fine = Fineness::of_report(line.interval.as_ref(), complete);
    let total = match line.parts.total.filter(|_| complete) {
        // No finer than the interval tells, and no finer than the parts beside it.
        Some(total) => {
            let places = line.nutrient.decimals;
            let fine = fine.like(total, places);
            let after_point = fine.split_once('.').map_or(0, |(_, digits)| digits.len());
            let too_fine = after_point > usize::from(places);
            Some(if too_fine {
                decimals(total, places)
            } else {
                fine
            })
        }
        None => figure(line.parts.total, complete, line.nutrient),
    };
    total.map_or_else(|| NOT_KNOWN.into(), |figure| unbroken(&figure))
}

/// Energy and iron of each day or week.
pub(super) fn energy(report: &VisitReport) -> FigureTable {
    let kcal = |value: Option<f64>, complete: bool| {
        let shown = |kcal| format!("{}{}", bound(complete), decimals(kcal, 0));
        value.map_or_else(|| NOT_KNOWN.into(), shown)
    };
    let row = |period: &super::PeriodFigures| {
        if period.counted == 0 {
            let mut cells = vec![String::from("–"); 6];
            cells[0] = "no record".into();
            return (day(period.from), cells);
        }
        let iron = period.iron_mg.amount.map(|iron| decimals(iron, 2));
        let iron = iron.map(|iron| format!("{}{iron}", bound(period.iron_mg.complete)));
        let cells = vec![
            iron.unwrap_or_else(|| NOT_KNOWN.into()),
            kcal(period.food_kcal, period.food_complete),
            kcal(period.milk_kcal, period.milk_complete),
            kcal(period.kcal, period.kcal_complete),
            kcal(period.wanted_kcal, true),
            kcal(period.needed_kcal, true),
        ];
        (day(period.from), cells)
    };
    let every = if report.days.len() > FEW_DAYS {
        "Average day by week"
    } else {
        "Each day"
    };
    FigureTable {
        caption: format!("{every}: iron, mg; energy, kcal (–: not known)"),
        head: vec![
            "from", "iron", "food", "milk", "in all", "expected", "needed",
        ],
        rows: report.periods.iter().map(row).collect(),
        words: false,
    }
}

/// New foods and reactions in order. Foods that were new on one day, and went the same way, share a row.
pub(super) fn events(report: &VisitReport) -> FigureTable {
    let events = report.variety.events.as_slice();
    let together = |one: &Event, next: &Event| {
        let new = one.kind == EventKind::FirstTaste && next.kind == EventKind::FirstTaste;
        new && one.date == next.date && one.how == next.how
    };
    let rows = events.chunk_by(together).filter_map(event_row);
    FigureTable {
        caption: "New foods (numbers) and reactions (letters), in order".into(),
        head: vec!["", "day", "what", "went"],
        rows: rows.collect(),
        words: true,
    }
}

fn event_row(events: &[Event]) -> Option<(String, Vec<String>)> {
    let (first, last) = (events.first()?, events.last()?);
    let mark = if events.len() == 1 {
        first.mark.clone()
    } else {
        format!("{}-{}", first.mark, last.mark)
    };
    let how = match first.how {
        Some(how) => how.shown(),
        None => "",
    };
    let texts: Vec<_> = events.iter().map(event_words).collect();
    Some((mark, vec![day(first.date), texts.join("; "), how.into()]))
}

fn event_words(event: &Event) -> String {
    match (event.kind, event.allergens.as_slice()) {
        (EventKind::Reaction, _) => {
            let since = if event.cleared {
                ". The doctor cleared it since"
            } else {
                ""
            };
            let after = event.after.join("; ");
            let meal = event
                .meal
                .map_or_else(String::new, |meal| format!(" on {}", day(meal)));
            format!("Noted: {}. After{meal}: {after}{since}", event.what)
        }
        (EventKind::FirstTaste, []) => event.what.clone(),
        (EventKind::FirstTaste, some) => {
            format!("{} (allergen: {})", event.what, some.join(", "))
        }
    }
}
