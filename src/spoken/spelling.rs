//! Slips of typing.

/// The known word a small slip away, where there is only one as near: one slip in five to seven letters, two in longer words.
pub(super) fn nearest<'a>(typed: &str, known: impl Iterator<Item = &'a str>) -> Option<String> {
    let most = match typed.len() {
        0..=3 => return None,
        4..=7 => 1,
        _ => 2,
    };
    let near = known.filter(|word| word.len() > 3 && word.chars().next() == typed.chars().next());
    let mut near: Vec<(usize, &str)> = near
        .map(|word| (crate::problem::edit_distance(typed, word), word))
        .filter(|(slips, _)| *slips <= most)
        .collect();
    near.sort_unstable();
    near.dedup();
    match near.as_slice() {
        [(_, only)] => Some((*only).to_string()),
        [(first, word), (second, _), ..] if first < second => Some((*word).to_string()),
        _ => None,
    }
}
