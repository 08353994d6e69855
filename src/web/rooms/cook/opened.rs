//! A recipe of the book that is opened to be changed, and its text as it was before a change.

use data_import::hex;
use sha2::{Digest as _, Sha256};

use super::name_in_address;
use crate::notebook::RecipeName;
use crate::problem::SourceText;
use crate::recipe::{Former, Recipe};
use crate::web::{Fields, Notice, PageAnswer, PageError, PageRequest, PageResult, Reply};

/// A recipe whose file is changed by a form.
pub(super) struct Opened {
    /// The name of its file.
    pub(super) name: String,
    /// The digest of its text, by which a change is noticed.
    pub(super) stamp: String,
    /// The file; `None` where it was changed since.
    pub(super) former: Option<Former>,
}

/// The text that a recipe had before it was written over.
#[derive(Debug, Clone)]
pub(in crate::web) struct FormerText {
    folder: std::path::PathBuf,
    name: RecipeName,
    title: String,
    text: String,
    /// The digest of the text that replaced it.
    since: String,
}

impl Opened {
    /// Opens the recipe that the address names.
    pub(super) fn by_address(request: &PageRequest<'_>) -> PageResult<Self> {
        let name = name_in_address(request)?;
        let text = text_of(request, &name)?;
        let stamp = stamp(&text);
        let former = Former::read(&SourceText::new(format!("{name}.toml"), text))?;
        Ok(Self {
            name,
            stamp,
            former: Some(former),
        })
    }

    /// The recipe that a form names; `None` for a new recipe.
    pub(super) fn by_fields(
        request: &PageRequest<'_>,
        fields: &Fields,
    ) -> PageResult<Option<Self>> {
        let name = fields.text("from").to_string();
        if name.is_empty() || !request.book.recipe_names()?.contains(&name) {
            return Ok(None);
        }
        let text = text_of(request, &name)?;
        let opened = fields.text("stamp").to_string();
        let former = (opened == stamp(&text))
            .then(|| Former::read(&SourceText::new(format!("{name}.toml"), text)));
        Ok(Some(Self {
            name,
            stamp: opened,
            former: former.transpose()?,
        }))
    }

    /// Whether the recipe of this name may be replaced: it is the opened one, and its file was not
    /// changed since.
    pub(super) fn is(&self, name: &RecipeName) -> bool {
        self.former.is_some() && self.name == name.to_string()
    }
}

/// The text of a recipe that the book lists.
fn text_of(request: &PageRequest<'_>, name: &str) -> PageResult<String> {
    let source = Recipe::source(&request.book.recipe_path(name))?;
    Ok(source.text.clone())
}

/// The first 16 bytes of the SHA-256 of a text.
fn stamp(text: &str) -> String {
    hex(&Sha256::digest(text.as_bytes())[..16])
}

impl FormerText {
    /// The recipe that `text` is to replace; `None` where there is none.
    pub(super) fn of(
        request: &PageRequest<'_>,
        name: &RecipeName,
        text: &str,
    ) -> PageResult<Option<Self>> {
        let known = name.to_string();
        if !request.book.recipe_names()?.contains(&known) {
            return Ok(None);
        }
        let former = text_of(request, &known)?;
        let recipe = Recipe::parse(&SourceText::new("a recipe", former.as_str()));
        Ok(Some(Self {
            folder: request.place.folder.clone(),
            name: name.clone(),
            title: recipe.map_or(known, |recipe| recipe.title),
            text: former,
            since: stamp(text),
        }))
    }
}

/// Puts the former text of a recipe back, unless the file was changed since.
pub(in crate::web) fn put_back(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let kept = request.state.former_texts.named(fields.text("former"));
    let kept = kept.filter(|kept| kept.folder == request.place.folder);
    let kept = kept.ok_or(PageError::NotFound)?;
    let name = kept.name.to_string();
    let now = text_of(request, &name)?;
    let notice = if stamp(&now) == kept.since {
        request.book.save_recipe(&kept.name, &kept.text, true)?;
        Notice::of(format!("{} is as it was before.", kept.title))
    } else {
        Notice::of("Nothing was put back: the file of the recipe was changed since.")
    };
    Ok(Reply::Done(format!("/cook/recipe/{name}"), notice))
}
