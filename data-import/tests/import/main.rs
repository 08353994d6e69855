//! Datasets into a cache and out again.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod bad_cache;
mod bad_data;
mod bad_zip;
mod builtin;
mod engines;
mod fooddata;
mod fooddata_bad;
mod fooddata_set;
mod full;
mod joined;
mod published;
mod round_trip;
mod support;
mod whole_sr28;
