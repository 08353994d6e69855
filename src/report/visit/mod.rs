//! The record of some weeks for a visit at the paediatrician's: one value, and a page, a table and a JSON object
//! made of it.

mod events;
mod figures;
mod meals;
mod milk;
mod page;
mod page_charts;
mod page_sentences;
mod page_tables;
mod recent;
mod table;

use std::collections::BTreeSet;

use data_import::{Error, NutrientId};
use jiff::civil::Date;
use serde::Serialize;

use super::milk_breaks::{MilkBreak, milk_breaks};
use super::supplements::{self, SupplementLine};
use super::week::{AboveUpper, FleshIronReport, above_upper_levels};
use crate::household::VisitFacts;
use crate::notebook::{Child, Measurement, Note, Question, TextureSince};
use crate::nutrition::reading::FREEZER;
use crate::nutrition::vitamin_c::{LITTLE_PHYTATE, MUCH_PHYTATE, RATIO_SOURCE};
use crate::nutrition::week::VitaminCBeside;
use crate::nutrition::{Day, IntakeTable, Week};
use crate::quantity::Mass;
use crate::safety::CautionTable;

use events::{Event, EventKind, Variety};
use figures::{DayLine, NutrientLine, PeriodFigures};
use meals::{DishLine, MealLine, RecordLine};
use milk::MilkRun;
pub use page::VisitPage;
use recent::RecentLine;

/// The disclaimer on every page, and in the JSON.
const NOT_A_DIAGNOSIS: &str = "A record for discussion, not a diagnosis";

/// The whole report. Units are in the key names; nutrients carry theirs. `null` is what is not known.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct VisitReport {
    pub schema: u32,
    pub program: String,
    pub not_a_diagnosis: &'static str,
    pub child: ChildLine,
    pub from: Date,
    pub to: Date,
    pub record: RecordLine,
    pub meal_names: Vec<String>,
    pub meals: Vec<MealLine>,
    /// The dishes that were served, the most frequent first.
    pub dishes: Vec<DishLine>,
    /// The average of the last complete days, the fewest first.
    pub recent: Vec<RecentLine>,
    /// An average day of those on record.
    pub nutrients: Vec<NutrientLine>,
    /// Reason for lacking references: the child is too old for their tables.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub no_reference: Option<&'static str>,
    /// Nutrients above their upper level, with the days.
    pub above_upper: Vec<AboveUpper>,
    pub iron: IronLine,
    /// Days where there are few, else weeks: energy and iron of an average day.
    pub periods: Vec<PeriodFigures>,
    pub energy: EnergyLine,
    pub variety: Variety,
    pub questions: Vec<Question>,
    /// Weight in grams, length and head size in centimetres, the last of each day.
    pub measurements: Vec<Measurement>,
    pub supplements: Vec<SupplementLine>,
    pub notes: Vec<Note>,
    pub textures: Vec<TextureSince>,
    /// What the child drank, by name and amount.
    pub milk: Vec<MilkRun>,
    /// The days on which milk was written down in another way than before.
    pub milk_breaks: Vec<MilkBreak>,
    pub days: Vec<DayLine>,
    pub estimates: Vec<String>,
    pub missing: Vec<MissingLine>,
    pub datasets: Vec<String>,
    pub sources: Vec<String>,
    pub defer: String,
}

/// The child, as the book knows it.
#[derive(Debug, Clone, Serialize)]
pub struct ChildLine {
    pub name: String,
    pub born: Date,
    pub age_months_from: u16,
    pub age_months_to: u16,
    pub sex: Option<&'static str>,
    pub birth_weight_g: Option<f64>,
    pub weeks_early: Option<u32>,
    pub weight_g: Option<f64>,
    pub milk: Option<String>,
    pub eczema: bool,
    /// The eczema in words, such as `moderate eczema`.
    pub eczema_words: Option<&'static str>,
    pub allergies: Vec<String>,
}

