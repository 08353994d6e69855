//! The options of a batch: its tray, what it is scaled to, and what of it is shown for whom.

use clap::Args;
use trayful::notebook::Settings;
use trayful::nutrition::AgeMonths;
use trayful::nutrition::energy::{Requirement, Sex, Stature};
use trayful::portion::{Target, Tray, TrayError};
use trayful::problem::Problem;
use trayful::quantity::{Mass, read_number};
use trayful::spoken::Context;

use super::again::quoted;
use super::failure::Failure;
use super::option_word::{OptionWord, one_of};
use super::typed_value::{mass, place_of, volume};
use super::{Session, age};

// The tray it is spooned into.
#[derive(Debug, Args, Default)]
pub(super) struct TrayArgs {
    /// A tray of the book by its name, or wells and volume, such as 16x30ml
    #[arg(long, value_name = "NAME|WELLSxVOLUME")]
    pub(super) tray: Option<String>,
    /// What one well holds to the brim, such as 30ml
    #[arg(long, value_name = "VOLUME")]
    well: Option<String>,
    /// The share of a well that is filled, such as 0.9
    #[arg(long, value_name = "SHARE", value_parser = decimal)]
    fill: Option<f64>,
}

// Options for the size that a batch is scaled to.
#[derive(Debug, Args, Default)]
#[group(multiple = false)]
pub(super) struct ScaleArgs {
    /// Scale to fill so many trays
    #[arg(long, value_name = "N", value_parser = whole_trays)]
    pub(super) trays: Option<u32>,
    /// Scale to so many cubes
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=5000))]
    pub(super) cubes: Option<u32>,
    /// Scale to so many servings
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=2000))]
    pub(super) servings: Option<u32>,
    /// Scale so that this pack of an ingredient is used up, such as "2 lb butternut squash"
    #[arg(long, value_name = "AMOUNT FOOD")]
    pub(super) use_up: Option<String>,
}

// Options for how much of a batch is shown, and for which child.
#[derive(Debug, Args)]
pub(super) struct ShownArgs {
    /// The child's age in completed months; that of the book's youngest child who eats, else 6, if left out
    #[arg(long, value_name = "MONTHS", value_parser = age)]
    pub(super) age: Option<AgeMonths>,
    /// The child's weight, such as 8.2kg: gives energy a reference
    #[arg(long, value_name = "MASS")]
    weight: Option<String>,
    /// The child's length in centimetres: with weight and sex, the newer energy equation
    #[arg(long, value_name = "CM", requires_all = ["weight", "sex"], value_parser = centimetres)]
    length: Option<f64>,
    /// For the newer energy equation
    #[arg(long, requires = "length", value_parser = one_of(&SEX))]
    sex: Option<Sex>,
    /// Show what it rests on: every estimate, every caution, and the sources
    #[arg(long)]
    pub(super) why: bool,
    /// Show every nutrient
    #[arg(long)]
    pub(super) all: bool,
    /// Print one JSON object with full precision
    #[arg(long)]
    pub(super) json: bool,
}

impl TrayArgs {
    /// The options as they were typed, to be pasted behind another command.
    pub(super) fn again(&self) -> String {
        let fill = self.fill.map(|fill| fill.to_string());
        let options = [
            ("--tray", &self.tray),
            ("--well", &self.well),
            ("--fill", &fill),
        ];
        typed_again(options)
    }

    /// The tray asked for: named in the book or described, else the book's first, else the usual.
    pub(super) fn resolve(&self, book: &Settings) -> Result<Tray, Failure> {
        let mut tray = match &self.tray {
            None => book.trays.first().cloned().unwrap_or_else(Tray::usual),
            Some(text) => match book.tray(text) {
                Some(tray) => tray.clone(),
                None => described(text, book)?,
            },
        };
        if let Some(text) = &self.well {
            tray.well = volume("--well", text)?;
        }
        tray.fill = self.fill.unwrap_or(tray.fill);
        Ok(tray
            .checked()
            .map_err(|error: TrayError| Problem::new(error.to_string()).hint(error.hint()))?)
    }
}

/// Reads `16x30ml`, or `16` for wells of the usual size.
fn described(text: &str, book: &Settings) -> Result<Tray, Failure> {
    let (wells, well) = match text.split_once(['x', 'X']) {
        Some((wells, well)) => (wells, Some(well)),
        None => (text, None),
    };
    let Ok(wells) = wells.trim().parse() else {
        let known: Vec<_> = book.trays.iter().map(|tray| tray.name.as_str()).collect();
        let hint = match known.as_slice() {
            [] => "write wells and volume, such as 16x30ml".to_string(),
            known => format!("the book has {}; or write 16x30ml", known.join(", ")),
        };
        return Err(Problem::at(place_of("--tray", text), "no such tray")
            .hint(hint)
            .into());
    };
    let usual = Tray::usual();
    let well = well.map_or(Ok(usual.well), |text| volume("--tray", text))?;
    Ok(Tray {
        name: text.to_string(),
        wells,
        well,
        fill: usual.fill,
    })
}

