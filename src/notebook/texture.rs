//! The texture of a child's food: a stage, from a day on.

use jiff::civil::Date;
use serde::Serialize;

use super::error::BookError;
use super::sql::parsed;
use super::store::Store;

/// A stage of texture, the smoothest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum TextureStage {
    /// Smooth purée.
    Smooth,
    /// Mashed, thick.
    Mashed,
    /// With soft lumps.
    Lumpy,
    /// Minced or chopped, with finger food.
    Chopped,
    /// Family food, cut to size.
    Family,
}

impl TextureStage {
    /// All stages, the smoothest first.
    pub const ALL: [Self; 5] = [
        Self::Smooth,
        Self::Mashed,
        Self::Lumpy,
        Self::Chopped,
        Self::Family,
    ];

    /// The word for it in the record and on the command line.
    pub fn word(self) -> &'static str {
        match self {
            Self::Smooth => "smooth",
            Self::Mashed => "mashed",
            Self::Lumpy => "lumpy",
            Self::Chopped => "chopped",
            Self::Family => "family",
        }
    }

    /// The stage in a few words.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Smooth => "smooth purée",
            Self::Mashed => "mashed, thick",
            Self::Lumpy => "with soft lumps",
            Self::Chopped => "minced or chopped, with finger food",
            Self::Family => "family food, cut to size",
        }
    }

    /// The stage of a word of the record; the smoothest for an unknown word.
    pub fn from_word(word: &str) -> Self {
        let stages = Self::ALL.into_iter();
        let mut found = stages.filter(|stage| stage.word() == word);
        found.next().unwrap_or(Self::Smooth)
    }
}

/// A stage that a child has reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct TextureSince {
    /// The first day of the stage.
    pub day: Date,
    /// The stage.
    pub stage: TextureStage,
}

impl Store {
    /// Records the texture of a child's food from a day on; returns the number of the entry.
    pub fn texture(&mut self, child: &str, since: TextureSince) -> Result<i64, BookError> {
        let stage = since.stage.word();
        self.write_entry(
            since.day,
            "texture",
            &[("child", &child), ("stage", &stage)],
        )
    }

    /// The stages of a child up to and including a day, by day.
    pub fn textures(&self, child: &str, until: Date) -> Result<Vec<TextureSince>, BookError> {
        let sql = "SELECT entry.day, stage FROM texture JOIN entry ON entry.id = texture.entry \
                   WHERE child = ?1 AND entry.day <= ?2 ORDER BY entry.day, entry.id";
        self.rows(sql, [child, &until.to_string()], |row| {
            let stage: String = row.get(1)?;
            Ok(TextureSince {
                day: parsed(row, 0)?,
                stage: TextureStage::from_word(&stage),
            })
        })
    }
}
