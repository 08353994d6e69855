//! Counts, for each food of a shelf, how many words of a reading it has.

use std::cmp::Reverse;

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

    /// The rows with so many naming words: at most `most`, those with more form words first, then those
    /// that come first by `orders`, which has the place of each row.
    pub(super) fn rows<'a>(
        &self,
        naming: u8,
        most: usize,
        orders: impl Fn() -> &'a [u32],
    ) -> Vec<u32> {
        let count = |row: u32| self.counts[row as usize];
        let rows = self.touched.iter().copied();
        let mut rows: Vec<u32> = rows.filter(|&row| count(row) / NAMING == naming).collect();
        if rows.len() > most {
            let orders = orders();
            let place = |row: u32| orders.get(row as usize).copied();
            rows.select_nth_unstable_by_key(most, |&row| (Reverse(count(row)), place(row), row));
            rows.truncate(most);
        }
        rows
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
    fn rows_come_by_words_then_forms_then_order() {
        const ORDERS: [u32; 10] = [0, 1, 2, 3, 4, 9, 6, 7, 8, 5];
        let mut tally = Tally::new(10);
        for row in [7, 2, 5, 9, 2] {
            tally.count(row);
        }
        for row in [9, 3, 2] {
            tally.favour(row);
        }
        let rows = |naming, most| {
            let mut rows = tally.rows(naming, most, || &ORDERS);
            rows.sort_unstable();
            rows
        };
        assert_eq!(tally.len(), 4);
        assert_eq!(rows(2, 9), [2]);
        assert_eq!(rows(1, 9), [5, 7, 9]);
        assert_eq!(rows(1, 2), [7, 9]);
        assert_eq!(rows(1, 1), [9]);
        tally.clear();
        assert_eq!((tally.len(), tally.rows(1, 9, || &ORDERS)), (0, Vec::new()));
        tally.count(2);
        assert_eq!(tally.rows(1, 9, || &ORDERS), [2]);
    }
}
