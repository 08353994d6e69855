//! Numbers as they are shown; nothing is rounded before it gets here.

use data_import::{Nutrient, NutrientId, nutrients};

use crate::nutrition::Total;
use crate::quantity::{Mass, Volume};

/// A number with a fixed count of decimals; a tiny negative zero is shown as zero.
pub fn decimals(value: f64, places: u8) -> String {
    let text = format!("{value:.0$}", usize::from(places));
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_string(),
        _ => text,
    }
}

/// A number beside a limit: with more decimals where the rounded figure would stand on the other side of it, or on it.
pub(super) fn decimals_beside(value: f64, limit: f64, places: u8) -> String {
    const MOST: u8 = 6;
    let tells = |text: &String| {
        let shown: f64 = text.parse().unwrap_or(value);
        shown.total_cmp(&limit) == value.total_cmp(&limit)
    };
    let mut texts = (places..=MOST).map(|places| decimals(value, places));
    texts.find(tells).unwrap_or_else(|| decimals(value, MOST))
}

/// A percentage beside a limit, as [`decimals_beside`] writes it.
pub(super) fn percent_beside(value: f64, limit: f64) -> String {
    let places = u8::from(value < 9.95);
    format!("{} %", decimals_beside(value, limit, places))
}

/// A share of a reference intake: `7.6 %`, `120 %`.
pub fn percent(value: f64) -> String {
    format!("{} %", decimals(value, u8::from(value < 9.95)))
}

/// A figure in proportion to an amount: of an amount that is a lower bound it is one too, and never more than it is.
pub(super) fn bounded(value: f64, places: u8, complete: bool) -> String {
    if complete {
        decimals(value, places)
    } else {
        format!("{}{}", bound(complete), decimals_down(value, places))
    }
}

/// A share of an amount: `7.6 %`, `>= 7.6 %` of a lower bound.
pub(super) fn bounded_percent(value: f64, complete: bool) -> String {
    if complete {
        percent(value)
    } else {
        format!("{} %", bounded(value, u8::from(value < 10.0), complete))
    }
}

/// A number rounded down, with more decimals where it would lose too much by that.
fn decimals_down(value: f64, places: u8) -> String {
    const MOST: u8 = 6;
    const MOST_LOST: f64 = 0.1;
    let floor = |places: u8| {
        let unit = 10_f64.powi(i32::from(places));
        // A quotient without remainder must not lose its last digit.
        (value * unit + 1e-9).floor() / unit
    };
    let fine = |places: &u8| floor(*places) >= (1.0 - MOST_LOST) * value;
    let places = (places..MOST).find(fine).unwrap_or(MOST);
    decimals(floor(places), places)
}

/// A mass in grams and in pounds and ounces: `804 g (1 lb 12.4 oz)`.
pub fn kitchen_mass(mass: Mass) -> String {
    let tenths = (mass.ounces() * 10.0).round() / 10.0;
    let pounds = (tenths / 16.0).floor();
    let ounces = tenths - pounds * 16.0;
    let us = if pounds > 0.0 {
        format!("{pounds} lb {ounces:.1} oz")
    } else {
        format!("{ounces:.1} oz")
    };
    format!("{} g ({us})", decimals(mass.grams(), 0))
}

/// A volume in millilitres and in US fluid ounces, unbroken: `240 ml (8.1 fl oz)`.
pub(super) fn kitchen_volume(volume: Volume) -> String {
    unbroken(&format!(
        "{} ml ({} fl oz)",
        decimals(volume.millilitres(), 0),
        decimals(volume.fluid_ounces(), 1)
    ))
}

/// A mass in whole grams, unbroken.
pub(super) fn whole_grams(mass: Mass) -> String {
    unbroken(&format!("{} g", decimals(mass.grams(), 0)))
}

/// A quantity that is not broken between its number and its unit, at most before a bracket.
pub(super) fn unbroken(quantity: &str) -> String {
    quantity.replace(' ', "\u{a0}").replace("\u{a0}(", " (")
}

/// A number without trailing zeros after the point: `0.5`, `12`.
pub(super) fn trimmed(value: f64, places: u8) -> String {
    let text = decimals(value, places);
    if places == 0 {
        return text;
    }
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// The sign before a figure that is a lower bound.
pub(super) fn bound(complete: bool) -> &'static str {
    if complete { "" } else { ">= " }
}

/// A figure in words; where there is none, that it is not known.
pub(super) fn or_not_known(figure: Option<String>) -> String {
    figure.unwrap_or_else(|| "not known".into())
}

