//! The words and turns by which households write down an allergy, apart from the names of foods, as `allergy-phrases.csv` lists them.
//! `allergy_text` and `allergy_words` say what they come to.

use std::sync::LazyLock;

use data_import::reference;

use super::word_list::{WordList, WordTable, lists};

/// The table of these lists.
pub(super) static TABLE: WordTable =
    LazyLock::new(|| lists("allergy-phrases.csv", reference::ALLERGY_PHRASES));

/// Words that say nothing of which food is meant.
pub(super) static FILLERS: WordList = WordList::of(&TABLE, "fillers");
/// Ends of what says that a food is eaten all the same.
pub(super) static ALLOWED: WordList = WordList::of(&TABLE, "allowed");
/// Words by which a food is allowed under a condition only.
pub(super) static CONDITIONS: WordList = WordList::of(&TABLE, "conditions");
/// What is written where there is no allergy.
pub(super) static NO_ALLERGY: WordList = WordList::of(&TABLE, "no-allergy");
/// Words that say of an allergy that it is over.
pub(super) static OVER: WordList = WordList::of(&TABLE, "over");
/// Words between two foods.
pub(super) static AND: WordList = WordList::of(&TABLE, "and");
/// Words with which the story begins of what a food did to a child.
pub(super) static STORIES: WordList = WordList::of(&TABLE, "stories");
/// Words for a part of a food or for its form, which say nothing beside its name.
pub(super) static FORMS: WordList = WordList::of(&TABLE, "forms");
/// Words for a whole kind of food where they stand alone; beside another word it says which food of that kind.
pub(super) static KINDS: WordList = WordList::of(&TABLE, "kinds");
/// Foods that are called after another one.
pub(super) static OF_THEIR_OWN: WordList = WordList::of(&TABLE, "of-their-own");
/// What milk is made of that is none.
pub(super) static PLANT_MILKS: WordList = WordList::of(&TABLE, "plant-milks");
/// What butter is made of that is none.
pub(super) static PLANT_BUTTERS: WordList = WordList::of(&TABLE, "plant-butters");
