//! The values of one group of foods, as a table of foods by nutrients.

use super::Fallback;
use crate::import::gather::{Kind, Mark, Record, records};

/// One value with what is known of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cell {
    pub(super) amount: f64,
    pub(super) mark: Mark,
    pub(super) data_points: Option<u32>,
    pub(super) standard_error: Option<f64>,
    /// Place of the nutrient it was published as, if it stands in.
    pub(super) taken_from: Option<u16>,
}

/// Stands for an amount that is missing: readers refuse it as an amount.
pub(super) const NONE: f64 = f64::NAN;

/// The values, a column a nutrient.
#[derive(Debug)]
pub(super) struct Cells {
    foods: usize,
    /// [`NONE`] where a food has no amount, which takes half the memory of an `Option`.
    amounts: Vec<f64>,
    marks: Vec<Mark>,
    /// Number of analyses and standard error; none of them has a place if no food has them.
    points: Vec<Option<u32>>,
    errors: Vec<Option<f64>>,
    taken: Vec<Option<u16>>,
    /// Cells for which two rows give different amounts.
    contradicted: Vec<usize>,
    /// Rows that only repeat another.
    pub(super) repeated: usize,
}

impl Cells {
    /// Reads the records of a group of foods; `nutrients` are the columns.
    pub(super) fn new(chunks: Vec<Vec<u8>>, foods: usize, nutrients: &[u16]) -> Self {
        let size = foods * nutrients.len();
        let mut cells = Self {
            foods,
            amounts: vec![NONE; size],
            marks: vec![Mark::default(); size],
            points: Vec::new(),
            errors: Vec::new(),
            taken: Vec::new(),
            contradicted: Vec::new(),
            repeated: 0,
        };
        let columns = columns(nutrients);
        for chunk in chunks {
            for record in records(&chunk) {
                let column = columns.get(usize::from(record.nutrient)).copied().flatten();
                let row = usize::from(record.food);
                if let Some(column) = column.filter(|_| row < foods) {
                    cells.set(column * foods + row, record);
                }
            }
        }
        cells.contradicted.sort_unstable();
        cells.contradicted.dedup();
        for at in &cells.contradicted {
            cells.amounts[*at] = NONE;
        }
        cells
    }

    fn set(&mut self, at: usize, record: Record) {
        let size = self.amounts.len();
        match record.kind {
            Kind::Amount => {
                let amount = self.amounts[at];
                if amount.is_nan() {
                    self.amounts[at] = record.number;
                    self.marks[at] = record.mark;
                } else if amount.to_bits() == record.number.to_bits() {
                    self.repeated += 1;
                    self.marks[at] = self.marks[at].min(record.mark);
                } else {
                    self.contradicted.push(at);
                }
            }
            Kind::DataPoints => {
                self.points.resize(size, None);
                // The count of samples was a whole number of 32 bits.
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "it was a u32"
                )]
                let points = record.number as u32;
                self.points[at] = self.points[at].max(Some(points));
            }
            Kind::StandardError => {
                self.errors.resize(size, None);
                let other = self.errors[at].unwrap_or(record.number);
                self.errors[at] = Some(record.number.min(other));
            }
        }
    }

    /// Fills cells that are empty from those that stand in; returns how often each did.
    pub(super) fn fill(&mut self, fallbacks: &[Fallback], nutrients: &[u16]) -> Vec<usize> {
        let columns = columns(nutrients);
        let column = |place: u16| columns.get(usize::from(place)).copied().flatten();
        let mut counts = Vec::with_capacity(fallbacks.len());
        for fallback in fallbacks {
            let both = column(fallback.target).zip(column(fallback.from));
            counts.push(both.map_or(0, |(target, from)| {
                (0..self.foods)
                    .filter(|row| self.stand_in(fallback, target, from, *row))
                    .count()
            }));
        }
        counts
    }

    fn stand_in(&mut self, fallback: &Fallback, target: usize, from: usize, row: usize) -> bool {
        let (target, from) = (target * self.foods + row, from * self.foods + row);
        let taken = |at| self.taken.get(at).copied().flatten();
        let amount = self.amounts[from];
        if !self.amounts[target].is_nan() || amount.is_nan() || taken(from).is_some() {
            return false;
        }
        if self.contradicted.binary_search(&target).is_ok() {
            return false;
        }
        self.amounts[target] = amount * fallback.factor;
        self.marks[target] = self.marks[from];
        if !self.points.is_empty() {
            self.points[target] = self.points[from];
        }
        if !self.errors.is_empty() {
            self.errors[target] = self.errors[from].map(|error| error * fallback.factor);
        }
        self.taken.resize(self.amounts.len(), None);
        self.taken[target] = Some(fallback.from);
        true
    }

    /// How many values contradicted each other, so that neither is kept; the first of them as
    /// row and column.
    pub(super) fn contradicted(&self) -> (usize, Option<(usize, usize)>) {
        let first = self.contradicted.first();
        let first = first.map(|at| (at % self.foods, at / self.foods));
        (self.contradicted.len(), first)
    }

    /// Whether any value has a number of analyses, a standard error, or stands in.
    pub(super) fn extras(&self) -> [bool; 3] {
        [
            !self.points.is_empty(),
            !self.errors.is_empty(),
            !self.taken.is_empty(),
        ]
    }

    /// The amounts of one column, [`NONE`] where there is none.
    pub(super) fn column(&self, column: usize) -> &[f64] {
        let range = column * self.foods..(column + 1) * self.foods;
        self.amounts.get(range).unwrap_or_default()
    }

    /// The value of one food in one column.
    #[inline]
    pub(super) fn get(&self, row: usize, column: usize) -> Option<Cell> {
        let at = column * self.foods + row;
        let amount = *self.amounts.get(at).filter(|amount| !amount.is_nan())?;
        Some(Cell {
            amount,
            mark: self.marks.get(at).copied().unwrap_or_default(),
            data_points: self.points.get(at).copied().flatten(),
            standard_error: self.errors.get(at).copied().flatten(),
            taken_from: self.taken.get(at).copied().flatten(),
        })
    }
}

