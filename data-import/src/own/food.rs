//! An own food, and a file of them.

use super::barcode;
use super::basis::{Basis, basis};
use super::cells::{Cell, lines};
use super::checks::checks;
use super::columns::{BARCODE, GROUP, ID, MAKER, NAME};
use super::compose::{Label, composition, label};
use super::entry::{self, Entry, Header};
use super::finding::Finding;
use crate::error::Error;
use crate::food::{Food, FoodId};
use crate::group::{group_code, group_names};

/// The group of an own food that names none; no rule about groups knows it.
const UNGROUPED: &str = "own food";
/// The longest name there may be; the longest of USDA SR28 has 200 characters.
const LONGEST_NAME: usize = 200;

/// A remark on how a label was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// The remark in words.
    pub text: String,
    /// Whether something was assumed that the label does not say.
    pub assumed: bool,
}

impl Remark {
    pub(super) fn plain(text: String) -> Self {
        let assumed = false;
        Self { text, assumed }
    }

    pub(super) fn assumed(text: String) -> Self {
        let assumed = true;
        Self { text, assumed }
    }
}

/// A food as its label describes it.
#[derive(Debug, Clone, PartialEq)]
pub struct LabelFood {
    /// The food; its source names the file and the line.
    pub food: Food,
    /// What the declared figures hold for: `100 g`, `serving of 15 g`.
    pub per: String,
    /// Digits of its barcode.
    pub barcode: Option<String>,
    /// How its figures were worked out.
    pub remarks: Vec<Remark>,
    /// What is odd about it.
    pub warnings: Vec<Finding>,
    line: usize,
}

/// The own foods of one file, in its order.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct OwnFoods(Vec<LabelFood>);

impl OwnFoods {
    /// Reads a file of own foods. `file` is its name in the source of each food.
    ///
    /// Errors: a table of the program does not read; or everything that is wrong with the text.
    pub fn read(file: &str, text: &str) -> Result<Result<Self, Vec<Finding>>, Error> {
        let mut lines = lines(text);
        let Some(first) = lines.next() else {
            return Ok(Ok(Self::default()));
        };
        let header: Header = match entry::header(text, &first)? {
            Ok(header) => header,
            Err(findings) => return Ok(Err(findings)),
        };
        let (mut foods, mut findings) = (Self::default(), Vec::new());
        for line in lines {
            let entry = match entry::row(text, &line, &header) {
                Ok(None) => continue,
                Ok(Some(entry)) => entry,
                Err(wrong) => {
                    findings.extend(wrong);
                    continue;
                }
            };
            match food(&entry, file, line.number)? {
                Ok(food) => match foods.clash(&food.food.id, &entry) {
                    None => foods.0.push(food),
                    Some(finding) => findings.push(finding),
                },
                Err(wrong) => findings.extend(wrong),
            }
        }
        Ok(if findings.is_empty() {
            Ok(foods)
        } else {
            Err(findings)
        })
    }

    /// The food with this id.
    pub fn get(&self, id: &FoodId) -> Option<&LabelFood> {
        self.0.iter().find(|own| own.food.id == *id)
    }

    /// All of them, in the order of the file.
    pub fn iter(&self) -> impl Iterator<Item = &LabelFood> {
        self.0.iter()
    }

    /// What is wrong with an entry whose id is taken.
    pub(super) fn clash(&self, id: &FoodId, entry: &Entry) -> Option<Finding> {
        let line = self.get(id)?.line;
        let what = format!("{id} is there already, on line {line}");
        let hint = "choose another id, or correct that line";
        Some(match entry.cell(ID) {
            Some(cell) => Finding::at(cell, what, hint),
            None => Finding::new(entry.span.clone(), what, hint),
        })
    }
}

