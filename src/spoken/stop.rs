//! Why the reader stopped: it is not clear what is meant, or something cannot be looked up.

use super::food::Chosen;
use super::unclear::Doubt;

/// Why nothing was taken.
#[derive(Debug)]
pub(super) enum Stop<E> {
    /// What is meant is not clear.
    InDoubt {
        /// What is in doubt.
        doubt: Doubt,
        /// The food, where the doubt is not about that.
        chosen: Option<Box<Chosen>>,
    },
    /// A table does not read, or the foods do not.
    Failed(E),
}

impl<E> Stop<E> {
    /// Adds the food that was chosen before the doubt arose.
    pub(super) fn with_food(self, food: Chosen) -> Self {
        match self {
            Self::InDoubt { doubt, .. } => Self::InDoubt {
                doubt,
                chosen: Some(Box::new(food)),
            },
            failed @ Self::Failed(_) => failed,
        }
    }

    /// The same, where more can go wrong.
    pub(super) fn widened<W: From<E>>(self) -> Stop<W> {
        match self {
            Self::InDoubt { doubt, chosen } => Stop::InDoubt { doubt, chosen },
            Self::Failed(error) => Stop::Failed(error.into()),
        }
    }
}

/// So that `?` passes a failed look-up on.
impl<E> From<E> for Stop<E> {
    fn from(error: E) -> Self {
        Self::Failed(error)
    }
}

/// What was read; `None` where it is in doubt.
///
/// Errors: a table does not read, or the foods do not.
pub(super) fn if_clear<T, E>(read: Result<T, Stop<E>>) -> Result<Option<T>, E> {
    match read {
        Ok(read) => Ok(Some(read)),
        Err(Stop::InDoubt { .. }) => Ok(None),
        Err(Stop::Failed(error)) => Err(error),
    }
}

impl Doubt {
    /// Stops the reader.
    pub(super) fn stop<E>(self) -> Stop<E> {
        Stop::InDoubt {
            doubt: self,
            chosen: None,
        }
    }
}
