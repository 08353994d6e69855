//! `trayful bulk`: the figures of many recipes are those of `trayful batch`, what cannot be
//! calculated is named, and a run that was stopped goes on.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use data_import::parquet::{
    Cells, Codec, ColumnKind, Layout, ParquetReader, ParquetWriter, WrittenColumn,
};
use data_import::{FoodTable, reference};
use serde_json::Value;

use super::support::{Said, folder, trayful};

/// A cell of a table.
#[derive(Debug, Clone, PartialEq)]
enum Cell {
    None,
    Whole(i64),
    Real(f64),
    Text(String),
    Truth(bool),
}

impl Cell {
    fn text(text: &str) -> Self {
        Self::Text(text.to_owned())
    }

    fn real(&self) -> Option<f64> {
        match self {
            Self::Real(number) => Some(*number),
            Self::Whole(number) => Some(*number as f64),
            _ => None,
        }
    }
}

type Row = Vec<Cell>;

const LINES: [(&str, Layout); 8] = [
    ("recipe_id", Layout::Int64),
    ("line", Layout::Int32),
    ("food", Layout::String),
    ("method", Layout::String),
    ("grams", Layout::Double),
    ("basis", Layout::String),
    ("weighed_g", Layout::Double),
    ("yield", Layout::Double),
];
const RECIPES: [(&str, Layout); 11] = [
    ("recipe_id", Layout::Int64),
    ("collected_ml", Layout::Double),
    ("returned_ml", Layout::Double),
    ("added_ml", Layout::Double),
    ("water_food", Layout::String),
    ("puree_weighed_g", Layout::Double),
    ("loss_g", Layout::Double),
    ("well_ml", Layout::Double),
    ("fill", Layout::Double),
    ("cubes_per_serving", Layout::Double),
    ("reheat", Layout::Boolean),
];

/// Writes rows as Parquet, so many to a row group; text is kept in a dictionary or not.
fn write_table(path: &Path, columns: &[(&str, Layout)], rows: &[Row], group: usize, few: bool) {
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    let written = columns.iter().map(|(name, layout)| WrittenColumn {
        name: (*name).to_owned(),
        layout: *layout,
        sorted: *name == "recipe_id",
        few: few && *layout == Layout::String,
        notes: BTreeMap::new(),
    });
    let written: Vec<_> = written.collect();
    let mut writer = ParquetWriter::create(path, &written, Codec::Zstd).unwrap();
    for rows in rows.chunks(group) {
        let columns: Vec<Vec<Cell>> = (0..columns.len())
            .map(|at| rows.iter().map(|row| row[at].clone()).collect())
            .collect();
        let given = |column: &[Cell]| Some(column.iter().map(|cell| *cell != Cell::None).collect());
        let wholes: Vec<Vec<i64>> = columns
            .iter()
            .map(|column| column.iter().map(whole).collect())
            .collect();
        let reals: Vec<Vec<f64>> = columns
            .iter()
            .map(|column| {
                column
                    .iter()
                    .map(|cell| cell.real().unwrap_or(0.0))
                    .collect()
            })
            .collect();
        let truths: Vec<Vec<bool>> = columns
            .iter()
            .map(|column| {
                column
                    .iter()
                    .map(|cell| *cell == Cell::Truth(true))
                    .collect()
            })
            .collect();
        let cells = |at: usize| match written[at].layout {
            Layout::Int32 | Layout::Int64 => Cells::Integers(&wholes[at], given(&columns[at])),
            Layout::Double | Layout::Float => Cells::Reals(&reals[at], given(&columns[at])),
            Layout::Boolean => Cells::Truths(&truths[at], given(&columns[at])),
            Layout::String => Cells::Text(columns[at].iter().map(text).collect()),
        };
        writer.write(rows.len(), cells).unwrap();
    }
    writer.finish().unwrap().sync().unwrap();
}

fn whole(cell: &Cell) -> i64 {
    match cell {
        Cell::Whole(number) => *number,
        _ => 0,
    }
}

fn text(cell: &Cell) -> Option<&str> {
    match cell {
        Cell::Text(text) => Some(text),
        _ => None,
    }
}

/// All rows of the files of a folder, as columns by name.
fn read_folder(folder: &Path) -> BTreeMap<String, Vec<Cell>> {
    let mut columns: BTreeMap<String, Vec<Cell>> = BTreeMap::new();
    for path in files(folder) {
        let file = ParquetReader::open(&path).unwrap();
        for (group, rows) in file.groups().into_iter().enumerate() {
            for field in file.fields() {
                let column = columns.entry(field.name.clone()).or_default();
                column.extend(cells_of(&file, group, &field.name, &field.kind, rows));
            }
        }
    }
    columns
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap();
    let mut files: Vec<_> = entries.map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files
}

fn cells_of(
    file: &ParquetReader,
    group: usize,
    name: &str,
    kind: &ColumnKind,
    rows: usize,
) -> Vec<Cell> {
    let or_none = |cell: Option<Cell>| cell.unwrap_or(Cell::None);
    match kind {
        ColumnKind::Integer => {
            let column = file.integers(group, name, 0..rows).unwrap();
            (0..rows)
                .map(|row| or_none(column.get(row).map(Cell::Whole)))
                .collect()
        }
        ColumnKind::Real => {
            let column = file.reals(group, name, 0..rows).unwrap();
            (0..rows)
                .map(|row| or_none(column.get(row).map(Cell::Real)))
                .collect()
        }
        ColumnKind::Truth => {
            let column = file.truths(group, name, 0..rows).unwrap();
            (0..rows)
                .map(|row| or_none(column.get(row).map(Cell::Truth)))
                .collect()
        }
        _ => {
            let column = file.text(group, name, 0..rows).unwrap();
            (0..rows)
                .map(|row| or_none(column.get(row).map(Cell::text)))
                .collect()
        }
    }
}

/// Numbers that look random and are the same in every run.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> u64 {
        // Knuth's MMIX generator.
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        self.0 >> 33
    }

    fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next()).unwrap() % end
    }

    fn one_of<'a>(&mut self, all: &[&'a str]) -> &'a str {
        all[self.below(all.len())]
    }

    fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }
}

const METHODS: [&str; 10] = [
    "steam",
    "boil",
    "simmer",
    "stew",
    "bake",
    "roast",
    "saute",
    "microwave",
    "pressure",
    "none",
];