/// The food of an entry. Errors: everything that is wrong with it.
pub(super) fn food(
    entry: &Entry,
    file: &str,
    line: usize,
) -> Result<Result<LabelFood, Vec<Finding>>, Error> {
    let mut findings = Vec::new();
    let id = id(entry).map_err(|finding| findings.push(finding)).ok();
    let name = name(entry).map_err(|finding| findings.push(finding)).ok();
    let group = group(entry).map_err(|finding| findings.push(finding)).ok();
    let barcode = entry.cell(BARCODE).map_or(Ok(None), barcode::check);
    let barcode = barcode.map_err(|finding| findings.push(finding)).ok();
    let basis = basis(entry).map_err(|wrong| findings.extend(wrong)).ok();
    let label = label(entry)?.map_err(|wrong| findings.extend(wrong)).ok();
    let (Some(id), Some(name), Some(group), Some(basis), Some(label), true) =
        (id, name, group, basis, label, findings.is_empty())
    else {
        findings.sort_by_key(|finding| finding.span.start);
        return Ok(Err(findings));
    };
    let warnings = warnings(entry, &label, &basis);
    let warnings = warnings.into_iter().chain(barcode.flatten());
    let food = Food {
        id,
        name,
        common_names: String::new(),
        manufacturer: text(entry, MAKER).unwrap_or_default(),
        scientific_name: String::new(),
        group,
        refuse_percent: None,
        refuse_description: String::new(),
        energy_factors: None,
        nitrogen_factor: None,
        composition: composition(&label, &basis),
        basis: crate::food::Basis::Grams,
        serving: None,
        gtin: text(entry, BARCODE).unwrap_or_default(),
        measures: basis.measures.clone(),
        source: format!("own food, from its label ({file}:{line})"),
    };
    Ok(Ok(LabelFood {
        food,
        barcode: text(entry, BARCODE),
        warnings: warnings.collect(),
        remarks: density_remark(&basis)
            .into_iter()
            .chain(label.remarks)
            .collect(),
        per: basis.per,
        line,
    }))
}

/// Everything that is odd about an entry but its barcode, in the order of the text.
fn warnings(entry: &Entry, label: &Label<'_>, basis: &Basis) -> Vec<Finding> {
    let mut warnings = checks(label, basis);
    warnings.extend(density_warning(basis));
    warnings.extend(nothing_declared(entry, label));
    warnings.sort_by_key(|finding| finding.span.start);
    warnings
}

fn text(entry: &Entry, column: &str) -> Option<String> {
    entry.cell(column).map(|cell| cell.text.clone())
}

fn id(entry: &Entry) -> Result<FoodId, Finding> {
    let hint = "an own food is named by own- and a name in a-z, 0-9 and -, such as own-oat-cereal";
    let Some(cell) = entry.cell(ID) else {
        return Err(Finding::new(
            entry.span.clone(),
            "this food has no “id”",
            hint,
        ));
    };
    match cell.text.parse::<FoodId>() {
        Ok(id) if id.is_own() => Ok(id),
        _ => {
            let what = format!("“{}” is not the id of an own food", cell.text);
            Err(Finding::at(cell, what, hint))
        }
    }
}

fn name(entry: &Entry) -> Result<String, Finding> {
    let Some(cell) = entry.cell(NAME) else {
        let hint = "name it as you would look for it; cautions go by the name";
        return Err(Finding::new(
            entry.span.clone(),
            "this food has no “name”",
            hint,
        ));
    };
    if cell.text.chars().count() > LONGEST_NAME {
        return Err(Finding::at(
            cell,
            "this name is too long",
            "the longest has 200 characters",
        ));
    }
    Ok(cell.text.clone())
}

/// The code of the group that is named.
fn group(entry: &Entry) -> Result<String, Finding> {
    let Some(cell) = entry.cell(GROUP) else {
        return Ok(UNGROUPED.to_owned());
    };
    group_code(&cell.text).map(str::to_owned).ok_or_else(|| {
        let what = format!("“{}” is not a food group", cell.text);
        Finding::unknown(cell, what, group_names())
    })
}

fn density_warning(basis: &Basis) -> Option<Finding> {
    let span = basis.assumed.clone()?;
    let hint = "weigh 100 ml of it and write its density: 103 g make density = 1.03 g/ml";
    let what = "the density is not known: 1 ml is taken as 1 g";
    Some(Finding::new(span, what, hint))
}

fn density_remark(basis: &Basis) -> Option<Remark> {
    basis.assumed.as_ref()?;
    let text = "its density is not known: 1 ml is taken as 1 g".to_owned();
    Some(Remark::assumed(text))
}

fn nothing_declared(entry: &Entry, label: &Label<'_>) -> Option<Finding> {
    let cell: Option<&Cell> = entry.cell(NAME);
    let cell = cell.filter(|_| label.figures.is_empty())?;
    let hint = "write what the label says, such as iron = 7.5 mg; without it all is missing";
    Some(Finding::at(cell, "no figure is given for this food", hint))
}
