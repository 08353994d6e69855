//! The plan: what each meal of each child is to be, and what is to be cooked when. The last plan
//! for a meal, or for a day's cooking, counts; earlier ones stay on record.

use serde::Serialize;
use std::collections::BTreeMap;

use data_import::FoodId;
use jiff::civil::Date;
use rusqlite::{Connection, Row, Transaction, params};

use super::BookError;
use super::feeding::Pick;
use super::larder::{Helping, unread};
use super::sql::{self, parsed};
use super::store::{Store, new_entry};
use crate::portion::CubeCount;
use crate::quantity::Mass;

/// A meal of one child.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Slot {
    /// The day.
    pub day: Date,
    /// The child.
    pub child: String,
    /// The name of the meal.
    pub meal: String,
}

/// A part of a planned meal.
#[derive(Debug, Clone, PartialEq)]
pub enum PlannedServing {
    /// Cubes of a recipe, or of one batch named by its number.
    Cubes(Pick),
    /// An amount of a food as it is: from the table, from a jar, or milk.
    Food(PlannedFood),
}

/// An amount of a food that is planned.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedFood {
    /// The id of the food.
    pub id: FoodId,
    /// The mass of the food.
    pub mass: Mass,
    /// The typed words for it, which may say what its entry does not: ground almonds; empty where
    /// an id says all.
    pub typed: String,
}

impl PlannedFood {
    /// A food that is named by its id alone.
    pub fn by_id(id: FoodId, mass: Mass) -> Self {
        Self {
            id,
            mass,
            typed: String::new(),
        }
    }

    /// A helping as it is planned.
    pub fn of(helping: &Helping) -> Self {
        Self {
            typed: helping.named.clone(),
            ..Self::by_id(helping.food.id.clone(), helping.mass)
        }
    }
}

/// A number of whole trays to be cooked of a recipe.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlannedCooking {
    /// Name of the recipe.
    pub recipe: String,
    /// The number of trays.
    pub trays: u32,
}

/// The plan of some days.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Plan {
    /// The meals; an empty one was planned to be empty.
    pub meals: BTreeMap<Slot, Vec<PlannedServing>>,
    /// The cooking of each day.
    pub cooking: BTreeMap<Date, Vec<PlannedCooking>>,
}

impl Plan {
    /// Whether nothing at all is planned.
    pub fn is_empty(&self) -> bool {
        self.meals.values().all(Vec::is_empty) && self.cooking.values().all(Vec::is_empty)
    }

    /// The days that the plan covers, in order, each once.
    pub fn days(&self) -> Vec<Date> {
        let mut days: Vec<_> = self.meals.keys().map(|slot| slot.day).collect();
        days.extend(self.cooking.keys());
        days.sort();
        days.dedup();
        days
    }
}

impl Store {
    /// Records a plan, in place of the former plan for the same meals and for the cooking of the
    /// same days; returns the number of the entry. `None`, and nothing recorded, for an empty plan.
    pub fn plan(&mut self, plan: &Plan) -> Result<Option<i64>, BookError> {
        let Some(first) = plan.days().first().copied() else {
            return Ok(None);
        };
        self.write(|transaction| {
            let id = new_entry(transaction, first, "plan")?;
            for (slot, servings) in &plan.meals {
                let parts: Vec<_> = servings.iter().map(PlanPartRow::of_serving).collect();
                write_slot(transaction, id, (slot.day, &slot.child, &slot.meal), &parts)?;
            }
            for (day, cooking) in &plan.cooking {
                let parts: Vec<_> = cooking.iter().map(PlanPartRow::of_cooking).collect();
                write_slot(transaction, id, (*day, "", ""), &parts)?;
            }
            Ok(Some(id))
        })
    }

    /// The plan from one day to another, both included.
    pub fn planned(&self, from: Date, to: Date) -> Result<Plan, BookError> {
        self.read(|connection| {
            let rows = rows(connection, from, to)?;
            let mut plan = Plan::default();
            for (slot, part) in rows {
                if slot.child.is_empty() {
                    let cooking = plan.cooking.entry(slot.day).or_default();
                    cooking.extend(part.and_then(PlanPartRow::cooking));
                } else {
                    let meal = plan.meals.entry(slot).or_default();
                    meal.extend(part.map(PlanPartRow::serving).transpose()?);
                }
            }
            Ok(plan)
        })
    }
}