/// A recipe as a file and as rows.
struct Sample {
    toml: String,
    tray: (f64, f64),
    lines: Vec<Row>,
    recipe: Row,
}

/// Foods that melt, that come in cans, and any others.
fn ids() -> Vec<String> {
    let special = [
        ("yields.csv", reference::YIELDS),
        ("drained-cans.csv", reference::DRAINED_CANS),
    ];
    let mut ids = Vec::new();
    for (name, text) in special {
        let (_, rows) = reference::records(name, text).unwrap();
        ids.extend(rows.iter().map(|row| row.get(0).unwrap().to_owned()));
    }
    let names = FoodTable::builtin().unwrap().names().unwrap();
    ids.extend(names.iter().step_by(5).map(|name| name.id.to_string()));
    ids
}

#[expect(clippy::format_push_string, reason = "test texts read better so")]
fn sample(id: i64, ids: &[String], numbers: &mut Numbers) -> Sample {
    let mut toml = "title = \"a sample\"\n".to_string();
    let mut lines = Vec::new();
    for line in 0..=numbers.below(7) {
        let food = &ids[numbers.below(ids.len())];
        let method = numbers.one_of(&METHODS);
        let grams = f64::from(u32::try_from(numbers.below(4000)).unwrap()) / 8.0 + 5.0;
        toml += &format!(
            "[[ingredient]]\nfood = \"{food}\"\namount = \"{grams} g\"\nmethod = \"{method}\"\n"
        );
        let basis = match numbers.below(3) {
            0 => Cell::None,
            1 => Cell::text("purchased"),
            _ => {
                toml += "basis = \"edible\"\n";
                Cell::text("edible")
            }
        };
        let weighed = if numbers.chance(10) {
            let grams = grams.mul_add(0.9, 1.0);
            toml += &format!("weighed = \"{grams} g\"\n");
            Cell::Real(grams)
        } else {
            Cell::None
        };
        let own_yield = if numbers.chance(15) {
            toml += "yield = 1.125\n";
            Cell::Real(1.125)
        } else {
            Cell::None
        };
        lines.push(vec![
            Cell::Whole(id),
            Cell::Whole(i64::try_from(line + 1).unwrap()),
            Cell::text(food),
            Cell::text(method),
            Cell::Real(grams),
            basis,
            weighed,
            own_yield,
        ]);
    }
    let share = [0.0, 0.2, 0.5, 1.0][numbers.below(4)];
    let (collected, added) = if numbers.chance(70) {
        (250.0, 37.5)
    } else {
        (0.0, 0.0)
    };
    let returned = collected * share;
    toml += &format!(
        "[liquid]\ncollected = \"{collected} ml\"\nreturned = \"{returned} ml\"\nadded = \"{added} ml\"\n"
    );
    let water = if numbers.chance(20) { "14412" } else { "" };
    if !water.is_empty() {
        toml += &format!("water = \"{water}\"\n");
    }
    toml += "[puree]\n";
    let weighed = numbers.chance(20).then_some(1480.0);
    let loss = numbers.chance(30).then_some(6.5);
    for (key, mass) in [("weighed", weighed), ("loss", loss)] {
        toml += &mass.map_or(String::new(), |mass| format!("{key} = \"{mass} g\"\n"));
    }
    let (cubes, reheat) = (numbers.below(4) + 1, numbers.chance(70));
    toml += &format!("[serving]\ncubes = {cubes}\nreheat = {reheat}\n");
    let tray = (
        [15.0, 30.0, 42.5][numbers.below(3)],
        [0.8, 0.95, 1.0][numbers.below(3)],
    );
    let real = |mass: Option<f64>| mass.map_or(Cell::None, Cell::Real);
    let recipe = vec![
        Cell::Whole(id),
        Cell::Real(collected),
        Cell::Real(returned),
        if added > 0.0 {
            Cell::Real(added)
        } else {
            Cell::None
        },
        if water.is_empty() {
            Cell::None
        } else {
            Cell::text(water)
        },
        real(weighed),
        real(loss),
        Cell::Real(tray.0),
        Cell::Real(tray.1),
        Cell::Real(cubes as f64),
        if reheat && numbers.chance(50) {
            Cell::None
        } else {
            Cell::Truth(reheat)
        },
    ];
    Sample {
        toml,
        tray,
        lines,
        recipe,
    }
}

fn bulk(input: &Path, output: &Path, options: &[&str]) -> Said {
    let mut args = vec!["bulk", input.to_str().unwrap(), output.to_str().unwrap()];
    args.extend(options);
    trayful(&args).said()
}

fn near(ours: f64, theirs: f64, what: &str) {
    let close = (ours - theirs).abs() <= 1e-9 * ours.abs().max(theirs.abs());
    assert!(close, "{what}: {ours} is not {theirs}");
}

/// What `trayful batch` says of a sample; nothing where it refuses.
fn batch(sample: &Sample, folder: &Path) -> Option<Value> {
    let path = folder.join("recipe.toml");
    fs::write(&path, &sample.toml).unwrap();
    let (well, fill) = (format!("{}ml", sample.tray.0), sample.tray.1.to_string());
    let said = trayful(&[
        "batch",
        path.to_str().unwrap(),
        "--well",
        &well,
        "--fill",
        &fill,
        "--json",
    ])
    .said();
    assert!(
        said.code < 2 || !said.err.contains("unexpected argument"),
        "{}",
        said.err
    );
    (said.code < 2).then(|| serde_json::from_str(&said.out).unwrap())
}

