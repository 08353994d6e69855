//! The page of a food at a terminal.

use super::food::{FoodReport, ValueEntry};
use super::food_facts::{COOKERY_SAID, LackEntry, RecipeEntry};
use super::text::{Look, Page};
use crate::buying::{ORGANIC_SAID, RESIDUE_SAID, Residues, WASHING_SAID};
use crate::words::capital;

/// The page of one food.
#[derive(Debug)]
pub struct FoodPage<'a> {
    /// The food.
    pub report: &'a FoodReport,
    /// Whether every value is shown, or the dozen that is looked at first.
    pub all: bool,
}

impl FoodPage<'_> {
    /// Renders the page.
    pub fn render(&self, look: Look) -> String {
        let report = self.report;
        let food = &report.food;
        let mut page = Page::new(look);
        page.heading(&format!("{}  {}", food.id, food.name));
        page.line(&food.group);
        for (label, words) in [
            ("also called", &food.common_names),
            ("maker", &food.manufacturer),
            ("scientific name", &food.scientific_name),
        ] {
            if !words.is_empty() {
                page.line(&format!("{label}: {words}"));
            }
        }
        if report.label.is_none() {
            page.paragraph(&food.refuse_words());
        }
        if let Some(factors) = food.energy_factors_kcal_per_g.as_ref().filter(|_| self.all) {
            page.line(&format!(
                "energy, kcal per g: protein {}, fat {}, carbohydrate {}",
                factors.protein, factors.fat, factors.carbohydrate
            ));
        }
        self.label(&mut page);
        self.good_for(&mut page);
        self.company(&mut page);
        self.buying(&mut page);
        self.measures(&mut page);
        self.values(&mut page);
        page.line("");
        let unlisted = match report.label {
            Some(_) => "is not on the label",
            None => "was not measured",
        };
        page.paragraph(&format!(
            "Source: {}. A nutrient that is not listed {unlisted}; it is not zero.",
            food.source
        ));
        page.finish()
    }

    /// The table of all values, with the source of each where the dataset names one.
    fn values(&self, page: &mut Page) {
        let values = self.report.food.nutrients.iter();
        let values: Vec<_> = values.filter(|one| self.all || one.first).collect();
        let per = if self.report.food.per_ml {
            "PER 100 ml"
        } else {
            "PER 100 g EDIBLE"
        };
        page.heading(per);
        let with_origin = values.iter().any(|value| value.origin.is_some());
        let row = |value: &&ValueEntry| {
            let mut row = vec![
                value.plain.to_string(),
                self.report.shown(value),
                value.unit.to_string(),
            ];
            if self.all || with_origin {
                row.push(value.id.to_string());
            }
            if with_origin {
                row.extend([
                    value
                        .data_points
                        .map_or_else(String::new, |points| points.to_string()),
                    value
                        .standard_error
                        .map_or_else(String::new, |error| error.to_string()),
                    value.origin_words(),
                ]);
            }
            row
        };
        let rows = values.iter().map(row);
        if with_origin {
            let header = ["", "", "", "", "analyses", "std error", "origin"];
            page.table(header, rows, &[1, 4, 5]);
        } else {
            page.rows(rows, &[1]);
        }
    }

    fn label(&self, page: &mut Page) {
        let Some(label) = &self.report.label else {
            return;
        };
        page.heading("FROM ITS LABEL");
        page.line(&format!("figures per {}", label.per));
        if let Some(barcode) = &label.barcode {
            page.line(&format!("barcode: {barcode}"));
        }
        page.list(label.remarks.iter().cloned());
    }

    fn measures(&self, page: &mut Page) {
        let food = &self.report.food;
        if food.measures.is_empty() {
            return;
        }
        page.heading("MEASURES");
        let rows = food
            .measures
            .iter()
            .map(|measure| vec![measure.label.clone(), format!("{} g", measure.grams)]);
        page.rows(rows, &[1]);
    }

    fn good_for(&self, page: &mut Page) {
        let report = self.report;
        // A stopped food is not praised.
        if report.stopped {
            return;
        }
        page.heading(&format!("GOOD FOR, at {} months", report.age_months));
        page.paragraph(&report.why_good());
        if self.all && !report.good_for.is_empty() {
            page.rows(report.good_for_rows(), &[1]);
        }
    }

    /// What goes with it, and the household's recipes that have it.
    fn company(&self, page: &mut Page) {
        let report = self.report;
        page.listed(
            "WHAT IT LACKS",
            report.lacks.iter().map(LackEntry::in_words),
        );
        if let Some(line) = report.cooked_together_line() {
            page.heading("COOKED TOGETHER IN OLD COOKERY BOOKS");
            page.paragraph(&line);
            page.paragraph(COOKERY_SAID);
        }
        let recipes = report.recipes.iter().map(RecipeEntry::in_words);
        page.listed("YOUR RECIPES WITH IT", recipes);
    }

    fn buying(&self, page: &mut Page) {
        let buying = &self.report.buying;
        page.listed("TO BUY", buying.lines());
        if buying.residues.is_empty() {
            return;
        }
        page.listed("RESIDUES", buying.residue_lines());
        page.paragraph(RESIDUE_SAID);
        if self.all {
            page.paragraph(WASHING_SAID);
            page.paragraph(ORGANIC_SAID);
            page.paragraph(&format!("{}.", capital(Residues::SOURCE)));
        }
    }
}
