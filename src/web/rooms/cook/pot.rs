//! The fields of the pot: the tray, the number of trays, and the liquid.

use form_urlencoded::Serializer;

use crate::portion::{Target, Tray};
use crate::problem::Problem;
use crate::recipe::Recipe;
use crate::web::wording::in_words;
use crate::web::{Fields, PageRequest, Wrong};

/// The most trays to which a recipe is scaled (judgement).
const MOST_TRAYS: u32 = 100;
/// The usual end of the slider for water, in millilitres (judgement); it grows with the value.
const USUAL_WATER: f64 = 300.0;

/// The pot, as it is typed.
#[derive(Debug, Clone)]
pub(in crate::web::rooms) struct Pot {
    /// The trays of the book.
    pub(in crate::web::rooms) choice: Vec<Tray>,
    /// The name of the tray in use.
    pub(in crate::web::rooms) tray: String,
    /// The number of trays to fill; empty for the recipe as written.
    pub(in crate::web::rooms) trays: String,
    /// Cooking liquid returned, in millilitres.
    pub(in crate::web::rooms) returned: String,
    /// Water added, in millilitres.
    pub(in crate::web::rooms) added: String,
}

impl Pot {
    /// The pot that the fields describe, with the first tray where they name none.
    pub(in crate::web::rooms) fn of(request: &PageRequest<'_>, fields: &Fields) -> Self {
        let mut choice = request.book.settings.trays.clone();
        if choice.is_empty() {
            choice.push(Tray::usual());
        }
        let first = choice.first().map_or("", |tray| &tray.name);
        let tray = match fields.text("tray") {
            "" => first,
            name => name,
        };
        Self {
            tray: tray.to_string(),
            choice,
            trays: fields.text("trays").to_string(),
            returned: fields.text("returned").to_string(),
            added: fields.text("added").to_string(),
        }
    }

    /// The first tray of the book, and the recipe as it is written.
    pub(in crate::web::rooms) fn usual(request: &PageRequest<'_>) -> Option<(Tray, Target)> {
        Self::of(request, &Fields::default()).measures(&mut Wrong::default())
    }

    /// The fields as the query of an address.
    pub(in crate::web::rooms) fn query(&self) -> String {
        let fields = [
            ("tray", &self.tray),
            ("trays", &self.trays),
            ("returned", &self.returned),
            ("added", &self.added),
        ];
        let typed = fields.into_iter().filter(|(_, value)| !value.is_empty());
        Serializer::new(String::new()).extend_pairs(typed).finish()
    }

    /// Fills empty fields with the liquid of the recipe.
    pub(in crate::web::rooms) fn or_as(mut self, recipe: &Recipe) -> Self {
        let or_usual = |text: &mut String, usual: f64| {
            if text.is_empty() {
                *text = plain(usual);
            }
        };
        or_usual(
            &mut self.returned,
            recipe.liquid.returned.value.millilitres(),
        );
        or_usual(&mut self.added, recipe.liquid.added.value.millilitres());
        self
    }

    /// The tray and the target; what is wrong is noted.
    pub(in crate::web::rooms) fn measures(&self, wrong: &mut Wrong) -> Option<(Tray, Target)> {
        let tray = self.choice.iter().find(|tray| tray.name == self.tray);
        let tray = wrong.needed("tray", tray, "Choose a tray of the book.");
        let target = match self.trays.as_str() {
            "" => Some(Target::AsWritten),
            trays => trays
                .parse()
                .ok()
                .filter(|trays| (1..=MOST_TRAYS).contains(trays))
                .map(Target::Trays),
        };
        let words = format!("Say how many trays: a whole number, 1 to {MOST_TRAYS}.");
        let target = wrong.needed("trays", target, words);
        tray.cloned().zip(target)
    }

    /// The end of the range of the slider for water.
    pub(in crate::web::rooms) fn most_water(&self) -> String {
        let water = self.added.parse().unwrap_or(0.0);
        plain(if water > USUAL_WATER && water < 100_000.0 {
            water
        } else {
            USUAL_WATER
        })
    }
}

/// Notes problems with the liquid at its fields, others at the number of trays.
pub(in crate::web::rooms) fn note(problems: &[Problem], wrong: &mut Wrong) {
    for problem in problems {
        let text = problem
            .place
            .as_ref()
            .map(|place| place.source.name.as_str());
        let field = match text {
            Some("returned") => "returned",
            Some("added") => "added",
            _ => "trays",
        };
        wrong.say(field, in_words(problem));
    }
}

/// A number as it is typed.
pub(in crate::web::rooms) fn plain(number: f64) -> String {
    crate::report::decimals(number, 0)
}
