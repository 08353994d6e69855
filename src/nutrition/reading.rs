//! How reference intakes are to be read: the sentences that stand beside them in every interface.

use super::AgeMonths;

/// The sentence on what RDA and AI mean.
pub const RDA_AND_AI: &str = "RDA and AI: what all food and milk of a day together should bring. To get less than an \
     AI is not a lack; vitamin D is advised as drops all the same, 10 µg a day (AAP, 2008): ask about them.";

/// The sentence on what an EAR means (IOM, Dietary Reference Intakes: Applications in Dietary
/// Assessment, 2000).
pub const EAR: &str = "EAR: the estimated average requirement, enough for half of all healthy children of this age; \
     the RDA is enough for nearly all of them.";

/// The sentence on what the iron RDA assumes of absorption (IOM, Dietary Reference Intakes for
/// Vitamin A and others, 2001, chapter 9, table 9-6).
pub const IRON_RDA: &str = "The RDA of iron assumes that, from a mixed diet, 10 % of it is taken up, from the first birthday on 18 %; \
     from plants alone it is less.";

/// The sentence that losses by freezing are in no figure, since no published table of them fits
/// purées.
pub const FREEZER: &str = "Loss in the freezer is not counted; vitamin C is the first to go.";

/// The share of a day's reference intake from which a serving is a good source of a nutrient (21
/// CFR 101.54, from memory).
pub const GOOD_SOURCE: f64 = 0.1;

/// The text of a cell in place of a reference, where the child is too old for the table.
pub const NO_REFERENCE: &str = "no reference here";

/// The end of the sentence on an upper level that is passed only with infant formula.
pub const ABOVE_BY_FORMULA: &str = ", and only with the infant formula, which is made for this: not an alarm. Ask the \
     paediatrician if in doubt.";

/// The sentence for a child who is too old for the table; `None` for a younger one.
pub fn why_no_reference(age: AgeMonths) -> Option<&'static str> {
    let beyond = age.band().is_none();
    beyond.then_some("No reference here: these tables end at the fourth birthday.")
}

#[cfg(test)]
mod tests {
    use data_import::NutrientId;

    use super::super::IntakeTable;
    use super::*;

    /// IOM 2001, table 9-6: iron to be absorbed a day, median and 97.5th percentile, at 6 to 12
    /// months 0.69 and 1.07 mg, at two and a half years (boys) 0.54 and 1.24 mg; upper limit of
    /// absorption 10 and 18 %.
    #[test]
    fn the_references_of_iron_are_what_is_absorbed_over_its_share() {
        let table = IntakeTable::builtin().unwrap();
        for (months, share, median, most) in [(8, 0.10, 0.69, 1.07), (30, 0.18, 0.54, 1.24)] {
            let intake = table.intake(NutrientId::IRON, AgeMonths(months)).unwrap();
            approx::assert_abs_diff_eq!(intake.ear.unwrap(), median / share, epsilon = 0.05);
            approx::assert_abs_diff_eq!(intake.amount, (most / share).round(), epsilon = 1e-9);
            assert!(IRON_RDA.contains(&format!("{:.0} %", share * 100.0)));
        }
    }
}
