//! Small weeks worked by hand. Amounts are made up; references are those of the tables.

use approx::assert_abs_diff_eq;
use jiff::civil::date;
use proptest::prelude::*;

use super::*;
use crate::nutrition::vitamin_c::molar_ratio;
use crate::nutrition::{
    DairyForm, DietGroup, FoodTraits, Grouping, Meal, Milk, ServedFood, Serving, Source,
};
use crate::quantity::Mass;

const ENERGY: NutrientId = NutrientId::ENERGY;
const IRON: NutrientId = NutrientId::IRON;
const VITAMIN_C: NutrientId = NutrientId::VITAMIN_C;

const BEEF: &str = "23557";
const LENTILS: &str = "16069";
const EGG: &str = "01123";
const MILK: &str = "01107";
const FORMULA: &str = "03806";

fn id(food: &str) -> FoodId {
    food.parse().unwrap()
}

fn served(food: &str, grams: f64, iron: Option<f64>) -> ServedFood {
    ServedFood {
        id: id(food),
        name: format!("the food {food}"),
        edible: Some(Mass::from_grams(grams)),
        iron,
        allergens: Vec::new(),
        method: None,
        typed: String::new(),
    }
}

/// kcal, mg of iron and of vitamin C of a serving; an amount that is not known is missing from its
/// last food.
fn serving(
    source: Source,
    grams: f64,
    liquid: f64,
    foods: Vec<ServedFood>,
    amounts: [Option<f64>; 3],
) -> Serving {
    let last = foods.last().unwrap().id.clone();
    let total = |amount| Total::of(&last, amount);
    let nutrients = [ENERGY, IRON, VITAMIN_C]
        .into_iter()
        .zip(amounts.map(total));
    Serving {
        source,
        what: "a serving".into(),
        mass: Mass::from_grams(grams),
        nutrients: nutrients.collect(),
        foods,
        liquid: Some(Mass::from_grams(liquid)),
        portion: None,
    }
}

fn puree() -> Serving {
    let foods = vec![
        served(BEEF, 30.0, Some(0.9)),
        served(LENTILS, 10.0, Some(0.3)),
    ];
    serving(
        Source::Puree,
        60.0,
        15.0,
        foods,
        [Some(45.0), Some(1.2), Some(8.0)],
    )
}

fn egg() -> Serving {
    let mut egg = served(EGG, 20.0, Some(0.35));
    egg.allergens = vec!["egg".into()];
    serving(
        Source::Other,
        20.0,
        0.0,
        vec![egg],
        [Some(28.0), Some(0.35), None],
    )
}

fn breast_milk() -> Milk {
    let foods = vec![served(MILK, 600.0, Some(0.18))];
    let held = [Some(420.0), Some(0.18), Some(30.0)];
    Milk {
        serving: serving(Source::Milk, 600.0, 0.0, foods, held),
        breast: true,
        feeds: None,
        estimate: Some("The milk is an estimate".into()),
    }
}

fn meal(servings: Vec<Serving>, share: f64) -> Meal {
    Meal {
        name: "lunch".into(),
        servings,
        share,
        estimated: share < 1.0,
    }
}

fn day(day: i8, months: u16, milk: Option<Vec<Milk>>, meals: Vec<Meal>) -> Day {
    Day {
        date: date(2026, 11, day),
        age: AgeMonths(months),
        milk,
        meals,
        partial: false,
        supplements: Vec::new(),
    }
}

fn traits() -> Traits {
    let one = |food, group, added_sugar| {
        let traits = FoodTraits {
            grouping: Grouping::Group(group),
            form: DairyForm::Solid,
            formula: food == FORMULA,
            much_phytate: food == LENTILS,
            added_sugar,
        };
        (id(food), traits)
    };
    Traits::from([
        one(BEEF, DietGroup::Flesh, Some(0.0)),
        one(LENTILS, DietGroup::Pulses, Some(0.0)),
        one(EGG, DietGroup::Eggs, None),
        one(FORMULA, DietGroup::Dairy, Some(0.0)),
    ])
}

