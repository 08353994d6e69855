//! The check that a change was sent from this page.

use axum::http::{HeaderMap, header};

use super::{Door, Hosts};

/// The header with the relation to the site of the sending page (W3C Fetch Metadata).
const SITE: &str = "sec-fetch-site";

/// Whether a change was sent from this page by its headers; the token of the form is required as well.
///
/// `same-origin` in `Sec-Fetch-Site` is trusted: no page can forge it. Without that header the `Origin` must be one of
/// this server. A page without a referrer has the origin `null`, which is accepted only together with that header. A
/// request with neither comes from no browser.
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
