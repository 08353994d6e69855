//! The nutrients of some thousand recipes at once.
//!
//! The foods of a corpus do not fit into the cache of a core, but a tile of eight of their
//! nutrients does: so all lines of a block are gone through for one tile, then for the next. Each
//! recipe's sums are made in the order of its lines.

use std::collections::BTreeMap;
use std::ops::Range;

use super::food_layout::{
    Compositions, FoodLayout, FoodTile, KeptTile, NutrientPlace, STEP, TILES, Tile, TileFigures,
    WIDTH,
};

/// How many recipes are summed at once; the row groups of the results are whole blocks.
pub(super) const RECIPES_OF_A_BLOCK: usize = 16_384;
/// How many recipes are summed before their sums are handed on, which stay in the nearest cache until then.
const SUMMED_TOGETHER: usize = 128;
/// The most lines that are held at once.
const LINES_OF_A_BLOCK: usize = 1 << 20;

/// A line whose nutrients are to be added.
#[derive(Debug, Clone, Copy)]
struct BlockLine {
    grams: f64,
    nutrients: NutrientPlace,
}

/// The sums of lines of one recipe that were too many to be kept in memory, in [`STEP`]s: for each
/// tile as frozen and as served.
type Earlier = Box<[[Tile; 2]; TILES]>;

/// A recipe of a block.
#[derive(Debug)]
struct BlockRecipe {
    lines: Range<usize>,
    earlier: Option<Earlier>,
    /// The share of its liquid that is returned.
    share: f64,
    warm: bool,
}

/// Recipes whose nutrients are summed together.
#[derive(Debug, Default)]
pub(super) struct RecipeBlock {
    lines: Vec<BlockLine>,
    recipes: Vec<BlockRecipe>,
    /// The places of the recipes that return some of their liquid, and of the others.
    with_liquid: Vec<u32>,
    without: Vec<u32>,
    /// Of the recipe that is being read.
    earlier: Option<Earlier>,
}

impl RecipeBlock {
    /// Adds a line to the recipe that is being read: grams of edible food.
    pub(super) fn push_line(&mut self, grams: f64, nutrients: NutrientPlace) {
        self.lines.push(BlockLine { grams, nutrients });
    }

    /// Ends a recipe that returns this share of its liquid, and whose cubes are warmed or not.
    pub(super) fn end_recipe(&mut self, share: f64, warm: bool) {
        let places = if share > 0.0 {
            &mut self.with_liquid
        } else {
            &mut self.without
        };
        places.push(u32::try_from(self.recipes.len()).unwrap_or(u32::MAX));
        self.recipes.push(BlockRecipe {
            lines: self.start()..self.lines.len(),
            earlier: self.earlier.take(),
            share,
            warm,
        });
    }

    /// Sums the lines of the recipe that is being read if they are too many to be held.
    pub(super) fn fold(&mut self, layout: &FoodLayout, share: f64, warm: bool) {
        let start = self.start();
        if self.lines.len() - start >= LINES_OF_A_BLOCK {
            self.fold_from(start, layout, share, warm);
        }
    }

    /// Where the lines of the recipe begin that is being read.
    fn start(&self) -> usize {
        self.recipes.last().map_or(0, |before| before.lines.end)
    }

    fn fold_from(&mut self, start: usize, layout: &FoodLayout, share: f64, warm: bool) {
        let lines = self.lines.get(start..).unwrap_or_default();
        let sums = |tile: usize| {
            [false, true].map(|served| {
                let before = earlier(self.earlier.as_ref(), tile, served);
                sum_lines(before, lines, layout.tile(tile), share, served && warm)
            })
        };
        self.earlier = Some(Box::new(std::array::from_fn(sums)));
        self.lines.truncate(start);
    }

    /// Whether no more recipes ought to be read before they are summed.
    pub(super) fn is_full(&self) -> bool {
        self.recipes.len() >= RECIPES_OF_A_BLOCK || self.lines.len() >= LINES_OF_A_BLOCK
    }

