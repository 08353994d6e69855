//! Suggestions for a purée, in words.

use data_import::NutrientId;

use super::combine_json::{money, proof};
use super::interval::Fineness;
use super::number::{decimals, percent};
use super::objections::objection_list;
use super::plan::short_name;
use super::text::{Look, Page};
use crate::combine::{
    Combinations, CombineRequest, LimitKind, Near, NearLimit, PartOf, Suggestion, Tables, Wanted,
};
use crate::nutrition::{AgeMonths, IntakeTable};
use crate::safety::Objection;
use crate::uncertainty::Interval;
use crate::words::{capital, counted, joined, lower};

/// The age whose intake stands beside iron where no age is known: the RDA of 11 mg from 7 months.
const USUAL_AGE: AgeMonths = AgeMonths(7);
/// The last line of every page.
const NOT_ADVICE: &str = "A suggestion from tables, not advice: your child's paediatrician and your local guidance come first.";

/// A page of suggestions.
#[derive(Debug)]
pub struct CombinePage<'a> {
    /// What was asked.
    pub ask: &'a CombineRequest,
    /// What was found.
    pub answer: &'a Combinations,
    /// The objections to each suggestion.
    pub objections: &'a [Vec<Objection>],
    /// Where what each brings of the nutrient asked for most likely lies.
    pub intervals: &'a [Option<Interval>],
    /// The title of the recipe that is the base; empty for none.
    pub base: &'a str,
    /// Currency of every price; empty where there is none.
    pub currency: &'a str,
}

