//! The check that a change was sent from this page.

use axum::http::{HeaderMap, header};

use super::{Hosts, Listener};

/// The header with the relation to the site of the sending page (W3C Fetch Metadata).
const SITE: &str = "sec-fetch-site";

/// Whether the headers of a change show that this page sent it; the token of the form is required
/// as well.
///
/// `same-origin` in `Sec-Fetch-Site` is trusted: no page can forge it. Without that header the
/// `Origin` must be one of this server. A page without a referrer has the origin `null`, which is
/// accepted only together with that header. A request with neither comes from no browser.
pub(in crate::web) fn from_this_page(
    hosts: &Hosts,
    listener: Listener,
    headers: &HeaderMap,
) -> bool {
    let all = |name: &str| -> Vec<&str> {
        let values = headers.get_all(name).iter();
        values.map(|value| value.to_str().unwrap_or("?")).collect()
    };
    let is_this_page = |origin: &str| hosts.is_origin(listener, origin);
    match (
        all(SITE).as_slice(),
        all(header::ORIGIN.as_str()).as_slice(),
    ) {
        ([] | ["same-origin"], []) => true,
        ([], [origin]) => is_this_page(origin),
        (["same-origin"], [origin]) => *origin == "null" || is_this_page(origin),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_comes_from_this_page_or_from_no_page() {
        let hosts = Hosts::new(8642, None);
        let allowed = |site: &[&str], origin: &[&str]| {
            let mut headers = HeaderMap::new();
            for site in site {
                headers.append(SITE, site.parse().unwrap());
            }
            for origin in origin {
                headers.append(header::ORIGIN, origin.parse().unwrap());
            }
            from_this_page(&hosts, Listener::Loopback, &headers)
        };
        let own = "http://localhost:8642";
        assert!(allowed(&[], &[]) && allowed(&[], &[own]) && allowed(&["same-origin"], &[own]));
        assert!(allowed(&["same-origin"], &["null"]) && allowed(&["same-origin"], &[]));
        for site in ["cross-site", "same-site", "none", ""] {
            assert!(
                !allowed(&[site], &[own]) && !allowed(&[site], &[]),
                "{site}"
            );
        }
        for origin in [
            "null",
            "http://evil.example",
            "http://localhost:1",
            "https://localhost:8642",
            "",
        ] {
            assert!(!allowed(&[], &[origin]), "{origin}");
        }
        assert!(!allowed(&["same-origin"], &["http://evil.example"]));
        assert!(!allowed(&["same-origin", "cross-site"], &[own]));
        assert!(!allowed(&[], &[own, "http://evil.example"]));
    }
}
