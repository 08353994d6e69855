//! `trayful supplement`: drops of vitamin D, iron and the like, given or missed.

use std::collections::BTreeMap;

use clap::Args;
use data_import::{NutrientId, nutrients};
use trayful::household::{
    self, above_upper, dose_in_name, nutrient_of_product, product_on_record, supplement_each,
};
use trayful::notebook::NewSupplement;
use trayful::problem::Problem;
use trayful::report::SUPPLEMENT_COUNTS;
use trayful::safety::Objection;
use trayful::words::quoted;

use super::failure::Failure;
use super::judged::{AnywayArg, stopped};
use super::written::{NewEntries, own_words, written_down};
use super::{Answer, ChildrenArg, Session, again};

#[derive(Debug, Args)]
pub(super) struct SupplementArgs {
    /// The product, in your words, such as "vitamin D drops"
    product: String,
    /// The dose of a day, such as "400 IU", "10 ug", "7.5 mg"; it may stand in the name
    dose: Option<String>,
    /// The nutrient, where the product does not name it: its tag, such as VITD or FE
    #[arg(long, value_name = "NUTRIENT")]
    nutrient: Option<String>,
    #[command(flatten)]
    children: ChildrenArg,
    /// It is given from this day on, until you change it; today if left out
    #[arg(long, value_name = "DAY", conflicts_with = "on")]
    from: Option<String>,
    /// It was given on this day only
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    /// It was not given, on this day only
    #[arg(long, conflicts_with_all = ["dose", "stopped", "from"])]
    missed: bool,
    /// It is given no longer, from this day on
    #[arg(long, conflicts_with_all = ["dose", "on"])]
    stopped: bool,
    #[command(flatten)]
    anyway: AnywayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records a supplement.
pub(super) fn run(args: &SupplementArgs, session: &Session) -> Result<Answer, Failure> {
    let example = "trayful supplement \"vitamin D drops\" \"400 IU\"";
    let typed = own_words("a product", &args.product, example)?;
    let (product, typed_dose) = args.product_and_dose(typed)?;
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let id = args.of_nutrient(product)?;
    let amount = match typed_dose {
        Some(dose) => self::dose(dose, id)?,
        None => 0.0,
    };
    let day = session.on_or_from((args.on.as_deref(), args.from.as_deref()), &children)?;
    let mut store = book.store()?;
    let mut products = BTreeMap::new();
    for child in &children {
        let known = store.products(&child.name)?;
        let called = product_on_record(product, &known, args.missed || args.stopped)?;
        products.insert(child.name.clone(), called);
    }
    let new = children.iter().map(|child| NewSupplement {
        day,
        child: &child.name,
        product: products.get(&child.name).map_or(product, String::as_str),
        nutrient: id,
        amount,
        one_day: args.on.is_some() || args.missed,
    });
    let each: Vec<NewSupplement<'_>> = new.collect();
    let pantry = session.pantry(None)?;
    let anyway = |found: &[Objection]| args.anyway.is_meant(found, session, args.json);
    let judged = supplement_each(&book, &mut store, &pantry, &each, anyway)?;
    if judged.recorded.is_none() && !args.json {
        let what = "Nothing was recorded. If it is meant, say it again with --anyway.";
        return Ok(stopped(&judged.objections, what, session));
    }
    let recorded = judged.recorded.is_some();
    let ids = judged.recorded.unwrap_or_default();
    let mut more: Vec<String> = Vec::new();
    for child in &children {
        let warning = above_upper(id, amount, child.age_on(day))?;
        more.extend(warning.map(|words| format!("{}: {words}", child.name)));
    }
    more.push(SUPPLEMENT_COUNTS.into());
    let written = NewEntries {
        entries: &ids,
        objections: judged.objections,
        more,
    };
    let answer = written_down(&store, &book, written, args.json, session)?;
    Ok(answer.found_if(recorded))
}

impl SupplementArgs {
    /// The product, and the dose where one is due, which may stand behind the name.
    fn product_and_dose<'a>(
        &'a self,
        typed: &'a str,
    ) -> Result<(&'a str, Option<&'a str>), Failure> {
        if self.missed || self.stopped {
            return Ok((typed, None));
        }
        if let Some(dose) = &self.dose {
            return Ok((typed, Some(dose)));
        }
        let (product, dose) = dose_in_name(typed).ok_or_else(|| {
            Problem::new(format!("how much of {} a day?", quoted(typed))).hint(format!(
                "write its dose, such as `trayful supplement {} \"400 IU\"`",
                again::quoted(typed)
            ))
        })?;
        Ok((product, Some(dose)))
    }

    fn of_nutrient(&self, product: &str) -> Result<NutrientId, Failure> {
        if let Some(tag) = &self.nutrient {
            let mut all = nutrients()?.iter();
            let found = all.find(|nutrient| nutrient.tag.eq_ignore_ascii_case(tag));
            let found =
                found.ok_or_else(|| Problem::new(format!("{} is not a nutrient", quoted(tag))));
            return Ok(found
                .map_err(|problem| problem.hint("such as VITD or FE"))?
                .id);
        }
        nutrient_of_product(product)?.ok_or_else(|| {
            Problem::new(format!("{} does not name one nutrient", quoted(product)))
                .hint("name it with --nutrient, such as --nutrient VITD or --nutrient FE")
                .into()
        })
    }
}

/// A dose on the command line, in the unit of the nutrient table.
pub(super) fn dose(text: &str, id: NutrientId) -> Result<f64, Failure> {
    Ok(household::dose(text, id)??)
}
