//! What a food lacks in a purée, and which foods bring it: the thresholds are here, the foods in
//! `complements.csv`.

use std::collections::BTreeSet;

use data_import::{Error, Food, FoodId, NutrientId, reference};
use serde::Deserialize;

use super::LEAST_ENERGY;
use super::column::Column;
use super::tables::{PureePart, Role, Tables};
use crate::nutrition::vitamin_c::{LITTLE_PHYTATE, MUCH_PHYTATE, VITAMIN_C_MG_FOR_IRON_MG};

/// The iron in a gram below which a food brings little, mg (judgement: two cubes then bring less
/// than a twentieth of a day's 11 mg).
const LITTLE_IRON: f64 = 0.007;
/// Iron in a gram from which vitamin C is worth adding, mg (judgement).
const SOME_IRON: f64 = 0.010;
/// Vitamin C in a gram that helps the iron of other foods, mg (judgement).
const MUCH_VITAMIN_C: f64 = 0.2;
/// Beta-carotene in 100 g from which the food is a source of vitamin A, µg (judgement).
const MUCH_CAROTENE: f64 = 1000.0;
/// Fat in 100 g that is enough for beta-carotene, g: 3 to 5 g in a meal of an adult (van het Hof
/// and others 2000, from memory).
const ENOUGH_FAT: f64 = 3.0;
/// Lysine, and methionine with cystine, wanted in a gram of protein at half a year, mg (WHO, FAO
/// and UNU 2007, Technical Report 935).
const LYSINE: f64 = 57.0;
const SULPHUR: f64 = 28.0;
/// Foods below this share of a purée make neither its energy nor its iron (judgement).
const SMALL_PART: f64 = 0.2;

/// Something that a food lacks, or that it has and others lack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lack {
    /// The food is thin: kcal in a gram.
    Energy(f64),
    /// The food brings little iron: mg in 100 g.
    Iron(f64),
    /// The iron of the food is that of a plant or egg, with little vitamin C beside it: mg of iron
    /// in 100 g, molecules of vitamin C for each atom, and how many are looked for.
    VitaminC(f64, f64, f64),
    /// The vitamin C of the food helps the iron of others: mg in 100 g.
    PlantIron(f64),
    /// The carotenoids of the food need a little fat: µg of beta-carotene in 100 g.
    Fat(f64),
    /// The protein of the food has little lysine: mg in a gram of protein.
    Lysine(f64),
    /// The protein of the food has little methionine and cystine: mg in a gram of protein.
    Sulphur(f64),
}

impl Lack {
    /// The name of the lack in the table and in JSON.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Energy(_) => "energy",
            Self::Iron(_) => "iron",
            Self::VitaminC(..) => "vitamin-c",
            Self::PlantIron(_) => "plant-iron",
            Self::Fat(_) => "fat",
            Self::Lysine(_) => "lysine",
            Self::Sulphur(_) => "sulphur",
        }
    }

    /// What a food of the tables lacks, as cooked for a purée.
    ///
    /// Errors: a table of the program cannot be read.
    pub fn of(food: &Food, role: &Role, column: &Column) -> Result<Vec<Self>, Error> {
        let mut lacks = Vec::new();
        let large = role.max_share > SMALL_PART || role.role == "leaf";
        if large && column.energy < LEAST_ENERGY {
            lacks.push(Self::Energy(column.energy));
        }
        if large && column.iron < LITTLE_IRON {
            lacks.push(Self::Iron(column.iron * 100.0));
        }
        lacks.extend(of_vitamin_c(role, column));
        let per_100_g = |nutrient| food.composition.get(nutrient);
        let carotene = per_100_g(NutrientId::BETA_CAROTENE);
        lacks.extend(of_carotene(carotene, per_100_g(NutrientId::FAT)));
        if role.is_pulse_or_grain() {
            lacks.extend(of_amino_acids(&food.id)?);
        }
        Ok(lacks)
    }

    /// What a whole purée lacks: energy, vitamin C for its iron (`wanted` molecules for each atom;
    /// `None` where none are looked for), and fat for its carotenoids. `carotene` (µg) and `fat`
    /// (g) are of 100 g of it.
    pub fn of_puree(
        column: &Column,
        vitamin_c_wanted: Option<f64>,
        (carotene, fat): (Option<f64>, Option<f64>),
    ) -> Vec<Self> {
        let mut lacks = Vec::new();
        if column.energy < LEAST_ENERGY {
            lacks.push(Self::Energy(column.energy));
        }
        let ratio = iron_ratio(column).zip(vitamin_c_wanted);
        let short = ratio.filter(|(ratio, wanted)| ratio < wanted && column.iron >= SOME_IRON);
        if let Some((ratio, wanted)) = short {
            lacks.push(Self::VitaminC(column.iron * 100.0, ratio, wanted));
        }
        lacks.extend(of_carotene(carotene, fat));
        lacks
    }
}

