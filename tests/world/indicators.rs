//! The feeding indicators of a day.
//!
//! Source: WHO and UNICEF, Indicators for assessing infant and young child feeding practices:
//! definitions and measurement methods (2021). Minimum dietary diversity: foods of five or more of
//! the eight groups on the day before. Minimum meal frequency: meals twice at 6 to 8 months and three
//! times at 9 to 23 if breast-fed; if not, meals or milk feeds four times, one of them at least a
//! meal. Minimum milk feeding frequency if not breast-fed: two milk feeds, yogurt counted. Minimum
//! acceptable diet: diversity and frequency, and if not breast-fed the milk feeds too. All at 6 to 23
//! months. What is a trivial amount the publication leaves open: under 1 g of a food and 5 g of a
//! meal are judgement.

use std::sync::LazyLock;

use trayful::nutrition::indicators::breast_fed;
use trayful::nutrition::{
    AgeMonths, Complementary, Day, IndicatorResult, Indicators, Meal, Milk, Serving, Source,
    TraitTable, Traits,
};
use trayful::quantity::Mass;

use crate::support::{food, foods};

const OATS: &str = "20038";
const LENTILS: &str = "16069";
const CARROTS: &str = "11124";
const PEARS: &str = "09252";
const BEEF: &str = "23557";
const EGG: &str = "01123";
const OIL: &str = "04053";
const YOGURT: &str = "01116";
const JUICE: &str = "09016";
const SOUP: &str = "06440";
const FORMULA: &str = "03850";
const HUMAN: &str = "01107";

static TRAITS: LazyLock<Traits> = LazyLock::new(|| TraitTable::builtin().unwrap().of_all(foods()));

fn serving(source: Source, id: &str, grams: f64) -> Serving {
    Serving::of_food(source, food(id), Mass::from_grams(grams), Vec::new()).unwrap()
}

fn meal(foods: &[&str]) -> Meal {
    weighed_meal(&foods.iter().map(|id| (*id, 20.0)).collect::<Vec<_>>())
}

fn weighed_meal(foods: &[(&str, f64)]) -> Meal {
    let servings = foods
        .iter()
        .map(|(id, grams)| serving(Source::Other, id, *grams));
    Meal {
        name: String::new(),
        servings: servings.collect(),
        share: 1.0,
        estimated: false,
    }
}

fn milk(id: &str, breast: bool, feeds: Option<u32>) -> Milk {
    Milk {
        serving: serving(Source::Milk, id, 150.0),
        breast,
        feeds,
        estimate: None,
    }
}

fn breast_milk() -> Vec<Milk> {
    vec![milk(HUMAN, true, Some(4))]
}

fn formula(feeds: u32) -> Vec<Milk> {
    vec![milk(FORMULA, false, Some(feeds))]
}

fn day(months: u16, milk: Option<Vec<Milk>>, meals: Vec<Meal>) -> Day {
    Day {
        date: jiff::civil::date(2026, 11, 23),
        age: AgeMonths(months),
        milk,
        meals,
        partial: false,
        supplements: Vec::new(),
    }
}

fn indicators(day: &Day) -> Indicators {
    Indicators::of(day, &TRAITS, &Complementary::builtin().unwrap())
}

fn words(day: &Day) -> [&'static str; 4] {
    let found = indicators(day);
    [
        found.diversity.word(),
        found.frequency.word(),
        found.milk_feeds.word(),
        found.acceptable.word(),
    ]
}

fn diversity(day: &Day) -> &'static str {
    indicators(day).diversity.word()
}

fn frequency(day: &Day) -> &'static str {
    indicators(day).frequency.word()
}

