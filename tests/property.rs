//! Properties that hold for every recipe, and readers that never panic, whatever they are fed.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(clippy::format_push_string, reason = "test texts read better so")]

use std::fs;
use std::path::Path;
use std::sync::LazyLock;

use data_import::own::{OwnFoods, with_added};
use data_import::{FoodTable, ImportRequest, import};
use proptest::prelude::*;
use proptest::sample::select;
use trayful::cooking::ClassTable;
use trayful::food::{FoodData, FoodDataError, OwnShelf, Pantry};
use trayful::portion::{Cubes, Target, Tray};
use trayful::problem::SourceText;
use trayful::quantity::Amount;
use trayful::recipe::{Additions, Batch, Kitchen, Recipe, from_command_line, scaled_batch};
use trayful::spoken::{Context, Lookup, Reader};

#[allow(clippy::expect_used, reason = "a body fails by panicking")]
#[path = "../fuzz/bodies.rs"]
mod bodies;

/// Foods of the built-in data: squash, red lentils, beef, spinach, salmon, oats, egg, oil; bacon, duck, almonds and frozen
/// carrots; cooked rice, canned beans with their liquid, and a canned soup.
const FOODS: [&str; 15] = [
    "11485", "16144", "23572", "11457", "15076", "08120", "01123", "04053", "10123", "05139",
    "12061", "11130", "20045", "16034", "06558",
];
/// Those of them that are cooked or canned already.
const READY: [&str; 3] = ["20045", "16034", "06558"];
const METHODS: [&str; 10] = [
    "steam",
    "boil",
    "simmer",
    "stew",
    "bake",
    "roast",
    "saute",
    "microwave",
    "pressure",
    "none",
];

/// The text of a recipe that is in order: one to five ingredients, some liquid.
fn recipe_text() -> impl Strategy<Value = String> {
    let ingredient = (
        select(&FOODS[..]),
        20u32..2000,
        select(&METHODS[..]),
        any::<bool>(),
    );
    let ingredients = prop::collection::vec(ingredient, 1..5);
    (
        ingredients,
        0u32..800,
        0.0..=1.0f64,
        0u32..300,
        1u32..5,
        any::<bool>(),
    )
        .prop_map(|(ingredients, collected, share, added, cubes, reheat)| {
            let mut text = String::from("title = \"Random\"\n");
            for (food, grams, method, edible) in ingredients {
                let basis = if edible { "edible" } else { "purchased" };
                text += &format!(
                    "[[ingredient]]\nfood = \"{food}\"\namount = \"{grams} g\"\n\
                     method = \"{method}\"\nbasis = \"{basis}\"\n"
                );
            }
            let returned = (f64::from(collected) * share).floor();
            text + &format!(
                "[liquid]\ncollected = \"{collected} ml\"\nreturned = \"{returned} ml\"\n\
                 added = \"{added} ml\"\n[serving]\ncubes = {cubes}\nreheat = {reheat}\n"
            )
        })
}

/// What may be said of an own food that is in order, but for its id.
fn own_food() -> impl Strategy<Value = String> {
    let figure = (
        select(
            &[
                "fat",
                "iron",
                "Vitamin C",
                "energy",
                "sodium",
                "zinc",
                "fiber",
            ][..],
        ),
        0u32..2000,
    );
    let figures = prop::collection::vec(figure, 0..4);
    let name = "[a-zA-Z#\"',äß|]{1}[a-zA-Z \"',()|äß-]{0,20}";
    (name, 1u32..500, any::<bool>(), figures).prop_map(|(name, per, volume, mut figures)| {
        figures.sort_unstable();
        figures.dedup_by_key(|(column, _)| *column);
        let unit = if volume { "ml" } else { "g" };
        let mut text = format!("name={name}; per=serving; serving={per} {unit}");
        for (column, tenths) in figures {
            let unit = if column == "energy" { "kJ" } else { "mg" };
            text += &format!("; {column}={} {unit}", f64::from(tenths) / 10.0);
        }
        text
    })
}

