//! The uncertainty of the values of a food table for the food at hand: lots differ, and the table's
//! mean rests on few analyses of another year and place.

use std::collections::BTreeMap;

use data_import::{Error, Food, NutrientId as N, Origin, Provenance, reference};
use serde::Deserialize;

/// The number of analyses as which the spread of a food's group counts beside its own (fitted on
/// the foods of `source-spread.csv`).
const GROUP_WEIGHT: f64 = 16.0;
/// The factor on the spread of lots for the mean of fewer than three analyses, or a value that was
/// not analysed: a group's spread is 1.25 times too narrow for it, on the spread of lots times the
/// square root of 2 (fitted like [`GROUP_WEIGHT`]).
const FEW_ANALYSES: f64 = 1.458;
/// The fewest analyses that say something of their own spread (judgement).
const FEWEST: u32 = 3;
/// The spread of a value that is declared on a label, relative to it (judgement).
const LABEL: f64 = 0.12;
/// The number of standard errors below which a mean may well be zero (judgement).
const FAINT: f64 = 3.0;
/// The group that is used for a food without a known group.
const ANY_GROUP: &str = "all";

/// The kind of a nutrient, which decides how doubtful cooking makes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum NutrientClass {
    /// Water.
    Water,
    /// Energy.
    Energy,
    /// Protein, fat, carbohydrate, fibre, sugars, fatty acids, ash, cholesterol.
    Proximates,
    /// A mineral.
    Minerals,
    /// Selenium, which follows the soil.
    Selenium,
    /// A vitamin, or a precursor of one.
    Vitamins,
}

/// The evidence for a value of a food table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Evidence {
    /// A number of analyses.
    Analysed(u32),
    /// The value is calculated from other values or other foods, or assumed.
    Calculated,
    /// The value is declared on a label.
    Label,
    /// Nothing is known of the value.
    Unknown,
}

/// The spread of one value, relative to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ValueSpread {
    /// Between lots of the food, one standard deviation.
    pub lot: f64,
    /// Between the table's value and the mean of all lots, one standard deviation.
    pub database: f64,
    /// The evidence for the value.
    pub evidence: Evidence,
    /// Whether the value is less than three standard errors from zero.
    pub faint: bool,
    /// The kind of nutrient.
    pub class: NutrientClass,
}

/// The spreads of the values of one food; a nutrient without a value has none.
pub type FoodSpreads = BTreeMap<N, ValueSpread>;

#[derive(Debug, Deserialize)]
struct SourceRow {
    number: N,
    spread: f64,
    class: NutrientClass,
}

#[derive(Debug, Deserialize)]
struct LotRow {
    number: N,
    cv: f64,
}

/// The published spreads: between sources by nutrient, between lots by food group and nutrient.
#[derive(Debug)]
pub struct SpreadTable {
    sources: BTreeMap<N, SourceRow>,
}

impl SpreadTable {
    /// Reads the built-in table.
    pub fn builtin() -> Result<Self, Error> {
        let rows: Vec<SourceRow> = reference::rows("source-spread.csv", reference::SOURCE_SPREAD)?;
        let sources = rows.into_iter().map(|row| (row.number, row));
        Ok(Self {
            sources: sources.collect(),
        })
    }

    /// The spreads of the values of a food, by their provenance.
    ///
    /// Errors: the table of lots cannot be read.
    pub fn of_food(&self, food: &Food, provenance: &[Provenance]) -> Result<FoodSpreads, Error> {
        let lots = LotSpreads::of(food)?;
        let values = food.composition.iter();
        let spreads = values.filter_map(|(nutrient, value)| {
            let source = self.sources.get(&nutrient)?;
            let facts = ValueFacts::of(food, provenance, nutrient, value);
            Some((nutrient, facts.spread(source, lots.cv(nutrient)?)))
        });
        Ok(spreads.collect())
    }
}

/// The spread between lots of the group of a food, or its own where the table has the food itself.
struct LotSpreads {
    own: Vec<LotRow>,
    group: Vec<LotRow>,
}

impl LotSpreads {
    fn of(food: &Food) -> Result<Self, Error> {
        let rows = |key: &str| -> Result<Vec<LotRow>, Error> {
            reference::rows_of("lot-spread.csv", reference::LOT_SPREAD, key)
        };
        let mut group = rows(&food.group)?;
        if group.is_empty() {
            group = rows(ANY_GROUP)?;
        }
        Ok(Self {
            own: rows(food.id.as_str())?,
            group,
        })
    }

    /// The coefficient of variation, and whether it is the food's own.
    fn cv(&self, nutrient: N) -> Option<(f64, bool)> {
        let find = |rows: &[LotRow]| {
            let row = rows.iter().find(|row| row.number == nutrient);
            row.map(|row| row.cv)
        };
        let own = find(&self.own).map(|cv| (cv, true));
        own.or_else(|| find(&self.group).map(|cv| (cv, false)))
    }
}

/// The facts about one value: its own, or those of the value from which it is calculated.
struct ValueFacts {
    zero: bool,
    evidence: Evidence,
    analyses: u32,
    /// Standard error of the mean, relative to it.
    error: Option<f64>,
}

