//! The page of a week: iron first, then what a day held, energy, indicators, tastes, and what of all
//! that is estimated or missing.

mod amounts;
mod answer;
mod bars;
mod energy;
mod feeding;
mod iron;

use data_import::{FoodId, NutrientId};
use jiff::civil::Date;

use super::{WeekReport, WeekView};
use crate::next_step::NextStep;
use crate::nutrition::{DailyValues, Week, reading as sentences};
use crate::report::milk_breaks::MilkBreak;
use crate::report::text::{Look, Page};
use crate::words::{self, grouped, joined};
pub use amounts::AboveUpper;
pub(in crate::report) use amounts::chosen;
use amounts::{nutrient_row, salt_and_sugar, upper_lines, with_supplements};
pub use bars::{iron_by_day, week_bars};
use energy::energy;
pub use feeding::reaction_lines;
use feeding::{indicators, tastes};
use iron::iron;
pub use iron::iron_at_a_glance;

/// The inputs and options of the page of a week.
#[derive(Debug)]
pub struct WeekPage<'a> {
    /// Whether the evidence is shown: every day, every estimate, and the sources.
    pub why: bool,
    /// Whether every nutrient is shown, or the dozen that is looked at first.
    pub all: bool,
    /// The layout options of the text.
    pub look: Look,
    /// The caution with which every page ends.
    pub defer: &'a str,
    /// The caution in a few words.
    pub defer_in_short: &'a str,
    /// Where the answer's evidence is.
    pub evidence: NextStep,
}

impl WeekPage<'_> {
    /// Renders the page.
    pub fn render(&self, report: &WeekReport, view: &WeekView<'_>) -> String {
        let mut page = Page::new(self.look);
        if report.record.counted == 0 {
            head(&mut page, report);
            page.paragraph(&on_record(report));
            page.paragraph("Nothing more can be said of these days.");
            return page.finish();
        }
        if !self.why {
            answer::answer(&mut page, report, view, &self.evidence);
            if self.all {
                self.nutrients(&mut page, view.week);
                missing(&mut page, view.week, self.all);
            }
            page.paragraph(&format!("{RECORD_IN_SHORT} {}", self.defer_in_short));
            return page.finish();
        }
        head(&mut page, report);
        page.paragraph(&on_record(report));
        iron(&mut page, view.week);
        self.nutrients(&mut page, view.week);
        energy(&mut page, view.week);
        indicators(&mut page, report);
        salt_and_sugar(&mut page, view.week);
        tastes(&mut page, report);
        missing(&mut page, view.week, self.all);
        notes(&mut page, report);
        sources(&mut page, view.week);
        self.last_words(&mut page);
        page.finish()
    }

    fn nutrients(&self, page: &mut Page, week: &Week) {
        page.heading("WHAT AN AVERAGE DAY HELD");
        let header = std::iter::once("").chain(nutrient_columns(week, self.all));
        page.table(header, nutrient_rows(week, self.all), &[1, 2, 3, 4]);
        page.line("");
        page.paragraph(&reading(week));
        for line in above_upper_levels(week) {
            let mark = if line.alarm { "! " } else { "" };
            page.paragraph(&format!("{mark}{}", line.text));
        }
    }

    fn last_words(&self, page: &mut Page) {
        page.line("");
        page.paragraph(ONLY_A_RECORD);
        page.paragraph(self.defer);
    }
}

/// The columns of the nutrients, behind their names; supplements have one where any was given.
pub fn nutrient_columns(week: &Week, all: bool) -> Vec<&'static str> {
    let mut columns = vec!["milk", "purées", "other"];
    columns.extend(with_supplements(week, all).then_some("supplements"));
    columns.extend(["total", "of AI or RDA", "of DV"]);
    columns
}

/// The disclaimer of the printed week.
pub const ONLY_A_RECORD: &str = "This is a record to talk about, not a diagnosis: what was not written down is not in it, and a week on paper says nothing of what a \
     child's body takes from it. Bring it to your paediatrician if anything in it worries you.";

/// The disclaimer in a few words.
const RECORD_IN_SHORT: &str = "A record to talk about, not a diagnosis.";

/// The nutrients of an average day: the name, then a cell for each of [`nutrient_columns`].
pub fn nutrient_rows(week: &Week, all: bool) -> Vec<Vec<String>> {
    let no_reference = week
        .why_no_reference()
        .map_or("-", |_| sentences::NO_REFERENCE);
    let rows = chosen(week, all);
    let with = (no_reference, with_supplements(week, all));
    rows.map(|one| nutrient_row(one, with)).collect()
}

