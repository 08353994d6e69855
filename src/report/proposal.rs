//! A proposed plan: the week as a table, the gaps, the reasons in plain words, and on demand every
//! figure behind it.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use serde::Serialize;

use super::number::decimals;
use super::objections::objection_list;
use super::plan::{meal_column, spoken_day, wrapped};
use super::proposal_why::because;
use super::text::{Look, Page};
use crate::planning::propose::{Gap, Proposal, Quality, Spoiled, WeekLack};
use crate::planning::{CubeOrigin, Request};
use crate::safety::Objection;
use crate::words::{capital, counted, grouped, joined};

/// Days whose names differ.
const DAYS_OF_WEEK: i32 = 7;
/// The least width of a meal's column.
const NARROWEST: usize = 14;

/// The whole proposal. The keys of the JSON are the fields.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct ProposalReport {
    pub schema: u32,
    pub from: Option<Date>,
    pub to: Option<Date>,
    /// Whether the proposal was recorded as the plan.
    pub kept: bool,
    pub objections: Vec<Objection>,
    pub meals: Vec<ProposedMeal>,
    pub gaps: Vec<ProposalGap>,
    /// What the week lacks beside meals.
    pub lacking: Vec<ProposalLack>,
    /// Dishes in the freezer that are not for a child, with the reason.
    pub left_out: Vec<String>,
    /// Who is not six months old on the first day: no meal of a day before is filled.
    pub before_solids: Vec<String>,
    pub cooking: Vec<ProposedCooking>,
    /// The reasons, in three sentences for each child, with its name where there are several.
    pub because: Vec<String>,
    pub aims: Vec<AimReport>,
    /// The value of the objective in points; more is better.
    pub objective: f64,
    /// `optimal`; `within` so many percent of the best possible; `unrated` where a meal was changed
    /// by hand.
    pub quality: &'static str,
    pub within_percent: Option<f64>,
    pub quality_sentence: String,
    pub binding: Vec<String>,
    pub spoiled: Vec<Spoiled>,
    pub lower_bounds: Vec<String>,
    #[serde(skip)]
    children: Vec<ChildTable>,
}

/// The days and meals of a child.
#[derive(Debug, Clone)]
struct ChildTable {
    name: String,
    meals: Vec<String>,
    days: Vec<Date>,
    /// Meals that are planned or on record already.
    settled: BTreeSet<(Date, String)>,
    because: Vec<String>,
}

/// A part of a meal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct ProposedMeal {
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

/// A meal that stays empty.
#[derive(Debug, Clone, Serialize)]
pub struct ProposalGap {
    pub date: Date,
    pub child: String,
    pub meal: String,
    pub why: String,
    pub close: String,
}

/// What a week lacks beside meals: for whom, in words, and what would bring it.
#[derive(Debug, Clone, Serialize)]
pub struct ProposalLack {
    pub child: String,
    pub why: String,
    pub close: String,
}

/// A batch to be cooked.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct ProposedCooking {
    pub date: Date,
    pub recipe: String,
    pub title: String,
    pub trays: u32,
}

/// An objective of the optimization: its points, and the shortfall from the most it can have.
#[derive(Debug, Clone, Serialize)]
pub struct AimReport {
    pub aim: &'static str,
    pub weight: f64,
    pub points: f64,
    pub short_points: f64,
    pub most_points: f64,
}

impl ProposalReport {
    /// Builds the report from a proposal, the request that it answers, and the objections to its
    /// meals.
    pub fn new(
        request: &Request,
        proposal: &Proposal,
        objections: Vec<Objection>,
        kept: bool,
    ) -> Self {
        let (quality, within_percent) = match proposal.quality {
            Quality::Optimal => ("optimal", None),
            Quality::Within { percent } => ("within", Some(percent)),
            Quality::Unrated => ("unrated", None),
        };
        let name = |child: usize| request.children[child].name.clone();
        let gap = |gap: &Gap| ProposalGap {
            date: gap.day,
            child: name(gap.child),
            meal: gap.meal.clone(),
            why: gap.why.clone(),
            close: gap.close.clone(),
        };
        let lack = |lack: &WeekLack| ProposalLack {
            child: name(lack.child),
            why: lack.why.clone(),
            close: lack.close.clone(),
        };
        let children: Vec<ChildTable> = (0..request.children.len())
            .map(|child| child_table(request, proposal, child))
            .collect();
        Self {
            schema: 1,
            from: request.days.first().copied(),
            to: request.days.last().copied(),
            kept,
            objections,
            meals: meals(request, proposal),
            gaps: proposal.gaps.iter().map(gap).collect(),
            lacking: proposal.lacking.iter().map(lack).collect(),
            left_out: proposal.left_out.clone(),
            before_solids: proposal.before_solids.clone(),
            cooking: cooking(request, proposal),
            because: children
                .iter()
                .flat_map(|child| &child.because)
                .cloned()
                .collect(),
            aims: aims(proposal),
            objective: proposal.worth,
            quality,
            within_percent,
            quality_sentence: proposal.quality.sentence(),
            binding: [&proposal.held_back[..], &proposal.left_out].concat(),
            spoiled: proposal.spoiled.clone(),
            lower_bounds: proposal.lower_bounds.clone(),
            children,
        }
    }