/// A row of `planned_part`; the filled cells depend on whether it is cubes, a food or a cooking.
#[derive(Default)]
struct PlanPartRow {
    what: String,
    cubes: Option<CubeCount>,
    grams: Option<f64>,
    trays: Option<u32>,
    typed: String,
}

impl PlanPartRow {
    fn of_serving(serving: &PlannedServing) -> Self {
        match serving {
            PlannedServing::Cubes(pick) => Self {
                what: pick.name.clone(),
                cubes: Some(pick.cubes),
                ..Self::default()
            },
            PlannedServing::Food(food) => Self {
                what: food.id.to_string(),
                grams: Some(food.mass.grams()),
                typed: food.typed.clone(),
                ..Self::default()
            },
        }
    }

    fn of_cooking(cooking: &PlannedCooking) -> Self {
        Self {
            what: cooking.recipe.clone(),
            trays: Some(cooking.trays),
            ..Self::default()
        }
    }

    fn serving(self) -> rusqlite::Result<PlannedServing> {
        match (self.grams, self.cubes) {
            (Some(grams), _) => {
                let id = self.what.parse().map_err(unread)?;
                Ok(PlannedServing::Food(PlannedFood {
                    typed: self.typed,
                    ..PlannedFood::by_id(id, Mass::from_grams(grams))
                }))
            }
            (None, Some(cubes)) => Ok(PlannedServing::Cubes(Pick {
                cubes,
                name: self.what,
            })),
            (None, None) => Err(rusqlite::Error::InvalidColumnName("cubes".into())),
        }
    }

    fn cooking(self) -> Option<PlannedCooking> {
        let recipe = self.what;
        self.trays.map(|trays| PlannedCooking { recipe, trays })
    }
}

fn write_slot(
    transaction: &Transaction<'_>,
    entry: i64,
    (day, child, meal): (Date, &str, &str),
    parts: &[PlanPartRow],
) -> rusqlite::Result<()> {
    let day = day.to_string();
    transaction.execute(
        "INSERT INTO planned (entry, day, child, meal) VALUES (?1, ?2, ?3, ?4)",
        params![entry, day, child, meal],
    )?;
    let mut insert = transaction.prepare(
        "INSERT INTO planned_part (entry, day, child, meal, position, what, cubes, grams, trays, halved, \
         typed) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
    )?;
    for (position, part) in (0_i64..).zip(parts) {
        insert.execute(params![
            entry,
            day,
            child,
            meal,
            position,
            part.what,
            part.cubes.map(CubeCount::taken),
            part.grams,
            part.trays,
            part.cubes.map_or(0, CubeCount::halved),
            part.typed,
        ])?;
    }
    Ok(())
}

/// The planned number of cubes, where the part is of cubes.
fn counted(row: &Row<'_>) -> rusqlite::Result<Option<CubeCount>> {
    let taken: Option<u32> = row.get(4)?;
    let halved: Option<u32> = row.get(7)?;
    Ok(taken.map(|taken| CubeCount::new(taken, halved.unwrap_or(0))))
}

/// The last entry for each meal and for the cooking of each day, part by part; a meal without parts
/// has one row without one.
fn rows(
    connection: &Connection,
    from: Date,
    to: Date,
) -> rusqlite::Result<Vec<(Slot, Option<PlanPartRow>)>> {
    let sql = "SELECT planned.day, planned.child, planned.meal, what, cubes, grams, trays, halved, typed FROM planned \
               LEFT JOIN planned_part USING (entry, day, child, meal) \
               WHERE planned.day BETWEEN ?1 AND ?2 AND planned.entry = \
                 (SELECT max(entry) FROM planned AS later WHERE later.day = planned.day \
                  AND later.child = planned.child AND later.meal = planned.meal) \
               ORDER BY planned.day, planned.child, planned.meal, position";
    sql::rows(connection, sql, [from.to_string(), to.to_string()], |row| {
        let slot = Slot {
            day: parsed(row, 0)?,
            child: row.get(1)?,
            meal: row.get(2)?,
        };
        let what: Option<String> = row.get(3)?;
        let part = what.map(|what| -> rusqlite::Result<PlanPartRow> {
            Ok(PlanPartRow {
                what,
                cubes: counted(row)?,
                grams: row.get(5)?,
                trays: row.get(6)?,
                typed: row.get(8)?,
            })
        });
        Ok((slot, part.transpose()?))
    })
}
