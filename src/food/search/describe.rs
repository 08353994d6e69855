//! What a description says of its food: its words, where they stand, and the food's form.
//!
//! SR28 descriptions run from the general to the particular, in segments between commas:
//! `Squash, winter, butternut, raw`. The first segment that does more than sort names the food.

use super::EntryRef;
use super::forms::FoodForm;
use super::group_number::{
    BABY_FOODS, BREAKFAST_CEREALS, GRAINS_AND_PASTA, LEGUMES, NUTS_AND_SEEDS,
};
use super::segments::{Connective, SegmentWord, WordReader, is_brand, segments};
use super::term::Term;
use super::weights::Weight;

/// Where in a description a word stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NamePlace {
    /// Before the food's own name: "Fish" in "Fish, cod, Atlantic, raw".
    Class,
    /// In the food's own name.
    Head,
    /// In the segment after it.
    Next,
    /// Further on.
    Tail,
    /// In brackets.
    Aside,
    /// In the common name of this number.
    Alias(u8),
    /// In the name of its maker; of branded foods only.
    Maker,
}

/// One word of a description.
#[derive(Debug, Clone, Copy)]
pub(super) struct NameToken {
    pub(super) term: Term,
    pub(super) place: NamePlace,
    /// What it costs that a query does not say this word.
    pub(super) cost: f32,
    /// What it costs that a query that only names the class of the food does not say this word.
    pub(super) cost_in_class: f32,
    /// Written in capitals, as the dataset writes brands.
    pub(super) brand: bool,
}

/// Everything the ranking reads of one food.
#[derive(Debug)]
pub(super) struct Described {
    pub(super) tokens: Vec<NameToken>,
    pub(super) forms: Vec<FoodForm>,
    /// A brand in the name, or a manufacturer.
    pub(super) branded: bool,
    /// The words "all varieties", "average", ...: the general row of its kind.
    pub(super) general: bool,
    /// SR28 food group.
    pub(super) group: u16,
    /// See [`super::Entry::source_rank`].
    pub(super) source_rank: u8,
}

/// Reads an entry.
pub(super) fn describe(entry: EntryRef<'_>, reader: &mut WordReader) -> Described {
    reader.forget_stems();
    let mut described = Described {
        tokens: Vec::with_capacity(24),
        forms: Vec::new(),
        branded: entry.branded || !entry.manufacturer.trim().is_empty(),
        general: false,
        source_rank: entry.source_rank,
        group: entry.group.parse().unwrap_or(0),
    };
    let (texts, asides) = segments(entry.name);
    let (mut words, mut ends) = reader.lists();
    for text in &texts {
        reader.segment(text, &mut words);
        ends.push(words.len());
    }
    let starts = || std::iter::once(0).chain(ends.iter().copied());
    let segments = || starts().zip(&ends).map(|(start, end)| &words[start..*end]);
    let head = head_of(segments());
    for (at, (segment, text)) in segments().zip(&texts).enumerate() {
        // Whole tables of branded foods are in capitals; there they mark nothing.
        let brand = !entry.branded && is_brand(text);
        described.branded |= brand;
        described.add(segment, place(at, head), brand);
    }
    for aside in &asides {
        words.clear();
        described.add(reader.segment(aside, &mut words), NamePlace::Aside, false);
    }
    for (number, alias) in (0..u8::MAX).zip(entry.common_names.split(',')) {
        words.clear();
        let alias = reader.segment(alias, &mut words);
        // "Beef" as a common name of a cut of beef is not a name of its own.
        let repeats = |word: &SegmentWord| {
            let in_front = |t: &NameToken| matches!(t.place, NamePlace::Class | NamePlace::Head);
            described
                .tokens
                .iter()
                .any(|t| t.term == word.term && in_front(t))
        };
        if !alias.iter().all(repeats) {
            described.add(alias, NamePlace::Alias(number), false);
        }
    }
    if entry.branded {
        words.clear();
        described.add_maker(reader.segment(entry.manufacturer, &mut words));
    }
    reader.keep((words, ends));
    if described.group == NUTS_AND_SEEDS && described.forms.is_empty() {
        described.forms.push(FoodForm::Raw);
    }
    described
}