impl ValueFacts {
    fn of(food: &Food, provenance: &[Provenance], nutrient: N, value: f64) -> Self {
        let find = |nutrient| provenance.iter().find(|found| found.nutrient == nutrient);
        let own = find(nutrient);
        let evidence = match own.map(|own| (own.origin, own.data_points)) {
            _ if food.id.is_own() => Evidence::Label,
            Some((Origin::Label, _)) => Evidence::Label,
            Some((Origin::Measured, Some(count))) if count > 0 => Evidence::Analysed(count),
            Some((Origin::Calculated | Origin::Assumed, _)) => Evidence::Calculated,
            _ => Evidence::Unknown,
        };
        let stands_in = match evidence {
            Evidence::Calculated => parent(food, nutrient).and_then(find),
            _ => own,
        };
        let counted = stands_in.filter(|found| found.origin == Origin::Measured);
        let error = counted.filter(|_| !COUNT_ONLY.contains(&nutrient));
        let error = error.and_then(|found| {
            let mean = food.composition.get(found.nutrient)?;
            Some(found.standard_error? / mean).filter(|error| error.is_finite())
        });
        Self {
            zero: value == 0.0,
            evidence,
            analyses: counted.and_then(|found| found.data_points).unwrap_or(0),
            error,
        }
    }

    /// `cv` is the spread between lots, `of_food` whether it is the food's own.
    fn spread(&self, source: &SourceRow, (cv, of_food): (f64, bool)) -> ValueSpread {
        let (lot, database) = match self.evidence {
            // A zero of the table stays zero.
            _ if self.zero => (0.0, 0.0),
            Evidence::Label => (0.0, LABEL),
            _ => {
                let lot = self.lot(cv, of_food);
                (lot, self.mean_off(lot).hypot(source.spread))
            }
        };
        // The spread is at most the value itself, beyond which the tables say nothing.
        let narrower = lot.hypot(database).max(1.0);
        ValueSpread {
            lot: lot / narrower,
            database: database / narrower,
            evidence: self.evidence,
            faint: !self.zero && self.error.is_some_and(|error| error * FAINT > 1.0),
            class: source.class,
        }
    }

    fn lot(&self, cv: f64, of_food: bool) -> f64 {
        let count = f64::from(self.analyses);
        let both = match self.error {
            Some(error) if self.analyses >= FEWEST && !of_food => {
                let own = error * count.sqrt();
                let weighted = GROUP_WEIGHT * cv * cv + (count - 1.0) * own * own;
                (weighted / (GROUP_WEIGHT + count - 1.0)).sqrt()
            }
            _ => cv,
        };
        both.min(1.0)
    }

    fn mean_off(&self, lot: f64) -> f64 {
        if self.analyses >= FEWEST {
            lot / f64::from(self.analyses).sqrt()
        } else {
            FEW_ANALYSES * lot
        }
    }
}

/// The nutrients that take the number of analyses of the value from which they are calculated, and
/// not its standard error.
const COUNT_ONLY: [N; 2] = [N::ENERGY, N::CARBOHYDRATE];

/// The analysed value on which a calculated one mostly depends.
fn parent(food: &Food, nutrient: N) -> Option<N> {
    Some(match nutrient {
        N::ENERGY | N::CARBOHYDRATE => N::WATER,
        N::SATURATED_FAT | N::MONOUNSATURATED_FAT | N::POLYUNSATURATED_FAT => N::FAT,
        N::FOLATE_DFE => N::FOLATE,
        N::VITAMIN_A_RAE | N::VITAMIN_A_IU => {
            let carotene = food.composition.get(N::BETA_CAROTENE);
            if carotene.is_some_and(|amount| amount > 0.0) {
                N::BETA_CAROTENE
            } else {
                N::RETINOL
            }
        }
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use data_import::{FoodId, FoodTable};

    fn spreads(id: &str) -> FoodSpreads {
        let table = FoodTable::builtin().unwrap();
        let id: FoodId = id.parse().unwrap();
        let food = table.foods(std::slice::from_ref(&id)).unwrap();
        let provenance = table.provenance(&id).unwrap();
        let food = food[0].as_ref().unwrap();
        SpreadTable::builtin()
            .unwrap()
            .of_food(food, &provenance)
            .unwrap()
    }

    /// By hand from the rows of SR28, `NUT_DATA`: lentils have 12 analyses of iron with a standard
    /// error of 0.431, squash one; the energy of squash rests on 5 of its water.
    #[test]
    fn spreads_of_two_foods() {
        let lentils = spreads("16144")[&N::IRON];
        approx::assert_relative_eq!(lentils.lot, 0.2050, max_relative = 2e-3);
        let all = lentils.lot.hypot(lentils.database);
        approx::assert_relative_eq!(all, 0.2924, max_relative = 2e-3);
        assert_eq!(lentils.evidence, Evidence::Analysed(12));
        let squash = spreads("11485");
        let all = |nutrient| -> f64 { squash[&nutrient].lot.hypot(squash[&nutrient].database) };
        approx::assert_relative_eq!(all(N::IRON), 0.5718, max_relative = 2e-3);
        approx::assert_relative_eq!(all(N::ENERGY), 0.1455, max_relative = 2e-3);
        assert_eq!(squash[&N::IRON].evidence, Evidence::Analysed(1));
        assert_eq!(squash[&N::ENERGY].evidence, Evidence::Calculated);
        assert_eq!(squash[&N::ZINC].evidence, Evidence::Unknown);
    }

    #[test]
    fn no_value_is_wider_than_itself_and_tap_water_has_its_own() {
        let water = spreads("14411");
        approx::assert_relative_eq!(water[&N::CALCIUM].lot, 0.8, max_relative = 0.02);
        for spread in water.values().chain(spreads("11485").values()) {
            assert!(spread.lot.hypot(spread.database) <= 1.0 + 1e-12);
        }
    }
}