fn week_of(days: &[Day]) -> Week {
    let tables = WeekTables {
        intakes: &IntakeTable::builtin().unwrap(),
        daily_values: &DailyValues::builtin().unwrap(),
        complementary: &Complementary::builtin().unwrap(),
        traits: &traits(),
        requirements: &BTreeMap::new(),
        weights: &BTreeMap::from([(date(2026, 11, 23), Mass::from_grams(8000.0))]),
    };
    Week::of(days, &tables).unwrap()
}

/// A day of six months with all on record, one of seven months without milk, and one without
/// anything.
fn three_days() -> Week {
    week_of(&[
        day(
            23,
            6,
            Some(vec![breast_milk()]),
            vec![meal(vec![puree(), egg()], 1.0)],
        ),
        day(24, 7, None, vec![meal(vec![puree()], 0.5)]),
        day(25, 7, None, vec![]),
    ])
}

#[test]
fn parts_and_totals_of_a_day() {
    let week = three_days();
    let iron = week.days[0].parts(IRON).unwrap();
    assert_eq!(iron.milk.known, Some(0.18));
    assert_eq!(iron.puree.known, Some(1.2));
    assert_eq!(iron.other.known, Some(0.35));
    assert_abs_diff_eq!(iron.food().known.unwrap(), 1.55, epsilon = 1e-12);
    assert_abs_diff_eq!(iron.total().known.unwrap(), 1.73, epsilon = 1e-12);
    assert!(iron.complete());

    // Half a serving, and milk that is not on record: a lower bound.
    let iron = week.days[1].parts(IRON).unwrap();
    assert_eq!(iron.total().known, Some(0.6));
    assert_eq!(iron.from_milk(), None);
    assert!(!iron.complete());

    // The egg has no value for vitamin C: 30 + 8 mg is a lower bound, and it is named.
    let vitamin_c = week.days[0].parts(VITAMIN_C).unwrap();
    assert_eq!(vitamin_c.total().known, Some(38.0));
    assert_eq!(vitamin_c.total().missing, [id(EGG)]);
    assert_eq!(week.name(&id(EGG)), "the food 01123");
    // Calcium was not looked up.
    assert_eq!(
        had(&week.days[0].parts(NutrientId::CALCIUM).unwrap().total()),
        None
    );
}

#[test]
fn a_day_without_a_record_is_not_a_day_without_food() {
    let week = three_days();
    assert_eq!(week.counted().count(), 2);
    assert!(!week.days[2].recorded);
    // (1.73 + 0.6) / 2
    let iron = week.nutrient(IRON).unwrap();
    assert_abs_diff_eq!(iron.per_day.total().known.unwrap(), 1.165, epsilon = 1e-12);
    assert!(!iron.per_day.complete());
}

/// Milk is recorded once for all days to come: at seven months the meals of a day with milk alone
/// are unknown, at five months it is a day of milk alone.
#[test]
fn milk_alone_is_a_day_only_before_solids() {
    let milk = || Some(vec![breast_milk()]);
    let later = week_of(&[day(23, 7, milk(), vec![])]);
    assert_eq!(later.counted().count(), 0);
    let iron = later.days[0].parts(IRON).unwrap();
    assert_eq!(iron.from_milk(), Some(0.18));
    assert_eq!(iron.from_food(&iron.food()), None);
    assert!(!iron.complete());
    assert_eq!(later.days[0].energy, None);
    let early = week_of(&[day(23, 5, milk(), vec![])]);
    let iron = &early.nutrient(IRON).unwrap().per_day;
    assert_eq!(early.counted().count(), 1);
    assert_eq!(iron.from_food(&iron.food()), Some(0.0));
    assert!(iron.complete());
}

