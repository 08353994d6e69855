//! Plans of one to fourteen days: what each meal is to be, and what is to be cooked when.
//!
//! [`propose`](propose::propose) fills the meals that are still empty by integer programming;
//! [`check`](check::check) judges a plan that a person made by the same rules. Both take a [`Request`] that says all they may know, and
//! give the same answer to the same request on every machine.

pub mod check;
mod frame;
#[cfg(test)]
mod kitchen;
mod plan;
pub mod propose;
mod request;
mod rules;
mod usual;

pub use plan::{Cooking, Origin, Part, Plan, PlannedMeal};
pub use request::{
    Batch, Cookable, Eater, FixedMeal, FixedPart, Need, Request, RequestError, Target,
};
pub use rules::{Broken, Rule};
