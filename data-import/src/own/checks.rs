//! Figures that cannot be, or hardly: most likely a slip in copying, or in the unit.
//!
//! A check looks at the figures as the label rounds them, at the label's own basis; the widths
//! leave room for that rounding.

use super::basis::Basis;
use super::columns::{CARBOHYDRATE, SALT, TOTAL_CARBOHYDRATE};
use super::compose::{Figure, Label, SALT_PER_SODIUM};
use super::finding::Finding;
use super::remarks::{short, unit_of};
use crate::nutrient::NutrientId as N;

/// Three figures rounded to the gram may be half a gram too large each.
const ROUNDED_GRAMS: f64 = 1.5;
/// What rounding may do to the energy of a small serving: half a gram of protein and of
/// carbohydrate, a quarter of a gram of fat, five kcal of the total (21 CFR 101.9(c), 2016).
const ROUNDED_KCAL: f64 = 12.0;
/// How far the energy of a food may be from its declared one: 21 CFR 101.9(g)(5), from memory.
pub const ENERGY_SHARE: f64 = 0.2;
/// Sodium in salt: 22.99 / 58.44 of its mass.
const SODIUM_IN_SALT: f64 = 22.99 / 58.44;
/// More than this many Daily Values in 100 g is worth a second look (judgement).
const MANY_DAILY_VALUES: f64 = 10.0;

/// Everything that is odd about a label.
pub(super) fn checks(label: &Label<'_>, basis: &Basis) -> Vec<Finding> {
    let findings = [
        weight(label, basis),
        energy_of_parts(label),
        energy_of_fat(label, basis),
        salt_and_sodium(label),
        sodium_in_salt(label, basis),
        part_of_whole(label, "saturated", "fat"),
        part_of_whole(label, "sugars", CARBOHYDRATE),
        part_of_whole(label, "sugars", TOTAL_CARBOHYDRATE),
        part_of_whole(label, "fibre", TOTAL_CARBOHYDRATE),
    ];
    findings
        .into_iter()
        .flatten()
        .chain(doses(label, basis))
        .collect()
}

/// The parts weigh no more than the whole.
fn weight(label: &Label<'_>, basis: &Basis) -> Option<Finding> {
    let mut parts = ["protein", "fat", CARBOHYDRATE, TOTAL_CARBOHYDRATE, SALT]
        .map(|column| label.figure(column))
        .to_vec();
    // Where carbohydrate counts the fibre in, it is not counted again.
    parts.push(
        label
            .figure("fibre")
            .filter(|_| label.figure(CARBOHYDRATE).is_some()),
    );
    let parts: Vec<_> = parts.into_iter().flatten().collect();
    // Salt is kept in mg of the nutrient's unit.
    let grams = |figure: &&Figure<'_>| match figure.label.column.as_str() {
        SALT => figure.amount / 1000.0,
        _ => figure.amount,
    };
    let sum: f64 = parts.iter().map(grams).sum();
    let largest = parts.iter().max_by(|a, b| grams(a).total_cmp(&grams(b)))?;
    (sum > basis.grams + ROUNDED_GRAMS).then(|| {
        let names: Vec<_> = parts
            .iter()
            .map(|figure| figure.label.column.as_str())
            .collect();
        let what = format!(
            "{} weigh {} g in {} g of food",
            names.join(" + "),
            short(sum),
            short(basis.grams)
        );
        Finding::at(
            largest.cell,
            what,
            "is “per” right, and is every figure in its column?",
        )
    })
}