/// NASEM: iron AI 0.27 mg until the day of six months, RDA 11 mg and EAR 6.9 mg from then on.
#[test]
fn the_reference_changes_on_the_day_the_child_is_six_months_old() {
    let on = |date, months| day(date, months, None, vec![meal(vec![puree()], 1.0)]);
    let iron = week_of(&[on(23, 5), on(24, 6)])
        .nutrient(IRON)
        .unwrap()
        .clone();
    let reference = iron.reference.unwrap();
    assert_eq!(reference.kind, "AI and RDA");
    assert_abs_diff_eq!(reference.amount, f64::midpoint(0.27, 11.0), epsilon = 1e-12);
    let percent = 1.2 / 5.635 * 100.0;
    assert_abs_diff_eq!(reference.percent.unwrap(), percent, epsilon = 1e-9);
    assert_eq!(reference.ear, None, "none is set before six months");
    let later = three_days().nutrient(IRON).unwrap().clone();
    let reference = later.reference.unwrap();
    assert_eq!((reference.kind.as_str(), reference.amount), ("RDA", 11.0));
    assert_abs_diff_eq!(reference.ear.unwrap(), 6.9, epsilon = 1e-12);
    // A Daily Value is 11 mg until the first birthday.
    assert_abs_diff_eq!(iron.daily_value.unwrap().amount, 11.0, epsilon = 1e-12);
}

/// NASEM: fat has an AI until the first birthday (30 g) and none from then on; iron an RDA of 11
/// mg, then 7 mg.
#[test]
fn the_first_birthday_within_the_week() {
    let all = || Some(vec![breast_milk()]);
    let week = week_of(&[
        day(23, 11, all(), vec![meal(vec![puree()], 1.0)]),
        day(24, 12, all(), vec![meal(vec![puree()], 1.0)]),
    ]);
    let reference = |id| week.nutrient(id).unwrap().reference.clone();
    let iron = reference(IRON).unwrap();
    assert_eq!((iron.kind.as_str(), iron.amount), ("RDA", 9.0));
    assert_eq!(reference(NutrientId::FAT), None);
}

#[test]
fn an_upper_level_is_held_against_what_it_covers() {
    let mut much = puree();
    much.nutrients
        .insert(IRON, Total::of(&id(BEEF), Some(41.0)));
    let week = week_of(&[
        day(23, 7, Some(vec![]), vec![meal(vec![much], 1.0)]),
        day(24, 7, Some(vec![]), vec![meal(vec![puree()], 1.0)]),
    ]);
    let upper = week.nutrient(IRON).unwrap().upper.clone().unwrap();
    assert_abs_diff_eq!(upper.amount, 40.0, epsilon = 1e-12);
    assert_eq!(upper.above, [date(2026, 11, 23)]);
    assert_abs_diff_eq!(
        upper.percent.unwrap(),
        (41.0 + 1.2) / 80.0 * 100.0,
        epsilon = 1e-9
    );
    // That of magnesium is about medicines, and no total from food is held against it.
    assert_eq!(week.nutrient(NutrientId::MAGNESIUM).unwrap().upper, None);
}

/// NASEM: the upper level of zinc is 5 mg at 6 to 11 months. Formula that takes the day above it is
/// worth a note; food that does so alone, or with another milk, is worth a warning.
#[test]
fn an_upper_level_passed_only_with_formula_is_no_alarm() {
    let zinc = |mut serving: Serving, food: &str, amount: f64| {
        let total = Total::of(&id(food), Some(amount));
        serving.nutrients.insert(NutrientId::ZINC, total);
        serving
    };
    let bottle = |food: &str, amount| {
        let foods = vec![served(food, 600.0, Some(0.3))];
        let held = [Some(400.0), Some(0.3), Some(30.0)];
        let serving = serving(Source::Milk, 600.0, 0.0, foods, held);
        Some(vec![Milk {
            serving: zinc(serving, food, amount),
            breast: false,
            ..breast_milk()
        }])
    };
    let meals = |amount| vec![meal(vec![zinc(puree(), BEEF, amount)], 1.0)];
    let week = week_of(&[
        day(20, 8, bottle(FORMULA, 3.6), meals(1.4)),
        day(21, 8, bottle(FORMULA, 4.0), meals(1.4)),
        day(22, 8, bottle(FORMULA, 6.0), meals(0.1)),
        day(23, 8, bottle(FORMULA, 4.0), meals(5.1)),
        day(24, 8, bottle("01077", 4.0), meals(1.4)),
    ]);
    let upper = week.nutrient(NutrientId::ZINC).unwrap().upper.clone();
    let upper = upper.unwrap();
    let on = |days: &[i8]| -> Vec<_> { days.iter().map(|day| date(2026, 11, *day)).collect() };
    assert_eq!(upper.above, on(&[21, 22, 23, 24]));
    assert_eq!(upper.by_formula, on(&[21, 22]));
    assert_eq!(upper.alarming(), on(&[23, 24]));
}