/// Calculates a recipe that is in order.
/// Kitchen words, and the food of USDA SR28 that is meant.
const TYPED: [(&str, &str); 6] = [
    ("courgette", "11477"),
    ("butternut squash", "11485"),
    ("sweet potatoes", "11507"),
    ("carrots", "11124"),
    ("broccoli", "11090"),
    ("cod fillet", "15015"),
];

struct BuiltIn;

impl Lookup for BuiltIn {
    type Error = FoodDataError;

    fn foods(&self) -> Result<Pantry, FoodDataError> {
        static PANTRY: LazyLock<Pantry> =
            LazyLock::new(|| Pantry::of_data(FoodData::BuiltIn, None).unwrap());
        Ok(PANTRY.clone())
    }
}

fn batch(text: &str, target: &Target) -> Batch {
    let pantry = Pantry::from(FoodTable::builtin().unwrap());
    let kitchen = Kitchen {
        foods: &pantry,
        classes: ClassTable::builtin().unwrap(),
    };
    let recipe = Recipe::parse(&SourceText::new("random.toml", text)).unwrap();
    let prepared = kitchen.prepare(&recipe).unwrap().unwrap();
    scaled_batch(&prepared, target, &Tray::usual())
        .unwrap()
        .unwrap()
}

fn cubes(batch: &Batch) -> Cubes {
    Cubes::of(batch.masses.puree, Tray::usual().cube_mass(batch.density))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..Default::default() })]

    #[test]
    fn masses_add_up_and_nothing_is_negative(text in recipe_text()) {
        let batch = batch(&text, &Target::AsWritten);
        let masses = batch.masses;
        let sum = (masses.cooked + masses.liquid).grams();
        prop_assert!((sum - masses.puree.grams()).abs() < 1e-6);
        prop_assert!(masses.edible.grams() <= masses.purchased.grams() + 1e-9);
        prop_assert!((0.85..1.7).contains(&batch.density), "density {}", batch.density);
        for total in &batch.nutrients {
            prop_assert!(total.batch.known.is_none_or(|known| known >= 0.0), "{total:?}");
            prop_assert!(total.served <= total.batch.known, "{total:?}");
        }
    }

    #[test]
    fn more_of_a_food_never_gives_less_of_a_nutrient(
        text in recipe_text(), food in select(&FOODS[..]), method in select(&METHODS[..]),
        grams in 20u32..1000, more in 1u32..500
    ) {
        let with = |grams: u32| {
            let one = format!(
                "\n[[ingredient]]\nfood = \"{food}\"\namount = \"{grams} g\"\nmethod = \"{method}\"\n"
            );
            batch(&format!("{text}{one}"), &Target::AsWritten)
        };
        let (less, more) = (with(grams), with(grams + more));
        prop_assert!(more.masses.puree.grams() > less.masses.puree.grams());
        for (less, more) in less.nutrients.iter().zip(&more.nutrients) {
            let (less, more) = (less.batch.known, more.batch.known);
            let rounding = less.map(|less| less * 1e-12);
            prop_assert!(more.zip(rounding).map(|(more, a)| more + a) >= less, "{less:?} {more:?}");
        }
    }

    #[test]
    fn shares_kept_lie_between_none_and_all(text in recipe_text()) {
        let batch = batch(&text, &Target::AsWritten);
        for one in &batch.prepared.ingredients {
            let kept = one.kept();
            prop_assert!((0.0..=1.0).contains(&kept.solids), "{kept:?}");
            prop_assert!((0.0..=1.0).contains(&one.returned) && (0.0..=1.0).contains(&one.drippings));
            let dry = one.drained_dry_matter().unwrap();
            prop_assert!(kept.fat_lost >= 0.0 && dry <= one.cooked() * 1.0001, "{} {kept:?}", one.food.name);
            for total in &batch.nutrients {
                let share = one.share_kept(kept, total.nutrient.id);
                prop_assert!((0.0..=1.0).contains(&share), "{} {} {share}", one.food.name, total.nutrient.tag);
            }
        }
    }

    #[test]
    fn warming_what_is_cooked_changes_no_mineral_and_no_mass(
        food in select(&READY[..]), method in select(&METHODS[..]), grams in 20u32..2000
    ) {
        prop_assume!(method != "none" && method != "stew");
        let cooked = |method: &str| {
            let text = format!(
                "title = \"Ready\"\n[[ingredient]]\nfood = \"{food}\"\namount = \"{grams} g\"\nmethod = \"{method}\"\n"
            );
            batch(&text, &Target::AsWritten)
        };
        let (warm, cold) = (cooked(method), cooked("none"));
        prop_assert_eq!(warm.masses.puree, cold.masses.puree);
        for (warm, cold) in warm.nutrients.iter().zip(&cold.nutrients) {
            let mineral = (301..=317).contains(&warm.nutrient.id.number());
            if mineral {
                prop_assert_eq!(&warm.batch, &cold.batch, "{}", warm.nutrient.tag);
            }
        }
    }

    #[test]
    fn a_batch_scaled_to_cubes_makes_them_and_hardly_more(text in recipe_text(), wanted in 8u32..200) {
        let batch = batch(&text, &Target::Cubes(wanted));
        let made = cubes(&batch);
        prop_assert!(made.whole() >= wanted, "{} of {wanted}", made.count);
        // Each of at most six amounts is rounded up by less than a gram, and dry grain swells.
        let over = (made.count - f64::from(wanted)) * made.each.grams();
        prop_assert!(over < 40.0, "{over} g too much");
    }

    #[test]
    fn twice_the_recipe_is_twice_the_batch(text in recipe_text()) {
        let once = batch(&text, &Target::AsWritten);
        let whole = cubes(&once).whole();
        prop_assume!(whole >= 20);
        let many = batch(&text, &Target::Cubes(whole * 2));
        for (one, two) in once.nutrients.iter().zip(&many.nutrients) {
            let (Some(one), Some(two)) = (one.batch.known, two.batch.known) else {
                prop_assert_eq!(&one.batch.missing, &two.batch.missing);
                continue;
            };
            let ratio = two / one / many.prepared.factor;
            prop_assert!(one == 0.0 || (ratio - 1.0).abs() < 0.1, "{ratio}");
        }
    }

    #[test]
    fn random_text_never_panics_the_recipe_reader(text in "\\PC{0,200}") {
        let _ = Recipe::parse(&SourceText::new("random.toml", text.as_str()));
        let _ = text.parse::<Amount>();
        let said = Additions {
            add: Vec::new(),
            returned: Some(text.clone()),
            added: Some(text.clone()),
            weighed: Some(text),
        };
        let _ = from_command_line(&said);
    }

    #[test]
    fn random_text_never_panics_the_reader_of_food(text in "\\PC{0,80}", words in "[0-9a-z½,./% -]{0,60}") {
        for context in [Context::Cook, Context::Buy, Context::Table, Context::Drink] {
            for typed in [&text, &words] {
                let _ = Reader::new(&BuiltIn, context).read(typed).unwrap();
            }
        }
    }

    /// In any natural order the same is meant, and the amount is the one that was typed.
    #[test]
    fn food_is_read_in_any_order(
        grams in 1_u32..5000, food in 0_usize..TYPED.len(), unit in 0_usize..4, order in 0_usize..6, blank in any::<bool>()
    ) {
        let (words, id) = TYPED[food];
        let unit = ["g", "grams", "gram", "gm"][unit];
        let amount = if blank { format!("{grams} {unit}") } else { format!("{grams}{unit}") };
        let typed = match order {
            0 => format!("{amount} {words} steamed"),
            1 => format!("{words} {amount} steam"),
            2 => format!("steamed {words}, {amount}"),
            3 => format!("{words} ({amount}) steamed"),
            4 => format!("steam {amount} of {}", words.to_uppercase()),
            _ => format!("{amount} fresh {words} - steamed 10 min"),
        };
        let taken = Reader::new(&BuiltIn, Context::Cook).read(&typed).unwrap();
        let taken = taken.taken().map_err(|unclear| TestCaseError::fail(format!("{typed}: {}", unclear.what())))?;
        prop_assert_eq!(taken.food.id.as_str(), id, "{}", typed);
        let mass = taken.mass().unwrap().grams();
        prop_assert!((mass - f64::from(grams)).abs() < 1e-9, "{typed}: {mass}");
        prop_assert_eq!(taken.method.map(trayful::cooking::Method::word), Some("steam"), "{}", typed);
    }

    #[test]
    fn a_recipe_with_a_slip_of_the_finger_never_panics(
        text in recipe_text(), at in any::<prop::sample::Index>(), slip in "\\PC{0,3}"
    ) {
        let mut characters: Vec<char> = text.chars().collect();
        let at = at.index(characters.len());
        characters.splice(at..=at, slip.chars());
        let text: String = characters.into_iter().collect();
        let pantry = Pantry::from(FoodTable::builtin().unwrap());
        let kitchen = Kitchen { foods: &pantry, classes: ClassTable::builtin().unwrap() };
        if let Ok(recipe) = Recipe::parse(&SourceText::new("random.toml", text))
            && let Ok(prepared) = kitchen.prepare(&recipe).unwrap()
        {
            let target = Target::Trays(2);
            let _ = scaled_batch(&prepared, &target, &Tray::usual()).unwrap();
        }
    }

    #[test]
    fn random_bytes_never_panic_the_reader_of_own_foods(
        bytes in prop::collection::vec(any::<u8>(), 0..300), text in "[a-z0-9,\"#;=. \n%<µ]{0,300}"
    ) {
        let _ = OwnShelf::parse("own-foods.csv", bytes.clone()).unwrap();
        for text in [text.as_str(), &String::from_utf8_lossy(&bytes)] {
            let with_header = format!("id,name,per,serving,iron,measure,barcode\n{text}");
            let _ = OwnShelf::parse("own-foods.csv", with_header.into_bytes()).unwrap();
            let _ = with_added("", &OwnFoods::default(), text).unwrap();
        }
    }

    #[test]
    fn an_own_food_with_a_slip_of_the_finger_never_panics(
        at in any::<prop::sample::Index>(), slip in "\\PC{0,3}"
    ) {
        let text = data_import::own::template().unwrap();
        let mut characters: Vec<char> = text.chars().collect();
        let at = at.index(characters.len());
        characters.splice(at..=at, slip.chars());
        let text: String = characters.into_iter().collect();
        if let Ok(own) = OwnShelf::parse("own-foods.csv", text.into_bytes()).unwrap() {
            for food in own.foods().iter() {
                let _ = own.warnings(food);
                prop_assert!(food.food.composition.iter().all(|(_, value)| value >= 0.0));
            }
        }
    }

    #[test]
    fn what_is_added_is_read_again(
        foods in prop::collection::vec(own_food(), 1..5), crlf in any::<bool>()
    ) {
        let mut text = String::new();
        for (number, said) in foods.iter().enumerate() {
            let before = OwnFoods::read("own-foods.csv", &text).unwrap().unwrap();
            let said = format!("id=own-{number}; {said}");
            let (id, after) = with_added(&text, &before, &said).unwrap().unwrap();
            let after = if crlf { after.replace("\r\n", "\n").replace('\n', "\r\n") } else { after };
            let read = OwnFoods::read("own-foods.csv", &after).unwrap().unwrap();
            // What was there is unchanged, and what was said is there, by itself or among others.
            for old in before.iter() {
                prop_assert_eq!(&read.get(&old.food.id).unwrap().food, &old.food);
            }
            let (_, alone) = with_added("", &OwnFoods::default(), &said).unwrap().unwrap();
            let alone = OwnFoods::read("own-foods.csv", &alone).unwrap().unwrap();
            let (new, alone) = (read.get(&id).unwrap(), alone.get(&id).unwrap());
            prop_assert_eq!(&new.food.composition, &alone.food.composition);
            prop_assert_eq!(&new.food.measures, &alone.food.measures);
            prop_assert_eq!((&new.food.name, &new.remarks), (&alone.food.name, &alone.remarks));
            text = after;
        }
    }

    #[test]
    fn amounts_are_read_back_as_they_are_written(digits in 1u32..99_999, places in 0usize..4) {
        let value = f64::from(digits) / 10f64.powi(i32::try_from(places).unwrap());
        let amount: Amount = format!("{value:.places$} g").parse().unwrap();
        prop_assert!((amount.mass().unwrap().grams() - value).abs() < 1e-9);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..Default::default() })]

    #[test]
    fn a_dataset_with_random_bytes_never_panics(
        noise in prop::collection::vec(any::<u8>(), 1..300), at in any::<prop::sample::Index>(),
        abbreviated in any::<bool>()
    ) {
        let cut = Path::new(env!("CARGO_MANIFEST_DIR")).join("data-import/tests/data/sr28-cut");
        let folder = tempfile::tempdir().unwrap();
        for (name, noisy) in [("ABBREV.txt", abbreviated), ("FOOD_DES.txt", !abbreviated)] {
            let mut bytes = fs::read(cut.join(name)).unwrap();
            if noisy {
                let at = at.index(bytes.len());
                bytes.splice(at..at, noise.iter().copied());
            }
            fs::write(folder.path().join(name), bytes).unwrap();
        }
        let cache = folder.path().join("cache");
        let request = ImportRequest::new(folder.path(), &cache, "2026-11-24");
        if import(&request, &mut |_| ()).is_ok() {
            FoodTable::open(&cache).unwrap().all().unwrap();
        }
    }

    #[test]
    fn a_cache_with_random_bytes_never_panics(
        noise in prop::collection::vec(any::<u8>(), 1..64), at in any::<prop::sample::Index>(),
        file in select(&["foods-sr28.parquet", "measures-sr28.parquet", "manifest.json"][..])
    ) {
        let cut = Path::new(env!("CARGO_MANIFEST_DIR")).join("data-import/tests/data/sr28-cut");
        let folder = tempfile::tempdir().unwrap();
        let request =
            ImportRequest::new(&cut, folder.path(), "2026-11-24");
        import(&request, &mut |_| ()).unwrap();
        let path = folder.path().join(file);
        let mut bytes = fs::read(&path).unwrap();
        let at = at.index(bytes.len());
        let end = (at + noise.len()).min(bytes.len());
        bytes.splice(at..end, noise);
        fs::write(&path, bytes).unwrap();
        if let Ok(table) = FoodTable::open(folder.path()) {
            let _ = table.all();
            let _ = table.names();
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..Default::default() })]

    /// The bodies of the fuzzer, by bytes that a reader has an eye on.
    #[test]
    fn readers_survive_what_the_fuzzer_makes(
        place in any::<[u8; 3]>(), noise in prop::collection::vec(telling(), 0..40)
    ) {
        let bytes = [place.to_vec(), noise].concat();
        bodies::fooddata(&bytes);
        bodies::sr28(&bytes);
        bodies::abbreviated(&bytes);
        bodies::zip(&bytes);
    }
}

/// Any byte, but more often one that means something in a table.
fn telling() -> impl Strategy<Value = u8> {
    prop_oneof![any::<u8>(), select(&b"\"\",,\n\r~^.-0019eE"[..])]
}
