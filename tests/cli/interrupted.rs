//! Imports killed at random moments: the cache is the old one or the new one, and whole.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use data_import::{FoodTable, NutrientId, verify};

use super::support::folder;

const FOODS: u32 = 600;
/// Imports that are killed while they are under way.
const KILLS: u64 = 50;
/// Imports that are started at the most: on a busy machine some end before they are killed.
const MOST_STARTED: u64 = 20 * KILLS;

/// A download in the layout of FoodData Central in which every amount is `iron`; invented.
#[expect(clippy::format_push_string, reason = "test texts read better so")]
fn download(folder: &Path, name: &str, iron: u32) -> PathBuf {
    let path = folder.join(name);
    fs::create_dir(&path).unwrap();
    let mut foods = "fdc_id,data_type,description\n".to_string();
    let mut values = "id,fdc_id,nutrient_id,amount,derivation_id\n".to_string();
    for id in 1000..1000 + FOODS {
        foods += &format!("{id},branded_food,\"OAT BAR, {id}\"\n");
        for nutrient in [1089, 1095, 1087, 1090, 1091, 1092] {
            values += &format!("{id}{nutrient},{id},{nutrient},{iron},70\n");
        }
    }
    let nutrients = "id,name,unit_name,nutrient_nbr\n1089,Iron,MG,303\n1095,Zinc,MG,309\n\
                     1087,Calcium,MG,301\n1090,Magnesium,MG,304\n1091,Phosphorus,MG,305\n\
                     1092,Potassium,MG,306\n";
    fs::write(path.join("food.csv"), foods).unwrap();
    fs::write(path.join("food_nutrient.csv"), values).unwrap();
    fs::write(path.join("nutrient.csv"), nutrients).unwrap();
    path
}

fn import(source: &Path, cache: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_trayful"));
    command
        .args(["data", "import"])
        .arg(source)
        .arg("--cache")
        .arg(cache)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

/// The iron that all foods of a cache have, after every row of it was read.
fn iron(cache: &Path) -> f64 {
    let verified = verify(cache).unwrap();
    assert_eq!(verified.foods, FOODS as usize);
    assert_eq!(verified.provenance, 6 * FOODS as usize);
    let foods = FoodTable::open(cache).unwrap().all().unwrap();
    let amounts = foods.iter().flat_map(|food| food.composition.iter());
    let mut amounts = amounts.map(|(_, amount)| amount).collect::<Vec<_>>();
    amounts.dedup();
    assert_eq!(amounts.len(), 1, "two imports are mixed: {amounts:?}");
    foods[0].composition.get(NutrientId::IRON).unwrap()
}

#[test]
fn an_import_killed_at_any_moment_leaves_the_old_cache_or_the_new_one() {
    let place = folder(&[]);
    let cache = place.path().join("cache");
    let sources = [1, 2].map(|iron| download(place.path(), &format!("set-{iron}"), iron));
    let start = Instant::now();
    assert!(import(&sources[0], &cache).status().unwrap().success());
    let mut whole = start.elapsed();
    let (mut seed, mut before) = (28_u64, 1.0);
    let (mut killed, mut round) = (0, 0);
    while killed < KILLS && round < MOST_STARTED {
        // A linear congruential generator (D. E. Knuth, MMIX).
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let moment = whole.mul_f64((seed >> 40) as f64 / f64::from(1 << 24));
        let source = usize::try_from((round + 1) % 2).unwrap();
        let start = Instant::now();
        let mut child = import(&sources[source], &cache).spawn().unwrap();
        thread::sleep(moment.max(Duration::from_millis(1)));
        // On Unix this is SIGKILL, which nothing can catch.
        child.kill().unwrap();
        if child.wait().unwrap().success() {
            // It was faster than thought: the next moments are earlier.
            whole = whole.min(start.elapsed()).mul_f64(0.9);
        } else {
            killed += 1;
        }
        let after = iron(&cache);
        assert!(
            [before, [1.0, 2.0][source]].contains(&after),
            "round {round}"
        );
        before = after;
        round += 1;
    }
    assert_eq!(
        killed, KILLS,
        "of {round} imports too few were under way when they were killed"
    );
    assert!(import(&sources[1], &cache).status().unwrap().success());
    assert_eq!(iron(&cache).to_bits(), 2_f64.to_bits());
    let left = fs::read_dir(&cache).unwrap();
    let left = left.map(|file| file.unwrap().file_name().into_string().unwrap());
    let left = left.collect::<Vec<_>>();
    assert_eq!(
        left.len(),
        6, // three tables, the manifest, the lock, the search index
        "what the killed imports left is gone: {left:?}"
    );
}