    /// The nutrients of one tile of each recipe, summed over its lines in the units of the
    /// nutrients: as served, or else as frozen. `each` is given the sums of some recipes after
    /// another, with the place of the first of them.
    fn sum_tile(
        &self,
        layout: &FoodLayout,
        (served, tile): (bool, usize),
        mut each: impl FnMut(usize, &[Tile]),
    ) {
        let foods = layout.tile(tile);
        let mut sums = [[0.0; WIDTH]; SUMMED_TOGETHER];
        let (mut without, mut with_liquid) = (self.without.as_slice(), self.with_liquid.as_slice());
        for (at, recipes) in self.recipes.chunks(SUMMED_TOGETHER).enumerate() {
            let first = at * SUMMED_TOGETHER;
            // First those without liquid, then those with it: the processor guesses well what comes
            // next, and does not wait.
            for places in [&mut without, &mut with_liquid] {
                let end = places.partition_point(|place| (*place as usize) < first + recipes.len());
                let (here, later) = places.split_at(end);
                *places = later;
                for place in here {
                    let at = *place as usize - first;
                    if let Some((sum, recipe)) = sums.get_mut(at).zip(recipes.get(at)) {
                        let lines = self.lines.get(recipe.lines.clone()).unwrap_or_default();
                        let before = earlier(recipe.earlier.as_ref(), tile, served);
                        let warm = served && recipe.warm;
                        let steps = sum_lines(before, lines, foods, recipe.share, warm);
                        *sum = steps.map(|steps| steps * STEP);
                    }
                }
            }
            each(first, sums.get(..recipes.len()).unwrap_or_default());
        }
    }

    /// Makes room for other recipes, once their sums are written.
    pub(super) fn clear(&mut self) {
        self.lines.clear();
        self.recipes.clear();
        self.with_liquid.clear();
        self.without.clear();
    }
}

/// The sums of the lines that were folded, 0 where none were.
fn earlier(earlier: Option<&Earlier>, tile: usize, served: bool) -> Tile {
    let sums = earlier.and_then(|earlier| earlier.get(tile));
    sums.map_or([0.0; WIDTH], |sums| sums[usize::from(served)])
}

/// Adds the nutrients of the lines of a recipe to the sums before them, in [`STEP`]s.
fn sum_lines(before: Tile, lines: &[BlockLine], tile: &FoodTile, share: f64, warm: bool) -> Tile {
    let lines = (before, lines);
    match &tile.compositions {
        Compositions::Narrow(values) => sum_held(lines, (values, tile), share, warm),
        Compositions::Wide(values) => sum_held(lines, (values, tile), share, warm),
    }
}

fn sum_held<F: TileFigures>(
    lines: (Tile, &[BlockLine]),
    tile: (&[F], &FoodTile),
    share: f64,
    warm: bool,
) -> Tile {
    // Asked once for a recipe: a branch that each line takes otherwise than the last one costs more than what it saves.
    match (share > 0.0, tile.1.has_squares) {
        (false, _) => sum(lines, tile, warm, |kept, at| kept.none[at]),
        (true, false) => sum(lines, tile, warm, |kept, at| {
            kept.none[at] + share * kept.used[at]
        }),
        (true, true) => sum(lines, tile, warm, |kept, at| {
            kept.none[at] + share * (kept.used[at] + share * kept.both[at])
        }),
    }
}

fn sum<F: TileFigures>(
    (before, lines): (Tile, &[BlockLine]),
    (values, tile): (&[F], &FoodTile),
    warm: bool,
    share_kept: impl Fn(&KeptTile, usize) -> f64,
) -> Tile {
    let mut sum = before;
    for line in lines {
        let figures = values.get(line.nutrients.composition as usize);
        if let Some((figures, kept)) = figures.zip(tile.kept(line.nutrients, warm)) {
            for (at, sum) in sum.iter_mut().enumerate() {
                *sum += line.grams * figures.at(at) * share_kept(kept, at);
            }
        }
    }
    sum
}

