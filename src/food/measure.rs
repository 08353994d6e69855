//! Household measures: what a cup, a piece or a spoon of one food weighs, by the dataset's own
//! gram weights, and what refuse leaves of a purchase.

use data_import::{Basis, Food, Measure};

use crate::quantity::{Amount, AmountError, Mass, Unit, UnitKind, Volume};

/// An amount turned into a mass.
#[derive(Debug, Clone, PartialEq)]
pub struct Resolved {
    /// The mass.
    pub mass: Mass,
    /// The dataset's measure it was worked out from; `None` where the amount was a mass already.
    pub measure: Option<String>,
}

/// Why an amount of a food has no mass.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MeasureError {
    /// The amount itself is wrong.
    #[error(transparent)]
    Amount(#[from] AmountError),
    /// The food has no such measure.
    #[error("{food} has no measure “{unit}”")]
    Unknown {
        /// The food's name.
        food: String,
        /// As written.
        unit: String,
        /// The measures it has.
        known: Vec<String>,
    },
    /// Several measures fit.
    #[error("“{unit}” fits more than one measure of {food}")]
    Ambiguous {
        /// The food's name.
        food: String,
        /// As written.
        unit: String,
        /// Those that fit.
        fitting: Vec<String>,
    },
}

impl MeasureError {
    /// What to do next.
    pub fn hint(&self) -> String {
        match self {
            Self::Amount(error) => error.hint(),
            Self::Unknown { known, .. } if known.is_empty() => {
                "it has no household measure: weigh it, and write g, kg, oz or lb".into()
            }
            Self::Unknown { known, .. } => {
                format!(
                    "write g, kg, oz or lb, or one of its measures: {}",
                    known.join("; ")
                )
            }
            Self::Ambiguous { fitting, .. } => format!("write one in full: {}", fitting.join("; ")),
        }
    }
}

/// The mass of `amount` of `food`: a mass as it stands, a household measure by the dataset's
/// gram weight (N = V x W / 100 starts from that W, USDA SR28 documentation), another volume by
/// way of a measure of the food that is itself a volume.
pub fn mass_of(amount: &Amount, food: &Food) -> Result<Resolved, MeasureError> {
    if Unit::named(amount.unit()).is_some_and(|unit| unit.kind == UnitKind::Mass) {
        return Ok(Resolved {
            mass: amount.mass()?,
            measure: None,
        });
    }
    if let Some(measure) = fitting_measure(amount.unit(), food)? {
        let mass = Mass::from_grams(amount.number() * measure.grams / measure.amount);
        return sensible(mass, amount, measure);
    }
    if Unit::named(amount.unit()).is_some() {
        let volume = amount.volume()?;
        // Of a label per 100 ml, 100 ml are what 100 g are of another food.
        if food.basis == Basis::Millilitres {
            return Ok(Resolved {
                mass: volume.at_density(1.0),
                measure: Some("per 100 ml, as on its label".into()),
            });
        }
        if let Some((measure, density)) = food.measures.iter().find_map(volume_measure) {
            return sensible(volume.at_density(density), amount, measure);
        }
    }
    Err(MeasureError::Unknown {
        food: food.name.clone(),
        unit: amount.unit().to_string(),
        known: food.measures.iter().map(described).collect(),
    })
}

/// A unit in which an amount of a food can be written.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodUnit {
    /// As it is written behind the number: `g`, or `cup, cubes`.
    pub unit: String,
    /// Grams of one, where it is a household measure.
    pub grams: Option<f64>,
}

/// The units that [`mass_of`] takes for a food: masses, its own measures, and volumes where a
/// measure gives its density.
pub fn units_of(food: &Food) -> Vec<FoodUnit> {
    let own = food.measures.iter().map(|measure| measure.unit.as_str());
    let volumes = ["ml", "cup", "tbsp", "tsp"];
    // Of "cup, cubes" and "cup" the one that says more is enough.
    let has_longer = |volume: &&str| {
        let begins = |own: &Measure| words(&own.unit).starts_with(&words(volume));
        food.measures.iter().any(begins)
    };
    let volumes = volumes.into_iter().filter(|volume| !has_longer(volume));
    let mut units: Vec<FoodUnit> = ["g", "kg", "oz", "lb"]
        .map(|unit| FoodUnit {
            unit: unit.into(),
            grams: None,
        })
        .into();
    for unit in own.chain(volumes) {
        let one = format!("1 {unit}").parse::<Amount>().ok();
        let one = one.filter(|one| one.unit() == unit);
        let grams = one
            .and_then(|one| mass_of(&one, food).ok())
            .map(|one| one.mass.grams());
        let known = units.iter().any(|known| words(&known.unit) == words(unit));
        if grams.is_some() && !known {
            units.push(FoodUnit {
                unit: unit.into(),
                grams,
            });
        }
    }
    units
}

