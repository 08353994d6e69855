//! A value for each argument of the command line, to be shown in a command that runs.

use clap::Arg;
use jiff::civil::Date;
use trayful::notebook::Book;

use super::shell;

/// The names of the book in use, for examples.
#[derive(Debug, Clone)]
pub(super) struct Known {
    /// A recipe of the book, else one as recipes are called.
    pub(super) recipe: String,
    /// Every recipe of the book.
    pub(super) recipes: Vec<String>,
    /// A child of the book.
    pub(super) child: String,
    /// A meal of the book.
    pub(super) meal: String,
    /// Questions without an answer, the newest first.
    pub(super) questions: Vec<i64>,
    /// Today.
    pub(super) today: Date,
}

impl Known {
    /// What the book in use knows; names as in a book where there is none.
    pub(super) fn of(book: Option<&Book>, today: Date) -> Self {
        let recipes = book.and_then(|book| book.recipe_names().ok());
        let recipes = recipes.unwrap_or_default();
        let settings = book.map(|book| &book.settings);
        let child = settings.and_then(|settings| settings.children.first());
        let meal = settings.and_then(|settings| settings.meals.first());
        Self {
            recipe: match recipes.first() {
                Some(first) => first.clone(),
                None => "red-lentil-squash".into(),
            },
            recipes,
            child: child.map_or_else(|| "Wren".into(), |child| child.name.clone()),
            meal: meal.cloned().unwrap_or_else(|| "lunch".into()),
            questions: book.map_or_else(Vec::new, |book| open_questions(book, today)),
            today,
        }
    }
}

/// The questions of all children that wait for an answer, the newest first; none where the record
/// cannot be read, which its own command reports.
fn open_questions(book: &Book, today: Date) -> Vec<i64> {
    let store = Some(book).filter(|book| book.has_record());
    let Some(store) = store.and_then(|book| book.store().ok()) else {
        return Vec::new();
    };
    let children = book.settings.children.iter();
    let asked = children.flat_map(|child| {
        let asked = store.questions(&child.name, Date::MIN, today);
        asked.unwrap_or_default()
    });
    let open = asked.filter(|question| question.answers.is_empty());
    let mut open: Vec<i64> = open.map(|question| question.id).collect();
    open.sort_unstable_by_key(|number| std::cmp::Reverse(*number));
    open
}

/// A value that an argument of a command takes.
pub(super) fn example(arg: &Arg, path: &[String], known: &Known) -> String {
    if let Some(first) = arg.get_possible_values().first() {
        return first.get_name().to_string();
    }
    let called = shell::called(arg).unwrap_or_default();
    let of_child = path.first().is_some_and(|name| name == "child");
    let words = match (called.as_str(), arg.get_id().as_str()) {
        ("N RECIPE" | "TRAYS RECIPE", _) => return format!("2 {}", known.recipe),
        ("YYYY-MM-DD" | "DAY", _) => return known.today.to_string(),
        ("NAME", "name") | ("TO", _) if of_child => match path.last().map(String::as_str) {
            Some("set") => return known.child.clone(),
            _ => "Robin",
        },
        ("FROM", _) if of_child => return known.child.clone(),
        ("RECIPE" | "#N|RECIPE" | "FROM", _) => return known.recipe.clone(),
        ("NAME", "save" | "name") | ("TO", _) => "my-recipe",
        ("NAME" | "CHILD", _) => return known.child.clone(),
        ("MEAL", _) => return known.meal.clone(),
        ("MASS", "weight") | ("MEASUREMENTS", _) => "8.2kg",
        ("MASS", _) => "900g",
        ("SHARE", "fill") => "0.9",
        ("SHARE", _) => "60%",
        ("MIB", _) => "1024",
        ("N", "limit") => "10",
        ("MONTHS", _) => "8",
        ("CM", _) => "70",
        ("VOLUME", _) => "30ml",
        ("AMOUNT FOOD METHOD", _) => "600 g carrots steamed",
        ("AMOUNT FOOD", _) => "2 lb butternut squash",
        ("RETURNED/COLLECTED", _) => "100ml/300ml",
        ("NAME|WELLSxVOLUME" | "WELLSxVOLUME", _) => "16x30ml",
        ("FOOD", _) => "name=Oat cereal; per=100 g; energy=380 kcal; iron=7.5 mg",
        ("FOOD-ID" | "ID", _) => "11485",
        ("MILK", _) => "breast",
        ("PRICE", _) => "3.49",
        ("DOSE", _) => "400 IU",
        ("STORE", _) => "market",
        ("SOURCE", _) => "branded",
        ("ADDRESS", _) => "192.168.1.20",
        ("FILE.csv", _) => "plan.csv",
        ("FILE.ics", _) => "week.ics",
        ("FILE", "own") => "own-foods.csv",
        ("FILE", _) => path.last().map_or("page.html", |name| match name.as_str() {
            "visit" => "visit.html",
            "labels" => "labels.html",
            "card" => "card.html",
            _ => "copy",
        }),
        ("DIR" | "FOLDER", _) => path.last().map_or("our-book", |name| match name.as_str() {
            "man" => "man",
            "export" | "import" | "backup" => "copy",
            _ => "our-book",
        }),
        ("PATH", _) => "sr28asc.zip",
        ("IN", _) => "corpus",
        ("OUT", _) => "figures",
        ("TAGS", _) => "FE,ZN",
        ("PART", _) => "part-00000",
        ("WORDS", _) if path.first().is_some_and(|name| name == "question") => {
            "Is one meat meal a day enough for iron?"
        }
        ("QUESTION", _) => {
            return known
                .questions
                .first()
                .map_or_else(|| "2".into(), ToString::to_string);
        }
        ("WORDS", _) if path.first().is_some_and(|name| name == "answer") => "one is enough",
        ("WORDS", _) => "sweet potato",
        _ => "2",
    };
    words.to_string()
}
