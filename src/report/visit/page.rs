//! The page to take along: HTML that needs nothing beside it.

use askama::Template;
use jiff::civil::Date;

use super::events::{Event, EventKind};
use super::milk::MilkRun;
use super::page_tables::FigureTable;
use super::{VisitReport, page_charts, page_sentences, page_tables};
use crate::food::brief_name;
use crate::notebook::{Measured, Note, OTHER_TOPIC, QuestionAnswer, TextureSince};
use crate::report::chart::Palette;
use crate::report::number::{decimals, unbroken};
use crate::report::paper::Paper;
use crate::words::{counted, joined};

/// The most measurements of a kind that are shown, the last first (judgement).
const FEW_MEASUREMENTS: usize = 4;

/// The most milks that are named with their days, the last of them (judgement).
const FEW_MILKS: usize = 4;

/// The page on a paper.
#[derive(Debug)]
pub struct VisitPage<'a> {
    /// The report to render.
    pub report: &'a VisitReport,
    /// The paper it is printed on.
    pub paper: Paper,
}

#[derive(Template)]
#[template(path = "visit.html")]
struct VisitHtml<'a> {
    paper: Paper,
    colours: [(&'static str, String); 6],
    report: &'a VisitReport,
    age: String,
    period: String,
    about: String,
    record: Vec<String>,
    reactions: String,
    questions: Vec<WrittenQuestion<'a>>,
    told: Vec<(&'static str, String)>,
    figures: [Figure; 4],
    missing: Vec<String>,
}

/// A question with its answers, as they are printed.
struct WrittenQuestion<'a> {
    day: String,
    words: &'a str,
    answers: Vec<String>,
}

/// A picture, empty where there is nothing to draw, and the table beside it.
struct Figure {
    heading: &'static str,
    /// Whether the figure must stay on one sheet of paper.
    whole: bool,
    lines: Vec<String>,
    svg: String,
    table: FigureTable,
}

impl VisitPage<'_> {
    /// Renders the page.
    pub fn render(&self) -> Result<String, askama::Error> {
        let report = self.report;
        let questions = report.questions.iter();
        let answer =
            |one: &QuestionAnswer| format!("{} ({})", one.words, page_charts::day(one.day));
        let questions = questions.map(|one| WrittenQuestion {
            day: page_charts::day(one.day),
            words: &one.words,
            answers: one.answers.iter().map(answer).collect(),
        });
        VisitHtml {
            paper: self.paper,
            colours: colours(),
            report,
            age: age(report),
            period: period(report),
            about: about(report),
            record: page_sentences::record(report),
            reactions: reactions(report),
            questions: questions.collect(),
            told: told(report),
            figures: figures(report),
            missing: page_sentences::missing(report),
        }
        .render()
    }
}

