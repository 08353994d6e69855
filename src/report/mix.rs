//! A bowl as a page and as JSON.

use data_import::{NutrientId, nutrients};
use jiff::civil::Date;

use super::number::{amount, decimals, percent};
use super::plan::{plural, short_name};
use super::plan_calendar::lower;
use super::text::{Look, Page, Sheet};
use crate::household::{BeforeServing, BowlPart, MoreIron};
use crate::nutrition::{AgeMonths, Bound, Bowl, Intake, Total};

/// Something on top of a bowl.
#[derive(Debug)]
pub struct Added<'a> {
    /// What it is.
    pub parts: &'a [BowlPart],
    /// The bowl with it.
    pub bowl: Bowl,
}

/// What is said of a bowl.
#[derive(Debug)]
pub struct MixPage<'a> {
    /// Who it is for.
    pub child: &'a str,
    /// Age on that day.
    pub age: AgeMonths,
    /// The day.
    pub day: Date,
    /// What is in it.
    pub parts: &'a [BowlPart],
    /// The bowl.
    pub bowl: &'a Bowl,
    /// The same with something on top.
    pub added: Option<Added<'a>>,
    /// Reference intake of iron at that age.
    pub iron: Option<Intake>,
    /// What is to be known before it is served.
    pub before: BeforeServing,
    /// One more cube, the most iron first.
    pub more_iron: Vec<MoreIron>,
    /// How words were understood.
    pub taken_as: Vec<String>,
}

