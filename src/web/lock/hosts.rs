//! The host names to which the page answers. A page of another site whose name was made to point
//! here (DNS rebinding) sends its own name, and is refused: on every request, also one that only
//! reads.

use std::net::IpAddr;

use axum::extract::Request;
use axum::http::{StatusCode, header};

use crate::web::{PageError, PageResult};

/// The listener through which a request came.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::web) enum Listener {
    /// The loopback interface of this computer.
    Loopback,
    /// The home network.
    Network,
}

/// The host names that the page answers to on each listener, each with its port.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::web) struct Hosts {
    loopback: Vec<String>,
    network: Vec<String>,
}

impl Hosts {
    /// The names of this computer for itself, and its address in the home network.
    pub(in crate::web) fn new(port: u16, network: Option<IpAddr>) -> Self {
        let with_port = |name: &str| {
            // A browser leaves the port of plain HTTP out.
            let bare = (port == 80).then(|| name.to_string());
            std::iter::once(format!("{name}:{port}")).chain(bare)
        };
        let names = ["127.0.0.1", "localhost", "[::1]"];
        Self {
            loopback: names.into_iter().flat_map(with_port).collect(),
            network: network
                .map_or_else(Vec::new, |address| with_port(&bracketed(address)).collect()),
        }
    }

    fn of(&self, listener: Listener) -> &[String] {
        match listener {
            Listener::Loopback => &self.loopback,
            Listener::Network => &self.network,
        }
    }

    /// Accepts a request that names this page once, and no other host.
    pub(super) fn check(&self, listener: Listener, request: &Request) -> PageResult<()> {
        let mut hosts = request.headers().get_all(header::HOST).iter();
        let (Some(host), None) = (hosts.next(), hosts.next()) else {
            return Err(PageError::Refused(
                StatusCode::BAD_REQUEST,
                "A request names its host once.",
            ));
        };
        let host = host.to_str().unwrap_or_default().to_ascii_lowercase();
        // A request line may name a host too.
        let in_line = request
            .uri()
            .authority()
            .map(|authority| authority.as_str().to_ascii_lowercase());
        let known = |name: &String| self.of(listener).contains(name);
        if known(&host) && in_line.as_ref().is_none_or(known) {
            return Ok(());
        }
        let words = "This page does not answer to that name. Open it by the address that the program printed.";
        Err(PageError::Refused(StatusCode::MISDIRECTED_REQUEST, words))
    }

    /// Whether an `Origin` is this page under one of its names.
    pub(super) fn is_origin(&self, listener: Listener, origin: &str) -> bool {
        let host = origin.strip_prefix("http://");
        host.is_some_and(|host| self.of(listener).iter().any(|name| name == host))
    }
}

/// An address as it is written in a URL: IPv6 in brackets.
fn bracketed(address: IpAddr) -> String {
    match address {
        IpAddr::V4(address) => address.to_string(),
        IpAddr::V6(address) => format!("[{address}]"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::body::Body;

    fn request(uri: &str, hosts: &[&str]) -> Request {
        let mut request = Request::builder().uri(uri);
        for host in hosts {
            request = request.header(header::HOST, *host);
        }
        request.body(Body::empty()).unwrap()
    }

    #[test]
    fn only_the_names_of_this_computer_are_answered_to() {
        let hosts = Hosts::new(8642, Some("192.168.1.20".parse().unwrap()));
        let open =
            |listener, uri, names: &[&str]| hosts.check(listener, &request(uri, names)).is_ok();
        for name in [
            "127.0.0.1:8642",
            "localhost:8642",
            "LOCALHOST:8642",
            "[::1]:8642",
        ] {
            assert!(open(Listener::Loopback, "/", &[name]), "{name}");
        }
        for name in [
            "",
            "evil.example:8642",
            "127.0.0.1",
            "127.0.0.1:80",
            "192.168.1.20:8642",
            "localhost:8642.evil",
        ] {
            assert!(!open(Listener::Loopback, "/", &[name]), "{name}");
        }
        assert!(!open(Listener::Loopback, "/", &[]));
        assert!(!open(
            Listener::Loopback,
            "/",
            &["localhost:8642", "localhost:8642"]
        ));
        assert!(!open(
            Listener::Loopback,
            "http://evil.example/",
            &["localhost:8642"]
        ));
        assert!(open(
            Listener::Loopback,
            "http://localhost:8642/",
            &["localhost:8642"]
        ));
        assert!(open(Listener::Network, "/", &["192.168.1.20:8642"]));
        assert!(!open(Listener::Network, "/", &["localhost:8642"]));
    }

    #[test]
    fn port_80_may_be_left_out() {
        let hosts = Hosts::new(80, None);
        assert!(
            hosts
                .check(Listener::Loopback, &request("/", &["localhost"]))
                .is_ok()
        );
        assert!(hosts.is_origin(Listener::Loopback, "http://localhost"));
        assert!(!hosts.is_origin(Listener::Loopback, "https://localhost"));
    }
}
