//! A cache opened for reading.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use polars::prelude::{DataFrame, PolarsResult};

use super::columns::{COMMON_NAMES, FOOD_COLUMNS, GROUP, ID, MANUFACTURER, NAME};
use super::decode;
use super::folder::{Folder, rank};
use super::read_rows::ReadRows;
use super::sorted::SortedTable;
use super::upkeep::Verified;
use crate::error::Error;
use crate::food::{Food, FoodId, FoodName};
use crate::manifest::{Manifest, SourceInfo, TableFile};
use crate::nutrient::{Nutrient, all_nutrients, nutrients};
use crate::parquet::TextColumn;
use crate::provenance::Provenance;

/// The foods of one dataset or several: the one built into the program, or those of a cache
/// folder.
#[derive(Debug)]
pub struct FoodTable {
    manifest: Manifest,
    datasets: Vec<Dataset>,
    foods_read: ReadRows<Food>,
    provenance_read: ReadRows<Vec<Provenance>>,
}

/// The tables of one source.
#[derive(Debug)]
struct Dataset {
    foods: SortedTable,
    measures: SortedTable,
    provenance: Option<SortedTable>,
    nutrients: Vec<&'static Nutrient>,
}

/// Some foods of a table, which lie together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NameGroup {
    /// The place of their dataset in [`FoodTable::sources`].
    pub source: usize,
    /// How many foods it has.
    pub foods: usize,
    group: usize,
}

/// Columns of what a search looks at.
const NAME_COLUMNS: [&str; 5] = [ID, NAME, COMMON_NAMES, MANUFACTURER, GROUP];

/// The names of the foods of a group.
#[derive(Debug, Default)]
pub struct GroupNames {
    columns: [TextColumn; NAME_COLUMNS.len()],
}

/// A [`FoodName`], borrowed from the names of its group.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "they are those of `FoodName`")]
pub struct NameRow<'a> {
    pub id: &'a str,
    pub name: &'a str,
    pub common_names: &'a str,
    pub manufacturer: &'a str,
    pub group: &'a str,
}

impl GroupNames {
    /// The foods of the group, by id.
    pub fn iter(&self) -> impl Iterator<Item = NameRow<'_>> {
        let [ids, names, common_names, manufacturers, groups] = &self.columns;
        (0..ids.len()).filter_map(|row| {
            Some(NameRow {
                id: ids.get(row)?,
                name: names.get(row)?,
                common_names: common_names.get(row)?,
                manufacturer: manufacturers.get(row)?,
                group: groups.get(row)?,
            })
        })
    }
}

impl FoodTable {
    /// Opens the dataset built into the program.
    pub fn builtin() -> Result<Self, Error> {
        let file = |name| Path::new("built-in").join(name);
        let manifest = serde_json::from_slice(include_bytes!("../../builtin/manifest.json"))
            .map_err(|source| Error::corrupt(&file("manifest.json"), &source))?;
        let foods = include_bytes!("../../builtin/foods-sr28.parquet");
        let measures = include_bytes!("../../builtin/measures-sr28.parquet");
        let provenance = include_bytes!("../../builtin/provenance-sr28.parquet");
        let dataset = Dataset::new(
            SortedTable::embedded(file("foods-sr28.parquet"), foods)?,
            SortedTable::embedded(file("measures-sr28.parquet"), measures)?,
            Some(SortedTable::embedded(
                file("provenance-sr28.parquet"),
                provenance,
            )?),
        )?;
        Ok(Self::new(manifest, vec![dataset]))
    }

    fn new(manifest: Manifest, datasets: Vec<Dataset>) -> Self {
        Self {
            manifest,
            datasets,
            foods_read: ReadRows::default(),
            provenance_read: ReadRows::default(),
        }
    }

    /// Opens a cache folder. The footer of each file is checked here, every row group when it is
    /// read, so that damage is an error and not a figure.
    pub fn open(dir: &Path) -> Result<Self, Error> {
        let folder = Folder::new(dir);
        let manifest = folder.manifest()?;
        match Self::of(&folder, manifest.clone()) {
            // An import may have come between the manifest and its files.
            Err(error) => match folder.manifest()? {
                newer if newer != manifest => Self::of(&folder, newer),
                _ => Err(error),
            },
            opened => opened,
        }
    }

