//! `trayful texture`: how coarse a child's food is from a day on.

use clap::{Args, ValueEnum};
use trayful::notebook::{TextureSince, TextureStage};

use super::failure::Failure;
use super::written::{NewEntries, each_of, printed_at_visit, written_down};
use super::{Answer, ChildrenArg, DayArg, Session};

#[derive(Debug, Args)]
pub(super) struct TextureArgs {
    /// The stage
    #[arg(value_name = "STAGE")]
    stage: StageArg,
    #[command(flatten)]
    children: ChildrenArg,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// A stage of texture, on the command line.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum StageArg {
    /// Smooth purée
    Smooth,
    /// Mashed, thick
    Mashed,
    /// With soft lumps
    Lumpy,
    /// Minced or chopped, with finger food
    Chopped,
    /// Family food, cut to size
    Family,
}

impl StageArg {
    fn stage(self) -> TextureStage {
        match self {
            Self::Smooth => TextureStage::Smooth,
            Self::Mashed => TextureStage::Mashed,
            Self::Lumpy => TextureStage::Lumpy,
            Self::Chopped => TextureStage::Chopped,
            Self::Family => TextureStage::Family,
        }
    }
}

/// Records the stage.
pub(super) fn run(args: &TextureArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let since = TextureSince {
        day: args.day.done(session, &children)?,
        stage: args.stage.stage(),
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