    /// The name of a child by its place in the request.
    pub fn child(&self, at: usize) -> Option<&str> {
        self.children.get(at).map(|child| child.name.as_str())
    }

    /// Whether meals were to be filled and none could be.
    pub fn is_empty_handed(&self) -> bool {
        self.meals.is_empty() && !self.is_all_filled()
    }

    /// Whether no meal was left to be filled.
    fn is_all_filled(&self) -> bool {
        self.meals.is_empty() && self.gaps.is_empty() && self.before_solids.is_empty()
    }

    /// As a page of text; `why` adds the reason of each meal, the points and what holds the plan
    /// back.
    pub fn render(&self, look: Look, why: bool) -> String {
        let mut page = Page::new(look);
        if self.is_all_filled() {
            page.line("Nothing is left to fill: every meal of these days is planned or on record.");
            return page.finish();
        }
        objection_list(&mut page, &self.objections);
        for child in &self.children {
            self.table(&mut page, child);
        }
        let cooking = self.cooking.iter().map(ProposedCooking::line);
        page.listed("TO COOK", cooking);
        page.listed("WHAT STAYS EMPTY", self.gap_lines());
        page.listed("WHAT IS LACKING", self.lack_lines());
        page.listed("LEFT OUT", self.left_out.iter().map(|one| capital(one)));
        if !self.because.is_empty() {
            page.heading("WHY");
        }
        page.paragraphs(&self.because);
        if why {
            self.figures(&mut page);
        }
        page.finish()
    }

    fn table(&self, page: &mut Page, child: &ChildTable) {
        page.heading(&format!("PROPOSED FOR {}", child.name));
        let column = meal_column(page, child.meals.len()).max(NARROWEST);
        let row = |day: &Date| -> Vec<String> {
            let cells = child.meals.iter().map(|meal| {
                let is_settled = child.settled.contains(&(*day, meal.clone()));
                let cell = if is_settled {
                    "already set".into()
                } else {
                    self.cell(&child.name, *day, meal)
                };
                wrapped(&cell, ' ', column).join("\n")
            });
            std::iter::once(spoken_day(*day)).chain(cells).collect()
        };
        let header = child.meals.iter().map(|meal| format!("  {meal}"));
        page.table(
            std::iter::once(String::new()).chain(header),
            child.days.iter().map(row),
            &[],
        );
    }

    /// The parts of a meal in a few words; a dash for a meal that the proposal does not fill.
    pub fn cell(&self, child: &str, day: Date, meal: &str) -> String {
        let dishes = self.dishes(child, day, meal).into_iter();
        let dishes = dishes.map(|(title, cubes)| format!("{cubes} {title}"));
        match joined(dishes, ", ") {
            none if none.is_empty() => "-".into(),
            parts => parts,
        }
    }

    /// A meal in plain words, such as `2 cubes of Butternut and 1 cube of Beef`; empty for a meal
    /// that the proposal does not fill.
    pub fn in_plain_words(&self, child: &str, day: Date, meal: &str) -> String {
        let dishes = self.dishes(child, day, meal).into_iter();
        let dishes = dishes.map(|(title, cubes)| format!("{} of {title}", counted(cubes, "cube")));
        joined(dishes, " and ")
    }

    /// The dishes of a meal by their titles, with the cubes of each.
    fn dishes(&self, child: &str, day: Date, meal: &str) -> BTreeMap<&str, u32> {
        let mut dishes = BTreeMap::new();
        for part in self.parts(child, day, meal) {
            *dishes.entry(part.title.as_str()).or_default() += part.cubes;
        }
        dishes
    }

    /// The reason for a meal in a few words; empty for a meal that the proposal does not fill.
    pub fn why(&self, child: &str, day: Date, meal: &str) -> String {
        let first = self.parts(child, day, meal).next();
        first.map(|one| one.why.join("; ")).unwrap_or_default()
    }

    fn parts(&self, child: &str, day: Date, meal: &str) -> impl Iterator<Item = &ProposedMeal> {
        let of_it =
            move |one: &&ProposedMeal| one.child == child && one.date == day && one.meal == meal;
        self.meals.iter().filter(of_it)
    }

    /// What is lacking, and for each what would bring it.
    pub fn lack_lines(&self) -> Vec<String> {
        let lacks = self.lacking.iter();
        lacks
            .map(|lack| format!("{} ({}).", capital(&lack.why), lack.close))
            .collect()
    }

