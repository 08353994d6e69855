//! The tables of what may be in a proposed purée: roles, rules of what goes together, and rules of
//! which foods may be proposed.
//!
//! `combine-roles.csv`, `combine-rules.csv`, `combine-candidates.csv` and `combine-foods.csv`; each
//! row has its source.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use data_import::reference::{self, TableRow};
use data_import::{Error, Food, FoodId};
use serde::Deserialize;

use crate::cooking::Method;
use crate::food::{DescribedFood, Pattern};
use crate::nutrition::AgeMonths;

/// The role of a food in a purée.
#[derive(Debug, Clone, Deserialize)]
pub struct Role {
    /// The name of the role in the tables.
    pub role: String,
    /// The name of the role in sentences.
    pub called: String,
    method: String,
    /// Least share of the finished purée, as cooked.
    pub min_share: f64,
    /// Most share of the finished purée, as cooked.
    pub max_share: f64,
    once: String,
    base: String,
    strong: String,
    animal: String,
    from_months: Option<u16>,
}

impl Role {
    /// Whether the role is named in a list of roles and marks.
    fn is_among(&self, list: &str) -> bool {
        list.split('|').any(|name| {
            name == self.role
                || (name == "base" && self.base == YES)
                || (name == "strong" && self.strong == YES)
                || (name == "animal" && self.animal == YES)
        })
    }

    /// Whether the iron of the role is that of meat or fish, which is taken up better.
    pub fn is_meat_or_fish(&self) -> bool {
        self.animal == YES && self.role != "egg"
    }

    /// Whether the protein of the role is that of pulses or grain, each of which lacks an amino
    /// acid that the other has.
    pub fn is_pulse_or_grain(&self) -> bool {
        ["pulse", "fresh-pulse", "soya", "grain"].contains(&self.role.as_str())
    }

    /// Whether foods of the role may hold retinol: plants hold none.
    pub fn may_hold_retinol(&self) -> bool {
        self.animal == YES
            || ["milk", "yogurt", "soft-cheese", "hard-cheese", "fat"].contains(&self.role.as_str())
    }

    /// Whether foods of the role may be proposed at an age.
    pub fn is_for(&self, age: AgeMonths) -> bool {
        self.from_months.is_none_or(|from| age.0 >= from)
    }
}

/// The word for yes in a table.
const YES: &str = "yes";

/// A rule of what may be together.
#[derive(Debug, Clone, Deserialize)]
pub struct MixingRule {
    kind: String,
    /// The name of the rule.
    pub id: String,
    roles: String,
    roles_b: String,
    /// Least share of the foods together.
    pub min: Option<f64>,
    /// Most share of the foods together, or most foods of a `count`.
    pub max: Option<f64>,
    /// The rule in words.
    pub says: String,
}

/// The mark of the rule about foods that are rich in nitrate, and its id.
pub(super) const NITRATE: &str = "nitrate";

impl MixingRule {
    /// Whether the rule sets shares.
    pub fn is_of_shares(&self) -> bool {
        self.kind == "share"
    }

    /// Whether a food with this role counts for a rule of shares.
    pub fn counts(&self, role: &Role, rich_in_nitrate: bool) -> bool {
        role.is_among(&self.roles) || (rich_in_nitrate && self.roles == NITRATE)
    }

    fn parts(&self, first: &Role, second: &Role) -> bool {
        match self.kind.as_str() {
            "together" => {
                (first.is_among(&self.roles) && second.is_among(&self.roles_b))
                    || (first.is_among(&self.roles_b) && second.is_among(&self.roles))
            }
            "count" => first.is_among(&self.roles) && second.is_among(&self.roles),
            _ => false,
        }
    }
}

/// A rule that decides whether a food may be proposed, and in which role.
#[derive(Debug)]
struct CandidateRule {
    keep: bool,
    role: String,
    family: String,
    method: Option<Method>,
    pattern: Pattern,
}

/// The facts about a food besides its name.
#[derive(Debug, Clone, Deserialize)]
pub struct FoodNote {
    food: FoodId,
    everyday: String,
    nitrate: String,
    gluten: String,
    /// Samples behind its iron value.
    pub iron_analyses: u32,
}

impl FoodNote {
    /// Whether the food may be proposed unasked.
    pub fn is_everyday(&self) -> bool {
        self.everyday == YES
    }

    /// Whether the food is rich in nitrate.
    pub fn is_rich_in_nitrate(&self) -> bool {
        self.nitrate == YES
    }

    /// Whether the food holds gluten.
    pub fn holds_gluten(&self) -> bool {
        self.gluten == YES
    }
}

/// The tables of what may be in a proposed purée.
#[derive(Debug)]
pub struct Tables {
    /// The roles.
    pub roles: Vec<Role>,
    /// The rules of what goes together.
    pub rules: Vec<MixingRule>,
    candidates: Vec<CandidateRule>,
    notes: BTreeMap<FoodId, FoodNote>,
}

/// The role in which a food may be proposed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PureePart {
    /// The place of the role in [`Tables::roles`].
    pub role: usize,
    /// The source of its iron, as a parent calls it.
    pub family: String,
    /// The way to cook it.
    pub method: Method,
}

