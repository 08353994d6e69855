//! Searches in a small table of SR28 descriptions.

mod stored;

use super::*;

/// Some foods of SR28 (USDA National Nutrient Database for Standard Reference, Release 28, 2015):
/// id, group, description, common names, manufacturer.
const FOODS: &[(&str, &str, &str, &str, &str)] = &[
    ("01123", "0100", "Egg, whole, raw, fresh", "", ""),
    ("01129", "0100", "Egg, whole, cooked, hard-boiled", "", ""),
    ("02003", "0200", "Spices, basil, dried", "", ""),
    ("02044", "0200", "Basil, fresh", "", ""),
    (
        "03099",
        "0300",
        "Babyfood, vegetables, carrots, strained",
        "",
        "",
    ),
    (
        "09032",
        "0900",
        "Apricots, dried, sulfured, uncooked",
        "",
        "",
    ),
    (
        "09034",
        "0900",
        "Apricots, dried, sulfured, stewed, with added sugar",
        "",
        "",
    ),
    ("09021", "0900", "Apricots, raw", "", ""),
    (
        "09268",
        "0900",
        "Pineapple, canned, juice pack, solids and liquids",
        "",
        "",
    ),
    (
        "09273",
        "0900",
        "Pineapple juice, canned or bottled, unsweetened",
        "",
        "",
    ),
    ("09266", "0900", "Pineapple, raw, all varieties", "", ""),
    ("11052", "1100", "Beans, snap, green, raw", "", ""),
    (
        "11060",
        "1100",
        "Beans, snap, green, frozen, all styles, unprepared",
        "",
        "",
    ),
    ("11090", "1100", "Broccoli, raw", "", ""),
    (
        "11091",
        "1100",
        "Broccoli, cooked, boiled, drained, without salt",
        "",
        "",
    ),
    ("11124", "1100", "Carrots, raw", "", ""),
    (
        "11125",
        "1100",
        "Carrots, cooked, boiled, drained, without salt",
        "",
        "",
    ),
    ("11130", "1100", "Carrots, frozen, unprepared", "", ""),
    (
        "11757",
        "1100",
        "Carrots, cooked, boiled, drained, with salt",
        "",
        "",
    ),
    ("11209", "1100", "Eggplant, raw", "", ""),
    (
        "11300",
        "1100",
        "Peas, edible-podded, raw",
        "Snowpeas, Sugar snap peas",
        "",
    ),
    ("11304", "1100", "Peas, green, raw", "", ""),
    ("11485", "1100", "Squash, winter, butternut, raw", "", ""),
    ("12084", "1200", "Nuts, butternuts, dried", "", ""),
    (
        "13325",
        "1300",
        "Beef, variety meats and by-products, liver, raw",
        "",
        "",
    ),
    (
        "16056",
        "1600",
        "Chickpeas (garbanzo beans, bengal gram), mature seeds, raw",
        "",
        "",
    ),
    ("16069", "1600", "Lentils, raw", "", ""),
    (
        "16070",
        "1600",
        "Lentils, mature seeds, cooked, boiled, without salt",
        "",
        "",
    ),
    (
        "16161",
        "1600",
        "MORI-NU, Tofu, silken, soft",
        "",
        "Morinaga Nutrional Foods, Inc.",
    ),
    (
        "16127",
        "1600",
        "Tofu, soft, prepared with calcium sulfate",
        "",
        "",
    ),
    (
        "23562",
        "1300",
        "Beef, ground, 90% lean meat / 10% fat, raw",
        "hamburger",
        "",
    ),
    (
        "23572",
        "1300",
        "Beef, ground, 80% lean meat / 20% fat, raw",
        "hamburger",
        "",
    ),
    (
        "36016",
        "3600",
        "Restaurant, family style, broccoli, breaded",
        "",
        "",
    ),
];

fn index_of(foods: &[(&str, &str, &str, &str, &str)]) -> FoodIndex {
    let entry = |&(id, group, name, common_names, maker): &(&str, &str, &str, &str, &str)| Entry {
        id: id.into(),
        name: name.into(),
        common_names: common_names.into(),
        manufacturer: maker.into(),
        group: group.into(),
        ..Entry::default()
    };
    let entries: Vec<Entry> = foods.iter().map(entry).collect();
    let synonyms = [
        ("aubergine", "eggplant"),
        ("minced", "ground"),
        ("in juice", "juice pack"),
    ];
    FoodIndex::new(
        &entries,
        &synonyms.map(|(word, means)| (word.to_owned(), means.to_owned())),
    )
    .unwrap()
}

fn index() -> FoodIndex {
    index_of(FOODS)
}

fn ids(query: &str) -> Vec<String> {
    index()
        .search(query, 50)
        .unwrap()
        .into_iter()
        .map(|hit| hit.id)
        .collect()
}

#[track_caller]
fn assert_first(query: &str, id: &str) {
    let found = ids(query);
    assert_eq!(
        found.first().map(String::as_str),
        Some(id),
        "{query:?} found {found:?}"
    );
}

#[test]
fn the_plain_raw_food_comes_first() {
    assert_first("carrots", "11124");
    assert_first("broccoli", "11090");
    assert_first("peas", "11304");
    assert_first("pineapple", "09266");
    assert_first("egg", "01123");
}

