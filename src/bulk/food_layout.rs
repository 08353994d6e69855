//! The foods that a thread has met, laid out for the sums: the figures of each food lie close
//! together, and the nutrients are cut into tiles of eight, so that a tile of all foods stays in
//! the cache of a core while the lines go by.

use std::collections::HashMap;
use std::sync::Arc;

use foldhash::fast::FixedState;

use data_import::parquet::NOT_GIVEN;

use super::food::{Composition, LANES, Lanes, LentFood, PreparedFood, Profile, Rising};

/// How many nutrients are summed at once.
pub(super) const WIDTH: usize = 8;
/// A figure for each of them.
pub(super) type Tile = [f64; WIDTH];
/// How many tiles all nutrients make.
pub(super) const TILES: usize = LANES / WIDTH;

/// The figures of a [`PreparedFood`] that each line is calculated with, all but the nutrients: as
/// much as comes from memory at once, since the foods of a corpus lie far apart.
#[derive(Debug, Clone, Copy)]
#[repr(align(64))]
pub(super) struct LineFood {
    pub(super) edible_share: f64,
    pub(super) drained_share: f64,
    /// Where nothing is returned.
    pub(super) cooked: f64,
    /// 0 where it is not known.
    pub(super) dry: Rising,
    pub(super) missing: u64,
    pub(super) nutrients: NutrientPlace,
    /// The place of what its melted fat adds; [`NOT_GIVEN`] where none melts.
    melted: u32,
    pub(super) dry_is_known: bool,
    pub(super) is_water: bool,
}

const _: () = assert!(size_of::<LineFood>() == 64, "a line of the cache");

/// By how many grams, for each gram of a food, its cooked mass and its least dry matter rise where
/// all melted fat is blended back in.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct MeltedGrams {
    pub(super) cooked: f64,
    pub(super) least: f64,
}

/// Where the nutrients of a food and the shares of them that are kept lie in the tiles.
#[derive(Debug, Clone, Copy)]
pub(super) struct NutrientPlace {
    pub(super) composition: u32,
    profile: u32,
}

/// The shares of the nutrients of a tile that are kept: `none + share x (used + share x both)`, see [`Profile`].
#[derive(Debug, Clone, Copy)]
#[repr(align(64))]
pub(super) struct KeptTile {
    pub(super) none: Tile,
    pub(super) used: Tile,
    pub(super) both: Tile,
}

/// The shares kept of the nutrients of a tile, as frozen and after warming.
#[derive(Debug, Clone, Copy)]
struct ProfileTile {
    frozen: KeptTile,
    served: KeptTile,
}

/// The unit in which compositions are held: a hundred-thousandth of the nutrient's own unit for
/// each gram of food. The food table gives at most three decimals for 100 g, so that its figures
/// are whole numbers of it.
pub(super) const STEP: f64 = 1e-5;

/// A tile of a food in [`STEP`]s: whole numbers, which single precision holds exactly, so that all
/// foods fit into the cache of a core.
#[derive(Debug, Clone, Copy)]
#[repr(align(32))]
pub(super) struct NarrowTile([f32; WIDTH]);

/// A tile of a food in [`STEP`]s that may have fractions, such as those of a figure worked out from a label.
#[derive(Debug, Clone, Copy)]
#[repr(align(64))]
pub(super) struct WideTile(Tile);

/// The tiles of the compositions, narrow as long as all are. A figure comes to the same in both, so
/// that the sums do not depend on which foods a thread has met.
#[derive(Debug)]
pub(super) enum Compositions {
    Narrow(Vec<NarrowTile>),
    Wide(Vec<WideTile>),
}

impl Default for Compositions {
    fn default() -> Self {
        Self::Narrow(Vec::new())
    }
}

/// The figures of a tile, whichever way they are held.
pub(super) trait TileFigures {
    /// One of them, in [`STEP`]s.
    fn at(&self, at: usize) -> f64;
}

impl TileFigures for NarrowTile {
    #[inline]
    fn at(&self, at: usize) -> f64 {
        self.0[at].into()
    }
}

impl TileFigures for WideTile {
    #[inline]
    fn at(&self, at: usize) -> f64 {
        self.0[at]
    }
}

impl Compositions {
    fn len(&self) -> usize {
        match self {
            Self::Narrow(tiles) => tiles.len(),
            Self::Wide(tiles) => tiles.len(),
        }
    }

    fn reserve(&mut self, more: usize) {
        match self {
            Self::Narrow(tiles) => tiles.reserve(more),
            Self::Wide(tiles) => tiles.reserve(more),
        }
    }

