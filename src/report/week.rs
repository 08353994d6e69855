//! The week as a report: every figure of its page and the parts they are made of, with the keys of
//! the JSON.

use std::collections::BTreeMap;

use data_import::{Error, FoodId, NutrientId, all_nutrients};
use jiff::civil::Date;
use serde::Serialize;

use crate::notebook::TasteRecord;
use crate::nutrition::indicators::{INDICATORS_SOURCE, Indicators};
use crate::nutrition::week::{
    DayDensity, DayFigures, EnergyGap, FleshIron, MealIron, NutrientWeek, Parts, RATIO_SOURCE,
    UpperWeek, WANTED_RATIO, Yardstick, had,
};
use crate::nutrition::{Day, DietGroup, Finding, Meal, Milk, ServedFood, Serving, Total, Week};
use crate::quantity::Mass;

/// What a week is reported from.
#[derive(Debug)]
pub struct WeekView<'a> {
    /// The child.
    pub child: &'a str,
    /// The days, in order.
    pub days: &'a [Day],
    /// Their figures.
    pub week: &'a Week,
    /// Whether they are planned; else they are on record.
    pub planned: bool,
    /// What the child has tasted up to the last day; `None` for a plan.
    pub tastes: Option<&'a TasteRecord>,
    /// The major allergens, in the order they are shown.
    pub allergens: &'a [&'a str],
}

/// The whole report. Units are in the key names; nutrients are keyed by their tagname and carry the
/// unit under `units`. `null` is what is not known.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct WeekReport {
    pub schema: u32,
    pub child: String,
    pub from: Option<Date>,
    pub to: Option<Date>,
    pub planned: bool,
    pub record: RecordReport,
    pub days: Vec<DayReport>,
    pub week: BTreeMap<&'static str, NutrientWeekReport>,
    pub units: BTreeMap<&'static str, &'static str>,
    pub complementary: Option<GapReport>,
    pub iron: IronReport,
    pub added_sugar_g: AmountReport,
    pub tastes: TastesReport,
    pub estimates: Vec<String>,
    pub foods: BTreeMap<FoodId, String>,
    pub indicators_source: &'static str,
}

/// How complete the record is.
#[derive(Debug, Clone, Serialize)]
pub struct RecordReport {
    pub days: usize,
    /// The averages count these.
    pub counted: usize,
    pub without_record: Vec<Date>,
    /// Milk is on record, and no meal: not counted.
    pub without_meals: Vec<Date>,
    /// Counted, and a lower bound.
    pub without_milk: Vec<Date>,
}

/// An amount of which a part may be missing.
#[derive(Debug, Clone, Serialize)]
pub struct AmountReport {
    pub amount: Option<f64>,
    pub complete: bool,
    pub missing: Vec<FoodId>,
}

impl From<&Total> for AmountReport {
    fn from(total: &Total) -> Self {
        Self {
            amount: had(total),
            complete: total.complete(),
            missing: total.missing.clone(),
        }
    }
}

/// One nutrient of one day.
#[derive(Debug, Clone, Serialize)]
pub struct PartsReport {
    pub milk: Option<f64>,
    pub puree: Option<f64>,
    pub other: Option<f64>,
    pub food: Option<f64>,
    pub total: Option<f64>,
    pub complete: bool,
    pub missing: Vec<FoodId>,
}

impl From<&Parts> for PartsReport {
    fn from(parts: &Parts) -> Self {
        let total = parts.total();
        Self {
            milk: parts.from_milk(),
            puree: parts.from_food(&parts.puree),
            other: parts.from_food(&parts.other),
            food: parts.from_food(&parts.food()),
            total: parts.amount(),
            complete: parts.complete(),
            missing: total.missing,
        }
    }
}

/// One nutrient of an average day.
#[derive(Debug, Clone, Serialize)]
pub struct NutrientWeekReport {
    pub per_day: Option<f64>,
    pub complete: bool,
    pub missing: Vec<FoodId>,
    pub parts: PartsReport,
    pub reference: Option<YardstickReport>,
    pub upper: Option<UpperWeekReport>,
    pub daily_value: Option<YardstickReport>,
}

