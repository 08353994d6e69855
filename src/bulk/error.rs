//! Why a run stops.

use std::path::Path;

use crate::food::FoodDataError;
use crate::problem::Problem;

/// Why a run stops. A recipe that cannot be calculated is no reason: it is rejected, and the others go on.
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
    pub(super) fn io(action: &'static str, path: &Path, source: std::io::Error) -> Self {
        Self::Data(data_import::Error::Io {
            action,
            path: path.to_owned(),
            source,
        })
    }
}
