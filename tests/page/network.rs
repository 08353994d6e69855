//! The listener for the home network.

use std::io;
use std::net::SocketAddr;
use std::path::Path;
use std::thread::{self, JoinHandle};

use jiff::civil::{Date, date};
use tokio::sync::oneshot;
use trayful::web::{self, AppState, Clients, Listeners, Pairing, Supplies};

use super::client::{Answer, encoded, raw};
use super::running::household;
use super::support::trayful;

#[test]
fn only_an_address_of_a_home_network_is_opened() {
    let folder = household();
    for address in ["0.0.0.0", "127.0.0.1", "::", "8.8.8.8", "kitchen.local"] {
        let said = trayful(&["page", "--lan", address])
            .inside(folder.path())
            .said();
        assert_eq!(said.code, 2, "{address}");
        assert!(said.err.contains("such as 192.168.1.20"), "{}", said.err);
    }
    let said = trayful(&["page", "--hours", "2"])
        .inside(folder.path())
        .said();
    assert_eq!(said.code, 2, "hours are for the home network");
}

/// The page of a household with a listener at another loopback address, which stands for the home
/// network.
pub(crate) struct Open {
    pub(crate) at: SocketAddr,
    pub(crate) loopback: String,
    pub(crate) code: String,
    stop: Option<oneshot::Sender<()>>,
    served: Option<JoinHandle<io::Result<()>>>,
}

impl Open {
    pub(crate) fn inside(folder: &Path) -> Self {
        Self::with(folder, Clients::default())
    }

    /// A page on another day.
    pub(crate) fn on(day: Date, folder: &Path) -> Self {
        Self::opened(folder, Clients::default(), day)
    }

    /// A page with other limits.
    pub(crate) fn with(folder: &Path, clients: Clients) -> Self {
        Self::opened(folder, clients, date(2026, 11, 16))
    }

    fn opened(folder: &Path, clients: Clients, day: Date) -> Self {
        let network = "127.0.0.2".parse().unwrap();
        let listeners = Listeners::open(0, Some(network)).unwrap();
        let port = listeners.port();
        let pairing = Pairing::new(network, (1, 30)).unwrap();
        let code = pairing.code().to_string();
        let supplies = Supplies {
            clock: Box::new(move || day.at(12, 0, 0, 0)),
            folder: folder.to_path_buf(),
            cache: None,
            own: None,
            demo: |_| Ok(0),
            demo_day: day,
            recipes: &[],
            tell: |_| {},
        };
        let state = AppState::new(supplies, port, Some(pairing), clients).unwrap();
        let (stop, stopped) = oneshot::channel();
        let served = thread::spawn(move || {
            let stop = async move {
                let _ = stopped.await;
            };
            web::serve(&state, listeners, || Ok(stop))
        });
        Self {
            at: SocketAddr::new(network, port),
            loopback: format!("127.0.0.1:{port}"),
            code,
            stop: Some(stop),
            served: Some(served),
        }
    }
}

impl Open {
    /// Stops the page, as it does itself after its hours.
    pub(crate) fn stop(&mut self) {
        drop(self.stop.take());
    }

    /// Whether the page has ended.
    pub(crate) fn is_over(&self) -> bool {
        self.served.as_ref().is_none_or(JoinHandle::is_finished)
    }

    /// Pairs a device, and gives its cookie as a header line.
    pub(crate) fn paired(&self) -> String {
        let form = encoded(&[("code", &self.code)]);
        let request = format!(
            "POST /pair HTTP/1.1\r\nHost: {at}\r\nConnection: close\r\nOrigin: http://{at}\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{form}",
            form.len(),
            at = self.at,
        );
        let answer = raw(self.at, request.as_bytes()).unwrap();
        let cookie = answer.header("set-cookie").split(';').next().unwrap();
        format!("Cookie: {cookie}\r\n")
    }
}

impl Drop for Open {
    fn drop(&mut self) {
        self.stop();
        let _ = self.served.take().map(JoinHandle::join);
    }
}

