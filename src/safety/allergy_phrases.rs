//! The words and phrases with which households write an allergy, apart from the names of foods, as
//! `allergy-phrases.csv` lists them. `allergy_text` and `allergy_words` interpret them.

use std::sync::LazyLock;

use data_import::reference;

use super::word_list::{WordList, WordTable, lists};

/// The table of these lists.
pub(super) static TABLE: WordTable =
    LazyLock::new(|| lists("allergy-phrases.csv", reference::ALLERGY_PHRASES));

/// Words that do not say which food is meant.
pub(super) static FILLERS: WordList = WordList::of(&TABLE, "fillers");
/// Ends of phrases that say that a food is eaten nevertheless.
pub(super) static ALLOWED: WordList = WordList::of(&TABLE, "allowed");
/// Words by which a food is allowed only under a condition.
pub(super) static CONDITIONS: WordList = WordList::of(&TABLE, "conditions");
/// Phrases for no allergy.
pub(super) static NO_ALLERGY: WordList = WordList::of(&TABLE, "no-allergy");
/// Words that say that an allergy is over.
pub(super) static OVER: WordList = WordList::of(&TABLE, "over");
/// Words between two foods.
pub(super) static AND: WordList = WordList::of(&TABLE, "and");
/// Words with which a description of a food's effect begins.
pub(super) static STORIES: WordList = WordList::of(&TABLE, "stories");
/// Words for a part of a food or for its form, which add nothing to its name.
pub(super) static FORMS: WordList = WordList::of(&TABLE, "forms");
/// Words for a whole kind of food where they stand alone; beside another word, that one says which
/// food of the kind.
pub(super) static KINDS: WordList = WordList::of(&TABLE, "kinds");
/// Foods that are named after another food.
pub(super) static OF_THEIR_OWN: WordList = WordList::of(&TABLE, "of-their-own");
/// Plants of which plant milks are made.
pub(super) static PLANT_MILKS: WordList = WordList::of(&TABLE, "plant-milks");
/// Plants and nuts of which plant butters are made.
pub(super) static PLANT_BUTTERS: WordList = WordList::of(&TABLE, "plant-butters");
