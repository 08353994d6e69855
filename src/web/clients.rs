//! Limits on clients: time, size and number of requests.

use std::time::Duration;

/// The limits.
#[derive(Debug, Clone, Copy)]
pub struct Clients {
    /// The most connections at a time. A further one takes the place of an idle connection, or
    /// waits.
    pub connections: usize,
    /// The most requests that use the book at a time.
    pub at_the_book: usize,
    /// The longest wait of a request for its turn, before it is answered that the server is busy.
    pub turn: Duration,
    /// The time within which the head of a request must arrive, also of a later one; otherwise the
    /// connection is closed.
    pub head: Duration,
    /// The lifetime of a connection: it ends with the request that is running then.
    pub connection: Duration,
    /// The most bytes of a dataset that is sent to the page.
    pub dataset: u64,
    /// The time within which the next piece of a dataset must arrive.
    pub piece: Duration,
    /// The time within which running requests must finish when the page is stopped.
    pub parting: Duration,
}

impl Default for Clients {
    /// The usual limits (judgement).
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

/// The most bytes of the head of a request (judgement).
pub(super) const HEAD: usize = 16 * 1024;
/// The most lines in the head of a request (judgement).
pub(super) const HEADERS: usize = 64;