/// The explanation of the columns.
pub fn reading(week: &Week) -> String {
    let with_references = [
        sentences::RDA_AND_AI,
        "Where the age changes a reference, it is the mean of the days.",
        sentences::EAR,
        sentences::IRON_RDA,
        "DV: the Daily Value of US labels, another yardstick.",
    ];
    let beyond = week.why_no_reference();
    let words = beyond.map_or_else(|| with_references.to_vec(), |beyond| vec![beyond]);
    format!(
        "{} Water counts that of milk and food. {}",
        words.join(" "),
        sentences::FREEZER
    )
}

/// The nutrients that were above their upper level on some day, the alarms first.
pub fn above_upper_levels(week: &Week) -> Vec<AboveUpper> {
    let mut lines: Vec<_> = week.nutrients.iter().flat_map(upper_lines).collect();
    lines.sort_by_key(|line| !line.alarm);
    lines
}

fn head(page: &mut Page, report: &WeekReport) {
    let date = |day: Option<Date>| day.map_or_else(String::new, words::day);
    let plan = if report.planned { ", as planned" } else { "" };
    let mut ages: Vec<_> = report.days.iter().map(|day| day.age_months).collect();
    ages.dedup();
    let ages: Vec<_> = ages.iter().map(ToString::to_string).collect();
    page.title(&format!(
        "{}, {} months, {} to {}{plan}",
        report.child,
        ages.join(", then "),
        date(report.from),
        date(report.to)
    ));
}

/// The days that the figures are averaged over.
pub fn on_record(report: &WeekReport) -> String {
    let record = &report.record;
    let kept = if report.planned {
        "planned"
    } else {
        "on record"
    };
    let mut words = vec![if record.counted == record.days {
        format!("Every day is complete: as many meals as usual are {kept}.")
    } else {
        match record.counted {
            0 => format!(
                "None of the {} days is complete, so there is no average.",
                record.days
            ),
            counted => format!(
                "{counted} of {} days {}, with as many meals {kept} as usual; the averages count {}.",
                record.days,
                if counted == 1 {
                    "is complete"
                } else {
                    "are complete"
                },
                if counted == 1 { "it" } else { "these" }
            ),
        }
    }];
    for (days, what) in [
        (&record.without_record, "nothing"),
        (&record.without_meals, "no meal"),
        (&record.incomplete, "less than the usual number of meals"),
    ] {
        if !days.is_empty() {
            words.push(format!("There is {what} {kept} for {}.", spans(days)));
        }
    }
    if !record.without_milk.is_empty() {
        words.push(format!(
            "There is no milk {kept} for {}: everything is a lower bound (>=).",
            spans(&record.without_milk)
        ));
    }
    words.join(" ")
}

/// Dates in order, those in a row joined: `19 Nov 2026 to 21 Nov 2026, 25 Nov 2026`.
fn spans(dates: &[Date]) -> String {
    let mut spans: Vec<(Date, Date)> = Vec::new();
    for date in dates {
        match spans.last_mut() {
            Some((_, last)) if last.tomorrow().ok() == Some(*date) => *last = *date,
            _ => spans.push((*date, *date)),
        }
    }
    let span = |(first, last): (Date, Date)| match (first, last) {
        (first, last) if first == last => words::day(first),
        (first, last) => words::days(first, last),
    };
    joined(spans.into_iter().map(span), ", ")
}

fn names(week: &Week, foods: &[FoodId]) -> String {
    joined(foods.iter().map(|food| week.name(food)), "; ")
}

fn missing(page: &mut Page, week: &Week, all: bool) {
    let lacking = chosen(week, all).filter_map(|one| {
        let missing = one.per_day.total().missing;
        (!missing.is_empty()).then_some((missing, &one.nutrient.plain))
    });
    let line = |(foods, nutrients): (Vec<FoodId>, _)| {
        format!("{}: {}", names(week, &foods), joined(nutrients, "; "))
    };
    let heading = "MISSING: no published value, so the total is a lower bound (>=)";
    page.listed(heading, grouped(lacking).into_iter().map(line));
}

fn notes(page: &mut Page, report: &WeekReport) {
    let estimates = report.estimates.iter().map(|text| format!("{text}."));
    page.listed("ESTIMATED", estimates);
    let breaks = report.milk_breaks.iter().map(MilkBreak::sentence);
    page.listed("MILK WRITTEN DOWN IN ANOTHER WAY", breaks);
    let supplements = report.supplements.iter().map(|one| one.text.clone());
    page.listed("SUPPLEMENTS", supplements);
}

fn sources(page: &mut Page, week: &Week) {
    let of = |id| week.nutrient(id).and_then(|one| one.reference.as_ref());
    let reference =
        of(NutrientId::IRON).map_or("NASEM Dietary Reference Intakes", |one| &one.source);
    page.heading("SOURCES");
    page.list([
        format!("reference intakes: {reference}"),
        format!("Daily Values: {}", DailyValues::SOURCE),
        (page.look().step)(&NextStep::SeeSources),
    ]);
}
