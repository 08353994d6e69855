//! All foods there are to cook with: those of a dataset, and the household's own.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, OnceLock};

use data_import::own::LabelFood;
use data_import::{Error, Food, FoodId, FoodTable, Provenance, SourceInfo};

use super::data::{FoodData, FoodDataError, Foods};
use super::found::{found, own_names};
use super::newer::{NewerValue, renewed, renewed_provenance};
use super::own::OwnShelf;
use super::search::{FoodIndex, Hit};
use crate::problem::Problem;

/// A food table and, where there is one, a file of own foods.
#[derive(Debug, Clone)]
pub struct Pantry {
    table: Arc<FoodTable>,
    own: Option<Arc<OwnShelf>>,
    at_hand: BTreeMap<FoodId, Food>,
    /// Where the values of the foods at hand come from; empty where their dataset does not say.
    sources_at_hand: BTreeMap<FoodId, Vec<Provenance>>,
    names: Names,
    /// Foods that the household chose for words that could mean several.
    words: BTreeMap<String, FoodId>,
    /// Whether newer analyses take the place of the dataset's values.
    newer: bool,
    metric_cups: bool,
    /// Whether only figures are needed, so that the sources of the values are not read.
    figures_alone: bool,
}

/// The names of the foods of the table, where they can be searched.
#[derive(Debug, Clone)]
enum Names {
    /// No index is known, so that a search finds nothing.
    Unknown,
    /// The index is opened when it is first needed.
    In(FoodData, Arc<OnceLock<FoodIndex>>),
    /// The index was opened with the tables.
    Open(Arc<Foods>),
}

impl From<FoodTable> for Pantry {
    /// A pantry without own foods.
    fn from(table: FoodTable) -> Self {
        Self::new(table, None)
    }
}

impl Pantry {
    /// A table, which others may be using too, and own foods.
    pub fn new(table: impl Into<Arc<FoodTable>>, own: Option<OwnShelf>) -> Self {
        Self {
            table: table.into(),
            own: own.map(Arc::new),
            at_hand: BTreeMap::new(),
            sources_at_hand: BTreeMap::new(),
            names: Names::Unknown,
            words: BTreeMap::new(),
            newer: false,
            metric_cups: false,
            figures_alone: false,
        }
    }

    /// The pantry of food data of which only the tables are open yet.
    ///
    /// Errors: the tables do not read.
    pub fn of_data(data: FoodData, own: Option<OwnShelf>) -> Result<Self, Error> {
        let table = data.table()?;
        Ok(Self {
            names: Names::In(data, Arc::default()),
            ..Self::new(table, own)
        })
    }

    /// The pantry of food data that is open.
    pub fn of_foods(foods: Arc<Foods>, own: Option<OwnShelf>) -> Self {
        let table = Arc::clone(&foods.table);
        Self {
            names: Names::Open(foods),
            ..Self::new(table, own)
        }
    }

    /// With the foods that the household chose for words that could mean several.
    #[must_use]
    pub fn with_words(self, words: BTreeMap<String, FoodId>) -> Self {
        Self { words, ..self }
    }

    /// With newer analyses in the place of the dataset's values, where there are any.
    #[must_use]
    pub fn with_newer(self, newer: bool) -> Self {
        Self { newer, ..self }
    }

    /// The newer values of a food that are not taken.
    pub fn newer_than(&self, food: &FoodId) -> Result<Vec<NewerValue>, Error> {
        if self.newer || food.is_own() {
            return Ok(Vec::new());
        }
        NewerValue::of(food)
    }

    /// Of a household whose cups hold 250 ml, and not the 236.6 ml of the US cup.
    #[must_use]
    pub fn with_metric_cups(self, metric_cups: bool) -> Self {
        Self {
            metric_cups,
            ..self
        }
    }

    /// For figures whose intervals nobody looks at: where the values come from, of which a table
    /// has far more to read than of the values, is then not known.
    #[must_use]
    pub(crate) fn for_figures_alone(self) -> Self {
        Self {
            figures_alone: true,
            ..self
        }
    }

    /// Whether a cup of the household holds 250 ml.
    pub fn has_metric_cups(&self) -> bool {
        self.metric_cups
    }

    /// The food that the household chose for these words.
    pub fn chosen_for(&self, words: &str) -> Option<&FoodId> {
        self.words.get(words)
    }

    /// Foods for kitchen words, the best first; none where the names cannot be searched.
    ///
    /// Errors: a table of the program or the search index does not read.
    pub fn search(&self, words: &str, limit: usize) -> Result<Vec<Hit>, FoodDataError> {
        let own = own_names(self.own.as_deref());
        let searched = |index: &FoodIndex, data: &FoodData| {
            found(index, &own, words, limit)?.map_err(|error| data.failed(error))
        };
        match &self.names {
            Names::Unknown => Ok(Vec::new()),
            Names::Open(foods) => searched(&foods.index, &FoodData::BuiltIn),
            Names::In(data, index) => match index.get() {
                Some(index) => searched(index, data),
                None => {
                    let opened = data.index()?;
                    searched(index.get_or_init(|| opened), data)
                }
            },
        }
    }

