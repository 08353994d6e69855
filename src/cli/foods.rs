//! `trayful foods`: find a food by kitchen words, show one, or add one of the household's own.

use std::collections::BTreeMap;

use clap::Args;
use data_import::group_name;
use jiff::civil::Date;
use serde::Serialize;
use trayful::food::search::Hit;
use trayful::food::{Food, FoodId, OwnShelf, Pantry};
use trayful::household::{BookJudge, FoodFacts, FoodView, shown_age};
use trayful::next_step::NextStep;
use trayful::notebook::{Book, BookError};
use trayful::nutrition::{AgeMonths, IntakeTable};
use trayful::problem::Problem;
use trayful::report::{
    FoodPage, FoodReport, LabelEntry, ObjectionLine, Page, STOP, objection_lines, objection_list,
};
use trayful::safety::{CautionTable, Objection, by_reason};
use trayful::spoken::{Context, Reader};

use super::failure::Failure;
use super::pantry::record_of;
use super::typed_value::place_of;
use super::{Answer, Session, age};

#[derive(Debug, Args)]
pub(super) struct FoodsArgs {
    /// Kitchen words, such as: sweet potato
    #[arg(
        value_name = "WORDS",
        required_unless_present_any = ["show", "add", "template"],
        conflicts_with_all = ["show", "add", "template"]
    )]
    words: Vec<String>,
    /// Show one food: what it is good for, lacks and goes with, your recipes with it, how it keeps, its values
    #[arg(long, value_name = "ID")]
    show: Option<String>,
    /// Show every nutrient of it
    #[arg(long, requires = "show")]
    all: bool,
    /// Add a food of your own, copied off its label, to --own or to the book around this folder;
    /// such as "name=Oat cereal; per=100 g; energy=380 kcal; iron=7.5 mg"
    #[arg(long, value_name = "FOOD", conflicts_with = "show")]
    add: Option<String>,
    /// Print a file of own foods to start from, with every column explained
    #[arg(long, conflicts_with_all = ["show", "add", "json"])]
    template: bool,
    /// The child's age in completed months, for what a food is good for and what stops it; that
    /// of the book's child if left out
    #[arg(long, value_name = "MONTHS", value_parser = age)]
    age: Option<AgeMonths>,
    /// How many foods to list
    #[arg(long, value_name = "N", default_value_t = 10,
          value_parser = clap::value_parser!(u16).range(1..=500))]
    limit: u16,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// The list of foods found, with the keys of the JSON.
#[derive(Debug, Serialize)]
struct FoodHits<'a> {
    schema: u32,
    query: &'a str,
    foods: Vec<FoodHit<'a>>,
}

#[derive(Debug, Serialize)]
struct FoodHit<'a> {
    id: &'a str,
    name: &'a str,
    group: &'a str,
    /// The objections that stop the food however it is given.
    stops: &'a [Objection],
}

/// The age for which foods are shown without a book (judgement).
const USUAL_AGE: AgeMonths = AgeMonths(8);

/// Runs the command.
pub(super) fn run(args: &FoodsArgs, session: &Session) -> Result<Answer, Failure> {
    if args.template {
        return Ok(Answer::text(data_import::own::template()?));
    }
    if let Some(label) = &args.add {
        return add(label, args, session);
    }
    match &args.show {
        Some(id) => show(id, args, &session.pantry(None)?, session),
        None => find(args, session),
    }
}

/// Adds an own food, and shows it.
fn add(label: &str, args: &FoodsArgs, session: &Session) -> Result<Answer, Failure> {
    let Some(file) = session.own_file() else {
        return Err(Problem::new("there is no file to add own foods to")
            .hint("name one with --own FILE, or in TRAYFUL_OWN, or go to a folder with a book.toml")
            .into());
    };
    let (own, id) = OwnShelf::add(&file, label)??;
    let foods = Pantry::new(session.food_data(None).table()?, Some(own));
    show(id.as_str(), args, &foods, session)
}

