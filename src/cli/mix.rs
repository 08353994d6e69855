//! `trayful mix`: what a bowl would hold, before it is served. Nothing is recorded.

use std::collections::{BTreeMap, BTreeSet};

use clap::Args;
use data_import::NutrientId;
use jiff::civil::Date;
use trayful::food::FoodId;
use trayful::notebook::{BatchFood, Book, Child, Pick, Stock, TasteRecord};
use trayful::nutrition::{Bowl, GroupTable, Grouping, IntakeTable, Serving, Source};
use trayful::planning::supply::{Origin, Supply};
use trayful::problem::{Problem, nearest};
use trayful::report::{Added, MixPage, MixPart, MixReport, MoreIron};

use super::failure::Failure;
use super::plan::dishes;
use super::said::{Listener, Spoken};
use super::{Answer, DayArg, Session, tastes};

/// Batches that are named for one more cube.
const MOST_NAMED: usize = 3;

/// Arguments of `trayful mix`.
#[derive(Debug, Args)]
pub(super) struct MixArgs {
    /// Cubes and recipes, cooked or not yet, and so much of other food, such as: 1 red-lentil-squash, 30 ml plain yogurt
    #[arg(required = true, value_name = "N RECIPE")]
    what: Vec<String>,
    /// The same with this on top, beside it
    #[arg(long, value_name = "N RECIPE")]
    add: Vec<String>,
    /// The child; may be left out where the book has one
    #[arg(long, value_name = "NAME")]
    of: Option<String>,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(args: &MixArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = book.settings.child(args.of.as_deref())?;
    let day = args.day.day();
    let mut kitchen = Kitchen::new(session, &book, day)?;
    let spoken = Listener::new(session, &book)?.all(&args.what)?;
    let parts = kitchen.parts(&spoken)?;
    let mut on_top = Spoken::default();
    if !args.add.is_empty() {
        on_top = Listener::new(session, &book)?.all(&args.add)?;
    }
    let added = kitchen.parts(&on_top)?;
    let record = book.store()?.tastes(&child.name, day)?;
    let bowl = kitchen.bowl(&parts)?;
    let with: Vec<MixPart> = parts.iter().chain(&added).cloned().collect();
    let foods = foods(&with);
    let age = child.age_on(day);
    let page = MixPage {
        child: &child.name,
        age,
        day,
        bowl: &bowl,
        iron: IntakeTable::builtin()?.intake(NutrientId::IRON, age),
        new: record.new_among(foods.iter().map(|one| (one.id.as_str(), one.name.as_str()))),
        next_free: record.next_free(book.settings.waiting_days),
        warnings: tastes::meal_warnings(&record, &foods, child, day, book.settings.waiting_days),
        more_iron: kitchen.more_iron(child, &record),
        taken_as: spoken
            .taken_as
            .iter()
            .chain(&on_top.taken_as)
            .cloned()
            .collect(),
        parts: &parts,
        added: match added.as_slice() {
            [] => None,
            added => Some(Added {
                parts: added,
                bowl: kitchen.bowl(&with)?,
            }),
        },
    };
    if args.json {
        Answer::json(&MixReport::new(&page))
    } else {
        Ok(Answer::text(page.render(session.look)))
    }
}

/// Every food of some parts.
fn foods(parts: &[MixPart]) -> BTreeSet<BatchFood> {
    let foods = parts.iter().flat_map(|part| &part.serving.foods);
    foods
        .map(|food| BatchFood {
            id: food.id.to_string(),
            name: food.name.clone(),
            allergens: food.allergens.clone(),
        })
        .collect()
}

/// What a bowl is filled from.
struct Kitchen<'a> {
    session: &'a Session,
    book: &'a Book,
    day: Date,
    stock: Vec<Stock>,
    supply: Supply,
    cubes: BTreeMap<i64, Serving>,
}

impl<'a> Kitchen<'a> {
    fn new(session: &'a Session, book: &'a Book, day: Date) -> Result<Self, Failure> {
        let store = book.store()?;
        let stock = store.stock()?;
        let ids: Vec<i64> = stock.iter().map(|stock| stock.batch.id).collect();
        Ok(Self {
            session,
            book,
            day,
            supply: Supply::of_stock(&stock),
            cubes: store.cubes(&ids)?,
            stock,
        })
    }

    /// What was said, as it is served.
    fn parts(&mut self, spoken: &Spoken) -> Result<Vec<MixPart>, Failure> {
        let mut parts = Vec::new();
        for pick in &spoken.picks {
            parts.extend(self.cubes_of(pick)?);
        }
        for helping in &spoken.foods {
            let serving = Serving::of_food(
                Source::Other,
                &helping.food,
                helping.mass,
                helping.allergens.clone(),
            )?;
            parts.push(MixPart {
                said: format!("{} g {}", helping.mass.grams().round(), helping.food.id),
                cubes: None,
                batch: None,
                remark: None,
                serving,
            });
        }
        Ok(parts)
    }