#[test]
fn two_hundred_recipes_have_the_figures_of_a_batch() {
    let place = folder(&[]);
    let (input, output) = (place.path().join("in"), place.path().join("out"));
    let (ids, mut numbers) = (ids(), Numbers(20_260_128));
    let samples: Vec<Sample> = (0..200).map(|id| sample(id, &ids, &mut numbers)).collect();
    for (part, samples) in samples.chunks(70).enumerate() {
        let lines: Vec<Row> = samples.iter().flat_map(|one| one.lines.clone()).collect();
        let recipes: Vec<Row> = samples.iter().map(|one| one.recipe.clone()).collect();
        let name = |table: &str| input.join(format!("{table}/part-{part}.parquet"));
        write_table(&name("lines"), &LINES, &lines, 100, part != 1);
        write_table(&name("recipes"), &RECIPES, &recipes, 31, part != 1);
    }
    let said = bulk(&input, &output, &["--per", "both"]);
    assert!(said.code < 2, "{}", said.err);
    let rows = read_folder(&output.join("results"));
    assert_eq!(rows["recipe_id"].len(), 200);
    let unsure = place.path().join("unsure");
    let options = ["--per", "both", "--intervals", "FE,VITC,WATER,ENERC_KCAL"];
    let said = bulk(&input, &unsure, &options);
    assert!(said.code < 2, "{}", said.err);
    let unsure = read_folder(&unsure.join("results"));
    for (name, column) in &rows {
        assert_eq!(unsure[name], *column, "{name} stays as it was");
    }
    assert_eq!(unsure.len(), rows.len() + 2 * INTERVALS.len());
    let mut compared = 0;
    for (at, sample) in samples.iter().enumerate() {
        let Some(batch) = batch(sample, place.path()) else {
            assert_ne!(rows["errors"][at], Cell::Whole(0), "{}", sample.toml);
            continue;
        };
        assert_eq!(rows["errors"][at], Cell::Whole(0), "{}", sample.toml);
        compared += 1;
        compare(&rows, at, &batch, &sample.toml);
        compare_intervals(&unsure, at, &batch, &sample.toml);
    }
    assert!(compared > 120, "only {compared} recipes could be compared");
}

fn compare(rows: &BTreeMap<String, Vec<Cell>>, at: usize, batch: &Value, toml: &str) {
    for mass in ["purchased_g", "edible_g", "cooked_g", "liquid_g", "puree_g"] {
        let theirs = batch["mass"][mass].as_f64().unwrap();
        near(
            rows[mass][at].real().unwrap(),
            theirs,
            &format!("{mass} {toml}"),
        );
    }
    let density = batch["density_g_per_ml"].as_f64().unwrap();
    near(rows["density_g_per_ml"][at].real().unwrap(), density, toml);
    near(
        rows["cube_g"][at].real().unwrap(),
        batch["cubes"]["cube_g"].as_f64().unwrap(),
        toml,
    );
    near(
        rows["cubes"][at].real().unwrap(),
        batch["cubes"]["count"].as_f64().unwrap(),
        toml,
    );
    let incomplete = whole(&rows["incomplete"][at]);
    let nutrients = batch["nutrients"].as_array().unwrap();
    assert_eq!(nutrients.len(), 46);
    for (bit, nutrient) in nutrients.iter().enumerate() {
        let tag = nutrient["id"].as_str().unwrap();
        let what = format!("{tag} {toml}");
        assert_eq!(
            incomplete >> bit & 1 == 0,
            nutrient["complete"].as_bool().unwrap(),
            "{what}"
        );
        for per in ["100g", "serving"] {
            let unit = nutrient["unit"]
                .as_str()
                .unwrap()
                .to_lowercase()
                .replace('µ', "u");
            let tag = tag.to_lowercase().replace('+', "_");
            let stem = tag.trim_end_matches(&format!("_{unit}"));
            let column = &rows[&format!("{stem}_{unit}_per_{per}")];
            let theirs = nutrient[format!("per_{per}")].as_f64();
            match (column[at].real(), theirs) {
                (Some(ours), Some(theirs)) => near(ours, theirs, &what),
                (ours, theirs) => assert_eq!(ours, theirs, "{what}"),
            }
        }
    }
}

/// Nutrients of which intervals are told, with the beginnings of their columns.
const INTERVALS: [(&str, &str); 4] = [
    ("FE", "fe_mg"),
    ("VITC", "vitc_mg"),
    ("WATER", "water_g"),
    ("ENERC_KCAL", "enerc_kcal"),
];

fn compare_intervals(rows: &BTreeMap<String, Vec<Cell>>, at: usize, batch: &Value, toml: &str) {
    let nutrients = batch["nutrients"].as_array().unwrap();
    for (tag, stem) in INTERVALS {
        let nutrient = nutrients.iter().find(|one| one["id"] == tag).unwrap();
        for end in ["low", "high"] {
            let theirs = nutrient["interval"][end].as_f64();
            match (
                rows[&format!("{stem}_{end}_per_serving")][at].real(),
                theirs,
            ) {
                (Some(ours), Some(theirs)) => near(ours, theirs, &format!("{tag} {end} {toml}")),
                (ours, theirs) => assert_eq!(ours, theirs, "{tag} {end} {toml}"),
            }
        }
    }
}

fn line(id: i64, food: &str, method: &str, grams: f64) -> Row {
    let mut row = vec![
        Cell::Whole(id),
        Cell::Whole(1),
        Cell::text(food),
        Cell::text(method),
        Cell::Real(grams),
    ];
    row.resize(LINES.len(), Cell::None);
    row
}

fn recipe(id: i64) -> Row {
    let mut row = vec![Cell::None; RECIPES.len()];
    row[0] = Cell::Whole(id);
    (row[7], row[8], row[9]) = (Cell::Real(30.0), Cell::Real(0.9), Cell::Real(2.0));
    row
}

