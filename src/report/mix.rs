//! A bowl as a page and as JSON.

use data_import::NutrientId;
use jiff::civil::Date;

use super::interval::Fineness;
use super::number::{amount_of, bounded_percent, decimals, nutrient, or_not_known, percent};
use super::objections::objection_list;
use super::plan::short_name;
use super::text::{Look, Page};
use crate::household::{BeforeServing, BowlPart, MoreIron};
use crate::next_step::{NextStep, TypedBowl};
use crate::nutrition::reading::NO_REFERENCE;
use crate::nutrition::vitamin_c::{LITTLE_PHYTATE, RICH_IN_PHYTATE};
use crate::nutrition::{AgeMonths, Bound, Bowl, Intake, SOLIDS_FROM};
use crate::safety::Objection;
use crate::words::{counted, lower};

/// A topping of a bowl.
#[derive(Debug)]
pub struct Added<'a> {
    /// The parts of the topping.
    pub parts: &'a [BowlPart],
    /// The bowl with the topping.
    pub bowl: Bowl,
}

/// One more cube, as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OneMore {
    /// Number of its batch.
    pub batch: i64,
    /// Title of its recipe.
    pub title: String,
    /// The iron it brings.
    pub iron: String,
    /// The foods in it that are new to the child; empty for none.
    pub new: String,
}

/// The page of a bowl.
#[derive(Debug)]
pub struct MixPage<'a> {
    /// The name of the child.
    pub child: &'a str,
    /// Whether the book has other children, too.
    pub of_several: bool,
    /// Age on that day.
    pub age: AgeMonths,
    /// The day.
    pub day: Date,
    /// The parts of the bowl.
    pub parts: &'a [BowlPart],
    /// The bowl.
    pub bowl: &'a Bowl,
    /// The bowl with a topping.
    pub added: Option<Added<'a>>,
    /// Reference intake of iron at that age.
    pub iron: Option<Intake>,
    /// The findings before the bowl is served.
    pub before: BeforeServing,
    /// Cubes that would add iron, the most iron first.
    pub more_iron: Vec<MoreIron>,
    /// Notes on how typed names of foods were resolved.
    pub taken_as: Vec<String>,
}

