//! A page that runs, and stops when the test is over.

use std::io::{BufRead as _, BufReader};
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};

use super::client::{Answer, encoded, raw};
use super::support::{TODAY, trayful};

/// The running program.
pub(crate) struct Running {
    process: Child,
    rest: BufReader<ChildStdout>,
    /// The address at which it listens.
    pub(crate) at: SocketAddr,
}

/// The book of the invented household in a folder of its own.
pub(crate) fn household() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_str().unwrap();
    let _ = trayful(&["demo", "--into", path]).answer();
    folder
}

impl Running {
    /// Starts the page in a folder, on a free port.
    #[must_use]
    pub(crate) fn inside(folder: &Path) -> Self {
        Self::with(folder, &[])
    }

    /// Starts the page in a folder with more arguments.
    #[must_use]
    pub(crate) fn with(folder: &Path, more: &[&str]) -> Self {
        Self::by(&[env!("CARGO_BIN_EXE_trayful")], folder, more)
    }

    /// Starts the page by the words of a command that end with the program.
    #[must_use]
    pub(crate) fn by(start: &[&str], folder: &Path, more: &[&str]) -> Self {
        let mut command = Command::new(start[0]);
        command.args(&start[1..]).args(["page", "--port", "0"]);
        command
            .args(more)
            .current_dir(folder)
            .env_clear()
            .env("TMPDIR", folder)
            .env("TRAYFUL_TODAY", TODAY);
        Self::started(command)
    }

    /// Starts the page by a command.
    #[must_use]
    pub(crate) fn started(mut command: Command) -> Self {
        let mut process = command
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut rest = BufReader::new(process.stdout.take().unwrap());
        let mut said = String::new();
        while !said.ends_with("Stop it with Ctrl-C.\n") {
            assert!(rest.read_line(&mut said).unwrap() > 0, "it ended: {said}");
        }
        let address = said
            .lines()
            .next()
            .unwrap()
            .rsplit_once("http://")
            .unwrap()
            .1;
        let at = address.trim_end_matches('/').parse().unwrap();
        Self { process, rest, at }
    }

    /// The path of a file as the running program sees it, also on a disk of its own.
    pub(crate) fn sees(&self, path: &Path) -> PathBuf {
        let root = PathBuf::from(format!("/proc/{}/root", self.process.id()));
        root.join(path.strip_prefix("/").unwrap())
    }

    /// The name that it answers to.
    pub(crate) fn host(&self) -> String {
        self.at.to_string()
    }

    /// Asks for a page, as a browser would that keeps no cookie: it goes on to the address that
    /// says which child is seen.
    pub(crate) fn get(&self, path: &str) -> Answer {
        let answer = self.ask(path, "");
        let room = path.split('?').next().unwrap();
        let (to, query) = answer
            .header("location")
            .split_once('?')
            .unwrap_or_default();
        if to == room && query.contains("child=") && !path.contains("child=") {
            return self.ask(answer.header("location"), "");
        }
        answer
    }

    /// Asks for an address with a cookie, and goes nowhere else.
    pub(crate) fn ask(&self, path: &str, cookie: &str) -> Answer {
        let cookie = match cookie {
            "" => String::new(),
            kept => format!("Cookie: {kept}\r\n"),
        };
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: {}\r\n{cookie}Connection: close\r\n\r\n",
            self.at
        );
        raw(self.at, request.as_bytes()).unwrap()
    }

    /// Sends a form with the token of the page.
    pub(crate) fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let token = self.token();
        let with_token: Vec<_> = std::iter::once(("token", token.as_str()))
            .chain(fields.iter().copied())
            .collect();
        self.send(
            path,
            &encoded(&with_token),
            &[("Sec-Fetch-Site", "same-origin"), ("Origin", "null")],
        )
    }

    /// Sends a body as a form, with further headers.
    pub(crate) fn send(&self, path: &str, body: &str, headers: &[(&str, &str)]) -> Answer {
        let headers = headers.iter().fold(String::new(), |all, (name, value)| {
            format!("{all}{name}: {value}\r\n")
        });
        let request = format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\n\
             Content-Length: {}\r\n{headers}\r\n{body}",
            self.at,
            body.len()
        );
        raw(self.at, request.as_bytes()).unwrap()
    }

    /// The token of the forms.
    pub(crate) fn token(&self) -> String {
        let first = self.get("/freezer");
        let page = if first.status == 200 {
            first
        } else {
            self.get("/start")
        };
        page.hidden("token")
    }

    /// The number of its process.
    pub(crate) fn id(&self) -> u32 {
        self.process.id()
    }

    /// Sends a signal to it by its number.
    pub(crate) fn signal(&self, name: &str) {
        let sent = Command::new("kill")
            .args([name, &self.process.id().to_string()])
            .status()
            .unwrap();
        assert!(sent.success());
    }

    /// Waits for its end, and gives its exit code, and the rest of standard output and standard
    /// error.
    pub(crate) fn ended(mut self) -> (Option<i32>, String, String) {
        use std::io::Read as _;
        let code = self.process.wait().unwrap().code();
        let (mut out, mut err) = (String::new(), String::new());
        self.rest.read_to_string(&mut out).unwrap();
        self.process
            .stderr
            .take()
            .unwrap()
            .read_to_string(&mut err)
            .unwrap();
        (code, out, err)
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