fn of_carotene(carotene: Option<f64>, fat: Option<f64>) -> Option<Lack> {
    let carotene = carotene.filter(|held| *held >= MUCH_CAROTENE)?;
    (fat? < ENOUGH_FAT).then_some(Lack::Fat(carotene))
}

/// Molecules of vitamin C for each atom of iron; `None` where a value is not known.
fn iron_ratio(column: &Column) -> Option<f64> {
    let iron = column.iron.max(f64::MIN_POSITIVE);
    Some(column.vitamin_c? / VITAMIN_C_MG_FOR_IRON_MG / iron)
}

/// Plant iron without vitamin C, and vitamin C without much iron.
fn of_vitamin_c(role: &Role, column: &Column) -> Option<Lack> {
    let vitamin_c = column.vitamin_c?;
    let ratio = iron_ratio(column)?;
    let wanted = if role.is_pulse_or_grain() {
        MUCH_PHYTATE
    } else {
        LITTLE_PHYTATE
    };
    if !role.is_meat_or_fish() && column.iron >= SOME_IRON && ratio < wanted {
        return Some(Lack::VitaminC(column.iron * 100.0, ratio, wanted));
    }
    (vitamin_c >= MUCH_VITAMIN_C).then_some(Lack::PlantIron(vitamin_c * 100.0))
}

/// The amino acids of a food, milligrams in a gram of protein.
#[derive(Debug, Deserialize)]
struct AminoAcids {
    /// Lysine.
    lysine: f64,
    /// Methionine and cystine.
    sulphur: f64,
}

fn of_amino_acids(food: &FoodId) -> Result<Option<Lack>, Error> {
    let table = ("amino-acids.csv", reference::AMINO_ACIDS);
    let held: Option<AminoAcids> = reference::row(table.0, table.1, &[food.as_str()])?;
    Ok(held.and_then(|held| {
        // The amino acid that is further from what is wanted limits the protein.
        let (of_lysine, of_sulphur) = (held.lysine / LYSINE, held.sulphur / SULPHUR);
        if of_lysine.min(of_sulphur) >= 1.0 {
            None
        } else if of_lysine <= of_sulphur {
            Some(Lack::Lysine(held.lysine))
        } else {
            Some(Lack::Sulphur(held.sulphur))
        }
    }))
}

#[derive(Debug, Deserialize)]
struct ComplementRow {
    lack: String,
    foods: String,
}

/// The foods that bring what a food lacks, in the order of the table, without those that may not be
/// in a purée with it.
///
/// `own` are the foods of the purée, with their parts; `part_of` gives the part of any other food.
///
/// Errors: the table cannot be read.
pub fn complements(
    lack: Lack,
    own: &[(&FoodId, &PureePart)],
    part_of: impl Fn(&FoodId) -> Option<PureePart>,
) -> Result<Vec<FoodId>, Error> {
    let tables = Tables::builtin()?;
    let rows: Vec<ComplementRow> = reference::rows("complements.csv", reference::COMPLEMENTS)?;
    let of_lack = rows.iter().filter(|row| row.lack == lack.word());
    let ids = of_lack.flat_map(|row| row.foods.split('|'));
    let mut found = Vec::new();
    for id in ids {
        let id: FoodId = id.parse()?;
        let joins = part_of(&id).is_some_and(|other| {
            own.iter()
                .all(|(food, part)| id != **food && !tables.clash(part.role, other.role))
        });
        if joins {
            found.push(id);
        }
    }
    Ok(found)
}

