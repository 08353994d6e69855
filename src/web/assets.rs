//! The style, the script and the icon, compiled in. Their names hold a digest of their content, so that a browser keeps them until
//! they change.

use std::sync::OnceLock;

use axum::Router;
use axum::http::header;
use axum::routing::get;
use sha2::{Digest as _, Sha256};

use super::lock::hex;

const STYLE: &str = concat!(
    include_str!("../../templates/web/style.css"),
    include_str!("../../templates/chart.css")
);
const SCRIPT: &str = include_str!("../../templates/web/page.js");
const ICON: &str = include_str!("../../templates/web/icon.svg");
const FOLDER: &str = "/assets/";

/// The address of the style.
pub(super) fn style() -> &'static str {
    static NAME: OnceLock<String> = OnceLock::new();
    NAME.get_or_init(|| named("style", "css", STYLE))
}

/// The address of the script.
pub(super) fn script() -> &'static str {
    static NAME: OnceLock<String> = OnceLock::new();
    NAME.get_or_init(|| named("page", "js", SCRIPT))
}

/// The address of the icon.
pub(super) fn icon() -> &'static str {
    static NAME: OnceLock<String> = OnceLock::new();
    NAME.get_or_init(|| named("icon", "svg", ICON))
}

/// Whether an address is that of an asset.
pub(super) fn is_one(path: &str) -> bool {
    [style(), script(), icon()].contains(&path)
}

fn named(name: &str, ending: &str, content: &str) -> String {
    let digest = Sha256::digest(content.as_bytes());
    let digest = hex(&digest[..8]);
    format!("{FOLDER}{name}-{digest}.{ending}")
}

/// Serves them.
pub(super) fn routes<S: Clone + Send + Sync + 'static>() -> Router<S> {
    let css = [(header::CONTENT_TYPE, "text/css; charset=utf-8")];
    let js = [(header::CONTENT_TYPE, "text/javascript; charset=utf-8")];
    let svg = [(header::CONTENT_TYPE, "image/svg+xml")];
    Router::new()
        .route(icon(), get(move || async move { (svg, ICON) }))
        .route(style(), get(move || async move { (css, STYLE) }))
        .route(script(), get(move || async move { (js, SCRIPT) }))
}
