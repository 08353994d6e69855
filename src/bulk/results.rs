//! The table of results: one row for each recipe.

use std::collections::BTreeMap;
use std::path::Path;

use data_import::parquet::{
    Cells, Codec, Given, Layout, ParquetWriter, WrittenColumn, WrittenFile,
};

use super::BulkError;
use super::block::{BlockSums, RECIPES_OF_A_BLOCK};
use super::food_layout::WIDTH;
use super::id::RecipeId;
use super::intervals::Ends;
use super::nutrient_columns::NutrientColumns;
use super::outcome::BulkRow;

/// The amount that the figures of nutrients are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Per {
    /// One serving, as served.
    Serving,
    /// 100 g of purée, as frozen.
    HundredGrams,
    /// Both.
    Both,
}

impl Per {
    /// Whether figures as frozen are asked for.
    pub(super) fn is_frozen(self) -> bool {
        self != Self::Serving
    }

    /// Whether figures as served are asked for.
    pub(super) fn is_served(self) -> bool {
        self != Self::HundredGrams
    }

    /// The ends of the names of the columns.
    pub(super) fn endings(self) -> &'static [&'static str] {
        match self {
            Self::Serving => &["serving"],
            Self::HundredGrams => &["100g"],
            Self::Both => &["100g", "serving"],
        }
    }
}

/// Rows of a row group.
pub(super) const ROWS_OF_A_GROUP: usize = 2 * RECIPES_OF_A_BLOCK;

/// The ids of rows that are written.
#[derive(Debug)]
pub(super) enum IdColumn {
    Numbers(Vec<i64>),
    Text(Vec<String>),
}

impl IdColumn {
    pub(super) fn new(numbered: bool) -> Self {
        if numbered {
            Self::Numbers(Vec::new())
        } else {
            Self::Text(Vec::new())
        }
    }

    pub(super) fn push(&mut self, id: &RecipeId) {
        match (self, id) {
            (Self::Numbers(rows), RecipeId::Number(number)) => rows.push(*number),
            (Self::Text(rows), id) => rows.push(id.to_string()),
            // Numbers and text never meet: the files were compared when they were opened.
            (Self::Numbers(_), RecipeId::Text(_)) => {}
        }
    }

    pub(super) fn clear(&mut self) {
        match self {
            Self::Numbers(rows) => rows.clear(),
            Self::Text(rows) => rows.clear(),
        }
    }

    pub(super) fn cells(&self) -> Cells<'_> {
        match self {
            Self::Numbers(rows) => Cells::Integers(rows, None),
            Self::Text(rows) => Cells::Text(rows.iter().map(|row| Some(row.as_str())).collect()),
        }
    }

    pub(super) fn column(&self) -> WrittenColumn {
        let layout = match self {
            Self::Numbers(_) => Layout::Int64,
            Self::Text(_) => Layout::String,
        };
        WrittenColumn {
            sorted: true,
            ..plain("recipe_id", layout)
        }
    }
}

/// A column without metadata.
pub(super) fn plain(name: &str, layout: Layout) -> WrittenColumn {
    WrittenColumn {
        name: name.to_owned(),
        layout,
        sorted: false,
        few: false,
        notes: BTreeMap::new(),
    }
}

/// The masses and what follows from them, with their units in their names.
const MASSES: [&str; 9] = [
    "purchased_g",
    "edible_g",
    "cooked_g",
    "liquid_g",
    "puree_g",
    "density_g_per_ml",
    "cube_g",
    "cubes",
    "serving_g",
];

/// A file of results that is written.
#[derive(Debug)]
pub(super) struct Results<'a> {
    nutrients: &'a NutrientColumns,
    writer: ParquetWriter,
    ids: IdColumn,
    errors: Vec<i64>,
    lines: Vec<i64>,
    masses: [Vec<f64>; MASSES.len()],
    assumed: Vec<bool>,
    incomplete: Vec<i64>,
    nothing: Vec<u64>,
    values: Vec<Vec<f64>>,
    /// Of the rows whose nutrients are still to come.
    waiting: Vec<RowScale>,
    /// Low and high of each interval in turn.
    ends: Vec<Vec<Option<f64>>>,
    pub(super) rows: u64,
}

/// How the nutrients of a row follow from the sums of its recipe.
#[derive(Debug, Clone, Copy)]
struct RowScale {
    frozen: f64,
    served: f64,
    /// The water of the recipe, which no sum says.
    water: f64,
}

impl RowScale {
    fn factor(&self, served: bool) -> f64 {
        if served { self.served } else { self.frozen }
    }
}

impl<'a> Results<'a> {
    /// Begins a file for about as many rows as `rows`.
    pub(super) fn create(
        path: &Path,
        numbered: bool,
        nutrients: &'a NutrientColumns,
        codec: Codec,
        rows: usize,
    ) -> Result<Self, BulkError> {
        let ids = IdColumn::new(numbered);
        let of_group = rows.min(ROWS_OF_A_GROUP);
        let few = |name, layout| WrittenColumn {
            few: true,
            ..plain(name, layout)
        };
        let mut columns = vec![ids.column(), few("errors", Layout::Int32)];
        columns.push(few("line_count", Layout::Int32));
        columns.extend(MASSES[..6].iter().map(|name| plain(name, Layout::Double)));
        columns.push(plain("density_assumed", Layout::Boolean));
        columns.extend(MASSES[6..].iter().map(|name| plain(name, Layout::Double)));
        columns.push(few("incomplete", Layout::Int64));
        columns.extend(nutrients.written.iter().cloned());
        Ok(Self {
            nutrients,
            writer: ParquetWriter::create(path, &columns, codec)?,
            ids,
            errors: Vec::new(),
            lines: Vec::new(),
            masses: Default::default(),
            assumed: Vec::new(),
            incomplete: Vec::new(),
            nothing: Vec::new(),
            values: (0..nutrients.columns.len())
                .map(|_| Vec::with_capacity(of_group))
                .collect(),
            waiting: Vec::new(),
            ends: vec![Vec::new(); 2 * nutrients.intervals],
            rows: 0,
        })
    }

