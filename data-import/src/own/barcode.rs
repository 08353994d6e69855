//! Barcodes: GTIN-8, -12, -13 and -14.

use super::cells::Cell;
use super::finding::Finding;

/// Whether the digits are a GTIN, and whether its last digit fits the others. `Err` where they
/// are not one; `Ok` with a warning where the check digit is off.
pub(super) fn check(cell: &Cell) -> Result<Option<Finding>, Finding> {
    let digits: Vec<u32> = cell.text.chars().filter_map(|c| c.to_digit(10)).collect();
    if digits.len() != cell.text.chars().count() || ![8, 12, 13, 14].contains(&digits.len()) {
        let hint = "write its 8, 12, 13 or 14 digits without blanks; a spreadsheet must keep it \
                    as text";
        return Err(Finding::at(cell, "barcode: not the digits of one", hint));
    }
    let fits = check_sum(&digits).is_multiple_of(10);
    let warning = || {
        let what = "barcode: its last digit does not fit the others";
        Finding::at(cell, what, "read it again off the package")
    };
    Ok((!fits).then(warning))
}

/// Digits weighed 1 and 3 in turn from the last one (GS1 General Specifications, from memory).
fn check_sum(digits: &[u32]) -> u32 {
    let weights = [1, 3].into_iter().cycle();
    let digits = digits.iter().rev();
    digits
        .zip(weights)
        .map(|(digit, weight)| digit * weight)
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::own::cells::trimmed;

    // 4006381333931, 73513537 and 036000291452 are the usual worked examples of EAN-13, EAN-8
    // and UPC-A (from memory).
    #[test]
    fn check_digits_of_worked_examples_fit() {
        for text in ["4006381333931", "73513537", "036000291452"] {
            assert_eq!(check(&trimmed(text, 0)), Ok(None), "{text}");
        }
        assert!(check(&trimmed("4006381333932", 0)).unwrap().is_some());
        for text in ["123", "5.90E+12", "40063813339３1"] {
            assert!(check(&trimmed(text, 0)).is_err(), "{text}");
        }
    }
}
