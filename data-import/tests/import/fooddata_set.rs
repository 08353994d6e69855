//! A small download in the layout of FoodData Central. Its foods and figures are invented; the columns
//! are those of the files published in October 2024.

use std::fs;
use std::path::PathBuf;

use data_import::{Error, FoodTable, ImportRequest, Imported, import};
use tempfile::TempDir;

pub(crate) const FOOD: &str = "food.csv";
pub(crate) const VALUES: &str = "food_nutrient.csv";

const FILES: [(&str, &str); 17] = [
    (
        FOOD,
        r#""fdc_id","data_type","description","food_category_id","publication_date"
"1001","sample_food","CARROTS, LOT 7","11","2024-04-01"
"1002","sub_sample_food","CARROTS, LOT 7, JAR A","11","2024-04-01"
"1100","foundation_food","Carrots, raw","11","2019-04-01"
"1101","foundation_food","Carrots, raw","11","2024-10-31"
"1102","foundation_food","Milk, ""whole"",
from the farm","1","2024-04-18"
"1200","sr_legacy_food","Pears, raw","9","2018-04-01"
"1300","survey_fndds_food","Oatmeal, NS as to fat","5402","2022-10-28"
"1400","branded_food","OAT BAR","","2023-01-05"
"999","branded_food","PEAR DRINK","","2023-01-05"
"#,
    ),
    (
        "foundation_food.csv",
        r#""fdc_id","NDB_number","footnote"
"1101","11124",""
"1102","1077",""
"#,
    ),
    (
        "sr_legacy_food.csv",
        "\"fdc_id\",\"NDB_number\"\n\"1200\",\"9252\"\n",
    ),
    (
        "survey_fndds_food.csv",
        "\"fdc_id\",\"food_code\",\"wweia_category_code\",\"start_date\",\"end_date\"\n\"1300\",\"56203000\",\"5402\",\"2019-01-01\",\"2020-12-31\"\n",
    ),
    (
        "branded_food.csv",
        r#""fdc_id","brand_owner","brand_name","subbrand_name","gtin_upc","ingredients","serving_size","serving_size_unit","household_serving_fulltext","branded_food_category","not_published_yet"
"1400","Invented Foods Ltd","MORNING","","00000000000017","OATS, ""CRUNCH""","30.0","g","1 bar","Snack Bars","x"
"999","Invented Foods Ltd","INVENTED FOODS LTD","","00000000000024","PEARS","120.0","MLT","1 bottle","Drinks","x"
"#,
    ),
    (
        "nutrient.csv",
        r#""id","name","unit_name","nutrient_nbr","rank"
"1003","Protein","G","203","600.0"
"1008","Energy","KCAL","208","300.0"
"2047","Energy (Atwater General Factors)","KCAL","957","280.0"
"2048","Energy (Atwater Specific Factors)","KCAL","958","290.0"
"1079","Fiber, total dietary","G","291","1200.0"
"2033","Total dietary fiber (AOAC 2011.25)","G","293","1300.0"
"1063","Sugars, Total","G","269.3","1500.0"
"2000","Total Sugars","G","269","1510.0"
"1089","Iron, Fe","MG","303","5400.0"
"1103","Selenium, Se","MG","317","6200.0"
"1110","Vitamin D (D2 + D3), International Units","IU","324","8650.0"
"1114","Vitamin D (D2 + D3)","UG","328","8700.0"
"1106","Vitamin A, RAE","UG","320","7420.0"
"1190","Folate, DFE","UG","435","7200.0"
"1024","Specific Gravity","SP_GR","227","8955"
"#,
    ),
    (
        VALUES,
        r#""id","fdc_id","nutrient_id","amount","data_points","derivation_id","min","max","median","footnote","min_year_acqured"
"1","1001","1089","9.9","1","1","","","","",""
"2","1100","1089","8.8","1","1","","","","",""
"3","1101","1089","0.15","8","1","0.1","0.2","","Two lines,
and a comma","2021"
"4","1101","2047","40.0","","49","","","","",""
"5","1101","2048","37.5","","49","","","","",""
"6","1101","2033","3.1","4","1","","","","",""
"7","1101","1063","4.7","","4","","","","",""
"8","1101","1024","1.04","1","1","","","","",""
"9","1102","1008","61","","49","","","","",""
"10","1102","2048","62","","49","","","","",""
"11","1102","1114","1.1","3","1","","","","",""
"12","1102","1003","3.27","8","1","","","","",""
"13","1200","203","0.36","4","1","","","","",""
"14","1200","303","0.18","4","1","","","","",""
"15","1300","1106","0","","","","","","",""
"16","1300","1190","17.0","","","","","","",""
"17","1400","1110","100.0","","70","","","","",""
"18","1400","1103","0.005","","70","","","","",""
"19","1400","1003","250.0","","70","","","","",""
"20","999","2000","9.17","","70","","","","",""
"21","999","1089","","","70","","","","",""
"22","777","1089","1.0","","70","","","","",""
"#,
    ),
    (
        "food_nutrient_derivation.csv",
        "\"id\",\"code\",\"description\"\n\"1\",\"A\",\"Analytical\"\n\"4\",\"AS\",\"Summed\"\n\"49\",\"NC\",\"Calculated\"\n\"70\",\"LCCS\",\"Calculated from value per serving size measure\"\n",
    ),
    (
        "food_category.csv",
        "\"id\",\"code\",\"description\"\n\"1\",\"0100\",\"Dairy and Egg Products\"\n\"9\",\"0900\",\"Fruits and Fruit Juices\"\n\"11\",\"1100\",\"Vegetables and Vegetable Products\"\n",
    ),
    (
        "wweia_food_category.csv",
        "\"wweia_food_category\",\"wweia_food_category_description\"\n\"5402\",\"Oatmeal\"\n",
    ),
    (
        "measure_unit.csv",
        "\"id\",\"name\"\n\"1000\",\"cup\"\n\"9999\",\"undetermined\"\n",
    ),
    (
        "food_portion.csv",
        r#""id","fdc_id","seq_num","amount","measure_unit_id","portion_description","modifier","gram_weight","data_points","footnote","min_year_acquired"
"72","1101","2","0.5","1000","","grated","55.0","","",""
"71","1101","1","1.0","1000","","chopped","128.0","","",""
"73","1200","","1.0","9999","","pear, medium","178.0","","",""
"74","1300","","","9999","1 cup, cooked","10205","240.0","","",""
"75","1300","","","9999","Quantity not specified","90000","120.0","","",""
"#,
    ),
    (
        "food_component.csv",
        r#""id","fdc_id","name","pct_weight","is_refuse","gram_weight","data_points","min_year_acqured"
"1","1101","Crown and tops","8.0","Y","","",""
"2","1101","Scrapings","3.0","Y","","",""
"3","1101","Root","89.0","N","","",""
"4","","Bone","20.0","Y","","",""
"#,
    ),
    (
        "food_nutrient_conversion_factor.csv",
        "\"id\",\"fdc_id\"\n\"501\",\"1102\"\n\"502\",\"1102\"\n\"503\",\"1001\"\n",
    ),
    (
        "food_calorie_conversion_factor.csv",
        "\"food_nutrient_conversion_factor_id\",\"protein_value\",\"fat_value\",\"carbohydrate_value\"\n\"501\",\"4.27\",\"8.79\",\"3.87\"\n\"503\",\"1\",\"2\",\"3\"\n",
    ),
    (
        "food_protein_conversion_factor.csv",
        "\"food_nutrient_conversion_factor_id\",\"value\"\n\"502\",\"6.38\"\n",
    ),
    (
        "food_attribute.csv",
        "\"id\",\"fdc_id\",\"seq_num\",\"food_attribute_type_id\",\"name\",\"value\"\n\"1\",\"1300\",\"\",\"1001\",\"\",\"porridge\"\n\"2\",\"1300\",\"\",\"1001\",\"\",\"cooked oats\"\n\"3\",\"1300\",\"\",\"999\",\"\",\"not a name\"\n",
    ),
];