/// The column of each nutrient by its place.
fn columns(nutrients: &[u16]) -> Vec<Option<usize>> {
    let most = nutrients.iter().max().map_or(0, |most| usize::from(*most));
    let mut columns = vec![None; most + 1];
    for (column, place) in nutrients.iter().enumerate() {
        columns[usize::from(*place)] = Some(column);
    }
    columns
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use super::*;
    use crate::import::decimal::Decimal;
    use crate::import::gather::{Gather, Store, Value};

    /// A value as a reader hands it over, of a food at a place in its group.
    fn value(food: u32, nutrient: u16, amount: f64) -> (u32, Value) {
        let value = Value {
            nutrient,
            amount,
            written: None,
            data_points: None,
            standard_error: None,
            mark: Mark::default(),
        };
        (food, value)
    }

    /// What a group of foods holds after these values.
    fn written(values: &[(u32, Value)]) -> Vec<Vec<u8>> {
        let store = Store::new(PathBuf::new(), 1 << 20);
        let gather = Gather::new(&store, ["1", "2"].into_iter().collect(), 300);
        let mut recorder = gather.recorder();
        for (food, value) in values {
            recorder.value(*food, value).unwrap();
        }
        recorder.finish().unwrap();
        let [values, ..] = gather.take(0).unwrap();
        values
    }

    #[test]
    fn rows_in_any_order_find_their_cells() {
        let (food, first) = value(1, 7, 2.0);
        let more = Value {
            data_points: Some(4),
            standard_error: Some(0.5),
            ..first
        };
        let chunks = written(&[(food, more), value(0, 3, 1.0)]);
        let cells = Cells::new(chunks, 2, &[3, 7]);
        assert_eq!(cells.column(0)[0].to_bits(), 1_f64.to_bits());
        assert!(cells.column(0)[1].is_nan());
        let cell = cells.get(1, 1).unwrap();
        assert_eq!(
            (cell.amount, cell.data_points, cell.standard_error),
            (2.0, Some(4), Some(0.5))
        );
    }

    #[test]
    fn an_amount_is_the_same_however_it_was_kept() {
        let (_, long) = value(0, 3, 1.28);
        let (digits, places) = (128, 2);
        let short = Value {
            written: Some(Decimal { digits, places }),
            ..long
        };
        let cells = Cells::new(written(&[(0, long), (0, short)]), 1, &[3]);
        assert_eq!((cells.repeated, cells.contradicted().0), (1, 0));
    }

    #[test]
    fn values_that_contradict_each_other_are_none() {
        for amounts in [[1.0, 2.0, 1.0], [2.0, 1.0, 1.0]] {
            let values = amounts.map(|amount| value(0, 3, amount));
            let mut cells = Cells::new(written(&values), 1, &[3, 7]);
            assert_eq!(cells.get(0, 0), None);
            assert_eq!(cells.contradicted(), (1, Some((0, 0))));
            let fallback = Fallback {
                target: 3,
                from: 7,
                factor: 1.0,
            };
            assert_eq!(cells.fill(&[fallback], &[3, 7]), [0]);
        }
    }

    #[test]
    fn what_stands_in_is_told() {
        let mut cells = Cells::new(written(&[value(0, 7, 400.0)]), 1, &[3, 7]);
        let there = Fallback {
            target: 3,
            from: 7,
            factor: 0.025,
        };
        let back = Fallback {
            target: 7,
            from: 3,
            factor: 40.0,
        };
        assert_eq!(cells.fill(&[there, back], &[3, 7]), [1, 0]);
        let cell = cells.get(0, 0).unwrap();
        assert_eq!((cell.amount, cell.taken_from), (10.0, Some(7)));
    }
}