impl CombinePage<'_> {
    /// Renders the page as text.
    ///
    /// Errors: a table of the program cannot be read.
    pub fn render(&self, look: Look) -> Result<String, data_import::Error> {
        let mut page = Page::new(look);
        let serving = self.ask.serving_size();
        if self.answer.suggestions.is_empty() {
            page.heading("NOTHING DOES ALL OF IT");
            page.list(self.answer.nearest.iter().map(|near| self.near(near)));
            if self.answer.nearest.is_empty() {
                page.paragraph(
                    "No single limit is to blame: ask for less at once, or allow more foods.",
                );
            }
        }
        for (at, suggestion) in self.answer.suggestions.iter().enumerate() {
            self.suggestion(&mut page, at + 1, suggestion)?;
        }
        page.line("");
        // The objections that are about no food in particular are those of every suggestion.
        let of_all: Vec<Objection> = self.about(0, |one| one.foods.is_empty()).collect();
        objection_list(&mut page, &of_all);
        let chosen_from = counted(self.answer.candidates, "food");
        let mut below = format!(
            "Chosen from {chosen_from}, for {} of {} ml each.",
            counted(serving.cubes, "cube"),
            decimals(serving.well_ml * serving.fill, 0)
        );
        for left_out in self.left_out() {
            below = format!("{below} {left_out}");
        }
        page.paragraph(&below);
        page.paragraph(NOT_ADVICE);
        Ok(page.finish())
    }

    fn about(
        &self,
        at: usize,
        is_wanted: impl Fn(&Objection) -> bool,
    ) -> impl Iterator<Item = Objection> {
        let objections = self.objections.get(at).into_iter().flatten();
        objections
            .filter(move |objection| is_wanted(objection))
            .cloned()
    }

    fn left_out(&self) -> Vec<String> {
        let left_out = self.answer.left_out;
        let reasons = [
            (left_out.judged, "not for this child, or not at this age"),
            (left_out.without_price, "no price is known"),
            (left_out.without_value, "a value is not known"),
        ];
        let reasons = reasons.into_iter().filter(|(count, _)| *count > 0);
        reasons
            .map(|(count, why)| format!("{} left out: {why}.", counted(count, "food")))
            .collect()
    }

    fn suggestion(
        &self,
        page: &mut Page,
        rank: usize,
        suggestion: &Suggestion,
    ) -> Result<(), data_import::Error> {
        let kitchen = &suggestion.kitchen;
        // The heading is about what is weighed out, like the line below the amounts.
        page.heading(&format!(
            "{rank}. {}: {}",
            capital(&self.names(suggestion)),
            self.iron(kitchen.iron)?
        ));
        let amounts = kitchen.edible.iter().map(|(part, grams)| {
            let share = suggestion.parts.iter().find(|other| other.part == *part);
            [
                self.part(part),
                share.map_or_else(String::new, |share| {
                    format!("{} % of the puree", decimals(share.share * 100.0, 0))
                }),
                format!("{} g raw, trimmed", decimals(*grams, 0)),
                marked(
                    share.and_then(|share| share.iron_analyses),
                    share.is_some_and(|share| share.new),
                ),
            ]
        });
        let water = (kitchen.water_ml > 0.0).then(|| {
            [
                "water".to_string(),
                String::new(),
                format!("{} ml", decimals(kitchen.water_ml, 0)),
                String::new(),
            ]
        });
        page.rows(amounts.chain(water), &[1, 2]);
        let mut below = format!(
            "Makes about {} cubes with {} mg iron a serving.",
            decimals(kitchen.makes_cubes, 0),
            decimals(kitchen.iron, 2)
        );
        if !kitchen.keeps_limits {
            below += " Rounded to the scale, a limit is just missed.";
        }
        page.paragraph(&below);
        page.paragraphs(self.how_sure(rank));
        page.paragraph(&self.figures(suggestion));
        let limits = held_back(suggestion);
        page.paragraphs(limits.map(|limits| format!("Held back by: {limits}.")));
        page.paragraph(&format!("{}.", capital(&proof(self.ask, rank, suggestion))));
        let of_foods: Vec<Objection> = self
            .about(rank - 1, |suggestion| !suggestion.foods.is_empty())
            .collect();
        objection_list(page, &of_foods);
        Ok(())
    }

    /// Where the amount most likely lies, and whether its low end is what was asked for.
    fn how_sure(&self, rank: usize) -> Option<String> {
        let interval = self.intervals.get(rank - 1)?.as_ref()?;
        let nutrient = self.ask.nutrient;
        let fine = Fineness::of(Some(interval), interval.complete);
        let likely = capital(&fine.most_likely()?);
        let least = self.ask.at_least.map(|least| {
            let reaches = if interval.low >= least {
                "reaches"
            } else {
                "does not reach"
            };
            let least = decimals(least, nutrient.decimals);
            format!(
                "; the low end {reaches} the {least} {} asked for",
                nutrient.unit
            )
        });
        let plain = lower(&nutrient.plain);
        Some(format!(
            "{likely} {} {plain}{}.",
            nutrient.unit,
            least.unwrap_or_default()
        ))
    }

    fn names(&self, suggestion: &Suggestion) -> String {
        let names = suggestion
            .parts
            .iter()
            .filter(|part| part.part != PartOf::Water);
        joined(names.map(|part| self.part(&part.part)), ", ")
    }

    fn part(&self, part: &PartOf) -> String {
        match part {
            PartOf::Food(_, name, _) => plain_name(name),
            PartOf::Base if self.base.is_empty() => "what is there".into(),
            PartOf::Base => self.base.into(),
            PartOf::Water => "water".into(),
        }
    }

    fn iron(&self, iron: f64) -> Result<String, data_import::Error> {
        let age = self.ask.age.unwrap_or(USUAL_AGE).max(USUAL_AGE);
        let intake = IntakeTable::builtin()?.intake(NutrientId::IRON, age);
        let beside = intake.map(|intake| {
            format!(
                " ({} of {} mg a day)",
                percent(iron / intake.amount * 100.0),
                decimals(intake.amount, 0)
            )
        });
        Ok(format!(
            "{} mg iron{}",
            decimals(iron, 2),
            beside.unwrap_or_default()
        ))
    }

    fn figures(&self, suggestion: &Suggestion) -> String {
        let serving = &suggestion.serving;
        let mut figures = vec![
            format!(
                "{} kcal ({} a gram)",
                decimals(serving.energy, 0),
                decimals(suggestion.energy_kcal_per_g, 2)
            ),
            format!("{} mg sodium", decimals(serving.sodium, 0)),
            format!("{} µg retinol", decimals(serving.retinol, 0)),
        ];
        if serving.iron_from_meat_or_fish > 0.0 {
            figures.push(format!(
                "{} mg iron from meat or fish",
                decimals(serving.iron_from_meat_or_fish, 2)
            ));
        } else if let Some(ratio) = serving.vitamin_c_to_iron {
            let least = if serving.vitamin_c_lacks {
                "at least "
            } else {
                ""
            };
            figures.push(format!(
                "vitamin C to iron {least}{} to 1",
                decimals(ratio, 1)
            ));
        }
        if self.ask.nutrient.id != NutrientId::IRON {
            figures.push(self.of_nutrient(serving.goal));
        }
        if let Some(cost) = serving.cost.and_then(money) {
            figures.push(
                format!("{cost:.3} {}", self.currency)
                    .trim_end()
                    .to_string(),
            );
        }
        if self.ask.known.is_some() {
            figures.push(match suggestion.new_foods {
                0 => "nothing new".into(),
                new => counted(new, "new food"),
            });
        }
        format!("A serving: {}.", joined(figures, ", "))
    }

    fn near(&self, near: &Near) -> String {
        let with = joined(near.names.iter().map(|name| plain_name(name)), ", ");
        let with = if with.is_empty() {
            "nothing added".to_string()
        } else {
            with
        };
        let kind = match near.limit {
            NearLimit::One(kind) | NearLimit::WithTarget(kind) => kind,
            NearLimit::NewFoods | NearLimit::FoodsAdded | NearLimit::Without => LimitKind::Target,
        };
        let [wanted, possible] = [&near.wanted, &near.possible].map(|wanted| match wanted {
            Wanted::Figure(figure) => self.figure(*figure, kind),
            Wanted::Count(count) => count.to_string(),
            Wanted::Word(word) => word.clone(),
            Wanted::Would => String::new(),
        });
        match near.limit {
            NearLimit::One(LimitKind::Target) => {
                format!("Not {wanted}: the most is {possible} ({with}).")
            }
            NearLimit::One(_) => format!("Not with {wanted}: {possible} would do ({with})."),
            NearLimit::WithTarget(_) => format!(
                "Even with less {} than asked not with {wanted}: {possible} would do ({with}).",
                self.ask.nutrient.plain.to_lowercase()
            ),
            NearLimit::NewFoods => format!(
                "With {possible} in place of {} it goes ({with}).",
                counted_new(&near.wanted)
            ),
            NearLimit::FoodsAdded => format!("With {possible} foods added it goes ({with})."),
            NearLimit::Without => format!("With {wanted} it goes ({with})."),
        }
    }

    /// An amount of the nutrient asked for: `2.10 mg iron`.
    fn of_nutrient(&self, amount: f64) -> String {
        let (amount, nutrient) = (decimals(amount, 2), self.ask.nutrient);
        let plain = nutrient.plain.to_lowercase();
        format!("{amount} {} {plain}", nutrient.unit)
    }

    fn figure(&self, figure: f64, kind: LimitKind) -> String {
        match kind {
            LimitKind::Target | LimitKind::Share(_) => self.of_nutrient(figure),
            LimitKind::EnergyDensity => format!("{} kcal a gram", decimals(figure, 2)),
            LimitKind::Money => {
                format!("{} {} a serving", decimals(figure, 3), self.currency).replace("  ", " ")
            }
            LimitKind::Sodium => format!("{} mg sodium a serving", decimals(figure, 0)),
            LimitKind::Retinol => format!(
                "{} of a day's upper level of retinol",
                percent(figure * 100.0)
            ),
            LimitKind::VitaminC => format!("vitamin C to iron {} to 1", decimals(figure, 1)),
            LimitKind::Thickest => format!("{} of dry matter at most", percent(figure * 100.0)),
            LimitKind::Thinnest => format!("{} of dry matter at least", percent(figure * 100.0)),
        }
    }
}

