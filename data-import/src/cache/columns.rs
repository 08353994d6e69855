//! Names of the columns in the cache. A nutrient's column is named by its tag.

pub(crate) const ID: &str = "id";
pub(crate) const NAME: &str = "name";
pub(crate) const COMMON_NAMES: &str = "common_names";
pub(crate) const MANUFACTURER: &str = "manufacturer";
pub(crate) const SCIENTIFIC_NAME: &str = "scientific_name";
pub(crate) const GROUP: &str = "group";
pub(crate) const REFUSE_PERCENT: &str = "refuse_percent";
pub(crate) const REFUSE_DESCRIPTION: &str = "refuse_description";
pub(crate) const FACTOR_PROTEIN: &str = "energy_factor_protein";
pub(crate) const FACTOR_FAT: &str = "energy_factor_fat";
pub(crate) const FACTOR_CARBOHYDRATE: &str = "energy_factor_carbohydrate";
pub(crate) const FACTOR_NITROGEN: &str = "nitrogen_factor";
pub(crate) const BASIS: &str = "basis";
pub(crate) const SERVING_SIZE: &str = "serving_size";
pub(crate) const SERVING_UNIT: &str = "serving_unit";
pub(crate) const GTIN: &str = "gtin";
pub(crate) const SOURCE: &str = "source";

/// The columns of a food itself.
pub(crate) const FOOD_COLUMNS: [&str; 17] = [
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
    FACTOR_NITROGEN,
    BASIS,
    SERVING_SIZE,
    SERVING_UNIT,
    GTIN,
    SOURCE,
];

pub(crate) const SEQUENCE: &str = "sequence";
pub(crate) const AMOUNT: &str = "amount";
pub(crate) const UNIT: &str = "unit";
pub(crate) const GRAMS: &str = "grams";

pub(crate) const NUTRIENT: &str = "nutrient";
pub(crate) const DATA_POINTS: &str = "data_points";
pub(crate) const STANDARD_ERROR: &str = "standard_error";
pub(crate) const ORIGIN: &str = "origin";
pub(crate) const DERIVATION: &str = "derivation_code";
pub(crate) const SOURCE_CODE: &str = "source_code";
pub(crate) const TAKEN_FROM: &str = "taken_from";

/// Key of the footer entry with a line for each row group: its first id, where it begins, how many
/// bytes it has, and their SHA-256, separated by blanks.
pub(crate) const ROW_GROUPS: &str = "trayful.row_groups";
