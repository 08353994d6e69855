//! The texture of a child's food by age: the table `textures.csv`.

use data_import::{Error, reference};
use serde::Deserialize;

use crate::nutrition::AgeMonths;

/// The texture that fits an age.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Texture {
    from_months: u16,
    /// The sentence for a parent.
    pub text: String,
    /// Publication.
    pub source: String,
}

/// The rows of the table, by age.
pub(super) fn builtin() -> Result<Vec<Texture>, Error> {
    reference::rows("textures.csv", reference::TEXTURES)
}

impl Texture {
    /// Id of the texture among the cautions of a batch.
    pub const ID: &'static str = "texture";

    /// The texture that fits an age; `None` before solids are due.
    ///
    /// Errors: the table cannot be read.
    pub fn at(age: AgeMonths) -> Result<Option<Self>, Error> {
        let mut rows = builtin()?.into_iter().rev();
        Ok(rows.find(|row| row.is_for(age)))
    }

    /// Whether a child of this age has reached the texture.
    pub(super) fn is_for(&self, age: AgeMonths) -> bool {
        self.from_months <= age.0
    }
}
