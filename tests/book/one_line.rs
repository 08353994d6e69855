//! What commands say, in one line: where it breaks depends on the width of the page.

use super::household::Household;

pub(crate) fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What a command says, with its exit code.
pub(crate) fn said(home: &Household, args: &[&str]) -> (i32, String) {
    let said = home.said(args);
    (said.code, one_line(&format!("{} {}", said.out, said.err)))
}

/// What a command does.
pub(crate) fn done(home: &Household, args: &[&str]) -> String {
    let (code, out) = said(home, args);
    assert_eq!(code, 0, "{args:?}: {out}");
    out
}

/// What a command is refused with.
pub(crate) fn refused(home: &Household, args: &[&str]) -> String {
    one_line(&home.refusal(args))
}
