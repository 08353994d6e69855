//! The rules of the household: the meals of a day, waiting after new foods, how long cubes are
//! kept, the cup, the currency.

use askama::Template;

use super::{HERE, listed};
use crate::household::{HouseholdChanges, change_household};
use crate::notebook::Settings;
use crate::report::rules_words;
use crate::safety::WaitAfter;
use crate::web::rooms::phrases::{self, SelectOption};
use crate::web::{Fields, Layout, Notice, PageAnswer, PageRequest, Reply, Wrong};

/// The longest list of meal names, in characters.
const LONGEST: usize = 200;
/// The days that may lie between one new food and the next (common practice, no source).
const WAITING_DAYS: std::ops::RangeInclusive<u32> = 3..=7;
/// Choices for what is waited after, with their values in the form.
const AFTER: [(&str, &str); 2] = [
    ("all", "after each new food"),
    ("allergens", "after a major allergen alone"),
];
/// Choices for the cup, with their values in the form.
const CUPS: [(&str, &str); 2] = [
    ("us", "a US cup, 236.6 ml"),
    ("metric", "a metric cup, 250 ml"),
];

#[derive(Template)]
#[template(path = "web/household-rules.html")]
struct RulesPage<'a> {
    layout: Layout,
    fields: &'a Fields,
    waiting_days: Vec<SelectOption>,
    waiting: Vec<SelectOption>,
    cup: Vec<SelectOption>,
    wrong: Wrong,
}

/// Shows the form.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let now = in_the_book(&request.book.settings);
    Reply::page(&filled(request, &now, Wrong::default()))
}

/// Changes the values of the form that differ from the book.
pub(super) fn change(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let settings = &request.book.settings;
    let mut wrong = Wrong::default();
    let changes = changes(settings, fields, &mut wrong);
    if let (Some(changes), true) = (changes, wrong.is_empty()) {
        let mut book = request.book.clone();
        let changed = change_household(&mut book, &changes);
        if let Some(remarks) = wrong.take("meals", changed)? {
            let before = format!("Before: {}.", rules_words(settings));
            let notice = Notice {
                more: std::iter::once(before).chain(remarks).collect(),
                ..Notice::of(format!("{}.", rules_words(&book.settings)))
            };
            return Ok(Reply::Done("/household/rules".into(), notice));
        }
    }
    Reply::wrong(&filled(request, fields, wrong))
}

fn changes(settings: &Settings, fields: &Fields, wrong: &mut Wrong) -> Option<HouseholdChanges> {
    let meals = listed(phrases::short(fields, "meals", LONGEST, wrong)?);
    if meals.is_empty() {
        wrong.say(
            "meals",
            "Write the meals, such as: breakfast, lunch, supper.",
        );
    }
    let waiting_days = phrases::number_in(fields, "waiting-days", WAITING_DAYS);
    let waiting_days = wrong.needed("waiting-days", waiting_days, "Choose the days.");
    let waiting = Some(fields.text("waiting")).filter(|word| ["all", "allergens"].contains(word));
    let waiting = wrong.needed("waiting", waiting, "Choose after which new foods you wait.");
    let freezer_days = phrases::number_in(fields, "freezer-days", 1..=366_u32);
    let freezer_days = wrong.needed("freezer-days", freezer_days, "Write whole days, 1 to 366.");
    let servings: Option<f64> = match fields.text("servings") {
        "" => Some(0.0),
        text => text.parse().ok().filter(|servings| *servings > 0.0),
    };
    let servings = wrong.needed(
        "servings",
        servings,
        "Write a number above 0, or leave it empty.",
    );
    let cup = Some(fields.text("cup")).filter(|word| ["us", "metric"].contains(word));
    let cup = wrong.needed("cup", cup, "Choose which cup you measure with.");
    let currency = fields.text("currency").to_ascii_uppercase();
    if currency.len() != 3 || !currency.chars().all(|letter| letter.is_ascii_alphabetic()) {
        wrong.say(
            "currency",
            "Write its three letters (ISO 4217), such as USD.",
        );
    }
    let word = waiting_word(settings.waiting);
    let stated = settings.servings_a_day.unwrap_or(0.0);
    Some(HouseholdChanges {
        freezer_days: freezer_days.filter(|days| *days != settings.freezer_days),
        waiting_days: waiting_days.filter(|days| *days != settings.waiting_days),
        waiting: waiting.filter(|now| *now != word).map(String::from),
        meals: Some(meals).filter(|meals| *meals != settings.meals),
        servings_a_day: servings.filter(|servings| servings.total_cmp(&stated).is_ne()),
        cup: cup
            .filter(|now| *now != cup_word(settings))
            .map(String::from),
        currency: Some(currency).filter(|currency| *currency != settings.currency),
    })
}

fn cup_word(settings: &Settings) -> &'static str {
    if settings.metric_cups { "metric" } else { "us" }
}

fn waiting_word(waiting: WaitAfter) -> &'static str {
    match waiting {
        WaitAfter::All => "all",
        WaitAfter::Allergens => "allergens",
    }
}

/// The form as the book has its values.
fn in_the_book(settings: &Settings) -> Fields {
    let servings = settings.servings_a_day.map(|servings| servings.to_string());
    Fields::of([
        ("meals", settings.meals.join(", ")),
        ("waiting-days", settings.waiting_days.to_string()),
        ("waiting", waiting_word(settings.waiting).into()),
        ("freezer-days", settings.freezer_days.to_string()),
        ("servings", servings.unwrap_or_default()),
        ("cup", cup_word(settings).into()),
        ("currency", settings.currency.clone()),
    ])
}

fn filled<'a>(request: &PageRequest<'_>, fields: &'a Fields, wrong: Wrong) -> RulesPage<'a> {
    let option = |days: u32| {
        let number = days.to_string();
        SelectOption::of(&number, &number, fields.text("waiting-days"))
    };
    RulesPage {
        layout: Layout::of(request, "Meals and waiting", HERE),
        fields,
        waiting_days: WAITING_DAYS.map(option).collect(),
        waiting: SelectOption::all(&AFTER, fields.text("waiting")),
        cup: SelectOption::all(&CUPS, fields.text("cup")),
        wrong,
    }
}
