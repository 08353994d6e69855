//! `trayful texture`: how coarse a child's food is from a day on.

use clap::Args;
use trayful::notebook::{TextureSince, TextureStage};

use super::failure::Failure;
use super::option_word::{OptionWord, one_of};
use super::written::{NewEntries, each_of, printed_at_visit, written_down};
use super::{Answer, ChildrenArg, DayArg, Session};

#[derive(Debug, Args)]
pub(super) struct TextureArgs {
    /// The stage
    #[arg(value_name = "STAGE", value_parser = one_of(&STAGES))]
    stage: TextureStage,
    #[command(flatten)]
    children: ChildrenArg,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// The stages on the command line.
const STAGES: [OptionWord<TextureStage>; 5] = [
    ("smooth", "Smooth purée", TextureStage::Smooth),
    ("mashed", "Mashed, thick", TextureStage::Mashed),
    ("lumpy", "With soft lumps", TextureStage::Lumpy),
    (
        "chopped",
        "Minced or chopped, with finger food",
        TextureStage::Chopped,
    ),
    ("family", "Family food, cut to size", TextureStage::Family),
];

/// Records the stage.
pub(super) fn run(args: &TextureArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let since = TextureSince {
        day: args.day.done(session, &children)?,
        stage: args.stage,
    };
    let mut store = book.store()?;
    let ids = each_of(&children, |child| store.texture(&child.name, since))?;
    let mut more = vec!["It stands beside the texture for the age in `trayful batch`.".to_string()];
    more.extend(printed_at_visit(&book.settings, &children, "It"));
    let written = NewEntries {
        entries: &ids,
        more,
        ..NewEntries::default()
    };
    written_down(&store, &book, written, args.json, session)
}
