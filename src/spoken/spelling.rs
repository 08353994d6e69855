//! Slips of typing.

/// The known words a small slip away, as near as any: one slip in four to seven letters, two in longer words.
pub(super) fn nearest<'a>(typed: &str, known: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let most = match typed.len() {
        0..=3 => return Vec::new(),
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
    let least = near.first().map(|(slips, _)| *slips);
    near.retain(|(slips, _)| Some(*slips) == least);
    near.into_iter().map(|(_, word)| word).collect()
}
