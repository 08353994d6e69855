//! Whatever is written, corrected, taken back and put back in whatever order, the book is as one
//! that was told at once how it really was; and of many writers at the same time none overwrites
//! unseen what another corrected.

use std::collections::BTreeMap;

use approx::assert_relative_eq;
use data_import::NutrientId;
use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use proptest::prelude::*;
use rust_decimal::Decimal;
use trayful::cost::Money;
use trayful::notebook::{Correction, Feeding, How, NewBatch, Pick, Purchase, Store};
use trayful::nutrition::total_of;
use trayful::quantity::Mass;
use trayful::safety::AllergenTable;

use super::sums::{batches, in_memory};

const CHILDREN: [&str; 2] = ["Wren", "Ada"];

/// How an entry really was.
#[derive(Debug, Clone, PartialEq)]
enum Truth {
    Batch {
        recipe: usize,
        cubes: u32,
        day: i64,
    },
    Meal {
        parts: Vec<(i64, u32)>,
        child: usize,
        day: i64,
        how: How,
        share: Option<f64>,
    },
    Thrown {
        parts: Vec<(i64, u32)>,
        day: i64,
    },
    Bought {
        grams: u32,
        cents: u32,
        day: i64,
    },
}

/// What the household does; numbers choose among what there is.
#[derive(Debug, Clone)]
enum Step {
    Write(Truth),
    Correct {
        at: usize,
        day: Option<i64>,
        how: How,
        share: Option<f64>,
        number: u32,
    },
    Undo(Option<usize>),
    Redo(Option<usize>),
}

fn step() -> impl Strategy<Value = Step> {
    let day = || 0i64..20;
    let cubes = || 1u32..9;
    let how = || prop_oneof![Just(How::Taken), Just(How::Some), Just(How::Refused)];
    let share = || {
        prop_oneof![
            Just(None),
            (0u32..5).prop_map(|quarters| Some(f64::from(quarters) / 4.0))
        ]
    };
    prop_oneof![
        3 => (0usize..3, 8u32..30, day())
            .prop_map(|(recipe, cubes, day)| Step::Write(Truth::Batch { recipe, cubes, day })),
        4 => (0i64..6, cubes(), 0usize..2, day(), how(), share()).prop_map(|(batch, cubes, child, day, how, share)| {
            Step::Write(Truth::Meal { parts: vec![(batch, cubes)], child, day, how, share })
        }),
        1 => (0i64..6, cubes(), day())
            .prop_map(|(batch, cubes, day)| Step::Write(Truth::Thrown { parts: vec![(batch, cubes)], day })),
        1 => (1u32..3000, 0u32..3000, day())
            .prop_map(|(grams, cents, day)| Step::Write(Truth::Bought { grams, cents, day })),
        5 => (0usize..40, prop::option::of(day()), how(), share(), 1u32..30)
            .prop_map(|(at, day, how, share, number)| Step::Correct { at, day, how, share, number }),
        4 => prop::option::of(0usize..40).prop_map(Step::Undo),
        2 => prop::option::of(0usize..40).prop_map(Step::Redo),
    ]
}

fn on(day: i64) -> Date {
    date(2026, 10, 1).checked_add(day.days()).unwrap()
}

/// An operation of the model, with what was true before.
struct Operation {
    number: i64,
    target: i64,
    before: Option<Truth>,
    /// The operation that it reverses.
    reverses: Option<i64>,
}

/// A record, and beside it what is true by a model of its own.
struct Told {
    store: Store,
    truth: BTreeMap<i64, Truth>,
    done: Vec<Operation>,
}

impl Told {
    fn batch(&self, at: i64) -> Option<i64> {
        let frozen: Vec<i64> = self
            .truth
            .iter()
            .filter(|(_, truth)| matches!(truth, Truth::Batch { .. }))
            .map(|(number, _)| *number)
            .collect();
        frozen
            .get(usize::try_from(at).unwrap() % frozen.len().max(1))
            .copied()
    }

