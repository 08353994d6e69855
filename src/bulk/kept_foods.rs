//! All foods of a dataset as each method cooks them, kept in a file from one run to the next:
//! preparing them takes longer than a small corpus itself.
//!
//! The file holds lines of text (its kind, its key, how many foods, compositions, profiles and
//! figures there are, and the ids of the foods), then numbers of eight bytes, the lowest first
//! (compositions, profiles, and [`KeptFigures`]), for each food and method three numbers of four
//! bytes (the places of its composition, of its profile and of its figures), then a CRC-32 of all
//! before. What many share stands there once: most of the time goes into reading. Its key says what
//! it was made from, the program itself among it. A file that is damaged or of another key is not
//! used.

use std::collections::HashMap;
use std::fs;
use std::hash::Hash;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use data_import::hex;
use sha2::{Digest as _, Sha256};

use super::BulkError;
use super::food::{Composition, LANES, Lanes, LentFood, PreparedFood, Profile, Rising};
use super::food_preparer::{FoodPlace, FoodPreparer, METHODS, lost};
use crate::cooking::Method;
use crate::food::Pantry;
use crate::whole_file;

/// The first line of the file.
const KIND: &str = "prepared foods 2";
/// Numbers of a composition: its values, and what is missing.
const OF_COMPOSITION: usize = LANES + 1;
/// Numbers of figures.
const OF_FIGURES: usize = size_of::<KeptFigures>() / size_of::<u64>();
/// Numbers of a profile.
const OF_PROFILE: usize = 4 * LANES;
/// The bit of a pair's last place that says that the food is water.
const IS_WATER: u32 = 1 << 31;
/// Bytes of a pair: three places.
const OF_PAIR: usize = 3 * size_of::<u32>();

/// The figures of a food by a method, as bits: edible and drained share, cooked mass, dry matter
/// and least dry matter, each where no liquid is returned and what it is more where all is (NaN
/// where it is not known).
type KeptFigures = [u64; 8];

/// Foods of larger datasets are not kept: all of them would be prepared for the few that occur.
const MOST_FOODS: usize = 20_000;
/// Files that stay when another is written: of other datasets, and of other versions of the program.
const FILES: usize = 4;
/// How the names of the files begin.
const STEM: &str = "prepared-foods-";

/// The file in which the foods of a run are kept.
#[derive(Debug, Clone)]
pub(super) struct KeptFile {
    path: PathBuf,
    key: String,
}

impl KeptFile {
    /// The file in a folder for foods that are made from what has this digest; `None` where they are too many.
    pub(super) fn of(folder: &Path, foods: &Pantry, digest: &str) -> Option<Self> {
        let count: usize = foods.sources().iter().map(|source| source.foods).sum();
        // Other rules would make other foods of the same data.
        let program = fs::metadata(std::env::current_exe().ok()?).ok()?;
        let changed = program.modified().ok()?;
        let key = format!("{digest} {} {changed:?}", program.len());
        let name = hex(&Sha256::digest(&key));
        let path = folder.join(format!("{STEM}{}.bin", name.get(..16)?));
        (count <= MOST_FOODS).then_some(Self { path, key })
    }

    /// Reads the foods; `None` where they were not kept.
    pub(super) fn open(&self) -> Option<KeptFoods> {
        KeptFoods::read(&self.path, &self.key)
    }

    /// Prepares all foods of the dataset by all methods, keeps them, and drops files that were kept long ago.
    ///
    /// Errors: the dataset does not read, the file cannot be written.
    pub(super) fn keep(
        &self,
        foods: &Pantry,
        preparer: &mut FoodPreparer<'_>,
    ) -> Result<(), BulkError> {
        let folder = self.path.parent().unwrap_or(Path::new("."));
        fs::create_dir_all(folder).map_err(|error| BulkError::io("make", folder, error))?;
        let ids = foods.ids()?.into_iter().map(|id| id.to_string());
        KeptFoods::write(&self.path, &self.key, &ids.collect::<Vec<_>>(), preparer)?;
        let files = fs::read_dir(folder).map_err(|error| BulkError::io("read", folder, error))?;
        let files = files.filter_map(|file| {
            let file = file.ok()?;
            let is_kept = file.file_name().to_str()?.starts_with(STEM);
            is_kept.then_some((file.metadata().ok()?.modified().ok()?, file.path()))
        });
        let mut files: Vec<_> = files.collect();
        files.sort();
        let old = files.len().saturating_sub(FILES);
        for (_, old) in files.iter().take(old) {
            // Another run may have been faster; a file more does no harm.
            drop(fs::remove_file(old));
        }
        Ok(())
    }
}

