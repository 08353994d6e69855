//! What other files say about the foods: brands, other names, refuse, factors.

use std::collections::BTreeMap;

use super::places::{At, Places};
use super::{KINDS, Pens, Reading, Wanted};
use crate::error::Error;
use crate::food::Basis;
use crate::import::gather::{Field, Gather};
use crate::import::table::{self, Row};
use crate::measure::Measure;

const BRANDED_COLUMNS: Wanted = Wanted {
    required: &["fdc_id"],
    optional: &[
        "brand_owner",
        "brand_name",
        "gtin_upc",
        "serving_size",
        "serving_size_unit",
        "household_serving_fulltext",
        "branded_food_category",
    ],
};
const ATTRIBUTE: &str = "food_attribute.csv";
const ATTRIBUTE_COLUMNS: Wanted = Wanted {
    required: &["fdc_id", "value"],
    optional: &["food_attribute_type_id"],
};
/// Attribute types of `food_attribute_type.csv`, October 2024: common names, and additional
/// descriptions, which are other names of survey foods.
const NAMES: [&[u8]; 2] = [b"1000", b"1001"];
const COMPONENT: &str = "food_component.csv";
const COMPONENT_COLUMNS: Wanted = Wanted {
    required: &["fdc_id", "pct_weight", "is_refuse"],
    optional: &["name"],
};
const CONVERSION: &str = "food_nutrient_conversion_factor.csv";
const CONVERSION_COLUMNS: Wanted = Wanted::all(&["id", "fdc_id"]);
const CALORIES: &str = "food_calorie_conversion_factor.csv";
const CALORIE_COLUMNS: Wanted = Wanted::all(&[
    "food_nutrient_conversion_factor_id",
    "protein_value",
    "fat_value",
    "carbohydrate_value",
]);
const PROTEIN: &str = "food_protein_conversion_factor.csv";
const PROTEIN_COLUMNS: Wanted = Wanted::all(&["food_nutrient_conversion_factor_id", "value"]);