/// The name of a food without what all of them are.
fn plain_name(name: &str) -> String {
    let name = short_name(name).to_lowercase();
    let plain = name
        .strip_suffix(", raw")
        .or_else(|| name.strip_suffix(", mature seeds, raw"));
    plain.unwrap_or(&name).to_string()
}

fn counted_new(wanted: &Wanted) -> String {
    match wanted {
        Wanted::Count(count) => counted(*count, "new food"),
        _ => String::new(),
    }
}

/// What a parent is to know of a food's value, and that it is new.
fn marked(iron_analyses: Option<u32>, new: bool) -> String {
    let measured = match iron_analyses {
        Some(0) => Some("its iron was not measured but estimated"),
        Some(1) => Some("its iron rests on one analysis"),
        _ => None,
    };
    let new = new.then_some("a new food");
    joined([new, measured].into_iter().flatten(), "; ")
}

fn held_back(suggestion: &Suggestion) -> Option<String> {
    let tables = Tables::builtin().ok()?;
    let limits = suggestion.held_back.iter().filter_map(|kind| {
        Some(match kind {
            LimitKind::Target => "what was asked is just reached",
            LimitKind::EnergyDensity => "energy, which would be too thin with more",
            LimitKind::Money => "money",
            LimitKind::Sodium => "sodium",
            LimitKind::Retinol => "retinol",
            LimitKind::VitaminC => "vitamin C for the iron",
            LimitKind::Thickest => "thickness, which would be too dry with more",
            LimitKind::Thinnest => "thickness, which would be too wet with more",
            LimitKind::Share(at) => tables.rules.get(*at)?.says.as_str(),
        })
    });
    let limits = joined(limits, "; ");
    (!limits.is_empty()).then_some(limits)
}