    fn take(&mut self, step: &Step) {
        match step {
            Step::Write(truth) => self.write(truth),
            Step::Correct {
                at,
                day,
                how,
                share,
                number,
            } => self.correct(*at, (*day, *how, *share, *number)),
            Step::Undo(at) => {
                let number = match at {
                    None => self.store.last_number().unwrap(),
                    Some(at) => self
                        .done
                        .get(at % self.done.len().max(1))
                        .map(|one| one.number),
                };
                if let Some(number) = number
                    && let Ok(undone) = self.store.undo(number, on(30))
                {
                    self.reversed(number, undone.change);
                }
            }
            Step::Redo(at) => {
                let number = match at {
                    None => self.store.to_redo().unwrap().map(|one| one.number),
                    Some(at) => self
                        .done
                        .get(at % self.done.len().max(1))
                        .map(|one| one.number),
                };
                if let Some(number) = number
                    && let Ok(redone) = self.store.redo(number, on(30))
                {
                    self.put_back(number, redone.change);
                }
            }
        }
    }

    fn write(&mut self, truth: &Truth) {
        let mut truth = truth.clone();
        if let Truth::Meal { parts, .. } | Truth::Thrown { parts, .. } = &mut truth {
            let Some(batch) = self.batch(parts[0].0) else {
                return;
            };
            parts[0].0 = batch;
        }
        let same = |batch: i64| batch;
        if let Some(number) = recorded(&mut self.store, &truth, same) {
            self.truth.insert(number, truth.clone());
            self.done.push(Operation {
                number,
                target: number,
                before: None,
                reverses: None,
            });
        }
    }

    fn correct(
        &mut self,
        at: usize,
        (day, how, share, number): (Option<i64>, How, Option<f64>, u32),
    ) {
        let Some((&target, truth)) = self.truth.iter().nth(at % self.truth.len().max(1)) else {
            return;
        };
        let mut truth = truth.clone();
        let mut correction = Correction {
            day: day.map(on),
            ..Correction::default()
        };
        match &mut truth {
            Truth::Batch {
                cubes, day: was, ..
            } => {
                *was = day.unwrap_or(*was);
                *cubes = number;
                correction.cubes = Some(number);
            }
            Truth::Meal {
                day: was,
                how: went,
                share: eaten,
                parts,
                ..
            } => {
                *was = day.unwrap_or(*was);
                *went = if share == Some(0.0) {
                    How::Refused
                } else {
                    how
                };
                *eaten = share;
                (correction.how, correction.share) = (Some(how), share);
                if number % 3 == 0 {
                    parts[0].1 = number;
                    let pick = Pick {
                        cubes: number.into(),
                        name: format!("#{}", parts[0].0),
                    };
                    correction.servings = Some((vec![pick], Vec::new()));
                }
            }
            Truth::Thrown { day: was, .. } => {
                *was = day.unwrap_or(*was);
                correction.words = Some(format!("why {number}"));
            }
            Truth::Bought {
                cents, day: was, ..
            } => {
                *was = day.unwrap_or(*was);
                *cents = number;
                correction.price = Some(Money::new(Decimal::new(i64::from(number), 2)));
            }
        }
        let newest = self.store.entry(target).unwrap().unwrap().number;
        if let Ok(corrected) = self.store.correct(newest, &correction, on(30)) {
            let before = self.truth.insert(target, truth.clone());
            self.done.push(Operation {
                number: corrected.now.number,
                target,
                before,
                reverses: None,
            });
        }
    }

    /// What an undo of this number made true.
    fn reversed(&mut self, number: i64, change: i64) {
        let operation = self.done.iter().find(|one| one.number == number).unwrap();
        let (target, reverses) = (operation.target, operation.reverses);
        match reverses.map(|first| self.done.iter().find(|one| one.number == first).unwrap()) {
            // The undo of an undo puts back; that of a redo takes back again what the undo took.
            Some(first) if first.reverses.is_none() => self.put_back(number, change),
            Some(undo) => self.reversed(undo.reverses.unwrap(), change),
            None => {
                let after = operation.before.clone();
                self.set(target, after.as_ref(), (number, change));
            }
        }
    }

