//! What an amount of a food weighs, by the household measures of the dataset.

use data_import::{Basis, Food, Measure};
use rust_decimal::Decimal;

use super::food::Chosen;
use super::phrase::{Phrase, SpokenAmount as Typed, SpokenUnit};
use super::pieces::{SMALLER, pieces};
use super::text::stems;
use super::unclear::Doubt;
use crate::cooking::FoodClass;
use crate::food::{described, mass_of, share_without_refuse, volume_measure};
use crate::portion::{Constituents, ROOM_CELSIUS};
use crate::quantity::{self, Amount, Mass};
use crate::words::joined;

/// An amount with its mass.
#[derive(Debug)]
pub(super) struct Weighed {
    /// As a recipe writes it.
    pub(super) amount: Amount,
    pub(super) mass: Mass,
    /// The measure or the density that it was worked out with.
    pub(super) by: Option<String>,
    /// Whether it is the mass of what is eaten, without peel and bone.
    pub(super) edible: bool,
}

/// The metric cup beside the US cup, in which the dataset measures: 250 ml beside 236.5882365 ml.
const METRIC_CUP: f64 = 250.0 / 236.588_236_5;

impl Weighed {
    /// The same number of metric cups, in grams; what is not a cup stays as it is.
    pub(super) fn by_metric_cup(self, phrase: &Phrase) -> Self {
        let typed = phrase.amount.as_ref().map(|typed| &typed.unit);
        let typed = matches!(typed, Some(SpokenUnit::Volume(unit)) if unit == "cup");
        let unit = self.amount.unit().split([' ', ',']).next();
        if !typed && unit.and_then(quantity::Unit::named) != quantity::Unit::named("cup") {
            return self;
        }
        let mass = self.mass * METRIC_CUP;
        let by = joined(
            self.by.iter().map(String::as_str).chain(["cups of 250 ml"]),
            ", ",
        );
        Self {
            amount: grams(mass).unwrap_or(self.amount),
            mass,
            by: Some(by),
            edible: self.edible,
        }
    }

    /// With what is peeled off and thrown away: a measure weighs what is eaten, and a shop sells all of it.
    pub(super) fn with_refuse(self, food: &Food) -> Self {
        let share = share_without_refuse(food);
        let by = match self.by {
            Some(by) if self.edible && share < 1.0 => by,
            by => return Self { by, ..self },
        };
        let mass = self.mass * (1.0 / share);
        Self {
            amount: grams(mass).unwrap_or(self.amount),
            mass,
            by: Some(format!(
                "{by} without its refuse of {:.0} %",
                100.0 * (1.0 - share)
            )),
            edible: false,
        }
    }
}

/// Classes of foods without air or gaps, whose density follows from what they are made of.
const SMOOTH: [&str; 8] = [
    "milk",
    "dairy-other",
    "infant-formula",
    "baby-foods",
    "juices",
    "beverages",
    "soups-sauces",
    "fats",
];
/// Classes of foods that are poured, of which an ounce may be one of mass or of volume.
const POURED: [&str; 5] = ["milk", "infant-formula", "juices", "beverages", "water"];
/// Measures of one weight, but for the rounding of the published grams, and of nearly one.
pub(super) const ALIKE: f64 = 1.02;
pub(super) const NEARLY: f64 = 1.35;
/// What the amount of a phrase weighs.
pub(super) fn weigh(phrase: &Phrase, chosen: &Chosen, class: &FoodClass) -> Result<Weighed, Doubt> {
    let food = &chosen.food;
    let unclear = || Doubt::of_amount(food, phrase.vague.clone());
    let poured = POURED.contains(&class.0.as_str());
    let ounces =
        matches!(&phrase.amount, Some(typed) if typed.unit == SpokenUnit::Mass("oz".into()));
    if ounces && poured {
        return Err(Doubt::Ounce(food.name.clone()));
    }
    if chosen.by_id
        && let Some(weighed) = as_written(phrase, chosen)
    {
        return Ok(weighed);
    }
    let Some(typed) = &phrase.amount else {
        return Err(unclear());
    };
    let bare = typed.unit == SpokenUnit::Pieces(None) && phrase.vague.is_some();
    if bare {
        return Err(unclear());
    }
    match &typed.unit {
        SpokenUnit::Mass(unit) => {
            let amount = amount(typed.number, unit)?;
            let mass = amount.mass().map_err(Doubt::from)?;
            Ok(Weighed {
                amount,
                mass,
                by: None,
                edible: chosen.beside.edible,
            })
        }
        SpokenUnit::Volume(unit) => volume(typed, unit, chosen, class)?.ok_or_else(unclear),
        SpokenUnit::Pieces(piece) => {
            let named = piece
                .as_deref()
                .map(|piece| piece.split('|').map(str::to_string).collect());
            let named = named.unwrap_or_else(|| chosen.beside.pieces.clone());
            pieces(typed, &named, chosen).ok_or_else(unclear)
        }
        // Cans come in many sizes; what is drained is weighed in those that the dataset names.
        SpokenUnit::Pack(pack)
            if pack == "can" && !stems(&food.name).iter().any(|word| word == "drained") =>
        {
            Err(Doubt::of_can(food))
        }
        SpokenUnit::Pack(pack) => {
            pieces(typed, std::slice::from_ref(pack), chosen).ok_or_else(unclear)
        }
    }
}

