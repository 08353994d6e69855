//! The page of a week: iron first, then what a day held, energy, indicators, tastes, and what of all
//! that is estimated or missing.

use std::collections::BTreeMap;

use data_import::{FoodId, Nutrient, NutrientId};
use jiff::civil::Date;

use super::number::{amount, decimals, percent};
use super::text::{Look, Page, Sheet};
use super::week::{FindingReport, WeekReport, WeekView};
use crate::nutrition::indicators::{INDICATORS_SOURCE, LEAST_GROUPS};
use crate::nutrition::week::{
    DayDensity, DayFigures, EnergyGap, NutrientWeek, RATIO_SOURCE, WANTED_RATIO, Yardstick, had,
};
use crate::nutrition::{DailyValues, Total, Week};

/// How the page of a week is drawn.
#[derive(Debug)]
pub struct WeekPage<'a> {
    /// Whether every nutrient is shown, or the dozen that is looked at first.
    pub all: bool,
    /// How it is drawn.
    pub look: Look,
    /// The caution with which every page ends.
    pub defer: Option<&'a str>,
}

impl WeekPage<'_> {
    /// Renders the page.
    pub fn render(&self, report: &WeekReport, view: &WeekView<'_>) -> String {
        let mut page = Page::new(self.look);
        head(&mut page, report);
        if report.record.counted == 0 {
            page.paragraph("Nothing more can be said of these days.");
            return page.finish();
        }
        iron(&mut page, view.week);
        self.nutrients(&mut page, view.week);
        energy(&mut page, view.week);
        indicators(&mut page, report);
        salt_and_sugar(&mut page, view.week);
        tastes(&mut page, report);
        missing(&mut page, view.week, self.all);
        notes(&mut page, report);
        sources(&mut page, view.week);
        self.last_words(&mut page);
        page.finish()
    }

    fn nutrients(&self, page: &mut Page, week: &Week) {
        page.heading("WHAT AN AVERAGE DAY HELD");
        let header = [
            "",
            "milk",
            "purées",
            "other",
            "total",
            "of AI or RDA",
            "of DV",
        ];
        page.sheet(Sheet {
            header: header.map(String::from).to_vec(),
            rows: chosen(week, self.all).map(nutrient_row).collect(),
            right: vec![1, 2, 3, 4],
        });
        page.line("");
        page.paragraph(
            "RDA and AI: what all food and milk of a day together should bring, the mean of the days \
             where the age changes it. To get less than an AI is not a lack. DV: the Daily Value of \
             US labels, another yardstick. Water counts that of milk and food.",
        );
        for line in week.nutrients.iter().filter_map(upper_line) {
            page.paragraph(&line);
        }
    }

    fn last_words(&self, page: &mut Page) {
        page.line("");
        page.paragraph(
            "This is a record to talk about, not a diagnosis: what was not written down is not in it, and a week on paper says nothing of what a \
             child's body takes from it. Bring it to your paediatrician if anything in it worries you.",
        );
        if let Some(defer) = self.defer {
            page.paragraph(defer);
        }
    }
}

/// The nutrients that are shown, in their order.
fn chosen(week: &Week, all: bool) -> impl Iterator<Item = &NutrientWeek> {
    let shown = week.nutrients.iter();
    let shown = shown.filter(move |one| all || one.nutrient.default_order.is_some());
    let mut shown: Vec<_> = shown.collect();
    shown.sort_by_key(|one| one.nutrient.default_order.unwrap_or(u8::MAX));
    shown.into_iter()
}

fn head(page: &mut Page, report: &WeekReport) {
    let date = |day: Option<Date>| day.map_or_else(String::new, |day| day.to_string());
    let plan = if report.planned { ", AS PLANNED" } else { "" };
    page.heading(&format!(
        "{}, {} TO {}{plan}",
        report.child,
        date(report.from),
        date(report.to)
    ));
    let mut ages: Vec<_> = report.days.iter().map(|day| day.age_months).collect();
    ages.dedup();
    let ages: Vec<_> = ages.iter().map(ToString::to_string).collect();
    let record = &report.record;
    let kept = if report.planned {
        "planned"
    } else {
        "on record"
    };
    let mut words = vec![format!("{} months old.", ages.join(", then "))];
    words.push(match record.counted == record.days {
        true => format!("Every day has a meal that is {kept}."),
        false => format!(
            "{} of {} days have meals that are {kept}; the averages count these.",
            record.counted, record.days
        ),
    });
    for (days, what) in [
        (&record.without_record, "nothing"),
        (&record.without_meals, "no meal"),
    ] {
        if !days.is_empty() {
            words.push(format!("There is {what} {kept} for {}.", spans(days)));
        }
    }
    if !record.without_milk.is_empty() {
        words.push(format!(
            "There is no milk {kept} for {}: everything is a lower bound (>=).",
            spans(&record.without_milk)
        ));
    }
    page.paragraph(&words.join(" "));
}