impl MixPage<'_> {
    /// The page as text.
    pub fn render(&self, look: Look) -> String {
        let mut page = Page::new(look);
        let months = plural(u32::from(self.age.0), "month");
        page.heading(&format!(
            "A BOWL FOR {}, {} {months} old on {}",
            self.child, self.age.0, self.day
        ));
        self.contents(&mut page);
        page.line("");
        self.figures(&mut page);
        page.line("");
        self.vitamin_c(&mut page);
        self.who_is_new(&mut page);
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
            let name = match part.cubes {
                Some(cubes) => format!("{cubes} {}", lower(&part.serving.what)),
                None => short_name(&part.serving.what),
            };
            let batch = part.batch.map_or_else(String::new, |id| format!("#{id}"));
            let remark = part.remark.clone().unwrap_or_default();
            let mass = format!("{:.0} g", part.serving.mass.grams());
            let plus = self.added.as_ref().map(|_| plus.to_string());
            let row = plus.into_iter().chain([name, batch, mass, remark]);
            row.collect::<Vec<_>>()
        });
        page.sheet(Sheet {
            rows: rows.collect(),
            right: vec![if self.added.is_some() { 3 } else { 2 }],
            ..Sheet::default()
        });
        for understood in &self.taken_as {
            page.paragraph(&format!("{understood}."));
        }
    }

    fn figures(&self, page: &mut Page) {
        let added = self.added.as_ref().map(|added| &added.bowl);
        let bowls: Vec<&Bowl> = std::iter::once(self.bowl).chain(added).collect();
        let rows = self.rows().into_iter().map(|(name, figure)| {
            let mut row = vec![name];
            row.extend(bowls.iter().map(|bowl| figure(bowl)));
            row
        });
        let header = match &self.added {
            None => Vec::new(),
            Some(_) => ["", "as it is", "with what is added"]
                .map(String::from)
                .to_vec(),
        };
        page.sheet(Sheet {
            header,
            rows: rows.collect(),
            right: Vec::new(),
        });
        let missing = self.bowl.total(NutrientId::IRON).missing;
        if !missing.is_empty() {
            let names: Vec<String> = missing.iter().map(|id| self.name_of(id.as_str())).collect();
            page.paragraph(&format!(
                "No value of iron for {}: it is a lower bound.",
                names.join("; ")
            ));
        }
    }

    /// What is said of a bowl, each with its name.
    fn rows(&self) -> Vec<(String, Figure<'_>)> {
        let energy_density = |bowl: &Bowl| bounded(bowl.energy_density(), 2, " kcal/g");
        let rows: [(&str, Figure<'_>); 7] = [
            ("  from meat, fish, poultry", Box::new(from_flesh)),
            (
                "vitamin C",
                Box::new(|bowl| shown(bowl, NutrientId::VITAMIN_C)),
            ),
            (
                "vitamin C : iron, by moles",
                Box::new(|bowl| bounded(bowl.vitamin_c_per_iron(), 1, " : 1")),
            ),
            ("energy", Box::new(|bowl| shown(bowl, NutrientId::ENERGY))),
            ("energy density", Box::new(energy_density)),
            (
                "mass",
                Box::new(|bowl| format!("{:.0} g", bowl.mass().grams())),
            ),
            ("allergens", Box::new(allergens)),
        ];
        let iron: Figure<'_> = Box::new(|bowl| self.iron_of(bowl));
        let rows = rows
            .into_iter()
            .map(|(name, figure)| (name.to_string(), figure));
        std::iter::once((self.iron_row(), iron))
            .chain(rows)
            .collect()
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
                format!(", {}", percent(known / intake.amount * 100.0))
            });
        format!("{shown}{share}")
    }

    /// Iron, with what a day takes of it at that age.
    fn iron_row(&self) -> String {
        self.iron.as_ref().map_or_else(
            || "iron".to_string(),
            |intake| format!("iron ({} {} mg a day)", intake.kind.label(), intake.amount),
        )
    }

    fn vitamin_c(&self, page: &mut Page) {
        let bowl = self.added.as_ref().map_or(self.bowl, |added| &added.bowl);
        let lacking = bowl
            .vitamin_c_lacking()
            .map_or_else(String::new, |lacking| {
                format!(" Here {} mg more would make that.", decimals(lacking, 1))
            });
        page.paragraph(&format!(
            "Vitamin C in the same meal helps the iron of plants along: infant cereals low in phytate take 2 : 1 \
             by moles (Am J Clin Nutr 65:916, 1997); over whole diets the effect is much smaller (Am J Clin \
             Nutr 73:93, 2001).{lacking}"
        ));
    }

    fn who_is_new(&self, page: &mut Page) {
        if let [one] = self.before.new.as_slice()
            && self.before.next_free.is_none_or(|free| free <= self.day)
        {
            page.paragraph(&format!(
                "{one} is new to {}: it may come today.",
                self.child
            ));
        }
        page.list(
            self.before
                .warnings
                .iter()
                .map(|warning| format!("! {warning}.")),
        );
    }

    fn one_more(&self, page: &mut Page) {
        if self.more_iron.is_empty() {
            return;
        }
        page.heading("ONE MORE CUBE, the most iron first");
        let rows = self.more_iron.iter().map(|one| {
            let new: Vec<String> = one.new.iter().map(|name| short_name(name)).collect();
            vec![
                format!("#{}", one.batch),
                lower(&one.title),
                format!("+ {}", figure(&one.iron, NutrientId::IRON)),
                if new.is_empty() {
                    String::new()
                } else {
                    format!("new: {}", new.join("; "))
                },
            ]
        });
        page.sheet(Sheet {
            rows: rows.collect(),
            ..Sheet::default()
        });
    }

    fn serve_line(&self, page: &mut Page) {
        let added = self.added.iter().flat_map(|added| added.parts);
        let parts: Vec<&BowlPart> = self.parts.iter().chain(added).collect();
        let open = parts
            .iter()
            .filter(|part| part.cubes.is_some() && part.batch.is_none());
        let recipes: Vec<String> = open.map(|part| lower(&part.serving.what)).collect();
        if recipes.is_empty() {
            let said: Vec<&str> = parts.iter().map(|part| part.said.as_str()).collect();
            page.line("Nothing was recorded. When it is served:");
            page.line(&format!("trayful serve \"{}\"", said.join(", ")));
        } else {
            page.paragraph(&format!(
                "Nothing was recorded. It can be served once this is cooked and frozen: {}.",
                recipes.join("; ")
            ));
        }
    }
}

/// Says one thing of a bowl.
type Figure<'a> = Box<dyn Fn(&Bowl) -> String + 'a>;

fn bounded(bound: Option<Bound>, places: u8, unit: &str) -> String {
    bound.map_or_else(
        || "not known".to_string(),
        |bound| format!("{}{}{unit}", bound.sign(), decimals(bound.value(), places)),
    )
}

fn from_flesh(bowl: &Bowl) -> String {
    match bowl.flesh_iron() {
        None => "not known".to_string(),
        Some(Bound::Exactly(0.0)) => "none".to_string(),
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

/// A nutrient of a bowl with its unit.
fn shown(bowl: &Bowl, id: NutrientId) -> String {
    figure(&bowl.total(id), id)
}

fn figure(total: &Total, id: NutrientId) -> String {
    let all = nutrients().unwrap_or_default();
    let nutrient = all.iter().find(|one| one.id == id);
    nutrient.map_or_else(
        || "not known".to_string(),
        |nutrient| amount(total.known, total.complete(), nutrient),
    )
}