/// An amount of a nutrient without its unit; `None` where nothing is known. Small amounts get the digits that
/// distinguish them from zero.
pub(super) fn figure(value: Option<f64>, complete: bool, nutrient: &Nutrient) -> Option<String> {
    // A lower bound of zero carries no information.
    let value = value.filter(|value| complete || *value > 0.0)?;
    let places = nutrient.decimals;
    let shown = decimals(value, places);
    let vanished = value > 0.0 && shown.chars().all(|c| matches!(c, '0' | '.'));
    let shown = if vanished {
        decimals(value, places + 2)
    } else {
        shown
    };
    Some(format!("{}{shown}", bound(complete)))
}

/// An amount of a nutrient with its unit: `0.83 mg`, `>= 0.83 mg` for a lower bound, `not known`
/// where nothing is known.
pub fn amount(value: Option<f64>, complete: bool, nutrient: &Nutrient) -> String {
    let figure = figure(value, complete, nutrient);
    or_not_known(figure.map(|figure| format!("{figure} {}", nutrient.unit)))
}

/// An amount in a sentence, unbroken: `0.83 mg`, `at least 0.83 mg` for a lower bound.
pub(super) fn amount_in_words(value: Option<f64>, complete: bool, nutrient: &Nutrient) -> String {
    match value.filter(|value| complete || *value > 0.0) {
        Some(value) => {
            let bound = if complete { "" } else { "at least " };
            format!("{bound}{}", unbroken(&amount(Some(value), true, nutrient)))
        }
        None => amount(None, complete, nutrient),
    }
}

/// The nutrient of a number; `None` for one that no batch adds up.
pub(super) fn nutrient(id: NutrientId) -> Option<&'static Nutrient> {
    nutrients().ok()?.iter().find(|one| one.id == id)
}

/// The amount of a total, by the number of its nutrient.
pub fn amount_of(total: &Total, id: NutrientId) -> String {
    let nutrient = nutrient(id);
    or_not_known(nutrient.map(|nutrient| amount(total.known, total.complete(), nutrient)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn masses_are_shown_in_both_systems() {
        assert_eq!(
            kitchen_mass(Mass::from_grams(804.0)),
            "804 g (1 lb 12.4 oz)"
        );
        assert_eq!(kitchen_mass(Mass::from_grams(100.0)), "100 g (3.5 oz)");
        assert_eq!(
            kitchen_mass(Mass::from_grams(453.59)),
            "454 g (1 lb 0.0 oz)"
        );
    }

    #[test]
    fn a_figure_never_contradicts_the_word_beside_it() {
        assert_eq!(decimals_beside(0.597, 0.6, 2), "0.597");
        assert_eq!(decimals_beside(0.78, 0.6, 2), "0.78");
        assert_eq!(decimals_beside(0.6, 0.6, 2), "0.60");
        assert_eq!(percent_beside(100.3, 100.0), "100.3 %");
        assert_eq!(percent_beside(123.4, 100.0), "123 %");
    }

    #[test]
    fn shares_keep_a_digit_while_they_are_small() {
        assert_eq!(percent(7.56), "7.6 %");
        assert_eq!(percent(9.96), "10 %");
        assert_eq!(percent(123.4), "123 %");
    }

    #[test]
    fn the_share_of_a_lower_bound_is_rounded_down() {
        let shares = [11.8, 9.97, 7.6, 0.49, 100.0, 0.0].map(|share| bounded_percent(share, false));
        let shown = ["11", "9.9", "7.6", "0.49", "100", "0.0"].map(|share| format!(">= {share} %"));
        assert_eq!(shares, shown);
        assert_eq!(bounded_percent(11.8, true), "12 %");
        assert_eq!(bounded(0.158, 2, false), ">= 0.15");
    }

    #[test]
    fn a_lower_bound_is_shown_like_its_parts() {
        let energy = nutrient(NutrientId::ENERGY).unwrap();
        assert_eq!(amount(Some(157.7), false, energy), ">= 158 kcal");
        let words = |value, complete| amount_in_words(value, complete, energy);
        assert_eq!(words(Some(157.7), false), "at least 158\u{a0}kcal");
        assert_eq!(words(Some(157.7), true), "158\u{a0}kcal");
        assert_eq!(words(Some(0.0), false), "not known");
        assert_eq!(words(Some(0.0), true), "0\u{a0}kcal");
        assert_eq!(words(None, true), "not known");
    }

    #[test]
    fn zero_has_no_sign() {
        assert_eq!(decimals(-0.000_1, 2), "0.00");
        assert_eq!(decimals(-0.5, 1), "-0.5");
    }
}