/// Dates in order, those in a row joined: `2026-11-19 to 2026-11-21, 2026-11-25`.
fn spans(dates: &[Date]) -> String {
    let mut spans: Vec<(Date, Date)> = Vec::new();
    for date in dates {
        match spans.last_mut() {
            Some((_, last)) if last.tomorrow().ok() == Some(*date) => *last = *date,
            _ => spans.push((*date, *date)),
        }
    }
    let span = |(first, last): (Date, Date)| match first == last {
        true => first.to_string(),
        false => format!("{first} to {last}"),
    };
    spans.into_iter().map(span).collect::<Vec<_>>().join(", ")
}

fn iron(page: &mut Page, week: &Week) {
    page.heading("IRON");
    if let Some(iron) = week.nutrient(NutrientId::IRON) {
        let total = amount(
            had(&iron.per_day.total()),
            iron.per_day.complete(),
            iron.nutrient,
        );
        let share = iron.reference.as_ref();
        let share = share.map_or_else(String::new, |one| {
            format!(
                ", {}",
                of_yardstick(one, iron.per_day.complete(), iron.nutrient)
            )
        });
        page.paragraph(&format!("An average day held {total}{share}."));
    }
    flesh_iron(page, week);
    vitamin_c(page, week);
}

fn flesh_iron(page: &mut Page, week: &Week) {
    let flesh = &week.flesh_iron;
    if flesh.flesh.complete() && had(&flesh.flesh) == Some(0.0) {
        return page.paragraph("None of it came from meat, fish or poultry.");
    }
    let mg = had(&flesh.flesh).map_or_else(
        || "an amount that is not known".into(),
        |mg| format!("{}{} mg", bound(flesh.flesh.complete()), decimals(mg, 2)),
    );
    let share = flesh.percent.map_or_else(
        || "its share is not known".into(),
        |share| {
            format!(
                "{}{} of all iron",
                bound(flesh.flesh.complete()),
                percent(share)
            )
        },
    );
    page.paragraph(&format!(
        "Of it {mg} a day came from meat, fish or poultry ({share}). Part of that is haem iron, which is taken up best (Monsen and others, American \
         Journal of Clinical Nutrition 31:134, 1978)."
    ));
}

/// Meals with and without enough vitamin C beside their iron.
fn vitamin_c(page: &mut Page, week: &Week) {
    let meals = week.days.iter().flat_map(|day| {
        let date = day.date;
        day.meals.iter().map(move |meal| (date, meal))
    });
    let eaten: Vec<_> = meals
        .filter(|(_, meal)| had(&meal.iron) != Some(0.0))
        .collect();
    let (mut enough, mut unknown) = (0, 0);
    let mut less: BTreeMap<Date, Vec<String>> = BTreeMap::new();
    for (date, meal) in &eaten {
        match meal.ratio {
            Some(ratio) if ratio >= WANTED_RATIO => enough += 1,
            Some(ratio) if meal.ratio_complete => {
                let name = if meal.name.is_empty() {
                    "a meal"
                } else {
                    &meal.name
                };
                let said = format!("{name} {}", decimals(ratio, 1));
                less.entry(*date).or_default().push(said);
            }
            _ => unknown += 1,
        }
    }
    let of = eaten.len();
    if of == 0 {
        return;
    }
    let not_known = match unknown {
        0 => String::new(),
        some => format!("; of {some} it is not known"),
    };
    page.paragraph(&format!(
        "Vitamin C in the same meal helps iron from plants: {enough} of {of} meals had {WANTED_RATIO} \
         molecules of it or more for one of iron ({RATIO_SOURCE}){not_known}."
    ));
    if !less.is_empty() {
        let days = less
            .iter()
            .map(|(date, meals)| format!("{date} {}", meals.join(", ")));
        let days: Vec<_> = days.collect();
        page.paragraph(&format!("Meals with fewer: {}.", days.join("; ")));
    }
}

