//! The style, the script and the icon, compiled in. Their names hold a digest of their content, so
//! that a browser keeps them until they change.

use std::sync::OnceLock;

use axum::Router;
use axum::http::header;
use axum::routing::get;
use data_import::hex;
use sha2::{Digest as _, Sha256};

const STYLE: &str = concat!(
    include_str!("../../templates/web/style.css"),
    include_str!("../../templates/chart.css")
);
const SCRIPT: &str = include_str!("../../templates/web/page.js");
const ICON: &str = include_str!("../../templates/web/icon.svg");
/// What a phone needs to put the page on its home screen.
const MANIFEST: &str = include_str!("../../templates/web/manifest.json");
const ICON_PICTURE: &[u8] = include_bytes!("../../templates/web/icon.png");
const FOLDER: &str = "/assets/";

/// The address of the style.
pub(super) fn style() -> &'static str {
    static NAME: OnceLock<String> = OnceLock::new();
    NAME.get_or_init(|| named("style", "css", STYLE.as_bytes()))
}

/// The address of the script.
pub(super) fn script() -> &'static str {
    static NAME: OnceLock<String> = OnceLock::new();
    NAME.get_or_init(|| named("page", "js", SCRIPT.as_bytes()))
}

/// The address of the icon.
pub(super) fn icon() -> &'static str {
    static NAME: OnceLock<String> = OnceLock::new();
    NAME.get_or_init(|| named("icon", "svg", ICON.as_bytes()))
}

/// The address of the manifest.
pub(super) fn manifest() -> &'static str {
    static NAME: OnceLock<String> = OnceLock::new();
    NAME.get_or_init(|| named("manifest", "webmanifest", MANIFEST.as_bytes()))
}

/// The address of the icon as a picture of 180 pixels, for phones that draw no other.
pub(super) fn icon_picture() -> &'static str {
    static NAME: OnceLock<String> = OnceLock::new();
    NAME.get_or_init(|| named("icon", "png", ICON_PICTURE))
}

/// The manifest with the addresses of the icons.
fn manifest_text() -> String {
    MANIFEST
        .replace("icon.svg", icon())
        .replace("icon.png", icon_picture())
}

/// Whether an address is that of an asset.
pub(super) fn is_asset(path: &str) -> bool {
    [style(), script(), icon(), manifest(), icon_picture()].contains(&path)
}

/// The address of an asset: its name with the first 8 bytes of the SHA-256 of its content.
fn named(name: &str, ending: &str, content: &[u8]) -> String {
    let digest = Sha256::digest(content);
    let digest = hex(&digest[..8]);
    format!("{FOLDER}{name}-{digest}.{ending}")
}

/// The routes of the assets.
pub(super) fn routes<S: Clone + Send + Sync + 'static>() -> Router<S> {
    let css = [(header::CONTENT_TYPE, "text/css; charset=utf-8")];
    let js = [(header::CONTENT_TYPE, "text/javascript; charset=utf-8")];
    let svg = [(header::CONTENT_TYPE, "image/svg+xml")];
    let png = [(header::CONTENT_TYPE, "image/png")];
    let json = [(header::CONTENT_TYPE, "application/manifest+json")];
    Router::new()
        .route(
            manifest(),
            get(move || async move { (json, manifest_text()) }),
        )
        .route(
            icon_picture(),
            get(move || async move { (png, ICON_PICTURE) }),
        )
        .route(icon(), get(move || async move { (svg, ICON) }))
        .route(style(), get(move || async move { (css, STYLE) }))
        .route(script(), get(move || async move { (js, SCRIPT) }))
}