/// The foods of a file.
#[derive(Debug)]
pub(super) struct KeptFoods {
    known: HashMap<String, usize>,
    compositions: Vec<Arc<Composition>>,
    profiles: Vec<Arc<Profile>>,
    figures: Vec<KeptFigures>,
    /// The file, and where its pairs begin.
    file: Vec<u8>,
    pairs: usize,
}

impl KeptFoods {
    /// Reads a file; `None` where there is none with this key.
    fn read(path: &Path, key: &str) -> Option<Self> {
        let file = fs::read(path).ok()?;
        let (kept, sum) = file.split_last_chunk::<4>()?;
        if crc32fast::hash(kept) != u32::from_le_bytes(*sum) {
            return None;
        }
        let mut rest = kept;
        if line(&mut rest)? != KIND || line(&mut rest)? != key {
            return None;
        }
        let mut counts = line(&mut rest)?.split(' ').map(str::parse::<usize>);
        let mut count = || counts.next()?.ok();
        let (foods, compositions, profiles, figures) = (count()?, count()?, count()?, count()?);
        let known = (0..foods).map(|food| Some((line(&mut rest)?.to_owned(), food)));
        let known = known.collect::<Option<HashMap<_, _>>>()?;
        let compositions = take(&mut rest, compositions, OF_COMPOSITION)?.map(composition);
        let compositions = compositions.map(Arc::new).collect();
        let profiles = take(&mut rest, profiles, OF_PROFILE)?.map(profile);
        let profiles = profiles.map(Arc::new).collect();
        let figures = take(&mut rest, figures, OF_FIGURES)?;
        let figures = figures.map(|bytes| array(numbers(bytes))).collect();
        let pairs = kept.len() - rest.len();
        let whole = rest.len() == foods * METHODS * OF_PAIR;
        whole.then_some(Self {
            known,
            compositions,
            profiles,
            figures,
            file,
            pairs,
        })
    }

    fn write(
        path: &Path,
        key: &str,
        ids: &[String],
        foods: &mut FoodPreparer<'_>,
    ) -> Result<(), BulkError> {
        let found = foods.look_up(ids.iter().map(String::as_str))?;
        let found = ids.iter().zip(found);
        let found: Vec<(&String, FoodPlace)> =
            found.filter_map(|(id, food)| Some((id, food?))).collect();
        // In the order of their places.
        let mut methods: Vec<Method> = Method::all().collect();
        methods.sort_by_key(|method| *method as usize);
        let (mut compositions, mut profiles) = (Shared::default(), Shared::default());
        let (mut figures, mut pairs) = (Shared::default(), Vec::new());
        for (_, food) in &found {
            for method in &methods {
                let place = foods.place(*food, *method)?;
                let food = foods.get(place)?;
                let composition = Arc::as_ptr(&food.composition);
                let profile = Arc::as_ptr(&food.profile);
                let own = figures_of(food);
                let water = if food.is_water { IS_WATER } else { 0 };
                pairs.extend([
                    compositions.place(composition, || Arc::clone(&food.composition)),
                    profiles.place(profile, || Arc::clone(&food.profile)),
                    figures.place(own, || own) | water,
                ]);
            }
        }
        let mut file = format!(
            "{KIND}\n{key}\n{} {} {} {}\n",
            found.len(),
            compositions.all.len(),
            profiles.all.len(),
            figures.all.len()
        );
        for (id, _) in &found {
            file.push_str(id);
            file.push('\n');
        }
        let mut file = file.into_bytes();
        let compositions = compositions.all.iter().flat_map(|one| {
            let values = one.values.iter().map(|value| value.to_bits());
            values.chain([one.missing])
        });
        let profiles = profiles.all.iter().flat_map(|one| {
            let lanes = [&one.kept, &one.used, &one.both, &one.warm];
            lanes.into_iter().flatten().map(|value| value.to_bits())
        });
        let figures = figures.all.into_iter().flatten();
        for number in compositions.chain(profiles).chain(figures) {
            file.extend_from_slice(&number.to_le_bytes());
        }
        for place in pairs {
            file.extend_from_slice(&place.to_le_bytes());
        }
        let sum = crc32fast::hash(&file);
        file.extend_from_slice(&sum.to_le_bytes());
        whole_file::write(path, &file).map_err(|error| BulkError::io("write", path, error))
    }