    /// Opens a cache folder together with the built-in dataset, which stands in where the cache has
    /// none of that name: a recipe that names foods of it finds them whatever else is imported.
    pub fn with_builtin(dir: &Path) -> Result<Self, Error> {
        let (cache, builtin) = (Self::open(dir)?, Self::builtin()?);
        let held = cache.sources().iter().map(|source| source.id.clone());
        let held = held.collect::<Vec<_>>();
        let manifest = Manifest {
            sources: Vec::new(),
            ..cache.manifest.clone()
        };
        let lacking = builtin
            .into_parts()
            .filter(|(source, _)| !held.contains(&source.id));
        let mut parts = cache.into_parts().chain(lacking).collect::<Vec<_>>();
        parts.sort_by_key(|(source, _)| rank(source));
        let (sources, datasets) = parts.into_iter().unzip();
        let manifest = Manifest {
            sources,
            ..manifest
        };
        Ok(Self::new(manifest, datasets))
    }

    fn into_parts(self) -> impl Iterator<Item = (SourceInfo, Dataset)> {
        self.manifest.sources.into_iter().zip(self.datasets)
    }

    fn of(folder: &Folder, manifest: Manifest) -> Result<Self, Error> {
        let open = |file: &TableFile| SortedTable::open(folder.table(file)?, file);
        let dataset = |source: &SourceInfo| {
            let provenance = source.tables.provenance.as_ref().map(open).transpose()?;
            Dataset::new(
                open(&source.tables.foods)?,
                open(&source.tables.measures)?,
                provenance,
            )
        };
        let datasets = manifest.sources.iter().map(dataset);
        let datasets = datasets.collect::<Result<_, _>>()?;
        Ok(Self::new(manifest, datasets))
    }

    /// What the cache holds, and where it came from.
    pub fn manifest(&self) -> &Manifest {
        &self.manifest
    }

    /// The datasets, the preferred one first.
    pub fn sources(&self) -> &[SourceInfo] {
        &self.manifest.sources
    }

    /// Whether the dataset at this place of [`FoodTable::sources`] is the one built into the program.
    pub fn is_builtin(&self, source: usize) -> bool {
        let dataset = self.datasets.get(source);
        dataset.is_some_and(|dataset| dataset.foods.is_embedded())
    }

    /// The foods with these ids, in the same order; `None` where there is no such food.
    pub fn foods(&self, ids: &[FoodId]) -> Result<Vec<Option<Food>>, Error> {
        let read = |ids: &[FoodId]| self.in_datasets(ids, Dataset::find);
        self.foods_read.get_or_read(ids, read)
    }

    /// Where the values of a food come from, by the table of nutrients; empty where the dataset
    /// does not say, or where there is no such food.
    pub fn provenance(&self, id: &FoodId) -> Result<Vec<Provenance>, Error> {
        let mut found = self.provenance_of(std::slice::from_ref(id))?;
        Ok(found.remove(id).unwrap_or_default())
    }

    /// The provenance of the values of several foods, read at once; a food of which nothing is
    /// recorded is not in the map.
    pub fn provenance_of(
        &self,
        ids: &[FoodId],
    ) -> Result<BTreeMap<FoodId, Vec<Provenance>>, Error> {
        let read = |ids: &[FoodId]| self.in_datasets(ids, Dataset::provenance);
        let found = self.provenance_read.get_or_read(ids, read)?;
        let found = ids.iter().cloned().zip(found);
        Ok(found.filter_map(|(id, one)| Some((id, one?))).collect())
    }

    /// Looks for these foods in one dataset after another; no two share an id.
    fn in_datasets<T>(
        &self,
        ids: &[FoodId],
        find: impl Fn(&Dataset, &BTreeSet<&str>) -> Result<BTreeMap<FoodId, T>, Error>,
    ) -> Result<BTreeMap<FoodId, T>, Error> {
        let mut wanted = ids.iter().map(FoodId::as_str).collect::<BTreeSet<_>>();
        let mut all = BTreeMap::new();
        for dataset in &self.datasets {
            let found = find(dataset, &wanted)?;
            wanted.retain(|id| !found.contains_key(*id));
            all.extend(found);
        }
        Ok(all)
    }

    /// Names and ids of all foods; by id, dataset after dataset.
    pub fn names(&self) -> Result<Vec<FoodName>, Error> {
        let mut all = Vec::new();
        for group in self.name_groups() {
            let names = self.names_of(group)?;
            for name in names.iter() {
                all.push(FoodName {
                    id: name.id.parse()?,
                    name: name.name.to_owned(),
                    common_names: name.common_names.to_owned(),
                    manufacturer: name.manufacturer.to_owned(),
                    group: name.group.to_owned(),
                });
            }
        }
        Ok(all)
    }

    /// The groups in which names can be read one after another or side by side, by id, dataset after dataset.
    pub fn name_groups(&self) -> Vec<NameGroup> {
        let datasets = self.datasets.iter().enumerate();
        let groups = datasets.flat_map(|(source, dataset)| {
            let foods = &dataset.foods;
            (0..foods.group_count()).map(move |group| NameGroup {
                source,
                foods: foods.row_count(group),
                group,
            })
        });
        groups.collect()
    }

