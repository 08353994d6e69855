//! The listeners: who may connect, for how long, and how the page is stopped.

use std::future::Future;
use std::io::{self, ErrorKind};
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr, TcpListener};
use std::pin::pin;
use std::sync::Arc;
use std::time::Duration;

use axum::{Extension, Router};
use hyper::server::conn::http1;
use hyper::service::{Service as _, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpStream;
use tokio::sync::{OwnedSemaphorePermit, Semaphore, watch};
use tokio::task::JoinSet;
use tokio::time::{sleep, timeout};

use super::app_state::AppState;
use super::clients::{Clients, HEAD, HEADERS};
use super::lock::Listener;
use super::open_connections::{OpenConnection, OpenConnections};
use super::router::router;

/// The number of attempts to find a port that is free at both loopback addresses (judgement).
const ATTEMPTS: u32 = 20;
/// The pause before another attempt to accept a connection, or to find a place for one (judgement).
const RETRY_PAUSE: Duration = Duration::from_millis(50);

/// The error number of an address family that the system lacks: `EAFNOSUPPORT`, on Windows
/// `WSAEAFNOSUPPORT`. The standard library has no [`ErrorKind`] for it.
const NO_ADDRESS_FAMILY: i32 = if cfg!(windows) {
    10047
} else if cfg!(target_os = "linux") {
    97
} else {
    47
};

/// The open listeners.
#[derive(Debug)]
pub struct Listeners {
    port: u16,
    sockets: Vec<(Listener, TcpListener)>,
}

/// The error that a listener could not be opened.
#[derive(Debug, thiserror::Error)]
#[error("cannot open {address}: {source}")]
pub struct ListenError {
    /// The address.
    pub address: SocketAddr,
    /// The reason.
    pub source: io::Error,
}

impl Listeners {
    /// Opens `port` (0 for a free one) at both loopback addresses, and at the address in the home
    /// network where one is given. A computer without IPv6 has one loopback address.
    ///
    /// Errors: the port is in use, or may not be opened.
    pub fn open(port: u16, network: Option<IpAddr>) -> Result<Self, ListenError> {
        let mut attempt = 1;
        loop {
            match Self::attempt(port, network) {
                Err(error)
                    if port == 0
                        && error.source.kind() == ErrorKind::AddrInUse
                        && attempt < ATTEMPTS =>
                {
                    attempt += 1;
                }
                done => return done,
            }
        }
    }

    /// Opens all listeners once; the first of them chooses a free port for all.
    fn attempt(port: u16, network: Option<IpAddr>) -> Result<Self, ListenError> {
        let first = bound(Ipv4Addr::LOCALHOST.into(), port)?;
        let port = first.local_addr().map_or(port, |address| address.port());
        let mut sockets = vec![(Listener::Loopback, first)];
        match bound(Ipv6Addr::LOCALHOST.into(), port) {
            Ok(second) => sockets.push((Listener::Loopback, second)),
            Err(error) if lacks_ipv6(&error.source) => {}
            Err(error) => return Err(error),
        }
        if let Some(address) = network {
            sockets.push((Listener::Network, bound(address, port)?));
        }
        Ok(Self { port, sockets })
    }

    /// The port.
    pub fn port(&self) -> u16 {
        self.port
    }
}

/// Whether the error of a listener at `::1` means that the computer has no IPv6.
fn lacks_ipv6(error: &io::Error) -> bool {
    let kinds = [ErrorKind::AddrNotAvailable, ErrorKind::Unsupported];
    kinds.contains(&error.kind()) || error.raw_os_error() == Some(NO_ADDRESS_FAMILY)
}

/// A listener at an address, for use with `tokio`.
fn bound(address: IpAddr, port: u16) -> Result<TcpListener, ListenError> {
    let address = SocketAddr::new(address, port);
    let open = || {
        let listener = TcpListener::bind(address)?;
        listener.set_nonblocking(true)?;
        Ok(listener)
    };
    open().map_err(|source| ListenError { address, source })
}

/// Serves the page until it is stopped, and then finishes the requests that are running. `begin` is
/// called once the page can be reached, and returns the future whose end stops the page.
pub fn serve<S: Future<Output = ()>>(
    state: &Arc<AppState>,
    listeners: Listeners,
    begin: impl FnOnce() -> io::Result<S>,
) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_io()
        .enable_time()
        .build()?;
    let clients = state.clients;
    let served = runtime.block_on(async {
        let places = ConnectionPlaces {
            free: Arc::new(Semaphore::new(clients.connections)),
            open: Arc::default(),
        };
        let (stopping, stopped) = watch::channel(false);
        let mut listening = JoinSet::new();
        for (listener, socket) in listeners.sockets {
            let socket = tokio::net::TcpListener::from_std(socket)?;
            let app = router(state).layer(Extension(listener));
            listening.spawn(accept(
                socket,
                app,
                clients,
                places.clone(),
                stopped.clone(),
            ));
        }
        begin()?.await;
        let _ = stopping.send(true);
        while listening.join_next().await.is_some() {}
        io::Result::Ok(())
    });
    runtime.shutdown_timeout(clients.parting);
    served
}

