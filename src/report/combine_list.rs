//! The foods that purées are put together from, as CSV: what each is, and what a gram of it brings,
//! to be checked by others.

use csv::Writer;

use crate::combine::Selection;

/// Heads of the columns; amounts are in a gram of the cooked food as it is served.
const HEADER: [&str; 18] = [
    "food",
    "name",
    "role",
    "family",
    "method",
    "min_share",
    "max_share",
    "iron_analyses",
    "iron_mg",
    "vitamin_c_mg",
    "sodium_mg",
    "retinol_ug",
    "energy_kcal",
    "dry_matter_g",
    "volume_ml",
    "edible_raw_g",
    "bought_g",
    "new",
];

/// The list of the foods of a selection, with water last.
///
/// Errors: never for a text in memory.
pub fn candidate_list(selection: &Selection<'_>) -> Result<String, csv::Error> {
    let mut csv = Writer::from_writer(Vec::new());
    csv.write_record(HEADER)?;
    for (place, item) in selection.items.iter().enumerate() {
        let (least, most) = selection.shares(place).unwrap_or((0.0, 1.0));
        let named = [
            item.food.id.to_string(),
            item.food.name.clone(),
            selection.role(item).role.clone(),
            item.part.family.clone(),
            item.part.method.word().to_string(),
            least.to_string(),
            most.to_string(),
            item.iron_analyses.to_string(),
        ];
        let new = [item.new.to_string()];
        csv.write_record(
            named
                .into_iter()
                .chain(figures(selection, place))
                .chain(new),
        )?;
    }
    let water = ["water", "water", "", "", "", "0", "1", ""].map(String::from);
    let place = selection.water_place();
    csv.write_record(
        water
            .into_iter()
            .chain(figures(selection, place))
            .chain([String::new()]),
    )?;
    let bytes = csv.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn figures(selection: &Selection<'_>, place: usize) -> [String; 9] {
    let column = selection.column(place);
    [
        Some(column.iron),
        column.vitamin_c,
        Some(column.sodium),
        Some(column.retinol),
        Some(column.energy),
        Some(column.dry_matter),
        Some(column.volume),
        Some(column.edible),
        Some(column.bought),
    ]
    .map(|value| value.map_or_else(String::new, |value| value.to_string()))
}