/// Shows one food: its values, and the cautions about it.
fn show(id: &str, args: &FoodsArgs, foods: &Pantry, session: &Session) -> Result<Answer, Failure> {
    let place = || place_of("--show", id);
    let wanted: FoodId = id.parse().map_err(|_| {
        let what = format!("“{id}” is not the id of a food");
        Problem::at(place(), what).hint(NextStep::find_food())
    })?;
    let Some(food) = foods.foods(std::slice::from_ref(&wanted))?.pop().flatten() else {
        return Err(Problem::at(place(), format!("no food has the id {wanted}"))
            .hint(NextStep::without_food(id))
            .into());
    };
    let book = session.book_for(None)?;
    let store = record_of(book.as_ref())?;
    let day = session.today();
    let age = args.age.unwrap_or_else(|| usual_age(book.as_ref(), day));
    let facts = FoodFacts::of(
        &food,
        &FoodView {
            pantry: foods,
            book: book.as_ref(),
            store: store.as_ref(),
            day,
            age,
        },
    )?;
    let month = book.as_ref().map(|_| u32::from(day.month().unsigned_abs()));
    let mut report = FoodReport::new(
        &food,
        &foods.provenance(&food.id)?,
        &IntakeTable::builtin()?,
        &facts,
        (age, month),
    )?;
    (report.objections, report.stopped) = judged(foods, args.age, session, |judge, age| {
        let stops = judge.stops(std::slice::from_ref(&food), day, age)?;
        let is_stopped = stops.iter().any(|stops| !stops.is_empty());
        Ok((judge.food(&food, day, age)?, is_stopped))
    })?;
    let warnings = foods.warnings([&wanted]);
    report.label = foods
        .label(&wanted)
        .map(|label| LabelEntry::new(label, &warnings));
    if args.json {
        return Ok(Answer::json(&report)?.warning_of(warnings));
    }
    let text = in_words(&report, args, session)?;
    Ok(Answer::text(text).warning_of(warnings))
}

/// The age for which foods are shown where none is typed.
fn usual_age(book: Option<&Book>, day: Date) -> AgeMonths {
    let children = book.map(|book| &book.settings.children);
    let children = children.filter(|children| !children.is_empty());
    children.map_or(USUAL_AGE, |children| shown_age(children, day))
}

