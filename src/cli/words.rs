//! `trayful words`: which foods the household means by words that could mean several.

use clap::Args;
use trayful::food::FoodId;
use trayful::problem::Problem;
use trayful::report::Page;
use trayful::spoken::food_words;

use super::failure::Failure;
use super::{Answer, Session};

#[derive(Debug, Args)]
pub(super) struct WordsArgs {
    /// The words, such as squash; all that are remembered, if left out
    #[arg(value_name = "WORDS", requires = "what")]
    words: Option<String>,
    /// The id of the food that is meant by them
    #[arg(value_name = "ID", group = "what")]
    food: Option<FoodId>,
    /// Forget what is meant by them
    #[arg(long, group = "what")]
    forget: bool,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Shows what is remembered, or changes it.
pub(super) fn run(args: &WordsArgs, session: &Session) -> Result<Answer, Failure> {
    let mut book = session.book()?;
    let pantry = session.pantry(None)?;
    if let Some(typed) = &args.words {
        let words = food_words(typed)?;
        match &args.food {
            Some(id) => {
                if pantry
                    .foods(std::slice::from_ref(id))?
                    .pop()
                    .flatten()
                    .is_none()
                {
                    return Err(Problem::new(format!("no food has the id {id}")).into());
                }
                book.remember(&words, id)?;
            }
            None if book.settings.words.contains_key(&words) => book.forget(&words)?,
            None => {
                return Ok(session
                    .paragraph(&format!("Nothing is remembered for `{words}`."))
                    .found_if(false));
            }
        }
    }
    let words = &book.settings.words;
    if args.json {
        return Answer::json(&serde_json::json!({ "schema": 1, "words": words }));
    }
    let mut page = Page::new(session.look);
    if words.is_empty() {
        page.line("No words are remembered: what could mean several foods is asked about.");
    }
    let ids: Vec<FoodId> = words.values().cloned().collect();
    for ((typed, id), food) in words.iter().zip(pantry.foods(&ids)?) {
        let name = food.map_or_else(|| "no food of the data in use".into(), |food| food.name);
        page.line(&format!("`{typed}` means {name} ({id})."));
    }
    Ok(Answer::text(page.finish()))
}
