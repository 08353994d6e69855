//! The form in which a recipe is written or changed.

use askama::Template;

use super::figures::{BatchFigures, Tried, take_objections};
use super::opened::Opened;
use super::pot::Pot;
use crate::cooking::Method;
use crate::food::{Food, FoodId, Pantry, units_of};
use crate::recipe::{Draft, DraftIngredient, Former, Written};
use crate::report::{ObjectionLine, decimals, short_name};
use crate::spoken::{
    Context, Reader, Taken, TakenAmount, food_words, plain_name, usual_method, without_cooking,
    words_beyond,
};
use crate::web::rooms::food_search::FoundPart;
use crate::web::{Fields, Layout, PageRequest, PageResult, Wrong};
use crate::words::{capital, joined};

/// The most foods in the name that a recipe gets from them.
const NAMED: usize = 3;
/// The most ingredients of a recipe in the form (judgement).
pub(super) const MOST: usize = 24;

/// The recipe that is being written.
pub(super) struct RecipeForm {
    pub(super) draft: Draft,
    pub(super) opened: Option<Opened>,
    /// The details of each ingredient.
    rows: Vec<IngredientRow>,
    /// The title that the foods suggest, for a recipe without one.
    called: String,
}

/// The details of an ingredient.
#[derive(Default)]
struct IngredientRow {
    units: Vec<UnitOption>,
    /// Further settings of the ingredient in the file.
    beyond: String,
}

/// A unit of a food: as it is written, and as it is shown.
struct UnitOption {
    written: String,
    shown: String,
}

#[derive(Template)]
#[template(path = "web/write.html")]
pub(super) struct WritePage<'a> {
    layout: Layout,
    form: &'a RecipeForm,
    name: String,
    replace: bool,
    /// Whether the form asks for consent to replace a recipe.
    taken: bool,
    pot: Pot,
    methods: Vec<&'static str>,
    words: &'a str,
    found: String,
    /// The ingredient that was just added.
    pub(super) fresh: Option<usize>,
    full: bool,
    /// The objections, above the form; with the figures, where they are fetched alone.
    objections: Vec<ObjectionLine>,
    figures: String,
    result: String,
    pub(super) wrong: Wrong,
}

impl RecipeForm {
    /// Reads the fields.
    pub(super) fn of(request: &PageRequest<'_>, fields: &Fields) -> PageResult<Self> {
        let opened = Opened::by_fields(request, fields)?;
        let ingredient = |n: usize| {
            let text = |name: &str| fields.text(&format!("{name}-{n}")).to_string();
            let food = text("food");
            (!food.is_empty()).then(|| DraftIngredient {
                food,
                typed: text("typed"),
                name: String::new(),
                amount: text("amount"),
                unit: text("unit"),
                method: text("method"),
                edible: !text("edible").is_empty(),
                row: text("row").parse().ok(),
                bare: !text("bare").is_empty(),
            })
        };
        let mut ingredients: Vec<_> = (0..MOST).map_while(ingredient).collect();
        for ingredient in &mut ingredients {
            // Words such as “boiled” would no longer be true of the food.
            if ingredient.method == Method::None.word() {
                ingredient.typed = without_cooking(&ingredient.typed)?;
            }
        }
        let draft = Draft {
            title: fields.text("title").to_string(),
            ingredients,
            collected: fields.text("collected").to_string(),
            returned: fields.text("returned").to_string(),
            added: fields.text("added").to_string(),
            cubes: fields.text("serving").to_string(),
            weighed: String::new(),
            bare: !fields.text("bare").is_empty(),
        };
        Self::new(request, draft, opened)
    }

    /// The form filled in from a file of the book; `None` where the file has more ingredients than
    /// the form.
    pub(super) fn opened(request: &PageRequest<'_>, opened: Opened) -> PageResult<Option<Self>> {
        let draft = opened.former.as_ref().map(|former| former.draft().clone());
        let draft = draft.filter(|draft| draft.ingredients.len() <= MOST);
        let form = draft.map(|draft| Self::new(request, draft, Some(opened)));
        form.transpose()
    }

