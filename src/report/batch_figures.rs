//! The nutrients of a batch: what each comes to in the batch, in 100 g, in a cube and in a serving,
//! with its reference intake, its upper level and its interval.

use data_import::{FoodId, NutrientId};
use serde::Serialize;

use super::batch::BatchView;
use super::interval::IntervalReport;
use crate::food::NewerValue;
use crate::nutrition::Total;
use crate::nutrition::week::Yardstick;
use crate::portion::{Cubes, Tray};
use crate::quantity::Mass;
use crate::recipe::{Batch, CubeMade, NutrientTotal};
use crate::uncertainty::{IntervalPart, UnsurePortion};

/// The figures of a nutrient: amounts in its own unit, `null` where nothing is known.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct Figures {
    pub id: &'static str,
    pub number: u16,
    pub name: &'static str,
    pub unit: &'static str,
    pub per_batch: Option<f64>,
    pub per_100g: Option<f64>,
    pub per_cube: Option<f64>,
    pub per_serving: Option<f64>,
    pub complete: bool,
    pub missing: Vec<String>,
    /// The share of the known amount that rests on measured values.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured_percent: Option<f64>,
    pub reference: Option<Yardstick>,
    pub upper: Option<UpperReport>,
    /// Where the figure of a serving most likely lies.
    pub interval: Option<IntervalReport>,
    /// A serving by newer analyses, where there are any that are not taken.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub newer: Option<NewerReport>,
    /// The total behind the figures, for the text rendering.
    #[serde(skip)]
    pub total: NutrientTotal,
}

/// The amount of a serving by newer analyses of its foods.
#[derive(Debug, Clone, Serialize)]
pub struct NewerReport {
    pub per_serving: f64,
    pub values: Vec<NewerFood>,
}

/// A newer value of a food.
#[derive(Debug, Clone, Serialize)]
pub struct NewerFood {
    pub food: String,
    pub per_100g: f64,
    pub analyses: u32,
    pub from: u16,
    pub to: u16,
    /// The years in words.
    #[serde(skip)]
    pub years: String,
}

impl NewerFood {
    fn of((food, value): &(&FoodId, NewerValue)) -> Self {
        Self {
            food: food.to_string(),
            per_100g: value.per_100_g,
            analyses: value.analyses,
            from: value.from,
            to: value.to,
            years: value.years(),
        }
    }
}

/// The tolerable upper level of a nutrient for a day, in the nutrient's unit.
#[derive(Debug, Clone, Serialize)]
pub struct UpperReport {
    pub amount: f64,
    pub counts: String,
    /// Share of the upper level in one serving; `null` where it may not be compared.
    pub percent: Option<f64>,
    pub source: String,
}

impl UpperReport {
    /// The upper level at the child's age; `served` is the amount of a nutrient in one serving.
    fn of(
        nutrient: NutrientId,
        batch: &Batch,
        served: impl Fn(&NutrientTotal) -> Option<f64>,
        view: &BatchView<'_>,
    ) -> Option<Self> {
        let upper = view.tables.intakes.upper(nutrient, view.age)?;
        let compared = upper
            .compared_with
            .and_then(|id| batch.total(id))
            .and_then(served);
        Some(Self {
            percent: compared.map(|amount| amount / upper.amount * 100.0),
            amount: upper.amount,
            counts: upper.counts,
            source: upper.source,
        })
    }
}

/// A serving of cubes, as they are made and as if they were counted.
pub(super) struct UnsureServing {
    made: UnsurePortion,
    counted: Option<UnsurePortion>,
}

impl UnsureServing {
    pub(super) fn of(batch: &Batch, cubes: &Cubes, tray: &Tray) -> Self {
        let taken = f64::from(batch.prepared.serving.cubes);
        let made = CubeMade::of(cubes.each, &tray.name);
        let counted = Some(cubes.whole()).filter(|whole| *whole > 0);
        let counted = counted.map(|whole| CubeMade {
            counted: Some(whole),
            ..made
        });
        Self {
            made: batch.portion(made).times(taken),
            counted: counted.map(|counted| batch.portion(counted).times(taken)),
        }
    }

    /// The interval of a nutrient in the serving; `None` where nothing is known of the nutrient.
    pub(super) fn interval(&self, total: &NutrientTotal, scale: &Scale) -> Option<IntervalReport> {
        let nutrient = total.nutrient.id;
        let part = scale.serving / scale.puree;
        let served = Total {
            known: total.served.map(|served| served * part),
            missing: total.batch.missing.clone(),
        };
        let of = |portion| {
            let part = IntervalPart::whole(Some(portion), served.known);
            served.interval(nutrient, [part])
        };
        let counted = self.counted.as_ref().and_then(of);
        let made = of(&self.made)?;
        Some(IntervalReport::new("per_serving", made, counted.as_ref()))
    }
}

/// The masses for which the figures of a nutrient are stated: all the purée, a cube, a serving.
pub(super) struct Scale {
    pub(super) puree: Mass,
    pub(super) cube: Mass,
    pub(super) serving: Mass,
}

impl Figures {
    pub(super) fn new(
        total: &NutrientTotal,
        batch: &Batch,
        scale: &Scale,
        view: &BatchView<'_>,
    ) -> Self {
        let nutrient = total.nutrient;
        let frozen = |mass: Mass| total.batch.known.map(|known| known * (mass / scale.puree));
        let served = |total: &NutrientTotal| {
            total
                .served
                .map(|served| served * (scale.serving / scale.puree))
        };
        let per_serving = served(total);
        Self {
            id: &nutrient.tag,
            number: nutrient.id.number(),
            name: &nutrient.name,
            unit: &nutrient.unit,
            per_batch: total.batch.known,
            per_100g: frozen(Mass::from_grams(100.0)),
            per_cube: frozen(scale.cube),
            per_serving,
            complete: total.batch.complete(),
            missing: total
                .batch
                .missing
                .iter()
                .map(ToString::to_string)
                .collect(),
            measured_percent: total.measured.map(|share| share * 100.0),
            reference: reference(nutrient.id, per_serving, view),
            upper: UpperReport::of(nutrient.id, batch, served, view),
            interval: None,
            newer: batch
                .by_newer(nutrient.id)
                .map(|(served, values)| NewerReport {
                    per_serving: served * (scale.serving / scale.puree),
                    values: values.iter().map(NewerFood::of).collect(),
                }),
            total: total.clone(),
        }
    }
}

/// The reference of a nutrient and the share of it in a serving: the intake at the child's age, or of energy the
/// requirement of the child, where its weight is known.
fn reference(
    nutrient: NutrientId,
    per_serving: Option<f64>,
    view: &BatchView<'_>,
) -> Option<Yardstick> {
    let intake = view.tables.intakes.intake(nutrient, view.age);
    let need = view.energy.as_ref();
    let need = need.filter(|_| nutrient == NutrientId::ENERGY);
    let reference = intake.map(Yardstick::of_intake);
    let reference = reference.or_else(|| need.map(Yardstick::of_requirement))?;
    Some(reference.beside(per_serving))
}
