//! One group of foods: its rows of each table.

use compact_str::CompactString;
use polars::prelude::PolarsResult;

use super::cells::Cells;
use super::details::{self, Details, Placed};
use super::{Assembled, Gathered, Rules, Shapes, encoding};
use crate::cache::Folder;
use crate::cache::shape::{self, RowGroup};
use crate::error::Error;
use crate::food::Basis;
use crate::import::counted;
use crate::import::gather::Field;
use crate::nutrient::{Nutrient, all_nutrients};
use crate::provenance::Origin;

/// What was counted on the way.
#[derive(Debug, Default)]
pub(super) struct Tally {
    pub(super) values: usize,
    repeated: usize,
    contradicted: usize,
    /// The first contradiction: food and place of the nutrient.
    first: Option<(String, u16)>,
    /// How often each fallback stood in.
    filled: Vec<usize>,
}

impl Tally {
    pub(super) fn add(&mut self, other: &Self) {
        self.values += other.values;
        self.repeated += other.repeated;
        self.contradicted += other.contradicted;
        if self.first.is_none() {
            self.first.clone_from(&other.first);
        }
        self.filled
            .resize(self.filled.len().max(other.filled.len()), 0);
        for (total, count) in self.filled.iter_mut().zip(&other.filled) {
            *total += count;
        }
    }

    /// What a person should know.
    pub(super) fn warnings(&self, rules: &Rules, known: &[Nutrient]) -> Vec<String> {
        let name = |place: u16| {
            let nutrient = known.get(usize::from(place));
            nutrient.map_or_else(String::new, |n| format!("{} ({})", n.name, n.id))
        };
        let mut warnings = Vec::new();
        if self.repeated > 0 {
            let one = "value is there twice, with the same amount";
            let many = "values are there twice, with the same amount";
            warnings.push(counted(self.repeated, one, many));
        }
        if let Some((food, place)) = &self.first {
            let one = "value is there twice with different amounts";
            let many = "values are there twice with different amounts";
            let counted = counted(self.contradicted, one, many);
            let first = name(*place);
            warnings.push(format!(
                "{counted}, so neither is kept; the first is {first} of food {food}"
            ));
        }
        let filled = rules.fallbacks.iter().zip(&self.filled);
        for (fallback, count) in filled.filter(|(_, count)| **count > 0) {
            let foods = counted(*count, "food that lacks it", "foods that lack it");
            let (target, from) = (name(fallback.target), name(fallback.from));
            warnings.push(format!("{target}: taken from {from} for {foods}"));
        }
        warnings
    }
}

/// Puts one group together.
pub(super) fn assemble(
    gathered: &Gathered<'_>,
    shapes: &Shapes,
    group: usize,
    folder: &Folder,
) -> Result<Assembled, Error> {
    let gather = &gathered.gather;
    let first = group * gather.per_group();
    let foods = gather.per_group().min(gather.ids().len() - first);
    let [values, details, measures] = gather.take(group)?;
    let mut cells = Cells::new(values, foods, &shapes.nutrients);
    let filled = cells.fill(&gathered.rules.fallbacks, &shapes.nutrients);
    let part = Part {
        gathered,
        shapes,
        first,
        foods,
        known: all_nutrients()?,
    };
    let tally = part.tally(&cells, filled);
    let failed = |error| encoding(folder, error);
    let provenance = if gathered.rules.provenance {
        Some(part.provenance(&cells, tally.values).map_err(failed)?)
    } else {
        None
    };
    Ok(Assembled {
        foods: part
            .foods(&cells, &Details::new(&details))
            .map_err(failed)?,
        measures: part
            .measures(&details::measures(&measures))
            .map_err(failed)?,
        provenance,
        tally,
    })
}

/// The foods of the group: their first place and how many they are.
struct Part<'a> {
    gathered: &'a Gathered<'a>,
    shapes: &'a Shapes,
    first: usize,
    foods: usize,
    known: &'static [Nutrient],
}