/// The options that were typed, each with a space before it.
fn typed_again<'a>(options: impl IntoIterator<Item = (&'a str, &'a Option<String>)>) -> String {
    let options = options.into_iter();
    let typed = options.filter_map(|(option, value)| {
        let value = value.as_ref()?;
        Some(format!(" {option} {}", quoted(value)))
    });
    typed.collect()
}

impl ScaleArgs {
    /// The options with which a batch of this size is frozen: its own cubes are those that went into the freezer.
    pub(super) fn to_freeze(&self) -> String {
        let number = |number: Option<u32>| number.map(|number| number.to_string());
        let options = [
            ("--trays", &number(self.trays)),
            ("--scaled-cubes", &number(self.cubes)),
            ("--servings", &number(self.servings)),
            ("--use-up", &self.use_up),
        ];
        typed_again(options)
    }

    /// Whether the batch is of another size than its recipe.
    pub(super) fn is_scaled(&self) -> bool {
        self.trays.is_some()
            || self.cubes.is_some()
            || self.servings.is_some()
            || self.use_up.is_some()
    }

    /// The target that the options set.
    pub(super) fn target(&self, session: &Session) -> Result<Target, Failure> {
        Ok(
            match (self.trays, self.cubes, self.servings, &self.use_up) {
                (Some(trays), ..) => Target::Trays(trays),
                (_, Some(cubes), ..) => Target::Cubes(cubes),
                (_, _, Some(servings), _) => Target::Servings(servings),
                (.., Some(text)) => {
                    let taken = session.read_one(text, Context::Buy)?;
                    Target::UseUp {
                        pack: taken.needed_mass()?,
                        food: taken.food.id,
                    }
                }
                _ => Target::AsWritten,
            },
        )
    }

    /// The target that the options set, or two full trays.
    pub(super) fn target_or_two_trays(&self, session: &Session) -> Result<Target, Failure> {
        Ok(match self.target(session)? {
            Target::AsWritten => Target::Trays(2),
            target => target,
        })
    }
}

/// Girl or boy on the command line.
const SEX: [OptionWord<Sex>; 2] = [("girl", "A girl", Sex::Girl), ("boy", "A boy", Sex::Boy)];

/// The most trays of one batch.
const MOST_TRAYS: u32 = 100;

/// A number of trays on the command line.
pub(super) fn whole_trays(text: &str) -> Result<u32, String> {
    match text.trim().parse() {
        Ok(trays) if (1..=MOST_TRAYS).contains(&trays) => Ok(trays),
        _ => Err(format!(
            "write whole trays, 1 to {MOST_TRAYS}; for part of one say how many cubes: --cubes, of freeze --scaled-cubes"
        )),
    }
}

/// A number on the command line.
pub(super) fn decimal(text: &str) -> Result<f64, String> {
    read_number(text).ok_or_else(|| "write a number, such as 0.9".into())
}

/// The length of a child in centimetres.
fn centimetres(text: &str) -> Result<f64, String> {
    match read_number(text.trim_end_matches("cm")) {
        Some(length) if (40.0..=130.0).contains(&length) => Ok(length),
        _ => Err("write 40 to 130 cm, such as 70".into()),
    }
}

impl ShownArgs {
    /// The child's energy requirement, by the newest equation for which enough is known.
    pub(super) fn energy(&self, age: AgeMonths) -> Result<Option<Requirement>, Failure> {
        let Some(weight) = self.weight()? else {
            return Ok(None);
        };
        Ok(match self.sex.zip(self.length) {
            Some((sex, centimetres)) => {
                Requirement::of_2023(age, weight, Stature { sex, centimetres })
            }
            None => Requirement::of_2005(age, weight),
        })
    }

    /// The child's weight, between what a newborn and a school child weigh.
    fn weight(&self) -> Result<Option<Mass>, Failure> {
        let Some(text) = &self.weight else {
            return Ok(None);
        };
        let weight = mass("--weight", text)?;
        if !(1_000.0..=40_000.0).contains(&weight.grams()) {
            let place = place_of("--weight", text);
            let problem = Problem::at(place, "a child weighs 1 to 40 kg");
            return Err(problem.hint("such as --weight 8.2kg").into());
        }
        Ok(Some(weight))
    }
}
