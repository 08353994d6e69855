//! The connections that are open. Where all places are taken, the connection that has been idle for
//! longest is closed, so that idle connections keep nobody out.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use tokio::sync::Notify;

/// All open connections, in the order in which they were accepted.
#[derive(Debug, Default)]
pub(super) struct OpenConnections {
    /// The number of events so far, which serves as a clock.
    moments: AtomicU64,
    open: Mutex<BTreeMap<u64, Arc<Activity>>>,
}

/// The activity of a connection.
#[derive(Debug, Default)]
struct Activity {
    /// Requests that are being answered.
    requests: AtomicUsize,
    /// The moment when the connection was accepted, or its last answer was ready.
    last: AtomicU64,
    give_way: Notify,
}

/// A connection that is open.
#[derive(Debug)]
pub(super) struct OpenConnection {
    all: Arc<OpenConnections>,
    number: u64,
    activity: Arc<Activity>,
}

/// A request that is being answered.
#[derive(Debug)]
pub(super) struct Answering {
    all: Arc<OpenConnections>,
    activity: Arc<Activity>,
}

impl OpenConnections {
    /// The next moment: a number that is larger than all before.
    fn moment(&self) -> u64 {
        self.moments.fetch_add(1, Ordering::Relaxed)
    }

    /// Registers a connection that was accepted, until it is dropped.
    pub(super) fn accepted(self: &Arc<Self>) -> OpenConnection {
        let (number, activity) = (self.moment(), Arc::<Activity>::default());
        activity.last.store(number, Ordering::Relaxed);
        let mut open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        open.insert(number, Arc::clone(&activity));
        OpenConnection {
            all: Arc::clone(self),
            number,
            activity,
        }
    }

    /// Asks the connection that has been idle for longest to close; none where all are busy.
    pub(super) fn make_room(&self) {
        let open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        let idle = open.values().filter(|activity| activity.is_idle());
        if let Some(longest) = idle.min_by_key(|activity| activity.last.load(Ordering::Relaxed)) {
            longest.give_way.notify_one();
        }
    }
}

impl Activity {
    fn is_idle(&self) -> bool {
        self.requests.load(Ordering::Relaxed) == 0
    }
}

impl OpenConnection {
    /// Registers a request, until it is answered.
    pub(super) fn answering(&self) -> Answering {
        self.activity.requests.fetch_add(1, Ordering::Relaxed);
        Answering {
            all: Arc::clone(&self.all),
            activity: Arc::clone(&self.activity),
        }
    }

    /// Completes when the connection is asked to close and is idle.
    pub(super) async fn asked_to_give_way(&self) {
        loop {
            self.activity.give_way.notified().await;
            if self.activity.is_idle() {
                return;
            }
        }
    }
}

impl Drop for OpenConnection {
    fn drop(&mut self) {
        let mut open = self.all.open.lock().unwrap_or_else(PoisonError::into_inner);
        open.remove(&self.number);
    }
}

impl Drop for Answering {
    fn drop(&mut self) {
        let moment = self.all.moment();
        self.activity.last.store(moment, Ordering::Relaxed);
        self.activity.requests.fetch_sub(1, Ordering::Relaxed);
    }
}

#[cfg(test)]
mod tests {
    use std::future::Future as _;
    use std::pin::pin;
    use std::task::{Context, Waker};

    use super::*;

    fn gives_way(connection: &OpenConnection) -> bool {
        let mut context = Context::from_waker(Waker::noop());
        let asked = pin!(connection.asked_to_give_way()).poll(&mut context);
        asked.is_ready()
    }

    #[test]
    fn the_one_that_is_idle_for_longest_gives_way() {
        let all = Arc::new(OpenConnections::default());
        let (first, second, third) = (all.accepted(), all.accepted(), all.accepted());
        drop(first.answering());
        let busy = second.answering();
        all.make_room();
        assert_eq!(
            [&first, &second, &third].map(gives_way),
            [false, false, true]
        );
        drop(third);
        all.make_room();
        assert_eq!([&first, &second].map(gives_way), [true, false]);
        drop(first);
        all.make_room();
        assert!(!gives_way(&second), "an answer is not cut off");
        drop(busy);
        all.make_room();
        assert!(gives_way(&second));
    }
}