fn nutrient_row(one: &NutrientWeek) -> Vec<String> {
    let nutrient = one.nutrient;
    let shown = |total: &Total| amount(one.per_day.from_food(total), total.complete(), nutrient);
    let milk = match one.per_day.from_milk() {
        None if !one.per_day.milk_on_record => "not on record".into(),
        known => amount(
            known,
            one.per_day.milk.complete() && one.per_day.milk_on_record,
            nutrient,
        ),
    };
    let complete = one.per_day.complete();
    let reference = one.reference.as_ref();
    let value = one.daily_value.as_ref().and_then(|value| value.percent);
    vec![
        nutrient.plain.clone(),
        milk,
        shown(&one.per_day.puree),
        shown(&one.per_day.other),
        amount(one.per_day.amount(), complete, nutrient),
        reference.map_or_else(|| "-".into(), |one| of_yardstick(one, complete, nutrient)),
        value.map_or_else(
            || "-".into(),
            |share| format!("{}{}", bound(complete), percent(share)),
        ),
    ]
}

fn bound(complete: bool) -> &'static str {
    if complete { "" } else { ">= " }
}

/// `>= 38 % of 11 mg (RDA)`; a lower bound of zero says nothing.
fn of_yardstick(one: &Yardstick, complete: bool, nutrient: &Nutrient) -> String {
    let (amount, unit) = (trimmed(one.amount, nutrient), &nutrient.unit);
    let whole = format!("of {amount} {unit} ({})", one.kind);
    match one.percent.filter(|share| complete || *share > 0.0) {
        Some(share) => format!("{}{} {whole}", bound(complete), percent(share)),
        None => format!("not known, {whole}"),
    }
}

/// At most the decimals the nutrient is shown with, and none at the end that are zero.
fn trimmed(value: f64, nutrient: &Nutrient) -> String {
    let text = decimals(value, nutrient.decimals);
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_string(),
        false => text,
    }
}

fn upper_line(one: &NutrientWeek) -> Option<String> {
    let upper = one.upper.as_ref().filter(|upper| !upper.above.is_empty())?;
    Some(format!(
        "! {}: above the upper level for a day, {} {} ({}), on {}. Ask the paediatrician.",
        one.nutrient.plain,
        trimmed(upper.amount, one.nutrient),
        one.nutrient.unit,
        upper.counts,
        spans(&upper.above)
    ))
}