/// What an average day is held against.
#[derive(Debug, Clone, Serialize)]
pub struct YardstickReport {
    pub kind: String,
    pub amount: f64,
    pub percent: Option<f64>,
    pub counts: String,
    pub source: String,
}

impl From<&Yardstick> for YardstickReport {
    fn from(one: &Yardstick) -> Self {
        Self {
            kind: one.kind.clone(),
            amount: one.amount,
            percent: one.percent,
            counts: one.counts.clone(),
            source: one.source.clone(),
        }
    }
}

/// An upper level, and the days above it.
#[derive(Debug, Clone, Serialize)]
pub struct UpperWeekReport {
    pub amount: f64,
    pub percent: Option<f64>,
    pub days_above: Vec<Date>,
    pub counts: String,
    pub source: String,
}

impl From<&UpperWeek> for UpperWeekReport {
    fn from(upper: &UpperWeek) -> Self {
        Self {
            amount: upper.amount,
            percent: upper.percent,
            days_above: upper.above.clone(),
            counts: upper.counts.clone(),
            source: upper.source.clone(),
        }
    }
}

impl NutrientWeekReport {
    fn new(one: &NutrientWeek) -> Self {
        let total = one.per_day.total();
        Self {
            per_day: one.per_day.amount(),
            complete: one.per_day.complete(),
            missing: total.missing,
            parts: PartsReport::from(&one.per_day),
            reference: one.reference.as_ref().map(YardstickReport::from),
            upper: one.upper.as_ref().map(UpperWeekReport::from),
            daily_value: one.daily_value.as_ref().map(YardstickReport::from),
        }
    }
}

/// One day: its figures, and the servings they are made of.
#[derive(Debug, Clone, Serialize)]
pub struct DayReport {
    pub date: Date,
    pub age_months: u16,
    pub recorded: bool,
    pub breast_fed: Option<bool>,
    pub nutrients: BTreeMap<&'static str, PartsReport>,
    pub complementary: Option<GapReport>,
    pub density: Option<DensityReport>,
    pub flesh_iron: Option<FleshIronReport>,
    pub added_sugar_g: Option<AmountReport>,
    pub indicators: IndicatorsReport,
    pub milk: Option<Vec<MilkReport>>,
    pub meals: Vec<MealReport>,
}

/// Energy beside what complementary food is to bring.
#[derive(Debug, Clone, Serialize)]
pub struct GapReport {
    pub breast_fed: bool,
    pub kcal: Option<f64>,
    pub complete: bool,
    pub wanted_kcal: f64,
    pub percent: Option<f64>,
    pub source: String,
}

impl From<&EnergyGap> for GapReport {
    fn from(gap: &EnergyGap) -> Self {
        let kcal = had(&gap.had);
        Self {
            breast_fed: gap.breast_fed,
            kcal,
            complete: gap.had.complete(),
            wanted_kcal: gap.wanted,
            percent: kcal.map(|kcal| kcal / gap.wanted * 100.0),
            source: gap.source.clone(),
        }
    }
}

/// The energy density of a day's complementary food.
#[derive(Debug, Clone, Serialize)]
pub struct DensityReport {
    pub kcal_per_g: Option<f64>,
    pub complete: bool,
    pub without_liquid_kcal_per_g: Option<f64>,
    pub mass_g: f64,
    pub liquid_g: Option<f64>,
    pub meals: u32,
    pub least_kcal_per_g: Option<f64>,
    pub source: Option<String>,
}

impl From<&DayDensity> for DensityReport {
    fn from(density: &DayDensity) -> Self {
        Self {
            kcal_per_g: density.kcal_per_gram(),
            complete: density.energy.complete(),
            without_liquid_kcal_per_g: density.without_liquid(),
            mass_g: density.mass.grams(),
            liquid_g: density.liquid.map(Mass::grams),
            meals: density.meals,
            least_kcal_per_g: density.least.as_ref().map(|(least, _)| *least),
            source: density.least.as_ref().map(|(_, source)| source.clone()),
        }
    }
}

/// Iron from meat, fish and poultry.
#[derive(Debug, Clone, Serialize)]
pub struct FleshIronReport {
    pub mg: Option<f64>,
    pub complete: bool,
    pub missing: Vec<FoodId>,
    pub percent: Option<f64>,
}

