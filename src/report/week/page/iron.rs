//! Iron, and what helps it.

use std::collections::BTreeMap;

use data_import::NutrientId;
use jiff::civil::Date;

use super::amounts::{fineness, of_yardstick};
use crate::nutrition::Week;
use crate::nutrition::reading::NO_REFERENCE;
use crate::nutrition::vitamin_c::{LITTLE_PHYTATE, MUCH_PHYTATE, RATIO_SOURCE, RICH_IN_PHYTATE};
use crate::nutrition::week::{MealIron, NutrientWeek, VitaminCBeside, had};
use crate::report::number::{amount, bound, bounded_percent, decimals, decimals_beside};
use crate::report::text::Page;
use crate::words;

/// The iron of an average day of these, beside its reference; `None` where no day is on record.
pub fn iron_at_a_glance(week: &Week) -> Option<String> {
    let iron = week.nutrient(NutrientId::IRON);
    iron.filter(|_| week.counted().next().is_some())
        .map(|iron| amount_and_share(iron, week))
}

pub(super) fn amount_and_share(iron: &NutrientWeek, week: &Week) -> String {
    let fine = fineness(iron);
    let total = fine.in_words(had(&iron.per_day.total()), iron.nutrient);
    let share = iron.reference.as_ref();
    let share = share.map(|one| of_yardstick(one, iron.nutrient, fine));
    let none = week.why_no_reference().map(|_| NO_REFERENCE.to_string());
    let share = share.or(none).map(|words| format!(", {words}"));
    total + &share.unwrap_or_default() + &of_supplements(iron)
}

/// `, of it 1.07 mg from supplements`: a dose is not what the food brings.
fn of_supplements(iron: &NutrientWeek) -> String {
    match iron.per_day.supplement {
        given if given > 0.0 => format!(
            ", of it {} from supplements",
            amount(Some(given), true, iron.nutrient)
        ),
        _ => String::new(),
    }
}

pub(super) fn iron(page: &mut Page, week: &Week) {
    page.heading("IRON");
    if let Some(iron) = week.nutrient(NutrientId::IRON) {
        page.paragraph(&format!(
            "An average day held {}.",
            amount_and_share(iron, week)
        ));
    }
    let per_kg = iron_per_kg(week);
    page.paragraphs(per_kg.map(|words| format!("That is {words} of body weight.")));
    flesh_iron(page, week);
    vitamin_c(page, week);
}

/// `0.12 mg for each kg`, as finely as the interval allows; `None` where the weight is not known.
pub(super) fn iron_per_kg(week: &Week) -> Option<String> {
    let (per_kg, iron) = (week.iron_per_kg?, week.nutrient(NutrientId::IRON)?);
    let figure = fineness(iron).like(per_kg, 2);
    Some(format!("{figure} mg for each kg"))
}

/// The share of iron that came from meat, fish or poultry, in a few words.
pub(super) fn flesh_share(week: &Week) -> String {
    let flesh = &week.flesh_iron;
    if flesh.flesh.complete() && had(&flesh.flesh) == Some(0.0) {
        return "none of it from meat or fish".into();
    }
    flesh.percent.map_or_else(
        || "the share from meat or fish is not known".into(),
        |share| {
            let share = bounded_percent(share, flesh.flesh.complete());
            format!("{share} of it from meat or fish")
        },
    )
}

fn flesh_iron(page: &mut Page, week: &Week) {
    let flesh = &week.flesh_iron;
    if flesh.flesh.complete() && had(&flesh.flesh) == Some(0.0) {
        return page.paragraph("None of it came from meat, fish or poultry.");
    }
    let complete = flesh.flesh.complete();
    let came = match (had(&flesh.flesh), flesh.percent) {
        (None, _) => "How much of it came from meat, fish or poultry is not known.".into(),
        (Some(mg), share) => {
            let share = share.map_or_else(
                || "its share is not known".into(),
                |share| format!("{} of all iron", bounded_percent(share, complete)),
            );
            let mg = format!("{}{}", bound(complete), decimals(mg, 2));
            format!("Of it {mg} mg a day came from meat, fish or poultry ({share}).")
        }
    };
    page.paragraph(&format!(
        "{came} Part of that is haem iron, which is taken up best (Monsen and others, American Journal of Clinical Nutrition 31:134, 1978)."
    ));
}

/// Meals with and without enough vitamin C beside the iron of plants; those of meat and fish are none of them.
#[derive(Debug, Default)]
pub(super) struct VitaminCMeals {
    /// Meals with iron.
    pub(super) of: usize,
    /// Those with enough.
    pub(super) enough: usize,
    /// Those of which it is not known.
    pub(super) unknown: usize,
    /// Those with less, day by day, each with its ratio.
    less: BTreeMap<Date, Vec<String>>,
}

pub(super) fn vitamin_c_meals(week: &Week) -> VitaminCMeals {
    let meals = week.days.iter();
    let meals = meals.flat_map(|day| day.meals.iter().map(move |meal| (day.date, meal)));
    let mut sorted = VitaminCMeals::default();
    for (date, meal) in meals.filter(|(_, meal)| had(&meal.iron) != Some(0.0)) {
        match meal.vitamin_c_beside() {
            VitaminCBeside::Flesh => continue,
            VitaminCBeside::Enough => sorted.enough += 1,
            VitaminCBeside::NotKnown => sorted.unknown += 1,
            VitaminCBeside::Less => sorted.less.entry(date).or_default().extend(less(meal)),
        }
        sorted.of += 1;
    }
    sorted
}

/// `lunch 1.6 of 4`.
fn less(meal: &MealIron) -> Option<String> {
    let (ratio, wanted) = meal.ratio.zip(meal.wanted)?;
    let name = if meal.name.is_empty() {
        "a meal"
    } else {
        &meal.name
    };
    Some(format!(
        "{name} {} of {wanted}",
        decimals_beside(ratio, wanted, 1)
    ))
}

fn vitamin_c(page: &mut Page, week: &Week) {
    let VitaminCMeals {
        of,
        enough,
        unknown,
        less,
    } = vitamin_c_meals(week);
    if of == 0 {
        return;
    }
    let not_known = match unknown {
        0 => String::new(),
        some => format!("; of {some} it is not known"),
    };
    page.paragraph(&format!(
        "Vitamin C in the same meal helps iron from plants: of {of} meals without meat or fish {enough} had enough{not_known}. Enough is \
         {LITTLE_PHYTATE} molecules of it or more for one of iron, {MUCH_PHYTATE} with {RICH_IN_PHYTATE} ({RATIO_SOURCE})."
    ));
    if !less.is_empty() {
        let days = less
            .iter()
            .map(|(date, meals)| format!("{} {}", words::day(*date), meals.join(", ")));
        let days: Vec<_> = days.collect();
        page.paragraph(&format!("Meals with fewer: {}.", days.join("; ")));
    }
}
