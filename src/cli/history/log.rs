//! `trayful log`: the entries of the record, the newest first.

use clap::Args;
use jiff::civil::Date;
use trayful::day::{DayReader, DayUse};
use trayful::household::name_planned_foods;
use trayful::notebook::LogEntry;
use trayful::problem::{Problem, nearest};
use trayful::report::{LogLine, LogReport, Page};
use trayful::words;

use crate::cli::failure::Failure;
use crate::cli::{Answer, ChildrenArg, PeriodArgs, Session};

/// The entries that fit on a screen; all of a period are shown (judgement).
const SCREENFUL: u32 = 30;

/// The kinds of entries.
const KINDS: [&str; 20] = [
    "batch",
    "meal",
    "discard",
    "count",
    "purchase",
    "milk",
    "plan",
    "question",
    "answer",
    "reaction",
    "clearance",
    "known",
    "weight",
    "measure",
    "supplement",
    "note",
    "texture",
    "day",
    "visit",
    "rename",
];

#[derive(Debug, Args)]
pub(in crate::cli) struct LogArgs {
    /// Only entries with this in their words, such as a dish or a food
    #[arg(value_name = "WORDS")]
    words: Vec<String>,
    #[command(flatten)]
    children: ChildrenArg,
    /// Only entries of this kind, such as meal, batch, purchase, milk, question; reaction has the meals with one, too
    #[arg(long, value_name = "KIND")]
    kind: Option<String>,
    #[command(flatten)]
    period: PeriodArgs,
    /// Former versions, and what was taken back, too
    #[arg(long)]
    all: bool,
    /// Print one JSON object with every entry
    #[arg(long)]
    json: bool,
}

/// Lists the entries.
pub(in crate::cli) fn run(args: &LogArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let kind = args.kind.as_deref().map(kind).transpose()?;
    let children = args.children.or_every(session, &book)?;
    let named = args.children.is_named();
    let of_them = |entry: &LogEntry| children.iter().any(|child| child.name == entry.child);
    let reader = DayReader::new(session.today(), DayUse::Past);
    let (from, to) = args.period.bounds(session, &reader)?;
    let span = (from.unwrap_or(Date::MIN), to.unwrap_or(Date::MAX));
    let store = book.store()?;
    // Without a search only the entries that are shown are read: a record may have years of them.
    let searched = args.all || args.json || kind.is_some() || named;
    let whole = from.is_some() || to.is_some();
    let (mut entries, left_out) = if searched || whole || !args.words.is_empty() {
        (store.log(span, args.all)?, 0)
    } else {
        let (entries, all) = store.newest(SCREENFUL)?;
        (entries, all.saturating_sub(SCREENFUL))
    };
    let earliest = entries.last().map_or(span.0, |entry| entry.day.max(span.0));
    let counts_from = if left_out > 0 { earliest } else { span.0 };
    // A later count of the cubes is part of its batch already, as a correction of that number.
    if !args.json || kind == Some("count") {
        entries.extend(store.counted_again((counts_from, span.1))?);
    }
    name_planned_foods(&mut entries, session)?;
    entries.sort_by_key(|entry| std::cmp::Reverse((entry.day, entry.number)));
    entries.retain(|entry| {
        kind.is_none_or(|kind| is_of(entry, kind))
            && (!named || of_them(entry))
            && args.matches(entry, &book.settings.currency)
    });
    let report = LogReport::new(&entries, &book.settings.currency);
    let found = !entries.is_empty();
    if args.json {
        return Ok(session.json(&report, &[])?.found_if(found));
    }
    let mut page = Page::new(session.look);
    if !found {
        page.line("Nothing is written down.");
        return Ok(Answer::no(page.finish()));
    }
    let shown = if whole {
        entries.len()
    } else {
        SCREENFUL as usize
    };
    lines(&mut page, &report.entries[..shown.min(entries.len())]);
    let earlier = entries.len().saturating_sub(shown) + left_out as usize;
    if earlier > 0 {
        page.paragraph(&format!(
            "{} earlier: name a period with --last 2w, or --from and --to, or a dish.",
            words::counted(earlier, "entry")
        ));
    }
    page.line(
        "Correct one with `trayful change NUMBER`, take one back with `trayful undo NUMBER`.",
    );
    Ok(Answer::text(page.finish()))
}

impl LogArgs {
    fn matches(&self, entry: &LogEntry, currency: &str) -> bool {
        let line = LogLine::new(entry, currency).words.to_lowercase();
        let mut words = self.words.iter();
        words.all(|word| line.contains(&word.to_lowercase()))
    }
}

/// Whether an entry is of the kind asked for: a weight is a measure too, and a meal after which
/// something was seen a reaction.
fn is_of(entry: &LogEntry, kind: &str) -> bool {
    match kind {
        "reaction" if entry.has_reaction() => true,
        "measure" if entry.kind == "weight" => true,
        kind => entry.kind == kind,
    }
}

fn kind(written: &str) -> Result<&'static str, Failure> {
    let known = KINDS.iter().find(|kind| **kind == written.trim());
    Ok(*known.ok_or_else(|| {
        let problem = Problem::new(format!("{} is not a kind of entry", words::quoted(written)));
        match nearest(written, KINDS) {
            Some(near) => problem.hint(format!("did you mean “{near}”?")),
            None => problem.hint(format!("the kinds are {}", KINDS.join(", "))),
        }
    })?)
}

/// A heading for each day, and below it a line for each entry.
fn lines(page: &mut Page, entries: &[LogLine]) {
    for (day, entries) in words::grouped(entries.iter().map(|entry| (entry.day, entry))) {
        page.heading(&words::day(day));
        let row = |entry: &LogLine| {
            let child = entry.child.as_ref();
            let child = child.map_or_else(String::new, |child| format!("{child}, "));
            let remark = match entry.remark().as_str() {
                "" => String::new(),
                remark => format!(" [{remark}]"),
            };
            [
                entry.number.to_string(),
                format!("{child}{}{remark}", entry.words),
            ]
        };
        page.rows(entries.into_iter().map(row), &[0]);
    }
    page.line("");
}
