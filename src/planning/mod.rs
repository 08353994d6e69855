//! Plans: what is there for them, what a plan breaks, and what is to be bought for it.

pub mod admission;
pub mod agenda;
pub mod facts;
pub mod file;
pub mod review;
pub mod shop;
pub mod supply;