#[test]
fn plural_and_singular_find_the_same() {
    assert_first("carrot", "11124");
    assert_first("eggs", "01123");
    assert_first("lentil", "16069");
    assert_eq!(ids("carrot"), ids("carrots"));
}

#[test]
fn word_order_does_not_matter() {
    assert_first("green beans", "11052");
    assert_first("beans green", "11052");
    assert_first("butternut squash", "11485");
    assert_first("liver beef", "13325");
}

#[test]
fn the_form_asked_for_wins() {
    assert_first("cooked lentils", "16070");
    assert_first("boiled carrots", "11125"); // without salt before with salt
    assert_first("steamed broccoli", "11091"); // the nearest way of cooking there is
    assert_first("frozen green beans", "11060");
    assert_first("dried apricots", "09032");
    assert_first("dried basil", "02003");
    assert_first("fresh basil", "02044");
    assert_first("ground beef 90% lean", "23562");
    assert_first("hard boiled egg", "01129");
}

#[test]
fn baby_food_brands_and_restaurants_wait_until_asked_for() {
    assert_first("baby food carrots", "03099");
    assert_first("soft tofu", "16127");
    assert_first("mori-nu tofu", "16161");
    let broccoli = ids("broccoli");
    assert_eq!(broccoli.last().map(String::as_str), Some("36016"));
    let carrots = ids("carrots");
    assert_eq!(carrots.last().map(String::as_str), Some("03099"));
}

#[test]
fn common_names_and_kitchen_words_find_the_food() {
    assert_first("sugar snap peas", "11300");
    assert_first("garbanzo beans", "16056");
    assert_first("aubergine", "11209");
    assert_first("minced beef", "23562");
    assert_first("chick peas", "16056");
}

#[test]
fn what_a_food_lies_in_is_not_the_food() {
    assert_first("tinned pineapple in juice", "09268");
    assert_first("pineapple juice", "09273");
}

#[test]
fn typing_slips_are_mended() {
    assert_first("brocoli", "11090");
    assert_first("lentels", "16069");
    assert_first("carots", "11124");
    assert_first("aubergene", "11209"); // a slip in a kitchen word
    assert_first("dried aprictos", "09032");
    assert_first("brocc", "11090"); // not yet typed to the end
}

#[test]
fn a_word_that_matches_nothing_does_no_harm() {
    assert_first("carrots xyzzyq", "11124");
    assert_first("organic carrots", "11124");
    let found = ids("green lentils");
    assert_eq!(found.first().map(String::as_str), Some("16069"));
}

#[test]
fn foods_with_all_words_come_before_foods_with_some() {
    let hits = index().search("green beans", 50).unwrap();
    let place = |id: &str| hits.iter().position(|hit| hit.id == id);
    assert!(place("11060") < place("11304"), "{hits:?}"); // frozen green beans, green peas
    assert!(hits.is_sorted_by(|a, b| a.score >= b.score));
}

#[test]
fn odd_queries_are_answered_calmly() {
    for nothing in [
        "",
        "   ",
        "?!,;()",
        "%%%",
        "\u{0}\u{7f}",
        "xyzzyq",
        "чечевица",
        "扁豆",
        "🥕",
    ] {
        assert!(ids(nothing).is_empty(), "{nothing:?}");
    }
    assert_first("CARROTS!!!", "11124");
    assert_first("cârröts", "11124");
    assert_first("🥕 carrots", "11124");
    let long = "carrots ".repeat(1250);
    assert_eq!(long.len(), 10_000);
    assert_first(&long, "11124");
    assert!(ids(&"x".repeat(10_000)).is_empty());
    assert!(ids(&"é".repeat(10_000)).is_empty());
    assert!(!ids("raw").is_empty());
}

#[test]
fn the_limit_is_kept() {
    assert!(index().search("carrots", 0).unwrap().is_empty());
    assert_eq!(index().search("carrots", 2).unwrap().len(), 2);
    let all = ids("carrots");
    let two: Vec<String> = index()
        .search("carrots", 2)
        .unwrap()
        .into_iter()
        .map(|hit| hit.id)
        .collect();
    assert_eq!(two, all[..2]);
}

#[test]
fn an_empty_table_finds_nothing() {
    let index = FoodIndex::new(&[], &[]).unwrap();
    assert!(index.search("carrots", 5).unwrap().is_empty());
}

#[test]
fn the_answer_does_not_depend_on_the_order_of_the_table() {
    let mut reversed = FOODS.to_vec();
    reversed.reverse();
    let (index, reversed) = (index(), index_of(&reversed));
    for query in [
        "carrots",
        "beef",
        "raw",
        "green",
        "bean",
        "brocoli",
        "cooked",
        "apricots dried",
    ] {
        assert_eq!(
            index.search(query, 50).unwrap(),
            reversed.search(query, 50).unwrap(),
            "{query}"
        );
        assert_eq!(
            index.search(query, 50).unwrap(),
            index.search(query, 50).unwrap(),
            "{query}"
        );
    }
}

#[test]
fn equal_scores_are_in_order_of_id() {
    let hits = index().search("ground beef", 50).unwrap();
    assert_eq!(
        [hits[0].id.as_str(), hits[1].id.as_str()],
        ["23562", "23572"]
    );
    assert!((hits[0].score - hits[1].score).abs() < 1e-9, "{hits:?}");
}
