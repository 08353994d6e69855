//! The kitchen card: a batch as text, from the scale to the spoon.

use super::batch::{BatchReport, BatchView, Figures};
use super::command::with_command;
use super::number::{amount, decimals, kitchen_mass, percent};
use super::objections::objection_list;
use super::sources::Sources;
use super::text::{Look, Page, Sheet, bar};
use crate::cooking::PracticeTable;
use crate::nutrition::reading::{NO_REFERENCE, RDA_AND_AI, why_no_reference};
use crate::nutrition::{AgeMonths, Complementary};
use crate::portion::Target;
use crate::recipe::Batch;
use crate::safety::DEFER;

/// What of the card is asked for.
#[derive(Debug)]
pub struct Card<'a> {
    /// What the batch was scaled to.
    pub target: &'a Target,
    /// Whether every nutrient is shown, or the dozen that is looked at first.
    pub all: bool,
    /// How it is drawn.
    pub look: Look,
    /// What the book says of cooking this now.
    pub warnings: &'a [String],
    /// Rules of thumb.
    pub practice: &'a PracticeTable,
    /// What complementary food is to bring.
    pub complementary: &'a Complementary,
}

impl Card<'_> {
    /// Renders the card.
    pub fn render(&self, report: &BatchReport, batch: &Batch, view: &BatchView<'_>) -> String {
        let mut page = Page::new(self.look);
        page.heading(&report.recipe);
        if let Some(line) = scaled_line(self.target, report) {
            page.line(&line);
        }
        if !report.objections.is_empty() || !self.warnings.is_empty() {
            page.heading("BEFORE YOU COOK");
            objection_list(&mut page, &report.objections);
            page.list(self.warnings.iter().cloned());
        }
        self.weigh_out(&mut page, batch);
        self.makes(&mut page, report, view);
        self.nutrients(&mut page, report, view);
        missing(&mut page, report);
        notes(&mut page, report);
        cautions(&mut page, report);
        defer(&mut page, report);
        page.finish()
    }

    fn weigh_out(&self, page: &mut Page, batch: &Batch) {
        page.heading("WEIGH OUT AND COOK");
        let header = ["", "as bought", "trimmed", "cook", "then about"]
            .map(String::from)
            .to_vec();
        let rows = batch.prepared.ingredients.iter().map(|one| {
            let how = self.practice.cooking(&one.class, one.method);
            let how = how.map_or(String::new(), |practice| format!(", {}", practice.text));
            let estimated = one.weighed.is_none() && one.yield_factor.basis.is_estimated();
            let word = match one.method {
                crate::cooking::Method::None => "as it is",
                method => method.word(),
            };
            vec![
                one.food.name.clone(),
                kitchen_mass(one.purchased()),
                format!("{} g", decimals(one.edible().grams(), 0)),
                format!("{word}{how}"),
                format!(
                    "{} g{}",
                    decimals(one.cooked().grams(), 0),
                    if estimated { " ~" } else { "" }
                ),
            ]
        });
        let rows = rows.collect();
        page.sheet(Sheet {
            header,
            rows,
            right: vec![1, 2, 4],
        });
        page.line("");
        page.paragraph(&liquid_line(self.practice, batch));
        if batch.prepared.weighed.is_none() {
            page.paragraph(
                "~ is an estimate. Weigh the blended purée (less the bowl) and write it down as \
                 [puree] weighed = \"... g\", or --weighed: it replaces every ~ here.",
            );
        }
    }

    fn nutrients(&self, page: &mut Page, report: &BatchReport, view: &BatchView<'_>) {
        let warmed = if report.serving.reheat {
            ", warmed"
        } else {
            ""
        };
        page.heading(&format!(
            "WHAT IS IN IT, for a child of {} months",
            report.age_months
        ));
        let cubes = report.serving.cubes;
        let serving = format!(
            "{cubes} {}{warmed}",
            if cubes == 1 { "cube" } else { "cubes" }
        );
        let header = vec![
            String::new(),
            "a cube".into(),
            serving,
            "of a day's".into(),
            String::new(),
        ];
        let rows = self
            .chosen(report)
            .into_iter()
            .map(|figures| self.nutrient_row(figures, report));
        page.sheet(Sheet {
            header,
            rows: rows.collect(),
            right: vec![1, 2],
        });
        page.line("");
        page.paragraph(why_no_reference(view.age).unwrap_or(RDA_AND_AI));
        if let Some(line) = measured_line(&self.chosen(report)) {
            page.paragraph(&line);
        }
        for line in upper_lines(report) {
            page.paragraph(&line);
        }
    }

    fn makes(&self, page: &mut Page, report: &BatchReport, view: &BatchView<'_>) {
        page.heading("MAKES");
        let cubes = &report.cubes;
        let left = if cubes.leftover_g >= 0.5 {
            format!(", and {} g left over", decimals(cubes.leftover_g, 0))
        } else {
            String::new()
        };
        page.paragraph(&format!(
            "{} {} of {} g ({} ml){left}: {} g of purée, {} g per ml.",
            cubes.whole,
            if cubes.whole == 1 { "cube" } else { "cubes" },
            decimals(cubes.cube_g, 1),
            decimals(cubes.cube_ml, 1),
            decimals(report.mass.puree_g, 0),
            decimals(report.density_g_per_ml, 2),
        ));
        page.paragraph(&format!(
            "{} of {} wells, {} ml each, filled to {}.",
            trays(cubes.whole, cubes.wells),
            cubes.wells,
            decimals(view.tray.well.millilitres(), 1),
            percent(cubes.fill * 100.0),
        ));
        if let Some(cost) = &report.cost {
            page.paragraph(&(with_command(&cost.remark) + "."));
        }
        if let Some(line) = density_line(self.complementary, report, view.age) {
            page.paragraph(&line);
        }
    }

    fn chosen<'r>(&self, report: &'r BatchReport) -> Vec<&'r Figures> {
        chosen(report, self.all)
    }

    fn nutrient_row(&self, figures: &Figures, report: &BatchReport) -> Vec<String> {
        let nutrient = figures.total.nutrient;
        let drawing = known_share(figures).map(|share| bar(self.look, share));
        vec![
            nutrient.plain.clone(),
            amount(figures.per_cube, figures.complete, nutrient),
            amount(figures.per_serving, figures.complete, nutrient),
            share_of_day(figures, report),
            drawing.unwrap_or_default(),
        ]
    }
}

