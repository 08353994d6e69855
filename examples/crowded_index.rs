//! Writes a cache folder with a search index of the built-in foods and of invented packets, and
//! says what that took: `crowded_index PACKETS DIR`. There are no figures of foods in the folder; it
//! is good for `trayful foods WORDS` alone.

use std::error::Error;
use std::fs::{self, File};
use std::io::BufWriter;
use std::path::Path;
use std::time::Instant;

use data_import::search_index;
use trayful::food::FoodTable;
use trayful::food::search::{Entry, FOODS_OF_PART, IndexBuilder};

#[path = "../tests/world/packets.rs"]
mod packets;

#[expect(clippy::print_stdout, reason = "a program for the command line")]
fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [count, dir] = arguments.as_slice() else {
        return Err("usage: crowded_index PACKETS DIR".into());
    };
    let (count, dir): (u64, &Path) = (count.parse()?, dir.as_ref());
    let table = FoodTable::builtin()?;
    let names = table.names()?.into_iter();
    let foods: Vec<Entry> = names
        .map(|name| Entry {
            id: name.id.to_string(),
            name: name.name,
            common_names: name.common_names,
            manufacturer: name.manufacturer,
            group: name.group,
            ..Entry::default()
        })
        .collect();
    let packets = packets::Packets::new(&foods);

    fs::create_dir_all(dir)?;
    let path = search_index::path(dir);
    let start = Instant::now();
    let mut builder = IndexBuilder::new(BufWriter::new(File::create(&path)?));
    builder.push(&foods)?;
    let mut number = 0..count;
    loop {
        let part: Vec<Entry> = number
            .by_ref()
            .take(FOODS_OF_PART)
            .map(|number| packets.packet(number))
            .collect();
        if part.is_empty() {
            break;
        }
        builder.push(&part)?;
    }
    let pushed = start.elapsed().as_secs_f64();
    builder.finish(&table.manifest().stamp())?;
    let total = start.elapsed().as_secs_f64();
    serde_json::to_writer(File::create(dir.join("manifest.json"))?, table.manifest())?;
    println!(
        "{} foods indexed in {total:.1} s ({pushed:.1} s reading), {} bytes{}",
        foods.len() as u64 + count,
        fs::metadata(&path)?.len(),
        peak_memory().map_or_else(String::new, |peak| format!(", peak memory {peak}")),
    );
    Ok(())
}

/// The most memory this process held, as Linux reports it.
fn peak_memory() -> Option<String> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.map(|peak| peak.trim().to_owned())
}
