//! What a child may be given.
//!
//! Sources: each row of `hazards.csv` names its own (CDC, WHO, NHS, FDA and EPA, EFSA, AESAN and
//! others). Which objection a meal is due was read from the guidance and the names of the foods by
//! hand, in `tests/data/safety-cases.csv`.

use data_import::Food;
use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use serde::Deserialize;
use trayful::cooking::Method;
use trayful::nutrition::AgeMonths;
use trayful::quantity::Mass;
use trayful::safety::{
    Case, CautionTable, ChildFacts, DEFER, EatenMeal, FeedingStage, Judge, NotedReaction,
    Objection, Portion, PortionForm, Severity, Tasted,
};
use trayful::spoken::usual_method;

use crate::support::{data, food, foods};

const DAY: Date = date(2026, 11, 27);

#[derive(Deserialize, Debug)]
struct Row {
    age_months: u16,
    context: String,
    foods: String,
    times: Option<i64>,
    allergies: String,
    eczema: String,
    reaction_before: String,
    known: String,
    seen: String,
    verdict: String,
    hazard: String,
    must_not: String,
    note: String,
}

impl Row {
    fn portions(&self) -> Vec<Portion> {
        let batch = self.context == "batch";
        let parts: Vec<Vec<&str>> = self
            .foods
            .split('|')
            .map(|one| one.split(':').collect())
            .collect();
        let grams = |part: &Vec<&str>| part[2].parse::<f64>().unwrap();
        let total: f64 = parts.iter().map(grams).sum();
        // Two cubes of 27 g are a usual serving.
        let share = if batch { (54.0 / total).min(1.0) } else { 1.0 };
        let portion = |part: &Vec<&str>| Portion {
            food: food(part[0]).clone(),
            mass: Some(Mass::from_grams(grams(part) * share)),
            method: Some(part[1].parse().unwrap_or(Method::None)),
            form: if batch {
                PortionForm::Puree
            } else {
                PortionForm::Whole
            },
            typed: String::new(),
        };
        parts.iter().map(portion).collect()
    }

    fn child(&self, portions: &[Portion], judge: &Judge) -> ChildFacts {
        let known = |id: &str| self.known == "all" || self.known.split('|').any(|one| one == id);
        let mut tasted = Tasted::default();
        let first = DAY.saturating_sub(25.days());
        for portion in portions.iter().filter(|one| known(one.food.id.as_str())) {
            tasted.foods.insert(portion.food.id.to_string(), first);
            let held = judge.allergens().of(&portion.food);
            tasted
                .allergens
                .extend(held.map(|allergen| (allergen.to_string(), first)));
        }
        let noted = portions.iter().filter(|one| {
            self.reaction_before
                .split('|')
                .any(|id| id == one.food.id.as_str())
        });
        let noted = noted.map(|one| NotedReaction {
            food: one.food.id.to_string(),
            name: one.food.name.clone(),
            allergens: judge.allergens().of(&one.food).map(String::from).collect(),
            day: first,
            words: "rash".into(),
        });
        ChildFacts {
            name: "Wren".into(),
            age: Some(AgeMonths(self.age_months)),
            allergies: self
                .allergies
                .split('|')
                .filter(|one| !one.is_empty())
                .map(String::from)
                .collect(),
            severe_eczema: self.eczema == "severe",
            reactions: noted.collect(),
            tasted: Some(tasted),
            ..ChildFacts::default()
        }
    }

    fn objections(&self, judge: &Judge) -> Vec<Objection> {
        let portions = self.portions();
        let again = (1..self.times.unwrap_or(1)).map(|back| EatenMeal {
            day: DAY.saturating_sub(back.days()),
            portions: portions.clone(),
        });
        judge.objections(&Case {
            child: &self.child(&portions, judge),
            day: DAY,
            context: match self.context.as_str() {
                "batch" => FeedingStage::Cooked,
                "mix" => FeedingStage::Mixed,
                "serve" => FeedingStage::Served,
                _ => FeedingStage::Planned,
            },
            portions: &portions,
            others: &again.collect::<Vec<_>>(),
            seen: &self.seen,
        })
    }
}