    /// The food with an id, if it is there.
    pub(super) fn look_up(&self, id: &str) -> Option<FoodPlace> {
        self.known.get(id).copied().map(FoodPlace)
    }

    /// The place of a food that was looked up, cooked by a method.
    pub(super) fn place(food: FoodPlace, method: Method) -> Result<u32, BulkError> {
        let place = food.0 * METHODS + method as usize;
        Ok(u32::try_from(place).map_err(|_| lost())?)
    }

    /// The food at a place.
    pub(super) fn get(&self, place: u32) -> Result<LentFood<'_>, BulkError> {
        Ok(self.pair(place as usize).ok_or_else(lost)?)
    }

    fn pair(&self, place: usize) -> Option<LentFood<'_>> {
        let pairs = self.file.get(self.pairs..)?;
        let (pairs, _) = pairs.as_chunks::<OF_PAIR>();
        let (places, _) = pairs.get(place)?.as_chunks();
        let mut places = places.iter().map(|place| u32::from_le_bytes(*place));
        let (composition, profile, figures) = (places.next()?, places.next()?, places.next()?);
        let of_figures = self.figures.get((figures & !IS_WATER) as usize)?;
        let [edible_share, drained_share, rising @ ..] = of_figures.map(f64::from_bits);
        let [cooked, dry, least] = [0, 2, 4].map(|at| Rising {
            none: rising[at],
            more: rising[at + 1],
        });
        let given = |rising: Rising| Some(rising).filter(|rising| !rising.none.is_nan());
        Some(PreparedFood {
            composition: self.compositions.get(composition as usize)?,
            profile: self.profiles.get(profile as usize)?,
            edible_share,
            drained_share,
            cooked,
            dry: given(dry),
            least: given(least),
            is_water: figures & IS_WATER != 0,
        })
    }
}

/// Values that many foods have in common, each written once; foods refer to them by place.
struct Shared<K, T> {
    all: Vec<T>,
    places: HashMap<K, u32>,
}

impl<K, T> Default for Shared<K, T> {
    fn default() -> Self {
        Self {
            all: Vec::new(),
            places: HashMap::new(),
        }
    }
}

impl<K: Eq + Hash, T> Shared<K, T> {
    /// The place of what has this key; `value` gives it where it has none yet.
    fn place(&mut self, key: K, value: impl FnOnce() -> T) -> u32 {
        // Fewer than the foods by their methods, which are counted.
        let next = u32::try_from(self.all.len()).unwrap_or(u32::MAX);
        let place = *self.places.entry(key).or_insert(next);
        if place == next {
            self.all.push(value());
        }
        place
    }
}

fn figures_of(food: &PreparedFood) -> KeptFigures {
    let unknown = Rising {
        none: f64::NAN,
        more: 0.0,
    };
    let (dry, least) = (food.dry.unwrap_or(unknown), food.least.unwrap_or(unknown));
    let figures = [
        food.edible_share,
        food.drained_share,
        food.cooked.none,
        food.cooked.more,
        dry.none,
        dry.more,
        least.none,
        least.more,
    ];
    figures.map(f64::to_bits)
}

/// Takes a line off the text.
fn line<'a>(rest: &mut &'a [u8]) -> Option<&'a str> {
    let end = rest.iter().position(|byte| *byte == b'\n')?;
    let (line, after) = rest.split_at(end);
    *rest = after.get(1..)?;
    std::str::from_utf8(line).ok()
}

