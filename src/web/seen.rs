//! Which child is seen, where the book has several: one of them, or all.
//!
//! The address names the child, so that Back and Reload show the same child again. A cookie keeps
//! the name for addresses without one, which are redirected to the address with it.

use form_urlencoded::{byte_serialize, parse};

use super::fields::with_query;
use super::request::{NOTICE, RequestAddress};
use super::{Fields, PageRequest};
use crate::notebook::{Child, Settings};

/// The field of an address that names the child; empty for all of them.
const CHILD: &str = "child";
/// The cookie with the name of the child; empty for all of them.
const COOKIE: &str = "trayful-child";
/// The lifetime of the cookie, in seconds: a year (judgement).
const COOKIE_SECONDS: u32 = 365 * 24 * 3600;

/// Rooms in which one child is seen, or all.
const OF_ALL: [&str; 8] = [
    "/",
    "/catch-up",
    "/history",
    "/household",
    "/tastes",
    "/week",
    "/week/held",
    "/week/propose",
];
/// Pages about one child.
const OF_ONE: [&str; 10] = [
    "/household/child",
    "/household/days",
    "/household/known",
    "/household/milk",
    "/household/notes",
    "/household/size",
    "/household/supplements",
    "/household/texture",
    "/mix",
    "/visit",
];

/// A choice of which child a page shows: one, or all of them.
#[derive(Debug)]
pub(super) struct SeenOption {
    /// The text of the link.
    pub(super) label: String,
    /// The name of the child; empty for all of them.
    pub(super) child: String,
    /// The address of the page with this choice.
    pub(super) address: String,
    /// Whether this is the choice now.
    pub(super) chosen: bool,
}

/// The index of the child that is seen; `None` for all of them. `fields` is the form that was sent.
pub(super) fn seen(
    settings: &Settings,
    address: &RequestAddress,
    fields: &Fields,
) -> Option<usize> {
    if settings.children.len() < 2 {
        return None;
    }
    let path = address.path.as_str();
    let named = match (address.query.value(CHILD), fields.value(CHILD)) {
        (Some(named), _) => named,
        (None, Some(named)) if OF_ONE.contains(&path) => named,
        _ => address.kept_child.as_str(),
    };
    place_of(settings, named)
}

/// The index of the child of this name, upper and lower case alike where that names one child alone.
fn place_of(settings: &Settings, name: &str) -> Option<usize> {
    let named = settings.child(Some(name)).ok()?;
    let mut children = settings.children.iter();
    children.position(|child| child.name == named.name)
}

/// The address that names the child seen, to which a request is redirected; `None` where it names
/// the child already, or where the book has one child or the page is about none.
pub(super) fn canonical_address(request: &PageRequest<'_>) -> Option<String> {
    let address = &request.address;
    if request.book.settings.children.len() < 2 || address.query.value(CHILD).is_some() {
        return None;
    }
    let child = match address.path.as_str() {
        path if OF_ALL.contains(&path) => request.seen_child(),
        path if OF_ONE.contains(&path) => request.children().first(),
        _ => return None,
    };
    let named = address.query.beginning("");
    let child = (CHILD, child.map_or("", |child| &child.name));
    Some(with_query(&address.path, named.chain([child])))
}

/// The cookie that keeps which child is seen now; `None` where the browser keeps it already.
///
/// A page about one child changes the cookie to that child where one child was seen; where all were
/// seen, all stay seen.
pub(super) fn cookie(request: &PageRequest<'_>) -> Option<String> {
    let (settings, address) = (&request.book.settings, &request.address);
    let kept = place_of(settings, &address.kept_child);
    let path = address.path.as_str();
    let moves = OF_ALL.contains(&path) || OF_ONE.contains(&path) && kept.is_some();
    let named = address.query.value(CHILD)?;
    let known = named.is_empty() || request.seen_child().is_some();
    let several = settings.children.len() > 1;
    if !several || !moves || !known || kept == place_of(settings, named) {
        return None;
    }
    let name: String = byte_serialize(named.as_bytes()).collect();
    Some(format!(
        "{COOKIE}={name}; Path=/; HttpOnly; SameSite=Strict; Max-Age={COOKIE_SECONDS}"
    ))
}

/// The name of the child in a `Cookie` header; empty for none.
pub(super) fn kept(header: &str) -> String {
    let mut cookies = header.split(';').map(str::trim);
    let found = cookies.find_map(|cookie| cookie.strip_prefix(COOKIE)?.strip_prefix('='));
    let pair = format!("{CHILD}={}", found.unwrap_or_default());
    let name = parse(pair.as_bytes())
        .next()
        .map(|(_, name)| name.into_owned());
    name.unwrap_or_default()
}

/// The choices of which child a page shows; none where the book has one child or the page is about
/// none.
pub(super) fn options(request: &PageRequest<'_>) -> Vec<SeenOption> {
    let children = &request.book.settings.children;
    let path = request.address.path.as_str();
    let of_all = OF_ALL.contains(&path);
    // The answer to a form has an address without a child, and a link to another child would lose
    // what was typed.
    let names_child = request.address.query.value(CHILD).is_some();
    if children.len() < 2 || !names_child || !of_all && !OF_ONE.contains(&path) {
        return Vec::new();
    }
    let all = if children.len() == 2 { "Both" } else { "All" };
    let seen = match request.seen_child() {
        None if !of_all => children.first(),
        seen => seen,
    };
    let seen = seen.map_or("", |child| &child.name);
    let names = children
        .iter()
        .map(|child: &Child| (child.name.as_str(), child.name.as_str()));
    let all = of_all.then_some(("", all));
    let option = |(child, label): (&str, &str)| SeenOption {
        label: label.to_string(),
        child: child.to_string(),
        address: address_with(request, child),
        chosen: child == seen,
    };
    names.chain(all).map(option).collect()
}

/// The address of the page with another child.
fn address_with(request: &PageRequest<'_>, child: &str) -> String {
    let address = &request.address;
    let others = address.query.beginning("");
    let others = others.filter(|(name, _)| ![CHILD, NOTICE].contains(name));
    with_query(&address.path, others.chain([(CHILD, child)]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kept_name_is_read_among_other_cookies() {
        assert_eq!(kept("trayful=abc; trayful-child=Asa+%C3%A9; x=y"), "Asa é");
        for nothing in ["", "trayful-child=", "trayful-childish=Asa", "other=Asa"] {
            assert_eq!(kept(nothing), "", "{nothing}");
        }
    }
}