    /// Appends a recipe, all but its nutrients.
    pub(super) fn push(&mut self, id: &RecipeId, row: &BulkRow, intervals: &[Ends]) {
        self.rows += 1;
        self.ids.push(id);
        self.errors.push(row.errors);
        self.lines.push(row.lines);
        let masses = [
            row.purchased,
            row.edible,
            row.cooked,
            row.liquid,
            row.puree,
            row.density,
            row.cube,
            row.cubes,
            row.serving,
        ];
        for (column, mass) in self.masses.iter_mut().zip(masses) {
            column.push(mass);
        }
        self.assumed.push(row.density_assumed);
        self.incomplete.push(row.missing.cast_signed());
        // Nothing is known of the water where that of one food is not.
        self.nothing.push(row.nothing & !1 | row.missing & 1);
        let of_good = |figure: f64| if row.errors == 0 { figure } else { 0.0 };
        self.waiting.push(RowScale {
            frozen: of_good(100.0 / row.blended),
            served: of_good(row.serving / row.blended),
            water: row.water,
        });
        let ends = intervals.iter().flat_map(|one| [one.low, one.high]);
        for (column, end) in self
            .ends
            .iter_mut()
            .zip(ends.chain(std::iter::repeat(None)))
        {
            column.push(end);
        }
    }

    /// Appends the nutrients of the recipes that were pushed since the last time.
    pub(super) fn push_nutrients(&mut self, sums: &BlockSums<'_>) -> Result<(), BulkError> {
        let scales = self.waiting.as_slice();
        let mut of_tiles = BTreeMap::<_, Vec<_>>::new();
        for (column, (at, is_served)) in self.values.iter_mut().zip(&self.nutrients.columns) {
            if *at == 0 {
                column.extend(scales.iter().map(|one| one.water * one.factor(*is_served)));
            } else {
                let tile = of_tiles.entry((*is_served, at / WIDTH)).or_default();
                tile.push((at % WIDTH, column));
            }
        }
        for (tile, mut columns) in of_tiles {
            sums.of_tile(tile, |first, sums| {
                let scales = scales.get(first..).unwrap_or_default();
                for (lane, column) in &mut columns {
                    let rows = sums.iter().zip(scales);
                    column.extend(rows.map(|(sum, scale)| sum[*lane] * scale.factor(tile.0)));
                }
            });
        }
        self.waiting.clear();
        if self.errors.len() >= ROWS_OF_A_GROUP {
            self.flush()?;
        }
        Ok(())
    }

    /// Writes what was gathered, and the end of the file.
    pub(super) fn finish(mut self) -> Result<WrittenFile, BulkError> {
        self.flush()?;
        Ok(self.writer.finish()?)
    }

    fn flush(&mut self) -> Result<(), BulkError> {
        let rows = self.errors.len();
        if rows == 0 {
            return Ok(());
        }
        let any_error = self.errors.iter().any(|errors| *errors != 0);
        let any_nothing = self.nothing.iter().fold(0, |all, row| all | row);
        let good = self.errors.iter().map(|errors| *errors == 0);
        let good = any_error.then(|| good.collect::<Given>());
        let of_row = || good.clone();
        let of_nutrient = |at: usize| {
            if any_nothing >> at & 1 == 0 {
                return of_row();
            }
            let rows = self.errors.iter().zip(&self.nothing);
            Some(
                rows.map(|(errors, nothing)| *errors == 0 && nothing >> at & 1 == 0)
                    .collect(),
            )
        };
        let mass = |at: usize| Cells::Reals(&self.masses[at], of_row());
        let ends: Vec<Vec<f64>> = self.ends.iter().map(|column| filled(column)).collect();
        let first_end = 14 + self.nutrients.columns.len();
        self.writer.write(rows, |column| match column {
            0 => self.ids.cells(),
            1 => Cells::Integers(&self.errors, None),
            2 => Cells::Integers(&self.lines, None),
            3..=8 => mass(column - 3),
            9 => Cells::Truths(&self.assumed, of_row()),
            10..=12 => mass(column - 4),
            13 => Cells::Integers(&self.incomplete, of_row()),
            end if end >= first_end => {
                let given = self.ends[end - first_end].iter().map(Option::is_some);
                Cells::Reals(&ends[end - first_end], Some(given.collect()))
            }
            _ => {
                let (at, _) = self.nutrients.columns[column - 14];
                Cells::Reals(&self.values[column - 14], of_nutrient(at))
            }
        })?;
        self.ids.clear();
        self.errors.clear();
        self.lines.clear();
        self.masses.iter_mut().for_each(Vec::clear);
        self.assumed.clear();
        self.incomplete.clear();
        self.nothing.clear();
        self.values.iter_mut().for_each(Vec::clear);
        self.ends.iter_mut().for_each(Vec::clear);
        Ok(())
    }
}

/// The figures of a column; what is not given is marked so beside them.
fn filled(column: &[Option<f64>]) -> Vec<f64> {
    column.iter().map(|end| end.unwrap_or(f64::NAN)).collect()
}