/// The download in a folder, and a cache folder.
pub(crate) struct Download {
    dir: TempDir,
    pub(crate) memory: u64,
}

impl Download {
    pub(crate) fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir(dir.path().join("source")).unwrap();
        for (name, text) in FILES {
            fs::write(dir.path().join("source").join(name), text).unwrap();
        }
        Self {
            dir,
            memory: 1 << 30,
        }
    }

    pub(crate) fn source(&self) -> PathBuf {
        self.dir.path().join("source")
    }

    pub(crate) fn cache(&self) -> PathBuf {
        self.dir.path().join("cache")
    }

    pub(crate) fn write(&self, file: &str, bytes: impl AsRef<[u8]>) {
        fs::write(self.source().join(file), bytes).unwrap();
    }

    pub(crate) fn text(file: &str) -> &'static str {
        FILES.iter().find(|one| one.0 == file).unwrap().1
    }

    /// Replaces text that is there once.
    pub(crate) fn replace(&self, file: &str, from: &str, to: &str) {
        let text = fs::read_to_string(self.source().join(file)).unwrap();
        assert_eq!(text.matches(from).count(), 1, "{from} in {file}");
        self.write(file, text.replace(from, to));
    }

    pub(crate) fn remove(&self, file: &str) {
        fs::remove_file(self.source().join(file)).unwrap();
    }

    pub(crate) fn import(&self) -> Result<Imported, Error> {
        let (path, cache) = (self.source(), self.cache());
        let mut request = ImportRequest::new(&path, &cache, "2026-11-24");
        request.memory = self.memory;
        import(&request, &mut |_| ())
    }

    pub(crate) fn open(&self) -> FoodTable {
        FoodTable::open(&self.cache()).unwrap()
    }

    /// The error of an import after the source was spoiled; the cache that was there stays.
    pub(crate) fn spoiled(spoil: impl FnOnce(&Self)) -> String {
        let place = Self::new();
        place.import().unwrap();
        let before = place.open().all().unwrap();
        spoil(&place);
        let error = place.import().unwrap_err();
        assert!(error.hint().is_some(), "no hint for: {error}");
        assert!(place.open().all().unwrap() == before, "{error}");
        error.to_string()
    }
}
