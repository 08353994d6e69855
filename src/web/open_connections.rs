//! The connections that are open. Where all places are taken, the one that has been idle for longest gives way, so that
//! whoever only holds the line keeps nobody out.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use tokio::sync::Notify;

/// All of them, by the order in which they came.
#[derive(Debug, Default)]
pub(super) struct OpenConnections {
    /// Counts what happens, in place of a clock.
    moments: AtomicU64,
    open: Mutex<BTreeMap<u64, Arc<Activity>>>,
}

/// What a connection does.
#[derive(Debug, Default)]
struct Activity {
    /// Requests that are being answered.
    requests: AtomicUsize,
    /// When it came, or its last answer was ready.
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
    fn moment(&self) -> u64 {
        self.moments.fetch_add(1, Ordering::Relaxed)
    }

    /// Notes a connection, until it is dropped.
    pub(super) fn came(self: &Arc<Self>) -> OpenConnection {
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

    /// Asks the one that has been idle for longest to give way; none where all are being answered.
    pub(super) fn make_room(&self) {
        let open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        let idle = open.values().filter(|one| one.is_idle());
        if let Some(longest) = idle.min_by_key(|one| one.last.load(Ordering::Relaxed)) {
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
    /// Notes a request, until it is answered.
    pub(super) fn answering(&self) -> Answering {
        self.activity.requests.fetch_add(1, Ordering::Relaxed);
        Answering {
            all: Arc::clone(&self.all),
            activity: Arc::clone(&self.activity),
        }
    }

    /// Completes when it is to give way and is idle.
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

    fn gives_way(one: &OpenConnection) -> bool {
        let mut context = Context::from_waker(Waker::noop());
        let asked = pin!(one.asked_to_give_way()).poll(&mut context);
        asked.is_ready()
    }

    #[test]
    fn the_one_that_is_idle_for_longest_gives_way() {
        let all = Arc::new(OpenConnections::default());
        let (first, second, third) = (all.came(), all.came(), all.came());
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
