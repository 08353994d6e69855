//! The texture of a child's food: a stage from a day on, beside the texture for its age.

use askama::Template;

use super::{ChildForm, address, child, layout};
use crate::notebook::{Child, ChildEntry, TextureSince, TextureStage};
use crate::safety::Texture;
use crate::web::rooms::phrases::{self, SelectOption};
use crate::web::{Fields, Layout, Notice, PageAnswer, PageRequest, PageResult, Reply, Wrong};
use crate::words::{capital, day};

#[derive(Template)]
#[template(path = "web/household-texture.html")]
struct TexturePage {
    layout: Layout,
    form: ChildForm,
    now: Option<String>,
    /// The texture for the age of the child; `None` before solids are due.
    fits: Option<Texture>,
    stages: Vec<SelectOption>,
    on: String,
    wrong: Wrong,
}

/// Shows the stage and the form.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default())?)
}

/// Records a stage.
pub(super) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let child = child(request, fields)?;
    let mut wrong = Wrong::default();
    let mut stages = TextureStage::ALL.into_iter();
    let stage = stages.find(|stage| stage.word() == fields.text("stage"));
    let stage = wrong.needed("stage", stage, "Choose how coarse the food is.");
    let on = phrases::on(request, fields, Some(child), &mut wrong);
    if let (Some(stage), Some(on)) = (stage, on) {
        let since = TextureSince { day: on, stage };
        let entry = request.store()?.texture(&child.name, since)?;
        let notice = Notice {
            more: vec!["It stands on the page of the visit.".into()],
            entry: Some(entry),
            ..Notice::of(format!("{}, {}.", child.name, since_words(since)))
        };
        return Ok(Reply::Done(address("texture", &child.name), notice));
    }
    Reply::wrong(&filled(request, fields, wrong)?)
}

/// The stage of a child today; `None` where none is on record.
pub(super) fn now(request: &PageRequest<'_>, child: &Child) -> PageResult<Option<TextureSince>> {
    let store = request.record()?;
    Ok(store.textures(&child.name, request.today)?.pop())
}

/// `from 16 Nov 2026 on: mashed, thick`.
pub(super) fn since_words(since: TextureSince) -> String {
    format!("from {} on: {}", day(since.day), since.stage.in_words())
}

fn filled(request: &PageRequest<'_>, fields: &Fields, wrong: Wrong) -> PageResult<TexturePage> {
    let child = child(request, fields)?;
    let now = now(request, child)?;
    let chosen = match fields.text("stage") {
        "" => now.map_or("", |since| since.stage.word()),
        sent => sent,
    };
    let stage = |stage: TextureStage| SelectOption::of(stage.word(), stage.in_words(), chosen);
    Ok(TexturePage {
        layout: layout(request, child, "Texture"),
        form: ChildForm::listing(request, child, ("texture", ChildEntry::Texture), child.born)?,
        now: now.map(|since| capital(&since_words(since))),
        fits: Texture::at(child.age_on(request.today))?,
        stages: TextureStage::ALL.map(stage).into(),
        on: phrases::or_today(request, fields),
        wrong,
    })
}
