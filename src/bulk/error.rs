//! Why a run stops.

use std::io;
use std::path::Path;

use crate::food::FoodDataError;
use crate::problem::Problem;

/// Why a run stops. A recipe that cannot be calculated does not stop it: it is rejected, and the
/// others go on.
#[derive(Debug, thiserror::Error)]
pub enum BulkError {
    /// The tables do not fit, or there is no place to write to.
    #[error("{}", .0.what)]
    Problem(Problem),
    /// A file does not read or cannot be written, or the food data is wrong.
    #[error(transparent)]
    Data(#[from] data_import::Error),
}

impl From<Problem> for BulkError {
    fn from(problem: Problem) -> Self {
        Self::Problem(problem)
    }
}

impl From<FoodDataError> for BulkError {
    fn from(error: FoodDataError) -> Self {
        match error {
            FoodDataError::Tables(error) => Self::Data(error),
            FoodDataError::Index(path, error) => {
                Self::Problem(Problem::new(format!("{}: {error}", path.display())))
            }
        }
    }
}

impl BulkError {
    /// The system refused to do something with a file or folder.
    pub(super) fn io(action: &'static str, path: &Path, source: io::Error) -> Self {
        Self::Data(data_import::Error::Io {
            action,
            path: path.to_owned(),
            source,
        })
    }

    /// The error in plain words where there was no room to write a file: what was done before is
    /// kept.
    pub(super) fn of_a_run(self) -> Self {
        let Self::Data(data_import::Error::Io { path, source, .. }) = &self else {
            return self;
        };
        if !is_full(source) {
            return self;
        }
        let what = format!("the disk is full: {} could not be written", path.display());
        let hint = "the parts that are done are kept: free space and run the same command again";
        Problem::new(what).hint(hint).into()
    }
}

/// The system's numbers for a disk, or a share of one, without room.
#[cfg(windows)]
const FULL: [i32; 2] = [112, 39];
#[cfg(not(windows))]
const FULL: [i32; 2] = [28, 122];

/// Whether there was no room. The writer of Parquet hands the system's answer on as text, whose end is its number.
fn is_full(error: &io::Error) -> bool {
    use io::ErrorKind::{QuotaExceeded, StorageFull};
    let text = error.to_string();
    let is_said = |number: &i32| text.ends_with(&format!("(os error {number})"));
    matches!(error.kind(), StorageFull | QuotaExceeded) || FULL.iter().any(is_said)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_disk_is_told_from_other_faults_of_a_file() {
        let of = |source| BulkError::io("write", Path::new("out/results/.p4"), source).of_a_run();
        let hidden = format!(
            "parquet: underlying IO error: {}",
            io::Error::from_raw_os_error(FULL[0])
        );
        for full in [
            io::Error::from_raw_os_error(FULL[0]),
            io::Error::other(hidden),
            io::ErrorKind::QuotaExceeded.into(),
        ] {
            let BulkError::Problem(problem) = of(full) else {
                panic!("it is not told");
            };
            assert_eq!(
                problem.to_string(),
                "the disk is full: out/results/.p4 could not be written (the parts that are done are kept: free space and run the same \
                 command again)"
            );
        }
        let other = of(io::ErrorKind::PermissionDenied.into());
        assert!(matches!(other, BulkError::Data(_)), "{other}");
    }
}
