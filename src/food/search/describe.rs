//! What a description says of its food: its words, where they stand, and the food's form.
//!
//! SR28 descriptions run from the general to the particular, in segments between commas:
//! `Squash, winter, butternut, raw`. The first segment that does more than sort names the food.

use std::collections::HashMap;

use super::Entry;
use super::forms::Form;
use super::phrases::{self, Weight, Weights};
use super::spelling::Vocabulary;
use super::words;

/// Where in a description a word stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
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
}

/// One word of a description.
#[derive(Debug, Clone, Copy)]
pub(super) struct Token {
    pub(super) term: u32,
    pub(super) place: Place,
    /// What it costs that a query does not say this word.
    pub(super) cost: f32,
    /// Written in capitals, as the dataset writes brands.
    pub(super) brand: bool,
}

/// Everything the ranking reads of one food.
#[derive(Debug)]
pub(super) struct Described {
    pub(super) tokens: Vec<Token>,
    pub(super) forms: Vec<Form>,
    /// A brand in the name, or a manufacturer.
    pub(super) branded: bool,
    /// The words "all varieties", "average", ...: the general row of its kind.
    pub(super) general: bool,
    /// SR28 food group.
    pub(super) group: u16,
}

/// Reads descriptions, and learns their words.
#[derive(Debug)]
pub(super) struct Describer<'a> {
    weights: &'a Weights,
    vocabulary: &'a mut Vocabulary,
    /// Words met before, with their number.
    met: HashMap<String, (u32, Weight)>,
}

impl<'a> Describer<'a> {
    pub(super) fn new(weights: &'a Weights, vocabulary: &'a mut Vocabulary) -> Self {
        Self { weights, vocabulary, met: HashMap::new() }
    }

    /// Reads an entry.
    pub(super) fn describe(&mut self, entry: &Entry) -> Described {
        let mut described = Described {
            tokens: Vec::new(),
            forms: Vec::new(),
            branded: !entry.manufacturer.trim().is_empty(),
            general: false,
            group: entry.group.parse().unwrap_or(0),
        };
        let (segments, asides) = segments(&entry.name);
        let segments: Vec<Segment> = segments.iter().map(|text| self.segment(text)).collect();
        let head = head_of(&segments);
        for (at, segment) in segments.iter().enumerate() {
            described.add(segment, place(at, head));
        }
        for aside in &asides {
            described.add(&self.segment(aside), Place::Aside);
        }
        if !entry.common_names.is_empty() {
            for (number, alias) in (0..u8::MAX).zip(entry.common_names.split(',')) {
                described.add(&self.segment(alias), Place::Alias(number));
            }
        }
        if described.group == NUTS && described.forms.is_empty() {
            described.forms.push(Form::Raw);
        }
        described
    }

    /// The words between two commas.
    fn segment(&mut self, text: &str) -> Segment {
        let folded = words::fold(text);
        let words = phrases::join(&words::split(&folded));
        Segment {
            // "red or green", "cos or romaine": either word alone is the food.
            choice: words.contains(&"or"),
            with: words.iter().position(|word| *word == "with"),
            dry: words.iter().position(|word| *word == "dry"),
            brand: is_brand(text),
            words: words.into_iter().map(|word| self.word(word)).collect(),
        }
    }

    fn word(&mut self, word: &str) -> (u32, Weight) {
        if let Some(&known) = self.met.get(word) {
            return known;
        }
        let stem = words::stem(word);
        let weight = self.weights.of(word, &stem);
        let known = (self.vocabulary.intern(stem), weight);
        self.met.insert(word.to_owned(), known);
        known
    }
}

/// The text between two commas, read.
struct Segment {
    words: Vec<(u32, Weight)>,
    choice: bool,
    /// Where the word "with" stands.
    with: Option<usize>,
    /// Where the word "dry" stands.
    dry: Option<usize>,
    brand: bool,
}

/// Groups whose foods are bought dry: that is their raw state.
const BABY_FOODS: u16 = 300;
const CEREALS: u16 = 800;
const NUTS: u16 = 1200;
const LEGUMES: u16 = 1600;
const GRAINS: u16 = 2000;