impl Described {
    fn add(&mut self, words: &[SegmentWord], place: NamePlace, brand: bool) {
        let in_name = !matches!(
            place,
            NamePlace::Aside | NamePlace::Alias(_) | NamePlace::Maker
        );
        let mut share = if words.iter().any(|w| w.role == Connective::Or) {
            0.3
        } else {
            1.0
        };
        for &SegmentWord {
            term, weight, role, ..
        } in words
        {
            let cost = match place {
                NamePlace::Class | NamePlace::Head => {
                    weight.class.unwrap_or_else(|| in_head(weight))
                }
                NamePlace::Next | NamePlace::Tail => weight.cost,
                NamePlace::Aside => weight.cost * 0.2,
                NamePlace::Alias(_) | NamePlace::Maker => 0.0,
            };
            let (cost, cost_in_class) = (cost * share, weight.cost.min(cost) * share);
            self.tokens.push(NameToken {
                term,
                place,
                cost,
                cost_in_class,
                brand,
            });
            match role {
                Connective::With => share *= 2.0,
                Connective::Includes if place == NamePlace::Aside => share = 0.0,
                Connective::In => share *= 0.1,
                _ => {}
            }
            if in_name {
                self.note(weight, role);
            }
        }
    }

    /// Adds the words that name the maker; "Foods, Inc." names nobody.
    fn add_maker(&mut self, maker: &[SegmentWord]) {
        for word in maker.iter().filter(|word| !word.weight.of_any_company) {
            self.tokens.push(NameToken {
                term: word.term,
                place: NamePlace::Maker,
                cost: 0.0,
                cost_in_class: 0.0,
                brand: true,
            });
        }
    }

    /// Notes a form, or a sign that the row is the general one.
    fn note(&mut self, weight: Weight, role: Connective) {
        let dry = role == Connective::Dry;
        // Dry is the raw state of what is bought dry.
        let form = match (weight.form, self.group) {
            (None, BABY_FOODS | BREAKFAST_CEREALS | LEGUMES | GRAINS_AND_PASTA) if dry => {
                Some(FoodForm::Raw)
            }
            (None, _) if dry => Some(FoodForm::Dried),
            (Some(FoodForm::Dried), NUTS_AND_SEEDS) => Some(FoodForm::Raw),
            (form, _) => form,
        };
        if let Some(form) = form
            && !self.forms.contains(&form)
        {
            self.forms.push(form);
        }
        self.general |= weight.general;
    }
}

/// The cost of an unsaid word in the food's own name: it is then another food.
fn in_head(weight: Weight) -> f32 {
    const ANOTHER_FOOD: f32 = 4.0;
    if weight.quiet {
        weight.cost
    } else {
        ANOTHER_FOOD
    }
}

/// The first segment with a word that neither sorts nor says little; the first if there is none.
fn head_of<'w>(mut segments: impl Iterator<Item = &'w [SegmentWord]>) -> usize {
    let names = |words: &[SegmentWord]| {
        words
            .iter()
            .any(|word| word.weight.class.is_none() && !word.weight.quiet)
    };
    segments.position(names).unwrap_or(0)
}

fn place(at: usize, head: usize) -> NamePlace {
    match at {
        _ if at < head => NamePlace::Class,
        _ if at == head => NamePlace::Head,
        _ if at == head + 1 => NamePlace::Next,
        _ => NamePlace::Tail,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(name: &str, group: &str) -> (Described, WordReader) {
        let entry = EntryRef {
            name,
            group,
            ..EntryRef::default()
        };
        let mut reader = WordReader::default();
        (describe(entry, &mut reader), reader)
    }

    #[test]
    fn the_head_is_the_first_segment_that_names_a_food() {
        let first = |name: &str, place| {
            let (described, reader) = read(name, "1100");
            let token = described.tokens.iter().find(|token| token.place == place);
            let stem = token.and_then(|token| reader.stem(token.term));
            stem.unwrap_or_default().to_owned()
        };
        assert_eq!(first("Fish, cod, Atlantic, raw", NamePlace::Head), "cod");
        assert_eq!(first("Carrots, raw", NamePlace::Head), "carrot");
        assert_eq!(
            first("Squash, winter, butternut, raw", NamePlace::Head),
            "butternut"
        );
        assert_eq!(first("Beans, snap, green, raw", NamePlace::Next), "green");
        assert_eq!(
            first("Broadbeans (fava beans), raw", NamePlace::Aside),
            "fava"
        );
    }

    #[test]
    fn forms_are_read_outside_brackets() {
        let forms = |name: &str, group: &str| read(name, group).0.forms;
        assert_eq!(
            forms("Shrimp, raw (may have been previously frozen)", "1500"),
            [FoodForm::Raw]
        );
        assert_eq!(
            forms("Fish, cod, cooked, dry heat", "1500"),
            [FoodForm::Cooked, FoodForm::DryHeat]
        );
        assert_eq!(forms("Pasta, dry, enriched", "2000"), [FoodForm::Raw]);
        assert_eq!(forms("Milk, dry, whole", "0100"), [FoodForm::Dried]);
    }

    #[test]
    fn a_brand_or_a_maker_makes_a_row_branded() {
        assert!(read("MORI-NU, Tofu, silken, soft", "1600").0.branded);
        assert!(!read("Tofu, soft (KOYADOFU)", "1600").0.branded);
    }
}