#[test]
fn five_of_eight_groups_breast_milk_among_them() {
    let four = &[OATS, LENTILS, CARROTS, PEARS];
    assert_eq!(
        diversity(&day(8, Some(breast_milk()), vec![meal(four)])),
        "met"
    );
    assert_eq!(
        diversity(&day(8, Some(breast_milk()), vec![meal(&four[..3])])),
        "not met"
    );
    assert_eq!(
        diversity(&day(8, Some(formula(4)), vec![meal(four)])),
        "met"
    );
    assert_eq!(
        diversity(&day(8, Some(vec![]), vec![meal(four)])),
        "not met"
    );
    // Two foods of a group are one group, and fat and juice are none.
    let same = &[OATS, LENTILS, CARROTS, OIL, JUICE, "11507"];
    assert_eq!(
        diversity(&day(8, Some(breast_milk()), vec![meal(same)])),
        "not met"
    );
    let day = day(
        8,
        Some(breast_milk()),
        vec![meal(&[OATS]), meal(&[BEEF, EGG, PEARS])],
    );
    let groups = indicators(&day).groups;
    let groups: Vec<_> = groups.iter().map(|group| group.word()).collect();
    assert_eq!(groups, ["breast-milk", "grains", "flesh", "eggs", "other"]);
}

#[test]
fn what_was_refused_does_not_count() {
    let mut refused = meal(&[EGG]);
    refused.share = 0.0;
    let meals = vec![meal(&[OATS, LENTILS, CARROTS]), refused];
    let day = day(8, Some(breast_milk()), meals);
    assert_eq!(
        words(&day),
        ["not met", "not met", "does not apply", "not met"]
    );
}

#[test]
fn meals_by_age_of_a_breast_fed_child() {
    for (months, least) in [(6, 2), (8, 2), (9, 3), (11, 3), (12, 3), (23, 3)] {
        for (meals, word) in [(least - 1, "not met"), (least, "met")] {
            let day = day(months, Some(breast_milk()), vec![meal(&[OATS]); meals]);
            assert_eq!(frequency(&day), word, "{meals} meals at {months} months");
        }
    }
}

#[test]
fn milk_feeds_count_where_a_child_is_not_breast_fed() {
    for months in [6, 8, 9, 11, 12, 23] {
        for (feeds, meals, word) in [
            (4, 0, "not known"), // no meal on record is not to say that there was none
            (3, 1, "met"),
            (2, 1, "not met"),
            (1, 3, "met"),
            (0, 4, "met"),
            (0, 3, "not met"),
        ] {
            let milk = if feeds == 0 {
                Some(vec![])
            } else {
                Some(formula(feeds))
            };
            let day = day(months, milk, vec![meal(&[OATS]); meals]);
            assert_eq!(
                frequency(&day),
                word,
                "{feeds} + {meals} at {months} months"
            );
        }
    }
    // A juice is not a meal: four milk feeds without one are not enough.
    let drinks = day(9, Some(formula(4)), vec![meal(&[JUICE])]);
    assert_eq!(frequency(&drinks), "not met");
    // Breast milk is not a milk feed of the four.
    let both = Some(vec![
        milk(HUMAN, true, Some(4)),
        milk(FORMULA, false, Some(4)),
    ]);
    assert_eq!(frequency(&day(9, both, vec![meal(&[OATS]); 2])), "not met");
}

#[test]
fn two_milk_feeds_and_yogurt_is_one() {
    let milk_feeds =
        |milk, foods: &[&str]| indicators(&day(10, milk, vec![meal(foods)])).milk_feeds;
    assert_eq!(milk_feeds(Some(formula(2)), &[OATS]), IndicatorResult::Met);
    assert_eq!(
        milk_feeds(Some(formula(1)), &[OATS]),
        IndicatorResult::NotMet
    );
    assert_eq!(
        milk_feeds(Some(formula(1)), &[YOGURT]),
        IndicatorResult::Met
    );
    assert_eq!(milk_feeds(Some(vec![]), &[YOGURT]), IndicatorResult::NotMet);
    let uncounted = Some(vec![milk(FORMULA, false, None)]);
    assert_eq!(
        milk_feeds(uncounted, &[OATS]).why(),
        ["milk feeds were not counted"]
    );
    assert_eq!(
        milk_feeds(Some(breast_milk()), &[OATS]).word(),
        "does not apply"
    );
    // A drink of soya in the place of milk is not a milk feed.
    let soya = Some(vec![milk("16120", false, Some(4))]);
    assert_eq!(milk_feeds(soya, &[OATS]), IndicatorResult::NotMet);
}