impl MixPage<'_> {
    /// The page as text.
    pub fn render(&self, look: Look) -> String {
        let mut page = Page::new(look);
        page.heading(&format!(
            "A BOWL FOR {}, {} old on {}",
            self.child,
            counted(self.age.0, "month"),
            self.day
        ));
        objection_list(&mut page, &self.before.objections);
        self.contents(&mut page);
        page.line("");
        self.figures(&mut page);
        page.line("");
        page.paragraphs(self.vitamin_c());
        page.paragraphs(self.new_today());
        self.one_more(&mut page);
        page.line("");
        self.serve_line(&mut page);
        page.finish()
    }

    fn contents(&self, page: &mut Page) {
        let added = self
            .added
            .iter()
            .flat_map(|added| added.parts.iter().map(|part| ("+", part)));
        let parts = self.parts.iter().map(|part| ("", part)).chain(added);
        let rows = parts.map(|(plus, part)| {
            let name = Self::name_of_part(part);
            let batch = part.batch.map_or_else(String::new, |id| format!("#{id}"));
            let remark = part.remark.clone().unwrap_or_default();
            let mass = format!("{:.0} g", part.serving.mass.grams());
            let plus = self.added.as_ref().map(|_| plus.to_string());
            let row = plus.into_iter().chain([name, batch, mass, remark]);
            row.collect::<Vec<_>>()
        });
        page.rows(rows, &[if self.added.is_some() { 3 } else { 2 }]);
        page.paragraphs(self.taken_as.iter().map(|words| format!("{words}.")));
    }

    fn figures(&self, page: &mut Page) {
        let with_added = self.added.as_ref().map(|added| self.rows(&added.bowl));
        let mut with_added = with_added.into_iter().flatten();
        let rows = self.rows(self.bowl).into_iter().map(|(name, figure)| {
            let beside = with_added.next().map(|(_, figure)| figure);
            [name, figure].into_iter().chain(beside).collect::<Vec<_>>()
        });
        let header = match &self.added {
            None => Vec::new(),
            Some(_) => ["", "as it is", "with what is added"]
                .map(String::from)
                .to_vec(),
        };
        page.table(header, rows, &[]);
        page.paragraphs(self.without_iron());
    }

    /// The figures of the bowl as it is: name and amount.
    pub fn figure_rows(&self) -> Vec<(String, String)> {
        let rows = self.rows(self.bowl).into_iter();
        rows.map(|(name, figure)| (name.trim_start().to_string(), figure))
            .collect()
    }

    /// The foods in it without a value of iron.
    pub fn without_iron(&self) -> Option<String> {
        let missing = self.bowl.total(NutrientId::IRON).missing;
        let names: Vec<String> = missing.iter().map(|id| self.name_of(id.as_str())).collect();
        (!names.is_empty()).then(|| {
            let names = names.join("; ");
            format!("No value of iron for {names}: it is a lower bound.")
        })
    }

    /// A part of the bowl in a few words: `2 beef, beetroot and barley`.
    pub fn name_of_part(part: &BowlPart) -> String {
        match part.cubes {
            Some(cubes) => format!("{cubes} {}", lower(&part.serving.what)),
            None => short_name(&part.serving.what),
        }
    }

    /// The rows of the table of figures of a bowl: name and figure. Vitamin C beside iron has none with meat or fish in
    /// the bowl as it is.
    fn rows(&self, bowl: &Bowl) -> Vec<(String, String)> {
        let named = |name: &str, figure| (name.to_string(), figure);
        let ratio = self.bowl.vitamin_c_wanted().map(|_| {
            let ratio = bounded(bowl.vitamin_c_per_iron(), 1, " : 1");
            named("vitamin C : iron, by moles", ratio)
        });
        let before = [
            (self.iron_row(), self.iron_of(bowl)),
            named("  from meat, fish, poultry", from_flesh(bowl)),
            named("vitamin C", shown(bowl, NutrientId::VITAMIN_C)),
        ];
        let behind = [
            named("energy", shown(bowl, NutrientId::ENERGY)),
            named(
                "energy density",
                bounded(bowl.energy_density(), 2, " kcal/g"),
            ),
            named("mass", format!("{:.0} g", bowl.mass().grams())),
            named("allergens", allergens(bowl)),
        ];
        before.into_iter().chain(ratio).chain(behind).collect()
    }

    fn name_of(&self, id: &str) -> String {
        let foods = self.bowl.servings.iter().flat_map(|serving| &serving.foods);
        let mut of_it = foods.filter(|food| food.id.as_str() == id);
        of_it
            .next()
            .map_or_else(|| id.to_string(), |food| short_name(&food.name))
    }

    fn iron_of(&self, bowl: &Bowl) -> String {
        let shown = shown(bowl, NutrientId::IRON);
        let known = bowl.total(NutrientId::IRON).known;
        let share = known
            .zip(self.iron.as_ref())
            .map_or_else(String::new, |(known, intake)| {
                let share = fineness(bowl, NutrientId::IRON).share(known / intake.amount * 100.0);
                format!(", {share}")
            });
        format!("{shown}{share}")
    }

    /// Iron with its ends and its share of a day, for where there is little room: `1.3 mg (0.9 to
    /// 1.8), 12 % of 11 mg (RDA)`.
    pub fn iron_in_short(&self) -> String {
        let iron = self.iron_of(self.bowl);
        let known = self.bowl.total(NutrientId::IRON).known.is_some();
        match &self.iron {
            Some(intake) if known => {
                format!("{iron} of {} mg ({})", intake.amount, intake.kind.label())
            }
            Some(_) => iron,
            None => format!("{iron}; {NO_REFERENCE}"),
        }
    }

    /// Energy and mass, for where there is little room: `93 kcal · 62 g`.
    pub fn energy_in_short(&self) -> String {
        let energy = amount_of(&self.bowl.total(NutrientId::ENERGY), NutrientId::ENERGY);
        format!("{energy} \u{b7} {:.0} g", self.bowl.mass().grams())
    }

    /// Iron, with what a day takes of it at that age.
    fn iron_row(&self) -> String {
        let reference = match &self.iron {
            Some(intake) => {
                let ear = intake.ear.map(|ear| format!(", EAR {ear} mg"));
                let (kind, amount) = (intake.kind.label(), intake.amount);
                format!("{kind} {amount} mg{} a day", ear.unwrap_or_default())
            }
            None => NO_REFERENCE.into(),
        };
        format!("iron ({reference})")
    }

    /// The sentence on vitamin C and iron in this bowl, with its sources; `None` with meat, fish or poultry in it.
    pub fn vitamin_c(&self) -> Option<String> {
        let bowl = self.added.as_ref().map_or(self.bowl, |added| &added.bowl);
        let wanted = bowl.vitamin_c_wanted()?;
        let looked_for = if wanted > LITTLE_PHYTATE {
            format!(
                "{wanted} : 1 by moles is looked for where there is much phytate, as in {RICH_IN_PHYTATE} (WHO and FAO, 2006)"
            )
        } else {
            format!(
                "infant cereals low in phytate take {wanted} : 1 by moles (Am J Clin Nutr 65:916, 1997)"
            )
        };
        let lacking = bowl
            .vitamin_c_lacking()
            .map_or_else(String::new, |lacking| {
                format!(" Here {} mg more would make that.", decimals(lacking, 1))
            });
        Some(format!(
            "Vitamin C in the same meal helps the iron of plants along: {looked_for}; over whole diets the effect is much smaller (Am J Clin Nutr \
             73:93, 2001).{lacking}"
        ))
    }

    /// The one food that is new to the child, where it may come that day.
    pub fn new_today(&self) -> Option<String> {
        let free =
            self.before.next_free.is_none_or(|free| free <= self.day) && self.age >= SOLIDS_FROM;
        match self.before.new.as_slice() {
            [one] if free && !self.is_stopped() => Some(format!(
                "{one} is new to {}: it may come today.",
                self.child
            )),
            _ => None,
        }
    }

    /// Whether the bowl is not to be given.
    fn is_stopped(&self) -> bool {
        self.before.objections.iter().any(Objection::is_block)
    }

    /// The amounts that one more cube would add, the most iron first.
    pub fn one_more_cube(&self) -> Vec<OneMore> {
        let one_more = |one: &MoreIron| {
            let new: Vec<String> = one.new.iter().map(|name| short_name(name)).collect();
            OneMore {
                batch: one.batch,
                title: lower(&one.title),
                iron: format!("+ {}", amount_of(&one.iron, NutrientId::IRON)),
                new: if new.is_empty() {
                    String::new()
                } else {
                    format!("new: {}", new.join("; "))
                },
            }
        };
        self.more_iron.iter().map(one_more).collect()
    }

    fn one_more(&self, page: &mut Page) {
        if self.more_iron.is_empty() {
            return;
        }
        page.heading("ONE MORE CUBE, the most iron first");
        let rows = self.one_more_cube().into_iter();
        let rows = rows.map(|one| {
            let batch = format!("#{}", one.batch);
            vec![batch, one.title, one.iron, one.new]
        });
        page.rows(rows, &[]);
    }

    fn serve_line(&self, page: &mut Page) {
        let added = self.added.iter().flat_map(|added| added.parts);
        let parts: Vec<&BowlPart> = self.parts.iter().chain(added).collect();
        let open = parts
            .iter()
            .filter(|part| part.cubes.is_some() && part.batch.is_none());
        let recipes: Vec<String> = open.map(|part| lower(&part.serving.what)).collect();
        if self.is_stopped() {
            page.line("Nothing was recorded.");
        } else if recipes.is_empty() {
            let typed = parts.iter().map(|part| part.typed.clone()).collect();
            page.line("Nothing was recorded. When it is served:");
            let child = self.of_several.then(|| self.child.to_owned());
            let bowl = TypedBowl {
                parts: typed,
                child,
            };
            let step = NextStep::ServeThis(Box::new(bowl));
            page.line(&(page.look().step)(&step));
        } else {
            page.paragraph(&format!(
                "Nothing was recorded. It can be served once this is cooked and frozen: {}.",
                recipes.join("; ")
            ));
        }
    }
}