/// Labels without water and ash: by difference, and without the protein that it takes.
#[test]
fn foods_from_labels_have_the_density_of_a_batch() {
    let labels = "id,name,per,energy,fat,total-carbohydrate,fibre,protein,sodium\n\
                  own-whole,Oat cereal,100 g,400 kcal,7 g,67 g,7 g,13 g,10 mg\n\
                  own-short,Rice cereal,100 g,400 kcal,7 g,67 g,7 g,,10 mg\n";
    let place = folder(&[("own.csv", labels)]);
    let path = |name: &str| place.path().join(name);
    let own = path("own.csv");
    let own = ["--own", own.to_str().unwrap()];
    let mixed = |id, cereal| {
        let second = line(id, cereal, "none", 100.0);
        [
            line(id, "09252", "steam", 400.0),
            with(second, 1, Cell::Whole(2)),
        ]
    };
    let lines = [mixed(1, "own-whole"), mixed(2, "own-short")].concat();
    tables(&path("in"), &lines, &[recipe(1), recipe(2)]);
    let said = bulk(&path("in"), &path("out"), &own);
    assert_eq!(said.code, 0, "{}", said.err);
    let rows = read_folder(&path("out/results"));
    for (at, (cereal, assumed)) in [("own-whole", false), ("own-short", true)]
        .iter()
        .enumerate()
    {
        let toml = format!(
            "title = \"a sample\"\n\
             [[ingredient]]\nfood = \"09252\"\namount = \"400 g\"\nmethod = \"steam\"\n\
             [[ingredient]]\nfood = \"{cereal}\"\namount = \"100 g\"\nmethod = \"none\"\n"
        );
        fs::write(path("recipe.toml"), &toml).unwrap();
        let recipe = path("recipe.toml");
        let tray = ["--well", "30ml", "--fill", "0.9", "--json"];
        let args = [&["batch", recipe.to_str().unwrap()], &own[..], &tray[..]].concat();
        let batch: Value = serde_json::from_str(&trayful(&args).answer()).unwrap();
        let density = batch["density_g_per_ml"].as_f64().unwrap();
        assert_eq!(density <= 1.0, *assumed, "{density}");
        near(
            rows["density_g_per_ml"][at].real().unwrap(),
            density,
            cereal,
        );
        assert_eq!(
            rows["density_assumed"][at],
            Cell::Truth(*assumed),
            "{cereal}"
        );
        // The water and the ash of the label stay unknown.
        assert_eq!(
            whole(&rows["incomplete"][at]) & 0b1_0001,
            0b1_0001,
            "{cereal}"
        );
        assert_eq!(rows["water_g_per_serving"][at], Cell::None, "{cereal}");
    }
}

#[test]
fn a_recipe_without_liquid_has_intervals_whatever_its_water_is_called() {
    let place = folder(&[]);
    let (input, output) = (place.path().join("in"), place.path().join("out"));
    let lines = [
        line(1, "11485", "steam", 400.0),
        line(2, "11485", "steam", 400.0),
    ];
    let recipes = [recipe(1), with(recipe(2), 4, Cell::text("nonsense"))];
    tables(&input, &lines, &recipes);
    let said = bulk(&input, &output, &["--intervals", "FE"]);
    assert_eq!(said.code, 0, "{}", said.err);
    let rows = read_folder(&output.join("results"));
    let [plain, odd] = &rows["fe_mg_low_per_serving"][..] else {
        panic!("two recipes");
    };
    assert!(plain.real().unwrap() > 0.0);
    assert_eq!(plain, odd);
}

/// A table with one cell of a row changed.
fn with(mut row: Row, at: usize, cell: Cell) -> Row {
    row[at] = cell;
    row
}

/// Writes both tables as one part.
fn tables(folder: &Path, lines: &[Row], recipes: &[Row]) {
    write_table(&folder.join("lines.parquet"), &LINES, lines, 1000, true);
    write_table(
        &folder.join("recipes.parquet"),
        &RECIPES,
        recipes,
        1000,
        true,
    );
}

