//! The security headers of every answer.

use axum::http::{HeaderValue, header};
use axum::response::Response;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest as _, Sha256};

use super::Listener;

/// The content security policy: only resources of this page, no framing, no inline script or style.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; manifest-src 'self'; connect-src 'self'; \
                      form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
/// The policy of a page to print: its own style by the digest, and the script of the page, which
/// prints it.
fn policy_of(own: &OwnStyle) -> Option<HeaderValue> {
    let policy = format!(
        "default-src 'none'; script-src 'self'; style-src 'sha256-{}'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'",
        own.0
    );
    HeaderValue::from_str(&policy).ok()
}

/// The digest of the style inside a page.
#[derive(Debug, Clone)]
pub(in crate::web) struct OwnStyle(String);

impl OwnStyle {
    /// The digest of the one `<style>` of a page; the digest of nothing where it has none.
    pub(in crate::web) fn of(page: &str) -> Self {
        let style = page.split_once("<style>").map_or("", |(_, rest)| rest);
        let style = style.split_once("</style>").map_or("", |(style, _)| style);
        Self(STANDARD.encode(Sha256::digest(style.as_bytes())))
    }
}

/// The permissions policy: a screen that stays on while cooking, and nothing else.
const PERMISSIONS: &str =
    "camera=(), geolocation=(), microphone=(), payment=(), usb=(), screen-wake-lock=(self)";
/// The caching of assets: a year, since the name of an asset holds a digest of its content.
const CACHED_FOR_A_YEAR: &str = "public, max-age=31536000, immutable";

/// Sets the headers of an answer. `lasting` is that of a file that never changes.
pub(super) fn set(response: &mut Response, listener: Listener, lasting: bool) {
    // Over plain HTTP a browser reveals the origin of a form only in `Origin`, which `no-referrer`
    // would turn into `null`.
    let referrer = match listener {
        Listener::Loopback => "no-referrer",
        Listener::Network => "same-origin",
    };
    let keep = if lasting && response.status().is_success() {
        CACHED_FOR_A_YEAR
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
    if let Some(own) = response.extensions().get().and_then(policy_of) {
        let headers = response.headers_mut();
        headers.insert(header::CONTENT_SECURITY_POLICY, own);
    }
}