fn energy(page: &mut Page, week: &Week) {
    page.heading("ENERGY FROM FOOD, AND HOW DENSE IT WAS");
    match &week.energy {
        Some(gap) => page.paragraph(&gap_line(gap)),
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
    page.sheet(Sheet {
        header: header.map(String::from).to_vec(),
        rows: week.counted().filter_map(density_row).collect(),
        right: vec![1, 2, 3, 4, 5],
    });
    let mut named: Vec<&str> = Vec::new();
    let least = week
        .days
        .iter()
        .filter_map(|day| day.density.as_ref()?.least.as_ref());
    for (_, source) in least {
        if !named.contains(&source.as_str()) {
            named.push(source);
        }
    }
    if !named.is_empty() {
        page.line("");
        page.paragraph(&format!(
            "Looked for: the least for so many meals a day ({}; it has two to four meals, and the \
             nearest is taken). Without liquid: the same food without the cooking liquid and water \
             blended in. Drinks are left out.",
            named.join("; ")
        ));
    }
}

fn gap_line(gap: &EnergyGap) -> String {
    let (whence, counted) = if gap.breast_fed {
        ("complementary food", "beside average breast milk")
    } else {
        ("food and milk together", "without breast milk")
    };
    let known = had(&gap.had).filter(|kcal| gap.had.complete() || *kcal > 0.0);
    let shown = known.map_or_else(
        || "not known".into(),
        |kcal| {
            format!(
                "{}{} kcal a day, {} of",
                bound(gap.had.complete()),
                decimals(kcal, 0),
                percent(kcal / gap.wanted * 100.0)
            )
        },
    );
    format!(
        "Energy from {whence}: {shown} the {} kcal looked for {counted} at this age ({}).",
        decimals(gap.wanted, 0),
        gap.source
    )
}

fn density_row(day: &DayFigures) -> Option<Vec<String>> {
    let density: &DayDensity = day.density.as_ref()?;
    let complete = density.energy.complete();
    let shown = |value: Option<f64>| {
        value.map_or_else(
            || "not known".into(),
            |value| format!("{}{}", bound(complete), decimals(value, 2)),
        )
    };
    let least = density.least.as_ref();
    Some(vec![
        day.date.to_string(),
        format!("{} g", decimals(density.mass.grams(), 0)),
        density.meals.to_string(),
        shown(density.kcal_per_gram()),
        shown(density.without_liquid()),
        least.map_or_else(|| "-".into(), |(least, _)| least.to_string()),
    ])
}

fn indicators(page: &mut Page, report: &WeekReport) {
    page.heading("FEEDING INDICATORS, DAY BY DAY");
    let counted = report.days.iter().filter(|day| day.recorded);
    let rows = counted.clone().map(|day| {
        let one = &day.indicators;
        let doubtful = match one.doubtful_groups.len() {
            0 => String::new(),
            some => format!(" (+{some}?)"),
        };
        vec![
            day.date.to_string(),
            format!("{}{doubtful} of 8", one.groups.len()),
            one.diversity.finding.to_string(),
            format!("{}", one.meals),
            one.meal_frequency.finding.to_string(),
            one.milk_feeds.finding.to_string(),
            one.acceptable_diet.finding.to_string(),
        ]
    });
    let header = [
        "",
        "food groups",
        "diversity",
        "meals",
        "frequency",
        "milk feeds",
        "acceptable diet",
    ];
    page.sheet(Sheet {
        header: header.map(String::from).to_vec(),
        rows: rows.collect(),
        right: vec![3],
    });
    page.line("");
    page.list(whys(counted));
    page.paragraph(&format!(
        "Diversity: {LEAST_GROUPS} of 8 food groups, breast milk among them; (+3?) are groups that may have \
         been had besides. Frequency: 2 meals at 6 to 8 \
         months and 3 at 9 to 23 if breast-fed, else 4 with milk feeds. Milk feeds: 2, if not \
         breast-fed. Acceptable diet: all that apply. They are made for surveys of many children and \
         one day each; of one child's week they say little ({INDICATORS_SOURCE})."
    ));
}

/// Why something is not known, with the days.
fn whys<'a>(days: impl Iterator<Item = &'a super::week::DayReport>) -> Vec<String> {
    let mut reasons: BTreeMap<String, Vec<Date>> = BTreeMap::new();
    for day in days {
        let one = &day.indicators;
        let findings: [&FindingReport; 3] = [&one.diversity, &one.meal_frequency, &one.milk_feeds];
        let unknown = findings
            .into_iter()
            .filter(|one| one.finding == "not known");
        for why in unknown.flat_map(|one| &one.why) {
            let dates = reasons.entry(why.clone()).or_default();
            if dates.last() != Some(&day.date) {
                dates.push(day.date);
            }
        }
    }
    let line = |(why, dates): (String, Vec<Date>)| format!("not known: {why} ({})", spans(&dates));
    reasons.into_iter().map(line).collect()
}

fn salt_and_sugar(page: &mut Page, week: &Week) {
    page.heading("SODIUM AND ADDED SUGAR");
    if let Some(sodium) = week.nutrient(NutrientId::SODIUM) {
        let parts = &sodium.per_day;
        let food = parts.food();
        page.paragraph(&format!(
            "Sodium: {} a day, of it {} from food. The UK limit for all salt is 0.4 g of sodium a day \
             to 12 months and 0.8 g from 1 to 3 years (read in two secondary copies).",
            amount(parts.amount(), parts.complete(), sodium.nutrient),
            amount(had(&food), food.complete(), sodium.nutrient),
        ));
    }
    let sugar = &week.added_sugar;
    let known = had(sugar).filter(|grams| sugar.complete() || *grams > 0.0);
    let shown = known.map_or_else(
        || "not known".into(),
        |grams| format!("{}{} g a day", bound(sugar.complete()), decimals(grams, 1)),
    );
    page.paragraph(&format!(
        "Added sugar of food: {shown}. Sugars and syrups count in full; a packet only where its label \
         says."
    ));
    if !sugar.missing.is_empty() {
        page.paragraph(&format!(
            "Without a value: {}.",
            names(week, &sugar.missing)
        ));
    }
}