    fn push(&mut self, values: Tile) {
        let steps = values.map(steps);
        let narrow = steps.map(narrowed);
        if let Self::Narrow(tiles) = self
            && narrow.iter().any(Option::is_none)
        {
            let wide = |tile: &NarrowTile| WideTile(tile.0.map(f64::from));
            *self = Self::Wide(tiles.iter().map(wide).collect());
        }
        match self {
            Self::Narrow(tiles) => {
                tiles.push(NarrowTile(narrow.map(Option::unwrap_or_default)));
            }
            Self::Wide(tiles) => tiles.push(WideTile(steps)),
        }
    }
}

/// How many steps a figure is: a whole number, unless it has more decimals.
fn steps(value: f64) -> f64 {
    let whole = (value / STEP).round();
    if (whole * STEP - value).abs() <= 2.0 * f64::EPSILON * value.abs() {
        whole
    } else {
        value / STEP
    }
}

/// A figure in single precision, where that holds it exactly.
#[expect(
    clippy::cast_possible_truncation,
    clippy::float_cmp,
    reason = "exactly the same number is asked for"
)]
fn narrowed(figure: f64) -> Option<f32> {
    let narrow = figure as f32;
    (f64::from(narrow) == figure).then_some(narrow)
}

/// Places of what is asked for once for each food and method, so that a fast hash counts; nobody chooses the keys.
type PlaceMap<K> = HashMap<K, u32, FixedState>;

/// Eight nutrients of all foods.
#[derive(Debug, Default)]
pub(super) struct FoodTile {
    pub(super) compositions: Compositions,
    /// For each profile the place of what it says of these nutrients, in which many are alike: so
    /// they stay in the cache.
    alike: Vec<u32>,
    profiles: Vec<ProfileTile>,
    places: PlaceMap<[[u64; WIDTH]; 4]>,
    /// Whether some nutrient goes with the liquid and with what is dissolved in it.
    pub(super) has_squares: bool,
}

impl FoodTile {
    /// The shares of the nutrients of a food that are kept: after warming, or as frozen.
    pub(super) fn kept(&self, place: NutrientPlace, warm: bool) -> Option<&KeptTile> {
        let alike = *self.alike.get(place.profile as usize)?;
        let profile = self.profiles.get(alike as usize);
        profile.map(|both| if warm { &both.served } else { &both.frozen })
    }

    fn push_profile(&mut self, [kept, used, both, warm]: [Tile; 4]) {
        let next = count(&self.profiles);
        let bits = [kept, used, both, warm].map(|tile| tile.map(f64::to_bits));
        let place = *self.places.entry(bits).or_insert(next);
        self.alike.push(place);
        if place == next {
            let warmed = |tile: Tile| std::array::from_fn(|at| tile[at] * warm[at]);
            let frozen = KeptTile {
                none: kept,
                used,
                both,
            };
            let served = KeptTile {
                none: warmed(kept),
                used: warmed(used),
                both: warmed(both),
            };
            self.has_squares |= both.iter().any(|both| *both != 0.0);
            self.profiles.push(ProfileTile { frozen, served });
        }
    }
}

/// The foods that a thread has met.
#[derive(Debug)]
pub(super) struct FoodLayout {
    foods: Vec<LineFood>,
    melted: Vec<MeltedGrams>,
    tiles: [FoodTile; TILES],
    places: LaidOut,
}

/// The places of what is laid out already: of foods by their places in the run, of what they share
/// by its address, since the run keeps its foods to its end.
#[derive(Debug, Default)]
struct LaidOut {
    foods: Vec<u32>,
    compositions: PlaceMap<usize>,
    profiles: PlaceMap<usize>,
}

/// The profile of what is neither cooked nor warmed.
const UNCOOKED: u32 = 0;

impl Default for FoodLayout {
    fn default() -> Self {
        let uncooked = || {
            let (all, nothing) = ([1.0; WIDTH], [0.0; WIDTH]);
            let mut tile = FoodTile::default();
            tile.push_profile([all, nothing, nothing, all]);
            tile
        };
        Self {
            foods: Vec::new(),
            melted: Vec::new(),
            tiles: std::array::from_fn(|_| uncooked()),
            places: LaidOut::default(),
        }
    }
}

impl FoodLayout {
    /// The place of a food, by its place in the run, if it is laid out.
    pub(super) fn known(&self, place: u32) -> Option<u32> {
        let known = self.places.foods.get(place as usize);
        known.copied().filter(|known| *known != NOT_GIVEN)
    }

    /// Makes room for a number of foods, by a number of ways to cook them.
    pub(super) fn reserve(&mut self, foods: usize, ways: usize) {
        self.foods.reserve(ways);
        for tile in &mut self.tiles {
            tile.compositions.reserve(foods);
        }
    }

