//! What a child may be given.
//!
//! [`Judge`] answers one question for every interface: what speaks against giving these foods to
//! this child. Its rules are in tables: `hazards.csv` (foods, ages, ways to cook, amounts),
//! `allergens.csv` and `textures.csv`, and what households mean by their words in
//! `allergy-words.csv`, `allergy-phrases.csv` and `reaction-words.csv`; what depends on the child's
//! record is in [`child`]. General kitchen hygiene is in `cautions.csv`, see [`CautionTable`].

mod allergens;
mod allergy_phrases;
mod allergy_text;
mod allergy_words;
mod cautions;
mod child;
mod first_tastes;
mod freezer_life;
mod hazards;
mod judge;
mod objection;
mod on_record;
mod portion;
mod reaction_words;
mod reactions;
mod related;
mod sums;
mod texture;
mod word_list;

pub use allergens::AllergenTable;
pub use allergy_text::{has_no_word, listed_allergies, may_be_over, stem};
pub use allergy_words::{
    AllergyPart, allergy_parts, is_in_name, misspelt_allergen, near_allergen, said_to_be_eaten,
};
pub use cautions::{Caution, CautionTable, DEFER, Step};
pub use child::{ChildFacts, NotedReaction, Tasted, WaitAfter, Waiting};
pub use first_tastes::{is_brought_new_foods, is_taste};
pub use freezer_life::FreezerLimit;
pub use judge::{BEFORE_SOLIDS, Case, FeedingStage, Judge, UNKNOWN_AGE};
pub use objection::{Objection, Severity, by_reason, distinct, gravest_first};
pub use portion::{EatenMeal, Portion, PortionForm};
pub use reactions::{DANGER_SIGNS, EMERGENCY_NUMBERS, emergency, tells_of_reaction, when_to_call};
pub(crate) use reactions::{RESPONSE, response};
pub use sums::{Limit, Measure, Window};
pub use texture::Texture;
