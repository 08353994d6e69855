//! The settings of a household, a line each: children, milk of a day, trays, jars, rules.

use data_import::NutrientId;
use jiff::Unit;
use jiff::civil::Date;

use super::number::{amount_of, decimals, trimmed};
use super::plan::short_name;
use crate::cost::ReadyMade;
use crate::household::MeasureDoubt;
use crate::notebook::{Child, LogEntry, Measured, Measurement, PairedDevice, Settings};
use crate::nutrition::{Milk, total_of};
use crate::portion::Tray;
use crate::problem::Problem;
use crate::quantity::Mass;
use crate::words::{self, capital, counted, joined, quoted};

/// The facts about a child, without the name; `weight` is the last on record.
pub fn child_facts(child: &Child, today: Date, weight: Option<Mass>) -> String {
    let mut facts = vec![
        format!("born {}", words::day(child.born)),
        format!("{} months old", child.age_on(today).0),
    ];
    let weighs = |mass: Mass| decimals(mass.grams() / 1000.0, 2);
    facts.extend(child.sex.map(|sex| sex.word().to_string()));
    facts.extend(weight.map(|mass| format!("{} kg", weighs(mass))));
    let at_birth = child.birth_weight;
    facts.extend(at_birth.map(|mass| format!("{} kg at birth", weighs(mass))));
    let early = child.weeks_early.filter(|weeks| *weeks > 0);
    facts.extend(early.map(|weeks| format!("{weeks} weeks early")));
    facts.extend(child.eczema.in_words().map(String::from));
    if !child.allergies.is_empty() {
        facts.push(format!("allergies: {}", child.allergies.join(", ")));
    }
    facts.extend(child.milk.as_ref().map(|milk| format!("milk: {milk}")));
    facts.join("; ")
}

/// That meals are on record before the day of birth.
pub fn before_birth(child: &str, meals: &[LogEntry]) -> String {
    let days = meals.iter().map(|one| words::day(one.day));
    format!(
        "{child}: {} on record before the day of birth ({})",
        counted(meals.len(), "meal"),
        joined(days, ", ")
    )
}

/// The question about a day of birth that is long ago; `anyway` says what to do where it is right.
pub fn doubted_birth(born: Date, today: Date, anyway: &str) -> Problem {
    let years = born.until((Unit::Year, today));
    let ago = years.map_or_else(
        |_| "long".to_string(),
        |span| counted(usize::from(span.get_years().unsigned_abs()), "year"),
    );
    let what = format!("a birth on {} was {ago} ago", words::day(born));
    Problem::new(what).hint(format!(
        "look at the year, since what is stopped for a baby goes by it; if it is right, {anyway}"
    ))
}

/// The amount of a milk a day, with its energy and iron.
pub fn milk_a_day(milk: &Milk) -> String {
    let figure = |id| amount_of(&total_of([&milk.serving], id), id);
    format!(
        "{:.0} g a day of {}: energy {}, iron {}",
        milk.serving.mass.grams(),
        milk.serving.what,
        figure(NutrientId::ENERGY),
        figure(NutrientId::IRON)
    )
}

/// The milks of a day in a few words.
pub fn milks_in_short(milks: &[Milk]) -> String {
    let in_words = |milk: &Milk| {
        let name = if milk.breast {
            "breast milk".to_string()
        } else {
            short_name(&milk.serving.what)
        };
        let about = if milk.estimate.is_some() {
            "about "
        } else {
            ""
        };
        format!("{about}{:.0} g of {name} a day", milk.serving.mass.grams())
    };
    match milks {
        [] => "none".into(),
        milks => joined(milks.iter().map(in_words), ", "),
    }
}

/// A measurement with its unit: `8.4 kg`, `71.5 cm`.
pub fn measured(measurement: &Measurement) -> String {
    match measurement.what {
        Measured::Weight => kilograms(Mass::from_grams(measurement.value)),
        _ => format!("{} cm", trimmed(measurement.value, 1)),
    }
}

/// The question about a measurement that is doubtful; `anyway` says what to do where it is right.
pub fn doubted(new: &Measurement, doubt: &MeasureDoubt, child: &Child, anyway: &str) -> Problem {
    let name = &child.name;
    let known = match doubt {
        MeasureDoubt::Beside(beside) => {
            format!("on {} it was {}", words::day(beside.day), measured(beside))
        }
        MeasureDoubt::OfBook(weight) => {
            format!("the book says that {name} weighs {}", kilograms(*weight))
        }
        MeasureDoubt::OfAge(age) => {
            format!(
                "{name} is {} months old, and that is far from what children of this age weigh",
                age.0
            )
        }
    };
    let what = format!(
        "is the {} really {}? {}",
        new.what.word(),
        measured(new),
        capital(&known)
    );
    Problem::new(what).hint(format!(
        "look at the number, and at the child, once more; if it is right, {anyway}"
    ))
}

/// A mass of a child as it is written: `3.1 kg`.
pub fn kilograms(mass: Mass) -> String {
    format!("{} kg", trimmed(mass.grams() / 1000.0, 3))
}

/// A dose of a supplement with its unit: `10 µg`.
pub fn dose_words(nutrient: NutrientId, amount: f64) -> String {
    let found = data_import::nutrient(nutrient).ok().flatten();
    let unit = found.map_or("", |one| one.unit.as_str());
    format!("{} {unit}", trimmed(amount, 2))
}

/// A tray.
pub fn tray_words(tray: &Tray) -> String {
    format!(
        "Tray {}: {} wells of {} ml, filled to {:.0} %",
        quoted(&tray.name),
        tray.wells,
        trimmed(tray.well.millilitres(), 1),
        tray.fill * 100.0
    )
}

/// A jar that batches are compared with.
pub fn jar_words(jar: &ReadyMade, currency: &str) -> String {
    format!(
        "Jar {}: {:.0} g for {} {currency}",
        quoted(&jar.name),
        jar.mass.grams(),
        jar.price.shown()
    )
}

/// The rules of the household, in a line.
pub fn rules_words(settings: &Settings) -> String {
    format!(
        "Cubes are kept {} days; {} days from one new food to the next. Meals: {}. A cup is {}. Prices in {}",
        settings.freezer_days,
        settings.waiting_days,
        settings.meals.join(", "),
        if settings.metric_cups {
            "a metric one, 250 ml"
        } else {
            "a US one, 236.6 ml"
        },
        settings.currency
    )
}

/// A device that is let in: its name and its days.
pub fn device_words(device: &PairedDevice) -> String {
    let [since, until] = [device.since, device.until].map(words::day);
    format!("{}, let in on {since}, until {until}", device.name)
}
