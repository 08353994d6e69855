//! The rules of a plan, each in a row with its reason and its source. A proposal and a check use
//! the same table.

/// A rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(
    missing_docs,
    reason = "the rows of the table say in a sentence what each is"
)]
pub enum Rule {
    DishADay,
    DishAWeek,
    DishInARow,
    MealSize,
    FamilyFood,
    NewFoods,
    FirstAllergen,
    Limits,
    OfferLater,
    Meals,
    FullMeals,
    ProteinDaily,
    FleshOrEggDaily,
    Iron,
    Groups,
    Variety,
    NewAllergen,
    NewFood,
    AllergenWeekly,
    OfferAgain,
    UseFirst,
    FewTrays,
}

/// Whether a plan that breaks the rule is wrong, or could be better.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RuleKind {
    /// No proposal breaks the rule, and a check fails on it.
    Must,
    /// A proposal comes as near as it can; the points are those of each unit.
    Aim(f64),
}

/// A row of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanRule {
    /// The rule.
    pub rule: Rule,
    /// The id in the JSON.
    pub id: &'static str,
    /// Whether the rule is kept or aimed at.
    pub kind: RuleKind,
    /// The requirement in one sentence.
    pub sentence: &'static str,
    /// The reason for the rule.
    pub reason: &'static str,
    /// Publication, or `judgement`.
    pub source: &'static str,
}

/// The most meals of a day with one dish.
pub const DISH_A_DAY: u32 = 2;
/// The most meals of a week with one dish, where there is a choice.
pub const DISH_A_WEEK: u32 = 6;
/// The least number of dishes that is a choice.
pub const A_CHOICE: usize = 3;
/// The most meals of one dish in a row.
pub const IN_A_ROW: u32 = 3;
/// The meals of a week with one dish before a further one counts as a repetition.
pub const FREE_MEALS: u32 = 2;
/// The days from a refusal to the next offer.
pub const OFFER_AFTER_DAYS: i64 = 3;
/// The cubes of the first meal with a major allergen.
pub const FIRST_ALLERGEN_CUBES: u32 = 1;
/// Grams of food from the table at the first meal with a major allergen: about a cube (judgement).
pub const FIRST_ALLERGEN_GRAMS: f64 = 30.0;
/// Days in which a known allergen is given again.
pub const ALLERGEN_DAYS: usize = 7;
/// The days after which a meal may grow by one cube (judgement).
pub const GROWS_EVERY: u32 = 3;
/// The most meals with fish in seven days (FDA and EPA, Advice about eating fish, 2021).
pub const FISH_A_WEEK: f64 = 2.0;

const JUDGEMENT: &str = "judgement";

