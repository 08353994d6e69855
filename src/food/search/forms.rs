//! The form a food is in: raw, cooked in one of several ways, canned, frozen, dried, ...

/// One form of a food, as named in a query or in a description.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FoodForm {
    /// Raw, fresh, uncooked or not yet prepared.
    Raw,
    /// Cooked, by a method not named.
    Cooked,
    /// Cooked in water or steam.
    Boiled,
    Steamed,
    Stewed,
    MoistHeat,
    /// Cooked in hot air.
    Baked,
    Roasted,
    Grilled,
    Toasted,
    DryHeat,
    /// Cooked in fat, or in some other way that adds or changes much.
    Fried,
    Microwaved,
    Scrambled,
    Mashed,
    Canned,
    Frozen,
    Dried,
    Smoked,
    Pickled,
    Sprouted,
}

use FoodForm::{
    Baked, Boiled, Canned, Cooked, Dried, DryHeat, Fried, Frozen, Grilled, Mashed, Microwaved,
    MoistHeat, Pickled, Raw, Roasted, Scrambled, Smoked, Sprouted, Steamed, Stewed, Toasted,
};

/// Every word that names a form. "Dry" is left out: it is the state a grain is sold in.
pub(super) const WORDS: &[(&str, FoodForm)] = &[
    ("raw", Raw),
    ("fresh", Raw),
    ("uncooked", Raw),
    ("unprepared", Raw),
    ("unheated", Raw),
    ("cooked", Cooked),
    ("heated", Cooked),
    ("boiled", Boiled),
    ("hardboiled", Boiled),
    ("simmered", Boiled),
    ("poached", Boiled),
    ("steamed", Steamed),
    ("stewed", Stewed),
    ("braised", Stewed),
    ("baked", Baked),
    ("roasted", Roasted),
    ("roast", Roasted),
    ("rotisserie", Roasted),
    ("grilled", Grilled),
    ("broiled", Grilled),
    ("barbecued", Grilled),
    ("toasted", Toasted),
    ("fried", Fried),
    ("sauteed", Fried),
    ("breaded", Fried),
    ("candied", Fried),
    ("glazed", Fried),
    ("microwaved", Microwaved),
    ("scrambled", Scrambled),
    ("omelet", Scrambled),
    ("mashed", Mashed),
    ("canned", Canned),
    ("tinned", Canned),
    ("jarred", Canned),
    ("frozen", Frozen),
    ("dried", Dried),
    ("dehydrated", Dried),
    ("smoked", Smoked),
    ("kippered", Smoked),
    ("pickled", Pickled),
    ("sprouted", Sprouted),
    // Two words in the text, joined by `phrases::join`.
    ("dryheat", DryHeat),
    ("moistheat", MoistHeat),
];

/// The form a word names, if it names one.
pub(super) fn of_word(word: &str) -> Option<FoodForm> {
    WORDS
        .iter()
        .find(|(name, _)| *name == word)
        .map(|&(_, form)| form)
}

impl FoodForm {
    /// Whether the food has been cooked.
    pub(super) fn is_cooked(self) -> bool {
        !matches!(
            self,
            Raw | Canned | Frozen | Dried | Smoked | Pickled | Sprouted
        )
    }

    /// What it costs a food to be in this form when the query does not ask for it.
    fn unasked_cost(self) -> f64 {
        match self {
            Raw => 0.0,
            Dried | Cooked | Frozen => 2.0,
            Canned => 2.5,
            Boiled | Steamed | MoistHeat | DryHeat => 0.3,
            Baked | Roasted | Stewed | Mashed | Microwaved => 0.6,
            Grilled | Toasted | Scrambled => 1.0,
            Fried | Smoked | Pickled | Sprouted => 3.0,
        }
    }

    /// How well a food in form `self` answers a query for form `asked`, 0 to 1.
    fn answers(self, asked: FoodForm) -> f64 {
        let wet = |f| matches!(f, Boiled | Steamed | Stewed | MoistHeat);
        let hot_air = |f| matches!(f, Baked | Roasted | Grilled | Toasted | DryHeat);
        if self == asked || (asked == Cooked && self.is_cooked()) {
            1.0
        } else if (wet(self) && wet(asked)) || (hot_air(self) && hot_air(asked)) {
            0.9
        } else if asked.is_cooked() && self.is_cooked() {
            0.5
        } else {
            0.0
        }
    }
}

/// Cost of a form that was asked for and is not there.
const ASKED_AND_LACKING: f64 = 8.0;
/// Cost of a food whose form is not stated.
const NOT_STATED: f64 = 0.3;

/// How well the forms of a food suit the forms a query asks for: 0 is perfect, less is worse.
///
/// Without a form in the query, raw is best; what is asked for otherwise wins, and every
/// further form that nobody asked for costs a little.
pub(super) fn suit(has: &[FoodForm], asked: &[FoodForm]) -> f64 {
    let wants_cooked = asked.iter().any(|form| form.is_cooked());
    let gain: f64 = asked
        .iter()
        .map(|&wanted| {
            has.iter()
                .map(|form| form.answers(wanted))
                .fold(0.0, f64::max)
        })
        .sum();
    let cost: f64 = has
        .iter()
        .filter(|form| !(asked.contains(form) || wants_cooked && **form == Cooked))
        .map(|form| form.unasked_cost())
        .sum();
    // A raw food does not answer "cooked", whatever else it may be called.
    let contradiction = if wants_cooked && has.contains(&Raw) {
        1.0
    } else {
        0.0
    };
    let not_stated = if has.is_empty() { NOT_STATED } else { 0.0 };
    -ASKED_AND_LACKING * (asked.len() as f64 - gain) - cost - contradiction - not_stated
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn raw_is_best_when_no_form_is_asked_for() {
        let raw = suit(&[Raw], &[]);
        for other in [
            &[Cooked, Boiled][..],
            &[Canned],
            &[Frozen, Raw],
            &[Dried],
            &[Fried],
        ] {
            assert!(raw > suit(other, &[]), "{other:?}");
        }
    }

    #[test]
    fn the_form_asked_for_wins() {
        assert!(suit(&[Canned], &[Canned]) > suit(&[Raw], &[Canned]));
        assert!(suit(&[Frozen, Raw], &[Frozen]) > suit(&[Frozen, Cooked, Boiled], &[Frozen]));
        assert!(suit(&[Cooked, Boiled], &[Cooked]) > suit(&[Raw], &[Cooked]));
    }

    #[test]
    fn the_nearest_way_of_cooking_stands_in() {
        let steamed = |has: &[FoodForm]| suit(has, &[Steamed]);
        assert!(steamed(&[Cooked, Steamed]) > steamed(&[Cooked, Boiled]));
        assert!(steamed(&[Cooked, Boiled]) > steamed(&[Cooked, Baked]));
        assert!(steamed(&[Cooked, Baked]) > steamed(&[Raw]));
    }

    #[test]
    fn only_form_words_name_a_form() {
        assert_eq!(of_word("roast"), Some(Roasted));
        assert_eq!(of_word("roasting"), None);
    }
}
