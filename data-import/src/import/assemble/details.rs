//! Details and measures of the foods of one group, without their values.

use std::borrow::Cow;
use std::ops::Range;

use crate::import::gather::{Field, long_records};
use crate::measure::Measure;

/// The details of the foods of one group, by field and food, so that the order in which they came
/// does not count.
#[derive(Debug)]
pub(super) struct Details<'a>(Vec<Detail<'a>>);

type Detail<'a> = (Field, u32, &'a [u8]);

impl<'a> Details<'a> {
    pub(super) fn new(chunks: &'a [Vec<u8>]) -> Self {
        let field = |number: u32| Field::ALL.get(number as usize).copied();
        let records = chunks.iter().flat_map(|chunk| long_records(chunk));
        let mut all = records
            .filter_map(|(food, number, bytes)| Some((field(number)?, food, bytes)))
            .collect::<Vec<_>>();
        all.sort_unstable();
        Self(all)
    }

    /// Whether any food has the field.
    pub(super) fn has(&self, field: Field) -> bool {
        !self.of(field).is_empty()
    }

    /// The texts of a field, by food; `foods` are places. `default` where there is none.
    pub(super) fn texts(
        &self,
        field: Field,
        foods: Range<u32>,
        default: &'a str,
    ) -> Vec<Cow<'a, str>> {
        let mut rest = self.of(field);
        foods
            .map(|food| {
                let of_food = next_of(&mut rest, food).iter();
                let mut texts = of_food.map(|one| text(one.2));
                match (texts.next(), field) {
                    (None, _) => default.into(),
                    // Each is a name of its own; any other detail counts once.
                    (Some(first), Field::CommonNames) => {
                        let all = std::iter::once(first).chain(texts);
                        all.collect::<Vec<_>>().join(", ").into()
                    }
                    (Some(first), _) => first,
                }
            })
            .collect()
    }

    /// The numbers of a field, by food.
    pub(super) fn numbers(&self, field: Field, foods: Range<u32>) -> Vec<Option<f64>> {
        let number = |one: &Detail<'_>| one.2.first_chunk().map(|bytes| f64::from_le_bytes(*bytes));
        let mut rest = self.of(field);
        foods
            .map(|food| next_of(&mut rest, food).iter().find_map(number))
            .collect()
    }

    fn of(&self, field: Field) -> &[Detail<'a>] {
        let start = self.0.partition_point(|one| one.0 < field);
        let end = self.0.partition_point(|one| one.0 <= field);
        self.0.get(start..end).unwrap_or_default()
    }
}

/// Bytes as text. Looking for bytes that are not UTF-8 first, as the lossy reading does, would be
/// slow.
fn text(bytes: &[u8]) -> Cow<'_, str> {
    match str::from_utf8(bytes) {
        Ok(text) => text.into(),
        Err(_) => String::from_utf8_lossy(bytes),
    }
}

/// Takes off the details of a food, which are the first but for those of foods before it.
fn next_of<'d, 'a>(rest: &mut &'d [Detail<'a>], food: u32) -> &'d [Detail<'a>] {
    let start = rest.iter().take_while(|one| one.1 < food).count();
    let (_, from) = rest.split_at(start);
    let (of_food, after) = from.split_at(from.iter().take_while(|one| one.1 == food).count());
    *rest = after;
    of_food
}

/// A measure with its food's place and its own place among the food's measures.
pub(super) type Placed = (u32, u32, Measure);

/// The measures of one group, by food and order.
pub(super) fn measures(chunks: &[Vec<u8>]) -> Vec<Placed> {
    let measure = |bytes: &[u8]| {
        let (amount, rest) = bytes.split_first_chunk::<8>()?;
        let (grams, unit) = rest.split_first_chunk::<8>()?;
        Some(Measure {
            amount: f64::from_le_bytes(*amount),
            unit: text(unit).into_owned(),
            grams: f64::from_le_bytes(*grams),
        })
    };
    let records = chunks.iter().flat_map(|chunk| long_records(chunk));
    let mut all = records
        .filter_map(|(food, order, bytes)| Some((food, order, measure(bytes)?)))
        .collect::<Vec<_>>();
    all.sort_by(|(food, order, one), (other_food, other_order, other)| {
        let text = one.unit.cmp(&other.unit);
        let number = one.grams.total_cmp(&other.grams);
        (food, order)
            .cmp(&(other_food, other_order))
            .then(text)
            .then(number)
    });
    all
}