fn bounded(bound: Option<Bound>, places: u8, unit: &str) -> String {
    let figure =
        |bound: Bound| format!("{}{}{unit}", bound.sign(), decimals(bound.value(), places));
    or_not_known(bound.map(figure))
}

fn from_flesh(bowl: &Bowl) -> String {
    match bowl.flesh_iron() {
        None => "not known".to_string(),
        Some(Bound::Exactly(0.0)) => "none".to_string(),
        Some(Bound::AtLeast(share)) => bounded_percent(share * 100.0, false),
        Some(share) => format!("{}{}", share.sign(), percent(share.value() * 100.0)),
    }
}

fn allergens(bowl: &Bowl) -> String {
    let allergens: Vec<&str> = bowl.allergens().into_iter().collect();
    if allergens.is_empty() {
        "none by name".to_string()
    } else {
        allergens.join(", ")
    }
}

/// How finely a nutrient of a bowl and its shares are shown.
fn fineness(bowl: &Bowl, id: NutrientId) -> Fineness {
    let interval = bowl.interval(id);
    Fineness::of(interval.as_ref(), bowl.total(id).complete())
}

/// A nutrient of a bowl with its unit and its ends: `1.3 mg (0.9 to 1.8)`.
fn shown(bowl: &Bowl, id: NutrientId) -> String {
    let total = bowl.total(id);
    nutrient(id).map_or_else(
        || amount_of(&total, id),
        |nutrient| fineness(bowl, id).amount_with_ends(total.known, nutrient),
    )
}