/// The edible share of a purchase, between 0 and 1; `None` where the dataset gives no refuse.
pub fn edible_share(food: &Food) -> Option<f64> {
    food.refuse_percent.map(|refuse| (100.0 - refuse) / 100.0)
}

/// The share of a purchase, above 0 and up to 1, that is taken to be eaten: all of it where no
/// refuse is known, which the notes on a batch say. A refuse of 100 % counts as not known, since
/// nobody cooks with such a food.
pub fn share_without_refuse(food: &Food) -> f64 {
    edible_share(food)
        .filter(|share| *share > 0.0)
        .unwrap_or(1.0)
}

/// What one pound as purchased holds of a nutrient with `per_100_g` in the edible portion:
/// Y = V x 4.536 x (100 - R) / 100 (USDA SR28 documentation; 4.536 rounds the pound).
pub fn per_pound_purchased(per_100_g: f64, refuse_percent: f64) -> f64 {
    per_100_g * 4.536 * (100.0 - refuse_percent) / 100.0
}

fn sensible(mass: Mass, amount: &Amount, measure: &Measure) -> Result<Resolved, MeasureError> {
    if mass.grams() > 100_000.0 {
        return Err(AmountError::Absurd(amount.to_string()).into());
    }
    Ok(Resolved {
        mass,
        measure: Some(described(measure)),
    })
}

/// `1 cup, cubes = 133 g`.
pub(crate) fn described(measure: &Measure) -> String {
    format!("{} = {} g", measure.label(), measure.grams)
}

/// The one measure whose words are, or begin with, the words written.
fn fitting_measure<'a>(unit: &str, food: &'a Food) -> Result<Option<&'a Measure>, MeasureError> {
    let wanted = words(unit);
    let exact = |measure: &&Measure| words(&measure.unit) == wanted;
    let begins = |measure: &&Measure| words(&measure.unit).starts_with(&wanted);
    let piece = |measure: &&Measure| wanted == ["each"] && first_unit(&measure.unit).is_none();
    let candidates: [&dyn Fn(&&Measure) -> bool; 3] = [&exact, &begins, &piece];
    for fits in candidates {
        let fitting: Vec<_> = food.measures.iter().filter(fits).collect();
        match fitting.as_slice() {
            [] => {}
            [one, others @ ..] if others.iter().all(|other| same_weight(one, other)) => {
                return Ok(Some(one));
            }
            several => {
                return Err(MeasureError::Ambiguous {
                    food: food.name.clone(),
                    unit: unit.to_string(),
                    fitting: several.iter().map(|measure| described(measure)).collect(),
                });
            }
        }
    }
    Ok(None)
}

/// Whether two measures weigh the same per unit, up to the rounding of the published grams
/// (`1 cup` = 81 g and `.333 cup` = 27 g).
fn same_weight(one: &Measure, other: &Measure) -> bool {
    let difference = one.grams_per_unit() / other.grams_per_unit() - 1.0;
    difference.abs() < 0.02
}

/// A measure that is a volume, with the g/ml it stands for.
pub(crate) fn volume_measure(measure: &Measure) -> Option<(&Measure, f64)> {
    let unit = first_unit(&measure.unit).filter(|unit| unit.kind == UnitKind::Volume)?;
    let amount: Amount = format!("{} {}", measure.amount, unit.symbol).parse().ok()?;
    let volume = amount
        .volume()
        .ok()
        .filter(|volume| *volume > Volume::ZERO)?;
    Some((measure, measure.grams / volume.millilitres()))
}

/// The unit of mass or volume a measure's words begin with.
pub(crate) fn first_unit(words: &str) -> Option<Unit> {
    let end = words
        .find(|c: char| !(c.is_alphabetic() || c == ' '))
        .unwrap_or(words.len());
    let first = words.get(..end)?;
    Unit::named(first).or_else(|| Unit::named(first.split_whitespace().next()?))
}

