//! Tables that decide by a food's cooking class and name: ordered rows, of which the first that
//! fits wins.

use data_import::reference::{self, TableRow};
use data_import::{Error, Food};

use crate::food::{DescribedFood, Pattern};

/// The rows of a table.
#[derive(Debug)]
pub(super) struct ClassRules {
    rules: Vec<ClassRule>,
}

#[derive(Debug)]
struct ClassRule {
    word: &'static str,
    /// The classes of foods; empty for any class.
    classes: Vec<&'static str>,
    pattern: Pattern,
}

impl ClassRules {
    /// Reads a table with its verdicts in the column `verdict`.
    pub(super) fn read(name: &str, text: &'static str, verdict: &str) -> Result<Self, Error> {
        let rule = |row: TableRow<'_>| {
            Ok(ClassRule {
                word: row.cell(verdict),
                classes: row.alternatives("classes").collect(),
                pattern: Pattern::of_row(row)?,
            })
        };
        let rules = reference::try_read_rows(name, text, rule)?;
        Ok(Self { rules })
    }

    /// The verdict on a food of a class; `None` where no row fits.
    pub(super) fn verdict(&self, food: &Food, class: &str) -> Option<&str> {
        let food = DescribedFood::of(food);
        let fits = |rule: &&ClassRule| {
            let of_class = rule.classes.is_empty() || rule.classes.contains(&class);
            of_class && rule.pattern.fits(&food)
        };
        self.rules.iter().find(fits).map(|rule| rule.word)
    }

    /// Every word of the verdict's column.
    #[cfg(test)]
    pub(super) fn words(&self) -> impl Iterator<Item = &str> {
        self.rules.iter().map(|rule| rule.word)
    }

    /// Every class that a row names.
    #[cfg(test)]
    pub(super) fn classes(&self) -> impl Iterator<Item = &str> {
        let classes = self.rules.iter().flat_map(|rule| &rule.classes);
        classes.copied()
    }
}