fn names(week: &Week, foods: &[FoodId]) -> String {
    let names: Vec<_> = foods.iter().map(|food| week.name(food)).collect();
    names.join("; ")
}

fn tastes(page: &mut Page, report: &WeekReport) {
    page.heading("TASTES");
    let tastes = &report.tastes;
    let mut lines = Vec::new();
    if !report.planned {
        let first: Vec<_> = tastes
            .first
            .iter()
            .map(|one| format!("{} ({})", one.name, one.date))
            .collect();
        lines.push(match first.is_empty() {
            true => "no food was tasted for the first time".into(),
            false => format!("for the first time: {}", first.join("; ")),
        });
    }
    lines.extend(allergen_lines(report));
    for one in &tastes.refused {
        lines.push(format!("refused on {}: {}", one.date, one.what.join("; ")));
    }
    for one in &tastes.reactions {
        lines.push(format!(
            "noted on {} after {}: {}. Ask your paediatrician before it is offered again",
            one.date,
            one.foods.join("; "),
            one.words
        ));
    }
    page.list(lines);
}

fn allergen_lines(report: &WeekReport) -> Vec<String> {
    let (had, not): (Vec<_>, Vec<_>) = report
        .tastes
        .allergens
        .iter()
        .partition(|one| !one.days.is_empty());
    let times = |days: usize| {
        if days == 1 {
            "1 day".into()
        } else {
            format!("{days} days")
        }
    };
    let had = had
        .iter()
        .map(|one| format!("{} ({})", one.allergen, times(one.days.len())));
    let had: Vec<_> = had.collect();
    let known = not.iter().filter(|one| one.first.is_some());
    let known: Vec<_> = known.map(|one| one.allergen.as_str()).collect();
    let mut lines = Vec::new();
    if !had.is_empty() {
        lines.push(format!("major allergens eaten: {}", had.join(", ")));
    }
    if !known.is_empty() {
        lines.push(format!(
            "major allergens eaten before, and not on these days: {}. Once eaten, they are kept up \
             (NIAID addendum guidelines, 2017, for peanut; the rest common practice, no source)",
            known.join(", ")
        ));
    }
    lines
}

fn missing(page: &mut Page, week: &Week, all: bool) {
    let mut by_foods: Vec<(Vec<FoodId>, Vec<&str>)> = Vec::new();
    for one in chosen(week, all) {
        let missing = one.per_day.total().missing;
        if missing.is_empty() {
            continue;
        }
        match by_foods.iter_mut().find(|(foods, _)| *foods == missing) {
            Some((_, nutrients)) => nutrients.push(&one.nutrient.plain),
            None => by_foods.push((missing, vec![&one.nutrient.plain])),
        }
    }
    if by_foods.is_empty() {
        return;
    }
    page.heading("MISSING: no published value, so the total is a lower bound (>=)");
    let line = |(foods, nutrients): (Vec<FoodId>, Vec<&str>)| {
        format!("{}: {}", names(week, &foods), nutrients.join("; "))
    };
    page.list(by_foods.into_iter().map(line));
}

fn notes(page: &mut Page, report: &WeekReport) {
    if !report.estimates.is_empty() {
        page.heading("ESTIMATED");
        page.list(report.estimates.iter().map(|said| format!("{said}.")));
    }
}

fn sources(page: &mut Page, week: &Week) {
    let of = |id| week.nutrient(id).and_then(|one| one.reference.as_ref());
    let reference =
        of(NutrientId::IRON).map_or("NASEM Dietary Reference Intakes", |one| &one.source);
    page.heading("SOURCES");
    page.list([
        format!("reference intakes: {reference}; each nutrient's is in --json"),
        format!("Daily Values: {}", DailyValues::SOURCE),
    ]);
}
