//! Analyses of foods of SR28 that are newer than it: Foundation Foods of FoodData Central, samples of 2016 and later.

use data_import::{Error, Food, FoodId, NutrientId, Origin, Provenance, reference};
use serde::Deserialize;

/// The words after the source of a food whose newer values were taken.
const SOURCE: &str = "FoodData Central, Foundation Foods, October 2024, where analysed since 2016";

/// A newer value of a food.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NewerValue {
    /// The nutrient.
    pub nutrient: NutrientId,
    /// In 100 g, in the nutrient's unit. A sample below detection counts as half of the least that
    /// can be detected.
    pub per_100_g: f64,
    /// Analyses.
    pub analyses: u32,
    /// The first year in which samples were acquired.
    pub from: u16,
    /// The last.
    pub to: u16,
}

#[derive(Debug, Deserialize)]
struct NewerRow {
    number: NutrientId,
    amount: f64,
    at_most: f64,
    analyses: u32,
    from: u16,
    to: u16,
}

impl NewerValue {
    /// The newer values of a food; none where it was not analysed again.
    ///
    /// Errors: the table cannot be read.
    pub fn of(food: &FoodId) -> Result<Vec<Self>, Error> {
        let rows: Vec<NewerRow> = reference::rows_of(
            "newer-analyses.csv",
            reference::NEWER_ANALYSES,
            food.as_str(),
        )?;
        let value = |row: NewerRow| Self {
            nutrient: row.number,
            per_100_g: f64::midpoint(row.amount, row.at_most),
            analyses: row.analyses,
            from: row.from,
            to: row.to,
        };
        Ok(rows.into_iter().map(value).collect())
    }

    /// `2019 to 2023`, `2023`.
    pub fn years(&self) -> String {
        if self.from == self.to {
            self.from.to_string()
        } else {
            format!("{} to {}", self.from, self.to)
        }
    }
}

/// The food with its newer values; its id stays.
pub(super) fn renewed(mut food: Food) -> Result<Food, Error> {
    let values = NewerValue::of(&food.id)?;
    if values.is_empty() {
        return Ok(food);
    }
    for value in values {
        food.composition.insert(value.nutrient, value.per_100_g);
    }
    food.source = format!("{}; {SOURCE}", food.source);
    Ok(food)
}

/// Where the values of a food with its newer values come from.
pub(super) fn renewed_provenance(
    food: &FoodId,
    mut provenance: Vec<Provenance>,
) -> Result<Vec<Provenance>, Error> {
    for value in NewerValue::of(food)? {
        let newer = Provenance {
            nutrient: value.nutrient,
            data_points: Some(value.analyses),
            standard_error: None,
            origin: Origin::Measured,
            derivation: String::new(),
            source_code: String::new(),
            taken_from: None,
        };
        match provenance
            .iter_mut()
            .find(|one| one.nutrient == value.nutrient)
        {
            Some(one) => *one = newer,
            None => provenance.push(newer),
        }
    }
    Ok(provenance)
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: Foundation Foods, October 2024, fdc_id 2685570, winter squash, butternut, raw: 8
    // samples of 2023, iron 0.2129 mg with samples below detection.
    #[test]
    fn squash_was_analysed_again() {
        let newer = NewerValue::of(&"11485".parse().unwrap()).unwrap();
        let iron = newer
            .iter()
            .find(|one| one.nutrient == NutrientId::IRON)
            .unwrap();
        assert_eq!((iron.analyses, iron.years().as_str()), (8, "2023"));
        assert!((0.2129..0.31).contains(&iron.per_100_g), "{iron:?}");
        assert!(
            NewerValue::of(&"16144".parse().unwrap())
                .unwrap()
                .is_empty()
        );
    }
}