/// The measure of a food that is named by its id, written out as the dataset has it: `2 cup, cubes`.
fn as_written(phrase: &Phrase, chosen: &Chosen) -> Option<Weighed> {
    let text = phrase.measure_text(&chosen.beside.kept).into_iter();
    let whole = phrase.measure_text(&[]).into_iter().chain(text);
    whole
        .filter_map(|text| text.parse::<Amount>().ok())
        .find_map(|amount| {
            let resolved = mass_of(&amount, &chosen.food).ok()?;
            Some(Weighed {
                mass: resolved.mass,
                edible: chosen.beside.edible || resolved.measure.is_some(),
                by: None,
                amount,
            })
        })
}

pub(super) fn amount(number: Decimal, unit: &str) -> Result<Amount, Doubt> {
    format!("{number} {unit}").parse().map_err(Doubt::from)
}

/// A volume, by a measure of the food that is one, else by its label or its density.
fn volume(
    typed: &Typed,
    unit: &str,
    chosen: &Chosen,
    class: &FoodClass,
) -> Result<Option<Weighed>, Doubt> {
    let food = &chosen.food;
    let written = amount(typed.number, unit)?;
    let millilitres = written.volume().map_err(Doubt::from)?;
    if food.basis == Basis::Millilitres {
        return Ok(Some(Weighed {
            mass: millilitres.at_density(1.0),
            by: Some("100 ml, as on its label".into()),
            amount: written,
            edible: true,
        }));
    }
    let ready = food
        .measures
        .iter()
        .filter(|measure| is_fluid(measure) || !has_one(measure, &["yield".into()]));
    let volumes: Vec<(&Measure, f64)> = ready.filter_map(volume_measure).collect();
    let same: Vec<_> = volumes
        .iter()
        .copied()
        .filter(|(measure, _)| starts_with(measure, unit))
        .collect();
    let fitting = if same.is_empty() { volumes } else { same };
    if let Some((measure, density)) = usual_volume(&fitting, unit, chosen) {
        let mass = millilitres.at_density(density);
        return Ok(Some(measured(written, mass, measure, food)));
    }
    let density = Constituents::of(|id| food.composition.get(id))
        .and_then(|parts| parts.density(ROOM_CELSIUS));
    let density = density.filter(|_| fitting.is_empty() && SMOOTH.contains(&class.0.as_str()));
    Ok(density.map(|density| {
        let mass = millilitres.at_density(density);
        Weighed {
            amount: grams(mass).unwrap_or(written),
            mass,
            by: Some(format!(
                "{density:.2} g/ml by its composition (Choi and Okos 1986)"
            )),
            edible: true,
        }
    }))
}

