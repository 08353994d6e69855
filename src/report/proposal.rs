//! A proposed plan: day by day with its reasons, how far it meets each aim, and what holds it back.

use jiff::civil::Date;
use serde::Serialize;

use super::text::{Look, Page, Sheet};
use crate::planning::propose::{Impossible, Proposal, Quality};
use crate::planning::{Broken, Origin, Request};

/// The whole proposal. The keys of the JSON are the fields.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct ProposalReport {
    pub schema: u32,
    pub from: Option<Date>,
    pub to: Option<Date>,
    /// Whether it was recorded.
    pub kept: bool,
    pub meals: Vec<MealReport>,
    pub cooking: Vec<CookingReport>,
    pub aims: Vec<AimReport>,
    /// All aims by their weights; less is better.
    pub objective: f64,
    /// `optimal`, `within` so many percent of the best possible, or `makeshift`.
    pub quality: &'static str,
    pub within_percent: Option<f64>,
    pub quality_sentence: String,
    pub binding: Vec<String>,
    pub spoiled: Vec<SpoiledReport>,
    pub lower_bounds: Vec<String>,
}

/// One thing in a meal.
#[derive(Debug, Clone, Serialize)]
pub struct MealReport {
    pub date: Date,
    pub child: String,
    pub meal: String,
    pub cubes: u32,
    pub recipe: String,
    pub title: String,
    /// Number of the batch; `null` where it is still to be cooked.
    pub batch: Option<i64>,
    pub why: Vec<String>,
}

/// What is to be cooked.
#[derive(Debug, Clone, Serialize)]
pub struct CookingReport {
    pub date: Date,
    pub recipe: String,
    pub title: String,
    pub trays: u32,
}

/// One aim and what is short of it.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct AimReport {
    pub aim: &'static str,
    pub weight: i64,
    pub short_points: f64,
    pub most_points: i64,
}

/// Cubes that nobody will eat in time.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct SpoiledReport {
    pub title: String,
    pub cubes: u32,
    pub use_by: Date,
}

impl ProposalReport {
    /// From a proposal and the request it answers.
    pub fn new(request: &Request, proposal: &Proposal, kept: bool) -> Self {
        let (quality, within_percent) = match &proposal.quality {
            Quality::Optimal => ("optimal", None),
            Quality::Within { percent } => ("within", Some(*percent)),
            Quality::Greedy { .. } => ("makeshift", None),
        };
        let aims = proposal.aims.iter().map(|aim| AimReport {
            aim: aim.term.name(),
            weight: aim.weight,
            short_points: aim.short,
            most_points: aim.most,
        });
        let spoiled = proposal.spoiled.iter().map(|one| SpoiledReport {
            title: one.title.clone(),
            cubes: one.cubes,
            use_by: one.use_by,
        });
        Self {
            schema: 1,
            from: request.days.first().copied(),
            to: request.days.last().copied(),
            kept,
            meals: meals(request, proposal),
            cooking: cooking(request, proposal),
            aims: aims.collect(),
            objective: proposal.objective,
            quality,
            within_percent,
            quality_sentence: proposal.quality.sentence(),
            binding: proposal.binding.clone(),
            spoiled: spoiled.collect(),
            lower_bounds: proposal.lower_bounds.clone(),
        }
    }

    /// As a page of text.
    pub fn render(&self, look: Look) -> String {
        let mut page = Page::new(look);
        self.days(&mut page);
        self.to_cook(&mut page);
        page.heading("WHAT IT IS SHORT OF");
        page.sheet(Sheet {
            header: ["", "weight", "short", "of"].map(String::from).to_vec(),
            rows: self.aims.iter().map(AimReport::row).collect(),
            right: vec![1, 2, 3],
        });
        page.line("");
        page.paragraph(
            "Points of each aim, less is better; of nutrients they are percent of the reference intake of all the days. \
             The weights keep the order: all later aims together weigh less than one above them.",
        );
        page.paragraph(&self.quality_sentence);
        listed(&mut page, "WHAT HOLDS IT BACK", self.binding.clone());
        let spoiled = self.spoiled.iter().map(SpoiledReport::line);
        listed(&mut page, "NOT EATEN IN TIME", spoiled.collect());
        listed(&mut page, "LOWER BOUNDS", self.lower_bounds.clone());
        page.finish()
    }

