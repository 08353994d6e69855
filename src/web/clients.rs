//! Limits on clients: time, size and number of requests.

use std::time::Duration;

/// The limits.
#[derive(Debug, Clone, Copy)]
pub struct Clients {
    /// Connections at a time; for another one that is idle gives way, else it waits.
    pub connections: usize,
    /// Requests that are at the book at a time.
    pub at_the_book: usize,
    /// The longest wait of a request for its turn, before it is answered that the server is busy.
    pub turn: Duration,
    /// Within this time the head of a request has come, the next one included; else the connection is closed.
    pub head: Duration,
    /// The lifetime of a connection: it ends with the request that is running then.
    pub connection: Duration,
    /// Bytes of a dataset that is sent to the page.
    pub dataset: u64,
    /// Within this time the next piece of it has come.
    pub piece: Duration,
    /// The time that running requests have to finish when the page is stopped.
    pub parting: Duration,
}

impl Default for Clients {
    fn default() -> Self {
        Self {
            connections: 128,
            at_the_book: 8,
            turn: Duration::from_secs(5),
            head: Duration::from_secs(10),
            connection: Duration::from_secs(300),
            dataset: 2_000_000_000,
            piece: Duration::from_secs(20),
            parting: Duration::from_secs(25),
        }
    }
}

/// Bytes of the head of a request.
pub(super) const HEAD: usize = 16 * 1024;
/// Lines in it.
pub(super) const HEADERS: usize = 64;