/// The tables of reference intakes end at the fourth birthday.
#[test]
fn an_older_child_has_no_reference_and_it_is_said() {
    let of_age = |months| week_of(&[day(23, months, None, vec![meal(vec![puree()], 1.0)])]);
    for (months, too_old) in [(47, false), (48, true)] {
        let week = of_age(months);
        assert_eq!(week.why_no_reference().is_some(), too_old);
        assert_eq!(week.nutrient(IRON).unwrap().reference.is_none(), too_old);
    }
}

/// PAHO and WHO 2003: 200 kcal from complementary food at 6 to 8 months if breast-fed, 130 in
/// industrialised countries; milk is not counted.
#[test]
fn energy_beside_the_published_gap() {
    let week = three_days();
    let gap = week.days[0].energy.clone().unwrap();
    assert_eq!(gap.wanted_industrialised, Some(130.0));
    assert_eq!(
        (gap.breast_fed, gap.had.known, gap.wanted),
        (true, Some(73.0), 200.0)
    );
    assert_eq!(week.days[1].energy, None, "milk is not on record");
    assert_eq!(week.energy, Some(gap));
    let formula = Milk {
        breast: false,
        ..breast_milk()
    };
    let day = day(23, 6, Some(vec![formula]), vec![meal(vec![puree()], 1.0)]);
    let gap = EnergyGap::of(&day, &Traits::new(), &Complementary::builtin().unwrap()).unwrap();
    assert_eq!(
        (gap.breast_fed, gap.had.known, gap.wanted),
        (false, Some(465.0), 600.0)
    );
}

/// 73 kcal in 80 g, of which 15 g are liquid; WHO Regional Publications, European Series 87, table
/// 12: 0.9 kcal/g at two meals, the fewest it has.
#[test]
fn density_with_and_without_the_liquid() {
    let week = three_days();
    let density = week.days[0].density.clone().unwrap();
    assert_abs_diff_eq!(density.kcal_per_gram().unwrap(), 0.9125, epsilon = 1e-12);
    assert_abs_diff_eq!(
        density.without_liquid().unwrap(),
        73.0 / 65.0,
        epsilon = 1e-12
    );
    assert_eq!(density.meals, 1);
    assert_abs_diff_eq!(density.least.unwrap().0, 0.9, epsilon = 1e-12);
    let mut unwritten = puree();
    unwritten.liquid = None;
    let day = day(23, 8, None, vec![meal(vec![unwritten], 1.0)]);
    let week = week_of(&[day]);
    let density = week.days[0].density.clone().unwrap();
    assert_eq!(density.without_liquid(), None);
    assert_eq!(density.least, None, "milk is not on record");
    assert_eq!(
        week.days[0].parts(ENERGY).unwrap().total().known,
        Some(45.0)
    );
}

/// 25 mg of vitamin C (176.12 g/mol) beside 2.5 mg of iron (55.845 g/mol): 3.171 to 1.
#[test]
fn molecules_of_vitamin_c_for_one_of_iron() {
    assert_abs_diff_eq!(molar_ratio(25.0, 2.5).unwrap(), 3.171, epsilon = 5e-4);
    assert_eq!(molar_ratio(25.0, 0.0), None);
    let week = three_days();
    let lunch = &week.days[0].meals[0];
    let ratio = (8.0 / 176.12) / (1.55 / 55.845);
    assert_abs_diff_eq!(lunch.ratio.unwrap(), ratio, epsilon = 1e-9);
    assert!(!lunch.ratio_complete, "the egg has no value");
    assert!(week.days[1].meals[0].ratio_complete);
    let mut unknown = puree();
    unknown.nutrients.insert(IRON, Total::of(&id(BEEF), None));
    let week = week_of(&[day(23, 8, None, vec![meal(vec![unknown, egg()], 1.0)])]);
    assert_eq!(
        week.days[0].meals[0].ratio, None,
        "not all of the iron is known"
    );
}