/// The measure that is meant of several volumes: the one that is cut so, the plain one, or one of nearly one weight.
fn usual_volume<'a>(
    fitting: &[(&'a Measure, f64)],
    unit: &str,
    chosen: &Chosen,
) -> Option<(&'a Measure, f64)> {
    let with_one_of = |words: &[String]| -> Vec<_> {
        let all = fitting.iter().copied();
        all.filter(|(measure, _)| has_one(measure, words)).collect()
    };
    let stoned = with_one_of(&["without".into()]);
    if chosen.beside.edible && !stoned.is_empty() {
        return middle(stoned, |one| one.1, NEARLY);
    }
    for words in [&chosen.own_words(), &chosen.beside.cuts] {
        let named = with_one_of(words);
        if !named.is_empty() {
            return middle(named, |one| one.1, NEARLY);
        }
    }
    let plain = |unit: &str| {
        fitting
            .iter()
            .copied()
            .find(|(measure, _)| measure.unit.trim() == unit)
    };
    if let Some(plain) = [unit, "cup", "tbsp", "fl oz", "tsp"]
        .into_iter()
        .find_map(plain)
    {
        return Some(plain);
    }
    let mashed = [
        "mashed", "puree", "pureed", "juice", "pack", "packed", "whipped",
    ];
    let mashed = mashed.map(str::to_string);
    let whole: Vec<_> = fitting
        .iter()
        .copied()
        .filter(|(measure, _)| is_fluid(measure) || !has_one(measure, &mashed))
        .collect();
    middle(
        if whole.is_empty() {
            fitting.to_vec()
        } else {
            whole
        },
        |one| one.1,
        NEARLY,
    )
}

/// The one in the middle, where they differ by no more than a factor.
pub(super) fn middle<T>(mut all: Vec<T>, weight: impl Fn(&T) -> f64, most: f64) -> Option<T> {
    all.sort_by(|one, other| weight(one).total_cmp(&weight(other)));
    let apart = weight(all.last()?) / weight(all.first()?);
    let at = (all.len() - 1) / 2;
    (apart <= most).then(|| all.swap_remove(at))
}

/// The amount as it is written where the dataset's measure gives the same mass by it, else in grams.
pub(super) fn measured(written: Amount, mass: Mass, measure: &Measure, food: &Food) -> Weighed {
    let same = mass_of(&written, food).is_ok_and(|resolved| {
        resolved.measure.is_some()
            && (resolved.mass.grams() - mass.grams()).abs() < 1e-9 * mass.grams()
    });
    let amount = if same { None } else { grams(mass) };
    Weighed {
        amount: amount.unwrap_or(written),
        mass,
        by: Some(described(measure)),
        edible: true,
    }
}

fn grams(mass: Mass) -> Option<Amount> {
    let rounded = (mass.grams() * 1000.0).round() / 1000.0;
    format!("{rounded} g").parse().ok()
}

/// Whether a measure is of a food as it is poured: `1 cup, fluid (yields 2 cups whipped)`.
fn is_fluid(measure: &Measure) -> bool {
    has_one(measure, &["fluid".into()])
}

fn starts_with(measure: &Measure, unit: &str) -> bool {
    let first = crate::food::first_unit(&measure.unit);
    first.is_some_and(|first| quantity::Unit::named(unit) == Some(first))
}

pub(super) fn has_one(measure: &Measure, words: &[String]) -> bool {
    let of = stems(&measure.unit);
    words.iter().any(|word| of.contains(word))
}

impl Chosen {
    /// The words that the food was found by and that its name does not have: `penne` of pasta, `cherry` of tomatoes.
    pub(super) fn own_words(&self) -> Vec<String> {
        let name = stems(&self.food.name);
        let own = self.words.iter().filter(|word| !name.contains(word));
        own.cloned().collect()
    }

    /// Whether the words call it peeled, and the dataset has it with its skin.
    pub(super) fn keeps_its_skin(&self) -> bool {
        let name = self.food.name.to_lowercase();
        self.beside.peeled
            && ["flesh and skin", "with skin"]
                .iter()
                .any(|one| name.contains(one))
    }

    /// Whether the words call it cooked, and what was found is raw: the dataset has no boiled egg
    /// yolk.
    pub(super) fn is_raw_though_cooked(&self) -> bool {
        let mut methods = self.beside.named_methods.iter();
        let cooked = self.beside.is_cooked() || methods.any(|method| method != "none");
        cooked && stems(&self.food.name).iter().any(|word| word == "raw")
    }

    /// Whether the dataset's food is the small sort itself.
    pub(super) fn is_called_small(&self) -> bool {
        let name = stems(&self.food.name);
        self.words
            .iter()
            .any(|word| SMALLER.contains(&word.as_str()) && name.contains(word))
    }
}