impl From<&FleshIron> for FleshIronReport {
    fn from(iron: &FleshIron) -> Self {
        Self {
            mg: had(&iron.flesh),
            complete: iron.flesh.complete(),
            missing: iron.flesh.missing.clone(),
            percent: iron.percent,
        }
    }
}

/// What of the iron is said beside its amount.
#[derive(Debug, Clone, Serialize)]
pub struct IronReport {
    pub flesh: FleshIronReport,
    pub wanted_ratio: f64,
    pub ratio_source: &'static str,
}

/// The feeding indicators of a day.
#[derive(Debug, Clone, Serialize)]
pub struct IndicatorsReport {
    pub groups: Vec<&'static str>,
    pub doubtful_groups: Vec<&'static str>,
    pub meals: u32,
    pub diversity: FindingReport,
    pub meal_frequency: FindingReport,
    pub milk_feeds: FindingReport,
    pub acceptable_diet: FindingReport,
}

/// `met`, `not met`, `not known` or `does not apply`, and why.
#[derive(Debug, Clone, Serialize)]
pub struct FindingReport {
    pub finding: &'static str,
    pub why: Vec<String>,
}

impl From<&Finding> for FindingReport {
    fn from(finding: &Finding) -> Self {
        Self {
            finding: finding.word(),
            why: finding.why().into_iter().map(String::from).collect(),
        }
    }
}

impl From<&Indicators> for IndicatorsReport {
    fn from(one: &Indicators) -> Self {
        Self {
            groups: one.groups.iter().copied().map(DietGroup::word).collect(),
            doubtful_groups: one.doubtful.iter().copied().map(DietGroup::word).collect(),
            meals: one.meals,
            diversity: FindingReport::from(&one.diversity),
            meal_frequency: FindingReport::from(&one.frequency),
            milk_feeds: FindingReport::from(&one.milk_feeds),
            acceptable_diet: FindingReport::from(&one.acceptable),
        }
    }
}

/// A milk of a day.
#[derive(Debug, Clone, Serialize)]
pub struct MilkReport {
    pub breast: bool,
    pub feeds: Option<u32>,
    pub estimate: Option<String>,
    pub serving: ServingReport,
}

/// A meal of a day.
#[derive(Debug, Clone, Serialize)]
pub struct MealReport {
    pub name: String,
    /// The share that was eaten; the servings are what was on the spoon.
    pub share: f64,
    pub share_estimated: bool,
    pub iron_mg: AmountReport,
    pub vitamin_c_mg: AmountReport,
    pub vitamin_c_to_iron: Option<f64>,
    pub vitamin_c_to_iron_complete: bool,
    pub servings: Vec<ServingReport>,
}

/// One thing on the spoon, or in the cup.
#[derive(Debug, Clone, Serialize)]
pub struct ServingReport {
    pub source: &'static str,
    pub what: String,
    pub mass_g: f64,
    pub liquid_g: Option<f64>,
    pub foods: Vec<ServedFoodReport>,
    pub nutrients: BTreeMap<&'static str, ServedAmount>,
}

/// An amount in a serving.
#[derive(Debug, Clone, Serialize)]
pub struct ServedAmount {
    pub amount: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<FoodId>,
}

/// A food in a serving.
#[derive(Debug, Clone, Serialize)]
pub struct ServedFoodReport {
    pub id: FoodId,
    pub edible_g: Option<f64>,
    pub iron_mg: Option<f64>,
}

impl From<&ServedFood> for ServedFoodReport {
    fn from(food: &ServedFood) -> Self {
        Self {
            id: food.id.clone(),
            edible_g: food.edible.map(Mass::grams),
            iron_mg: food.iron,
        }
    }
}

/// First tastes, allergens, refusals and reactions.
#[derive(Debug, Clone, Default, Serialize)]
pub struct TastesReport {
    pub first: Vec<FirstTaste>,
    pub allergens: Vec<AllergenReport>,
    pub refused: Vec<Refusal>,
    pub reactions: Vec<Reaction>,
}

/// A food that was tasted for the first time.
#[derive(Debug, Clone, Serialize)]
pub struct FirstTaste {
    pub date: Date,
    pub food: String,
    pub name: String,
}