const fn row(
    rule: Rule,
    id: &'static str,
    kind: RuleKind,
    [sentence, reason, source]: [&'static str; 3],
) -> PlanRule {
    PlanRule {
        rule,
        id,
        kind,
        sentence,
        reason,
        source,
    }
}

/// Every rule, in the order of [`Rule`]; laid out by hand, a line for the sentence, the reason and
/// the source.
#[rustfmt::skip]
pub const TABLE: [PlanRule; 22] = [
    row(Rule::DishADay, "dish-a-day", RuleKind::Must, [
        "No dish in more than two meals of a day.",
        "A day of one dish teaches one taste and misses what the others bring.",
        JUDGEMENT,
    ]),
    row(Rule::DishAWeek, "dish-a-week", RuleKind::Must, [
        "No dish in more than six meals of a week while there are three or more to choose from.",
        "A week of one dish crowds out the others, whatever its iron.",
        JUDGEMENT,
    ]),
    row(Rule::DishInARow, "dish-in-a-row", RuleKind::Must, [
        "No dish at more than three meals in a row.",
        "A taste is learned by return, not by repetition without a break.",
        JUDGEMENT,
    ]),
    row(Rule::MealSize, "meal-size", RuleKind::Must, [
        "A meal is at most a third, or one cube of the first tray, larger than what the child ate lately: the median of the last seven recorded days.",
        "The child's own appetite tells how much; the usual amounts by age stand in where there is no record.",
        "amounts by age: WHO, Infant and young child feeding: model chapter, 2009, from memory; a third and seven days: judgement",
    ]),
    row(Rule::FamilyFood, "family-food", RuleKind::Must, [
        "From twelve months purée is a part of the meal beside family food: at most 90 ml, from eighteen months 60 ml.",
        "Children of that age eat what the family eats, cut to size.",
        "family food from 12 months: PAHO and WHO, Guiding principles for complementary feeding of the breastfed child, 2003; the amounts: judgement",
    ]),
    row(Rule::NewFoods, "new-foods", RuleKind::Must, [
        "One new food at a time, with the book's days of waiting between.",
        "A reaction is then easy to place.",
        "three to five days: CDC, When, what, and how to introduce solid foods, from memory",
    ]),
    row(Rule::FirstAllergen, "first-allergen", RuleKind::Must, [
        "A major allergen comes for the first time in one cube, or in about as much from the table.",
        "A little is enough to see whether it is taken well.",
        "NHS, Food allergies in babies and young children (very small amounts), from memory; one cube: judgement",
    ]),
    row(Rule::Limits, "limit", RuleKind::Must, [
        "Liver not before 12 months and then at one meal a week, fish of low mercury at two meals a week, preformed vitamin A under its upper level each day.",
        "Liver is very rich in vitamin A, and fish holds mercury.",
        "retinol: IOM, Dietary Reference Intakes for Vitamin A and others, 2001; fish: FDA and EPA, Advice about eating fish, 2021; liver before 12 months: judgement after Finnish advice",
    ]),
    row(Rule::OfferLater, "offer-later", RuleKind::Must, [
        "A food that was refused rests for three days; one that was hardly ever eaten then comes at one meal in three days.",
        "An offer without pressure needs a pause.",
        JUDGEMENT,
    ]),
    row(Rule::Meals, "meals", RuleKind::Aim(100.0), [
        "Every meal that the age needs is filled.",
        "A gap is worth more than any other aim; an early one a little more, for later ones something can still be cooked.",
        JUDGEMENT,
    ]),
    row(Rule::FullMeals, "full-meals", RuleKind::Aim(4.0), [
        "A meal has as many cubes as are usual for this child.",
        "Smaller meals are for cubes that run out.",
        JUDGEMENT,
    ]),
    row(Rule::ProteinDaily, "protein-daily", RuleKind::Aim(30.0), [
        "Meat, fish, egg or pulses every day.",
        "They bring iron and zinc, which milk has little of.",
        "WHO, Guideline for complementary feeding of infants and young children 6-23 months of age, 2023",
    ]),
    row(Rule::FleshOrEggDaily, "flesh-or-egg-daily", RuleKind::Aim(12.0), [
        "Meat, fish or egg every day, where there is any.",
        "Animal-source foods should be eaten daily.",
        "WHO, Guideline for complementary feeding of infants and young children 6-23 months of age, 2023",
    ]),
    row(Rule::Iron, "iron", RuleKind::Aim(100.0), [
        "Iron to the average requirement counts in full, from there to the recommended allowance by half, beyond it nothing; within the interval of the most that can be had, a twentieth.",
        "Iron stores from birth run out at about six months.",
        "IOM, Dietary Reference Intakes for Vitamin A and others, 2001",
    ]),
    row(Rule::Groups, "food-groups", RuleKind::Aim(3.0), [
        "Four food groups a day beside milk.",
        "Five of eight are the least of a varied diet, and milk is one of them.",
        "WHO and UNICEF, Indicators for assessing infant and young child feeding practices, 2021",
    ]),
    row(Rule::Variety, "variety", RuleKind::Aim(5.0), [
        "Each meal of a dish beyond two a week costs as much as a twentieth of the week's iron, and more with each further one.",
        "Plans whose intervals of iron overlap are equal: a gain smaller than the figure's own uncertainty buys no monotony.",
        JUDGEMENT,
    ]),
    row(Rule::NewAllergen, "new-allergen", RuleKind::Aim(16.0), [
        "A major allergen that is new comes early in the plan.",
        "To put it off does not prevent an allergy.",
        "NIAID, Addendum guidelines for the prevention of peanut allergy, 2017; EAACI, Preventing the development of food allergy, 2020",
    ]),
    row(Rule::NewFood, "new-food", RuleKind::Aim(6.0), [
        "A new food now and then.",
        "Variety grows by one food at a time.",
        JUDGEMENT,
    ]),
    row(Rule::AllergenWeekly, "allergen-weekly", RuleKind::Aim(10.0), [
        "An allergen that is known and well taken comes again within each week.",
        "What is tolerated is kept up.",
        "NIAID, Addendum guidelines for the prevention of peanut allergy, 2017; once a week: judgement",
    ]),
    row(Rule::OfferAgain, "offer-again", RuleKind::Aim(5.0), [
        "A food that was refused is offered again.",
        "Many foods are accepted only after eight to fifteen tastings.",
        "USDA NESR, Complementary feeding and taste preferences, 2019, from memory",
    ]),
    row(Rule::UseFirst, "use-first", RuleKind::Aim(3.0), [
        "Cubes whose last day comes soon are eaten first.",
        "What is past its day is thrown away.",
        JUDGEMENT,
    ]),
    row(Rule::FewTrays, "few-trays", RuleKind::Aim(-8.0), [
        "No tray is cooked that the week can do without.",
        "Cooking takes an evening.",
        JUDGEMENT,
    ]),
];

impl Rule {
    /// The row of the rule.
    pub fn row(self) -> &'static PlanRule {
        &TABLE[self as usize]
    }

    /// Points of a unit of an aim; 0 for what must be kept.
    pub fn points(self) -> f64 {
        match self.row().kind {
            RuleKind::Must => 0.0,
            RuleKind::Aim(points) => points,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planning::usual::{FROM_EIGHTEEN_MONTHS, FROM_TWELVE_MONTHS};

    #[test]
    fn every_rule_has_its_row() {
        for (at, row) in TABLE.iter().enumerate() {
            assert_eq!(row.rule as usize, at);
            assert!(!row.source.is_empty() && row.sentence.ends_with('.'));
        }
    }

    #[test]
    fn sentences_hold_the_numbers_of_their_constants() {
        const WORDS: [&str; 7] = ["no", "one", "two", "three", "four", "five", "six"];
        let holds = |rule: Rule, number: u32, after: &str| {
            let figure = number.to_string();
            let word = WORDS.get(number as usize).unwrap_or(&"?");
            let sentence = rule.row().sentence;
            let found = [figure.as_str(), word].map(|number| format!("{number} {after}"));
            assert!(
                found.iter().any(|words| sentence.contains(words)),
                "{number} {after}: {sentence}"
            );
        };
        holds(Rule::DishADay, DISH_A_DAY, "meals of a day");
        holds(Rule::DishAWeek, DISH_A_WEEK, "meals of a week");
        holds(Rule::DishAWeek, u32::try_from(A_CHOICE).unwrap(), "or more");
        holds(Rule::DishInARow, IN_A_ROW, "meals in a row");
        holds(Rule::FirstAllergen, FIRST_ALLERGEN_CUBES, "cube");
        holds(Rule::Variety, FREE_MEALS, "a week");
        let days = u32::try_from(OFFER_AFTER_DAYS).unwrap();
        holds(Rule::OfferLater, days, "days; one that");
        holds(Rule::OfferLater, days, "days.");
        let fish: u32 = FISH_A_WEEK.to_string().parse().unwrap();
        holds(Rule::Limits, fish, "meals a week");
        for volume in [FROM_TWELVE_MONTHS, FROM_EIGHTEEN_MONTHS] {
            let sentence = Rule::FamilyFood.row().sentence;
            assert!(sentence.contains(&format!("{volume} ml")), "{volume}");
        }
    }

    #[test]
    fn a_twentieth_of_the_iron_buys_no_repetition() {
        assert!(Rule::Iron.points() / 20.0 <= Rule::Variety.points());
    }
}