impl Part<'_> {
    fn id(&self, row: usize) -> CompactString {
        self.gathered.gather.ids().get(self.first + row)
    }

    fn ids(&self) -> Vec<CompactString> {
        (0..self.foods).map(|row| self.id(row)).collect()
    }

    fn tally(&self, cells: &Cells, filled: Vec<usize>) -> Tally {
        let columns = 0..self.shapes.nutrients.len();
        let count_given = |column: &[f64]| column.iter().filter(|amount| !amount.is_nan()).count();
        let values = columns.map(|column| count_given(cells.column(column)));
        let (contradicted, first) = cells.contradicted();
        let place = |column: usize| self.shapes.nutrients.get(column).copied();
        let first =
            first.and_then(|(row, column)| Some((self.id(row).into_string(), place(column)?)));
        Tally {
            values: values.sum(),
            repeated: cells.repeated,
            contradicted,
            first,
            filled,
        }
    }

    fn foods(&self, cells: &Cells, details: &Details<'_>) -> PolarsResult<RowGroup> {
        let place = |row: usize| u32::try_from(self.first + row).unwrap_or(u32::MAX);
        let places = place(0)..place(self.foods);
        let mut columns = vec![shape::text(&self.ids())];
        for field in Field::ALL {
            let default = match field {
                Field::Basis => Basis::Grams.unit(),
                Field::Source => &self.gathered.release.label,
                _ => "",
            };
            columns.push(if field.is_number() {
                if details.has(field) {
                    shape::numbers(&details.numbers(field, places.clone()))
                } else {
                    shape::no_numbers(self.foods)
                }
            } else if details.has(field) {
                shape::text(&details.texts(field, places.clone(), default))
            } else {
                shape::words(&[default], vec![0; self.foods])?
            });
        }
        let nutrients = 0..self.shapes.nutrients.len();
        columns.extend(nutrients.map(|column| shape::amounts(cells.column(column))));
        self.shapes.foods.encode(&self.id(0), &columns)
    }

    fn measures(&self, measures: &[Placed]) -> PolarsResult<RowGroup> {
        let id = |one: &Placed| self.id((one.0 as usize).saturating_sub(self.first));
        let mut sequence = Vec::with_capacity(measures.len());
        let mut before = None;
        for (food, _, _) in measures {
            let next = match before {
                Some((same, count)) if same == food => count + 1,
                _ => 1,
            };
            sequence.push(Some(next));
            before = Some((food, next));
        }
        let number = |of: fn(&Placed) -> f64| {
            shape::numbers(&measures.iter().map(|one| Some(of(one))).collect::<Vec<_>>())
        };
        let units = measures.iter().map(|one| one.2.unit.as_str());
        let columns = [
            shape::text(&measures.iter().map(id).collect::<Vec<_>>()),
            shape::counts(&sequence),
            number(|one| one.2.amount),
            shape::text(&units.collect::<Vec<_>>()),
            number(|one| one.2.grams),
        ];
        self.shapes.measures.encode(&self.id(0), &columns)
    }

    fn provenance(&self, cells: &Cells, values: usize) -> PolarsResult<RowGroup> {
        let rules = &self.gathered.rules;
        let mut rows = Rows::with_capacity(values);
        let [points, errors, taken] = cells.extras();
        let numbers = self.shapes.nutrients.iter();
        let numbers = numbers.map(|place| self.number(*place)).collect::<Vec<_>>();
        let columns = u32::try_from(numbers.len()).unwrap_or(u32::MAX);
        // The first code stands for none.
        let sources = rules.sources.len() > 1;
        for (row, food) in (0..self.foods).zip(0_u32..) {
            for column in 0..columns {
                let Some(cell) = cells.get(row, column as usize) else {
                    continue;
                };
                rows.foods.push(food);
                rows.nutrients.push(column);
                rows.origins.push(cell.mark.origin as u32);
                rows.derivations.push(cell.mark.derivation.into());
                if sources {
                    rows.sources.push(cell.mark.source.into());
                }
                if points {
                    rows.points.push(cell.data_points);
                }
                if errors {
                    rows.errors.push(cell.standard_error);
                }
                if taken {
                    let from = cell.taken_from.and_then(|place| self.number(place));
                    rows.taken.push(from);
                }
            }
        }
        let counts = |present, counts: &[_]| {
            if present {
                shape::counts(counts)
            } else {
                shape::no_counts(values)
            }
        };
        let columns = [
            shape::words(&self.ids(), rows.foods)?,
            shape::few_counts(&numbers, rows.nutrients)?,
            counts(points, &rows.points),
            if errors {
                shape::numbers(&rows.errors)
            } else {
                shape::no_numbers(values)
            },
            shape::words(&Origin::ALL.map(Origin::as_str), rows.origins)?,
            shape::words(&rules.derivations, rows.derivations)?,
            if sources {
                shape::words(&rules.sources, rows.sources)?
            } else {
                shape::no_texts(values)
            },
            counts(taken, &rows.taken),
        ];
        self.shapes.provenance.encode(&self.id(0), &columns)
    }

    fn number(&self, place: u16) -> Option<u32> {
        let nutrient = self.known.get(usize::from(place))?;
        Some(nutrient.id.number().into())
    }
}

/// The columns of the table of provenance.
struct Rows {
    foods: Vec<u32>,
    nutrients: Vec<u32>,
    points: Vec<Option<u32>>,
    errors: Vec<Option<f64>>,
    origins: Vec<u32>,
    derivations: Vec<u32>,
    sources: Vec<u32>,
    taken: Vec<Option<u32>>,
}

impl Rows {
    fn with_capacity(rows: usize) -> Self {
        Self {
            foods: Vec::with_capacity(rows),
            nutrients: Vec::with_capacity(rows),
            points: Vec::new(),
            errors: Vec::new(),
            origins: Vec::with_capacity(rows),
            derivations: Vec::with_capacity(rows),
            sources: Vec::new(),
            taken: Vec::new(),
        }
    }
}