    /// Who is not six months old yet; then the gaps, those of one child with the same reason
    /// together, and for each what would close it. The reason names the child.
    pub fn gap_lines(&self) -> Vec<String> {
        // The name of a weekday says which day it is within a week alone.
        let mut period = self.from.zip(self.to).into_iter();
        let day = if period.any(|(from, to)| (to - from).get_days() >= DAYS_OF_WEEK) {
            "%a %-d %b"
        } else {
            "%a"
        };
        let gaps = self.gaps.iter().map(|gap| {
            let when = format!("{} {}", gap.date.strftime(day), gap.meal);
            ((&gap.child, &gap.why), (&gap.close, when))
        });
        let close =
            |(close, meals): (&String, Vec<String>)| format!("{} ({close})", joined(meals, ", "));
        let line = |((_, why), gaps): ((&String, &String), Vec<(&String, String)>)| {
            let gaps = joined(grouped(gaps).into_iter().map(close), "; ");
            format!("{}: {gaps}.", capital(why))
        };
        let gaps = grouped(gaps).into_iter().map(line);
        let too_young = self.before_solids.iter().map(|one| format!("{one}."));
        too_young.chain(gaps).collect()
    }

    fn figures(&self, page: &mut Page) {
        if self.meals.is_empty() {
            page.listed("WHAT HOLDS IT BACK", self.binding.clone());
            return;
        }
        page.heading("WHY EACH MEAL");
        let several = self.children.len() > 1;
        let row = |one: &ProposedMeal| {
            let meal = if several {
                format!("{}, {}", one.meal, one.child)
            } else {
                one.meal.clone()
            };
            let cubes = format!("{} {}", one.cubes, one.title);
            vec![spoken_day(one.date), meal, cubes, one.why.join("; ")]
        };
        page.rows(self.meals.iter().map(row), &[]);
        page.heading("POINTS");
        page.table(
            ["", "each", "points", "of"],
            self.aims.iter().map(AimReport::row),
            &[1, 2, 3],
        );
        page.line("");
        page.paragraph(&format!(
            "{} points in all; our own judgement, more is better. {}",
            decimals(self.objective, 1),
            self.quality_sentence
        ));
        page.listed("WHAT HOLDS IT BACK", self.binding.clone());
        let spoiled = self.spoiled.iter().map(|one| {
            let cubes = counted(one.cubes, "cube");
            format!("{cubes} of {}, by {}", one.title, one.use_by)
        });
        page.listed("NOT EATEN IN TIME", spoiled);
        page.listed("LOWER BOUNDS", self.lower_bounds.clone());
    }
}

impl AimReport {
    /// The row of the objective: name, worth of a unit, points, and the maximum.
    pub fn row(&self) -> Vec<String> {
        let most = Some(self.most_points).filter(|most| *most > 0.0);
        vec![
            self.aim.to_string(),
            decimals(self.weight, 0),
            decimals(self.points, 1),
            most.map_or_else(|| "-".into(), |most| format!("{most:.1}")),
        ]
    }
}

impl ProposedCooking {
    /// `Wed 2 Dec: 2 trays of Butternut`.
    pub fn line(&self) -> String {
        let (day, trays) = (spoken_day(self.date), counted(self.trays, "tray"));
        format!("{day}: {trays} of {}", self.title)
    }
}

fn child_table(request: &Request, proposal: &Proposal, child: usize) -> ChildTable {
    let eater = &request.children[child];
    let settled = request.fixed.iter().filter(|meal| meal.child == child);
    let because = because(request, proposal, child).into_iter();
    ChildTable {
        name: eater.name.clone(),
        meals: eater.meals.clone(),
        days: request.days.clone(),
        settled: settled.map(|meal| (meal.day, meal.meal.clone())).collect(),
        because: if request.children.len() > 1 {
            because
                .map(|words| format!("{}: {words}", eater.name))
                .collect()
        } else {
            because.collect()
        },
    }
}

fn aims(proposal: &Proposal) -> Vec<AimReport> {
    let aims = proposal.aims.iter().map(|aim| AimReport {
        aim: aim.rule.row().id,
        weight: aim.rule.points(),
        points: aim.points,
        short_points: (aim.most - aim.points).max(0.0),
        most_points: aim.most,
    });
    aims.collect()
}

fn meals(request: &Request, proposal: &Proposal) -> Vec<ProposedMeal> {
    let parts = proposal.parts().map(|(meal, part, why)| ProposedMeal {
        date: meal.day,
        child: request.children[meal.child].name.clone(),
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
fn batch(origin: CubeOrigin, request: &Request) -> Option<i64> {
    match origin {
        CubeOrigin::Batch(at) => request.batches.get(at).map(|batch| batch.id),
        CubeOrigin::Cooking { .. } => None,
    }
    .filter(|id| *id != 0)
}

fn cooking(request: &Request, proposal: &Proposal) -> Vec<ProposedCooking> {
    let cookings = proposal.plan.cookings.iter().filter_map(|one| {
        let recipe = request.recipes.get(one.recipe)?;
        Some(ProposedCooking {
            date: one.day,
            recipe: recipe.recipe.clone(),
            title: recipe.title.clone(),
            trays: one.trays,
        })
    });
    cookings.collect()
}
