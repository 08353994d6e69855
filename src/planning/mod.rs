//! Plans of one to fourteen days: the dishes of each meal, and the batches to cook.
//!
//! [`propose`](propose::propose) fills the meals that are still empty by integer programming, from
//! a [`Request`] that has all its inputs; [`findings`] checks a plan that is recorded, or is to be.
//! Both use the same [rules](rules::table), and are deterministic on every machine.
//!
//! The recorded plan is compared with its outcome by [`agenda`], checked on input by
//! [`validation`], exported and imported by [`file`], and turned into a shopping list by [`shop`].

pub mod agenda;
pub mod facts;
pub mod file;
pub mod findings;
mod indexed_request;
#[cfg(test)]
mod kitchen;
pub mod limit;
mod main_meals;
mod plan;
pub mod propose;
pub(crate) mod request;
pub mod rules;
pub mod shop;
pub mod supply;
pub mod usual;
pub mod validation;

pub use plan::{Cooking, CubeOrigin, PlannedCubes, PlannedMeal, Schedule};
pub use request::{
    Cookable, CubeBatch, CubeSize, Eater, FixedMeal, FixedPart, IronGoal, MOST_DAYS, Need, NotOn,
    Request, RequestError,
};
pub use rules::{Broken, Rule};
