//! Broken datasets: one clear error each, and the cache that was there stays.

use std::fs;

use crate::support::{ABBREV, FOOD_DES, Workplace, lines};

/// The error of an import after one field was changed; line and field are counted from 0.
fn with_field(file: &str, line: usize, field: usize, to: &str) -> String {
    Workplace::spoiled(|place| place.edit_field(file, line, field, to)).to_string()
}

#[test]
fn a_cut_off_file() {
    let error = Workplace::spoiled(|place| place.edit(ABBREV, |bytes| bytes.truncate(1000)));
    let text = error.to_string();
    assert!(text.starts_with("ABBREV.txt:"), "{text}");
    assert!(text.contains("fields where ABBREV.txt has 53"), "{text}");
}

#[test]
fn a_file_that_lost_its_last_rows() {
    let error = Workplace::spoiled(|place| {
        place.edit_lines(ABBREV, |lines| lines.truncate(10));
    });
    // 13019 and 13055 were the last two; FOOD_DES.txt has them on lines 7 and 8.
    assert_eq!(
        error.to_string(),
        "FOOD_DES.txt:7: food 13019 is not in ABBREV.txt"
    );
}

#[test]
fn a_food_without_a_description() {
    let error = Workplace::spoiled(|place| {
        place.edit_lines(FOOD_DES, |lines| drop(lines.remove(9)));
    });
    assert_eq!(
        error.to_string(),
        "ABBREV.txt:5:1: food 16069 is not in FOOD_DES.txt"
    );
}

#[test]
fn a_food_there_twice() {
    for file in [ABBREV, FOOD_DES] {
        let error = Workplace::spoiled(|place| {
            place.edit_lines(file, |lines| lines.push(lines[2].clone()));
        });
        let text = error.to_string();
        assert!(text.starts_with(&format!("{file}:13:1: food ")), "{text}");
        assert!(text.ends_with("is there a second time"), "{text}");
    }
}

#[test]
fn values_that_are_no_amounts() {
    // Field 11, counted from 0, is iron.
    for (value, problem) in [
        ("abc", "Iron, Fe: “abc” is not a number"),
        ("NaN", "Iron, Fe: “NaN” is not a number"),
        ("inf", "Iron, Fe: “inf” is not a number"),
        ("1e999", "Iron, Fe: “1e999” is not a number"),
        ("-1", "Iron, Fe: “-1” is negative"),
        ("1,5", "Iron, Fe: “1,5” is not a number"),
        ("1e2", "Iron, Fe: “1e2” is not a number"),
        (
            "0.705",
            "Iron, Fe: 3 decimals where 2 are published; is this its column?",
        ),
        ("200000", "Iron, Fe: 200000 is more than 100 g in 100 g"),
    ] {
        let text = with_field(ABBREV, 0, 11, value);
        let column =
            1 + "~09110~^~GOJI BERRIES,DRIED~^7.50^349^14.26^0.39^0.78^77.06^13.0^45.61^190^".len();
        assert_eq!(text, format!("ABBREV.txt:1:{column}: {problem}"));
    }
}

#[test]
fn an_id_that_is_none() {
    for id in ["~1101~", "~1x001~", "~~", "~010011~", "~own-a~"] {
        let text = with_field(ABBREV, 0, 0, id);
        assert!(text.starts_with("ABBREV.txt:1:1: "), "{text}");
        assert!(
            text.contains("is not an NDB number of five digits"),
            "{text}"
        );
    }
    let text = with_field(ABBREV, 3, 0, "14411");
    assert_eq!(text, "ABBREV.txt:4:1: “14411” is not text between ~");
}

#[test]
fn text_with_a_stray_mark() {
    let text = with_field(FOOD_DES, 1, 2, "~Corn~ creamed~");
    assert_eq!(
        text,
        "FOOD_DES.txt:2:16: “~Corn~ creamed~” is not text between ~"
    );
}

#[test]
fn files_that_do_not_belong_together() {
    let text = with_field(FOOD_DES, 9, 3, "~LENTILS,PINK~");
    assert_eq!(
        text,
        "ABBREV.txt:5:9: “LENTILS,RAW” is “LENTILS,PINK” in FOOD_DES.txt"
    );
    let text = with_field(FOOD_DES, 9, 8, "5");
    assert!(
        text.ends_with("refuse is not the same in FOOD_DES.txt"),
        "{text}"
    );
}

#[test]
fn refuse_beyond_the_whole() {
    let text = with_field(FOOD_DES, 5, 8, "160");
    assert!(text.ends_with("refuse is more than 100 %"), "{text}");
}

#[test]
fn columns_in_another_order() {
    for (one, other) in [
        (2, 7),
        (4, 5),
        (41, 42),
        (3, 4),
        (27, 28),
        (33, 36),
        (10, 11),
        (9, 8),
    ] {
        let error = Workplace::spoiled(|place| {
            place.edit_lines(ABBREV, |lines| {
                for line in lines {
                    let mut fields = line.split(|b| *b == b'^').collect::<Vec<_>>();
                    fields.swap(one, other);
                    *line = fields.join(&b'^');
                }
            });
        });
        let text = error.to_string();
        let noticed = [
            "not in their published order",
            "more than 100 g",
            "is this its column?",
        ];
        let noticed = noticed.iter().any(|words| text.contains(words));
        assert!(noticed, "columns {one} and {other}: {text}");
    }
}

#[test]
fn junk_and_nothing() {
    let junk = (0..5000_u32)
        .map(|i| u8::try_from(i * i * 31 % 251).unwrap())
        .collect::<Vec<_>>();
    for file in [ABBREV, FOOD_DES] {
        let text =
            Workplace::spoiled(|place| place.edit(file, |b| b.clone_from(&junk))).to_string();
        assert!(text.starts_with(&format!("{file}:1: ")), "{text}");
    }
    let text = Workplace::spoiled(|place| place.edit(ABBREV, Vec::clear)).to_string();
    assert!(text.contains("is not in ABBREV.txt"), "{text}");
    let text = Workplace::spoiled(|place| {
        place.edit(ABBREV, Vec::clear);
        place.edit(FOOD_DES, Vec::clear);
    });
    assert_eq!(text.to_string(), "ABBREV.txt: it is empty");
}

#[test]
fn a_file_beyond_all_size() {
    let text = Workplace::spoiled(|place| {
        let file = fs::File::options()
            .write(true)
            .open(place.source().join(FOOD_DES))
            .unwrap();
        file.set_len(70_000_000).unwrap();
    });
    let text = text.to_string();
    assert!(
        text.contains("longer than") || text.contains("fields where"),
        "{text}"
    );
}

#[test]
fn a_missing_file() {
    let error = Workplace::spoiled(|place| {
        fs::remove_file(place.source().join(FOOD_DES)).unwrap();
    });
    let text = error.to_string();
    assert!(
        text.contains("needs ABBREV.txt and FOOD_DES.txt; FOOD_DES.txt is not there"),
        "{text}"
    );
}

#[test]
fn no_such_folder() {
    let place = Workplace::new();
    let error = place.import_from(&place.path("nowhere")).unwrap_err();
    assert!(error.to_string().starts_with("cannot read “"), "{error}");
    assert_eq!(error.hint(), Some("check the path"));
    assert!(!place.cache().exists());
}

#[test]
fn lines_are_counted_as_an_editor_counts_them() {
    let place = Workplace::new();
    let bytes = fs::read(place.source().join(ABBREV)).unwrap();
    assert_eq!(lines(&bytes).len(), 12);
    let text = with_field(ABBREV, 11, 11, "x");
    assert!(text.starts_with("ABBREV.txt:12:"), "{text}");
}