/// Enough is 2 : 1 beside little phytate, 4 : 1 with pulses, and nothing is looked for beside meat:
/// 2 : 1 is 6.31 mg of vitamin C for 1 mg of iron.
#[test]
fn vitamin_c_looked_for_hangs_on_phytate_and_meat() {
    use VitaminCBeside::{Enough, Flesh, Less, NotKnown};
    let of = |foods: &[&str], vitamin_c: Option<f64>| {
        let served = foods.iter().map(|food| served(food, 20.0, Some(1.0)));
        let held = [Some(40.0), Some(1.0), vitamin_c];
        let serving = serving(Source::Puree, 60.0, 0.0, served.collect(), held);
        let week = week_of(&[day(23, 8, None, vec![meal(vec![serving], 1.0)])]);
        week.days[0].meals[0].vitamin_c_beside()
    };
    assert_eq!(of(&[EGG], Some(6.4)), Enough);
    assert_eq!(of(&[EGG, LENTILS], Some(6.4)), Less);
    assert_eq!(of(&[EGG, LENTILS], Some(12.7)), Enough);
    assert_eq!(of(&[EGG, LENTILS], None), NotKnown);
    assert_eq!(of(&[BEEF, LENTILS], Some(0.0)), Flesh);
}

#[test]
fn iron_for_each_kg_where_the_weight_is_known() {
    let meals = || vec![meal(vec![puree()], 1.0)];
    let week = week_of(&[day(23, 8, Some(vec![]), meals())]);
    assert_abs_diff_eq!(week.iron_per_kg.unwrap(), 1.2 / 8.0, epsilon = 1e-12);
    let unweighed = week_of(&[day(24, 8, Some(vec![]), meals())]);
    assert_eq!(unweighed.iron_per_kg, None);
}

/// WHO Regional Publications, European Series 87, table 12: at 9 to 11 months and one or two meals
/// 1.2 kcal/g beside average breast milk, 1.8 without any milk; it has none for formula, alone or
/// beside the breast.
#[test]
fn the_least_density_is_of_breast_milk_alone_or_of_no_milk() {
    let formula = || Milk {
        breast: false,
        ..breast_milk()
    };
    let least = |milk| {
        let week = week_of(&[day(23, 9, milk, vec![meal(vec![puree()], 1.0)])]);
        week.days[0].density.clone().unwrap().least.map(|one| one.0)
    };
    assert_eq!(least(Some(vec![breast_milk()])), Some(1.2));
    assert_eq!(least(Some(vec![])), Some(1.8));
    assert_eq!(least(Some(vec![formula()])), None);
    assert_eq!(least(Some(vec![breast_milk(), formula()])), None);
    assert_eq!(least(None), None);
}

#[test]
fn iron_from_meat_fish_and_poultry() {
    let week = three_days();
    let flesh = &week.days[0].flesh_iron;
    assert_eq!(flesh.flesh.known, Some(0.9));
    assert_abs_diff_eq!(flesh.percent.unwrap(), 0.9 / 1.73 * 100.0, epsilon = 1e-9);
    assert_eq!(week.days[1].flesh_iron.flesh.known, Some(0.45));
    assert_eq!(
        week.days[1].flesh_iron.percent, None,
        "milk is not on record"
    );
    // Beef without a value, and a food of which nothing is known, may both have had some.
    let beef = served(BEEF, 30.0, None);
    let stranger = served("99999", 10.0, Some(2.0));
    let served = serving(
        Source::Puree,
        60.0,
        0.0,
        vec![beef, stranger],
        [Some(1.0); 3],
    );
    let week = week_of(&[day(23, 8, Some(vec![]), vec![meal(vec![served], 1.0)])]);
    let flesh = &week.days[0].flesh_iron.flesh;
    assert_eq!(flesh.known, None);
    assert_eq!(flesh.missing, [id(BEEF), id("99999")]);
}

#[test]
fn added_sugar_without_a_value_is_not_zero() {
    let week = three_days();
    assert_eq!(week.days[0].added_sugar.known, Some(0.0));
    assert_eq!(week.days[0].added_sugar.missing, [id(EGG)]);
    assert!(week.days[1].added_sugar.complete());
    assert_eq!(week.added_sugar.missing, [id(EGG)]);
}