impl Tables {
    /// The built-in tables; they are read once.
    pub fn builtin() -> Result<&'static Self, Error> {
        static BUILTIN: OnceLock<Tables> = OnceLock::new();
        if let Some(tables) = BUILTIN.get() {
            return Ok(tables);
        }
        let notes: Vec<FoodNote> = reference::rows("combine-foods.csv", reference::COMBINE_FOODS)?;
        let tables = Self {
            roles: reference::rows("combine-roles.csv", reference::COMBINE_ROLES)?,
            rules: reference::rows("combine-rules.csv", reference::COMBINE_RULES)?,
            candidates: candidate_rules()?,
            notes: notes
                .into_iter()
                .map(|note| (note.food.clone(), note))
                .collect(),
        };
        Ok(BUILTIN.get_or_init(|| tables))
    }

    /// The foods that may be proposed, by id.
    pub fn candidates(&self) -> impl Iterator<Item = (&FoodId, &FoodNote)> {
        self.notes.iter()
    }

    /// The facts about a food that may be proposed.
    pub fn note(&self, food: &FoodId) -> Option<&FoodNote> {
        self.notes.get(food)
    }

    /// The role of a food by the rules; `None` where it may not be proposed.
    pub fn part(&self, food: &Food) -> Option<PureePart> {
        let described = DescribedFood::of(food);
        let mut rules = self.candidates.iter();
        let rule = rules.find(|rule| rule.pattern.fits(&described))?;
        if !rule.keep {
            return None;
        }
        let role = self.roles.iter().position(|role| role.role == rule.role)?;
        let usual = self.roles.get(role)?.method.parse().ok();
        Some(PureePart {
            role,
            family: rule.family.clone(),
            method: rule.method.or(usual)?,
        })
    }

    /// Whether foods of two roles may not be in one purée.
    pub fn clash(&self, one: usize, other: usize) -> bool {
        let (Some(first), Some(second)) = (self.roles.get(one), self.roles.get(other)) else {
            return false;
        };
        (one == other && first.once == YES)
            || self.rules.iter().any(|rule| rule.parts(first, second))
    }

    /// The names of all roles and families.
    pub fn kinds(&self) -> impl Iterator<Item = &str> {
        let roles = self.roles.iter().map(|role| role.role.as_str());
        let kept = self.candidates.iter().filter(|rule| rule.keep);
        roles.chain(kept.map(|rule| rule.family.as_str()))
    }
}

fn candidate_rules() -> Result<Vec<CandidateRule>, Error> {
    let rule = |row: TableRow<'_>| {
        Ok(CandidateRule {
            keep: row.cell("keep") == YES,
            role: row.cell("role").into(),
            family: row.cell("family").into(),
            method: row.cell("method").parse().ok(),
            pattern: Pattern::of_row(row)?,
        })
    };
    reference::try_read_rows(
        "combine-candidates.csv",
        reference::COMBINE_CANDIDATES,
        rule,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use data_import::FoodTable;

    #[test]
    fn the_rules_choose_the_foods_that_are_noted() {
        let tables = Tables::builtin().unwrap();
        let all = FoodTable::builtin().unwrap().all().unwrap();
        let chosen = all.iter().filter(|food| tables.part(food).is_some());
        let chosen: Vec<_> = chosen.map(|food| &food.id).collect();
        let noted: Vec<_> = tables.candidates().map(|(id, _)| id).collect();
        assert_eq!(chosen, noted);
        assert_eq!(noted.len(), 321);
        let everyday = tables.candidates().filter(|(_, note)| note.is_everyday());
        assert_eq!(everyday.count(), 156);
    }

    #[test]
    fn spot_checks_of_what_may_be_proposed() {
        let tables = Tables::builtin().unwrap();
        let table = FoodTable::builtin().unwrap();
        let part = |id: &str| {
            let food = table
                .foods(&[id.parse().unwrap()])
                .unwrap()
                .pop()
                .flatten()
                .unwrap();
            let part = tables.part(&food)?;
            Some((
                tables.roles[part.role].role.clone(),
                part.family,
                part.method,
            ))
        };
        let is =
            |role: &str, family: &str, method| Some((role.to_string(), family.to_string(), method));
        assert_eq!(part("11090"), is("vegetable", "vegetables", Method::Steam));
        assert_eq!(part("16144"), is("pulse", "lentils", Method::Stew));
        assert_eq!(part("09003"), is("fruit", "fruit", Method::Stew));
        assert_eq!(part("09040"), is("fruit", "fruit", Method::None));
        assert_eq!(part("12098"), is("starchy", "nuts and seeds", Method::Boil));
        assert_eq!(part("20078"), is("grain", "wheat germ", Method::None));
        assert_eq!(part("05027"), is("liver", "liver", Method::Stew));
        // Honey, salt, apple juice, swordfish, cow's milk without fat, raw lupins.
        for id in ["19296", "02047", "09016", "15110", "01085", "16076"] {
            assert_eq!(part(id), None, "{id}");
        }
    }

    #[test]
    fn every_role_has_a_way_to_cook_and_shares_that_fit() {
        for role in &Tables::builtin().unwrap().roles {
            assert!(role.method.parse::<Method>().is_ok(), "{}", role.role);
            assert!(
                0.0 < role.min_share && role.min_share < role.max_share && role.max_share <= 1.0
            );
        }
    }

    #[test]
    fn what_may_not_meet_does_not_meet_either_way_round() {
        let tables = Tables::builtin().unwrap();
        let at = |name: &str| {
            tables
                .roles
                .iter()
                .position(|role| role.role == name)
                .unwrap()
        };
        for (one, other, clash) in [
            ("fish", "fruit", true),
            ("meat", "fish", true),
            ("grain", "grain", true),
            ("vegetable", "vegetable", false),
            ("pulse", "meat", false),
        ] {
            assert_eq!(tables.clash(at(one), at(other)), clash, "{one} {other}");
            assert_eq!(tables.clash(at(other), at(one)), clash, "{other} {one}");
        }
    }
}
