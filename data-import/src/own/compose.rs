//! From the figures of a label to a composition per 100 g.
//!
//! Only what is declared is taken; the rest stays missing. What is worked out from a declared
//! figure is stated in a remark.

use super::basis::Basis;
use super::cells::Cell;
use super::columns::{
    CARBOHYDRATE, DAILY_VALUES, DailyValues, LabelNutrient, SALT, TOTAL_CARBOHYDRATE,
    label_nutrients,
};
use super::declared::{Declared, LabelUnit};
use super::entry::Entry;
use super::finding::Finding;
use super::food::Remark;
use super::remarks::remarks;
use crate::error::Error;
use crate::food::Composition;
use crate::nutrient::{NutrientId as N, nutrient};

/// Salt = sodium x 2.5: Regulation (EU) No 1169/2011, Annex I, point 11 (from memory).
pub const SALT_PER_SODIUM: f64 = 2.5;
/// 1 µg vitamin D is 40 IU (USDA SR28 documentation).
const IU_PER_MICROGRAM_OF_VITAMIN_D: f64 = 40.0;

/// One declared figure, at the label's own basis.
#[derive(Debug)]
pub(super) struct Figure<'a> {
    pub(super) label: &'static LabelNutrient,
    pub(super) cell: &'a Cell,
    pub(super) id: N,
    /// In the nutrient's unit.
    pub(super) amount: f64,
    pub(super) declared: Declared,
}

/// What a label declares, as read.
#[derive(Debug, Default)]
pub(super) struct Label<'a> {
    pub(super) figures: Vec<Figure<'a>>,
    pub(super) remarks: Vec<Remark>,
}

impl Label<'_> {
    /// The figure in a column.
    pub(super) fn figure(&self, column: &str) -> Option<&Figure<'_>> {
        self.figures
            .iter()
            .find(|figure| figure.label.column == column)
    }

    /// The amount in a column, in the nutrient's unit, at the label's basis.
    pub(super) fn amount(&self, column: &str) -> Option<f64> {
        self.figure(column).map(|figure| figure.amount)
    }
}

/// Reads every declared figure.
pub(super) fn label(entry: &Entry) -> Result<Result<Label<'_>, Vec<Finding>>, Error> {
    let mut findings = Vec::new();
    let mut label = Label::default();
    let who = entry.cell(DAILY_VALUES).map(daily_values).transpose();
    let who = who.unwrap_or_else(|finding| {
        findings.push(finding);
        // Percentages are then read for the sake of the other findings in them.
        Some(DailyValues::Infants)
    });
    if let (Some(_), Some(cell)) = (entry.cell(CARBOHYDRATE), entry.cell(TOTAL_CARBOHYDRATE)) {
        let hint = "“total-carbohydrate” counts the fibre in (American labels), “carbohydrate” \
                    does not (European): write the one the label has";
        findings.push(Finding::at(cell, "carbohydrate is there twice", hint));
    }
    for row in label_nutrients()? {
        let (Some(cell), Some(number)) = (entry.cell(&row.column), row.number) else {
            continue;
        };
        let declared = match Declared::read(cell) {
            Ok(declared) => declared,
            Err(finding) => {
                findings.push(finding.about(&row.column));
                continue;
            }
        };
        match counted(row, number, &declared, who, cell)? {
            Ok(_) if declared.less_than => label.remarks.push(Remark::plain(format!(
                "{}: the label says {}, so it stays missing",
                row.column, cell.text
            ))),
            Ok((id, amount)) => label.figures.push(Figure {
                label: row,
                cell,
                id,
                amount,
                declared,
            }),
            Err(finding) => findings.push(finding),
        }
    }
    Ok(if findings.is_empty() {
        let remarks = remarks(&label, who);
        label.remarks.extend(remarks);
        Ok(label)
    } else {
        Err(findings)
    })
}

fn daily_values(cell: &Cell) -> Result<DailyValues, Finding> {
    match cell.text.to_lowercase().as_str() {
        "infants" => Ok(DailyValues::Infants),
        "1-3 years" | "1\u{2013}3 years" => Ok(DailyValues::Children),
        other => Err(Finding::unknown(
            cell,
            format!("the Daily Values for “{other}” are not known here"),
            ["infants", "1-3 years"],
        )),
    }
}

/// Which nutrient a figure counts, and how much of it there is in that nutrient's unit.
fn counted(
    row: &'static LabelNutrient,
    number: N,
    declared: &Declared,
    who: Option<DailyValues>,
    cell: &Cell,
) -> Result<Result<(N, f64), Finding>, Error> {
    let name = &row.column;
    let id = match (declared.unit, declared.kind.as_str()) {
        (LabelUnit::Percent, "" | "DV") => {
            let daily = percentage(row, who, cell);
            let id = row.counted_as("%").unwrap_or(number);
            return Ok(daily.map(|daily| (id, declared.number / 100.0 * daily)));
        }
        (LabelUnit::International, "") => row.counted_as("IU"),
        (_, "") => Some(number),
        (_, kind) => row.counted_as(kind),
    };
    let unit = |id| Ok::<_, Error>(nutrient(id)?.map_or("", |nutrient| nutrient.unit.as_str()));
    if let Some(id) = id
        && let Some(size) = declared.unit.in_unit(unit(id)?)
    {
        return Ok(Ok((id, declared.number * size)));
    }
    let hint = format!("write {name} in {}, as the label does", unit(number)?);
    let what = format!("“{}” is not an amount of {name}", cell.text);
    Ok(Err(Finding::at(cell, what, &hint)))
}

