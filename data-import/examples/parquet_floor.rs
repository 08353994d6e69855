//! Times the reading and the writing of Parquet alone, the floor below which no run of
//! `trayful bulk` can go: `parquet_floor decode IN OUT` reads every column of the tables below IN,
//! and `parquet_floor encode OUT_OF_A_RUN OUT` writes the results of a run once more. On one thread
//! for each processor.

use std::error::Error;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use data_import::parquet::{
    Cells, Codec, ColumnKind, Layout, ParquetReader, ParquetWriter, WrittenColumn,
};

type Done = Result<(), Box<dyn Error + Send + Sync>>;

fn main() -> Done {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [what, source, out] = args.as_slice() else {
        return Err("parquet_floor decode|encode FROM OUT".into());
    };
    std::fs::create_dir_all(out)?;
    let tables: &[&str] = match what.as_str() {
        "decode" => &["lines", "recipes"],
        _ => &["results"],
    };
    let mut files = Vec::new();
    for table in tables {
        for entry in std::fs::read_dir(Path::new(source).join(table))? {
            files.push(entry?.path());
        }
    }
    let next = AtomicUsize::new(0);
    let work = || -> Done {
        while let Some(path) = files.get(next.fetch_add(1, Ordering::Relaxed)) {
            match what.as_str() {
                "decode" => decode(path)?,
                _ => encode(path, Path::new(out))?,
            }
        }
        Ok(())
    };
    let threads = thread::available_parallelism()?.get();
    thread::scope(|scope| {
        let workers: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        let mut ended = workers
            .into_iter()
            .map(|worker| worker.join().map_err(|_| "a thread failed"));
        ended.try_for_each(|ended| ended?)
    })
}

fn decode(path: &Path) -> Done {
    let file = ParquetReader::open(path)?;
    for (group, rows) in file.groups().into_iter().enumerate() {
        for field in file.fields() {
            match field.kind {
                ColumnKind::Integer => drop(file.integers(group, &field.name, 0..rows)?),
                ColumnKind::Real => drop(file.reals(group, &field.name, 0..rows)?),
                ColumnKind::Truth => drop(file.truths(group, &field.name, 0..rows)?),
                _ => drop(file.text(group, &field.name, 0..rows)?),
            }
        }
    }
    Ok(())
}

/// Writes the numbers of a file. They are read one column after another, so that this is a little
/// more than writing alone.
fn encode(path: &Path, out: &Path) -> Done {
    let file = ParquetReader::open(path)?;
    let fields = file.fields();
    let reals: Vec<_> = fields
        .iter()
        .filter(|field| field.kind == ColumnKind::Real)
        .collect();
    let columns = reals.iter().map(|field| WrittenColumn {
        name: field.name.clone(),
        layout: Layout::Double,
        sorted: false,
        few: false,
        notes: std::collections::BTreeMap::new(),
    });
    let columns: Vec<_> = columns.collect();
    let name = path.file_name().unwrap_or_default();
    let mut writer = ParquetWriter::create(&out.join(name), &columns, Codec::Zstd)?;
    for (group, rows) in file.groups().into_iter().enumerate() {
        let values = reals
            .iter()
            .map(|field| file.reals(group, &field.name, 0..rows));
        let values = values.collect::<Result<Vec<_>, _>>()?;
        writer.write(rows, |at| Cells::Reals(&values[at].values, None))?;
    }
    writer.finish()?.sync()?;
    Ok(())
}
