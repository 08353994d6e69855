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
use super::lock::Door;
use super::open_connections::{OpenConnection, OpenConnections};
use super::router::router;

/// A free port is tried so often to be free under both addresses of this computer.
const ATTEMPTS: u32 = 20;
/// The pause after the system refused to accept a connection.
const BREATH: Duration = Duration::from_millis(50);

/// The open listeners.
#[derive(Debug)]
pub struct Doors {
    port: u16,
    listeners: Vec<(Door, TcpListener)>,
}

/// The error that a listener could not be opened.
#[derive(Debug, thiserror::Error)]
#[error("cannot open {address}: {source}")]
pub struct NoDoor {
    /// The address.
    pub address: SocketAddr,
    /// The reason.
    pub source: io::Error,
}

impl Doors {
    /// Opens `port` (0 for a free one) at both addresses of this computer for itself, and at its address in the home
    /// network where one is given. A computer without IPv6 has one address for itself.
    pub fn open(port: u16, network: Option<IpAddr>) -> Result<Self, NoDoor> {
        let mut attempt = 1;
        loop {
            match Self::attempt(port, network) {
                Err(refused)
                    if port == 0
                        && refused.source.kind() == ErrorKind::AddrInUse
                        && attempt < ATTEMPTS =>
                {
                    attempt += 1;
                }
                done => return done,
            }
        }
    }

    fn attempt(port: u16, network: Option<IpAddr>) -> Result<Self, NoDoor> {
        let first = bound(Ipv4Addr::LOCALHOST.into(), port)?;
        let port = first.local_addr().map_or(port, |address| address.port());
        let mut listeners = vec![(Door::Loopback, first)];
        match bound(Ipv6Addr::LOCALHOST.into(), port) {
            Ok(second) => listeners.push((Door::Loopback, second)),
            Err(refused) if refused.source.kind() == ErrorKind::AddrInUse => return Err(refused),
            // The system has no IPv6.
            Err(_) => {}
        }
        if let Some(address) = network {
            listeners.push((Door::Network, bound(address, port)?));
        }
        Ok(Self { port, listeners })
    }

    /// The port.
    pub fn port(&self) -> u16 {
        self.port
    }
}

fn bound(address: IpAddr, port: u16) -> Result<TcpListener, NoDoor> {
    let address = SocketAddr::new(address, port);
    let open = || {
        let listener = TcpListener::bind(address)?;
        listener.set_nonblocking(true)?;
        Ok(listener)
    };
    open().map_err(|source| NoDoor { address, source })
}

/// Serves the page until it is stopped; then requests that are under way are finished. `begin` is called when the page can
/// be reached, and gives what the page waits for to stop.
pub fn serve<S: Future<Output = ()>>(
    kitchen: &Arc<AppState>,
    doors: Doors,
    begin: impl FnOnce() -> io::Result<S>,
) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_io()
        .enable_time()
        .build()?;
    let clients = kitchen.clients();
    let served = runtime.block_on(async {
        let places = ConnectionPlaces {
            free: Arc::new(Semaphore::new(clients.connections)),
            open: Arc::default(),
        };
        let (stopping, stopped) = watch::channel(false);
        let mut listening = JoinSet::new();
        for (door, listener) in doors.listeners {
            let listener = tokio::net::TcpListener::from_std(listener)?;
            let app = router(kitchen).layer(Extension(door));
            listening.spawn(accept(
                listener,
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

/// The places that connections take, of all listeners.
#[derive(Clone)]
struct ConnectionPlaces {
    free: Arc<Semaphore>,
    open: Arc<OpenConnections>,
}

impl ConnectionPlaces {
    /// Takes a place. Where none is free, one that is idle gives way; where all are being answered, this waits.
    async fn take(&self) -> Option<OwnedSemaphorePermit> {
        if let Ok(place) = Arc::clone(&self.free).try_acquire_owned() {
            return Some(place);
        }
        loop {
            self.open.make_room();
            let place = Arc::clone(&self.free).acquire_owned();
            if let Ok(place) = timeout(BREATH, place).await {
                return place.ok();
            }
        }
    }
}

/// Completes when the page stops, also when the sender is gone.
async fn stop_requested(stopped: &mut watch::Receiver<bool>) {
    let _ = stopped.wait_for(|stopped| *stopped).await;
}

/// Accepts until the page stops, and then waits for those who are served.
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
                    sleep(BREATH).await;
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
            (place, places.open.came()),
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
    let noted = Arc::clone(&open);
    let service = service_fn(move |request| {
        let (answering, answer) = (noted.answering(), app.call(request));
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
