//! Food groups, from `data/food-groups.csv`.

use std::sync::OnceLock;

use serde::Deserialize;

use crate::reference;

const TABLE: &str = include_str!("../data/food-groups.csv");

/// A food group of the dataset.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
struct Group {
    code: String,
    name: String,
}

/// The name of a food group by its code: `1100` is "Vegetables and Vegetable Products".
pub fn group_name(code: &str) -> Option<&'static str> {
    groups()
        .iter()
        .find(|group| group.code == code)
        .map(|group| group.name.as_str())
}

/// The code of a food group by its name, upper or lower case, or by its code.
pub(crate) fn group_code(text: &str) -> Option<&'static str> {
    groups()
        .iter()
        .find(|group| group.name.eq_ignore_ascii_case(text) || group.code == text)
        .map(|group| group.code.as_str())
}

/// The names of all food groups.
pub(crate) fn group_names() -> impl Iterator<Item = &'static str> {
    groups().iter().map(|group| group.name.as_str())
}

fn groups() -> &'static [Group] {
    static GROUPS: OnceLock<Vec<Group>> = OnceLock::new();
    // The table is part of the program; a test reads it, so it cannot be broken here.
    GROUPS.get_or_init(|| reference::rows("food-groups.csv", TABLE).unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_group_reads() {
        let groups: Vec<Group> = reference::rows("food-groups.csv", TABLE).unwrap();
        assert_eq!(groups.len(), 28);
        assert_eq!(
            group_name("1100"),
            Some("Vegetables and Vegetable Products")
        );
        assert_eq!(group_name("11"), None);
    }
}