    /// Lays out a food, which is at this place in the run; gives its place here.
    pub(super) fn add(&mut self, place: u32, food: &LentFood<'_>) -> u32 {
        let next = count(&self.foods);
        let (places, at) = (&mut self.places.foods, place as usize);
        if places.len() <= at {
            places.resize(at + 1, NOT_GIVEN);
        }
        if let Some(place) = places.get_mut(at) {
            *place = next;
        }
        let unknown = Rising {
            none: 0.0,
            more: 0.0,
        };
        // Without returned liquid both say the same.
        let least = food.least.or(food.dry).unwrap_or(unknown);
        let melted = MeltedGrams {
            cooked: food.cooked.more,
            least: least.more,
        };
        let melts = [melted.cooked, melted.least]
            .iter()
            .any(|more| *more != 0.0);
        let nutrients = NutrientPlace {
            composition: self.composition(food.composition),
            profile: self.profile(food.profile),
        };
        self.foods.push(LineFood {
            edible_share: food.edible_share,
            drained_share: food.drained_share,
            cooked: food.cooked.none,
            dry: food.dry.unwrap_or(unknown),
            missing: food.composition.missing,
            nutrients,
            melted: if melts {
                count(&self.melted)
            } else {
                NOT_GIVEN
            },
            dry_is_known: food.least.is_some(),
            is_water: food.is_water,
        });
        self.melted.extend(melts.then_some(melted));
        next
    }

    /// By how many grams a food rises with its melted fat; zero where none melts.
    pub(super) fn melted(&self, food: &LineFood) -> MeltedGrams {
        match food.melted {
            NOT_GIVEN => MeltedGrams::default(),
            place => self.melted.get(place as usize).copied().unwrap_or_default(),
        }
    }

    /// The food at a place.
    pub(super) fn get(&self, place: u32) -> Option<&LineFood> {
        self.foods.get(place as usize)
    }

    /// Where the nutrients of a food lie that is neither cooked nor warmed.
    pub(super) fn uncooked(&mut self, food: &PreparedFood) -> NutrientPlace {
        NutrientPlace {
            composition: self.composition(&food.composition),
            profile: UNCOOKED,
        }
    }

    /// A tile of the nutrients.
    pub(super) fn tile(&self, tile: usize) -> &FoodTile {
        let [first, ..] = &self.tiles;
        self.tiles.get(tile).unwrap_or(first)
    }

    fn composition(&mut self, composition: &Arc<Composition>) -> u32 {
        let [first, ..] = &self.tiles;
        let next = u32::try_from(first.compositions.len()).unwrap_or(u32::MAX);
        let address = Arc::as_ptr(composition);
        let place = place(&mut self.places.compositions, address, next);
        if place == next {
            for (at, tile) in self.tiles.iter_mut().enumerate() {
                let values = cut(&composition.values, at);
                tile.compositions.push(values);
            }
        }
        place
    }

    fn profile(&mut self, profile: &Arc<Profile>) -> u32 {
        let [first, ..] = &self.tiles;
        let next = count(&first.alike);
        let address = Arc::as_ptr(profile);
        let place = place(&mut self.places.profiles, address, next);
        if place == next {
            for (at, tile) in self.tiles.iter_mut().enumerate() {
                let Profile {
                    kept,
                    used,
                    both,
                    warm,
                } = &**profile;
                tile.push_profile([kept, used, both, warm].map(|lanes| cut(lanes, at)));
            }
        }
        place
    }
}

/// The nutrients of a tile.
fn cut(lanes: &Lanes, tile: usize) -> Tile {
    std::array::from_fn(|at| lanes[tile * WIDTH + at])
}

fn count<T>(rows: &[T]) -> u32 {
    u32::try_from(rows.len()).unwrap_or(u32::MAX)
}

/// The place of what lies at an address; `next` where it has none yet.
fn place<T>(places: &mut PlaceMap<usize>, of: *const T, next: u32) -> u32 {
    *places.entry(of.addr()).or_insert(next)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_comes_to_the_same_in_whichever_width_it_is_held() {
        let of_table = [
            0.0,
            0.0027,
            3.75,
            316.67 / 100.0,
            5000.0,
            0.00001,
            1.0,
            0.125,
        ];
        let of_label = [1.0 / 3.0, 0.1, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0];
        let mut narrow = Compositions::default();
        narrow.push(of_table);
        let mut wide = Compositions::default();
        wide.push(of_table);
        wide.push(of_label);
        let (Compositions::Narrow(narrow), Compositions::Wide(wide)) = (narrow, wide) else {
            panic!("a figure of a label is held in single precision");
        };
        for at in 0..WIDTH {
            assert_eq!(narrow[0].at(at).to_bits(), wide[0].at(at).to_bits());
            let figure = narrow[0].at(at) * STEP;
            assert!((figure - of_table[at]).abs() <= 4.0 * f64::EPSILON * of_table[at]);
            let figure = wide[1].at(at) * STEP;
            assert!((figure - of_label[at]).abs() <= 4.0 * f64::EPSILON * of_label[at]);
        }
    }
}