/// Takes pieces of the same count of numbers off the bytes.
fn take<'a>(
    rest: &mut &'a [u8],
    pieces: usize,
    of_numbers: usize,
) -> Option<std::slice::ChunksExact<'a, u8>> {
    let of_bytes = 8 * of_numbers;
    let (bytes, after) = rest.split_at_checked(pieces.checked_mul(of_bytes)?)?;
    *rest = after;
    Some(bytes.chunks_exact(of_bytes))
}

fn numbers(bytes: &[u8]) -> impl Iterator<Item = u64> {
    let (numbers, _) = bytes.as_chunks::<8>();
    numbers.iter().map(|number| u64::from_le_bytes(*number))
}

/// The first numbers; 0 in place of what is lacking.
fn array<const N: usize>(numbers: impl Iterator<Item = u64>) -> [u64; N] {
    let mut array = [0; N];
    for (place, number) in array.iter_mut().zip(numbers) {
        *place = number;
    }
    array
}

fn lanes(numbers: impl Iterator<Item = u64>) -> Lanes {
    array(numbers).map(f64::from_bits)
}

fn composition(bytes: &[u8]) -> Composition {
    Composition {
        values: lanes(numbers(bytes)),
        missing: numbers(bytes).nth(LANES).unwrap_or_default(),
    }
}

fn profile(bytes: &[u8]) -> Profile {
    let part = |at: usize| lanes(numbers(bytes).skip(at * LANES));
    Profile {
        kept: part(0),
        used: part(1),
        both: part(2),
        warm: part(3),
    }
}

#[cfg(test)]
mod tests {
    use data_import::{FoodTable, reference};

    use super::*;

    fn same(kept: &PreparedFood, fresh: &PreparedFood) {
        let bits = |lanes: &Lanes| lanes.map(f64::to_bits);
        assert_eq!(
            bits(&kept.composition.values),
            bits(&fresh.composition.values)
        );
        assert_eq!(kept.composition.missing, fresh.composition.missing);
        assert_eq!(kept.profile, fresh.profile);
        assert_eq!(figures_of(kept), figures_of(fresh));
        assert_eq!(kept.is_water, fresh.is_water);
    }

    #[test]
    fn foods_are_kept_as_they_were_and_a_damaged_file_counts_as_none() {
        let pantry = Pantry::from(FoodTable::builtin().unwrap());
        let mut fresh = FoodPreparer::new(&pantry, false).unwrap();
        let others = pantry.ids().unwrap().into_iter().map(|id| id.to_string());
        // Water; foods that melt or come in cans.
        let tables = [
            ("yields.csv", reference::YIELDS),
            ("drained-cans.csv", reference::DRAINED_CANS),
        ];
        let rows = tables.map(|(name, text)| reference::records(name, text).unwrap().1);
        let of_tables = rows.iter().flatten().map(|row| row[0].to_owned());
        let special = of_tables.step_by(7).chain(["14411".to_owned()]);
        let ids: Vec<String> = others.step_by(97).chain(special).collect();
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("prepared-foods");
        KeptFoods::write(&path, "key", &ids, &mut fresh).unwrap();
        let kept = KeptFoods::read(&path, "key").unwrap();
        let found = fresh.look_up(ids.iter().map(String::as_str)).unwrap();
        let (mut unknown, mut waters) = (0, 0);
        for (id, food) in ids.iter().zip(found) {
            for method in Method::all() {
                let place = fresh.place(food.unwrap(), method).unwrap();
                let of_kept = KeptFoods::place(kept.look_up(id).unwrap(), method).unwrap();
                let (kept, fresh) = (kept.get(of_kept).unwrap(), fresh.get(place).unwrap());
                same(&kept.kept(), fresh);
                unknown += usize::from(kept.dry.is_none());
                waters += usize::from(kept.is_water);
            }
        }
        assert!(waters > 0, "{unknown} without dry matter");
        assert!(kept.look_up("99999").is_none());
        assert!(KeptFoods::read(&path, "other").is_none());
        let mut file = fs::read(&path).unwrap();
        let middle = file.len() / 2;
        file[middle] ^= 1;
        fs::write(&path, &file).unwrap();
        assert!(KeptFoods::read(&path, "key").is_none(), "a bit is turned");
        fs::write(&path, &file[..middle]).unwrap();
        assert!(KeptFoods::read(&path, "key").is_none(), "half a file");
    }
}