/// The code that is due, the line, and what of the recipe is wrong.
type Case = (&'static str, Row, fn(Row) -> Row);

/// A recipe in which nothing is wrong, and one for each thing that can be.
fn wrong_cases() -> Vec<Case> {
    let squash = |id| line(id, "11485", "steam", 600.0);
    let nan = Cell::Real(f64::NAN);
    let same: fn(Row) -> Row = |row| row;
    vec![
        ("", squash(1), same),
        (
            "unknown_food_or_method",
            line(1, "99999", "steam", 5.0),
            same,
        ),
        ("unknown_food_or_method", line(1, "11485", "fry", 5.0), same),
        (
            "unknown_food_or_method",
            line(1, "11485", "Steam", 5.0),
            same,
        ),
        (
            "unknown_food_or_method",
            with(squash(1), 2, Cell::None),
            same,
        ),
        ("grams", with(squash(1), 4, Cell::None), same),
        ("grams", with(squash(1), 4, nan.clone()), same),
        ("grams", with(squash(1), 4, Cell::Real(f64::INFINITY)), same),
        ("grams", line(1, "11485", "steam", -5.0), same),
        ("basis", with(squash(1), 5, Cell::text("raw")), same),
        ("weighed_or_yield", with(squash(1), 6, nan.clone()), same),
        (
            "weighed_or_yield",
            with(squash(1), 7, Cell::Real(21.0)),
            same,
        ),
        (
            "cooked_too_light",
            with(line(1, "20444", "boil", 400.0), 6, Cell::Real(0.5)),
            same,
        ),
        ("liquid", squash(1), |row| with(row, 2, Cell::Real(50.0))),
        ("liquid", squash(1), |row| {
            with(row, 1, Cell::Real(f64::NAN))
        }),
        ("puree_too_light", squash(1), |row| {
            with(row, 5, Cell::Real(1.0))
        }),
        ("puree_too_light", squash(1), |row| {
            with(row, 5, Cell::Real(f64::NAN))
        }),
        ("puree_too_light", squash(1), |row| {
            with(row, 6, Cell::Real(99_999.0))
        }),
        ("tray", squash(1), |row| with(row, 8, Cell::Real(1.2))),
        ("tray", squash(1), |row| with(row, 7, Cell::Real(f64::NAN))),
        ("tray", squash(1), |row| with(row, 9, Cell::None)),
        ("unknown_water", squash(1), |row| {
            with(with(row, 4, Cell::text("99998")), 3, Cell::Real(50.0))
        }),
        ("only_water", line(1, "14411", "none", 500.0), same),
    ]
}

#[test]
fn each_thing_that_is_wrong_is_named_by_its_code() {
    let place = folder(&[]);
    let squash = |id| line(id, "11485", "steam", 600.0);
    let cases = wrong_cases();
    let (mut lines, mut recipes, mut due) = (Vec::new(), Vec::new(), Vec::new());
    for (id, (code, row, change)) in (1..).zip(&cases) {
        lines.push(with(row.clone(), 0, Cell::Whole(id)));
        recipes.push(change(recipe(id)));
        due.push(*code);
    }
    let more = i64::try_from(cases.len()).unwrap() + 1;
    recipes.push(recipe(more));
    lines.push(squash(more + 1));
    lines.push(squash(more + 2));
    recipes.extend([recipe(more + 2), recipe(more + 2)]);
    due.extend(["no_lines", "no_recipe", "recipe_twice"]);
    tables(place.path(), &lines, &recipes);
    let output = place.path().join("out");
    let said = bulk(place.path(), &output, &[]);
    assert_eq!(said.code, 1, "{}", said.err);
    assert!(
        said.err
            .contains("26 recipes: 1 calculated, 25 rejected (unknown_food_or_method 4, grams 4,\npuree_too_light 3, tray 3, "),
        "{}",
        said.err
    );
    let (results, rejects) = (
        read_folder(&output.join("results")),
        read_folder(&output.join("rejects")),
    );
    assert_eq!(results["recipe_id"].len(), due.len());
    for (at, code) in due.iter().enumerate() {
        let id = &results["recipe_id"][at];
        let found = rejects["recipe_id"].iter().zip(&rejects["code"]);
        let found: Vec<_> = found
            .filter(|(of, _)| *of == id)
            .map(|(_, code)| text(code).unwrap())
            .collect();
        let expected: Vec<&str> = Some(*code)
            .filter(|code| !code.is_empty())
            .into_iter()
            .collect();
        assert_eq!(found, expected, "recipe {id:?}");
        let known = results["fe_mg_per_serving"][at] != Cell::None;
        assert_eq!(known, code.is_empty(), "recipe {id:?}");
        assert_eq!(results["errors"][at] == Cell::Whole(0), code.is_empty());
    }
    let first = (
        &rejects["line"][0],
        &rejects["food"][0],
        &rejects["grams"][0],
    );
    assert_eq!(
        first,
        (&Cell::Whole(1), &Cell::text("99999"), &Cell::Real(5.0))
    );
    insta::assert_snapshot!(said.err);
}

#[test]
fn tables_that_do_not_fit_stop_the_run_and_leave_no_result() {
    let squash = |id| line(id, "11485", "steam", 600.0);
    let refused = |prepare: &dyn Fn(&Path)| {
        let place = folder(&[]);
        prepare(place.path());
        let output = place.path().join("out");
        let said = bulk(place.path(), &output, &[]);
        assert_eq!(said.code, 2, "{}", said.err);
        // Rows out of order are met while a part is calculated: what was written of it is removed.
        for table in ["results", "rejects"] {
            let written = fs::read_dir(output.join(table)).into_iter().flatten();
            let names = written.map(|entry| entry.unwrap().file_name().into_string().unwrap());
            let left: Vec<_> = names.collect();
            assert!(left.is_empty(), "{left:?}");
        }
        said.err.replace(place.path().to_str().unwrap(), "IN")
    };
    let both = [recipe(1), recipe(2), recipe(3)];
    let misspelt = refused(&|folder| {
        let mut columns = LINES;
        columns[4].0 = "gramms";
        write_table(
            &folder.join("lines.parquet"),
            &columns,
            &[squash(1)],
            10,
            true,
        );
        write_table(&folder.join("recipes.parquet"), &RECIPES, &both, 10, true);
    });
    let numbers = refused(&|folder| {
        let mut columns = LINES;
        columns[2].1 = Layout::Int64;
        let rows = [with(squash(1), 2, Cell::Whole(1123))];
        write_table(&folder.join("lines.parquet"), &columns, &rows, 10, true);
        write_table(&folder.join("recipes.parquet"), &RECIPES, &both, 10, true);
    });
    let back = refused(&|folder| tables(folder, &[squash(1), squash(3), squash(2)], &both));
    let overlap = refused(&|folder| {
        for (name, ids) in [("a", [1, 3]), ("b", [2, 4])] {
            let path = folder.join(format!("lines/{name}.parquet"));
            write_table(&path, &LINES, &ids.map(squash), 10, true);
        }
        write_table(&folder.join("recipes.parquet"), &RECIPES, &both, 10, true);
    });
    let nothing = refused(&|_| {});
    let damaged = refused(&|folder| {
        tables(folder, &[squash(1)], &both);
        fs::write(folder.join("lines.parquet"), "PAR1 this is none PAR1").unwrap();
    });
    insta::assert_snapshot!([misspelt, numbers, back, overlap, nothing, damaged].join("\n"));
}

/// Every file of an output with its bytes.
fn bytes_of(output: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut all = BTreeMap::from([(
        "bulk.jsonl".into(),
        fs::read(output.join("bulk.jsonl")).unwrap(),
    )]);
    for table in ["results", "rejects"] {
        for path in files(&output.join(table)) {
            let name = Path::new(table).join(path.file_name().unwrap());
            all.insert(name, fs::read(&path).unwrap());
        }
    }
    all
}

/// Invented recipes in several parts.
fn corpus(input: &Path, parts: i64, of_part: i64) {
    let mut numbers = Numbers(7);
    let foods = ["11485", "16144", "09252", "08120", "11457", "05062"];
    for part in 0..parts {
        let ids: Vec<i64> = (part * of_part..(part + 1) * of_part).collect();
        let lines = ids.iter().flat_map(|id| {
            let mut row = || line(*id, numbers.one_of(&foods), numbers.one_of(&METHODS), 100.0);
            [row(), row(), row()]
        });
        let lines: Vec<Row> = lines.collect();
        let recipes: Vec<Row> = ids.iter().map(|id| recipe(*id)).collect();
        write_table(
            &input.join(format!("lines/part-{part:02}.parquet")),
            &LINES,
            &lines,
            100_000,
            true,
        );
        write_table(
            &input.join(format!("recipes/part-{part:02}.parquet")),
            &RECIPES,
            &recipes,
            100_000,
            true,
        );
    }
}

#[test]
fn a_run_that_was_stopped_goes_on_and_ends_with_the_same_bytes() {
    use std::process::{Command, Stdio};
    let place = folder(&[]);
    let path = |name: &str| place.path().join(name);
    corpus(&path("in"), 6, 300);
    let whole = bulk(&path("in"), &path("whole"), &["--threads", "1"]);
    assert_eq!(whole.code, 0, "{}", whole.err);
    let mut kills = 0;
    for after in (1..=8).map(|times| times * 15) {
        let mut run = Command::new(env!("CARGO_BIN_EXE_trayful"));
        run.env_clear()
            .arg("bulk")
            .args([path("in"), path("out")])
            .args(["--threads", "2"]);
        let mut run = run.stderr(Stdio::null()).spawn().unwrap();
        std::thread::sleep(std::time::Duration::from_millis(after));
        kills += u32::from(run.try_wait().unwrap().is_none());
        run.kill().unwrap();
        run.wait().unwrap();
    }
    assert!(kills > 0, "every run had ended before it was killed");
    let ended = bulk(&path("in"), &path("out"), &[]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert!(
        bytes_of(&path("out")) == bytes_of(&path("whole")),
        "the bytes differ"
    );
    let again = bulk(&path("in"), &path("out"), &[]);
    assert!(
        again.err.contains("6 of 6 parts were done before"),
        "{}",
        again.err
    );
    let other = bulk(&path("in"), &path("out"), &["--per", "100g"]);
    assert!(
        other.code == 2 && other.err.contains("is of a run with other options"),
        "{}",
        other.err
    );
    let anew = bulk(
        &path("in"),
        &path("out"),
        &[
            "--per",
            "100g",
            "--restart",
            "--nutrients",
            "fe,zn",
            "--float",
            "32",
        ],
    );
    assert_eq!(anew.code, 0, "{}", anew.err);
    let columns = read_folder(&path("out").join("results"));
    assert_eq!(columns.len(), 14 + 2);
    assert!(columns.contains_key("zn_mg_per_100g"));
}

#[test]
fn parts_done_one_by_one_are_those_of_a_whole_run() {
    let place = folder(&[]);
    let path = |name: &str| place.path().join(name);
    corpus(&path("in"), 3, 20);
    assert_eq!(bulk(&path("in"), &path("whole"), &[]).code, 0);
    for part in ["part-02.parquet", "part-00", "part-01.parquet"] {
        assert_eq!(bulk(&path("in"), &path("out"), &["--part", part]).code, 0);
    }
    for table in ["results", "rejects"] {
        for file in files(&path("whole").join(table)) {
            let other = path("out").join(table).join(file.file_name().unwrap());
            assert!(
                fs::read(&file).unwrap() == fs::read(other).unwrap(),
                "{}",
                file.display()
            );
        }
    }
    let none = bulk(&path("in"), &path("out"), &["--part", "part-09"]);
    assert!(
        none.err.contains("there is no part “part-09”"),
        "{}",
        none.err
    );
}

#[test]
fn foods_that_are_kept_from_one_run_to_the_next_change_nothing() {
    let place = folder(&[]);
    let path = |name: &str| place.path().join(name);
    corpus(&path("in"), 2, 30);
    assert_eq!(bulk(&path("in"), &path("alone"), &[]).code, 0);
    let run = |output: &str| {
        let (input, output) = (path("in"), path(output));
        let args = ["bulk", input.to_str().unwrap(), output.to_str().unwrap()];
        let said = trayful(&args).with("XDG_CACHE_HOME", path("cache").to_str().unwrap());
        let said = said.said();
        assert_eq!(said.code, 0, "{}", said.err);
        assert_eq!(bytes_of(&output), bytes_of(&path("alone")));
        said.err
    };
    run("first");
    let [kept] = &files(&path("cache/trayful"))[..] else {
        panic!("the prepared foods are not kept");
    };
    let whole = fs::read(kept).unwrap();
    run("second");
    fs::write(kept, &whole[..whole.len() / 2]).unwrap();
    run("damaged");
    assert!(fs::read(kept).unwrap() == whole, "it is not made anew");
    fs::remove_dir_all(path("cache")).unwrap();
    fs::write(path("cache"), "in the way").unwrap();
    let err = run("nowhere");
    assert!(err.contains("are not kept for the next run"), "{err}");
}

#[test]
fn the_template_runs_and_text_will_do_as_an_id() {
    let place = folder(&[]);
    let path = |name: &str| place.path().join(name);
    let template = path("t");
    trayful(&["bulk", "--template", template.to_str().unwrap()]).answer();
    let said = bulk(&template, &path("out"), &[]);
    assert_eq!(
        (said.code, said.err.as_str()),
        (0, "note: 2 recipes: 2 calculated, 0 rejected\n")
    );
    for name in ["lines.csv", "recipes.csv"] {
        let text = fs::read_to_string(template.join(name)).unwrap();
        let text = text
            .replace("\n1,", "\npear-7,")
            .replace("\n2,", "\nsquash-é,");
        fs::write(template.join(name), text).unwrap();
    }
    let said = bulk(&template, &path("text"), &[]);
    assert_eq!(said.code, 0, "{}", said.err);
    let (numbers, words) = (
        read_folder(&path("out/results")),
        read_folder(&path("text/results")),
    );
    assert_eq!(
        words["recipe_id"],
        [Cell::text("pear-7"), Cell::text("squash-é")]
    );
    assert_eq!(numbers["fe_mg_per_serving"], words["fe_mg_per_serving"]);
}

/// What was said, in one line.
fn in_one_line(said: &str) -> String {
    let words: Vec<&str> = said.split_whitespace().collect();
    words.join(" ")
}

#[test]
fn a_part_whose_files_are_not_as_they_were_written_is_done_anew() {
    let place = folder(&[]);
    let path = |name: &str| place.path().join(name);
    corpus(&path("in"), 3, 20);
    assert_eq!(bulk(&path("in"), &path("out"), &[]).code, 0);
    let whole = bytes_of(&path("out"));
    let spoil = |table: &str, change: &dyn Fn(&mut Vec<u8>)| {
        let file = path("out").join(table).join("part-01.parquet");
        let mut bytes = fs::read(&file).unwrap();
        change(&mut bytes);
        fs::write(&file, bytes).unwrap();
        let again = bulk(&path("in"), &path("out"), &[]);
        assert_eq!(again.code, 0, "{}", again.err);
        let said = in_one_line(&again.err);
        assert!(said.contains("2 of 3 parts were done before"), "{said}");
        let anew = "done anew, since the files were not as they were written: part-01";
        assert!(said.contains(anew), "{said}");
        assert!(bytes_of(&path("out")) == whole, "{table} is not as it was");
    };
    spoil("results", &|bytes| bytes.truncate(100));
    spoil("rejects", &|bytes| bytes.clear());
    spoil("results", &|bytes| {
        let at = bytes.len() - 30;
        bytes[at..at + 10].fill(b'x');
    });
    let again = bulk(&path("in"), &path("out"), &[]);
    assert!(!again.err.contains("done anew"), "{}", again.err);
    // A journal that does not say yet how the files were written is good for files that are whole.
    let journal = fs::read_to_string(path("out/bulk.jsonl")).unwrap();
    let lines = journal.lines().map(|line| {
        let mut entry: Value = serde_json::from_str(line).unwrap();
        assert!(entry.as_object_mut().unwrap().remove("output").is_some());
        format!("{entry}\n")
    });
    let earlier: String = lines.collect();
    fs::write(path("out/bulk.jsonl"), &earlier).unwrap();
    let again = bulk(&path("in"), &path("out"), &[]);
    let said = in_one_line(&again.err);
    assert!(said.contains("3 of 3 parts were done before"), "{said}");
    fs::write(path("out/results/part-02.parquet"), "PAR1").unwrap();
    let again = bulk(&path("in"), &path("out"), &[]);
    assert!(again.err.contains("part-02"), "{}", again.err);
}

#[test]
fn every_reason_of_a_recipe_is_there_and_none_that_is_not_so() {
    let place = folder(&[]);
    let squash = |id| line(id, "11485", "steam", 600.0);
    let real = Cell::Real;
    let lines = [
        squash(1),
        with(squash(2), 6, real(-1.0)),
        with(squash(3), 7, real(0.0)),
        line(4, "1123", "fry", 60.0),
        squash(5),
        squash(6),
        squash(7),
        with(line(8, "nonsense", "steam", -2.0), 5, Cell::text("raw")),
    ];
    let all = with(with(recipe(1), 8, real(2.0)), 5, real(1.0));
    let recipes = [
        with(all, 6, real(-3.0)),
        recipe(2),
        recipe(3),
        recipe(4),
        with(with(recipe(5), 5, real(500.0)), 6, real(-5.0)),
        with(recipe(6), 7, real(1e9)),
        with(with(recipe(7), 9, real(1e9)), 5, real(0.0)),
        recipe(8),
    ];
    tables(place.path(), &lines, &recipes);
    let said = bulk(place.path(), &place.path().join("out"), &[]);
    assert_eq!(said.code, 1, "{}", said.err);
    let rejects = read_folder(&place.path().join("out/rejects"));
    let of = |id: i64, column: &str| {
        let ids = rejects["recipe_id"].iter().zip(&rejects[column]);
        let of_id = ids.filter(|(of, _)| **of == Cell::Whole(id));
        let words = of_id.map(|(_, cell)| text(cell).unwrap().to_owned());
        words.collect::<Vec<_>>()
    };
    assert_eq!(of(1, "code"), ["puree_too_light", "tray"]);
    assert_eq!(of(2, "code"), ["weighed_or_yield"]);
    assert_eq!(of(3, "code"), ["weighed_or_yield"]);
    assert_eq!(of(4, "code"), ["unknown_food_or_method"; 2]);
    let what = ["there is no such food", "there is no such way to cook"];
    assert_eq!(of(4, "what"), what);
    assert!(of(4, "hint")[0].ends_with("did you mean 01123?"));
    assert_eq!(of(5, "code"), ["puree_too_light"]);
    assert!(of(5, "what")[0].contains("loss_g 0 or above"));
    assert_eq!(of(6, "code"), ["tray"]);
    assert!(of(6, "what")[0].contains("at most 100000"));
    assert_eq!(of(7, "code"), ["puree_too_light", "tray"]);
    assert!(of(7, "what")[1].contains("at most 10000"));
    assert_eq!(of(8, "code"), ["unknown_food_or_method", "grams", "basis"]);
    assert!(!of(8, "hint")[0].contains("did you mean"));
}

/// Some columns of a table, and their cells.
fn only<'a>(
    columns: &[(&'a str, Layout)],
    rows: &[Row],
    kept: &[&str],
) -> (Vec<(&'a str, Layout)>, Vec<Row>) {
    let places: Vec<usize> = (0..columns.len())
        .filter(|at| kept.contains(&columns[*at].0))
        .collect();
    let row = |row: &Row| places.iter().map(|at| row[*at].clone()).collect::<Row>();
    (
        places.iter().map(|at| columns[*at]).collect(),
        rows.iter().map(row).collect(),
    )
}

#[test]
fn the_statements_fill_in_the_columns_that_tables_lack() {
    let place = folder(&[]);
    let path = |name: &str| place.path().join(name);
    let lines = [line(1, "11485", "steam", 400.0)];
    let kept = ["recipe_id", "food", "method", "grams", "weighed_g"];
    let (columns, rows) = only(&LINES, &lines, &kept);
    write_table(&path("lines.parquet"), &columns, &rows, 10, true);
    let kept = ["recipe_id", "well_ml", "fill", "cubes_per_serving"];
    let (columns, rows) = only(&RECIPES, &[recipe(1)], &kept);
    write_table(&path("recipes.parquet"), &columns, &rows, 10, true);
    let export = path("export");
    let (folder, input) = (export.to_str().unwrap(), place.path().to_str().unwrap());
    let answer = trayful(&["bulk", "--export", folder, "--for", input]).answer();
    let answer = in_one_line(&answer);
    assert!(
        answer.contains("as NULL, which the tables lack"),
        "{answer}"
    );
    let of_lines = "- lines: line INT, basis STRING, yield DOUBLE -";
    assert!(answer.contains(of_lines), "{answer}");
    let results = fs::read_to_string(export.join("results.sql")).unwrap();
    for due in [
        "FROM (SELECT recipe_id, CAST(NULL AS INT) AS line, food, method, grams, CAST(NULL AS STRING) AS basis, weighed_g,",
        "CAST(NULL AS STRING) AS water_food, ",
        "CAST(NULL AS BOOLEAN) AS reheat FROM recipes) GROUP BY recipe_id",
    ] {
        assert!(results.contains(due), "{due}: {results}");
    }
}

#[test]
fn folders_that_are_none_are_told() {
    let place = folder(&[("file", "")]);
    let path = |name: &str| place.path().join(name);
    corpus(&path("in"), 1, 2);
    let said = |input: &str, output: &str| {
        let said = bulk(&path(input), &path(output), &[]);
        assert_eq!(said.code, 2, "{}", said.err);
        in_one_line(&said.err)
    };
    let output = said("in", "file");
    assert!(
        output.contains("is a file, where a folder to write into is due"),
        "{output}"
    );
    let input = said("file", "out");
    assert!(
        input.contains("is a file, where the folder with the tables"),
        "{input}"
    );
    let input = said("nowhere", "out");
    assert!(input.contains("there is no folder"), "{input}");
    assert!(!path("out").exists(), "it is made for nothing");
}

#[test]
fn the_lines_of_a_recipe_in_two_files_and_a_row_without_an_id_are_told() {
    let squash = |id| line(id, "11485", "steam", 600.0);
    let said = |first: &[Row], second: &[Row]| {
        let place = folder(&[]);
        for (name, rows) in [("a", first), ("b", second)] {
            let path = place.path().join(format!("lines/{name}.parquet"));
            write_table(&path, &LINES, rows, 2, true);
        }
        let recipes: Vec<Row> = (1..10).map(recipe).collect();
        let path = place.path().join("recipes.parquet");
        write_table(&path, &RECIPES, &recipes, 10, true);
        let said = bulk(place.path(), &place.path().join("out"), &[]);
        assert_eq!(said.code, 2, "{}", said.err);
        in_one_line(&said.err)
    };
    let split = said(&[squash(1), squash(2)], &[squash(2), squash(3)]);
    assert!(split.contains("both have lines of recipe_id 2"), "{split}");
    assert!(
        split.contains("write all lines of a recipe into one file"),
        "{split}"
    );
    let several = [squash(1), squash(4), squash(5), squash(9)];
    let overlap = said(&several, &[squash(3), squash(6)]);
    assert!(overlap.contains("has recipe_id up to 9, and"), "{overlap}");
    let without = with(squash(3), 0, Cell::None);
    let lacking = said(&[squash(1), squash(2), squash(2), without], &[squash(8)]);
    assert!(lacking.contains("row 4 has no recipe_id"), "{lacking}");
}

#[test]
fn a_column_without_a_value_may_be_of_any_type() {
    let place = folder(&[]);
    let (mut of_lines, mut of_recipes) = (LINES, RECIPES);
    (of_lines[5].1, of_lines[6].1) = (Layout::Int32, Layout::Int32);
    (of_recipes[4].1, of_recipes[10].1) = (Layout::Int32, Layout::Double);
    let lines = [line(1, "11485", "steam", 400.0)];
    let path = |name: &str| place.path().join(name);
    write_table(&path("lines.parquet"), &of_lines, &lines, 10, true);
    write_table(
        &path("recipes.parquet"),
        &of_recipes,
        &[recipe(1)],
        10,
        true,
    );
    let said = bulk(place.path(), &path("out"), &[]);
    assert_eq!(said.code, 0, "{}", said.err);
    let lines = [with(lines[0].clone(), 5, Cell::Whole(1))];
    write_table(&path("lines.parquet"), &of_lines, &lines, 10, true);
    let said = bulk(place.path(), &path("other"), &[]);
    let said = in_one_line(&said.err);
    assert!(said.contains("basis holds whole numbers"), "{said}");
    assert!(said.contains("CAST(basis AS STRING)"), "{said}");
}

#[test]
fn csv_with_other_separators_is_told() {
    let place = folder(&[]);
    let path = |name: &str| place.path().join(name);
    trayful(&["bulk", "--template", path("t").to_str().unwrap()]).answer();
    let lines = fs::read_to_string(path("t/lines.csv")).unwrap();
    let said = |text: String| {
        fs::write(path("t/lines.csv"), text).unwrap();
        let said = bulk(&path("t"), &path("out"), &[]);
        assert_eq!(said.code, 2, "{}", said.err);
        in_one_line(&said.err)
    };
    let separated = said(lines.replace(',', ";"));
    assert!(separated.contains("separated by semicolons"), "{separated}");
    let decimal = said(lines.replace(",600,", ",\"12,5\","));
    assert!(
        decimal.contains("“12,5” in grams is not a number"),
        "{decimal}"
    );
    assert!(
        decimal.contains("write a point before decimals: 12.5"),
        "{decimal}"
    );
    let word = said(lines.replace(",600,", ",much,"));
    assert!(word.contains("leave the cell empty"), "{word}");
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told_and_what_is_done_is_kept() {
    // A results file that is the device without room: every write to it fails as on a full disk.
    let place = folder(&[]);
    let path = |name: &str| place.path().join(name);
    corpus(&path("in"), 2, 20);
    assert_eq!(
        bulk(&path("in"), &path("out"), &["--part", "part-00"]).code,
        0
    );
    let full = path("out/results/.part-01.unfinished");
    std::os::unix::fs::symlink("/dev/full", full).unwrap();
    let said = bulk(&path("in"), &path("out"), &[]);
    assert_eq!(said.code, 2, "{}", said.err);
    let words = in_one_line(&said.err);
    assert!(words.contains("the disk is full"), "{words}");
    assert!(
        words.contains("free space and run the same command again"),
        "{words}"
    );
    let again = bulk(&path("in"), &path("out"), &[]);
    assert_eq!(again.code, 0, "{}", again.err);
    assert!(in_one_line(&again.err).contains("1 of 2 parts were done before"));
}

#[test]
fn a_weighed_puree_may_be_as_many_times_the_ingredients_as_in_a_batch() {
    let place = folder(&[]);
    let lines = [line(1, "11485", "steam", 400.0)];
    let run = |weighed: Cell| {
        tables(place.path(), &lines, &[with(recipe(1), 5, weighed)]);
        let output = place.path().join("out");
        let said = bulk(place.path(), &output, &["--restart"]);
        assert!(said.code < 2, "{}", said.err);
        read_folder(&output.join("results"))
    };
    let cooked = run(Cell::None)["cooked_g"][0].real().unwrap();
    for (times, errors) in [(3.99, 0), (4.01, 512)] {
        let weighed = cooked * times;
        let rows = run(Cell::Real(weighed));
        assert_eq!(rows["errors"][0], Cell::Whole(errors), "{times}");
        let toml = format!(
            "title = \"one\"\n[[ingredient]]\nfood = \"11485\"\namount = \"400 g\"\nmethod = \"steam\"\n\
             [puree]\nweighed = \"{weighed} g\"\n[serving]\ncubes = 2\n"
        );
        let sample = Sample {
            toml,
            tray: (30.0, 0.9),
            lines: Vec::new(),
            recipe: Vec::new(),
        };
        assert_eq!(
            batch(&sample, place.path()).is_some(),
            errors == 0,
            "{times}"
        );
    }
}
