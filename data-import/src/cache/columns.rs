//! Names of the columns in the cache. A nutrient's column is named by its tag.

pub(super) const ID: &str = "id";
pub(super) const NAME: &str = "name";
pub(super) const COMMON_NAMES: &str = "common_names";
pub(super) const MANUFACTURER: &str = "manufacturer";
pub(super) const SCIENTIFIC_NAME: &str = "scientific_name";
pub(super) const GROUP: &str = "group";
pub(super) const REFUSE_PERCENT: &str = "refuse_percent";
pub(super) const REFUSE_DESCRIPTION: &str = "refuse_description";
pub(super) const FACTOR_PROTEIN: &str = "energy_factor_protein";
pub(super) const FACTOR_FAT: &str = "energy_factor_fat";
pub(super) const FACTOR_CARBOHYDRATE: &str = "energy_factor_carbohydrate";
pub(super) const SOURCE: &str = "source";

/// The columns of a food itself.
pub(super) const FOOD_COLUMNS: [&str; 12] = [
    ID,
    NAME,
    COMMON_NAMES,
    MANUFACTURER,
    SCIENTIFIC_NAME,
    GROUP,
    REFUSE_PERCENT,
    REFUSE_DESCRIPTION,
    FACTOR_PROTEIN,
    FACTOR_FAT,
    FACTOR_CARBOHYDRATE,
    SOURCE,
];

pub(super) const SEQUENCE: &str = "sequence";
pub(super) const AMOUNT: &str = "amount";
pub(super) const UNIT: &str = "unit";
pub(super) const GRAMS: &str = "grams";

/// Key of the footer entry that holds the first id of each row group, joined by commas.
pub(super) const FIRST_IDS: &str = "trayful.first_ids";