/// One of the major allergens.
#[derive(Debug, Clone, Serialize)]
pub struct AllergenReport {
    pub allergen: String,
    /// The days of these on which it was eaten.
    pub days: Vec<Date>,
    /// The first day on record at all.
    pub first: Option<Date>,
}

/// A meal that was refused.
#[derive(Debug, Clone, Serialize)]
pub struct Refusal {
    pub date: Date,
    pub meal: String,
    pub what: Vec<String>,
}

/// What was seen after a meal, and the foods that were in it.
#[derive(Debug, Clone, Serialize)]
pub struct Reaction {
    pub date: Date,
    pub words: String,
    pub foods: Vec<String>,
}

/// Tagname and unit by nutrient.
type Tags = BTreeMap<NutrientId, (&'static str, &'static str)>;

impl WeekReport {
    /// Draws up the report.
    ///
    /// Errors: the table of nutrients cannot be read.
    pub fn new(view: &WeekView<'_>) -> Result<Self, Error> {
        let week = view.week;
        let tags: Tags = all_nutrients()?
            .iter()
            .map(|one| (one.id, (one.tag.as_str(), one.unit.as_str())))
            .collect();
        let days = view.days.iter().zip(&week.days);
        Ok(Self {
            schema: 1,
            child: view.child.to_string(),
            from: view.days.first().map(|day| day.date),
            to: view.days.last().map(|day| day.date),
            planned: view.planned,
            record: RecordReport::new(view),
            days: days
                .map(|(day, figures)| DayReport::new(day, figures, &tags))
                .collect(),
            week: week
                .nutrients
                .iter()
                .map(|one| (one.nutrient.tag.as_str(), NutrientWeekReport::new(one)))
                .collect(),
            units: week
                .nutrients
                .iter()
                .map(|one| (one.nutrient.tag.as_str(), one.nutrient.unit.as_str()))
                .collect(),
            complementary: week.energy.as_ref().map(GapReport::from),
            iron: IronReport {
                flesh: FleshIronReport::from(&week.flesh_iron),
                wanted_ratio: WANTED_RATIO,
                ratio_source: RATIO_SOURCE,
            },
            added_sugar_g: AmountReport::from(&week.added_sugar),
            tastes: TastesReport::new(view),
            estimates: week.estimates.clone(),
            foods: week.names.clone(),
            indicators_source: INDICATORS_SOURCE,
        })
    }
}

impl RecordReport {
    fn new(view: &WeekView<'_>) -> Self {
        let days = view.days.iter().zip(&view.week.days);
        let dates = |which: &dyn Fn(&Day, bool) -> bool| {
            let days = days.clone().filter(|(day, one)| which(day, one.recorded));
            days.map(|(day, _)| day.date).collect::<Vec<_>>()
        };
        Self {
            days: view.days.len(),
            counted: view.week.counted().count(),
            without_record: dates(&|day, counted| !counted && day.milk.is_none()),
            without_meals: dates(&|day, counted| !counted && day.milk.is_some()),
            without_milk: dates(&|day, counted| counted && day.milk.is_none()),
        }
    }
}

impl DayReport {
    fn new(day: &Day, figures: &DayFigures, tags: &Tags) -> Self {
        let amounts = figures.nutrients.iter().filter_map(|(id, parts)| {
            let (tag, _) = tags.get(id)?;
            Some((*tag, PartsReport::from(parts)))
        });
        let meals = day.meals.iter().zip(&figures.meals);
        let told = figures.recorded;
        Self {
            date: day.date,
            age_months: day.age.0,
            recorded: figures.recorded,
            breast_fed: figures.breast_fed,
            nutrients: amounts.collect(),
            complementary: figures.energy.as_ref().map(GapReport::from),
            density: figures.density.as_ref().map(DensityReport::from),
            flesh_iron: told.then(|| FleshIronReport::from(&figures.flesh_iron)),
            added_sugar_g: told.then(|| AmountReport::from(&figures.added_sugar)),
            indicators: IndicatorsReport::from(&figures.indicators),
            milk: day.milk.as_ref().map(|milk| {
                let milk = milk.iter();
                milk.map(|one| MilkReport::new(one, tags)).collect()
            }),
            meals: meals
                .map(|(meal, iron)| MealReport::new(meal, iron, tags))
                .collect(),
        }
    }
}