/// The judge for the children of the book, or for an eater of the age where there are none.
fn judged<T>(
    pantry: &Pantry,
    age: Option<AgeMonths>,
    session: &Session,
    ask: impl FnOnce(&BookJudge<'_>, Option<AgeMonths>) -> Result<T, BookError>,
) -> Result<T, Failure> {
    let book = session.book_for(None)?;
    let store = record_of(book.as_ref())?;
    let settings = book.map(|book| book.settings).unwrap_or_default();
    let age = age.or(settings.children.is_empty().then_some(USUAL_AGE));
    let judge = BookJudge::new(&settings, store.as_ref(), pantry)?;
    Ok(ask(&judge, age)?)
}

/// The objections that stop each food however it is given, in the order of the foods.
fn stops(
    foods: &[Food],
    pantry: &Pantry,
    args: &FoodsArgs,
    session: &Session,
) -> Result<Vec<Vec<Objection>>, Failure> {
    let today = session.today();
    judged(pantry, args.age, session, |judge, age| {
        judge.stops(foods, today, age)
    })
}

/// The page of a food, with the cautions about it.
fn in_words(report: &FoodReport, args: &FoodsArgs, session: &Session) -> Result<String, Failure> {
    let about = &report.objections;
    let mut page = Page::new(session.look);
    let is_grave = about.iter().any(Objection::bars_a_plan);
    let above = if about.is_empty() { "" } else { "\n" };
    if !about.is_empty() {
        page.heading("CAUTIONS");
        // The page names its food once, at its head.
        let unnamed = about.iter().map(|objection| Objection {
            names: Vec::new(),
            ..objection.clone()
        });
        let lines = objection_lines(&unnamed.collect::<Vec<_>>()).into_iter();
        let row = |line: ObjectionLine| {
            let words = format!("{} [{}]", line.sentence(), line.source);
            [line.sign().to_string(), words]
        };
        page.rows(lines.map(row), &[]);
    }
    page.line("");
    page.paragraph(CautionTable::builtin()?.defer_in_short());
    let food_page = FoodPage {
        report,
        all: args.all,
    };
    let (facts, cautions) = (food_page.render(session.look), page.finish());
    // What is grave is read before what the food is good for.
    Ok(if is_grave {
        format!("{cautions}\n{facts}")
    } else {
        facts + above + &cautions
    })
}

/// Lists the foods that words find, or those that they may mean.
fn find(args: &FoodsArgs, session: &Session) -> Result<Answer, Failure> {
    let query = args.words.join(" ");
    let pantry = session.pantry(None)?;
    let hits = pantry.search(&query, usize::from(args.limit))?;
    let found = !hits.is_empty();
    let stopped = of_hits(&hits, &pantry, args, session)?;
    if args.json {
        let foods = hits.iter().zip(&stopped).map(|(hit, stops)| FoodHit {
            id: &hit.id,
            name: &hit.name,
            group: group_name(&hit.group).unwrap_or(&hit.group),
            stops,
        });
        let list = FoodHits {
            schema: 1,
            query: &query,
            foods: foods.collect(),
        };
        return Ok(Answer::json(&list)?.found_if(found));
    }
    let mut page = Page::new(session.look);
    if found {
        // Packaged foods have no such group; the manufacturer distinguishes them.
        let other = |hit: &Hit| match hit.manufacturer.as_str() {
            "" => hit.group.clone(),
            maker => maker.to_owned(),
        };
        let row = |hit: &Hit| {
            let group = group_name(&hit.group).map_or_else(|| other(hit), str::to_owned);
            vec![hit.id.clone(), hit.name.clone(), group]
        };
        list(&mut page, hits.iter().map(row), &stopped);
        page.line("");
        page.line(&format!("One in full: trayful foods --show {}", hits[0].id));
    } else {
        let near = Reader::new(session, Context::Buy).named(&query)?;
        if near.is_empty() {
            page.line(&format!(
                "Nothing is called “{query}”. Try fewer words, such as: sweet potato"
            ));
        } else {
            page.line(&format!("Nothing is called “{query}”. Did you mean:"));
            let stopped = stops(&near, &pantry, args, session)?;
            let row = |food: &Food| vec![food.id.to_string(), food.name.clone()];
            list(&mut page, near.iter().map(row), &stopped);
        }
    }
    Ok(Answer::text(page.finish()).found_if(found))
}

/// The objections that stop each food that a search found, in the order of the hits.
fn of_hits(
    hits: &[Hit],
    pantry: &Pantry,
    args: &FoodsArgs,
    session: &Session,
) -> Result<Vec<Vec<Objection>>, Failure> {
    let parsed = hits.iter().map(|hit| hit.id.parse());
    let ids: Vec<FoodId> = parsed.collect::<Result<_, _>>()?;
    let foods: Vec<Food> = pantry.foods(&ids)?.into_iter().flatten().collect();
    let found = stops(&foods, pantry, args, session)?;
    let by_food: BTreeMap<_, _> = foods.iter().map(|food| &food.id).zip(found).collect();
    let of_each = ids.iter().map(|id| by_food.get(id).cloned());
    Ok(of_each.map(Option::unwrap_or_default).collect())
}

/// Foods in rows; those that are stopped are marked, and the reasons come first.
fn list(page: &mut Page, rows: impl Iterator<Item = Vec<String>>, stopped: &[Vec<Objection>]) {
    let reasons = by_reason(stopped.iter().flatten());
    if reasons.is_empty() {
        page.rows(rows, &[]);
        return;
    }
    objection_list(page, &reasons);
    page.line("");
    let marked = rows.zip(stopped).map(|(row, stops)| {
        let sign = if stops.is_empty() { "" } else { STOP };
        std::iter::once(sign.to_string()).chain(row)
    });
    page.rows(marked, &[]);
}
