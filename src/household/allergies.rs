//! What the allergies on record stop, as it is shown when one is entered, and what is in doubt
//! about them.

use data_import::{Food, FoodId, group_name};

use crate::food::{FoodDataError, Pantry, short_name};
use crate::problem::edit_distance;
use crate::safety::{
    AllergyPart, Judge, allergy_parts, has_no_word, is_in_name, may_be_over, near_allergen,
    said_to_be_eaten,
};
use crate::words::{joined, quoted};

/// The most foods that are named as examples of what an allergy stops.
const EXAMPLES: usize = 3;
/// The most foods that are examined for one word of an allergy.
const LOOKED_AT: usize = 50;

/// An allergy on record as it was understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AllergyReading {
    /// The allergy in the words of the record.
    pub allergy: String,
    /// What the allergy stops, such as `every food known to hold egg`; empty for nothing.
    pub stops: String,
    /// What is in doubt about the allergy, in whole sentences.
    pub doubts: Vec<String>,
}

impl AllergyReading {
    /// What the allergy stops and what is in doubt about it, in sentences.
    pub fn sentences(self) -> impl Iterator<Item = String> {
        self.what_it_stops().into_iter().chain(self.doubts)
    }

    /// What the allergy stops, in a sentence; `None` for nothing.
    pub fn what_it_stops(&self) -> Option<String> {
        let stops = format!("{} stops {}.", quoted(&self.allergy), self.stops);
        (!self.stops.is_empty()).then_some(stops)
    }
}

/// Reads each allergy on record.
///
/// Errors: the foods cannot be searched.
pub fn read_allergies(
    pantry: &Pantry,
    allergies: &[String],
) -> Result<Vec<AllergyReading>, FoodDataError> {
    let read = |allergy: &String| AllergyReader { pantry, allergy }.read();
    allergies.iter().map(read).collect()
}

struct AllergyReader<'a> {
    pantry: &'a Pantry,
    allergy: &'a str,
}

impl AllergyReader<'_> {
    fn read(&self) -> Result<AllergyReading, FoodDataError> {
        let mut doubts = Vec::new();
        if may_be_over(self.allergy) {
            doubts.push(format!(
                "{} is taken for an allergy like any other: leave it out once the doctor has cleared the food.",
                quoted(self.allergy)
            ));
        }
        if has_no_word(self.allergy) {
            doubts.push(self.unknown(None));
        }
        let (mut stops, mut all_known) = (Vec::new(), true);
        for part in allergy_parts(self.allergy) {
            let (examples, near) = self.examples(&part)?;
            let names = examples.iter().map(|food| short_name(&food.name));
            let mut names: Vec<String> = names.collect();
            names.dedup();
            if !part.allergens.is_empty() {
                stops.push(format!(
                    "every food known to hold {}",
                    joined(&part.allergens, ", ")
                ));
            }
            let groups = part.groups.iter().filter_map(|code| group_name(code));
            stops.extend(groups.map(|name| format!("the group {}", quoted(name))));
            if !names.is_empty() {
                stops.push(format!("{} and their like", joined(names, "; ")));
            } else if !part.is_known && all_known {
                all_known = false;
                doubts.push(self.unknown(near.as_deref()));
            }
        }
        doubts.extend(self.eaten_all_the_same()?);
        Ok(AllergyReading {
            allergy: self.allergy.to_owned(),
            stops: joined(stops, "; "),
            doubts,
        })
    }

    /// Foods that a part of the allergy stops; else the word of a food that was likely meant.
    fn examples(&self, part: &AllergyPart) -> Result<(Vec<Food>, Option<String>), FoodDataError> {
        let (mut stopped, mut near) = (Vec::<Food>::new(), None);
        for words in &part.words {
            if stopped.len() >= EXAMPLES {
                break;
            }
            let found = self.called(words)?;
            // A sentence has words that are near to some food.
            if words.len() < 3 {
                near = near.or_else(|| near_word(words, &found));
            }
            let wanted = if part.is_known { 1 } else { EXAMPLES };
            let stops = |food: &Food| self.stops(food) && !stopped.contains(food);
            let some: Vec<Food> = found.into_iter().filter(stops).take(wanted).collect();
            stopped.extend(some);
        }
        Ok((stopped, near))
    }

    /// The doubt that the allergy stops a food that its words say is eaten: foods of one allergen
    /// are not distinguished.
    fn eaten_all_the_same(&self) -> Result<Option<String>, FoodDataError> {
        for words in said_to_be_eaten(self.allergy) {
            let is_it = |food: &&Food| {
                let name = food.name.to_lowercase();
                words.iter().all(|word| is_in_name(word, &name))
            };
            let found = self.called(&words)?;
            let first = found.iter().find(is_it);
            if let Some(food) = first.filter(|food| self.stops(food)) {
                return Ok(Some(format!(
                    "{} stops {} too, to be safe: foods of one allergen are not told apart. Leave the allergy out if there is none.",
                    quoted(self.allergy),
                    short_name(&food.name)
                )));
            }
        }
        Ok(None)
    }

    fn stops(&self, food: &Food) -> bool {
        Judge::builtin().is_ok_and(|judge| judge.allergens().holds(food, self.allergy))
    }

    /// The foods that a search for these words finds.
    fn called(&self, words: &[String]) -> Result<Vec<Food>, FoodDataError> {
        let hits = self.pantry.search(&words.join(" "), LOOKED_AT)?;
        let ids = hits.iter().filter_map(|hit| hit.id.parse().ok());
        let foods = self.pantry.foods(&ids.collect::<Vec<FoodId>>())?;
        Ok(foods.into_iter().flatten().collect())
    }

    fn unknown(&self, near: Option<&str>) -> String {
        let meant = near.map_or_else(
            || ".".into(),
            |word| format!("; is {} meant?", quoted(word)),
        );
        format!(
            "No food is called {}, so nothing is stopped for it: name the foods one by one, as they are sold{meant}",
            quoted(self.allergy)
        )
    }
}

/// The word of an allergen, or of a food that was found, which is a typing mistake or two away from
/// one of these words.
fn near_word(words: &[String], found: &[Food]) -> Option<String> {
    let allergen = words.iter().find_map(|word| near_allergen(word));
    // Shorter words are near to too many: "dust" to "aust", "even" to "oven".
    let longer = words.iter().filter(|word| word.chars().count() > 4);
    let mut slips = longer.flat_map(|word| {
        let most = if word.chars().count() > 6 { 2 } else { 1 };
        let of_names = found.iter().flat_map(|food| {
            let name = food.name.to_lowercase();
            let words = name.split(|c: char| !c.is_alphanumeric());
            words.map(str::to_owned).collect::<Vec<_>>()
        });
        let of_names = of_names.filter(|other| other.chars().count() > 4);
        of_names.filter(move |other| (1..=most).contains(&edit_distance(word, other)))
    });
    allergen.map(str::to_owned).or_else(|| slips.next())
}