/// What becomes of the cooking liquid.
pub(super) fn liquid_line(practice: &PracticeTable, batch: &Batch) -> String {
    let liquid = &batch.prepared.liquid;
    let ml = |volume: crate::quantity::Volume| decimals(volume.millilitres(), 0);
    let mut words = Vec::new();
    if liquid.collected.millilitres() > 0.0 {
        words.push(format!(
            "Keep {} ml of the cooking liquid, blend {} ml of it back in ({}).",
            ml(liquid.collected),
            ml(liquid.returned),
            percent(liquid.returned_share() * 100.0),
        ));
        words.extend(practice.rule("liquid").map(|rule| rule.text.clone()));
    } else {
        words.push("No cooking liquid is blended back in.".into());
    }
    if liquid.added.millilitres() > 0.0 {
        words.push(format!("Add {} ml of water.", ml(liquid.added)));
    }
    if let Some(loss) = batch
        .prepared
        .loss
        .as_ref()
        .filter(|_| batch.prepared.weighed.is_none())
    {
        words.push(format!(
            "{} g stays in the pot.",
            decimals(loss.value.grams(), 0)
        ));
    }
    words.join(" ")
}

/// The energy density, beside what is looked for at this age.
pub(super) fn density_line(
    complementary: &Complementary,
    report: &BatchReport,
    age: AgeMonths,
) -> Option<String> {
    let density = report.energy_density_kcal_per_g?;
    let shown = format!("{} kcal per g", decimals(density, 2));
    let Some(needs) = complementary.needs(age, true) else {
        return Some(format!("{shown}."));
    };
    let least = needs.least_density(MEALS);
    let verdict = if density < least {
        "under"
    } else {
        "at or above"
    };
    Some(format!(
        "{shown}: {verdict} the {least} looked for over a day's food at this age and {MEALS} meals a day ({}). Less water \
         or a little oil makes it richer.",
        needs.density_source
    ))
}

