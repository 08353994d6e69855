//! How reference intakes are to be read: the sentences that stand beside them at every door.

use super::AgeMonths;

/// What RDA and AI mean.
pub const RDA_AND_AI: &str = "RDA and AI: what all food and milk of a day together should bring. To get less than an \
     AI is not a lack.";

/// What an EAR means (IOM, Dietary Reference Intakes: Applications in Dietary Assessment, 2000).
pub const EAR: &str = "EAR: the estimated average requirement, enough for half of all healthy children of this age; \
     the RDA is enough for nearly all of them.";

/// Cell in place of a reference, where the child is too old for the table.
pub const NO_REFERENCE: &str = "no reference here";

/// End of the sentence on an upper level that is passed only with infant formula.
pub const ABOVE_BY_FORMULA: &str = ", and only with the infant formula, which is made for this: not an alarm. Ask the \
     paediatrician if in doubt.";

/// The sentence for a child who is too old for the table; `None` for a younger one.
pub fn why_no_reference(age: AgeMonths) -> Option<&'static str> {
    let beyond = age.band().is_none();
    beyond.then_some("No reference here: these tables end at the fourth birthday.")
}