    /// Names and ids of the foods of a group, by id; none for a group of another table.
    pub fn names_of(&self, group: NameGroup) -> Result<GroupNames, Error> {
        let Some(dataset) = self.datasets.get(group.source) else {
            return Ok(GroupNames::default());
        };
        let columns = dataset.foods.texts(group.group, NAME_COLUMNS)?;
        Ok(GroupNames { columns })
    }

    /// All foods; by id, dataset after dataset.
    pub fn all(&self) -> Result<Vec<Food>, Error> {
        let mut all = Vec::new();
        for dataset in &self.datasets {
            let (foods, measures) = (dataset.foods.all()?, dataset.measures.all()?);
            all.extend(dataset.join(&foods, &measures)?.into_values());
        }
        Ok(all)
    }

    /// Decodes every row of every table, row group by row group.
    pub(super) fn read_through(&self, verified: &mut Verified) -> Result<(), Error> {
        for dataset in &self.datasets {
            let foods = |frame: &DataFrame| decode::foods(frame, &dataset.nutrients);
            verified.foods += count(&dataset.foods, |frame| Ok(foods(frame)?.len()))?;
            let measures = |frame: &DataFrame| Ok(decode::measures(frame)?.len());
            verified.measures += count(&dataset.measures, measures)?;
            if let Some(provenance) = &dataset.provenance {
                verified.provenance += count(provenance, decode::provenance_rows)?;
            }
        }
        Ok(())
    }
}

fn count(
    table: &SortedTable,
    rows: impl Fn(&DataFrame) -> PolarsResult<usize>,
) -> Result<usize, Error> {
    let mut total = 0;
    for group in 0..table.group_count() {
        let frame = table.whole(group)?;
        total += rows(&frame).map_err(|source| table.corrupt(&source))?;
    }
    Ok(total)
}

impl Dataset {
    fn new(
        foods: SortedTable,
        measures: SortedTable,
        provenance: Option<SortedTable>,
    ) -> Result<Self, Error> {
        let nutrients = nutrient_columns(&foods)?;
        Ok(Self {
            foods,
            measures,
            provenance,
            nutrients,
        })
    }

    fn find(&self, wanted: &BTreeSet<&str>) -> Result<BTreeMap<FoodId, Food>, Error> {
        let foods = self.foods.find(wanted)?;
        if foods.is_empty() {
            return Ok(BTreeMap::new());
        }
        let measures = self.measures.find(wanted)?;
        self.join(&foods, &measures)
    }

    fn join(
        &self,
        foods: &[DataFrame],
        measures: &[DataFrame],
    ) -> Result<BTreeMap<FoodId, Food>, Error> {
        let mut found = BTreeMap::new();
        for frame in foods {
            let foods = decode::foods(frame, &self.nutrients);
            let foods = foods.map_err(|source| self.foods.corrupt(&source))?;
            found.extend(foods.into_iter().map(|food| (food.id.clone(), food)));
        }
        for frame in measures {
            let rows = decode::measures(frame).map_err(|source| self.measures.corrupt(&source))?;
            for (id, measure) in rows {
                if let Some(food) = found.get_mut(&id) {
                    food.measures.push(measure);
                }
            }
        }
        Ok(found)
    }

    fn provenance(
        &self,
        wanted: &BTreeSet<&str>,
    ) -> Result<BTreeMap<FoodId, Vec<Provenance>>, Error> {
        let mut all: BTreeMap<_, Vec<_>> = BTreeMap::new();
        let Some(table) = &self.provenance else {
            return Ok(all);
        };
        for frame in table.find(wanted)? {
            let rows = decode::provenance(&frame);
            for (id, one) in rows.map_err(|source| table.corrupt(&source))? {
                all.entry(id).or_default().push(one);
            }
        }
        Ok(all)
    }
}

/// The nutrients of a table of foods: all its columns but those of the food itself.
fn nutrient_columns(foods: &SortedTable) -> Result<Vec<&'static Nutrient>, Error> {
    // Most often the 46 are all there are, and the others need not be read.
    let core = nutrients()?;
    let columns = foods
        .column_names()
        .filter(|name| !FOOD_COLUMNS.contains(name));
    let nutrient = |name| {
        let tagged = |nutrient: &&Nutrient| nutrient.tag == name;
        if let Some(found) = core.iter().find(tagged) {
            return Ok(found);
        }
        let found = all_nutrients()?.iter().find(tagged);
        found.ok_or_else(|| {
            foods.corrupt(&format!(
                "it has a column “{name}”, which is not a nutrient"
            ))
        })
    };
    columns.map(nutrient).collect()
}
