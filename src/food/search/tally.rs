//! Counts, for each food of a shelf, how many words of a reading it has.

use std::cmp::Reverse;

use super::index::PlainRows;

/// A count for each row; only the rows that have a word cost time.
#[derive(Debug)]
pub(super) struct Tally {
    /// Naming words in the high bits, form words in the low three.
    counts: Vec<u8>,
    /// Rows with a naming word.
    touched: Vec<u32>,
}

const NAMING: u8 = 8;
const FORMS: u8 = NAMING - 1;

impl Tally {
    pub(super) fn new(foods: u32) -> Self {
        Self {
            counts: vec![0; foods as usize],
            touched: Vec::new(),
        }
    }

    /// Rows with a naming word.
    pub(super) fn len(&self) -> usize {
        self.touched.len()
    }

    /// Counts a naming word of a row.
    pub(super) fn count(&mut self, row: u32) {
        let count = &mut self.counts[row as usize];
        if *count == 0 {
            self.touched.push(row);
        }
        *count = count.saturating_add(NAMING);
    }

    /// Counts a form word of a row that has a naming word.
    pub(super) fn favour(&mut self, row: u32) {
        let count = &mut self.counts[row as usize];
        if *count >= NAMING && *count & FORMS < FORMS {
            *count += 1;
        }
    }

    /// How many naming words rows have, the most first.
    pub(super) fn levels(&self) -> impl Iterator<Item = u8> {
        let level = |row: &u32| self.counts[*row as usize] / NAMING;
        let met = self.touched.iter().map(level);
        let met = met.fold(0_u32, |met, level| met | 1 << level);
        (1..=u8::MAX / NAMING)
            .rev()
            .filter(move |level| met >> level & 1 == 1)
    }

    /// The rows with a number of naming words: at most `most`, those with more form words first,
    /// then those of the plainest foods by `steps`, which has all rows; of equally plain ones,
    /// those that come first in their step.
    pub(super) fn rows<'a>(
        &self,
        naming: u8,
        most: usize,
        steps: impl Fn() -> &'a [PlainRows],
    ) -> Vec<u32> {
        let count = |row: u32| self.counts[row as usize];
        let rows = self.touched.iter().copied();
        let mut rows: Vec<u32> = rows.filter(|&row| count(row) / NAMING == naming).collect();
        if rows.len() <= most {
            return rows;
        }
        // Each word of the query added its rows in ascending order; a stable sort merges such runs quickly.
        rows.sort_by_key(|row| *row);
        let mut steps = steps().iter();
        let (mut step, mut next) = (PlainRows::default(), steps.next());
        let mut placed = Vec::with_capacity(rows.len());
        for row in rows {
            while let Some(begun) = next.filter(|next| next.first <= row) {
                (step, next) = (*begun, steps.next());
            }
            placed.push((Reverse(count(row)), step.plainness, row - step.first, row));
        }
        placed.select_nth_unstable(most);
        placed.truncate(most);
        placed.into_iter().map(|(_, _, _, row)| row).collect()
    }

    /// Sets all counts back to zero.
    pub(super) fn clear(&mut self) {
        for row in self.touched.drain(..) {
            self.counts[row as usize] = 0;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_come_by_words_then_forms_then_plainness() {
        const STEPS: [PlainRows; 3] = [step(0, 6), step(6, 5), step(8, 9)];
        const fn step(first: u32, plainness: u32) -> PlainRows {
            PlainRows { first, plainness }
        }
        let mut tally = Tally::new(10);
        for row in [7, 2, 5, 9, 2] {
            tally.count(row);
        }
        for row in [9, 3, 2] {
            tally.favour(row);
        }
        let rows = |naming, most| {
            let mut rows = tally.rows(naming, most, || &STEPS);
            rows.sort_unstable();
            rows
        };
        assert_eq!(tally.len(), 4);
        assert_eq!(tally.levels().collect::<Vec<_>>(), [2, 1]);
        assert_eq!(rows(2, 9), [2]);
        assert_eq!(rows(1, 9), [5, 7, 9]);
        assert_eq!(rows(1, 2), [7, 9]);
        assert_eq!(rows(1, 1), [9]);
        tally.clear();
        assert_eq!((tally.len(), tally.rows(1, 9, || &STEPS)), (0, Vec::new()));
        tally.count(2);
        assert_eq!(tally.rows(1, 9, || &STEPS), [2]);
    }
}
