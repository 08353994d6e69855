//! Which child is seen, where the book has several: one of them, or all.
//!
//! The address says it, so that Back and Reload show what was seen. A cookie keeps it for addresses that do not say it: these are answered
//! with the address that does.

use form_urlencoded::{Serializer, byte_serialize, parse};

use super::fields::Fields;
use super::request::{NOTICE, PageRequest, RequestAddress};
use crate::notebook::{Child, Settings};

/// The field of an address that names the child; empty for all of them.
const CHILD: &str = "child";
/// The cookie with the name of the child; empty for all of them.
const COOKIE: &str = "trayful-child";
/// Seconds for which the browser keeps it: a year.
const LASTS_S: u32 = 365 * 24 * 3600;

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

/// One of the ways to see a page: a child, or all of them.
#[derive(Debug)]
pub(super) struct SeenOption {
    /// What it is called.
    pub(super) label: String,
    /// The name of the child; empty for all of them.
    pub(super) child: String,
    /// The address of the page as it is seen so.
    pub(super) address: String,
    /// Whether the page is seen so now.
    pub(super) chosen: bool,
}

/// The place among the children of the one that is seen; `None` for all. `fields` is the form that was sent.
pub(super) fn seen(settings: &Settings, asked: &RequestAddress, fields: &Fields) -> Option<usize> {
    if settings.children.len() < 2 {
        return None;
    }
    let path = asked.path.as_str();
    let named = match (asked.query.value(CHILD), fields.value(CHILD)) {
        (Some(named), _) => named,
        (None, Some(named)) if OF_ONE.contains(&path) => named,
        _ => asked.kept_child.as_str(),
    };
    place_of(settings, named)
}

fn place_of(settings: &Settings, name: &str) -> Option<usize> {
    let mut children = settings.children.iter();
    children.position(|child| child.name.eq_ignore_ascii_case(name))
}

/// The address that says which child is seen; `None` where it says it already, or where nobody needs to be told.
pub(super) fn address_that_says_it(visit: &PageRequest<'_>) -> Option<String> {
    let asked = &visit.asked;
    if visit.book.settings.children.len() < 2 || asked.query.value(CHILD).is_some() {
        return None;
    }
    let one = match asked.path.as_str() {
        path if OF_ALL.contains(&path) => visit.seen_child(),
        path if OF_ONE.contains(&path) => visit.children().first(),
        _ => return None,
    };
    let named = asked.query.beginning("");
    let mut query = Serializer::new(String::new());
    query.extend_pairs(named);
    query.append_pair(CHILD, one.map_or("", |child| &child.name));
    Some(format!("{}?{}", asked.path, query.finish()))
}

/// The cookie that keeps what is seen now; `None` where it is kept already. A page about one child moves on to that child where one was
/// seen; where all were, they still are.
pub(super) fn cookie(visit: &PageRequest<'_>) -> Option<String> {
    let (settings, asked) = (&visit.book.settings, &visit.asked);
    let kept = place_of(settings, &asked.kept_child);
    let path = asked.path.as_str();
    let moves = OF_ALL.contains(&path) || OF_ONE.contains(&path) && kept.is_some();
    let named = asked.query.value(CHILD)?;
    let known = named.is_empty() || visit.seen_child().is_some();
    let several = settings.children.len() > 1;
    if !several || !moves || !known || kept == place_of(settings, named) {
        return None;
    }
    let name: String = byte_serialize(named.as_bytes()).collect();
    Some(format!(
        "{COOKIE}={name}; Path=/; HttpOnly; SameSite=Strict; Max-Age={LASTS_S}"
    ))
}

/// The name that a `Cookie` header keeps; empty for none.
pub(super) fn kept(header: &str) -> String {
    let mut cookies = header.split(';').map(str::trim);
    let found = cookies.find_map(|cookie| cookie.strip_prefix(COOKIE)?.strip_prefix('='));
    let pair = format!("{CHILD}={}", found.unwrap_or_default());
    let name = parse(pair.as_bytes())
        .next()
        .map(|(_, name)| name.into_owned());
    name.unwrap_or_default()
}

/// The ways to see a page; none where the book has one child, or the page is about none.
pub(super) fn options(visit: &PageRequest<'_>) -> Vec<SeenOption> {
    let children = &visit.book.settings.children;
    let path = visit.asked.path.as_str();
    let of_all = OF_ALL.contains(&path);
    // The answer to a form has an address that says nothing: what was typed would be lost.
    let says_it = visit.asked.query.value(CHILD).is_some();
    if children.len() < 2 || !says_it || !of_all && !OF_ONE.contains(&path) {
        return Vec::new();
    }
    let all = if children.len() == 2 { "Both" } else { "All" };
    let seen = match visit.seen_child() {
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
        address: address_with(visit, child),
        chosen: child == seen,
    };
    names.chain(all).map(option).collect()
}

/// The address of the page with another child.
fn address_with(visit: &PageRequest<'_>, child: &str) -> String {
    let asked = &visit.asked;
    let others = asked.query.beginning("");
    let others = others.filter(|(name, _)| ![CHILD, NOTICE].contains(name));
    let mut query = Serializer::new(String::new());
    query.extend_pairs(others).append_pair(CHILD, child);
    format!("{}?{}", asked.path, query.finish())
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