/// Iron beside its amount.
#[derive(Debug, Clone, Serialize)]
pub struct IronLine {
    /// Of an average day, for each kg of body weight; `null` where the weight is not known.
    pub mg_per_kg: Option<f64>,
    pub flesh: FleshIronReport,
    /// Meals of which some was eaten.
    pub meals: usize,
    /// Those of meat, fish or poultry, where no vitamin C is looked for.
    pub meals_of_meat_or_fish: usize,
    /// Meals of the others with at least the recommended ratio of vitamin C to iron.
    pub meals_with_vitamin_c: usize,
    /// Meals of which the ratio is not known.
    pub meals_not_known: usize,
    /// Where there is little phytate.
    pub wanted_ratio: f64,
    pub wanted_ratio_much_phytate: f64,
    pub ratio_source: &'static str,
}

/// The reference that energy is compared with.
#[derive(Debug, Clone, Serialize)]
pub struct EnergyLine {
    /// `None` where milk is not on record, or not of one kind on all days.
    pub breast_fed: Option<bool>,
    /// The other published figure, of industrialised countries; what `periods` hold is of developing ones.
    pub wanted_industrialised_kcal: Option<f64>,
    pub wanted_source: Option<String>,
    pub needed_source: Option<String>,
}

/// Foods without a published value for a nutrient.
#[derive(Debug, Clone, Serialize)]
pub struct MissingLine {
    pub nutrient: String,
    pub foods: Vec<String>,
}

impl VisitReport {
    /// Builds the report of what was gathered, with the name and version of the program; `None`
    /// where nothing is on record: no meal, no question, no milk at an age of milk alone.
    ///
    /// Errors: a table of the program cannot be read.
    pub fn of_facts(
        facts: &VisitFacts,
        (child, meal_names): (&Child, &[String]),
        program: &str,
    ) -> Result<Option<Self>, Error> {
        let (days, week) = (&facts.kept.days, &facts.kept.week);
        let (Some(first), Some(last)) = (days.first(), days.last()) else {
            return Ok(None);
        };
        let milk = facts.milk_recorded && week.counted().count() > 0;
        let these_days = |one: &&Question| (first.date..=last.date).contains(&one.day);
        let asked = facts.questions.iter().filter(these_days).count();
        let recorded = asked + facts.notes.len() + facts.doses.len();
        if facts.eaten.is_empty() && recorded == 0 && !milk {
            return Ok(None);
        }
        let intakes = IntakeTable::builtin()?;
        let nutrients = figures::nutrients(facts, &intakes);
        let periods = figures::periods(facts);
        Ok(Some(Self {
            schema: 1,
            program: program.to_string(),
            not_a_diagnosis: NOT_A_DIAGNOSIS,
            child: ChildLine::new(child, facts, first, last),
            from: first.date,
            to: last.date,
            record: RecordLine::new(facts),
            meal_names: meal_names.to_vec(),
            meals: facts.eaten.iter().map(MealLine::new).collect(),
            dishes: meals::dishes(&facts.eaten),
            recent: recent::recent(facts),
            no_reference: week.why_no_reference(),
            above_upper: above_upper_levels(week),
            iron: IronLine::new(week),
            energy: EnergyLine::new(week),
            variety: Variety::new(facts, (first.date, last.date)),
            questions: facts.questions.clone(),
            measurements: facts.measurements.clone(),
            supplements: supplements::lines(&facts.doses)?,
            notes: facts.notes.clone(),
            textures: facts.textures.clone(),
            milk: milk::milk_runs(facts),
            milk_breaks: milk_breaks(days),
            days: figures::days(facts, &intakes, &nutrients),
            estimates: week.estimates.clone(),
            missing: missing(&nutrients, week),
            datasets: facts.datasets.clone(),
            sources: sources(week, &nutrients),
            defer: CautionTable::builtin()?.defer().to_string(),
            nutrients,
            periods,
        }))
    }
}

