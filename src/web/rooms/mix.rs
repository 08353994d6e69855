//! A bowl of cubes from the freezer: its figures as of today, and the form that serves it on a day.

use askama::Template;
use data_import::NutrientId;

use super::at_hand::due_meal;
use super::bowl::{self, CUBES, ServingRow};
use super::meal_form::{MealForm, serve};
use super::phrases::{self, SelectOption};
use super::stops;
use crate::household::{BowlPart, Mixing, TypedServings};
use crate::notebook::{Child, Feeding, Stock};
use crate::nutrition::IntakeTable;
use crate::report::{MixPage, ObjectionLine, OneMore};
use crate::safety::Severity;
use crate::spoken::Lookup as _;
use crate::web::objections::{first_sentence, gravest_stop, read_on};
use crate::web::{
    Fields, Layout, PageAnswer, PageError, PageRequest, PageResult, Reply, ShownObjections, Wrong,
};
use crate::words::day;

#[derive(Template)]
#[template(path = "web/mix.html")]
struct MixRoom<'a> {
    layout: Layout,
    rows: Vec<ServingRow>,
    fields: &'a Fields,
    objections: Vec<ObjectionLine>,
    figures: String,
    result: String,
    meals: Vec<SelectOption>,
    on: String,
    /// The child of the bowl; empty where the book has one child only.
    whose: &'a str,
    wrong: Wrong,
}

/// The contents and the figures of the bowl, as a part of the page or fetched alone.
#[derive(Template)]
#[template(path = "web/mix-figures.html")]
struct BowlFigures<'a> {
    bowl: &'a Option<BowlAnswer>,
    result: &'a str,
    /// Whether it is fetched alone: the page itself shows the objections and the answer in short
    /// elsewhere.
    alone: bool,
    wrong: &'a Wrong,
}

/// The answer in short, for the bar that stays in sight.
#[derive(Template)]
#[template(path = "web/mix-result.html")]
struct BowlInShort<'a> {
    bowl: &'a Option<BowlAnswer>,
    wrong: &'a Wrong,
}

/// A bowl as text.
struct BowlAnswer {
    parts: Vec<(String, String)>,
    figures: Vec<(String, String)>,
    iron: String,
    energy: String,
    without_iron: Option<String>,
    vitamin_c: Option<String>,
    new_today: Option<String>,
    shown: ShownObjections,
    taken_as: Vec<String>,
    one_more: Vec<OneMore>,
}

impl BowlAnswer {
    /// The gravest objection, where it stops the bowl, and the first sentence of its reason; shown
    /// before the figures.
    fn stop(&self) -> Option<(&ObjectionLine, &str)> {
        gravest_stop(&self.shown.lines)
    }

    /// The gravest objection, where nothing stops the bowl; for a warning with the first sentence
    /// of its reason.
    fn remark(&self) -> Option<(&ObjectionLine, &str)> {
        let gravest = self.shown.lines.first();
        let gravest = gravest.filter(|_| self.stop().is_none())?;
        let reason = match gravest.severity {
            Severity::Mind => "",
            Severity::Warn | Severity::Block => first_sentence(&gravest.text),
        };
        Some((gravest, reason))
    }

    /// The link to all objections.
    fn read_on(&self) -> String {
        read_on(&self.shown.lines)
    }
}

/// Shows the bowl in the address.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let mut wrong = Wrong::default();
    let fields = &request.address.query;
    let typed = bowl::typed(request, fields, &mut wrong)?;
    answer(request, fields, &typed, wrong)
}

/// The figures of the bowl alone.
pub(in crate::web) fn figures(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut wrong = Wrong::default();
    let typed = bowl::typed(request, fields, &mut wrong)?;
    let bowl = worked_out(request, fields, &typed, &mut wrong)?;
    let bowl = &bowl.filter(|_| wrong.is_empty());
    let wrong = &wrong;
    let result = &BowlInShort { bowl, wrong }.render()?;
    let alone = true;
    let part = BowlFigures {
        bowl,
        result,
        alone,
        wrong,
    };
    Reply::checked(&part, wrong.is_empty())
}

/// Serves the bowl, or shows it where a button asks for that.
pub(in crate::web) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    if let Some(address) = address_to_show(fields) {
        return Ok(Reply::See(address));
    }
    let mut wrong = Wrong::default();
    let typed = bowl::typed(request, fields, &mut wrong)?;
    let child = wrong.check("child", child(request, fields))?;
    let form = MealForm::of(request, fields, child, &mut wrong);
    if let Some(form) = form.filter(|_| wrong.is_empty()) {
        let feeding = Feeding {
            picks: &typed.picks,
            foods: &typed.foods,
            ..form.feeding()
        };
        let (name, went) = (&form.child.name, form.went.words());
        let done = format!("{name}, {}: the bowl, {went}.", day(form.on));
        let sent = (fields, "cubes");
        let at = ("/mix", "/mix");
        let meal = (form.child, &feeding);
        if let Some(answer) = serve(request, sent, meal, done, at, "/", &mut wrong)? {
            return Ok(answer);
        }
    }
    answer(request, fields, &typed, wrong)
}

/// The child that the form names, else the first that is seen.
fn child<'a>(request: &'a PageRequest<'_>, fields: &Fields) -> PageResult<&'a Child> {
    let settings = &request.book.settings;
    match fields.text("child") {
        "" => request.children().first().ok_or(PageError::NotFound),
        name => Ok(settings.child(Some(name))?),
    }
}

