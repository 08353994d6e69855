//! FoodData Central, broken: one error with its place each, and the cache that was there stays.

use std::fs;
use std::io::{Seek, Write};

use crate::fooddata_set::{Download, FOOD, VALUES};

/// The error after text that is there once was replaced.
fn replaced(file: &str, from: &str, to: &str) -> String {
    Download::spoiled(|place| place.replace(file, from, to))
}

#[test]
fn amounts_that_are_none() {
    for (amount, problem) in [
        ("NaN", "“NaN” is not a number"),
        ("inf", "“inf” is not a number"),
        ("-0.15", "“-0.15” is negative"),
        ("-0", "“-0” is negative"),
        ("1e308", "“1e308” is not an amount in 100 g"),
        ("1e999", "“1e999” is not a number"),
        ("0,15", "“0,15” is not a number"),
        ("0x10", "“0x10” is not a number"),
        ("1.2.3", "“1.2.3” is not a number"),
    ] {
        let text = replaced(
            VALUES,
            "\"1089\",\"0.15\"",
            &format!("\"1089\",\"{amount}\""),
        );
        let column = "\"3\",\"1101\",\"1089\",\"".len() + 1;
        assert_eq!(text, format!("food_nutrient.csv:4:{column}: {problem}"));
    }
    let text = replaced(VALUES, "\"12\",\"1102\"", "\"12\",\"-1102\"");
    assert_eq!(
        text,
        "food_nutrient.csv:14:7: “-1102” is not a whole number"
    );
    let text = replaced(VALUES, "\"12\",\"1102\"", "\"12\",\"\"");
    assert_eq!(text, "food_nutrient.csv:14:7: a value without a food");
}

#[test]
fn foods_there_twice_or_without_an_id() {
    let text = replaced(FOOD, "\"1200\"", "\"1101\"");
    assert_eq!(text, "food.csv:8:2: food 1101 is there a second time");
    for id in ["0", "", "1e3", "99999999999"] {
        let text = replaced(FOOD, "\"1200\"", &format!("\"{id}\""));
        assert!(text.starts_with("food.csv:8:2: "), "{text}");
    }
    let text = Download::spoiled(|place| {
        let header = Download::text(FOOD).lines().next().unwrap();
        place.write(FOOD, header);
    });
    assert_eq!(text, "food.csv: it holds no food of a kind that is eaten");
    let text = Download::spoiled(|place| place.write(FOOD, ""));
    assert_eq!(text, "food.csv: it is empty");
}

#[test]
fn quotes_that_do_not_match() {
    let text = replaced(FOOD, "\"Pears, raw\"", "\"Pears, raw");
    assert_eq!(text, "food.csv:8:38: text after a closing quote");
    let text = replaced(FOOD, "\"Pears, raw\"", "Pears \"raw\"");
    assert_eq!(text, "food.csv:8:31: a quote within a field without quotes");
    let text = replaced(
        FOOD,
        "DRINK\",\"\",\"2023-01-05\"",
        "DRINK\",\"\",\"2023-01-05",
    );
    assert_eq!(
        text,
        "food.csv:11:38: the quote that begins here is never closed"
    );
}

#[test]
fn rows_that_are_cut_or_wide() {
    let text = replaced(VALUES, "\"999\",\"2000\",\"9.17\"", "\"999\",\"2000\"");
    assert_eq!(
        text,
        "food_nutrient.csv:22: 10 fields where the header has 11"
    );
    let all = Download::text(VALUES);
    let text = Download::spoiled(|place| place.write(VALUES, &all[..all.len() - 20]));
    assert!(text.starts_with("food_nutrient.csv:24"), "{text}");
}

/// The columns of interest come after twenty thousand others.
#[test]
fn a_table_of_very_many_columns() {
    let place = Download::new();
    place.import().unwrap();
    let expected = place.open().all().unwrap();
    let lines = Download::text(VALUES).lines();
    let wide = lines.map(|line| format!("{}{line}\n", ",".repeat(20_000)));
    place.write(VALUES, wide.collect::<String>());
    place.import().unwrap();
    assert!(place.open().all().unwrap() == expected);
}

#[test]
fn a_text_in_another_encoding() {
    let latin = |place: &Download| {
        let text = Download::text(FOOD).replace("Pears, raw", "P\u{e9}ars");
        let bytes = text.chars().map(|c| u8::try_from(c).unwrap());
        place.write(FOOD, bytes.collect::<Vec<_>>());
    };
    let text = Download::spoiled(latin);
    assert!(
        text.starts_with("food.csv:8:26: is not text in UTF-8"),
        "{text}"
    );
    let wide = |place: &Download| {
        let text = Download::text(FOOD)
            .encode_utf16()
            .flat_map(u16::to_le_bytes);
        place.write(FOOD, text.collect::<Vec<_>>());
    };
    let text = Download::spoiled(wide);
    assert!(text.starts_with("food.csv:1"), "{text}");
    let place = Download::new();
    place.write(FOOD, format!("\u{feff}{}", Download::text(FOOD)));
    place.import().unwrap();
}

/// A record without an end: two gigabytes of nothing, of which a little is read.
#[test]
fn a_line_beyond_all_length() {
    let text = Download::spoiled(|place| {
        let path = place.source().join(VALUES);
        let mut file = fs::File::options().append(true).open(path).unwrap();
        file.write_all(b"\"23\",\"1101\",\"1089\",\"").unwrap();
        let length = file.stream_position().unwrap();
        file.set_len(length + (2 << 30)).unwrap();
    });
    assert_eq!(
        text,
        "food_nutrient.csv:25: a record begins here that has no end within 16 MiB; is a quote never closed?"
    );
}

#[test]
fn refuse_and_categories_that_cannot_be() {
    let text = replaced("food_component.csv", "\"3.0\",\"Y\"", "\"93.0\",\"Y\"");
    assert!(text.ends_with("refuse is more than 100 %"), "{text}");
    let text = replaced("nutrient.csv", "\"1089\",\"Iron", "\"\",\"Iron");
    assert!(text.ends_with("the id is blank"), "{text}");
}
