//! Buying: usual prices apart from money paid, seasons of the household's country, what keeps
//! shortest, and recipes with a food.

use serde_json::Value;

use super::household::Household;
use super::plan::with_a_plan;

/// A household of six months that has cooked and eaten squash.
fn with_meals() -> Household {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--on", "2026-10-01"]);
    for (day, how) in [("02", "taken"), ("03", "taken"), ("04", "refused")] {
        let on = format!("2026-10-{day}");
        let said = home.said(&[
            "serve", "1 squash", "--meal", "lunch", "--how", how, "--on", &on,
        ]);
        assert_eq!(said.code, 0, "{}", said.err);
    }
    home
}

#[test]
fn the_recipes_with_a_food_stand_with_how_they_were_taken() {
    let home = with_meals();
    let food = home.json(&["foods", "--show", "11485", "--json"]);
    let recipes: Vec<(&str, u64, u64)> = food["recipes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| {
            let count = |key: &str| one[key].as_u64().unwrap();
            (
                one["recipe"].as_str().unwrap(),
                count("taken"),
                count("refused"),
            )
        })
        .collect();
    assert_eq!(recipes, [("lentil", 0, 0), ("squash", 2, 1)]);
    let page = home.answer(&["foods", "--show", "11485"]);
    assert!(
        page.contains("Squash: eaten twice, not eaten once"),
        "{page}"
    );
    assert!(page.contains("Lentil and squash: not given yet"), "{page}");
}

/// USDA ERS, Fruit and Vegetable Prices 2022: butternut squash 2.798 USD a kg. 600 g as bought are 1.6788.
#[test]
fn a_usual_price_stands_apart_from_money_that_was_paid() {
    let home = Household::new();
    let batch = |home: &Household| home.json(&["batch", "squash", "--json", "--on", "2026-10-05"]);
    let cost = batch(&home)["cost"].clone();
    assert_eq!(cost["batch"], Value::Null);
    assert_eq!(cost["complete"], false);
    assert_eq!(cost["usual"]["amount"], "1.6788");
    assert_eq!(cost["usual"]["mark"], "US average 2022, not your shop");
    let page = home.answer(&["batch", "squash", "--on", "2026-10-05"]);
    assert!(
        page.contains("about 1.68 USD (US average 2022, not your shop)"),
        "{page}"
    );
    // A purchase on record takes its place.
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    let cost = batch(&home)["cost"].clone();
    assert_eq!(
        (&cost["batch"], &cost["usual"]),
        (&"2.4".into(), &Value::Null)
    );
}

#[test]
fn other_money_has_no_us_price() {
    let home = Household::new();
    home.change("\"USD\"", "\"EUR\"");
    let cost = home.json(&["batch", "squash", "--json", "--on", "2026-10-05"])["cost"].clone();
    assert_eq!(cost["usual"], Value::Null);
    let food = home.json(&["foods", "--show", "11090", "--json"]);
    assert_eq!(food["buying"]["us_prices"], Value::Array(Vec::new()));
    assert_eq!(food["buying"]["seasons"], Value::Array(Vec::new()));
}

/// USDA SNAP-Ed guide: broccoli in spring and fall. UK shop samples: mostly UK-grown from July to October.
#[test]
fn the_season_is_that_of_the_country() {
    let home = Household::new();
    let season = |home: &Household| {
        let food = home.json(&["foods", "--show", "11090", "--json"]);
        let seasons = food["buying"]["seasons"].clone();
        (
            seasons[0]["country"].clone(),
            seasons.as_array().unwrap().len(),
            food["buying"]["in_season"].clone(),
        )
    };
    assert_eq!(season(&home), ("US".into(), 1, true.into()));
    home.change("# country = \"US\"", "country = \"UK\" #");
    assert_eq!(season(&home), ("UK".into(), 1, false.into()));
    home.change("country = \"UK\"", "country = \"Ukraine\"");
    let said = home.said(&["foods", "--show", "11090"]);
    assert_eq!(said.code, 2);
    assert!(
        said.err.contains("“Ukraine” is not a value of “country”"),
        "{}",
        said.err
    );
}