/// The share of the day's reference in percent, where something is known of it.
fn known_share(figures: &Figures) -> Option<f64> {
    let share = figures.reference.as_ref()?.percent?;
    (figures.complete || share > 0.0).then_some(share)
}

/// The share of the day's reference in words.
pub(super) fn share_of_day(figures: &Figures, report: &BatchReport) -> String {
    let Some(reference) = &figures.reference else {
        let beyond = report.age_band.is_none();
        return if beyond { NO_REFERENCE } else { "-" }.into();
    };
    let amount = format!("{} {} ({})", reference.amount, figures.unit, reference.kind);
    let bound = if figures.complete { "" } else { ">= " };
    match known_share(figures) {
        Some(share) => format!("{bound}{} of {amount}", percent(share)),
        None => format!("not known, of {amount}"),
    }
}

/// Every nutrient, or the dozen that is looked at first, in the order in which they are looked at.
pub(super) fn chosen(report: &BatchReport, all: bool) -> Vec<&Figures> {
    let mut chosen: Vec<_> = report
        .nutrients
        .iter()
        .filter(|figures| all || figures.total.nutrient.default_order.is_some())
        .collect();
    chosen.sort_by_key(|figures| figures.total.nutrient.default_order.unwrap_or(u8::MAX));
    chosen
}

/// Meals a day for which a batch's energy density is looked at.
const MEALS: u32 = 3;

/// How often the recipe is made, and what for; `None` as it is written.
pub(super) fn scaled_line(target: &Target, report: &BatchReport) -> Option<String> {
    let plural = |n: u32, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
    let goal = match target {
        Target::AsWritten => return None,
        Target::Trays(n) => format!("to fill {}", plural(*n, "tray")),
        Target::Cubes(n) => format!("to make {}", plural(*n, "cube")),
        Target::Servings(n) => format!("to make {}", plural(*n, "serving")),
        Target::UseUp { food, pack } => {
            format!("to use up {} of {food}", kitchen_mass(*pack))
        }
    };
    Some(format!(
        "The recipe {} times, {goal}; amounts rounded to the gram.",
        decimals(report.factor, 2)
    ))
}

/// How much of each amount rests on measured values, where the dataset says.
fn measured_line(chosen: &[&Figures]) -> Option<String> {
    let share = |figures: &&Figures| {
        let share = figures.measured_percent?;
        Some(format!(
            "{} {}",
            figures.total.nutrient.plain,
            decimals(share, 0)
        ))
    };
    let shares: Vec<_> = chosen.iter().filter_map(share).collect();
    (!shares.is_empty()).then(|| {
        format!(
            "Of each amount so many percent rest on values that were measured, the rest on \
             calculated or assumed ones: {}.",
            shares.join(", ")
        )
    })
}

pub(super) fn trays(cubes: u64, wells: u32) -> String {
    let wells = u64::from(wells);
    let (full, rest) = (cubes / wells, cubes % wells);
    let trays = |n: u64| format!("{n} full tray{}", if n == 1 { "" } else { "s" });
    match (full, rest) {
        (0, rest) => format!("{rest} wells of one tray"),
        (full, 0) => trays(full),
        (full, rest) => format!("{} and {rest} wells more", trays(full)),
    }
}

