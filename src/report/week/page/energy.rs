//! Energy from food, and how dense that food was.

use std::collections::BTreeSet;

use crate::nutrition::Week;
use crate::nutrition::week::{DayDensity, DayFigures, EnergyGap, had};
use crate::report::number::{bound, bounded_percent, decimals, decimals_beside, or_not_known};
use crate::report::text::Page;
use crate::words::joined;

pub(super) fn energy(page: &mut Page, week: &Week) {
    page.heading("ENERGY FROM FOOD, AND HOW DENSE IT WAS");
    match &week.energy {
        Some(gap) => {
            page.paragraph(&gap_line(gap));
            let (known, all) = (
                week.counted().filter(|day| day.energy.is_some()),
                week.counted(),
            );
            let (known, all) = (known.count(), all.count());
            if known < all {
                page.paragraph(&format!(
                    "That is the average of {known} of {all} days, those with milk on record."
                ));
            }
        }
        None => page.paragraph(
            "What complementary food is to bring is published for 6 to 23 months, and depends on \
             breast milk: there is no such figure for these days.",
        ),
    }
    let header = [
        "",
        "food",
        "meals",
        "kcal per g",
        "without liquid",
        "looked for",
    ];
    page.table(
        header,
        week.counted().filter_map(density_row),
        &[1, 2, 3, 4, 5],
    );
    let least = week.days.iter();
    let least = least.filter_map(|day| day.density.as_ref()?.least.as_ref());
    let mut seen = BTreeSet::new();
    let named = joined(
        least
            .map(|(_, source)| source)
            .filter(|source| seen.insert(*source)),
        "; ",
    );
    let on_other_milk = week.counted().any(|day| {
        day.energy.is_some() && day.density.as_ref().is_some_and(|one| one.least.is_none())
    });
    if on_other_milk {
        page.line("");
        page.paragraph(
            "No least density is published for a child who has formula or other milk: the figures are for breast milk alone, or no milk at all.",
        );
    }
    if !named.is_empty() {
        page.line("");
        page.paragraph(&format!(
            "Looked for: the least for so many meals a day ({named}; it has two to four meals, and the \
             nearest is taken). Without liquid: the same food without the cooking liquid and water \
             blended in. Drinks are left out."
        ));
    }
}

fn gap_line(gap: &EnergyGap) -> String {
    format!(
        "Energy from {} at this age ({}).",
        gap_in_short(gap),
        gap.source
    )
}

/// `complementary food: 134 kcal a day; looked for beside average breast milk: 200 in developing
/// countries (67 %), 130 in industrialised ones (103 %)`.
pub(super) fn gap_in_short(gap: &EnergyGap) -> String {
    let known = had(&gap.had).filter(|kcal| gap.had.complete() || *kcal > 0.0);
    let complete = gap.had.complete();
    let bound = bound(complete);
    let shown = or_not_known(known.map(|kcal| format!("{bound}{} kcal a day", decimals(kcal, 0))));
    let share = |wanted: f64| {
        known.map_or_else(String::new, |kcal| {
            let share = bounded_percent(kcal / wanted * 100.0, complete);
            format!(" ({share})")
        })
    };
    let (wanted, of_wanted) = (decimals(gap.wanted, 0), share(gap.wanted));
    match gap.wanted_industrialised {
        Some(industrialised) => format!(
            "complementary food: {shown}; looked for beside average breast milk: {wanted} in developing countries{of_wanted}, {} in \
             industrialised ones{}",
            decimals(industrialised, 0),
            share(industrialised)
        ),
        None => format!(
            "food and milk together: {shown}; looked for without breast milk: {wanted}{of_wanted}"
        ),
    }
}

fn density_row(day: &DayFigures) -> Option<Vec<String>> {
    let density: &DayDensity = day.density.as_ref()?;
    let bound = bound(density.energy.complete());
    let shown = |value: Option<String>| or_not_known(value.map(|value| format!("{bound}{value}")));
    let least = density.least.as_ref();
    let dense = density.kcal_per_gram().map(|value| match least {
        Some((least, _)) => decimals_beside(value, *least, 2),
        None => decimals(value, 2),
    });
    let dry = density.without_liquid().map(|value| decimals(value, 2));
    Some(vec![
        day.date.to_string(),
        format!("{} g", decimals(density.mass.grams(), 0)),
        density.meals.to_string(),
        shown(dense),
        shown(dry),
        least.map_or_else(|| "-".into(), |(least, _)| least.to_string()),
    ])
}