#[test]
fn the_list_says_what_to_cook_first_and_adds_no_usual_price_to_a_sum() {
    let home = with_a_plan();
    home.write(
        "recipes/fish.toml",
        "title = \"Fish and broccoli\"\n[[ingredient]]\nfood = \"15236\"\namount = \"200 g\"\nmethod = \"simmer\"\n\
         [[ingredient]]\nfood = \"11090\"\namount = \"500 g\"\nmethod = \"steam\"\n",
    );
    let on = ["--on", "2026-10-05"];
    home.answer(&[&["plan", "set", "2026-10-09", "--cook", "1 fish"][..], &on].concat());
    let list = home.json(&["shop", "--json", "--on", "2026-10-05"]);
    // USDA FSIS: fatty fish 1 to 2 days in the fridge, broccoli 3 to 5.
    assert_eq!(list["cook_first"][0], "15236");
    assert!(
        list["cook_first"]
            .as_array()
            .unwrap()
            .contains(&"11090".into()),
        "{list}"
    );
    let shelves = list["shelves"].as_array().unwrap();
    let items: Vec<&Value> = shelves
        .iter()
        .flat_map(|shelf| shelf["items"].as_array().unwrap())
        .collect();
    let broccoli = items.iter().find(|item| item["food"] == "11090").unwrap();
    assert_eq!(broccoli["cost"], Value::Null);
    let needed = broccoli["needed_g"].as_f64().unwrap();
    let usual: f64 = broccoli["usual_cost"].as_str().unwrap().parse().unwrap();
    assert!(
        (usual - needed * 6.795 / 1000.0).abs() < 1e-6,
        "{usual} for {needed} g"
    );
    assert_eq!(list["complete"], false);
    assert!(
        list["unpriced"]
            .as_array()
            .unwrap()
            .contains(&"11090".into())
    );
    let page = home.answer(&[&["shop"][..], &on].concat());
    let (first, rest) = page.split_once("Cook first: ").unwrap();
    assert!(
        first.find("needed").unwrap() < first.find("buy").unwrap(),
        "{page}"
    );
    assert!(rest.contains("keeps 1 to 2 days in the fridge"), "{page}");
    let why = home.answer(&[&["shop", "--why"][..], &on].concat());
    assert!(why.contains("traces in 87 of 166 samples"), "{why}");
    assert!(!page.contains("traces"), "{page}");
    // USDA ERS 2022: broccoli 6.795 USD a kg fresh, 5.172 frozen, of heads 78 % is eaten; salmon has no row.
    assert!(
        page.contains("fresh 6.80,") && page.contains("frozen 5.17"),
        "{page}"
    );
    assert!(
        page.split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .contains("of broccoli heads as shops sell them 78 % is eaten"),
        "{page}"
    );
}

/// By hand from USDA SR28: squash alone is thin and its carotenoids lack fat; red lentils have
/// plant iron with hardly any vitamin C.
#[test]
fn a_puree_is_told_what_it_lacks_beside_what_is_in_it() {
    use trayful::food::{FoodTable, Pantry};
    use trayful::household::{FoodView, calculated, puree_complements};
    use trayful::nutrition::AgeMonths;
    use trayful::portion::{Target, Tray};
    let home = Household::new();
    let book = trayful::notebook::Book::open(home.path()).unwrap();
    let pantry = Pantry::new(FoodTable::builtin().unwrap(), None);
    let view = FoodView {
        pantry: &pantry,
        book: Some(&book),
        store: None,
        day: "2026-10-05".parse().unwrap(),
        age: AgeMonths(7),
    };
    let lacks = |name: &str| -> Vec<(&'static str, Vec<String>)> {
        let recipe = book.recipe(name).unwrap();
        let tray = Tray::usual();
        let batch = calculated(&recipe, &Target::AsWritten, &tray, &pantry).unwrap();
        let found = puree_complements(&batch, &view).unwrap();
        let foods = |one: &trayful::household::Complement| {
            one.foods.iter().map(|(id, _)| id.to_string()).collect()
        };
        found
            .iter()
            .map(|one| (one.lack.word(), foods(one)))
            .collect()
    };
    let squash = lacks("squash");
    let words: Vec<_> = squash.iter().map(|(lack, _)| *lack).collect();
    assert_eq!(words, ["energy", "fat"]);
    assert!(squash[1].1.contains(&"04053".to_string()), "{squash:?}");
    let lentil = lacks("lentil");
    let vitamin_c = lentil.iter().find(|(lack, _)| *lack == "vitamin-c");
    assert!(
        vitamin_c.unwrap().1.contains(&"11821".to_string()),
        "{lentil:?}"
    );
}

/// A measure of the food table weighs what is eaten; a shop sells it with its shell, so ten eggs in
/// a pot cost what ten eggs cost.
#[test]
fn food_by_the_piece_is_bought_with_its_refuse() {
    let home = Household::new();
    home.answer(&["buy", "10 eggs", "3"]);
    let saved = home.said(&["batch", "--add", "10 eggs boiled", "--save", "eggs"]);
    assert_eq!(saved.code, 0, "{}", saved.err);
    let boiled = home.said(&["batch", "eggs"]).out;
    assert!(boiled.contains("3.00 USD"), "{boiled}");
}
