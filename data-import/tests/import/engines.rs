//! The cache is plain Parquet: other engines read it, here `DuckDB` or Polars for Python from `PyPI`.

use std::io::Write;
use std::process::Command;

use data_import::{Error, ImportRequest, formats, import};

use crate::fooddata_set::Download;
use crate::support::{Workplace, fixture};

const DUCKDB: &str = "
import sys, duckdb
row = duckdb.connect().execute(f'''
    select f.name, f.FE, p.origin, p.data_points, count(m.grams)
    from '{sys.argv[1]}/foods-foundation.parquet' f
    join '{sys.argv[1]}/provenance-foundation.parquet' p using (id)
    join '{sys.argv[1]}/measures-foundation.parquet' m using (id)
    where p.nutrient = 303 group by all''').fetchone()
print(*row, sep='|')
";

const POLARS: &str = "
import sys, polars as pl
table = lambda name: pl.read_parquet(f'{sys.argv[1]}/{name}-foundation.parquet')
origins = table('provenance').filter(pl.col('nutrient') == 303)
foods = table('foods').join(origins, on='id')
measures = table('measures').join(foods, on='id', how='semi')
row = foods.select('name', 'FE', 'origin', 'data_points').row(0)
print(*row, len(measures), sep='|')
";

#[test]
fn other_engines_read_the_cache() {
    let place = Download::new();
    place.import().unwrap();
    for (package, script) in [("duckdb", DUCKDB), ("polars", POLARS)] {
        let there = Command::new("python3")
            .args(["-c", &format!("import {package}")])
            .output();
        if !there.is_ok_and(|output| output.status.success()) {
            let told = format!("SKIPPED: python3 has no {package}, so it did not read the cache\n");
            std::io::stderr().write_all(told.as_bytes()).unwrap();
            continue;
        }
        let output = Command::new("python3")
            .args(["-c", script])
            .arg(place.cache())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stdout);
        let wrong = String::from_utf8_lossy(&output.stderr);
        assert_eq!(
            said.trim(),
            "Carrots, raw|0.15|measured|8|2",
            "{package}: {wrong}"
        );
    }
}

#[test]
fn a_format_may_be_named() {
    assert_eq!(
        formats(),
        ["fooddata", "sr28", "sr28-abbreviated", "sr28-core"]
    );
    let place = Workplace::new();
    let (path, cache) = (fixture(), place.cache());
    let mut request = ImportRequest::new(&path, &cache, "2026-11-24");
    request.format = Some("sr28");
    let error = import(&request, &mut |_| ()).unwrap_err();
    assert!(
        error
            .to_string()
            .ends_with("NUT_DATA.txt, WEIGHT.txt and NUTR_DEF.txt are not there"),
        "{error}"
    );
    request.format = Some("sr27");
    let error = import(&request, &mut |_| ()).unwrap_err();
    assert!(matches!(error, Error::NoFormat { .. }), "{error}");
    assert!(error.hint().is_some());
    request.format = Some("sr28-abbreviated");
    import(&request, &mut |_| ()).unwrap();
}