    /// The meals, day by day.
    fn days(&self, page: &mut Page) {
        let children: std::collections::BTreeSet<&str> =
            self.meals.iter().map(|one| one.child.as_str()).collect();
        let mut last = None;
        let mut rows: Vec<Vec<String>> = Vec::new();
        for (at, one) in self.meals.iter().enumerate() {
            if last != Some(one.date) {
                last = Some(one.date);
                page.heading(&one.date.strftime("%A, %-d %B %Y").to_string());
            }
            let meal = if children.len() > 1 {
                format!("{}, {}", one.meal, one.child)
            } else {
                one.meal.clone()
            };
            rows.push(vec![
                meal,
                format!("{} {}", one.cubes, one.recipe),
                one.why.join("; "),
            ]);
            let next = self.meals.get(at + 1).map(|next| next.date);
            if next != last {
                page.sheet(Sheet {
                    rows: std::mem::take(&mut rows),
                    ..Sheet::default()
                });
            }
        }
        if self.meals.is_empty() {
            page.line("Nothing is left to fill: every meal of these days is planned or on record.");
        }
    }

    fn to_cook(&self, page: &mut Page) {
        let line = |one: &CookingReport| {
            let trays = if one.trays == 1 { "tray" } else { "trays" };
            format!("{}: {} {trays} of {}", one.date, one.trays, one.recipe)
        };
        listed(page, "TO COOK", self.cooking.iter().map(line).collect());
    }
}

impl AimReport {
    /// Its name, weight, what is short and of how much.
    pub fn row(&self) -> Vec<String> {
        vec![
            self.aim.to_string(),
            self.weight.to_string(),
            format!("{:.1}", self.short_points),
            self.most_points.to_string(),
        ]
    }
}

impl SpoiledReport {
    /// `3 cubes of Butternut, by 2026-11-20`.
    pub fn line(&self) -> String {
        let cubes = if self.cubes == 1 { "cube" } else { "cubes" };
        format!(
            "{} {cubes} of {}, by {}",
            self.cubes, self.title, self.use_by
        )
    }
}

/// Why there is no plan, as a page of text: rules that are broken already, or rules that contradict.
pub fn no_plan(why: &str, broken: &[Broken], impossible: &Impossible, look: Look) -> String {
    let mut page = Page::new(look);
    page.paragraph(&format!("It cannot be done: {why}."));
    let broken = broken.iter().map(|one| one.words.clone());
    listed(&mut page, "WHAT IS SETTLED", broken.collect());
    listed(&mut page, "BECAUSE", impossible.contradictions.clone());
    listed(&mut page, "WHAT WOULD HELP", impossible.changes.clone());
    page.finish()
}

fn listed(page: &mut Page, heading: &str, lines: Vec<String>) {
    if !lines.is_empty() {
        page.heading(heading);
        page.list(lines);
    }
}

fn meals(request: &Request, proposal: &Proposal) -> Vec<MealReport> {
    let parts = proposal.parts().map(|(meal, part, why)| MealReport {
        date: meal.day,
        child: request
            .children
            .get(meal.child)
            .map(|child| child.name.clone())
            .unwrap_or_default(),
        meal: meal.meal.clone(),
        cubes: part.cubes,
        recipe: part.origin.recipe(request).to_string(),
        title: part.origin.title(request).to_string(),
        batch: batch(part.origin, request),
        why: why.to_vec(),
    });
    parts.collect()
}

/// The number of a batch that lies in the freezer.
fn batch(origin: Origin, request: &Request) -> Option<i64> {
    match origin {
        Origin::Batch(at) => request.batches.get(at).map(|batch| batch.id),
        Origin::Cooking { .. } => None,
    }
    .filter(|id| *id != 0)
}

fn cooking(request: &Request, proposal: &Proposal) -> Vec<CookingReport> {
    let cookings = proposal.plan.cookings.iter().filter_map(|one| {
        let recipe = request.recipes.get(one.recipe)?;
        Some(CookingReport {
            date: one.day,
            recipe: recipe.recipe.clone(),
            title: recipe.title.clone(),
            trays: one.trays,
        })
    });
    cookings.collect()
}