/// Lower-case words without punctuation and plural endings.
fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(|word| match word.strip_suffix('s') {
            Some(stem) if word.len() > 3 => stem.to_string(),
            _ => word.to_string(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use data_import::{Composition, FoodId};

    /// A food with these measures: amount, unit, grams.
    fn food(measures: &[(f64, &str, f64)]) -> Food {
        Food {
            id: "11485".parse::<FoodId>().unwrap(),
            name: "Something".into(),
            common_names: String::new(),
            manufacturer: String::new(),
            scientific_name: String::new(),
            group: "1100".into(),
            refuse_percent: Some(16.0),
            refuse_description: String::new(),
            energy_factors: None,
            nitrogen_factor: None,
            composition: Composition::default(),
            basis: Basis::Grams,
            serving: None,
            gtin: String::new(),
            measures: measures
                .iter()
                .map(|(amount, unit, grams)| Measure {
                    amount: *amount,
                    unit: (*unit).into(),
                    grams: *grams,
                })
                .collect(),
            source: String::new(),
        }
    }

    fn grams(amount: &str, food: &Food) -> f64 {
        mass_of(&amount.parse().unwrap(), food)
            .unwrap()
            .mass
            .grams()
    }

    fn error(amount: &str, food: &Food) -> MeasureError {
        mass_of(&amount.parse().unwrap(), food).unwrap_err()
    }

    #[test]
    fn a_measure_is_found_by_its_words_or_their_beginning() {
        let squash = food(&[(1.0, "cup, cubes", 140.0)]);
        assert_eq!(grams("2 cup, cubes", &squash), 280.0);
        assert_eq!(grams("1/2 cups", &squash), 70.0);
        assert_eq!(grams("100 g", &squash), 100.0);
    }

    #[test]
    fn each_is_the_one_measure_that_counts_pieces() {
        let egg = food(&[(1.0, "large", 50.0), (1.0, "cup (4.86 large eggs)", 243.0)]);
        assert_eq!(grams("3 each", &egg), 150.0);
        let apple = food(&[(1.0, "large", 223.0), (1.0, "small", 149.0)]);
        assert!(matches!(
            error("3 each", &apple),
            MeasureError::Ambiguous { .. }
        ));
    }

    #[test]
    fn a_volume_goes_by_way_of_a_measure_that_is_one() {
        let milk = food(&[(1.0, "cup", 244.0)]);
        approx::assert_relative_eq!(grams("100 ml", &milk), 244.0 / 2.365_882_365);
        approx::assert_relative_eq!(grams("16 tbsp", &milk), 244.0, max_relative = 1e-12);
        let quarter = food(&[(0.25, "cup", 61.0)]);
        approx::assert_relative_eq!(
            grams("1 fl oz", &quarter),
            244.0 / 8.0,
            max_relative = 1e-12
        );
    }

    #[test]
    fn two_measures_of_one_weight_are_one() {
        let oats = food(&[(1.0, "cup", 81.0), (0.333, "cup", 27.0)]);
        assert_eq!(grams("1 cup", &oats), 81.0);
        let berries = food(&[(1.0, "cup, whole", 144.0), (1.0, "cup, halves", 152.0)]);
        assert!(matches!(
            error("1 cup", &berries),
            MeasureError::Ambiguous { .. }
        ));
    }

    #[test]
    fn an_unknown_measure_names_those_there_are() {
        let squash = food(&[(1.0, "cup, cubes", 140.0)]);
        assert!(
            error("2 handful", &squash)
                .hint()
                .contains("1 cup, cubes = 140 g")
        );
        assert!(error("2 handful", &food(&[])).hint().contains("weigh it"));
        assert!(matches!(
            error("9000 cup, cubes", &squash),
            MeasureError::Amount(_)
        ));
    }

    #[test]
    fn the_units_of_a_food_are_those_that_weigh_something() {
        let squash = food(&[
            (1.0, "cup, cubes", 140.0),
            (0.5, "squash", 300.0),
            (1.0, "oz", 28.0),
        ]);
        let units = units_of(&squash);
        let told: Vec<_> = units
            .iter()
            .map(|one| (one.unit.as_str(), one.grams.map(f64::round)))
            .collect();
        let expected = [
            ("g", None),
            ("kg", None),
            ("oz", None),
            ("lb", None),
            ("cup, cubes", Some(140.0)),
            ("squash", Some(600.0)),
            // 14.787 ml of 140 g in 236.588 ml; 4.929 ml (US spoons, NIST Handbook 44, appendix C).
            ("ml", Some(1.0)),
            ("tbsp", Some(9.0)),
            ("tsp", Some(3.0)),
        ];
        assert_eq!(told, expected);
        let told: Vec<_> = units_of(&food(&[]))
            .into_iter()
            .map(|one| one.unit)
            .collect();
        assert_eq!(told, ["g", "kg", "oz", "lb"], "nothing gives its density");
        for unit in units {
            let amount: Amount = format!("2 {}", unit.unit).parse().unwrap();
            assert!(mass_of(&amount, &squash).is_ok(), "{unit:?}");
        }
    }
}