    fn put_back(&mut self, number: i64, change: i64) {
        let operation = self.done.iter().find(|one| one.number == number).unwrap();
        let undo = match operation.reverses {
            Some(_) => operation,
            None => self
                .done
                .iter()
                .rev()
                .find(|one| one.reverses == Some(number))
                .unwrap(),
        };
        let (target, after, undo) = (undo.target, undo.before.clone(), undo.number);
        self.set(target, after.as_ref(), (undo, change));
    }

    fn set(&mut self, target: i64, after: Option<&Truth>, (reverses, number): (i64, i64)) {
        let before = match after {
            Some(truth) => self.truth.insert(target, truth.clone()),
            None => self.truth.remove(&target),
        };
        self.done.push(Operation {
            number,
            target,
            before,
            reverses: Some(reverses),
        });
    }
}

/// Writes into a record how something was; gives its number.
fn recorded(store: &mut Store, truth: &Truth, batch_of: impl Fn(i64) -> i64) -> Option<i64> {
    let picks = |parts: &[(i64, u32)]| -> Vec<Pick> {
        let pick = |(batch, cubes): &(i64, u32)| Pick {
            cubes: (*cubes).into(),
            name: format!("#{}", batch_of(*batch)),
        };
        parts.iter().map(pick).collect()
    };
    match truth {
        Truth::Batch { recipe, cubes, day } => {
            let new = NewBatch {
                day: on(*day),
                name: ["squash", "lentil", "egg"][*recipe],
                batch: &batches()[*recipe],
                tray: "tray",
                cubes: *cubes,
                told: true,
                // From far fewer cubes than the batch fills to more.
                full: batches()[*recipe].masses.puree * (1.0 / 20.0),
                use_by: on(day + 30),
                dataset: "test",
            };
            let allergens = AllergenTable::builtin().unwrap();
            Some(store.freeze(&new, &allergens).unwrap().0)
        }
        Truth::Meal {
            parts,
            child,
            day,
            how,
            share,
        } => {
            let meal = Feeding {
                day: on(*day),
                child: CHILDREN[*child],
                picks: &picks(parts),
                meal: "lunch",
                foods: &[],
                share: *share,
                how: *how,
                reaction: "",
            };
            store.serve(&meal).ok().map(|served| served.id)
        }
        Truth::Thrown { parts, day } => {
            store.discard(on(*day), &picks(parts)[0], "").ok()?;
            store.last_number().unwrap()
        }
        Truth::Bought { grams, cents, day } => {
            let purchase = Purchase {
                day: on(*day),
                food: "11485".into(),
                name: "Squash".into(),
                mass: Mass::from_grams(f64::from(*grams)),
                price: Money::new(Decimal::new(i64::from(*cents), 2)),
                store: String::new(),
            };
            Some(store.buy(&purchase).unwrap())
        }
    }
}

