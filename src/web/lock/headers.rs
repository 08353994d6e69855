//! What the browser is told to hold to, on every answer.

use axum::http::{HeaderValue, header};
use axum::response::Response;

use super::Door;

/// Nothing is loaded, sent or framed but by this page itself; no script and no style stands inside a page.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
                      form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
/// A kitchen needs a screen that stays on, and nothing else.
const PERMISSIONS: &str =
    "camera=(), geolocation=(), microphone=(), payment=(), usb=(), screen-wake-lock=(self)";
/// The file of an asset has its content in its name.
const A_YEAR: &str = "public, max-age=31536000, immutable";

/// Puts them on. `lasting` is the answer with a file that never changes.
pub(super) fn put_on(response: &mut Response, door: Door, lasting: bool) {
    // Over plain HTTP a browser tells where a form comes from by its origin alone, which `no-referrer` would turn into `null`.
    let referrer = match door {
        Door::Loopback => "no-referrer",
        Door::Network => "same-origin",
    };
    let keep = if lasting && response.status().is_success() {
        A_YEAR
    } else {
        "no-store"
    };
    let headers = [
        (header::CACHE_CONTROL, keep),
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, referrer),
        (header::X_FRAME_OPTIONS, "DENY"),
        (
            header::HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
        (
            header::HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            header::HeaderName::from_static("permissions-policy"),
            PERMISSIONS,
        ),
    ];
    for (name, value) in headers {
        response
            .headers_mut()
            .insert(name, HeaderValue::from_static(value));
    }
}
