//! The nutrients of some thousand recipes at once.
//!
//! The foods of a corpus do not fit into the cache of a core, but a tile of eight of their nutrients does: so all lines of a block are gone
//! through for one tile, then for the next. Each recipe's sums are made in the order of its lines.

use std::collections::BTreeMap;

use super::food_layout::{FoodLayout, FoodTile, NutrientPlace, ProfileTile, TILES, Tile, WIDTH};

/// How many recipes are summed at once; the row groups of the results are whole blocks.
pub(super) const RECIPES_OF_A_BLOCK: usize = 16_384;
/// More lines are not held at once.
const LINES_OF_A_BLOCK: usize = 1 << 20;

/// A line whose nutrients are to be added.
#[derive(Debug, Clone, Copy)]
struct BlockLine {
    grams: f64,
    nutrients: NutrientPlace,
}

/// The sums of lines of one recipe that were too many to be kept in memory: for each tile as frozen and as served.
type Earlier = Box<[[Tile; 2]; TILES]>;

/// A recipe of a block.
#[derive(Debug)]
struct BlockRecipe {
    /// Where its lines end.
    end: usize,
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
    /// Of the recipe that is being read.
    earlier: Option<Earlier>,
}

impl RecipeBlock {
    /// Adds a line to the recipe that is being read: so many grams of edible food.
    pub(super) fn push_line(&mut self, grams: f64, nutrients: NutrientPlace) {
        self.lines.push(BlockLine { grams, nutrients });
    }

    /// Ends a recipe that returns this share of its liquid, and whose cubes are warmed or not.
    pub(super) fn end_recipe(&mut self, share: f64, warm: bool) {
        self.recipes.push(BlockRecipe {
            end: self.lines.len(),
            earlier: self.earlier.take(),
            share,
            warm,
        });
    }

    /// Sums the lines of the recipe that is being read if they are too many to be held.
    pub(super) fn fold(&mut self, layout: &FoodLayout, share: f64, warm: bool) {
        let start = self.recipes.last().map_or(0, |before| before.end);
        if self.lines.len() - start >= LINES_OF_A_BLOCK {
            self.fold_from(start, layout, share, warm);
        }
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

    /// The nutrients of one tile of each recipe, summed over its lines in the units of the nutrients: as served, or else as frozen.
    pub(super) fn sums(&self, layout: &FoodLayout, tile: usize, served: bool) -> Vec<Tile> {
        let mut start = 0;
        let foods = layout.tile(tile);
        let sum = |recipe: &BlockRecipe| {
            let lines = self.lines.get(start..recipe.end).unwrap_or_default();
            start = recipe.end;
            let before = earlier(recipe.earlier.as_ref(), tile, served);
            sum_lines(before, lines, foods, recipe.share, served && recipe.warm)
        };
        self.recipes.iter().map(sum).collect()
    }

    /// Makes room for other recipes.
    pub(super) fn clear(&mut self) {
        self.lines.clear();
        self.recipes.clear();
    }
}

/// The sums of the lines that were folded, 0 where none were.
fn earlier(earlier: Option<&Earlier>, tile: usize, served: bool) -> Tile {
    let sums = earlier.and_then(|earlier| earlier.get(tile));
    sums.map_or([0.0; WIDTH], |sums| sums[usize::from(served)])
}

/// Adds the nutrients of the lines of a recipe to the sums before them.
fn sum_lines(before: Tile, lines: &[BlockLine], tile: &FoodTile, share: f64, warm: bool) -> Tile {
    // Asked once for a recipe: a branch that each line takes otherwise than the last one costs more than what it saves.
    match (share > 0.0, warm) {
        (false, false) => sum(before, lines, tile, |profile, at| profile.kept[at]),
        (false, true) => sum(before, lines, tile, |profile, at| profile.kept_warm[at]),
        (true, false) => sum(before, lines, tile, |profile, at| {
            profile.kept_with(share, at)
        }),
        (true, true) => sum(before, lines, tile, |profile, at| {
            profile.kept_with(share, at) * profile.warm[at]
        }),
    }
}

fn sum(
    before: Tile,
    lines: &[BlockLine],
    tile: &FoodTile,
    kept: impl Fn(&ProfileTile, usize) -> f64,
) -> Tile {
    let mut sum = before;
    for line in lines {
        if let Some((values, profile)) = tile.at(line.nutrients) {
            for at in 0..WIDTH {
                sum[at] += line.grams * values[at] * kept(profile, at);
            }
        }
    }
    sum
}

impl ProfileTile {
    /// The share of a nutrient that is kept when this share of the cooking liquid is blended back in.
    fn kept_with(&self, share: f64, at: usize) -> f64 {
        self.kept[at] + share * (self.used[at] + share * self.both[at])
    }
}

/// The sums of a block, made tile by tile as they are asked for.
#[derive(Debug)]
pub(super) struct BlockSums<'a> {
    block: &'a RecipeBlock,
    foods: &'a FoodLayout,
    made: BTreeMap<(bool, usize), Vec<Tile>>,
}

impl<'a> BlockSums<'a> {
    /// Without any sum yet.
    pub(super) fn new(block: &'a RecipeBlock, foods: &'a FoodLayout) -> Self {
        Self {
            block,
            foods,
            made: BTreeMap::new(),
        }
    }

    /// Makes the sums of these nutrients, as served or as frozen.
    pub(super) fn prepare(&mut self, nutrients: &[usize], served: bool) {
        for nutrient in nutrients {
            let tile = nutrient / WIDTH;
            let made = self.made.entry((served, tile));
            made.or_insert_with(|| self.block.sums(self.foods, tile, served));
        }
    }

    /// The sum of a nutrient of a recipe that was prepared; 0 where it was not.
    pub(super) fn get(&self, recipe: usize, nutrient: usize, served: bool) -> f64 {
        let sums = self.made.get(&(served, nutrient / WIDTH));
        let tile = sums.and_then(|sums| sums.get(recipe));
        tile.map_or(0.0, |tile| tile[nutrient % WIDTH])
    }

    /// The sum of a nutrient for all recipes.
    pub(super) fn of(&mut self, nutrient: usize, served: bool) -> impl Iterator<Item = f64> {
        self.prepare(&[nutrient], served);
        let sums = self.made.get(&(served, nutrient / WIDTH));
        let tiles = sums.map_or(&[][..], Vec::as_slice);
        tiles.iter().map(move |tile| tile[nutrient % WIDTH])
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
            let place = layout.add(in_run, foods.get(in_run).unwrap());
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
                let sums = whole.sums(&layout, tile, served);
                assert_eq!(sums, folded.sums(&layout, tile, served));
                assert!(tile > 0 || sums[1][1] > 100.0, "{sums:?}");
            }
        }
    }
}