/// The places for connections, which all listeners share.
#[derive(Clone)]
struct ConnectionPlaces {
    free: Arc<Semaphore>,
    open: Arc<OpenConnections>,
}

impl ConnectionPlaces {
    /// Takes a place. Where none is free, an idle connection is closed; where all are busy, this
    /// waits.
    async fn take(&self) -> Option<OwnedSemaphorePermit> {
        if let Ok(place) = Arc::clone(&self.free).try_acquire_owned() {
            return Some(place);
        }
        loop {
            self.open.make_room();
            let place = Arc::clone(&self.free).acquire_owned();
            if let Ok(place) = timeout(RETRY_PAUSE, place).await {
                return place.ok();
            }
        }
    }
}

/// Completes when the page stops, or its sender was dropped.
async fn stop_requested(stopped: &mut watch::Receiver<bool>) {
    let _ = stopped.wait_for(|stopped| *stopped).await;
}

/// Accepts connections until the page stops, and then waits for those that are open.
async fn accept(
    listener: tokio::net::TcpListener,
    app: Router,
    clients: Clients,
    places: ConnectionPlaces,
    mut stopped: watch::Receiver<bool>,
) {
    let mut served = JoinSet::new();
    loop {
        let stream = tokio::select! {
            () = stop_requested(&mut stopped) => break,
            _ = served.join_next(), if !served.is_empty() => continue,
            accepted = listener.accept() => match accepted {
                Ok((stream, _)) => stream,
                Err(_) => {
                    sleep(RETRY_PAUSE).await;
                    continue;
                }
            },
        };
        let place = tokio::select! {
            () = stop_requested(&mut stopped) => break,
            place = places.take() => place,
        };
        let Some(place) = place else { break };
        served.spawn(connection(
            stream,
            (place, places.open.accepted()),
            app.clone(),
            clients,
            stopped.clone(),
        ));
    }
    drop(listener);
    let parting = async { while served.join_next().await.is_some() {} };
    let _ = timeout(clients.parting, parting).await;
}

/// Serves one connection.
async fn connection(
    stream: TcpStream,
    (_place, open): (OwnedSemaphorePermit, OpenConnection),
    app: Router,
    clients: Clients,
    mut stopped: watch::Receiver<bool>,
) {
    let _ = stream.set_nodelay(true);
    let (open, app) = (Arc::new(open), TowerToHyperService::new(app));
    let connection = Arc::clone(&open);
    let service = service_fn(move |request| {
        let (answering, answer) = (connection.answering(), app.call(request));
        async move {
            let answer = answer.await;
            drop(answering);
            answer
        }
    });
    let mut served = pin!(
        http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(clients.head)
            .max_headers(HEADERS)
            .max_buf_size(HEAD)
            .serve_connection(TokioIo::new(stream), service)
    );
    // A browser that disconnects is not an error.
    tokio::select! {
        _ = served.as_mut() => return,
        () = open.asked_to_give_way() => return,
        () = stop_requested(&mut stopped) => {}
        () = sleep(clients.connection) => {}
    }
    served.as_mut().graceful_shutdown();
    let _ = timeout(clients.parting, served).await;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_missing_address_family_means_that_there_is_no_ipv6() {
        for kind in [ErrorKind::AddrNotAvailable, ErrorKind::Unsupported] {
            assert!(lacks_ipv6(&kind.into()), "{kind}");
        }
        assert!(lacks_ipv6(&io::Error::from_raw_os_error(NO_ADDRESS_FAMILY)));
        for kind in [ErrorKind::AddrInUse, ErrorKind::PermissionDenied] {
            assert!(!lacks_ipv6(&kind.into()), "{kind}");
        }
    }
}