/// Reads all of them.
pub(super) fn read(
    reading: &mut Reading<'_, '_>,
    places: &Places,
    gathers: &[Gather<'_>],
) -> Result<(), Error> {
    if gathers
        .get(3)
        .is_some_and(|branded| branded.ids().len() > 0)
    {
        brands(reading, places, gathers)?;
    }
    names(reading, places, gathers)?;
    let mut recorders = Pens::new(gathers);
    refuse(reading, places, &mut recorders)?;
    factors(reading, places, &mut recorders)?;
    recorders.finish()
}

fn brands(
    reading: &mut Reading<'_, '_>,
    places: &Places,
    gathers: &[Gather<'_>],
) -> Result<(), Error> {
    let cost = "branded foods have no maker, no serving and no bar code, and whether a value is per 100 g or per 100 ml is not known";
    let Some(input) = reading.optional(KINDS[3].file, cost)? else {
        return Ok(());
    };
    let row = |recorders: &mut Pens<'_, '_>, row: &Row<'_>| match row.whole(0)? {
        Some(id) => places
            .food(id)
            .map_or(Ok(()), |at| brand(recorders, at, row)),
        None => Err(row.wrong(0, "a branded food without an fdc_id")),
    };
    let (recorders, digest) = table::read(input, &BRANDED_COLUMNS, || Pens::new(gathers), row)?;
    reading.files.push(digest);
    recorders.into_iter().try_for_each(Pens::finish)
}

fn brand(recorders: &mut Pens<'_, '_>, at: At, row: &Row<'_>) -> Result<(), Error> {
    let Some(recorder) = recorders.of(at.source) else {
        return Ok(());
    };
    let (owner, brand) = (row.text(1)?, row.text(2)?);
    let maker = match (owner.is_empty(), brand.is_empty()) {
        (false, false) if !owner.eq_ignore_ascii_case(&brand) => format!("{brand} ({owner})"),
        (false, _) => owner.into_owned(),
        _ => brand.into_owned(),
    };
    recorder.text(at.food, Field::Manufacturer, &*maker)?;
    recorder.text(at.food, Field::Gtin, &*row.text(3)?)?;
    recorder.text(at.food, Field::Group, &*row.text(7)?)?;
    let Some(size) = row.number(4)?.filter(|size| *size > 0.0) else {
        return Ok(());
    };
    let written = row.text(5)?;
    let basis = basis(&written);
    let unit = match basis {
        Some(basis) => basis.unit(),
        None => written.as_ref(),
    };
    recorder.number(at.food, Field::ServingSize, size)?;
    recorder.text(at.food, Field::ServingUnit, unit)?;
    let serving = row.text(6)?;
    match basis {
        Some(Basis::Grams) if !serving.is_empty() => {
            recorder.measure(at.food, 0, &Measure::parse(&serving, size))
        }
        // The label does not say what a millilitre weighs.
        Some(Basis::Millilitres) => recorder.text(at.food, Field::Basis, unit),
        _ => Ok(()),
    }
}

/// Values are per 100 of the unit of the serving. The longer codes are those of UN/ECE
/// Recommendation 20, which labels of later years carry.
fn basis(unit: &str) -> Option<Basis> {
    match unit.to_ascii_lowercase().as_str() {
        "g" | "grm" => Some(Basis::Grams),
        "ml" | "mlt" => Some(Basis::Millilitres),
        _ => None,
    }
}

fn names(
    reading: &mut Reading<'_, '_>,
    places: &Places,
    gathers: &[Gather<'_>],
) -> Result<(), Error> {
    let Some(input) = reading.optional(ATTRIBUTE, "foods have no other names")? else {
        return Ok(());
    };
    let row = |recorders: &mut Pens<'_, '_>, row: &Row<'_>| {
        if !NAMES.contains(&row.raw(2)) {
            return Ok(());
        }
        let at = row.whole(0)?.and_then(|id| places.food(id));
        match at.and_then(|at| Some((at, recorders.of(at.source)?))) {
            Some((at, recorder)) => recorder.text(at.food, Field::CommonNames, &*row.text(1)?),
            None => Ok(()),
        }
    };
    let (recorders, digest) = table::read(input, &ATTRIBUTE_COLUMNS, || Pens::new(gathers), row)?;
    reading.files.push(digest);
    recorders.into_iter().try_for_each(Pens::finish)
}

fn refuse(
    reading: &mut Reading<'_, '_>,
    places: &Places,
    recorders: &mut Pens<'_, '_>,
) -> Result<(), Error> {
    let mut refuse = BTreeMap::<u32, (f64, Vec<String>)>::new();
    let mut nameless = 0;
    let component = (COMPONENT, "refuse is not known");
    reading.optional_rows(component, &COMPONENT_COLUMNS, |row| {
        if row.raw(2) != b"Y" {
            return Ok(());
        }
        let Some(id) = row.whole(0)? else {
            nameless += 1;
            return Ok(());
        };
        if let Some(percent) = row.number(1)? {
            let (total, parts) = refuse.entry(id).or_default();
            *total += percent;
            parts.push(row.text(3)?.into_owned());
            if *total > 100.0 {
                return Err(row.wrong(1, "refuse is more than 100 %"));
            }
        }
        Ok(())
    })?;
    reading.warn(
        nameless,
        "row of food_component.csv names no food: its refuse is not known",
        "rows of food_component.csv name no food: its refuse is not known",
    );
    for (id, (percent, parts)) in refuse {
        let at = places.food(id);
        if let Some((at, recorder)) = at.and_then(|at| Some((at, recorders.of(at.source)?))) {
            recorder.number(at.food, Field::RefusePercent, percent)?;
            recorder.text(at.food, Field::RefuseDescription, parts.join(", "))?;
        }
    }
    Ok(())
}

fn factors(
    reading: &mut Reading<'_, '_>,
    places: &Places,
    recorders: &mut Pens<'_, '_>,
) -> Result<(), Error> {
    let cost = "foods have no energy and nitrogen factors of their own";
    let mut foods = BTreeMap::new();
    let is_there = reading.optional_rows((CONVERSION, cost), &CONVERSION_COLUMNS, |row| {
        let at = row.whole(1)?.and_then(|id| places.food(id));
        foods.extend(row.whole(0)?.zip(at));
        Ok(())
    })?;
    if !is_there {
        return Ok(());
    }
    let fields = [
        Field::FactorProtein,
        Field::FactorFat,
        Field::FactorCarbohydrate,
    ];
    factor(
        reading,
        (CALORIES, &CALORIE_COLUMNS),
        &fields,
        &foods,
        recorders,
    )?;
    let fields = [Field::FactorNitrogen];
    factor(
        reading,
        (PROTEIN, &PROTEIN_COLUMNS),
        &fields,
        &foods,
        recorders,
    )
}

/// Reads one file of factors, a column each; some foods have several rows, the first counts.
fn factor(
    reading: &mut Reading<'_, '_>,
    (file, columns): (&str, &Wanted),
    fields: &[Field],
    foods: &BTreeMap<u32, At>,
    recorders: &mut Pens<'_, '_>,
) -> Result<(), Error> {
    let file = (file, "those factors are not known");
    reading.optional_rows(file, columns, |row| {
        let at = row.whole(0)?.and_then(|id| foods.get(&id));
        let Some((at, recorder)) = at.and_then(|at| Some((at, recorders.of(at.source)?))) else {
            return Ok(());
        };
        for (column, field) in (1..).zip(fields) {
            if let Some(number) = row.number(column)? {
                recorder.number(at.food, *field, number)?;
            }
        }
        Ok(())
    })?;
    Ok(())
}
