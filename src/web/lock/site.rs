//! Where a change comes from.

use axum::http::{HeaderMap, header};

use super::{Door, Hosts};

/// What a browser says of the page that sends a request (W3C Fetch Metadata).
const SITE: &str = "sec-fetch-site";

/// Whether a change was sent from this page, as far as its headers tell: the token in the form is asked for as well.
///
/// A browser that says `same-origin` is believed: no page can make it say so. Without that word the `Origin` must be ours.
/// A page that sends no referrer has the origin `null`, so that `null` counts only beside the word. A request with neither
/// comes from no browser.
pub(in crate::web) fn from_this_page(hosts: &Hosts, door: Door, headers: &HeaderMap) -> bool {
    let all = |name: &str| -> Vec<&str> {
        let values = headers.get_all(name).iter();
        values.map(|value| value.to_str().unwrap_or("?")).collect()
    };
    let ours = |origin: &str| hosts.is_origin(door, origin);
    match (
        all(SITE).as_slice(),
        all(header::ORIGIN.as_str()).as_slice(),
    ) {
        ([] | ["same-origin"], []) => true,
        ([], [origin]) => ours(origin),
        (["same-origin"], [origin]) => *origin == "null" || ours(origin),
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
            from_this_page(&hosts, Door::Loopback, &headers)
        };
        let ours = "http://localhost:8642";
        assert!(allowed(&[], &[]) && allowed(&[], &[ours]) && allowed(&["same-origin"], &[ours]));
        assert!(allowed(&["same-origin"], &["null"]) && allowed(&["same-origin"], &[]));
        for site in ["cross-site", "same-site", "none", ""] {
            assert!(
                !allowed(&[site], &[ours]) && !allowed(&[site], &[]),
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
        assert!(!allowed(&["same-origin", "cross-site"], &[ours]));
        assert!(!allowed(&[], &[ours, "http://evil.example"]));
    }
}
