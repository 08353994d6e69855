//! Foods to Parquet.

use std::borrow::Borrow;
use std::io::Write;

use polars::prelude::{
    Column, DataFrame, KeyValueMetadata, ParquetCompression, ParquetWriter, PolarsResult,
    StatisticsOptions,
};

use super::columns::{
    AMOUNT, COMMON_NAMES, FACTOR_CARBOHYDRATE, FACTOR_FAT, FACTOR_PROTEIN, FIRST_IDS, GRAMS, GROUP,
    ID, MANUFACTURER, NAME, REFUSE_DESCRIPTION, REFUSE_PERCENT, SCIENTIFIC_NAME, SEQUENCE, SOURCE,
    UNIT,
};
use crate::food::{EnergyFactors, Food};
use crate::measure::Measure;
use crate::nutrient::Nutrient;

/// Foods in one row group: few enough to decode at once, many enough for a short footer.
/// Measured in release, four foods by id out of 8,789: LZ4 with 512 takes 1.7 ms, with 1,024
/// 2.1 ms; Zstandard takes four times as long, since it sets itself up anew for every column.
const FOODS_PER_GROUP: usize = 512;

/// Writes the table of foods: one row per food, one column per nutrient of `nutrients`.
/// `foods` are sorted by id.
pub(super) fn foods<W: Write>(
    sink: W,
    foods: &[Food],
    nutrients: &[&Nutrient],
) -> PolarsResult<()> {
    let groups = foods.chunks(FOODS_PER_GROUP).collect::<Vec<_>>();
    write(sink, &groups, |group| food_frame(group, nutrients))
}

/// Writes the table of household measures: one row per measure, in the order of `foods`, which
/// are sorted by id. The measures of one food are never split between row groups.
pub(super) fn measures<W: Write>(sink: W, foods: &[Food]) -> PolarsResult<()> {
    let measured = foods
        .iter()
        .filter(|food| !food.measures.is_empty())
        .collect::<Vec<_>>();
    let groups = measured.chunks(FOODS_PER_GROUP).collect::<Vec<_>>();
    write(sink, &groups, measure_frame)
}

fn write<W: Write, T: Borrow<Food>>(
    sink: W,
    groups: &[&[T]],
    frame: impl Fn(&[T]) -> PolarsResult<DataFrame>,
) -> PolarsResult<()> {
    let first_ids = groups.iter().filter_map(|group| group.first());
    let first_ids = first_ids
        .map(|food| (*food).borrow().id.as_str())
        .collect::<Vec<_>>()
        .join(",");
    let mut writer = ParquetWriter::new(sink)
        .with_compression(ParquetCompression::Lz4Raw)
        .with_statistics(StatisticsOptions::empty())
        .with_key_value_metadata(Some(KeyValueMetadata::from_static(vec![(
            FIRST_IDS.to_owned(),
            first_ids,
        )])))
        .set_parallel(false)
        .batched(frame(&[])?.schema())?;
    for group in groups {
        writer.write_batch(&frame(group)?)?;
    }
    writer.finish()?;
    Ok(())
}

fn food_frame(foods: &[Food], nutrients: &[&Nutrient]) -> PolarsResult<DataFrame> {
    let text = |name: &str, of: fn(&Food) -> &str| {
        Column::new(name.into(), foods.iter().map(of).collect::<Vec<_>>())
    };
    let number = |name: &str, of: &dyn Fn(&Food) -> Option<f64>| {
        Column::new(name.into(), foods.iter().map(of).collect::<Vec<_>>())
    };
    let factor = |name: &str, of: fn(EnergyFactors) -> f64| {
        number(name, &|food| food.energy_factors.map(of))
    };
    let mut columns = vec![
        text(ID, |food| food.id.as_str()),
        text(NAME, |food| &food.name),
        text(COMMON_NAMES, |food| &food.common_names),
        text(MANUFACTURER, |food| &food.manufacturer),
        text(SCIENTIFIC_NAME, |food| &food.scientific_name),
        text(GROUP, |food| &food.group),
        number(REFUSE_PERCENT, &|food| food.refuse_percent),
        text(REFUSE_DESCRIPTION, |food| &food.refuse_description),
        factor(FACTOR_PROTEIN, |factors| factors.protein),
        factor(FACTOR_FAT, |factors| factors.fat),
        factor(FACTOR_CARBOHYDRATE, |factors| factors.carbohydrate),
        text(SOURCE, |food| &food.source),
    ];
    columns.extend(
        nutrients
            .iter()
            .map(|n| number(&n.tag, &|food| food.composition.get(n.id))),
    );
    DataFrame::new(foods.len(), columns)
}

fn measure_frame(foods: &[&Food]) -> PolarsResult<DataFrame> {
    let rows = foods
        .iter()
        .flat_map(|food| {
            (1_u32..)
                .zip(&food.measures)
                .map(|row| (food.id.as_str(), row))
        })
        .collect::<Vec<(&str, (u32, &Measure))>>();
    let columns = vec![
        Column::new(ID.into(), rows.iter().map(|row| row.0).collect::<Vec<_>>()),
        Column::new(
            SEQUENCE.into(),
            rows.iter().map(|row| row.1.0).collect::<Vec<_>>(),
        ),
        Column::new(
            AMOUNT.into(),
            rows.iter().map(|row| row.1.1.amount).collect::<Vec<_>>(),
        ),
        Column::new(
            UNIT.into(),
            rows.iter()
                .map(|row| row.1.1.unit.as_str())
                .collect::<Vec<_>>(),
        ),
        Column::new(
            GRAMS.into(),
            rows.iter().map(|row| row.1.1.grams).collect::<Vec<_>>(),
        ),
    ];
    DataFrame::new(rows.len(), columns)
}
