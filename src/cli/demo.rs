//! `trayful demo`: a batch of the invented household.

use clap::Args;
use trayful::food::Pantry;
use trayful::notebook::Settings;
use trayful::problem::{Problem, SourceText};
use trayful::recipe::Recipe;
use trayful::report::Page;

use super::batch::{self, ScaleArgs, ShownArgs, TrayArgs};
use super::failure::Failure;
use super::{Answer, Session};

/// The household's book.
const BOOK: &str = include_str!("../../demo/book.toml");

/// Its recipes: name and file, the first one is shown when none is named.
const RECIPES: &[(&str, &str)] = &[
    (
        "red-lentil-squash",
        include_str!("../../demo/recipes/red-lentil-squash.toml"),
    ),
    (
        "beef-beetroot-barley",
        include_str!("../../demo/recipes/beef-beetroot-barley.toml"),
    ),
    (
        "chicken-liver-white-bean",
        include_str!("../../demo/recipes/chicken-liver-white-bean.toml"),
    ),
    (
        "chickpea-tomato-tahini",
        include_str!("../../demo/recipes/chickpea-tomato-tahini.toml"),
    ),
    (
        "mackerel-potato-fennel",
        include_str!("../../demo/recipes/mackerel-potato-fennel.toml"),
    ),
    (
        "oat-prune-apricot",
        include_str!("../../demo/recipes/oat-prune-apricot.toml"),
    ),
    (
        "salmon-broccoli-millet",
        include_str!("../../demo/recipes/salmon-broccoli-millet.toml"),
    ),
    (
        "turkey-kale-quinoa",
        include_str!("../../demo/recipes/turkey-kale-quinoa.toml"),
    ),
];

/// Arguments of `trayful demo`.
#[derive(Debug, Args)]
pub(super) struct DemoArgs {
    /// One of the household's recipes
    #[arg(value_name = "RECIPE")]
    recipe: Option<String>,
    #[command(flatten)]
    tray: TrayArgs,
    #[command(flatten)]
    scale: ScaleArgs,
    #[command(flatten)]
    shown: ShownArgs,
}

/// Runs the command.
pub(super) fn run(args: &DemoArgs, session: &Session) -> Result<Answer, Failure> {
    let names: Vec<_> = RECIPES.iter().map(|(name, _)| *name).collect();
    let wanted = args.recipe.as_deref().unwrap_or(names[0]);
    let Some((name, text)) = RECIPES.iter().find(|(name, _)| *name == wanted) else {
        let what = format!("the demo household has no recipe `{wanted}`");
        return Err(Problem::new(what)
            .hint(format!("it has {}", names.join(", ")))
            .into());
    };
    let book = Settings::parse(&SourceText::new("demo/book.toml", BOOK))?;
    let recipe = Recipe::parse(&SourceText::new(format!("demo/recipes/{name}.toml"), *text))?;
    let target = args.scale.target_or_two_trays()?;
    let tray = args.tray.resolve(&book)?;
    let pantry = Pantry::from(session.foods()?);
    let mut answer = batch::answer(&recipe, &tray, &target, &args.shown, &pantry, session)?;
    if !args.shown.json {
        let others: Vec<_> = names.into_iter().filter(|other| other != name).collect();
        let mut page = Page::new(session.look);
        page.paragraph(&format!(
            "From the book of an invented household. Its other recipes: trayful demo {}. Yours: \
             trayful batch my-recipe.toml, written like demo/recipes/{name}.toml.",
            others.join(", ")
        ));
        page.line("");
        answer.text.insert_str(0, &page.finish());
    }
    Ok(answer)
}
