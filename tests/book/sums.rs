//! Whatever is done in whatever order: no cube appears or is lost, no money either, what is taken
//! back leaves no trace, and an export holds all there is.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use proptest::prelude::*;
use rust_decimal::Decimal;
use trayful::cooking::ClassTable;
use trayful::cost::Money;
use trayful::food::{FoodTable, Pantry};
use trayful::notebook::{Feeding, How, NewBatch, Pick, Purchase, Store};
use trayful::portion::{Target, Tray};
use trayful::problem::SourceText;
use trayful::quantity::Mass;
use trayful::recipe::{Batch, Kitchen, Recipe, scaled_batch};
use trayful::safety::AllergenTable;

use super::household::{in_force, rows, tables};

const RECIPES: [(&str, &str); 3] = [
    ("squash", super::household::SQUASH),
    ("lentil", super::household::LENTIL),
    ("egg", super::household::EGG),
];
const BOUGHT: [&str; 4] = ["11485", "16144", "01123", "20080"];

static BATCHES: LazyLock<Vec<Batch>> = LazyLock::new(|| {
    let pantry = Pantry::from(FoodTable::builtin().unwrap());
    let kitchen = Kitchen {
        foods: &pantry,
        classes: ClassTable::builtin().unwrap(),
    };
    let batch = |(name, text): &(&str, &str)| {
        let recipe = Recipe::parse(&SourceText::new(*name, *text)).unwrap();
        let prepared = kitchen.prepare(&recipe).unwrap().unwrap();
        let batch = scaled_batch(&prepared, &Target::AsWritten, &Tray::usual());
        batch.unwrap().unwrap()
    };
    RECIPES.iter().map(batch).collect()
});

/// The recipes, calculated.
pub(crate) fn batches() -> &'static [Batch] {
    &BATCHES
}

/// Something a parent does.
#[derive(Debug, Clone)]
enum Deed {
    Freeze {
        recipe: usize,
        cubes: u32,
        day: i64,
        keeps: i64,
    },
    Serve {
        picks: Vec<(u32, usize)>,
        day: i64,
        words: String,
    },
    Discard {
        recipe: usize,
        cubes: u32,
        day: i64,
        words: String,
    },
    Buy {
        food: usize,
        grams: u32,
        cents: u32,
        day: i64,
        words: String,
    },
    Undo,
}

fn deed() -> impl Strategy<Value = Deed> {
    let recipe = || 0..RECIPES.len();
    let day = || 0i64..40;
    // With all that a table of text may stumble over.
    let words = || prop_oneof!["[a-z ,;\"'\n\r]{0,12}", "\\PC{0,8}"];
    let pick = || (1u32..12, recipe());
    prop_oneof![
        3 => (recipe(), 1u32..40, day(), 1i64..60)
            .prop_map(|(recipe, cubes, day, keeps)| Deed::Freeze { recipe, cubes, day, keeps }),
        4 => (prop::collection::vec(pick(), 1..4), day(), words())
            .prop_map(|(picks, day, words)| Deed::Serve { picks, day, words }),
        2 => (recipe(), 1u32..12, day(), words())
            .prop_map(|(recipe, cubes, day, words)| Deed::Discard { recipe, cubes, day, words }),
        2 => (0..BOUGHT.len(), 1u32..3000, 0u32..3000, day(), words())
            .prop_map(|(food, grams, cents, day, words)| Deed::Buy { food, grams, cents, day, words }),
        3 => Just(Deed::Undo),
    ]
}

fn on(day: i64) -> Date {
    date(2026, 10, 1).checked_add(day.days()).unwrap()
}

fn pick(cubes: u32, recipe: usize) -> Pick {
    let name = RECIPES[recipe].0.to_string();
    Pick {
        cubes: cubes.into(),
        name,
    }
}

/// Does it; says whether anything was recorded.
fn done(store: &mut Store, deed: &Deed) -> bool {
    match deed {
        Deed::Freeze {
            recipe,
            cubes,
            day,
            keeps,
        } => {
            let new = NewBatch {
                day: on(*day),
                name: RECIPES[*recipe].0,
                batch: &batches()[*recipe],
                tray: "tray",
                cubes: *cubes,
                told: false,
                full: Mass::from_grams(17.3),
                use_by: on(day + keeps),
                dataset: "USDA, \"SR28\"",
            };
            store
                .freeze(&new, &AllergenTable::builtin().unwrap())
                .is_ok()
        }
        Deed::Serve { picks, day, words } => {
            let picks: Vec<_> = picks
                .iter()
                .map(|(cubes, recipe)| pick(*cubes, *recipe))
                .collect();
            let meal = Feeding {
                day: on(*day),
                child: "Wren",
                picks: &picks,
                meal: "",
                foods: &[],
                share: None,
                how: How::Some,
                reaction: words,
            };
            store.serve(&meal).is_ok()
        }
        Deed::Discard {
            recipe,
            cubes,
            day,
            words,
        } => store
            .discard(on(*day), &pick(*cubes, *recipe), words)
            .is_ok(),
        Deed::Buy {
            food,
            grams,
            cents,
            day,
            words,
        } => {
            let purchase = Purchase {
                day: on(*day),
                food: BOUGHT[*food].into(),
                name: "a \"food\", bought".into(),
                mass: Mass::from_grams(f64::from(*grams) * 1.1),
                price: Money::new(Decimal::new(i64::from(*cents), 2)),
                store: words.clone(),
            };
            store.buy(&purchase).is_ok()
        }
        Deed::Undo => match store.last_number().unwrap() {
            Some(last) => store.undo(last, on(60)).is_ok(),
            None => false,
        },
    }
}

