//! Plans of one to fourteen days: what each meal is to be, and what is to be cooked when.
//!
//! [`propose`](propose::propose) fills the meals that are still empty by integer programming, from a [`Request`] that says all it may know;
//! [`findings`] judges a plan that is recorded, or is to be. Both ask the same [rules](rules::table), and give the same answer to the same
//! question on every machine.
//!
//! The plan as it is recorded is laid out beside what became of it by [`agenda`], admitted by [`validation`], carried to a file and
//! back by [`file`], and turned into what to buy by [`shop`].

pub mod agenda;
pub mod facts;
pub mod file;
pub mod findings;
mod indexed_request;
#[cfg(test)]
mod kitchen;
pub mod limit;
mod plan;
pub mod propose;
pub(crate) mod request;
pub mod rules;
pub mod shop;
pub mod supply;
pub mod usual;
pub mod validation;

pub use plan::{Cooking, Origin, Part, Plan, PlannedMeal};
pub use request::{
    Batch, Cookable, Eater, FixedMeal, FixedPart, IronGoal, MOST_DAYS, Need, Request, RequestError,
};
pub use rules::{Broken, Rule};
