#![no_main]

#[allow(dead_code)]
#[path = "../bodies.rs"]
mod bodies;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| bodies::abbreviated(bytes));