/// The Daily Value that a percentage is one of.
fn percentage(row: &LabelNutrient, who: Option<DailyValues>, cell: &Cell) -> Result<f64, Finding> {
    let Some(who) = who else {
        let hint = "write the amount if the label has it; else daily-values = infants or \
                    1-3 years, whichever the label is for";
        return Err(Finding::at(
            cell,
            "a percentage of which Daily Value?",
            hint,
        ));
    };
    row.daily_value(who).ok_or_else(|| {
        let what = format!("a percentage of {} gives no amount here", row.column);
        Finding::at(cell, what, "write the amount that stands on the label")
    })
}

/// The composition per 100 g.
pub(super) fn composition(label: &Label<'_>, basis: &Basis) -> Composition {
    let mut food = Composition::new();
    let mut set = |id, amount: f64| food.insert(id, amount * 100.0 / basis.grams);
    for figure in &label.figures {
        let amount = figure.amount;
        match figure.label.column.as_str() {
            SALT if label.figure("sodium").is_some() => {}
            SALT => drop(set(N::SODIUM, amount / SALT_PER_SODIUM)),
            CARBOHYDRATE => {
                if let Some(fibre) = label.amount("fibre") {
                    set(N::CARBOHYDRATE, amount + fibre);
                }
            }
            _ => drop(set(figure.id, amount)),
        }
        if figure.id == N::VITAMIN_D {
            set(N::VITAMIN_D_IU, amount * IU_PER_MICROGRAM_OF_VITAMIN_D);
        } else if figure.id == N::VITAMIN_D_IU {
            set(N::VITAMIN_D, amount / IU_PER_MICROGRAM_OF_VITAMIN_D);
        }
    }
    food
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::own::basis::basis;
    use crate::own::entry::of_pairs;

    /// The amount of a nutrient per 100 g of an entry.
    fn per_100g(text: &str, id: N) -> Option<f64> {
        let entry = of_pairs(text).unwrap().unwrap();
        let label = label(&entry).unwrap().unwrap();
        composition(&label, &basis(&entry).unwrap()).get(id)
    }

    // 21 CFR 101.9(c)(8)(iv), from memory: iron 11 and 7 mg, folate 80 µg DFE; SR28 documentation:
    // 4.184 kJ a kcal, 40 IU a µg vitamin D; Regulation (EU) No 1169/2011, from memory: salt =
    // sodium x 2.5, where the masses of the atoms give 58.44 / 22.99 = 2.54.
    #[test]
    fn figures_turn_into_the_units_of_nutrients_per_100_g() {
        for (text, id, amount) in [
            ("per=100 g; energy=418.4 kJ", N::ENERGY, 100.0),
            ("per=50 g; energy=60 kcal", N::ENERGY, 120.0),
            ("per=100 g; salt=1 g", N::SODIUM, 400.0),
            ("per=100 g; salt=1 g; sodium=0.41 g", N::SODIUM, 410.0),
            ("per=100 g; salt=1 g; sodium=<0.5 g", N::SODIUM, 400.0),
            ("per=serving; serving=15 g; iron=6.75 mg", N::IRON, 45.0),
            ("per=15 g; iron=45%DV; daily-values=infants", N::IRON, 33.0),
            ("per=100 g; iron=50 %; daily-values=1-3 years", N::IRON, 3.5),
            (
                "per=100 g; folate=25 %; daily-values=infants",
                N::FOLATE_DFE,
                20.0,
            ),
            ("per=100 g; folate=30 mcg DFE", N::FOLATE_DFE, 30.0),
            ("per=100 g; folate=30 mcg", N::FOLATE, 30.0),
            ("per=100 g; vitamin d=400 IU", N::VITAMIN_D, 10.0),
            ("per=100 g; vitamin d=10 µg", N::VITAMIN_D_IU, 400.0),
            ("per=100 g; vitamin a=500 IU", N::VITAMIN_A_IU, 500.0),
            ("per=100 ml; density=1.25 g/ml; zinc=1 mg", N::ZINC, 0.8),
            (
                "per=100 g; carbohydrate=60 g; fibre=5 g",
                N::CARBOHYDRATE,
                65.0,
            ),
            (
                "per=100 g; total carbohydrate=60 g; fibre=5 g",
                N::CARBOHYDRATE,
                60.0,
            ),
        ] {
            let found = per_100g(text, id).unwrap();
            assert!((found - amount).abs() < 1e-9, "{text}: {found}");
        }
    }

    #[test]
    fn what_the_label_does_not_say_stays_missing() {
        for (text, id) in [
            ("per=100 g; fat=<0.5 g", N::FAT),
            ("per=100 g; carbohydrate=60 g", N::CARBOHYDRATE),
            ("per=100 g; carbohydrate=60 g; fibre=<1 g", N::CARBOHYDRATE),
            ("per=100 g; vitamin a=500 IU", N::VITAMIN_A_RAE),
            ("per=100 g; folate=30 mcg DFE", N::FOLATE),
            ("per=100 g; fat=1 g", N::SATURATED_FAT),
        ] {
            assert_eq!(per_100g(text, id), None, "{text}");
        }
    }
}
