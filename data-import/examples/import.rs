//! Imports a dataset: `import SOURCE CACHE DATE [MEMORY_IN_MIB [FORMAT]]`.

use std::path::Path;
use std::process::ExitCode;

use data_import::{Error, ImportRequest, Imported, import};

#[expect(clippy::print_stderr, reason = "a program for the command line")]
fn main() -> ExitCode {
    let arguments = std::env::args().skip(1).collect::<Vec<_>>();
    let [source, cache, imported, more @ ..] = arguments.as_slice() else {
        eprintln!("usage: import SOURCE CACHE DATE [MEMORY_IN_MIB [FORMAT]]");
        return ExitCode::from(2);
    };
    let mut request = ImportRequest::new(Path::new(source), Path::new(cache), imported);
    if let Some(memory) = more.first().and_then(|text| text.parse::<u64>().ok()) {
        request.memory = memory << 20;
    }
    request.format = more.get(1).map(String::as_str);
    match import(&request, &mut |_| ()) {
        Ok(imported) => {
            show(&imported);
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

#[expect(clippy::print_stdout, reason = "a program for the command line")]
fn show(imported: &Imported) {
    for source in &imported.sources {
        println!(
            "{}, {}: {} foods, {} nutrients, {} values, {} measures",
            source.name,
            source.release,
            source.foods,
            source.nutrients,
            source.values,
            source.measures
        );
        for warning in &source.warnings {
            println!("  {warning}");
        }
    }
    if imported.spilled > 0 {
        println!("  {} bytes waited on the disk", imported.spilled);
    }
}
