//! Parquet to foods.

use polars::prelude::{
    DataFrame, Float64Chunked, PolarsError, PolarsResult, StringChunked, UInt32Chunked,
};

use super::columns::{
    AMOUNT, BASIS, COMMON_NAMES, DATA_POINTS, DERIVATION, FACTOR_CARBOHYDRATE, FACTOR_FAT,
    FACTOR_NITROGEN, FACTOR_PROTEIN, GRAMS, GROUP, GTIN, ID, MANUFACTURER, NAME, NUTRIENT, ORIGIN,
    REFUSE_DESCRIPTION, REFUSE_PERCENT, SCIENTIFIC_NAME, SERVING_SIZE, SERVING_UNIT, SOURCE,
    SOURCE_CODE, STANDARD_ERROR, TAKEN_FROM, UNIT,
};
use crate::error::Error;
use crate::food::{Basis, Composition, EnergyFactors, Food, FoodId, Serving};
use crate::measure::Measure;
use crate::nutrient::{Nutrient, NutrientId};
use crate::provenance::{Origin, Provenance};

/// A column of text; a value that is not there is empty.
struct Text<'a>(&'a StringChunked);

impl<'a> Text<'a> {
    fn of(frame: &'a DataFrame, name: &str) -> PolarsResult<Self> {
        frame.column(name)?.str().map(Self)
    }

    fn at(&self, row: usize) -> &'a str {
        self.0.get(row).unwrap_or_default()
    }

    fn owned(&self, row: usize) -> String {
        self.at(row).to_owned()
    }

    fn id(&self, row: usize) -> PolarsResult<FoodId> {
        self.at(row).parse().map_err(compute)
    }
}

#[expect(clippy::needless_pass_by_value, reason = "it maps errors")]
fn compute(error: Error) -> PolarsError {
    PolarsError::ComputeError(error.to_string().into())
}

fn counts<'a>(frame: &'a DataFrame, name: &str) -> PolarsResult<&'a UInt32Chunked> {
    frame.column(name)?.u32()
}

fn numbers<'a>(frame: &'a DataFrame, name: &str) -> PolarsResult<&'a Float64Chunked> {
    frame.column(name)?.f64()
}

/// The foods of a frame, without their measures.
pub(super) fn foods(frame: &DataFrame, nutrients: &[&Nutrient]) -> PolarsResult<Vec<Food>> {
    let text = |name| Text::of(frame, name);
    let (ids, names, common_names) = (text(ID)?, text(NAME)?, text(COMMON_NAMES)?);
    let (manufacturers, scientific_names) = (text(MANUFACTURER)?, text(SCIENTIFIC_NAME)?);
    let (groups, refuse_descriptions, sources) =
        (text(GROUP)?, text(REFUSE_DESCRIPTION)?, text(SOURCE)?);
    let (bases, serving_units, gtins) = (text(BASIS)?, text(SERVING_UNIT)?, text(GTIN)?);
    let serving_sizes = numbers(frame, SERVING_SIZE)?;
    let nitrogen = numbers(frame, FACTOR_NITROGEN)?;
    let refuse = numbers(frame, REFUSE_PERCENT)?;
    let factors = Factors::of(frame)?;
    let values = nutrients
        .iter()
        .map(|nutrient| Ok((nutrient.id, numbers(frame, &nutrient.tag)?)))
        .collect::<PolarsResult<Vec<_>>>()?;
    let food = |row| {
        Ok(Food {
            id: ids.id(row)?,
            name: names.owned(row),
            common_names: common_names.owned(row),
            manufacturer: manufacturers.owned(row),
            scientific_name: scientific_names.owned(row),
            group: groups.owned(row),
            refuse_percent: refuse.get(row),
            refuse_description: refuse_descriptions.owned(row),
            energy_factors: factors.at(row),
            nitrogen_factor: nitrogen.get(row),
            composition: composition(&values, row),
            basis: basis(bases.at(row)),
            serving: serving_sizes.get(row).map(|size| Serving {
                size,
                unit: serving_units.owned(row),
            }),
            gtin: gtins.owned(row),
            measures: Vec::new(),
            source: sources.owned(row),
        })
    };
    (0..frame.height()).map(food).collect()
}