#[test]
fn an_acceptable_diet_takes_all_that_apply() {
    let varied = || meal(&[OATS, LENTILS, CARROTS, PEARS]);
    let breast_fed = day(7, Some(breast_milk()), vec![varied(), varied()]);
    assert_eq!(words(&breast_fed), ["met", "met", "does not apply", "met"]);
    let older = day(9, Some(breast_milk()), vec![varied(), varied()]);
    assert_eq!(
        words(&older),
        ["met", "not met", "does not apply", "not met"]
    );
    let formula_fed = day(9, Some(formula(2)), vec![varied(), varied()]);
    assert_eq!(words(&formula_fed), ["met", "met", "met", "met"]);
    let little_milk = day(9, Some(formula(1)), vec![varied(); 3]);
    assert_eq!(words(&little_milk), ["met", "met", "not met", "not met"]);
}

#[test]
fn only_from_six_to_twenty_three_months() {
    for (months, applies) in [(5, false), (6, true), (23, true), (24, false)] {
        let words = words(&day(months, Some(breast_milk()), vec![meal(&[OATS]); 4]));
        assert_eq!(words[0] != "does not apply", applies, "{months} months");
        assert_eq!(words[3] != "does not apply", applies, "{months} months");
    }
}

#[test]
fn what_is_not_on_record_is_not_known() {
    let four = || meal(&[OATS, LENTILS, CARROTS, PEARS]);
    // Without milk on record four groups may be five, and five are five.
    let unknown = day(8, None, vec![four(), four()]);
    assert_eq!(
        words(&unknown),
        ["not known", "not known", "not known", "not known"]
    );
    assert_eq!(
        indicators(&unknown).diversity.why(),
        ["milk is not on record"]
    );
    let five = day(8, None, vec![four(), meal(&[EGG])]);
    assert_eq!(diversity(&five), "met");
    // With two groups even both kinds of milk would make four.
    assert_eq!(
        diversity(&day(8, None, vec![meal(&[OATS, EGG])])),
        "not met"
    );
    // Four meals are enough whatever the milk.
    assert_eq!(frequency(&day(8, None, vec![four(); 4])), "met");
    // A soup may hold anything.
    let soup = day(8, Some(breast_milk()), vec![meal(&[OATS, SOUP])]);
    assert_eq!(diversity(&soup), "not known");
    assert_eq!(
        indicators(&soup).diversity.why(),
        [
            "the food groups of Soup, minestrone, canned, prepared with equal volume water are not known"
        ]
    );
    // Nothing at all.
    let nothing = day(8, None, vec![]);
    assert_eq!(words(&nothing)[0], "not known");
    assert_eq!(breast_fed(&nothing), None);
}

#[test]
fn trivial_amounts_are_in_doubt() {
    let with_egg = |grams| {
        let foods = [(OATS, 20.0), (CARROTS, 20.0), (PEARS, 20.0), (EGG, grams)];
        diversity(&day(8, Some(breast_milk()), vec![weighed_meal(&foods)]))
    };
    assert_eq!(with_egg(0.9), "not known");
    assert_eq!(with_egg(1.0), "met");
    let second = |grams| {
        let meals = vec![meal(&[OATS]), weighed_meal(&[(PEARS, grams)])];
        frequency(&day(8, Some(breast_milk()), meals))
    };
    assert_eq!(second(4.9), "not known");
    assert_eq!(second(5.0), "met");
}
