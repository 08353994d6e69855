//! Two small tables to begin with.

use std::path::Path;

use super::BulkError;
use super::output::make_folder;
use crate::whole_file;

/// Two invented recipes: squash with lentils, and pears with oats.
const LINES: &str = "\
recipe_id,line,food,method,grams,basis,weighed_g,yield
1,1,11485,steam,600,purchased,,
1,2,16144,boil,150,purchased,,
2,1,09252,simmer,500,purchased,,
2,2,08120,simmer,60,edible,310,
";
const RECIPES: &str = "\
recipe_id,collected_ml,returned_ml,added_ml,water_food,puree_weighed_g,loss_g,well_ml,fill,cubes_per_serving,reheat
1,300,100,,,,,30,0.9,2,true
2,,,,,,12,30,0.9,2,
";

/// Writes `lines.csv` and `recipes.csv` with two invented recipes into a folder, over no file that is there.
///
/// Errors: the system's own.
pub fn write_template(folder: &Path) -> Result<(), BulkError> {
    make_folder(folder)?;
    for (name, text) in [("lines.csv", LINES), ("recipes.csv", RECIPES)] {
        let path = folder.join(name);
        whole_file::write_new(&path, text).map_err(|error| BulkError::io("write", &path, error))?;
    }
    Ok(())
}