    /// Keeps the foods of these recipes at hand: the table is then read once for all of them.
    pub fn laid_out_for(mut self, ids: &[FoodId]) -> Result<Self, Error> {
        let foods = self.foods(ids)?.into_iter().flatten();
        self.at_hand = foods.map(|food| (food.id.clone(), food)).collect();
        let mut sources = self.sources_of(ids)?;
        let of_food = |id: &FoodId| (id.clone(), sources.remove(id).unwrap_or_default());
        self.sources_at_hand = self.at_hand.keys().map(of_food).collect();
        Ok(self)
    }

    /// The foods with these ids, in the same order; `None` where there is no such food.
    pub fn foods(&self, ids: &[FoodId]) -> Result<Vec<Option<Food>>, Error> {
        let bought = |id: &&FoodId| !id.is_own() && !self.at_hand.contains_key(*id);
        let asked: Vec<_> = ids.iter().filter(bought).cloned().collect();
        let found = self.table.foods(&asked)?.into_iter();
        let found = found.map(|food| match food {
            Some(food) if self.newer => renewed(food).map(Some),
            food => Ok(food),
        });
        let mut found = found.collect::<Result<Vec<_>, _>>()?.into_iter();
        let food = |id: &FoodId| {
            if id.is_own() {
                self.label(id).map(|own| own.food.clone())
            } else if let Some(food) = self.at_hand.get(id) {
                Some(food.clone())
            } else {
                found.next().flatten()
            }
        };
        Ok(ids.iter().map(food).collect())
    }

    /// A stamp of these foods, which differs from that of any others: digests of the tables, and
    /// the own foods themselves.
    pub fn stamp(&self) -> String {
        let own = self.own.as_ref().map(|own| format!("{:?}", own.foods()));
        self.table.manifest().stamp() + &own.unwrap_or_default()
    }

    /// The datasets of the table, the preferred one first.
    pub fn sources(&self) -> &[SourceInfo] {
        self.table.sources()
    }

    /// The ids of all foods, each once.
    ///
    /// Errors: the table does not read.
    pub fn ids(&self) -> Result<BTreeSet<FoodId>, Error> {
        let names = self.table.names()?.into_iter().map(|name| name.id);
        let own = self.own.iter().flat_map(|own| own.foods().iter());
        let own = own.map(|label| label.food.id.clone());
        Ok(names.chain(own).collect())
    }

    /// Where the values of a food come from; empty where the dataset does not say.
    pub fn provenance(&self, id: &FoodId) -> Result<Vec<Provenance>, Error> {
        let mut found = self.provenance_of(std::slice::from_ref(id))?;
        Ok(found.remove(id).unwrap_or_default())
    }

    /// Where the values of several foods come from, read at once; a food is left out where its
    /// dataset does not say.
    pub fn provenance_of(
        &self,
        ids: &[FoodId],
    ) -> Result<BTreeMap<FoodId, Vec<Provenance>>, Error> {
        let at_hand = |id: &FoodId| self.sources_at_hand.get(id).cloned();
        let asked: Vec<_> = ids.iter().filter(|id| !id.is_own()).collect();
        let others = asked
            .iter()
            .filter(|id| !self.sources_at_hand.contains_key(**id));
        let others: Vec<_> = others.map(|id| (*id).clone()).collect();
        let mut found = if others.is_empty() {
            BTreeMap::new()
        } else {
            self.sources_of(&others)?
        };
        found.extend(
            asked
                .into_iter()
                .filter_map(|id| Some((id.clone(), at_hand(id)?))),
        );
        Ok(found)
    }

    /// As the table or the newer analyses say.
    fn sources_of(&self, ids: &[FoodId]) -> Result<BTreeMap<FoodId, Vec<Provenance>>, Error> {
        if self.figures_alone {
            return Ok(BTreeMap::new());
        }
        let mut found = self.table.provenance_of(ids)?;
        if self.newer {
            for (id, of_food) in &mut found {
                *of_food = renewed_provenance(id, std::mem::take(of_food))?;
            }
        }
        Ok(found)
    }

    /// The foods of the household's own.
    pub fn own_foods(&self) -> impl Iterator<Item = &Food> {
        let own = self.own.iter().flat_map(|own| own.foods().iter());
        own.map(|label| &label.food)
    }

    /// What the label of an own food says; `None` for any other food.
    pub fn label(&self, id: &FoodId) -> Option<&LabelFood> {
        self.own.as_ref()?.foods().get(id)
    }

    /// What is odd about the labels of these foods, with the places in the file.
    pub fn warnings<'a>(&self, ids: impl IntoIterator<Item = &'a FoodId>) -> Vec<Problem> {
        let Some(own) = &self.own else {
            return Vec::new();
        };
        let labels = ids.into_iter().filter_map(|id| own.foods().get(id));
        labels.flat_map(|label| own.warnings(label)).collect()
    }
}