    /// The form with the name and the measures of each food.
    fn new(
        request: &PageRequest<'_>,
        mut draft: Draft,
        opened: Option<Opened>,
    ) -> PageResult<Self> {
        let pantry = request.state.pantry(&request.place)?;
        let former = opened.as_ref().and_then(|opened| opened.former.as_ref());
        let mut rows = Vec::new();
        for ingredient in &mut draft.ingredients {
            let food = match food(&pantry, &ingredient.food)? {
                Some(food) => Some(food),
                None => named(request, &ingredient.food)?,
            };
            let beyond = former
                .zip(ingredient.row)
                .map(|(former, row)| former.beyond(row));
            rows.push(IngredientRow {
                units: units(food.as_ref(), &ingredient.unit),
                beyond: beyond.unwrap_or_default(),
            });
            ingredient.name =
                food.map_or_else(|| "a food that is not known".into(), |food| food.name);
        }
        Ok(Self {
            called: called(&draft.ingredients),
            draft,
            opened,
            rows,
        })
    }

    /// The title: as it is typed, else as the foods suggest.
    pub(super) fn title(&self) -> &str {
        match self.draft.title.as_str() {
            "" => &self.called,
            title => title,
        }
    }

    /// An ingredient in a line: `Butternut, 600 g, steam`.
    fn line(&self, n: usize) -> String {
        let Some(ingredient) = self.draft.ingredients.get(n) else {
            return String::new();
        };
        let amount = match ingredient.amount.as_str() {
            "" => "how much?".into(),
            amount => format!("{amount} {}", ingredient.unit),
        };
        let method = match ingredient.method.as_str() {
            "none" => "as it is",
            method => method,
        };
        format!("{}, {amount}, {method}", capital(&short(ingredient)))
    }

    /// Whether the fields of an ingredient are shown: where its amount is to be given, or something
    /// is wrong.
    fn is_open(&self, n: usize, fresh: Option<usize>, wrong: &Wrong) -> bool {
        let empty = self
            .draft
            .ingredients
            .get(n)
            .is_some_and(|ingredient| ingredient.amount.is_empty());
        let faulty = |name: &str| !wrong.of(&format!("{name}-{n}")).is_empty();
        empty && fresh.is_none_or(|fresh| fresh == n) || faulty("amount") || faulty("method")
    }

    /// Adds a food, to be cooked as is usual.
    pub(super) fn take(&mut self, food: &Food) -> PageResult<()> {
        let ingredient = DraftIngredient {
            food: food.id.to_string(),
            name: food.name.clone(),
            method: usual_method(food)?.word().into(),
            ..DraftIngredient::default()
        };
        self.push(food, ingredient);
        Ok(())
    }

    /// Adds a food with its amount, as it was typed.
    pub(super) fn take_typed(&mut self, taken: &Taken) -> PageResult<()> {
        let method = match taken.method {
            Some(method) => method,
            None => usual_method(&taken.food)?,
        };
        let (amount, unit) = match &taken.portion {
            TakenAmount::Mass(amount, _) => (amount.number_text(), amount.unit().to_string()),
            TakenAmount::Feeds(_) | TakenAmount::Wanted => (String::new(), String::new()),
        };
        let ingredient = DraftIngredient {
            food: taken.food.id.to_string(),
            typed: words_beyond(&taken.named, &taken.food.name)?,
            name: taken.food.name.clone(),
            method: method.word().into(),
            edible: taken.edible,
            amount,
            unit,
            ..DraftIngredient::default()
        };
        self.push(&taken.food, ingredient);
        Ok(())
    }

    fn push(&mut self, food: &Food, ingredient: DraftIngredient) {
        self.rows.push(IngredientRow {
            units: units(Some(food), &ingredient.unit),
            beyond: String::new(),
        });
        self.draft.ingredients.push(ingredient);
        self.called = called(&self.draft.ingredients);
    }

    /// Removes an ingredient.
    pub(super) fn drop(&mut self, number: usize) {
        if number < self.draft.ingredients.len() {
            self.draft.ingredients.remove(number);
            self.rows.remove(number);
            self.called = called(&self.draft.ingredients);
        }
    }

    /// The text of the file.
    pub(super) fn written(&self) -> Written {
        let draft = Draft {
            title: self.title().to_string(),
            ..self.draft.clone()
        };
        match self.former() {
            Some(former) => draft.written_into(former),
            None => draft.written(),
        }
    }

    /// The file that is changed, as it was opened.
    fn former(&self) -> Option<&Former> {
        self.opened.as_ref()?.former.as_ref()
    }