/// The names of the colours in the style, and what they are.
fn colours() -> [(&'static str, String); 6] {
    let palette = Palette::WARM;
    [
        ("paper", palette.paper.css()),
        ("table", palette.table.css()),
        ("ink", palette.ink.css()),
        ("quiet", palette.quiet.css()),
        ("accent", palette.accent.css()),
        ("hairline", palette.hairline.css()),
    ]
}

fn figures(report: &VisitReport) -> [Figure; 4] {
    [
        Figure {
            heading: "Meals",
            whole: false,
            lines: page_sentences::dishes(report),
            svg: page_charts::meals(report),
            table: page_tables::meals(report),
        },
        Figure {
            heading: "Nutrients, iron first",
            whole: true,
            lines: [
                page_sentences::iron(report),
                page_sentences::references(report),
            ]
            .concat(),
            svg: page_charts::nutrients(report).unwrap_or_default(),
            table: page_tables::nutrients(report),
        },
        Figure {
            heading: "Iron and energy over time",
            whole: true,
            lines: page_sentences::energy(report),
            svg: joined(
                [page_charts::iron(report), page_charts::energy(report)]
                    .into_iter()
                    .flatten(),
                "\n",
            ),
            table: page_tables::energy(report),
        },
        Figure {
            heading: "Variety, new foods and reactions",
            whole: false,
            lines: [
                vec![page_sentences::variety(report)],
                page_sentences::exposures(report),
            ]
            .concat(),
            svg: page_charts::variety(report).unwrap_or_default(),
            table: page_tables::events(report),
        },
    ]
}

fn age(report: &VisitReport) -> String {
    match (report.child.age_months_from, report.child.age_months_to) {
        (from, to) if from == to => format!("{to} months old"),
        (from, to) => format!("{from} to {to} months old"),
    }
}

fn long_day(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

fn period(report: &VisitReport) -> String {
    let days = unbroken(&counted(report.days.len(), "day"));
    let (from, to) = (report.from, report.to);
    let first = if from.year() == to.year() {
        from.strftime("%-d %B").to_string()
    } else {
        long_day(from)
    };
    format!("{first} to {} · {days}", long_day(to))
}

/// The child's particulars from the book: birth, milk, eczema, allergies.
fn about(report: &VisitReport) -> String {
    let child = &report.child;
    let mut parts = vec![format!("Born {}", long_day(child.born))];
    let early = child.weeks_early.filter(|weeks| *weeks > 0);
    parts.extend(early.map(|weeks| format!("{} early", counted(weeks, "week"))));
    let birth = child.birth_weight_g;
    parts.extend(birth.map(|grams| format!("{} kg at birth", decimals(grams / 1000.0, 2))));
    // Weights with their days stand in a line of their own.
    let undated = child.weight_g.filter(|_| !has_weights(report));
    parts
        .extend(undated.map(|grams| format!("weight {} kg, undated", decimals(grams / 1000.0, 1))));
    parts.extend(match report.milk.iter().map(|run| run.to).max() {
        // What is on record says more than the words of the book.
        Some(last) => {
            let now = report.milk.iter().filter(|run| run.to == last);
            let now = joined(now.map(MilkRun::words_of_last_day), " and ");
            Some(format!("milk on {}: {now}", page_charts::day(last)))
        }
        None => child.milk.as_ref().map(|milk| format!("milk: {milk}")),
    });
    let eczema = child.eczema_words;
    parts.extend(eczema.map(|eczema| format!("{eczema} on record")));
    if !child.allergies.is_empty() {
        parts.push(format!(
            "allergies on record: {}",
            child.allergies.join(", ")
        ));
    }
    parts.join(" · ")
}

fn has_weights(report: &VisitReport) -> bool {
    let mut measurements = report.measurements.iter();
    measurements.any(|one| one.what == Measured::Weight)
}

/// The reactions, the last first: what a doctor must not overlook.
fn reactions(report: &VisitReport) -> String {
    let reaction = |one: &Event| {
        let cleared = if one.cleared { ", cleared since" } else { "" };
        let day = page_charts::day(one.date);
        format!(
            "“{}” ({day}, after {}{cleared})",
            one.what,
            joined(one.after.iter().map(|food| brief_name(food)), ", ")
        )
    };
    // The last first.
    let reactions: Vec<&Event> = report.variety.of(EventKind::Reaction).collect();
    let reactions = reactions.into_iter().rev();
    joined(reactions.map(reaction), "; ")
}

/// What else is on record, a line for each kind, and the kinds of which nothing was written down.
fn told(report: &VisitReport) -> Vec<(&'static str, String)> {
    let measured = |what: Measured, unit: &str, factor: f64, places: u8| {
        let of_it = report.measurements.iter().filter(|one| one.what == what);
        let last: Vec<String> = of_it
            .rev()
            .take(FEW_MEASUREMENTS)
            .map(|one| {
                let value = decimals(one.value * factor, places);
                format!("{value} {unit} ({})", page_charts::day(one.day))
            })
            .collect();
        joined(last, ", ")
    };
    let note = |one: &Note| {
        let topic = if one.topic == OTHER_TOPIC {
            String::new()
        } else {
            format!("{}: ", one.topic)
        };
        format!("{topic}{} ({})", one.words, page_charts::day(one.day))
    };
    let texture =
        |one: &TextureSince| format!("{} ({})", one.stage.word(), page_charts::day(one.day));
    let more = report.milk.len().saturating_sub(FEW_MILKS);
    let milks = report.milk.iter().skip(more).map(MilkRun::dated);
    let milks = milks.chain((more > 0).then(|| format!("{more} before")));
    let milks = if report.milk.len() > 1 {
        joined(milks, "; ")
    } else {
        String::new()
    };
    let lines = [
        ("Weight", measured(Measured::Weight, "kg", 0.001, 2)),
        ("Length", measured(Measured::Length, "cm", 1.0, 1)),
        ("Head", measured(Measured::Head, "cm", 1.0, 1)),
        (
            "Supplements",
            joined(report.supplements.iter().map(|one| one.text.as_str()), "; "),
        ),
        ("Texture", joined(report.textures.iter().map(texture), ", ")),
        ("Notes", joined(report.notes.iter().map(note), "; ")),
    ];
    let (mut blank, mut lines): (Vec<_>, Vec<_>) =
        lines.into_iter().partition(|(_, words)| words.is_empty());
    // One without its day stands beside the name.
    blank.retain(|(what, _)| *what != "Weight" || report.child.weight_g.is_none());
    if !milks.is_empty() {
        lines.push(("Milk", milks));
    }
    if !blank.is_empty() {
        let blank = joined(blank.iter().map(|(what, _)| what.to_lowercase()), ", ");
        lines.push(("Not written down", blank));
    }
    lines
}
