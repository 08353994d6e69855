//! How long the built-in dataset takes: once cold, in this new process, then warm.

use std::time::Instant;

use data_import::{Error, FoodId, FoodTable};

const RUNS: u32 = 20;

#[expect(clippy::print_stdout, reason = "a program for the command line")]
fn main() -> Result<(), Error> {
    let start = Instant::now();
    let ids = ["16069", "11485", "20036", "14411"]
        .into_iter()
        .map(str::parse)
        .collect::<Result<Vec<FoodId>, _>>()?;
    let table = timed("builtin()", FoodTable::builtin)?;
    let foods = timed("foods(4 ids)", || table.foods(&ids))?;
    println!("{:9.3} ms  both, cold", milliseconds(start));
    timed("names()", || table.names())?;
    timed("all()", || table.all())?;
    let found = foods.iter().flatten().count();
    println!("{found} of {} foods found", ids.len());

    let start = Instant::now();
    for _ in 0..RUNS {
        FoodTable::builtin()?.foods(&ids)?;
    }
    println!(
        "{:9.3} ms  both, warm",
        milliseconds(start) / f64::from(RUNS)
    );
    Ok(())
}

#[expect(clippy::print_stdout, reason = "a program for the command line")]
fn timed<T>(what: &str, run: impl FnOnce() -> Result<T, Error>) -> Result<T, Error> {
    let start = Instant::now();
    let result = run()?;
    println!("{:9.3} ms  {what}", milliseconds(start));
    Ok(result)
}

fn milliseconds(start: Instant) -> f64 {
    start.elapsed().as_secs_f64() * 1000.0
}