/// The page with the bowl of the fields.
fn answer(
    request: &PageRequest<'_>,
    fields: &Fields,
    typed: &TypedServings,
    mut wrong: Wrong,
) -> PageAnswer {
    let bowl = worked_out(request, fields, typed, &mut wrong)?;
    let stock = request.record()?.stock()?;
    let in_time = stock
        .iter()
        .filter(|stock| stock.batch.use_by >= request.today);
    let whose = child(request, fields).ok();
    let mut marks = stops::of_freezer(request, request.today, whose)?;
    let row = |stock: &Stock| {
        let about = format!("#{}, {} left", stock.batch.id, stock.left);
        let stop = marks.remove(&stock.batch.id).unwrap_or_default();
        ServingRow::of_batch(stock, (about, stop), fields)
    };
    let meal = match fields.text("meal") {
        "" if fields.text("on").is_empty() => due_meal(request)?.unwrap_or_default(),
        meal => meal.to_string(),
    };
    let settings = &request.book.settings;
    let whose = whose.filter(|_| settings.children.len() > 1);
    let result = BowlInShort {
        bowl: &bowl,
        wrong: &wrong,
    };
    let result = result.render()?;
    let figures = BowlFigures {
        bowl: &bowl,
        result: &result,
        alone: false,
        wrong: &wrong,
    };
    let page = MixRoom {
        layout: Layout::of(request, "Mix a bowl", "/mix"),
        rows: in_time.map(row).collect(),
        fields,
        figures: figures.render()?,
        result,
        objections: bowl.map_or_else(Vec::new, |bowl| bowl.shown.lines),
        meals: phrases::meals(settings, &meal),
        on: phrases::or_today(request, fields),
        whose: whose.map_or("", |child| &child.name),
        wrong,
    };
    Reply::checked(&page, page.wrong.is_empty())
}

/// The figures of the bowl; `None` where it is empty. Mistakes are noted.
fn worked_out(
    request: &PageRequest<'_>,
    fields: &Fields,
    typed: &TypedServings,
    wrong: &mut Wrong,
) -> PageResult<Option<BowlAnswer>> {
    let child = wrong.check("child", child(request, fields))?;
    let nothing = typed.picks.is_empty() && typed.foods.is_empty();
    match child.filter(|_| !nothing) {
        Some(child) => wrong.check("cubes", bowl_page(request, child, typed)),
        None => Ok(None),
    }
}

/// The address of the bowl, where a button asks to show it, perhaps with one more cube or with what
/// is meant; `None` for a meal that is to be recorded, and for a bowl that is too long for an
/// address.
fn address_to_show(fields: &Fields) -> Option<String> {
    let more = fields.text("more");
    if more.is_empty() && fields.text("work").is_empty() && !fields.is_choice() {
        return None;
    }
    let cubes = fields.beginning(CUBES);
    let mut made: Vec<(String, String)> = cubes
        .filter(|(_, cubes)| !cubes.is_empty() && *cubes != "0")
        .map(|(batch, cubes)| (format!("{CUBES}{batch}"), cubes.to_string()))
        .collect();
    if !more.is_empty() {
        one_more(&mut made, &format!("{CUBES}{more}"));
    }
    let others = ["other", "child", "meal", "on", "seen"].into_iter();
    let others = others.map(|name| (name.to_string(), fields.text(name).to_string()));
    made.extend(others.filter(|(_, value)| !value.is_empty()));
    phrases::address("/mix", made)
}

/// Adds a cube of a batch to the fields.
fn one_more(made: &mut Vec<(String, String)>, name: &str) {
    match made.iter_mut().find(|(known, _)| known == name) {
        Some((_, cubes)) => {
            let more = cubes
                .parse::<u32>()
                .map_or(1, |cubes| cubes.saturating_add(1));
            *cubes = more.to_string();
        }
        None => made.push((name.to_string(), "1".to_string())),
    }
}

fn bowl_page(
    request: &PageRequest<'_>,
    child: &Child,
    typed: &TypedServings,
) -> PageResult<BowlAnswer> {
    let pantry = request.foods()?;
    let mut mixing = Mixing::new(&request.book, &pantry, request.today)?;
    let parts = mixing.parts(typed, &|| request.foods())?;
    let record = mixing.tastes(child)?;
    let age = child.age_on(request.today);
    let page = MixPage {
        child: &child.name,
        of_several: request.book.settings.only_child().is_none(),
        age,
        day: request.today,
        parts: &parts,
        bowl: &mixing.bowl(&parts)?,
        added: None,
        iron: IntakeTable::builtin()?.intake(NutrientId::IRON, age),
        before: mixing.before_serving(&parts, child, &record)?,
        more_iron: mixing.more_iron(child, &record)?,
        taken_as: [&typed.names_taken_as[..], &typed.taken_as].concat(),
    };
    Ok(BowlAnswer {
        parts: parts.iter().map(part).collect(),
        figures: page.figure_rows(),
        iron: page.iron_in_short(),
        energy: page.energy_in_short(),
        without_iron: page.without_iron(),
        vitamin_c: page.vitamin_c(),
        new_today: page.new_today(),
        shown: ShownObjections::of(&page.before.objections, &[]),
        one_more: page.one_more_cube(),
        taken_as: page.taken_as,
    })
}

/// A part of the bowl, and where it comes from.
fn part(part: &BowlPart) -> (String, String) {
    let batch = part.batch.map(|batch| format!("#{batch}"));
    let remark = part.remark.clone();
    let about: Vec<String> = batch.into_iter().chain(remark).collect();
    (MixPage::name_of_part(part), about.join(", "))
}
