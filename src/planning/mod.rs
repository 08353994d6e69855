//! Plans of one to fourteen days: what each meal is to be, and what is to be cooked when.
//!
//! [`propose`](propose::propose) fills the meals that are still empty by integer programming;
//! [`check`](check::check) judges a plan that a person made by the same rules. Both take a [`Request`] that says all they may know, and
//! give the same answer to the same request on every machine.
//!
//! The plan as it is recorded is laid out beside what became of it by [`agenda`], held against the book, day by day and
//! meal by meal, by [`review`], carried to a file and back by [`file`], and turned into what to buy by [`shop`].

pub mod admission;
pub mod agenda;
pub mod check;
pub mod facts;
pub mod file;
mod frame;
#[cfg(test)]
mod kitchen;
mod plan;
pub mod propose;
mod request;
pub mod review;
mod rules;
pub mod shop;
pub mod supply;
mod usual;

pub use plan::{Cooking, Origin, Part, Plan, PlannedMeal};
pub use request::{
    Batch, Cookable, Eater, FixedMeal, FixedPart, Need, Request, RequestError, Target,
};
pub use rules::{Broken, Rule};
