//! The columns of nutrients in a table of results: which are asked for, and what they are called.

use data_import::parquet::WrittenColumn;
use data_import::{Nutrient, NutrientId};

use super::results::{Per, plain};
use super::run::FloatWidth;
use crate::problem::Problem;

/// The columns of nutrients that are asked for.
#[derive(Debug, Clone)]
pub(super) struct NutrientColumns {
    /// For each column the place of its nutrient, and whether its figures are as served.
    pub(super) columns: Vec<(usize, bool)>,
    pub(super) written: Vec<WrittenColumn>,
    /// For how many nutrients an interval of a serving follows.
    pub(super) intervals: usize,
}

impl NutrientColumns {
    /// The columns of the nutrients at these places.
    ///
    /// Errors: a nutrient is not in the table.
    pub(super) fn new(
        per: Per,
        wanted: &[usize],
        nutrients: &[Nutrient],
        width: FloatWidth,
        source: &str,
    ) -> Result<Self, Problem> {
        let layout = width.layout();
        let mut all = Self {
            columns: Vec::new(),
            written: Vec::new(),
            intervals: 0,
        };
        for (name, nutrient, is_served) in nutrient_columns(per, wanted, nutrients) {
            let notes = [
                ("unit", nutrient.unit.clone()),
                ("number", nutrient.id.to_string()),
                ("name", nutrient.name.clone()),
                ("source", source.to_owned()),
            ];
            let notes = notes.map(|(key, text)| (key.to_owned(), text));
            let at = place_of(nutrient.id, nutrients)?;
            all.columns.push((at, is_served));
            all.written.push(WrittenColumn {
                notes: notes.into(),
                ..plain(&name, layout)
            });
        }
        Ok(all)
    }

    /// With the ends of an interval of a serving for each of these nutrients.
    pub(super) fn with_intervals(mut self, nutrients: &[&Nutrient], width: FloatWidth) -> Self {
        for nutrient in nutrients {
            for end in ["low", "high"] {
                let name = format!("{}_{end}_per_serving", column_stem(nutrient));
                let notes = [("unit", &nutrient.unit), ("name", &nutrient.name)];
                let notes = notes.map(|(key, text)| (key.to_owned(), text.clone()));
                self.written.push(WrittenColumn {
                    notes: notes.into(),
                    ..plain(&name, width.layout())
                });
            }
        }
        self.intervals = nutrients.len();
        self
    }
}

/// The columns of the nutrients at these places: each with its name, its nutrient, and whether its
/// figures are as served.
pub(super) fn nutrient_columns<'a>(
    per: Per,
    wanted: &[usize],
    nutrients: &'a [Nutrient],
) -> Vec<(String, &'a Nutrient, bool)> {
    let endings = per.endings().iter();
    let columns = endings.flat_map(|ending| {
        let nutrients = wanted.iter().filter_map(|at| nutrients.get(*at));
        nutrients.map(move |nutrient| {
            let name = format!("{}_per_{ending}", column_stem(nutrient));
            (name, nutrient, *ending == "serving")
        })
    });
    columns.collect()
}

/// The SQL name of a nutrient: its tagname in lower case, without a plus sign.
pub(super) fn column_name(nutrient: &Nutrient) -> String {
    nutrient.tag.to_lowercase().replace('+', "_")
}

/// The name with its unit, unless the tagname says it already.
fn column_stem(nutrient: &Nutrient) -> String {
    let name = column_name(nutrient);
    let unit = nutrient.unit.to_lowercase().replace('µ', "u");
    if name.ends_with(&format!("_{unit}")) {
        name
    } else {
        format!("{name}_{unit}")
    }
}

/// The places of the nutrients that are named by their tagnames; all of them where none is named.
pub(super) fn places_of(named: &[String], nutrients: &[Nutrient]) -> Result<Vec<usize>, Problem> {
    if named.is_empty() {
        return Ok((0..nutrients.len()).collect());
    }
    let place = |tag: &String| {
        let tag = tag.trim();
        let found = nutrients
            .iter()
            .position(|one| one.tag.eq_ignore_ascii_case(tag));
        found.ok_or_else(|| {
            let what = format!("there is no nutrient “{tag}”");
            let tags: Vec<_> = nutrients.iter().map(|one| one.tag.as_str()).collect();
            Problem::new(what).hint(format!("known are {}", tags.join(", ")))
        })
    };
    let mut places = named.iter().map(place).collect::<Result<Vec<_>, _>>()?;
    places.sort_unstable();
    places.dedup();
    Ok(places)
}

/// The place of a nutrient in the table.
///
/// Errors: the table lacks it.
pub(super) fn place_of(id: NutrientId, nutrients: &[Nutrient]) -> Result<usize, Problem> {
    let found = nutrients.iter().position(|nutrient| nutrient.id == id);
    let lacking = || Problem::new(format!("nutrient {id} is not in the table of nutrients"));
    found.ok_or_else(lacking)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spaces_around_a_tag_say_nothing() {
        let nutrients = data_import::nutrients().unwrap();
        let places = |tags: &[&str]| {
            let tags: Vec<String> = tags.iter().map(ToString::to_string).collect();
            places_of(&tags, nutrients)
        };
        assert_eq!(places(&["FE", " zn "]), places(&["fe", "ZN"]));
        let error = places(&["FE", " iron"]).unwrap_err();
        assert_eq!(error.what, "there is no nutrient “iron”");
    }
}
