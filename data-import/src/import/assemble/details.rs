//! What was told of the foods of one group, besides their values: details and measures.

use std::borrow::Cow;

use crate::import::gather::{Field, long_records};
use crate::measure::Measure;

/// The details of the foods of one group, sorted, so that the order in which they were told does
/// not count.
#[derive(Debug)]
pub(super) struct Details<'a>(Vec<(u32, Field, &'a [u8])>);

impl<'a> Details<'a> {
    pub(super) fn new(chunks: &'a [Vec<u8>]) -> Self {
        let field = |number: u32| Field::ALL.get(number as usize).copied();
        let records = chunks.iter().flat_map(|chunk| long_records(chunk));
        let mut all = records
            .filter_map(|(food, number, bytes)| Some((food, field(number)?, bytes)))
            .collect::<Vec<_>>();
        all.sort_unstable();
        Self(all)
    }

    /// Whether any food has the field.
    pub(super) fn has(&self, field: Field) -> bool {
        self.0.iter().any(|one| one.1 == field)
    }

    /// The texts of a field, by food; `foods` are places. `default` where there is none.
    pub(super) fn texts(
        &self,
        field: Field,
        foods: std::ops::Range<u32>,
        default: &'a str,
    ) -> Vec<Cow<'a, str>> {
        foods
            .map(|food| {
                let mut texts = self.of(food, field).map(String::from_utf8_lossy);
                match (texts.next(), field) {
                    (None, _) => default.into(),
                    // Each is a name of its own; any other detail is told once.
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
    pub(super) fn numbers(&self, field: Field, foods: std::ops::Range<u32>) -> Vec<Option<f64>> {
        let number = |bytes: &[u8]| bytes.first_chunk().map(|bytes| f64::from_le_bytes(*bytes));
        foods
            .map(|food| self.of(food, field).find_map(number))
            .collect()
    }

    fn of(&self, food: u32, field: Field) -> impl Iterator<Item = &'a [u8]> {
        let start = self.0.partition_point(|one| (one.0, one.1) < (food, field));
        let rest = self.0.get(start..).unwrap_or_default();
        rest.iter()
            .take_while(move |one| (one.0, one.1) == (food, field))
            .map(|one| one.2)
    }
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
            unit: String::from_utf8_lossy(unit).into_owned(),
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
