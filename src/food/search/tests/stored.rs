//! The index as bytes: what it holds, and what comes of damage.

use std::collections::BTreeMap;

use super::super::*;
use super::FOODS;

/// An index of basic foods and of packets in several parts of each kind, as bytes.
fn written(parts: usize) -> Vec<u8> {
    let mut builder = IndexBuilder::new(Vec::new());
    let mut foods = Vec::new();
    for &(id, group, name, common_names, maker) in FOODS {
        for branded in [false, true] {
            let entry = Entry {
                id: id.into(),
                name: name.into(),
                common_names: common_names.into(),
                manufacturer: maker.into(),
                group: group.into(),
                branded,
                ..Entry::default()
            };
            foods.push(entry);
        }
    }
    for foods in foods.chunks(foods.len() / parts) {
        builder.push(foods).unwrap();
    }
    builder.finish("stamp").unwrap()
}

#[test]
fn an_index_tells_what_it_was_stamped_with() {
    let index = FoodIndex::open(Box::new(written(2)), &[]).unwrap();
    assert_eq!(index.stamp(), "stamp");
}

#[test]
fn what_is_no_index_is_refused() {
    for bytes in [Vec::new(), b"short".to_vec(), vec![b'x'; 1000]] {
        let refused = FoodIndex::open(Box::new(bytes), &[]).unwrap_err();
        assert!(matches!(refused, IndexError::Version), "{refused}");
    }
}

#[test]
fn a_damaged_index_is_an_error_or_a_poor_answer_but_no_crash() {
    let good = written(2);
    let mut refused = 0;
    for at in (0..good.len()).step_by(5) {
        let mut bytes = good.clone();
        bytes[at] ^= [0xff, 0x80, 0x01][at % 3];
        let Ok(index) = FoodIndex::open(Box::new(bytes), &[]) else {
            refused += 1;
            continue;
        };
        for query in ["carrots", "brocoli"] {
            refused += usize::from(index.search(query, 5).is_err());
        }
    }
    assert!(refused > 100, "{refused} of {}", good.len());
    for length in (0..good.len()).step_by(7) {
        let cut = good[..length].to_vec();
        assert!(FoodIndex::open(Box::new(cut), &[]).is_err(), "{length}");
    }
}

#[test]
fn the_rows_of_a_word_are_those_of_the_foods_that_have_it() {
    // So many that they are read on all cores.
    let index = index::open(Box::new(written(10))).unwrap();
    for shelf in [&index.basic, &index.branded] {
        let mut reader = segments::WordReader::default();
        let mut having: BTreeMap<term::Term, Vec<u32>> = BTreeMap::new();
        let rows: Vec<u32> = (0..shelf.foods()).collect();
        for (row, text) in (0..).zip(shelf.texts(&rows).unwrap()) {
            let entry = text.entry().unwrap();
            for token in describe::describe(entry, &mut reader).tokens {
                having.entry(token.term).or_default().push(row);
            }
        }
        assert_eq!(shelf.foods() as usize, FOODS.len());
        for (term, mut rows) in having {
            rows.dedup();
            let mut word = shelf.word(term).unwrap().unwrap();
            let mut found = word.named;
            found.append(&mut word.made);
            found.sort_unstable();
            assert_eq!(found, rows);
        }
    }
}