    /// Further settings of the batch in the file.
    fn beyond_all(&self) -> String {
        self.former().map_or_else(String::new, Former::beyond_all)
    }

    /// The page; `found` is the search text for foods.
    pub(super) fn page<'a>(
        &'a self,
        request: &PageRequest<'_>,
        fields: &'a Fields,
        tried: Option<Tried>,
        wrong: Wrong,
    ) -> PageResult<WritePage<'a>> {
        let replace = !fields.text("replace").is_empty();
        let (title, name) = match &self.opened {
            Some(opened) => (format!("Change {}", self.title()), opened.name.as_str()),
            None => ("A new combination".into(), ""),
        };
        let name = match fields.text("name") {
            "" => name,
            name => name,
        };
        let mut tried = tried;
        let objections = take_objections(&mut tried);
        let is_tried = tried.is_some();
        let words = fields.text("words");
        // Unclear food is chosen by its own buttons, and two foods in one text are not searched
        // for.
        let is_unclear = !wrong.of("words").is_empty()
            && (!wrong.offers("words").is_empty() || food_words(words)? == words);
        let found = if is_unclear { "" } else { words };
        let figures = BatchFigures::new(tried, &wrong)?;
        Ok(WritePage {
            objections,
            result: figures.result.clone(),
            layout: Layout::of(request, title, "/cook"),
            full: self.draft.ingredients.len() == MOST,
            name: name.to_string(),
            taken: replace || !wrong.of("replace").is_empty(),
            replace,
            pot: Pot::of(request, fields),
            methods: Method::all().map(Method::word).collect(),
            found: FoundPart::offered(request, found)?.to_string(),
            words,
            fresh: None,
            figures: if is_tried {
                figures.render()?
            } else {
                String::new()
            },
            wrong,
            form: self,
        })
    }
}

impl WritePage<'_> {
    /// The page after an ingredient was added: the ingredient is marked, and the search is empty.
    pub(super) fn with_fresh(self, fresh: Option<usize>) -> Self {
        Self {
            fresh,
            words: "",
            found: String::new(),
            ..self
        }
    }
}

/// A food in a few words: as a parent calls it, else as the dataset does.
fn short(ingredient: &DraftIngredient) -> String {
    let id = ingredient.food.parse::<FoodId>().ok();
    let plain = id.as_ref().and_then(plain_name);
    plain.map_or_else(|| short_name(&ingredient.name), String::from)
}

/// The name that foods suggest: `Courgette, carrot and red lentil`; the first three are named.
fn called(ingredients: &[DraftIngredient]) -> String {
    let names: Vec<String> = ingredients.iter().take(NAMED).map(short).collect();
    let names = match names.split_last() {
        Some((last, [_, ..])) => format!("{} and {last}", joined(&names[..names.len() - 1], ", ")),
        Some((only, [])) => only.clone(),
        None => String::new(),
    };
    capital(&names)
}

/// The food of an id in a form; `None` where there is none.
pub(in crate::web::rooms) fn food(pantry: &Pantry, id: &str) -> PageResult<Option<Food>> {
    let Ok(id) = id.parse::<FoodId>() else {
        return Ok(None);
    };
    Ok(pantry.foods(std::slice::from_ref(&id))?.pop().flatten())
}

/// The food that a recipe file names in words; `None` where none or several may be meant.
fn named(request: &PageRequest<'_>, words: &str) -> PageResult<Option<Food>> {
    let mut foods = Reader::new(request, Context::Cook).named(words)?;
    Ok(foods.pop().filter(|_| foods.is_empty()))
}

/// The units of a food, the one in use among them.
fn units(food: Option<&Food>, used: &str) -> Vec<UnitOption> {
    let all = food.map(units_of).unwrap_or_default().into_iter();
    let mut units: Vec<_> = all
        .map(|unit| UnitOption {
            shown: match unit.grams {
                Some(grams) => {
                    let grams = decimals(grams, u8::from(grams < 10.0));
                    format!("{} ({grams} g)", unit.unit)
                }
                None => unit.unit.clone(),
            },
            written: unit.unit,
        })
        .collect();
    if !used.is_empty() && units.iter().all(|unit| unit.written != used) {
        units.push(UnitOption {
            written: used.into(),
            shown: used.into(),
        });
    }
    units
}
