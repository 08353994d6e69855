//! The words with which parents describe a reaction, as `reaction-words.csv` lists them.
//! `reactions` interprets them.

use std::sync::LazyLock;

use data_import::reference;

use super::word_list::{WordList, WordTable, lists};

/// The table of these lists.
pub(super) static TABLE: WordTable =
    LazyLock::new(|| lists("reaction-words.csv", reference::REACTION_WORDS));

/// Beginnings of words that alone are severe.
pub(super) static SEVERE: WordList = WordList::of(&TABLE, "severe");
/// Words that are severe only as they stand.
pub(super) static SEVERE_WORDS: WordList = WordList::of(&TABLE, "severe-words");
/// Words for a stool: right behind a severe word, as in `pale poo`, they make it the colour of the
/// stool.
pub(super) static STOOLS: WordList = WordList::of(&TABLE, "stools");
/// Words right behind a word for sleepiness that say that it is as always, unless one of [`MORE`]
/// stands before it.
pub(super) static AS_ALWAYS: WordList = WordList::of(&TABLE, "as-always");
/// Words before a word for sleepiness that say that it is more than always.
pub(super) static MORE: WordList = WordList::of(&TABLE, "more");
/// Words for sleepiness.
pub(super) static SLEEPY: WordList = WordList::of(&TABLE, "sleepy");
/// Words for breath; longer ones after those with which they begin.
pub(super) static BREATH: WordList = WordList::of(&TABLE, "breath");
/// Words for breath that is in trouble.
pub(super) static TROUBLED: WordList = WordList::of(&TABLE, "troubled");
/// Words for swelling.
pub(super) static SWELLING: WordList = WordList::of(&TABLE, "swelling");
/// Parts of the body where swelling is severe.
pub(super) static SWOLLEN_PARTS: WordList = WordList::of(&TABLE, "swollen-parts");
/// Words for size.
pub(super) static LARGE: WordList = WordList::of(&TABLE, "large");
/// Parts of the body where size means swelling.
pub(super) static AIRWAY: WordList = WordList::of(&TABLE, "airway");
/// Words for hives.
pub(super) static HIVES: WordList = WordList::of(&TABLE, "hives");
/// Words for hives that are everywhere.
pub(super) static ALL_OVER: WordList = WordList::of(&TABLE, "all-over");
/// Words for vomiting.
pub(super) static VOMITING: WordList = WordList::of(&TABLE, "vomiting");
/// Words for vomiting that is repeated.
pub(super) static REPEATED: WordList = WordList::of(&TABLE, "repeated");
/// Words for a cough.
pub(super) static COUGH: WordList = WordList::of(&TABLE, "cough");
/// Words for a cough or vomiting that does not end.
pub(super) static ENDLESS: WordList = WordList::of(&TABLE, "endless");
/// Numbers that make a count of times.
pub(super) static NUMBERS: WordList = WordList::of(&TABLE, "numbers");
/// Parts of the body, each by the beginnings of the words for its signs.
pub(super) static BODY: [WordList; 3] = [
    WordList::of(&TABLE, "body-skin"),
    WordList::of(&TABLE, "body-gut"),
    WordList::of(&TABLE, "body-breath"),
];
/// Places on the skin, where a sign is not one of the gut.
pub(super) static ON_THE_SKIN: WordList = WordList::of(&TABLE, "on-the-skin");
/// Words that negate what follows.
pub(super) static NOT: WordList = WordList::of(&TABLE, "not");
/// Words for what a healthy child does, which are a sign where they are denied.
pub(super) static SIGNS_DENIED: WordList = WordList::of(&TABLE, "signs-denied");
/// Words that say that the breath is as always.
pub(super) static AT_EASE: WordList = WordList::of(&TABLE, "at-ease");
/// Words for "nothing" in a field of a form.
pub(super) static NOTHING: WordList = WordList::of(&TABLE, "nothing");
/// Beginnings of a clause that denies what follows.
pub(super) static DENIALS: WordList = WordList::of(&TABLE, "denials");
/// Words for signs as they are denied, and those that go with them.
pub(super) static DENIED: WordList = WordList::of(&TABLE, "denied");
/// Words that say that a child is well.
pub(super) static WELL: WordList = WordList::of(&TABLE, "well");
/// Phrases for how a child ate, which say nothing of a reaction; longer ones before those with
/// which they begin.
pub(super) static EATING: WordList = WordList::of(&TABLE, "eating");
/// Words that say nothing by themselves.
pub(super) static OF_A_CHILD: WordList = WordList::of(&TABLE, "of-a-child");
/// Beginnings of words for signs that a parent may note, beside those of the lists above.
pub(super) static OTHER_SIGNS: WordList = WordList::of(&TABLE, "other-signs");
/// Contractions as they are typed without their apostrophe, each with the whole word behind `=`.
pub(super) static SHORTENED: WordList = WordList::of(&TABLE, "shortened");
/// The spelling of words for signs, by which a misspelling is recognised; of several that are as
/// near, the first.
pub(super) static SPELT: WordList = WordList::of(&TABLE, "spelt");
/// Turns that begin like a denial and deny nothing: `no doubt wheezing`.
pub(super) static NO_DENIAL: WordList = WordList::of(&TABLE, "no-denial");
/// Words in a clause at which a denial ends: `no rash then wheezing`.
pub(super) static DENIAL_ENDS: WordList = WordList::of(&TABLE, "denial-ends");