fn basis(unit: &str) -> Basis {
    if unit == Basis::Millilitres.unit() {
        Basis::Millilitres
    } else {
        Basis::Grams
    }
}

fn composition(values: &[(NutrientId, &Float64Chunked)], row: usize) -> Composition {
    values
        .iter()
        .filter_map(|(id, column)| Some((*id, column.get(row)?)))
        .collect()
}

struct Factors<'a> {
    protein: &'a Float64Chunked,
    fat: &'a Float64Chunked,
    carbohydrate: &'a Float64Chunked,
}

impl<'a> Factors<'a> {
    fn of(frame: &'a DataFrame) -> PolarsResult<Self> {
        Ok(Self {
            protein: numbers(frame, FACTOR_PROTEIN)?,
            fat: numbers(frame, FACTOR_FAT)?,
            carbohydrate: numbers(frame, FACTOR_CARBOHYDRATE)?,
        })
    }

    fn at(&self, row: usize) -> Option<EnergyFactors> {
        Some(EnergyFactors {
            protein: self.protein.get(row)?,
            fat: self.fat.get(row)?,
            carbohydrate: self.carbohydrate.get(row)?,
        })
    }
}

/// The measures of a frame with their foods' ids, in the order of the rows.
pub(super) fn measures(frame: &DataFrame) -> PolarsResult<Vec<(FoodId, Measure)>> {
    let (ids, units) = (Text::of(frame, ID)?, Text::of(frame, UNIT)?);
    let (amounts, grams) = (numbers(frame, AMOUNT)?, numbers(frame, GRAMS)?);
    let measure = |row| {
        let (amount, grams) = amounts
            .get(row)
            .zip(grams.get(row))
            .ok_or_else(|| PolarsError::ComputeError(format!("row {row} has no weight").into()))?;
        Ok((
            ids.id(row)?,
            Measure {
                amount,
                unit: units.owned(row),
                grams,
            },
        ))
    };
    (0..frame.height()).map(measure).collect()
}

/// Where the values of foods come from, in the order of the rows.
pub(super) fn provenance(frame: &DataFrame) -> PolarsResult<Vec<(FoodId, Provenance)>> {
    let text = |name| Text::of(frame, name);
    let (ids, origins) = (text(ID)?, text(ORIGIN)?);
    let (derivations, source_codes) = (text(DERIVATION)?, text(SOURCE_CODE)?);
    let (nutrients, points) = (counts(frame, NUTRIENT)?, counts(frame, DATA_POINTS)?);
    let (errors, taken) = (numbers(frame, STANDARD_ERROR)?, counts(frame, TAKEN_FROM)?);
    let nutrient = |number: Option<u32>| {
        let number = number.and_then(|number| u16::try_from(number).ok());
        number.map(NutrientId::new)
    };
    let row = |row| {
        let missing = || PolarsError::ComputeError(format!("row {row} has no nutrient").into());
        let provenance = Provenance {
            nutrient: nutrient(nutrients.get(row)).ok_or_else(missing)?,
            data_points: points.get(row),
            standard_error: errors.get(row),
            origin: origins.at(row).parse().map_err(compute)?,
            derivation: derivations.owned(row),
            source_code: source_codes.owned(row),
            taken_from: nutrient(taken.get(row)),
        };
        Ok((ids.id(row)?, provenance))
    };
    (0..frame.height()).map(row).collect()
}

/// How many rows of provenance a frame has, after reading each.
pub(super) fn provenance_rows(frame: &DataFrame) -> PolarsResult<usize> {
    let ids = Text::of(frame, ID)?;
    let origins = Text::of(frame, ORIGIN)?;
    for row in 0..frame.height() {
        ids.id(row)?;
        origins.at(row).parse::<Origin>().map_err(compute)?;
    }
    Ok(frame.height())
}
