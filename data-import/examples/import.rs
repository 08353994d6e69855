//! Imports a dataset: `import SOURCE CACHE DATE`.

use std::path::Path;
use std::process::ExitCode;

use data_import::{Error, ImportRequest, import};

#[expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a program for the command line"
)]
fn main() -> ExitCode {
    let arguments = std::env::args().skip(1).collect::<Vec<_>>();
    let [source, cache, imported] = arguments.as_slice() else {
        eprintln!("usage: import SOURCE CACHE DATE");
        return ExitCode::from(2);
    };
    let request = ImportRequest {
        path: Path::new(source),
        cache: Path::new(cache),
        imported,
    };
    match import(&request, &mut |_| ()) {
        Ok(manifest) => {
            for source in &manifest.sources {
                println!(
                    "{}, {}: {} foods, {} nutrients, {} measures",
                    source.name, source.release, source.foods, source.nutrients, source.measures
                );
            }
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("error: {error}");
            if let Some(hint) = Error::hint(&error) {
                eprintln!("hint: {hint}");
            }
            ExitCode::from(2)
        }
    }
}