#[test]
fn a_device_is_let_in_by_the_code_and_known_by_its_cookie() {
    let folder = household();
    let page = Open::inside(folder.path());
    let (at, code) = (page.at, page.code.clone());
    let get = |path: &str, more: &str| {
        raw(
            at,
            format!("GET {path} HTTP/1.1\r\nHost: {at}\r\nConnection: close\r\n{more}\r\n")
                .as_bytes(),
        )
        .unwrap()
    };
    let post = |path: &str, body: &str, more: &str| -> Answer {
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: {at}\r\nConnection: close\r\nOrigin: http://{at}\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n{more}\r\n{body}",
            body.len()
        );
        raw(at, head.as_bytes()).unwrap()
    };
    assert_eq!(get("/freezer", "").header("location"), "/pair");
    assert_eq!(
        get("/freezer", "Cookie: trayful=0\r\n").header("location"),
        "/pair"
    );
    let first = get("/pair?code=%22%3E%3Cscript%3E", "");
    assert!(
        first.status == 200
            && !first.body.contains("<script>")
            && !first.body.contains("name=\"token\"")
    );
    let loopback = format!(
        "GET /freezer HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n",
        page.loopback
    );
    assert_eq!(
        raw(at, loopback.as_bytes()).unwrap().status,
        421,
        "each listener has its own names"
    );
    assert_eq!(post("/pair", "code=AAAAAAAA", "").status, 403);
    let let_in = post("/pair", &encoded(&[("code", &code)]), "");
    assert_eq!(let_in.status, 303);
    let cookie = let_in.header("set-cookie");
    assert!(
        cookie.contains("HttpOnly")
            && cookie.contains("SameSite=Strict")
            && cookie.contains("Max-Age=2592000"),
        "{cookie}"
    );
    let cookie = format!("Cookie: {}\r\n", cookie.split(';').next().unwrap());
    let freezer = get("/freezer", &cookie);
    assert!(freezer.status == 200 && freezer.body.contains("Open to the home network"));
    assert_eq!(freezer.header("referrer-policy"), "same-origin");
    let form = encoded(&[
        ("token", &freezer.hidden("token")),
        ("cubes", "1"),
        ("how", "taken"),
        ("on", "2026-11-16"),
    ]);
    assert_eq!(
        post("/freezer/48/serve", &form, "").header("location"),
        "/pair",
        "a token alone does not let in"
    );
    assert!(
        post("/freezer/48/serve", &form, &cookie)
            .header("location")
            .starts_with("/freezer?notice=")
    );
    for _ in 0..10 {
        let _ = post("/pair", "code=AAAAAAAA", "");
    }
    let closed = post("/pair", &encoded(&[("code", &code)]), "");
    assert!(
        closed.status == 403 && closed.body.contains("Restart the page"),
        "{}",
        closed.body
    );
    assert_eq!(get("/freezer", &cookie).status, 200, "those inside stay");
}

#[test]
fn without_a_book_a_cookie_of_a_former_run_lets_nobody_in() {
    let folder = tempfile::tempdir().unwrap();
    let former = Open::inside(folder.path());
    let cookie = former.paired();
    drop(former);
    let page = Open::inside(folder.path());
    let start_page = |cookie: &str| {
        let head = format!(
            "GET /start HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n{cookie}\r\n",
            page.at
        );
        raw(page.at, head.as_bytes()).unwrap()
    };
    assert_eq!(start_page(&cookie).header("location"), "/pair");
    let own = page.paired();
    assert_eq!(start_page(&own).status, 200);
    let both = format!("{cookie}{own}");
    assert_eq!(
        start_page(&both).status,
        200,
        "the cookie of the former run does no harm"
    );
}

#[test]
fn many_who_try_codes_at_once_have_ten_tries_in_all() {
    let folder = household();
    let page = Open::inside(folder.path());
    let form = "code=AAAAAAAA";
    let request = format!(
        "POST /pair HTTP/1.1\r\nHost: {at}\r\nConnection: close\r\nOrigin: http://{at}\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{form}",
        form.len(),
        at = page.at,
    );
    let answers: Vec<Answer> = thread::scope(|scope| {
        let trying: Vec<_> = (0..60)
            .map(|_| scope.spawn(|| raw(page.at, request.as_bytes()).unwrap()))
            .collect();
        trying
            .into_iter()
            .map(|thread| thread.join().unwrap())
            .collect()
    });
    let count = |words: &str| {
        answers
            .iter()
            .filter(|answer| answer.status == 403 && answer.body.contains(words))
            .count()
    };
    assert_eq!(count("That is not the code."), 10);
    assert_eq!(count("Too many codes were tried"), 50);
}
