//! A child of the household, as `book.toml` describes it.

use jiff::civil::Date;

use super::settings_values::{one_of, ranged, read_date, read_mass};
use crate::nutrition::AgeMonths;
use crate::nutrition::energy::Sex;
use crate::problem::Located;
use crate::quantity::Mass;
use crate::safety::misspelt_allergen;
use crate::strict_toml::StrictTable;

/// The most whole weeks before the due date at which a child is born: more than 17 is before the
/// 23rd week.
pub const MOST_WEEKS_EARLY: u32 = 17;

/// A child of the household.
#[derive(Debug, Clone, PartialEq)]
pub struct Child {
    /// The name of the child.
    pub name: String,
    /// Day of birth.
    pub born: Date,
    /// Weight, where it is known.
    pub weight: Option<Mass>,
    /// How milk is fed: in the household's own words.
    pub milk: Option<String>,
    /// Whether there is eczema, and how severe it is.
    pub eczema: Eczema,
    /// Whole weeks before the due date at which the child was born; 4 and more is before 37 weeks.
    /// `None` where the book does not say.
    pub weeks_early: Option<u32>,
    /// Known allergies.
    pub allergies: Vec<String>,
    /// The usual number of meals a day, where the book says it.
    pub meals_a_day: Option<u32>,
    /// The sex, where the book says it.
    pub sex: Option<Sex>,
    /// The weight at birth, where the book says it.
    pub birth_weight: Option<Mass>,
}

/// The eczema of a child, as stated by the household.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Eczema {
    /// None on record.
    None,
    /// Mild.
    Mild,
    /// Moderate.
    Moderate,
    /// Severe.
    Severe,
    /// Present, of a severity that is not stated.
    Unspecified,
}

impl Eczema {
    /// Every value with its word in `book.toml`.
    const WORDS: [(&'static str, Self); 5] = [
        ("false", Self::None),
        ("true", Self::Unspecified),
        ("mild", Self::Mild),
        ("moderate", Self::Moderate),
        ("severe", Self::Severe),
    ];

    /// In words: `moderate eczema`; `None` where there is none on record.
    pub fn in_words(self) -> Option<&'static str> {
        match self {
            Self::None => None,
            Self::Mild => Some("mild eczema"),
            Self::Moderate => Some("moderate eczema"),
            Self::Severe => Some("severe eczema"),
            Self::Unspecified => Some("eczema"),
        }
    }

    /// Whether there is any on record.
    pub fn on_record(self) -> bool {
        self != Self::None
    }
}

impl Child {
    /// Age in completed months on a day; 0 before birth.
    pub fn age_on(&self, day: Date) -> AgeMonths {
        let (born, day) = (self.born, day);
        let months = (i32::from(day.year()) - i32::from(born.year())) * 12 + i32::from(day.month())
            - i32::from(born.month())
            - i32::from(day.day() < born.day() && day.day() < day.days_in_month());
        AgeMonths(u16::try_from(months).unwrap_or(0))
    }
}

/// Reads a child, with the place of its day of birth; problems are reported to the table.
pub(super) fn read(mut table: StrictTable<'_>) -> Option<(Child, Located<Date>)> {
    let name = table.required("name", "name the child, such as name = \"Wren\"");
    if let Some(name) = &name
        && (name.value.trim().is_empty() || name.value.chars().any(char::is_control))
    {
        let problem = name.problem("a child has a name of one line");
        table.report(problem.hint("such as name = \"Wren\""));
    }
    let born = table.required(
        "born",
        "write the day of birth, such as born = \"2026-03-02\"",
    );
    let born = born.and_then(|text| table.read(&text, read_date));
    let weight = table.parsed("weight", read_mass);
    let milk = table.text("milk");
    let eczema = table.word(
        "eczema",
        "true, false, \"mild\", \"moderate\" or \"severe\"",
    );
    let eczema = eczema.map(|word| one_of(&table, "eczema", &word, &Eczema::WORDS));
    let weeks_early = ranged(&mut table, "weeks_early", 0..=MOST_WEEKS_EARLY);
    let allergies = allergies(&mut table);
    let meals_a_day = ranged(&mut table, "meals_a_day", 1..=12);
    let sex = table.word("sex", "\"girl\" or \"boy\"");
    let sex = sex.map(|word| one_of(&table, "sex", &word, &Sex::WORDS));
    let birth_weight = table.parsed("birth_weight", read_mass);
    table.finish();
    let born = born?;
    let child = Child {
        name: name?.value,
        born: born.value,
        weight: weight.map(|weight| weight.value),
        milk: milk.map(|milk| milk.value),
        eczema: eczema.unwrap_or(Some(Eczema::None))?,
        weeks_early,
        allergies,
        meals_a_day,
        sex: sex.flatten(),
        birth_weight: birth_weight.map(|weight| weight.value),
    };
    Some((child, born))
}

/// Reads the known allergies. An allergy that names no food would stop nothing, so that a likely
/// slip is a problem.
fn allergies(table: &mut StrictTable<'_>) -> Vec<String> {
    let Some(list) = table.located_texts("allergies") else {
        return Vec::new();
    };
    for allergy in &list.value {
        if allergy.trim().is_empty() {
            table.report(list.problem("an allergy without a name"));
        } else if let Some(meant) = misspelt_allergen(allergy) {
            let what = format!("“{allergy}” is no food, so nothing would be stopped for it");
            table.report(list.problem(what).hint(format!("did you mean “{meant}”?")));
        }
    }
    list.value
}

#[cfg(test)]
mod tests {
    use super::*;

    fn child(born: &str) -> Child {
        Child {
            name: "Wren".into(),
            born: born.parse().unwrap(),
            weight: None,
            milk: None,
            eczema: Eczema::None,
            weeks_early: None,
            allergies: Vec::new(),
            meals_a_day: None,
            sex: None,
            birth_weight: None,
        }
    }

    #[test]
    fn age_is_counted_in_completed_months() {
        let age = |born, day: &str| child(born).age_on(day.parse().unwrap()).0;
        assert_eq!(age("2026-03-02", "2026-10-01"), 6);
        assert_eq!(age("2026-03-02", "2026-10-02"), 7);
        assert_eq!(age("2026-03-02", "2027-03-01"), 11);
        assert_eq!(age("2026-03-02", "2027-03-02"), 12);
        assert_eq!(
            age("2026-03-31", "2026-04-30"),
            1,
            "the last day of a short month completes it"
        );
        assert_eq!(age("2026-03-02", "2026-01-01"), 0);
    }
}
