//! The nutrients of an average day of a week, as planned or as eaten.

use askama::Template;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::{DAYS_OF_WEEK, HERE, span};
use crate::food::Pantry;
use crate::household::{eaten_week, planned_week};
use crate::notebook::Child;
use crate::report::{
    ALLERGENS, AboveUpper, ONLY_A_RECORD, WeekReport, WeekView, above_upper_levels, iron_by_day,
    nutrient_columns, nutrient_rows, on_record, reaction_lines, reading, week_bars,
};
use crate::safety::CautionTable;
use crate::spoken::Lookup as _;
use crate::web::{Layout, PageAnswer, PageError, PageRequest, PageResult, Reply};
use crate::words::{capital, days, sentence};

#[derive(Template)]
#[template(path = "web/week-held.html")]
struct HeldPage {
    layout: Layout,
    heading: &'static str,
    days: String,
    from: Date,
    planned: bool,
    children: Vec<ChildWeek>,
    only_a_record: &'static str,
    defer: String,
}

struct ChildWeek {
    name: String,
    /// The days that the figures are averaged over.
    record: String,
    /// What was noted after meals, in sentences.
    reactions: Vec<String>,
    /// The nutrients above an upper level.
    above: Vec<AboveUpper>,
    /// The explanation of the columns.
    reading: String,
    bars: Option<String>,
    /// The columns of the nutrients, behind their names.
    columns: Vec<&'static str>,
    /// Iron of each day.
    iron: Option<String>,
    /// Name of the nutrient, and a cell for each column.
    rows: Vec<(String, Vec<(&'static str, String)>)>,
}

/// Shows the totals.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let planned = match request.address.query.text("what") {
        "planned" => true,
        "" | "eaten" => false,
        _ => return Err(PageError::NotFound),
    };
    let week = span(request)?;
    let no_day = request.address.query.text("from").is_empty();
    // Eaten days lie in the past, planned days in the future.
    let (from, to) = if no_day && !planned {
        let from = request.today.saturating_sub((DAYS_OF_WEEK - 1).days());
        (from, request.today)
    } else {
        (week.from, week.to)
    };
    let pantry = request.foods()?;
    let born = request.children().iter();
    let born = born.filter(|child| child.born <= from).enumerate();
    let children =
        born.map(|(at, child)| of_child(request, &pantry, (at, child), (from, to), planned));
    let heading = if planned {
        "What the plan holds"
    } else {
        "What was eaten"
    };
    Reply::page(&HeldPage {
        layout: Layout::of(request, heading, HERE),
        heading,
        days: days(from, to),
        from,
        planned,
        children: children.collect::<Result<_, _>>()?,
        only_a_record: ONLY_A_RECORD,
        defer: CautionTable::builtin()?.defer().to_string(),
    })
}

fn of_child(
    request: &PageRequest<'_>,
    pantry: &Pantry,
    (at, child): (usize, &Child),
    (from, to): (Date, Date),
    planned: bool,
) -> PageResult<ChildWeek> {
    let kept = if planned {
        planned_week(&request.book, pantry, child, (from, to))?
    } else {
        eaten_week(request.record()?, pantry, child, (from, to))?
    };
    let view = WeekView {
        child: &child.name,
        days: &kept.days,
        week: &kept.week,
        planned,
        tastes: kept.tastes.as_deref(),
        measurements: &kept.measurements,
        doses: &kept.doses,
        first_meal: kept.first_meal,
        allergens: &ALLERGENS,
    };
    let report = WeekReport::new(&view)?;
    let counted = report.record.counted > 0;
    let title = format!(
        "An average day of {}, against reference intakes",
        child.name
    );
    let bars = week_bars(&kept.week, &format!("bars-{at}"), &title);
    let title = format!("Iron of {}, day by day", child.name);
    let iron = iron_by_day((&kept.days, &kept.week), &format!("iron-{at}"), &title);
    let rows = if counted {
        nutrient_rows(&kept.week, false)
    } else {
        Vec::new()
    };
    let columns = nutrient_columns(&kept.week, false);
    let row = |cells: Vec<String>| {
        let mut cells = cells.into_iter();
        let name = cells.next().unwrap_or_default();
        (name, columns.iter().copied().zip(cells).collect())
    };
    Ok(ChildWeek {
        name: child.name.clone(),
        record: on_record(&report),
        reactions: reaction_lines(&report)
            .iter()
            .map(|words| sentence(&capital(words)))
            .collect(),
        above: above_upper_levels(&kept.week),
        reading: reading(&kept.week),
        bars: bars.filter(|_| counted),
        iron,
        rows: rows.into_iter().map(row).collect(),
        columns,
    })
}