/// The sums of a block. Those of some nutrients can be kept; the others are made as they are asked for.
#[derive(Debug)]
pub(super) struct BlockSums<'a> {
    block: &'a RecipeBlock,
    foods: &'a FoodLayout,
    kept: BTreeMap<(bool, usize), Vec<Tile>>,
}

impl<'a> BlockSums<'a> {
    /// Without any sum yet.
    pub(super) fn new(block: &'a RecipeBlock, foods: &'a FoodLayout) -> Self {
        Self {
            block,
            foods,
            kept: BTreeMap::new(),
        }
    }

    /// Keeps the sums of these nutrients, as served or as frozen.
    pub(super) fn keep(&mut self, nutrients: &[usize], served: bool) {
        for nutrient in nutrients {
            let tile = (served, nutrient / WIDTH);
            self.kept.entry(tile).or_insert_with(|| {
                let mut sums = Vec::with_capacity(self.block.recipes.len());
                let each = |_, some: &[Tile]| sums.extend_from_slice(some);
                self.block.sum_tile(self.foods, tile, each);
                sums
            });
        }
    }

    /// The sum of a nutrient of a recipe, if it was kept; else 0.
    pub(super) fn get(&self, recipe: usize, nutrient: usize, served: bool) -> f64 {
        let sums = self.kept.get(&(served, nutrient / WIDTH));
        let tile = sums.and_then(|sums| sums.get(recipe));
        tile.map_or(0.0, |tile| tile[nutrient % WIDTH])
    }

    /// Gives the sums of the nutrients of a tile, as served or as frozen, of some recipes after
    /// another, with the place of the first of them.
    pub(super) fn of_tile(&self, tile: (bool, usize), mut each: impl FnMut(usize, &[Tile])) {
        match self.kept.get(&tile) {
            Some(sums) => each(0, sums),
            None => self.block.sum_tile(self.foods, tile, each),
        }
    }
}

#[cfg(test)]
mod tests {
    use data_import::FoodTable;

    use super::super::food_preparer::FoodPreparer;
    use super::*;
    use crate::cooking::Method;
    use crate::food::Pantry;

    #[test]
    fn more_lines_than_can_be_held_come_to_the_same() {
        let pantry = Pantry::from(FoodTable::builtin().unwrap());
        let mut foods = FoodPreparer::new(&pantry, false).unwrap();
        let known = foods.look_up(["11090", "16144"].into_iter()).unwrap();
        let mut layout = FoodLayout::default();
        let mut places = Vec::new();
        for food in known {
            let in_run = foods.place(food.unwrap(), Method::Boil).unwrap();
            let place = layout.add(in_run, &foods.get(in_run).unwrap().lent());
            places.push(layout.get(place).unwrap().nutrients);
        }
        let (mut whole, mut folded) = (RecipeBlock::default(), RecipeBlock::default());
        for block in [&mut whole, &mut folded] {
            block.push_line(50.0, places[1]);
            block.end_recipe(0.0, false);
        }
        for line in 0..103 {
            let place = places[line % 2];
            whole.push_line(7.3, place);
            folded.push_line(7.3, place);
            if line % 10 == 9 {
                folded.fold_from(1, &layout, 0.4, true);
            }
        }
        assert_eq!(folded.lines.len(), 4);
        for block in [&mut whole, &mut folded] {
            block.end_recipe(0.4, true);
        }
        for tile in 0..TILES {
            for served in [false, true] {
                let [sums, of_folded] = [&whole, &folded].map(|block| {
                    let mut sums = Vec::new();
                    block.sum_tile(&layout, (served, tile), |_, some| {
                        sums.extend(some.to_vec());
                    });
                    sums
                });
                assert_eq!(sums, of_folded);
                assert!(tile > 0 || sums[1][1] > 100.0, "{sums:?}");
            }
        }
    }
}