/// All that is read from a record, without the numbers of entries.
fn views(store: &Store) -> (Vec<String>, Vec<f64>) {
    let (mut words, mut figures) = (Vec::new(), Vec::new());
    for stock in store.stock().unwrap() {
        words.push(format!(
            "{} {} {} {}",
            stock.batch.name, stock.left, stock.batch.day, stock.batch.use_by
        ));
        figures.push(stock.batch.cube.grams());
    }
    words.sort();
    figures.sort_by(f64::total_cmp);
    for batch in store.batches().unwrap() {
        words.push(format!("{} {} {:?}", batch.name, batch.cubes, batch.cost));
    }
    for child in CHILDREN {
        for meal in store.eaten(child, on(0), on(40)).unwrap() {
            words.push(format!(
                "{} {:?} {} {}",
                meal.day,
                meal.how,
                meal.meal.share,
                meal.cubes.len()
            ));
            figures.extend(total_of(&meal.meal.servings, NutrientId::IRON).known);
            let unsure = meal
                .meal
                .servings
                .iter()
                .filter_map(|one| one.portion.as_ref());
            let doubts = unsure.flat_map(|one| one.doubts.of(NutrientId::IRON));
            figures.extend(doubts.map(|(_, amount)| amount));
        }
        for taste in &store.tastes(child, on(40)).unwrap().foods {
            words.push(format!("{child} {taste:?}"));
        }
    }
    (words, figures)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..Default::default() })]

    #[test]
    fn a_corrected_book_is_as_one_that_was_told_the_truth_at_once(steps in prop::collection::vec(step(), 1..40)) {
        let folder = in_memory();
        let mut told = Told {
            store: Store::open(&folder.path().join("book.sqlite")).unwrap(),
            truth: BTreeMap::new(),
            done: Vec::new(),
        };
        for step in &steps {
            told.take(step);
            prop_assert_eq!(told.store.check().unwrap(), Vec::<String>::new());
        }
        let mut fresh = Store::open(&folder.path().join("fresh.sqlite")).unwrap();
        let mut numbers: BTreeMap<i64, i64> = BTreeMap::new();
        // Batches first: a batch that was put on an earlier day may be served by entries of a lower number.
        let order = |truth: &Truth| !matches!(truth, Truth::Batch { .. });
        let mut entries: Vec<(&i64, &Truth)> = told.truth.iter().collect();
        entries.sort_by_key(|(number, truth)| (order(truth), **number));
        for (number, truth) in entries {
            let new = recorded(&mut fresh, truth, |batch| numbers[&batch]);
            prop_assert!(new.is_some(), "{:?} cannot be told at once", truth);
            numbers.insert(*number, new.unwrap());
        }
        let ((words, figures), (true_words, true_figures)) = (views(&told.store), views(&fresh));
        prop_assert_eq!(words, true_words);
        prop_assert_eq!(figures.len(), true_figures.len());
        for (one, other) in figures.iter().zip(&true_figures) {
            assert_relative_eq!(one, other, max_relative = 1e-9);
        }
        // What was before is still there, and an export carries it.
        let everything = told.store.log((Date::MIN, Date::MAX), true).unwrap();
        prop_assert_eq!(everything.len(), told.done.len());
        let out = folder.path().join("out");
        told.store.export(&out).unwrap();
        let mut other = Store::open(&folder.path().join("other.sqlite")).unwrap();
        other.import(&out).unwrap();
        prop_assert_eq!(everything, other.log((Date::MIN, Date::MAX), true).unwrap());
    }
}

#[test]
fn of_many_that_correct_the_same_entry_one_is_heard_and_the_others_are_told() {
    let folder = in_memory();
    let path = folder.path().join("book.sqlite");
    let bought = Truth::Bought {
        grams: 1000,
        cents: 100,
        day: 1,
    };
    let mut first = recorded(&mut Store::open(&path).unwrap(), &bought, |batch| batch).unwrap();
    for round in 0..25 {
        let results: Vec<Option<i64>> = std::thread::scope(|scope| {
            let writers: Vec<_> = (0..8)
                .map(|writer| {
                    let path = &path;
                    scope.spawn(move || {
                        let mut store = Store::open(path).unwrap();
                        let own = Truth::Bought {
                            grams: 500,
                            cents: writer,
                            day: 2,
                        };
                        let own = recorded(&mut store, &own, |batch| batch).unwrap();
                        let price =
                            Money::new(Decimal::new(i64::from(1000 * (writer + 1) + round), 2));
                        let correction = Correction {
                            price: Some(price),
                            ..Correction::default()
                        };
                        // Its own is never refused.
                        store.correct(own, &correction, on(30)).unwrap();
                        let corrected = store.correct(first, &correction, on(30)).ok()?;
                        Some(corrected.now.number)
                    })
                })
                .collect();
            writers
                .into_iter()
                .map(|writer| writer.join().unwrap())
                .collect()
        });
        let heard: Vec<i64> = results.into_iter().flatten().collect();
        assert_eq!(heard.len(), 1, "round {round}");
        first = heard[0];
    }
    let store = Store::open(&path).unwrap();
    assert_eq!(store.check().unwrap(), Vec::<String>::new());
    // The shared entry with its 25 corrections, and 8 in each round with one correction each.
    let everything = store.log((Date::MIN, Date::MAX), true).unwrap();
    assert_eq!(everything.len(), 1 + 25 + 25 * 8 * 2);
}