impl Described {
    fn add(&mut self, segment: &Segment, place: Place) {
        let choice = if segment.choice { 0.3 } else { 1.0 };
        let in_name = !matches!(place, Place::Aside | Place::Alias(_));
        self.branded |= segment.brand && in_name;
        for (at, &(term, weight)) in segment.words.iter().enumerate() {
            // What follows "with" is another food.
            let added = if segment.with.is_some_and(|with| with < at) { 2.0 } else { 1.0 };
            let cost = match place {
                Place::Class | Place::Head => weight.class.unwrap_or_else(|| in_head(weight)),
                Place::Next | Place::Tail => weight.cost * added,
                Place::Aside => weight.cost * 0.1,
                Place::Alias(_) => 0.0,
            };
            let brand = segment.brand && in_name;
            self.tokens.push(Token { term, place, cost: cost * choice, brand });
            if in_name {
                self.note(weight, segment.dry == Some(at));
            }
        }
    }

    /// Notes a form, or a sign that the row is the general one.
    fn note(&mut self, weight: Weight, dry: bool) {
        let form = match (weight.form, self.group) {
            (None, BABY_FOODS | CEREALS | LEGUMES | GRAINS) if dry => Some(Form::Raw),
            (None, _) if dry => Some(Form::Dried),
            (Some(Form::Dried), NUTS) => Some(Form::Raw),
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
    if weight.quiet { weight.cost } else { ANOTHER_FOOD }
}

/// The first segment with a word that neither sorts nor says little; the first if there is none.
fn head_of(segments: &[Segment]) -> usize {
    let names = |segment: &Segment| {
        segment.words.iter().any(|(_, weight)| weight.class.is_none() && !weight.quiet)
    };
    segments.iter().position(names).unwrap_or(0)
}

fn place(at: usize, head: usize) -> Place {
    match at {
        _ if at < head => Place::Class,
        _ if at == head => Place::Head,
        _ if at == head + 1 => Place::Next,
        _ => Place::Tail,
    }
}

/// The text between commas, and the text in brackets.
fn segments(name: &str) -> (Vec<String>, Vec<String>) {
    let (mut segments, mut asides) = (vec![String::new()], Vec::new());
    let mut depth = 0_usize;
    for c in name.chars() {
        match c {
            '(' => {
                depth += 1;
                asides.push(String::new());
            }
            ')' => depth = depth.saturating_sub(1),
            ',' if depth == 0 => segments.push(String::new()),
            _ => {
                let text = if depth > 0 { asides.last_mut() } else { segments.last_mut() };
                if let Some(text) = text {
                    text.push(c);
                }
            }
        }
    }
    segments.retain(|segment| !segment.trim().is_empty());
    (segments, asides)
}

/// A word of four or more capitals, which is how the dataset writes a brand.
fn is_brand(text: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric()).any(|word| {
        word.len() >= 4 && word != "USDA" && word.chars().all(|c| c.is_ascii_uppercase())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(name: &str, group: &str) -> (Described, Vocabulary) {
        let entry = Entry { name: name.into(), group: group.into(), ..Entry::default() };
        let mut vocabulary = Vocabulary::default();
        let described = Describer::new(&Weights::new(), &mut vocabulary).describe(&entry);
        (described, vocabulary)
    }

    #[test]
    fn the_head_is_the_first_segment_that_names_a_food() {
        let first = |name: &str, place| {
            let (described, vocabulary) = read(name, "1100");
            let token = described.tokens.iter().find(|token| token.place == place);
            token.map(|token| vocabulary.word(token.term).to_owned()).unwrap_or_default()
        };
        assert_eq!(first("Fish, cod, Atlantic, raw", Place::Head), "cod");
        assert_eq!(first("Carrots, raw", Place::Head), "carrot");
        assert_eq!(first("Squash, winter, butternut, raw", Place::Head), "butternut");
        assert_eq!(first("Beans, snap, green, raw", Place::Next), "green");
        assert_eq!(first("Broadbeans (fava beans), raw", Place::Aside), "fava");
    }

    #[test]
    fn forms_are_read_outside_brackets() {
        let forms = |name: &str, group: &str| read(name, group).0.forms;
        assert_eq!(forms("Shrimp, raw (may have been previously frozen)", "1500"), [Form::Raw]);
        assert_eq!(forms("Fish, cod, cooked, dry heat", "1500"), [Form::Cooked, Form::DryHeat]);
        assert_eq!(forms("Pasta, dry, enriched", "2000"), [Form::Raw]);
        assert_eq!(forms("Milk, dry, whole", "0100"), [Form::Dried]);
    }

    #[test]
    fn capitals_are_a_brand() {
        assert!(read("MORI-NU, Tofu, silken, soft", "1600").0.branded);
        assert!(!read("USDA Commodity, pork, ground", "1000").0.branded);
        assert!(!read("Chicken, broiler, rotisserie, BBQ", "0500").0.branded);
    }
}