#[test]
fn each_case_meets_the_objection_that_is_due() {
    let judge = Judge::builtin().unwrap();
    let rows: Vec<Row> = data("safety-cases.csv");
    let mut wrong = Vec::new();
    for row in &rows {
        let found = row.objections(judge);
        let named: Vec<_> = found
            .iter()
            .map(|one| (one.hazard.as_str(), one.severity.word()))
            .collect();
        let not = row.must_not.split('|').filter(|one| !one.is_empty());
        let false_alarm = not
            .into_iter()
            .any(|not| named.iter().any(|(hazard, _)| *hazard == not));
        let right = if row.verdict == "none" {
            found.iter().all(|one| one.severity == Severity::Mind)
        } else {
            named.contains(&(row.hazard.as_str(), row.verdict.as_str()))
        };
        if !right || false_alarm {
            wrong.push(format!("{}: {row:?} -> {named:?}", row.note));
        }
    }
    println!(
        "{} of {} cases as due",
        rows.len() - wrong.len(),
        rows.len()
    );
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_objection_says_what_to_do_and_where_it_comes_from() {
    let judge = Judge::builtin().unwrap();
    let rows: Vec<Row> = data("safety-cases.csv");
    for row in &rows {
        for one in row.objections(judge) {
            for text in [&one.text, &one.source, &one.instead] {
                assert!(!text.trim().is_empty(), "{one:?}");
            }
            assert!(!one.text.contains('{'), "{one:?}");
            assert_eq!(one.foods.len(), one.names.len(), "{one:?}");
        }
    }
}

/// First foods that CDC (Foods and drinks to encourage, 2020) and NHS (First foods) name, cooked
/// and blended: none is stopped or warned of.
#[test]
fn plain_first_foods_go_without_a_warning() {
    let judge = Judge::builtin().unwrap();
    for id in [
        "11124", "11485", "11507", "11352", "11090", "11304", "11135", "11477", "11298", "11233",
        "09003", "09252", "09040", "09037", "08120", "16144", "16056", "16069", "20005", "20031",
        "20035", "05062", "05165", "23572", "15015", "15076", "01129", "01116", "16126", "12166",
    ] {
        for age in [6, 8, 11, 14, 30] {
            let portions = [Portion {
                food: food(id).clone(),
                mass: Some(Mass::from_grams(20.0)),
                method: Some(Method::Boil),
                form: PortionForm::Puree,
                typed: String::new(),
            }];
            let found = judge.objections(&Case {
                child: &child_of(age),
                day: DAY,
                context: FeedingStage::Cooked,
                portions: &portions,
                others: &[],
                seen: "",
            });
            let grave: Vec<_> = found.iter().filter(|one| one.bars_a_plan()).collect();
            assert!(grave.is_empty(), "{id} at {age} months: {grave:?}");
        }
    }
}

#[test]
fn the_last_word_is_the_paediatricians() {
    let table = CautionTable::builtin().unwrap();
    assert_eq!(table.all().last().unwrap().id, DEFER);
    for caution in table.all() {
        assert!(!caution.source.trim().is_empty(), "{}", caution.id);
    }
    let defer = table.all().iter().filter(|caution| caution.id == DEFER);
    assert!(
        defer
            .into_iter()
            .all(|one| one.text.to_lowercase().contains("paediatrician"))
    );
}

/// Food Allergen Labeling and Consumer Protection Act (2004) and FASTER Act (2021), USA.
#[test]
fn the_nine_major_allergens() {
    let judge = Judge::builtin().unwrap();
    let mut allergens: Vec<_> = judge.allergens().all().collect();
    allergens.sort_unstable();
    let nine = [
        "egg",
        "fish",
        "milk",
        "peanut",
        "sesame",
        "shellfish",
        "soy",
        "tree nuts",
        "wheat",
    ];
    assert_eq!(allergens, nine);
}

/// A child of an age whose record holds every food of the meal.
fn child_of(age: u16) -> ChildFacts {
    ChildFacts {
        name: "Wren".into(),
        age: Some(AgeMonths(age)),
        ..ChildFacts::default()
    }
}

/// How grave the objection by a hazard to an amount of a food is, with the same on earlier days.
fn said(
    hazard: &str,
    (age, food_id, grams): (u16, &str, f64),
    days_back: &[i64],
) -> Option<Severity> {
    let judge = Judge::builtin().unwrap();
    let portions = [Portion::as_it_is(
        food(food_id).clone(),
        Mass::from_grams(grams),
    )];
    let others: Vec<EatenMeal> = days_back
        .iter()
        .map(|back| EatenMeal {
            day: DAY.saturating_sub(back.days()),
            portions: portions.to_vec(),
        })
        .collect();
    let found = judge.objections(&Case {
        child: &child_of(age),
        day: DAY,
        context: FeedingStage::Served,
        portions: &portions,
        others: &others,
        seen: "",
    });
    let named = found.into_iter().find(|one| one.hazard == hazard);
    named.map(|one| one.severity)
}

/// Published limits, each just met and just passed: AESAN 2020, nitrate (35 g of spinach or chard a
/// day at 6 to 11 months, 45 g at 1 to 3 years); AAP 2017, fruit juice (4 fl oz, about 120 ml, from
/// 1 to 3 years); UK salt guidance, 2009 (400 mg of sodium a day in the first year, 800 mg from 1
/// to 3); NHS (liver once a week); CDC 2020, cow's milk (24 fl oz, 710 ml, a day).
#[test]
fn published_limits_hold_to_the_gram() {
    let (warn, mind, block) = (
        Some(Severity::Warn),
        Some(Severity::Mind),
        Some(Severity::Block),
    );
    for (hazard, meal, back, expected) in [
        ("nitrate", (8, "11458", 35.0), &[][..], mind),
        ("nitrate", (8, "11458", 36.0), &[], warn),
        ("nitrate", (8, "11458", 20.0), &[0], warn),
        ("nitrate", (8, "11458", 20.0), &[1], mind),
        ("nitrate", (14, "11458", 45.0), &[], mind),
        ("nitrate", (14, "11458", 46.0), &[], warn),
        ("nitrate", (36, "11458", 46.0), &[], None),
        ("juice", (11, "09206", 10.0), &[], warn),
        ("juice", (12, "09206", 120.0), &[], mind),
        ("juice", (12, "09206", 65.0), &[0], warn),
        ("milk-much", (14, "01077", 700.0), &[], None),
        ("milk-much", (14, "01077", 740.0), &[], warn),
        ("milk-much", (14, "01077", 400.0), &[0], warn),
        ("liver", (14, "05028", 10.0), &[7], mind),
        ("liver", (14, "05028", 10.0), &[6], block),
        ("liver", (11, "05028", 10.0), &[], warn),
        ("rice", (14, "20045", 40.0), &[1, 2, 3], mind),
        ("rice", (14, "20045", 40.0), &[1, 2, 3, 4], warn),
        // 01129, a boiled egg, holds 124 mg of sodium in 100 g.
        ("salt", (9, "01129", 322.0), &[], None),
        ("salt", (9, "01129", 323.0), &[], warn),
        ("salt", (14, "01129", 645.0), &[], None),
        ("salt", (14, "01129", 646.0), &[], warn),
    ] {
        assert_eq!(
            said(hazard, meal, back),
            expected,
            "{hazard} {meal:?} {back:?}"
        );
    }
}

/// A value that nobody measured is not zero, and does not alarm either: nine livers of SR28 lack
/// retinol and are known by name.
#[test]
fn a_food_without_a_value_is_judged_by_its_name() {
    let without: Vec<_> = foods()
        .filter(|food| food.name.to_lowercase().contains(", liver"))
        .filter(|food| {
            food.composition
                .get(trayful::nutrition::NutrientId::new(319))
                .is_none()
        })
        .collect();
    assert!(!without.is_empty());
    for food in without {
        let id = food.id.to_string();
        assert_eq!(
            said("liver", (14, &id, 10.0), &[]),
            Some(Severity::Mind),
            "{}",
            food.name
        );
    }
}

#[test]
fn an_unknown_age_is_judged_as_six_months_and_said() {
    let judge = Judge::builtin().unwrap();
    let portions = [Portion::as_it_is(
        food("19296").clone(),
        Mass::from_grams(5.0),
    )];
    let child = ChildFacts::default();
    let found = judge.objections(&Case {
        child: &child,
        day: DAY,
        context: FeedingStage::Mixed,
        portions: &portions,
        others: &[],
        seen: "",
    });
    assert_eq!(found[0].hazard, "honey");
    assert!(
        found
            .iter()
            .any(|one| one.text.contains("judged as for 6 months"))
    );
}

/// What an own food is judged by: no group of the dataset, no values.
fn own(name: &str) -> Food {
    let mut food = food("09040").clone();
    food.name = name.into();
    food.group = String::new();
    food.composition = std::iter::empty().collect();
    food
}

/// Foods of the household's own are known by the words of their names alone. The guidance is that
/// of the hazards' rows; which words name them was gone through by hand.
#[test]
fn own_foods_are_judged_by_the_words_of_their_names() {
    let judge = Judge::builtin().unwrap();
    for (names, due) in [
        (
            "Raw minced beef|Beef mince, raw|Oysters, raw|Raw prawns|Raw egg|Salmon sushi",
            "raw-animal",
        ),
        (
            "Table salt|Salt|Stock cube|Soy sauce|Fish sauce|Anchovies",
            "salt",
        ),
        (
            "Red grapes|Seedless grapes|Sweet cherries|Cherry tomatoes",
            "choke-round",
        ),
        ("Jam|Strawberry jam|Candied peel", "added-sugar"),
        (
            "Tomatoes in oil|Dried tomatoes in oil with garlic|Home-canned beans",
            "home-canned",
        ),
        (
            "Green tea|Moroccan mint tea|Iced tea|Cola|Coffee",
            "caffeine",
        ),
        ("Anise tea|Nettle tea|Peppermint tea", "herbal-tea"),
        // Of no wine, and sweets to choke on.
        ("Winegums", "choke-candy"),
        ("Ginger ale|Lemonade", "sugar-drink"),
        ("Red wine", "alcohol"),
        ("Raw carrot sticks|Raw apple", "choke-hard-raw"),
        (
            "Salted butter|Grape juice concentrate for the freezer|Jambalaya|Tuna in oil|Vegetables roasted in oil|Barley tea|Caraway tea|\
             Tea biscuits|Beef tea broth|Cooked prawns|Boiled egg|Unsalted stock for babies|Quartered grapes|Mashed cherries",
            "",
        ),
    ] {
        for name in names.split('|') {
            let found = judge.objections(&Case {
                child: &child_of(11),
                day: DAY,
                context: FeedingStage::Mixed,
                portions: &[Portion::as_it_is(own(name), Mass::from_grams(15.0))],
                others: &[],
                seen: "",
            });
            let grave = found.iter().filter(|one| one.severity != Severity::Mind);
            let grave: Vec<&str> = grave.map(|one| one.hazard.as_str()).collect();
            if due.is_empty() {
                let due_for_others = ["juice", "added-sugar"];
                let wrong = grave
                    .iter()
                    .filter(|hazard| !due_for_others.contains(hazard));
                assert_eq!(wrong.count(), 0, "{name}: {grave:?}");
            } else {
                assert!(grave.contains(&due), "{name}: {grave:?}");
            }
        }
    }
}

/// The guidance is that of the rows; see the head of the table.
#[test]
fn names_of_own_foods_say_what_is_due_and_no_more() {
    let judge = Judge::builtin().unwrap();
    let cases = include_str!("../data/own-food-names.tsv");
    let cases = cases.lines().filter(|line| !line.starts_with('#'));
    let (mut tried, mut wrong) = (0, Vec::new());
    for case in cases.skip(1) {
        let (due, name) = case.split_once('\t').unwrap();
        let food = own(name);
        let (expected, due) = match due.strip_prefix("no ") {
            Some(due) => (false, due),
            None => (true, due),
        };
        let said = if let Some(allergen) = due.strip_prefix("allergen ") {
            judge.allergens().of(&food).any(|one| one == allergen)
        } else {
            let found = judge.objections(&Case {
                child: &child_of(9),
                day: DAY,
                context: FeedingStage::Mixed,
                portions: &[Portion::as_it_is(food, Mass::from_grams(100.0))],
                others: &[],
                seen: "",
            });
            let is_due = |one: &Objection| {
                let grave = format!("{} {}", one.severity.word(), one.hazard);
                one.hazard == due || grave == due
            };
            found.iter().any(is_due)
        };
        if said != expected {
            wrong.push(case);
        }
        tried += 1;
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(tried > 500, "{tried}");
}

/// Words that name no one food of the table are judged as the name of an own food, so that what is
/// offered instead comes with the reason.
#[test]
fn words_that_name_no_one_food_say_why_it_is_not_given() {
    let judge = Judge::builtin().unwrap();
    for (words, reason) in [
        ("20 g nori", Some("nori")),
        ("20 g smoked mackerel", Some("Smoked or pickled fish")),
        ("20 g smoked trout fillet", Some("Smoked or pickled fish")),
        ("5 g matcha", Some("caffeine")),
        ("100 ml oat milk", Some("plant drink")),
        ("100 ml oat drink", Some("plant drink")),
        ("20 g dried kidney beans", Some("the poison stays in")),
        ("20 g dry red kidney beans", Some("the poison stays in")),
        ("20 g dried white beans", Some("the poison stays in")),
        ("20 g rare steak", Some("Cook it right through")),
        ("1 soft boiled egg", Some("Cook it right through")),
        ("20 g cookie dough", Some("raw flour")),
        ("20 g cake batter", Some("raw flour")),
        ("100 ml cider", Some("No alcohol")),
        ("100 ml apple cider", Some("may be fermented")),
        ("100 ml kombucha", None),
        ("200 ml coconut milk", None),
        ("20 g flour", None),
        ("20 g rare breed beef", None),
        ("20 g cookies", None),
        ("20 g kidney beans", None),
    ] {
        let said = judge.stopped_by_words(words);
        match reason {
            Some(reason) => assert!(
                said.is_some_and(|said| said.contains(reason)),
                "{words}: {said:?}"
            ),
            None => assert_eq!(said, None, "{words}"),
        }
    }
}

/// What is typed is judged beside the food that it is taken for: by the same rules as the names of
/// foods, and by the guidance on raw food (NHS, Foods to avoid giving babies and young children)
/// and raw milk (CDC, 2020).
#[test]
fn typed_words_are_judged_beside_the_food() {
    let judge = Judge::builtin().unwrap();
    let allergy = |id: &str, typed: &str, allergy: &str| {
        let child = ChildFacts {
            allergies: vec![allergy.into()],
            ..child_of(9)
        };
        let found = objections_to(judge, &child, id, typed);
        found.iter().any(|one| one.hazard == "allergy-record")
    };
    for (id, typed, of) in [
        ("01107", "100 ml breast milk", "milk"),
        ("01107", "100 ml mother's milk", "cow's milk protein"),
        ("01107", "100 ml expressed breast milk", "dairy"),
        ("16398", "10 g peanut butter", "milk"),
        ("16139", "100 ml soya milk", "milk"),
        ("12115", "20 g coconut cream", "milk"),
        ("11250", "20 g butter lettuce", "milk"),
        ("09062", "20 g custard apple", "milk"),
        ("09062", "20 g custard apple", "egg"),
    ] {
        assert!(!allergy(id, typed, of), "{typed}: {of}");
    }
    for (id, typed, of) in [
        ("16398", "10 g peanut butter", "peanut"),
        ("16139", "100 ml soya milk", "soya"),
        ("09040", "20 g banana with satay sauce", "peanut"),
        ("09040", "20 g banana and cream", "milk"),
        ("09040", "20 g banana with mixed nuts", "peanut"),
        ("09040", "20 g banana with mixed nuts", "tree nuts"),
    ] {
        assert!(allergy(id, typed, of), "{typed}: {of}");
    }
    let hazard = |id: &str, typed: &str, hazard: &str| {
        let found = objections_to(judge, &child_of(9), id, typed);
        found.iter().any(|one| one.hazard == hazard)
    };
    assert!(hazard("15237", "20 g half-cooked salmon", "raw-animal"));
    assert!(!hazard("15237", "20 g salmon", "raw-animal"));
    assert!(hazard("01079", "20 g raw cow's milk", "raw-milk"));
    assert!(!hazard("01079", "20 g raw cow's milk, boiled", "raw-milk"));
}

/// The objections to 20 g of a food that was typed so.
fn objections_to(judge: &Judge, child: &ChildFacts, id: &str, typed: &str) -> Vec<Objection> {
    let portion = Portion {
        typed: typed.into(),
        ..Portion::as_it_is(food(id).clone(), Mass::from_grams(20.0))
    };
    judge.objections(&Case {
        child,
        day: DAY,
        context: FeedingStage::Mixed,
        portions: &[portion],
        others: &[],
        seen: "",
    })
}

/// FSANZ (Australia, New Zealand), cassava and bamboo shoots, 2004: cassava is peeled, boiled and
/// the water poured away.
#[test]
fn cassava_is_offered_boiled() {
    let offered = usual_method(food("11134")).unwrap();
    assert_eq!(offered, Method::Boil);
    // Other roots are steamed.
    assert_eq!(usual_method(food("11124")).unwrap(), Method::Steam);
}