impl ChildLine {
    fn new(child: &Child, facts: &VisitFacts, first: &Day, last: &Day) -> Self {
        let weight = facts.kept.weights.get(&last.date);
        Self {
            name: child.name.clone(),
            born: child.born,
            age_months_from: first.age.0,
            age_months_to: last.age.0,
            sex: child.sex.map(crate::nutrition::energy::Sex::word),
            birth_weight_g: child.birth_weight.map(Mass::grams),
            weeks_early: child.weeks_early,
            weight_g: weight.map(|weight| weight.grams()),
            milk: child.milk.clone(),
            eczema: child.eczema.on_record(),
            eczema_words: child.eczema.in_words(),
            allergies: child.allergies.clone(),
        }
    }
}

impl IronLine {
    fn new(week: &Week) -> Self {
        let meals: Vec<_> = week.days.iter().flat_map(|day| &day.meals).collect();
        let some = |total: &crate::nutrition::Total| total.known.is_none_or(|iron| iron > 0.0);
        let eaten: Vec<_> = meals.into_iter().filter(|meal| some(&meal.iron)).collect();
        let any = week.counted().count() > 0;
        let flesh = FleshIronReport::from(&week.flesh_iron);
        let beside = |which: VitaminCBeside| {
            let meals = eaten.iter();
            meals
                .filter(|meal| meal.vitamin_c_beside() == which)
                .count()
        };
        Self {
            mg_per_kg: week.iron_per_kg,
            flesh: FleshIronReport {
                mg: flesh.mg.filter(|_| any),
                complete: flesh.complete && any,
                ..flesh
            },
            meals: eaten.len(),
            meals_of_meat_or_fish: beside(VitaminCBeside::Flesh),
            meals_with_vitamin_c: beside(VitaminCBeside::Enough),
            meals_not_known: beside(VitaminCBeside::NotKnown),
            wanted_ratio: LITTLE_PHYTATE,
            wanted_ratio_much_phytate: MUCH_PHYTATE,
            ratio_source: RATIO_SOURCE,
        }
    }
}

impl EnergyLine {
    fn new(week: &Week) -> Self {
        let gap = week.energy.as_ref();
        let energy = week.nutrient(NutrientId::ENERGY);
        let need = energy.and_then(|energy| energy.reference.as_ref());
        Self {
            breast_fed: gap.map(|gap| gap.breast_fed),
            wanted_industrialised_kcal: gap.and_then(|gap| gap.wanted_industrialised),
            wanted_source: gap.map(|gap| gap.source.clone()),
            needed_source: need.map(|need| need.source.clone()),
        }
    }
}

fn missing(nutrients: &[NutrientLine], week: &Week) -> Vec<MissingLine> {
    let lacking = nutrients
        .iter()
        .filter(|line| !line.parts.missing.is_empty());
    let line = |line: &NutrientLine| MissingLine {
        nutrient: line.nutrient.plain.clone(),
        foods: line
            .parts
            .missing
            .iter()
            .map(|id| week.name(id).to_string())
            .collect(),
    };
    lacking.map(line).collect()
}

/// The publications behind the figures, each once.
fn sources(week: &Week, nutrients: &[NutrientLine]) -> Vec<String> {
    let mut sources = vec![format!(
        "Nutrient retention: USDA Table of Nutrient Retention Factors, Release 6 (2007). {}",
        FREEZER.trim_end_matches('.')
    )];
    let references = nutrients.iter().flat_map(|line| {
        let upper = line.upper.as_ref().map(|upper| &upper.source);
        let reference = line.reference.as_ref().map(|one| &one.source);
        reference.into_iter().chain(upper)
    });
    let gap = week.energy.as_ref().map(|gap| &gap.source);
    let mut seen = BTreeSet::new();
    let each_once = references.chain(gap).filter(|source| seen.insert(*source));
    sources.extend(each_once.cloned());
    sources.push(format!("Vitamin C beside iron: {RATIO_SOURCE}"));
    sources
}