/// What of a serving is above the upper level of a day.
pub(super) fn upper_lines(report: &BatchReport) -> Vec<String> {
    let line = |figures: &Figures| {
        let upper = figures.upper.as_ref()?;
        let share = upper.percent.filter(|share| *share > 100.0)?;
        Some(format!(
            "! {}: one serving is {} of the upper level for a day, {} {} ({}). Fewer cubes, less \
             often; ask the paediatrician.",
            figures.total.nutrient.plain,
            percent(share),
            upper.amount,
            figures.unit,
            upper.counts
        ))
    };
    report.nutrients.iter().filter_map(line).collect()
}

fn missing(page: &mut Page, report: &BatchReport) {
    let lines = missing_lines(report);
    if !lines.is_empty() {
        page.heading("MISSING: no published value, so the total is a lower bound (>=)");
        page.list(lines);
    }
}

/// The foods without a published value, and of which nutrients.
pub(super) fn missing_lines(report: &BatchReport) -> Vec<String> {
    let lower = report.nutrients.iter().filter(|figures| !figures.complete);
    let mut by_foods: Vec<(String, Vec<&str>)> = Vec::new();
    for figures in lower {
        let (name, foods) = (
            figures.total.nutrient.plain.as_str(),
            figures.missing.join(", "),
        );
        match by_foods.iter_mut().find(|(known, _)| *known == foods) {
            Some((_, names)) => names.push(name),
            None => by_foods.push((foods, vec![name])),
        }
    }
    let line = |(foods, names): (String, Vec<&str>)| {
        format!("{}: {}", named(&foods, report), names.join("; "))
    };
    by_foods.into_iter().map(line).collect()
}

/// The names behind a list of ids.
fn named(ids: &str, report: &BatchReport) -> String {
    let name = |id: &str| {
        let one = report.ingredients.iter().find(|one| one.food == id);
        one.map_or_else(|| format!("the water ({id})"), |one| one.name.clone())
    };
    ids.split(", ").map(name).collect::<Vec<_>>().join(" and ")
}

fn notes(page: &mut Page, report: &BatchReport) {
    if report.notes.is_empty() {
        return;
    }
    page.heading("ESTIMATED OR ASSUMED");
    page.list(report.notes.iter().map(|note| note.text.clone()));
}

/// The cautions, each with the number of its source, and the sources.
fn cautions(page: &mut Page, report: &BatchReport) {
    let mut sources = Sources::default();
    page.heading("CAUTIONS");
    let lines: Vec<_> = report
        .cautions
        .iter()
        .filter(|caution| caution.id != DEFER)
        .map(|caution| format!("{} [{}]", caution.text, sources.number(&caution.source)))
        .collect();
    page.list(lines);
    for objection in &report.objections {
        sources.number(&objection.source);
    }
    page.heading("SOURCES");
    let mut rows: Vec<_> = sources
        .iter()
        .map(|(number, source)| vec![format!("[{number}]"), source.to_string()])
        .collect();
    rows.extend(figure_sources(report).map(|source| vec!["-".to_string(), source]));
    page.sheet(Sheet {
        rows,
        ..Sheet::default()
    });
}

/// The last word is not ours.
fn defer(page: &mut Page, report: &BatchReport) {
    for caution in report.cautions.iter().filter(|caution| caution.id == DEFER) {
        page.line("");
        page.paragraph(&caution.text);
    }
}

/// Where the figures come from.
pub(super) fn figure_sources(report: &BatchReport) -> impl Iterator<Item = String> {
    let mut foods: Vec<_> = report
        .ingredients
        .iter()
        .map(|one| one.source.as_str())
        .collect();
    foods.sort_unstable();
    foods.dedup();
    [
        format!("food composition: {}", foods.join("; ")),
        "nutrient retention: USDA Table of Nutrient Retention Factors, Release 6 (2007)".into(),
        "reference intakes: NASEM Dietary Reference Intakes; each row's source is in --json".into(),
        "density: Choi and Okos (1986)".into(),
    ]
    .into_iter()
}
