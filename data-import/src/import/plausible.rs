//! Whether the columns of a file without a header hold what their place says.
//!
//! Some nutrients are tied to others by definition. Where the columns are in another order, these
//! ties are broken in most rows; in a good file they hold in all but a few rows in a hundred
//! (spirits, whose alcohol is in no column, are the largest group of exceptions).

use crate::food::Composition;
use crate::nutrient::NutrientId as N;

/// A tie is taken to be broken when it fails in more than one of this many rows.
const ONE_IN: usize = 20;
/// The most failures that prove nothing, however short the file.
const ALWAYS_ALLOWED: usize = 3;

/// A tie between nutrients.
struct Tie {
    says: &'static str,
    /// `None` where a value is missing.
    holds: fn(&Composition) -> Option<bool>,
}

// Sources: the documentation of the USDA National Nutrient Database for Standard Reference,
// Release 28, for carbohydrate by difference, the general Atwater factors, 40 IU per µg vitamin D,
// 1.7 µg DFE per µg folic acid and the carotenoid divisors of RAE. The widths are judgement: twice
// what rounding gives, and a quarter of the energy, since foods have energy factors of their own.
const TIES: [Tie; 6] = [
    Tie {
        says: "water, protein, fat, carbohydrate and ash add up to 100 g",
        holds: |food| {
            let parts = [N::WATER, N::PROTEIN, N::FAT, N::CARBOHYDRATE, N::ASH];
            Some((sum(food, &parts)? - 100.0).abs() <= 5.0)
        },
    },
    Tie {
        says: "energy is about 4 kcal per g protein and carbohydrate, and 9 per g fat",
        holds: |food| {
            let lean = sum(food, &[N::PROTEIN, N::CARBOHYDRATE])?;
            Some(near(
                food.get(N::ENERGY)?,
                4.0 * lean + 9.0 * food.get(N::FAT)?,
                25.0,
                0.25,
            ))
        },
    },
    Tie {
        says: "the fatty acids weigh no more than the fat",
        holds: |food| {
            let acids = [
                N::SATURATED_FAT,
                N::MONOUNSATURATED_FAT,
                N::POLYUNSATURATED_FAT,
            ];
            Some(sum(food, &acids)? <= 1.02 * food.get(N::FAT)? + 0.1)
        },
    },
    Tie {
        says: "1 µg vitamin D is 40 IU",
        holds: |food| {
            let units = 40.0 * food.get(N::VITAMIN_D)?;
            Some(near(food.get(N::VITAMIN_D_IU)?, units, 2.5, 0.05))
        },
    },
    Tie {
        says: "folate in DFE is food folate and 1.7 times folic acid",
        holds: |food| {
            let parts = food.get(N::FOOD_FOLATE)? + 1.7 * food.get(N::FOLIC_ACID)?;
            Some(near(food.get(N::FOLATE_DFE)?, parts, 2.0, 0.02))
        },
    },
    Tie {
        says: "vitamin A in RAE is retinol, 1/12 of beta-carotene and 1/24 of the other two",
        holds: |food| {
            let others = sum(food, &[N::ALPHA_CAROTENE, N::BETA_CRYPTOXANTHIN])?;
            let carotenoids = food.get(N::BETA_CAROTENE)? / 12.0 + others / 24.0;
            let parts = food.get(N::RETINOL)? + carotenoids;
            Some(near(food.get(N::VITAMIN_A_RAE)?, parts, 2.0, 0.05))
        },
    },
];

/// The amount in this unit that weighs 100 g; what has no weight has no bound.
pub(super) fn most(unit: &str) -> f64 {
    match unit {
        "g" => 100.0,
        "mg" => 100_000.0,
        "µg" => 100_000_000.0,
        _ => f64::INFINITY,
    }
}

fn sum(food: &Composition, nutrients: &[N]) -> Option<f64> {
    nutrients.iter().map(|id| food.get(*id)).sum()
}

fn near(value: f64, expected: f64, least: f64, share: f64) -> bool {
    (value - expected).abs() <= least.max(share * value)
}

/// How often one tie was looked at and broken.
#[derive(Debug, Clone, Copy, Default)]
struct Count {
    rows: usize,
    broken: usize,
    first_broken: u64,
}

/// Counts the rows in which the ties hold.
#[derive(Debug, Default)]
pub(super) struct Plausibility([Count; TIES.len()]);

impl Plausibility {
    /// Looks at one row.
    pub(super) fn look(&mut self, line: u64, food: &Composition) {
        for (tie, count) in TIES.iter().zip(&mut self.0) {
            let Some(holds) = (tie.holds)(food) else {
                continue;
            };
            count.rows += 1;
            if !holds {
                count.broken += 1;
                if count.broken == 1 {
                    count.first_broken = line;
                }
            }
        }
    }

    /// The first line and the problem, if a tie is broken too often.
    pub(super) fn verdict(&self) -> Option<(u64, String)> {
        let mut counts = TIES.iter().zip(&self.0);
        let too_many = |c: &Count| c.broken > ALWAYS_ALLOWED && c.broken * ONE_IN > c.rows;
        let (tie, count) = counts.find(|(_, count)| too_many(count))?;
        let problem = format!(
            "the columns are not in their published order: it does not hold that {} here and in {} of {} rows",
            tie.says, count.broken, count.rows
        );
        Some((count.first_broken, problem))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Foods of lean protein with the general Atwater energy, or with protein and fat exchanged.
    fn verdict(exchanged: bool) -> Option<(u64, String)> {
        let mut plausibility = Plausibility::default();
        for line in 1..=20_u32 {
            let (protein, fat) = if exchanged {
                (N::FAT, N::PROTEIN)
            } else {
                (N::PROTEIN, N::FAT)
            };
            let lean = 4.0 * f64::from(line);
            let food = [(protein, lean), (fat, 0.0), (N::CARBOHYDRATE, 10.0)];
            let energy = (N::ENERGY, 4.0 * lean + 40.0);
            plausibility.look(line.into(), &food.into_iter().chain([energy]).collect());
        }
        plausibility.verdict()
    }

    #[test]
    fn exchanged_columns_are_noticed() {
        assert_eq!(verdict(false), None);
        let (line, problem) = verdict(true).unwrap();
        assert!(
            problem.contains("energy is about 4 kcal"),
            "{line}: {problem}"
        );
    }
}