    /// Cubes from the freezer, and what is lacking there as the recipe makes it.
    fn cubes_of(&mut self, pick: &Pick) -> Result<Vec<MixPart>, Failure> {
        let taken = self.supply.take(pick, self.day);
        let mut parts = Vec::new();
        for (lot, cubes) in &taken.parts {
            let Origin::Batch(id) = lot.origin else {
                continue;
            };
            let Some(cube) = self.cubes.get(&id) else {
                continue;
            };
            let past = lot.use_by < self.day;
            parts.push(MixPart {
                said: format!("{cubes} {}", pick.name),
                cubes: Some(*cubes),
                batch: Some(id),
                remark: past.then(|| format!("past its last day, {}", lot.use_by)),
                serving: cube.times(f64::from(*cubes)),
            });
        }
        if taken.short > 0 {
            parts.push(self.not_cooked(pick, taken.short)?);
        }
        Ok(parts)
    }

    fn not_cooked(&self, pick: &Pick, cubes: u32) -> Result<MixPart, Failure> {
        let dishes = dishes(self.session, self.book, std::slice::from_ref(&pick.name))?;
        let Some(dish) = dishes.get(&pick.name) else {
            return Err(self.lacking(pick, pick.cubes - cubes)?);
        };
        Ok(MixPart {
            said: format!("{cubes} {}", pick.name),
            cubes: Some(cubes),
            batch: None,
            remark: Some("not cooked yet, by its recipe".to_string()),
            serving: dish.cube.times(f64::from(cubes)),
        })
    }

    fn lacking(&self, pick: &Pick, there: u32) -> Result<Failure, Failure> {
        let what = if there > 0 || pick.name.starts_with('#') {
            format!(
                "there are {there} cubes of `{}`, not {}",
                pick.name, pick.cubes
            )
        } else {
            format!("there is no cube and no recipe called `{}`", pick.name)
        };
        let recipes = self.book.recipe_names()?;
        let frozen = self.stock.iter().map(|stock| stock.batch.name.as_str());
        let near = nearest(&pick.name, recipes.iter().map(String::as_str).chain(frozen));
        let hint = near.map_or_else(
            || "see what there is with `trayful freezer`".to_string(),
            |near| format!("did you mean `{near}`?"),
        );
        Ok(Problem::new(what).hint(hint).into())
    }

    /// Parts in a bowl, and what their foods count for.
    fn bowl(&self, parts: &[MixPart]) -> Result<Bowl, Failure> {
        let servings: Vec<Serving> = parts.iter().map(|part| part.serving.clone()).collect();
        let ids = servings.iter().flat_map(|serving| &serving.foods);
        let ids: BTreeSet<FoodId> = ids.map(|food| food.id.clone()).collect();
        let ids: Vec<FoodId> = ids.into_iter().collect();
        let table = GroupTable::builtin()?;
        let foods = self
            .session
            .pantry(None)?
            .foods(&ids)?
            .into_iter()
            .flatten();
        let groups: BTreeMap<FoodId, Grouping> = foods
            .map(|food| (food.id.clone(), table.grouping_of(&food)))
            .collect();
        Ok(Bowl::of(servings, groups))
    }

    /// The batches of which one more cube brings the most iron, in time and without anything on record against them.
    fn more_iron(&self, child: &Child, record: &TasteRecord) -> Vec<MoreIron> {
        let mut best: Vec<MoreIron> = Vec::new();
        let in_time =
            |lot: &&trayful::planning::supply::Lot| lot.from <= self.day && lot.use_by >= self.day;
        for lot in self.supply.left().filter(in_time) {
            let Origin::Batch(id) = lot.origin else {
                continue;
            };
            let batch = self.stock.iter().find(|stock| stock.batch.id == id);
            let (Some(cube), Some(batch)) = (self.cubes.get(&id), batch) else {
                continue;
            };
            if against(child, record, cube) || best.iter().any(|one| one.recipe == lot.name) {
                continue;
            }
            let foods = cube
                .foods
                .iter()
                .map(|food| (food.id.as_str(), food.name.as_str()));
            best.push(MoreIron {
                batch: id,
                recipe: lot.name.clone(),
                title: batch.batch.title.clone(),
                iron: cube.total(NutrientId::IRON),
                new: record.new_among(foods),
            });
        }
        let iron = |one: &MoreIron| one.iron.known.unwrap_or(0.0);
        best.sort_by(|a, b| iron(b).total_cmp(&iron(a)));
        best.truncate(MOST_NAMED);
        best
    }
}

/// Whether an allergy, or something noted after a meal, speaks against a cube.
fn against(child: &Child, record: &TasteRecord, cube: &Serving) -> bool {
    cube.foods.iter().any(|food| {
        let allergy = |allergen: &String| {
            child
                .allergies
                .iter()
                .any(|known| known.eq_ignore_ascii_case(allergen))
        };
        let tastes = &record.foods;
        let noted = tastes.iter().find(|taste| taste.food == food.id.as_str());
        food.allergens.iter().any(allergy) || noted.is_some_and(|taste| !taste.reactions.is_empty())
    })
}