/// Energy is about 4 kcal per g protein and carbohydrate, 9 per g fat and 2 per g fibre:
/// Regulation (EU) No 1169/2011, Annex XIV (from memory); 21 CFR 101.9(c)(1) counts 4, 4 and 9.
fn energy_of_parts(label: &Label<'_>) -> Option<Finding> {
    let energy = label.figure("energy")?;
    let fibre = label.amount("fibre").unwrap_or(0.0);
    let available = match label.amount(CARBOHYDRATE) {
        Some(available) => available,
        None => (label.amount(TOTAL_CARBOHYDRATE)? - fibre).max(0.0),
    };
    let lean = label.amount("protein")? + available;
    let parts = 4.0 * lean + 9.0 * label.amount("fat")? + 2.0 * fibre;
    let declared = energy.amount;
    let room = ROUNDED_KCAL.max(ENERGY_SHARE * declared.max(parts));
    ((declared - parts).abs() > room).then(|| {
        let what = format!(
            "energy: {} kcal declared, but protein, fat, carbohydrate and fibre make {} kcal",
            short(declared),
            short(parts)
        );
        let looks_like_kilojoule = (3.3..5.2).contains(&(declared / parts));
        let hint = if looks_like_kilojoule {
            "counted at 4, 9, 4 and 2 kcal per g (EU 1169/2011, Annex XIV; 21 CFR 101.9): is it kJ?"
        } else {
            "counted at 4, 9, 4 and 2 kcal per g (EU 1169/2011, Annex XIV; 21 CFR 101.9): is a \
             figure in the wrong column?"
        };
        Finding::at(energy.cell, what, hint)
    })
}

/// Nothing has more energy than fat.
fn energy_of_fat(label: &Label<'_>, basis: &Basis) -> Option<Finding> {
    let energy = label.figure("energy")?;
    let most = 9.0 * basis.grams;
    (energy.amount > most + ROUNDED_KCAL).then(|| {
        let what = format!(
            "energy: {} kcal in {} g is more than pure fat has, {} kcal",
            short(energy.amount),
            short(basis.grams),
            short(most)
        );
        Finding::at(energy.cell, what, "is it kJ, or is “per” another amount?")
    })
}

/// Salt is sodium x 2.5, up to the rounding of both.
fn salt_and_sodium(label: &Label<'_>) -> Option<Finding> {
    let (salt, sodium) = (label.figure(SALT)?, label.figure("sodium")?);
    let as_salt = sodium.amount * SALT_PER_SODIUM;
    let room = 25.0_f64.max(0.1 * as_salt);
    ((salt.amount - as_salt).abs() > room).then(|| {
        let what = format!(
            "salt: {} is not {} of sodium x {SALT_PER_SODIUM}, which is {} g",
            salt.cell.text,
            sodium.cell.text,
            short(as_salt / 1000.0)
        );
        Finding::at(
            salt.cell,
            what,
            "one of the two is enough; sodium is counted",
        )
    })
}

/// Nothing has more sodium than salt.
fn sodium_in_salt(label: &Label<'_>, basis: &Basis) -> Option<Finding> {
    let sodium = label.figure("sodium")?;
    let most = 1000.0 * basis.grams * SODIUM_IN_SALT;
    (sodium.amount > most * 1.02).then(|| {
        let what = format!(
            "sodium: {} in {} g is more than salt itself has",
            sodium.cell.text,
            short(basis.grams)
        );
        Finding::at(sodium.cell, what, "is it mg?")
    })
}

fn part_of_whole(label: &Label<'_>, part: &str, whole: &str) -> Option<Finding> {
    let (part, whole) = (label.figure(part)?, label.figure(whole)?);
    // Figures that are rounded alike keep their order.
    (part.amount > whole.amount * 1.000_001).then(|| {
        let what = format!(
            "{}: {} is more than {} of {}, of which it is a part",
            part.label.column, part.cell.text, whole.cell.text, whole.label.column
        );
        Finding::at(part.cell, what, "are the two in the wrong columns?")
    })
}

/// Vitamins and minerals by the dose: a unit is easily taken for another.
fn doses<'a>(label: &'a Label<'_>, basis: &'a Basis) -> impl Iterator<Item = Finding> + 'a {
    let dose =
        move |figure: &Figure<'_>| {
            let daily = figure.label.largest_daily_value()?;
            // A Daily Value counts the nutrient of the column, not another form of it.
            let same = Some(figure.id) == figure.label.number || figure.id == N::FOLATE_DFE;
            let per_100g = figure.amount / basis.grams * 100.0;
            (same && per_100g > MANY_DAILY_VALUES * daily).then(|| {
            let unit = unit_of(figure.id);
            let what = format!(
                "{}: {} {unit} in 100 g is more than ten times what a small child's label calls \
                 a day's worth, {daily} {unit}",
                figure.label.column,
                short(per_100g)
            );
            Finding::at(figure.cell, what, "is the unit right: g, mg or µg? is “per” right?")
        })
        };
    label.figures.iter().filter_map(dose)
}