/// A folder that no disk slows down, where there is such a thing.
pub(crate) fn in_memory() -> tempfile::TempDir {
    tempfile::tempdir_in("/dev/shm")
        .or_else(|_| tempfile::tempdir())
        .unwrap()
}

/// Sums of the cubes of each batch that went somewhere, straight from the tables.
fn gone(store: &Store, table: &str) -> BTreeMap<i64, u32> {
    let connection = rusqlite::Connection::open(store.path()).unwrap();
    let sql = format!("SELECT batch, sum(cubes) FROM {table} GROUP BY batch");
    let mut select = connection.prepare(&sql).unwrap();
    let sums = select
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap();
    sums.map(Result::unwrap).collect()
}

/// Cubes made are cubes left, served and thrown away; and so is what they cost.
fn adds_up(store: &Store) -> Result<(), TestCaseError> {
    prop_assert_eq!(store.check().unwrap(), Vec::<String>::new());
    let left: BTreeMap<i64, u32> = store
        .stock()
        .unwrap()
        .iter()
        .map(|stock| (stock.batch.id, stock.left))
        .collect();
    let (served, thrown) = (gone(store, "feeding_part"), gone(store, "discard"));
    for batch in store.batches().unwrap() {
        let of = |sums: &BTreeMap<i64, u32>| sums.get(&batch.id).copied().unwrap_or(0);
        let parts = [of(&left), of(&served), of(&thrown)];
        prop_assert_eq!(batch.cubes, parts.iter().sum::<u32>());
        if let Some(cost) = batch.cost.known {
            let each = cost.per(batch.cubes).unwrap();
            let sum: Money = parts.into_iter().map(|cubes| each.times(cubes)).sum();
            prop_assert_eq!(sum.amount().round_dp(18), cost.amount().round_dp(18));
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..Default::default() })]

    #[test]
    fn the_sums_hold_after_every_deed(deeds in prop::collection::vec(deed(), 1..40)) {
        let folder = in_memory();
        let record = folder.path().join("book.sqlite");
        let mut store = Store::open(&record).unwrap();
        let mut before = vec![in_force(&record)];
        let mut written = 0;
        for deed in &deeds {
            let recorded = done(&mut store, deed);
            written += usize::from(recorded);
            let now = in_force(&record);
            match (deed, recorded) {
                (Deed::Undo, true) => {
                    before.pop();
                    prop_assert_eq!(before.last(), Some(&now));
                }
                (_, true) => before.push(now),
                (_, false) => prop_assert_eq!(before.last(), Some(&now), "{:?}", deed),
            }
            adds_up(&store)?;
        }
        let (out, again) = (folder.path().join("out"), folder.path().join("again"));
        store.export(&out).unwrap();
        let mut other = Store::open(&folder.path().join("other.sqlite")).unwrap();
        let entries = usize::try_from(other.import(&out).unwrap()).unwrap();
        // Of an entry that was taken back the taking back is left.
        let undone = deeds.len() - deeds.iter().filter(|deed| !matches!(deed, Deed::Undo)).count();
        prop_assert!(entries <= written && entries + undone >= written);
        other.export(&again).unwrap();
        prop_assert_eq!(tables(&out), tables(&again));
        prop_assert_eq!(rows(&record), rows(other.path()));
        prop_assert_eq!(store.batches().unwrap(), other.batches().unwrap());
    }

    #[test]
    fn a_table_with_a_slip_of_the_finger_is_read_whole_or_not_at_all(
        deeds in prop::collection::vec(deed(), 4..12), table in 0usize..8,
        at in any::<prop::sample::Index>(), slip in "[0-9a-z,\"\n-]{0,3}"
    ) {
        let folder = in_memory();
        let mut store = Store::open(&folder.path().join("book.sqlite")).unwrap();
        for deed in &deeds {
            done(&mut store, deed);
        }
        let out = folder.path().join("out");
        let path = store.export(&out).unwrap().swap_remove(table);
        let mut text: Vec<char> = std::fs::read_to_string(&path).unwrap().chars().collect();
        let at = at.index(text.len());
        text.splice(at..=at, slip.chars());
        std::fs::write(&path, text.into_iter().collect::<String>()).unwrap();
        let record = folder.path().join("other.sqlite");
        let mut other = Store::open(&record).unwrap();
        let empty = rows(&record);
        match other.import(&out) {
            Ok(_) => {
                prop_assert_eq!(other.check().unwrap(), Vec::<String>::new());
                // All that was read can be shown.
                other.batches().unwrap();
                other.stock().unwrap();
                other.tastes("Wren", on(50)).unwrap();
                for food in BOUGHT {
                    other.price(food, on(50)).unwrap();
                }
            }
            Err(error) => {
                prop_assert!(error.hint().is_some(), "{}", error);
                prop_assert_eq!(empty, rows(&record));
            }
        }
    }
}
