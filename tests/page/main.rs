//! The kitchen page as a browser and as an attacker use it: the program itself, over TCP.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![cfg(unix)]

mod ages;
mod attacks;
mod bodies;
mod change;
mod client;
mod cook;
mod days;
mod devices;
#[cfg(target_os = "linux")]
mod disk;
mod forms;
mod freezer;
mod history;
mod household;
mod import;
mod import_attacks;
#[cfg(target_os = "linux")]
mod import_disk;
mod mix;
#[cfg(target_os = "linux")]
mod network;
mod objections;
mod paper;
mod parity;
#[cfg(target_os = "linux")]
mod parting;
mod proposal;
mod rooms;
mod running;
mod seen;
mod sentences;
mod shopping;
mod start;
#[path = "../cli/support.rs"]
#[allow(dead_code, reason = "shared with the tests of the command line")]
mod support;
mod visit;
mod warnings;
mod writers;