impl MilkReport {
    fn new(milk: &Milk, tags: &Tags) -> Self {
        Self {
            breast: milk.breast,
            feeds: milk.feeds,
            estimate: milk.estimate.clone(),
            serving: ServingReport::new(&milk.serving, tags),
        }
    }
}

impl MealReport {
    fn new(meal: &Meal, iron: &MealIron, tags: &Tags) -> Self {
        let servings = meal.servings.iter();
        Self {
            name: meal.name.clone(),
            share: meal.share,
            share_estimated: meal.estimated,
            iron_mg: AmountReport::from(&iron.iron),
            vitamin_c_mg: AmountReport::from(&iron.vitamin_c),
            vitamin_c_to_iron: iron.ratio,
            vitamin_c_to_iron_complete: iron.ratio_complete,
            servings: servings.map(|one| ServingReport::new(one, tags)).collect(),
        }
    }
}

impl ServingReport {
    fn new(serving: &Serving, tags: &Tags) -> Self {
        let amounts = serving.nutrients.iter().filter_map(|(id, total)| {
            let (tag, _) = tags.get(id)?;
            let amount = ServedAmount {
                amount: total.known,
                missing: total.missing.clone(),
            };
            Some((*tag, amount))
        });
        Self {
            source: serving.source.word(),
            what: serving.what.clone(),
            mass_g: serving.mass.grams(),
            liquid_g: serving.liquid.map(Mass::grams),
            foods: serving.foods.iter().map(ServedFoodReport::from).collect(),
            nutrients: amounts.collect(),
        }
    }
}

impl TastesReport {
    fn new(view: &WeekView<'_>) -> Self {
        let (Some(first), Some(last)) = (view.days.first(), view.days.last()) else {
            return Self::default();
        };
        let within = |date: Date| (first.date..=last.date).contains(&date);
        let known = view.tastes.map_or(&[][..], |record| &record.foods);
        let first = known.iter().filter(|taste| within(taste.first));
        let first = first.map(|taste| FirstTaste {
            date: taste.first,
            food: taste.food.clone(),
            name: taste.name.clone(),
        });
        let mut reactions: Vec<Reaction> = Vec::new();
        for taste in known {
            for (date, words) in taste.reactions.iter().filter(|(date, _)| within(*date)) {
                add_reaction(&mut reactions, *date, words, &taste.name);
            }
        }
        reactions.sort_by_key(|reaction| reaction.date);
        Self {
            first: first.collect(),
            allergens: allergens(view, last.date),
            refused: view.days.iter().flat_map(refusals).collect(),
            reactions,
        }
    }
}

fn add_reaction(reactions: &mut Vec<Reaction>, date: Date, words: &str, food: &str) {
    let same = |one: &&mut Reaction| one.date == date && one.words == words;
    match reactions.iter_mut().find(same) {
        Some(reaction) => reaction.foods.push(food.to_string()),
        None => reactions.push(Reaction {
            date,
            words: words.to_string(),
            foods: vec![food.to_string()],
        }),
    }
}

fn allergens(view: &WeekView<'_>, last: Date) -> Vec<AllergenReport> {
    let record = view
        .tastes
        .map(|record| record.allergens(view.allergens, last));
    let first = |allergen: &str| {
        let known = record.iter().flatten();
        known
            .clone()
            .find(|taste| taste.allergen == allergen)?
            .first
    };
    let all = view.allergens.iter().map(|allergen| AllergenReport {
        allergen: (*allergen).to_string(),
        days: match view.week.allergens.get(*allergen) {
            Some(days) => days.iter().copied().collect(),
            None => Vec::new(),
        },
        first: first(allergen),
    });
    all.collect()
}

fn refusals(day: &Day) -> impl Iterator<Item = Refusal> {
    let refused = day.meals.iter().filter(|meal| meal.share == 0.0);
    refused.map(|meal| Refusal {
        date: day.date,
        meal: meal.name.clone(),
        what: meal.servings.iter().map(|one| one.what.clone()).collect(),
    })
}