#[test]
fn what_was_refused_was_not_had() {
    let week = week_of(&[day(23, 8, Some(vec![]), vec![meal(vec![egg()], 0.0)])]);
    let vitamin_c = week.days[0].parts(VITAMIN_C).unwrap();
    assert_eq!(had(&vitamin_c.total()), Some(0.0));
    assert!(vitamin_c.complete());
    assert!(week.allergens.is_empty());
    assert_eq!(week.days[0].density, None);
}

#[test]
fn allergens_and_estimates_are_gathered() {
    let week = three_days();
    let egg = BTreeSet::from([date(2026, 11, 23)]);
    assert_eq!(week.allergens, BTreeMap::from([("egg".into(), egg)]));
    assert_eq!(week.estimates.len(), 2, "{:?}", week.estimates);
}

#[test]
fn an_allergen_that_is_drunk_counts_as_one_that_is_eaten() {
    let mut cows_milk = Milk {
        breast: false,
        ..breast_milk()
    };
    cows_milk.serving.foods = vec![ServedFood {
        allergens: vec!["milk".into()],
        ..egg().foods[0].clone()
    }];
    let week = week_of(&[day(23, 14, Some(vec![cows_milk]), Vec::new())]);
    let milk = BTreeSet::from([date(2026, 11, 23)]);
    assert_eq!(week.allergens, BTreeMap::from([("milk".into(), milk)]));
}

fn some_serving() -> impl Strategy<Value = Serving> {
    let amount = || prop::option::weighted(0.9, 0.0..100.0f64);
    let source = prop::sample::select(&[Source::Puree, Source::Other][..]);
    let amounts = [amount(), amount(), amount()];
    (source, 1.0..200.0f64, amounts).prop_map(|(source, grams, amounts)| {
        let foods = vec![served(BEEF, grams, amounts[1])];
        serving(source, grams, 0.0, foods, amounts)
    })
}

fn some_days() -> impl Strategy<Value = Vec<Day>> {
    let share = prop_oneof![Just(0.0), Just(0.5), Just(1.0)];
    let one_meal = (prop::collection::vec(some_serving(), 1..4), share);
    let meals = prop::collection::vec(one_meal, 0..4);
    let milk = prop::option::of(0usize..3);
    prop::collection::vec((meals, milk), 1..8).prop_map(|days| {
        let dated = (1..).zip(days);
        let days = dated.map(|(date, (meals, milks))| {
            let meals = meals
                .into_iter()
                .map(|(servings, share)| meal(servings, share));
            let milk = milks.map(|count| vec![breast_milk(); count]);
            day(date, 7, milk, meals.collect())
        });
        days.collect()
    })
}

proptest! {
    #[test]
    fn a_week_is_the_sum_of_its_parts(days in some_days()) {
        let week = week_of(&days);
        let counted: Vec<_> = days.iter().filter(|day| !day.meals.is_empty()).collect();
        let count = counted.len();
        for nutrient in [ENERGY, IRON, VITAMIN_C] {
            let mut sum = 0.0;
            let mut lacking = false;
            for day in &counted {
                for meal in day.meals.iter().filter(|meal| meal.share > 0.0) {
                    for serving in &meal.servings {
                        let total = &serving.nutrients[&nutrient];
                        sum += total.known.unwrap_or(0.0) * meal.share;
                        lacking |= total.known.is_none();
                    }
                }
                let milk = day.milk.iter().flatten();
                sum += milk.map(|milk| milk.serving.nutrients[&nutrient].known.unwrap()).sum::<f64>();
                lacking |= day.milk.is_none();
            }
            let per_day = &week.nutrient(nutrient).unwrap().per_day;
            let found = per_day.total().known.unwrap_or(0.0) * count as f64;
            prop_assert!((found - sum).abs() < 1e-9, "{} {}", found, sum);
            prop_assert_eq!(per_day.complete(), !lacking);
            let parts = [&per_day.milk, &per_day.puree, &per_day.other];
            let parts = parts.iter().filter_map(|part| part.known).sum::<f64>();
            prop_assert!((parts - sum / count.max(1) as f64).abs() < 1e-9);
        }
    }
}
