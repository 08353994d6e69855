//! The same recipe with other amounts of liquid: thinner, or with more of what went into the cooking water.

use super::file::read_volume;
use super::{Liquid, Recipe};
use crate::problem::{Located, Place, Problem, SourceText};
use crate::quantity::Volume;

impl Liquid {
    /// What is wrong with the amounts together, if anything.
    pub(super) fn problem(&self) -> Option<Problem> {
        too_much_returned(&self.collected, &self.returned)
    }
}

/// No more comes back than was collected.
pub(super) fn too_much_returned(
    collected: &Located<Volume>,
    returned: &Located<Volume>,
) -> Option<Problem> {
    (returned.value > collected.value).then(|| {
        let hint =
            "returned is the part of collected that is blended back in; plain water is “added”";
        returned
            .problem("more liquid is returned than was collected")
            .hint(hint)
    })
}

impl Recipe {
    /// The recipe with other amounts of liquid, in millilitres as they are typed; what is empty stays as it is.
    ///
    /// Errors: every problem, in a text called `returned` or `added`.
    pub fn with_liquid(mut self, returned: &str, added: &str) -> Result<Self, Vec<Problem>> {
        let mut problems = Vec::new();
        let liquid = &mut self.liquid;
        for (name, text, place) in [
            ("returned", returned, &mut liquid.returned),
            ("added", added, &mut liquid.added),
        ] {
            match millilitres(name, text) {
                Ok(Some(volume)) => *place = volume,
                Ok(None) => {}
                Err(problem) => problems.push(problem),
            }
        }
        problems.extend(liquid.problem());
        if problems.is_empty() {
            Ok(self)
        } else {
            Err(problems)
        }
    }
}

/// Reads a volume in millilitres; nothing where the text is empty.
fn millilitres(name: &str, text: &str) -> Result<Option<Located<Volume>>, Problem> {
    if text.is_empty() {
        return Ok(None);
    }
    let text = format!("{text} ml");
    let place = Place::whole(&SourceText::new(name, text.as_str()));
    match read_volume(&text) {
        Ok(volume) => Ok(Some(Located::at(volume, place))),
        Err((what, hint)) => Err(Problem::at(place, what).hint(hint)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn recipe() -> Recipe {
        let text = "title = \"x\"\n[[ingredient]]\nfood = \"11485\"\namount = \"600 g\"\nmethod = \"steam\"\n\
                    [liquid]\ncollected = \"250 ml\"\nreturned = \"200 ml\"\n";
        Recipe::parse(&SourceText::new("a test", text)).unwrap()
    }

    #[test]
    fn amounts_of_liquid_are_replaced_within_what_was_collected() {
        let other = recipe().with_liquid("250", "30").unwrap().liquid;
        assert!((other.returned.value.millilitres() - 250.0).abs() < 1e-9);
        assert!((other.added.value.millilitres() - 30.0).abs() < 1e-9);
        let same = recipe().with_liquid("", "").unwrap().liquid;
        assert!((same.returned.value.millilitres() - 200.0).abs() < 1e-9);
        for (returned, added) in [("251", ""), ("-1", ""), ("1e9", ""), ("x", "9 l")] {
            let problems = recipe().with_liquid(returned, added).unwrap_err();
            assert!(!problems.is_empty(), "{returned} {added}");
        }
    }
}