/// The ids of all foods of the table.
///
/// Errors: the table cannot be read.
pub fn complementing() -> Result<Vec<FoodId>, Error> {
    let rows: Vec<ComplementRow> = reference::rows("complements.csv", reference::COMPLEMENTS)?;
    let ids = rows.iter().flat_map(|row| row.foods.split('|'));
    let ids = ids
        .map(str::parse)
        .collect::<Result<BTreeSet<FoodId>, _>>()?;
    Ok(ids.into_iter().collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::combine::ToCook;
    use crate::combine::column::cooked;
    use crate::combine::goal_of;
    use crate::cooking::ClassTable;
    use crate::food::Pantry;
    use crate::recipe::Kitchen;
    use data_import::FoodTable;

    /// A food, cooked for a purée, with its role.
    fn of(id: &str) -> (Food, &'static Role, Column) {
        let tables = Tables::builtin().unwrap();
        let pantry = Pantry::new(FoodTable::builtin().unwrap(), None);
        let food = pantry.foods(&[id.parse().unwrap()]).unwrap().pop();
        let food = food.flatten().unwrap();
        let part = tables.part(&food).unwrap();
        let role = &tables.roles[part.role];
        let kitchen = Kitchen {
            foods: &pantry,
            classes: ClassTable::builtin().unwrap(),
        };
        let to_cook = ToCook {
            food: food.id.clone(),
            method: part.method,
            may_hold_retinol: role.may_hold_retinol(),
        };
        let column = cooked(&kitchen, &[to_cook], goal_of("FE").unwrap());
        (food, role, column.unwrap().pop().flatten().unwrap())
    }

    #[test]
    fn every_food_of_the_table_brings_what_it_stands_for() {
        let rows: Vec<ComplementRow> =
            reference::rows("complements.csv", reference::COMPLEMENTS).unwrap();
        for row in rows {
            for id in row.foods.split('|') {
                let (food, role, column) = of(id);
                let held = match row.lack.as_str() {
                    "energy" => column.energy >= 1.2,
                    "iron" => column.iron >= 0.015,
                    "vitamin-c" => column.vitamin_c.unwrap() >= 0.3,
                    "fat" => food.composition.get(NutrientId::FAT).unwrap() >= ENOUGH_FAT,
                    "plant-iron" => column.iron >= 0.015 && !role.is_meat_or_fish(),
                    amino => {
                        let table = ("amino-acids.csv", reference::AMINO_ACIDS);
                        let held: Option<AminoAcids> =
                            reference::row(table.0, table.1, &[id]).unwrap();
                        let held = held.unwrap();
                        match amino {
                            "lysine" => held.lysine > LYSINE,
                            "sulphur" => held.sulphur > SULPHUR,
                            _ => false,
                        }
                    }
                };
                assert!(held, "{id} for {}: {column:?}", row.lack);
            }
        }
    }

    /// Scores of USDA SR28 against WHO, FAO and UNU 2007: oats lack lysine (0.85), red lentils
    /// sulphur amino acids (0.80).
    #[test]
    fn a_pulse_and_a_grain_lack_what_the_other_has() {
        let words = |id: &str| -> Vec<&str> {
            let (food, role, column) = of(id);
            let lacks = Lack::of(&food, role, &column).unwrap();
            lacks.iter().map(Lack::word).collect()
        };
        assert!(words("08120").contains(&"lysine"));
        assert_eq!(words("16144"), ["vitamin-c", "sulphur"]);
        assert_eq!(words("11124"), ["energy", "iron", "fat"]);
        assert_eq!(words("11090"), ["energy", "plant-iron"]);
        assert_eq!(words("05027"), Vec::<&str>::new());
        assert_eq!(words("04053"), Vec::<&str>::new());
    }
}
