//! How sure a figure is, in words and in JSON. No figure is shown finer than its interval; a figure
//! that lacks a value is a lower bound, which is shown like its parts and without ends.

use data_import::Nutrient;
use serde::Serialize;

use super::chart::Whisker;
use super::number::{amount, amount_in_words, bounded, bounded_percent, decimals, unbroken};
use crate::uncertainty::{COVERAGE, DoubtKind, Evidence, Interval, WidestDoubt};
use crate::words::joined;

/// The keys of the JSON; `null` where a value is missing, so that the true upper end is open.
#[derive(Debug, Clone, Serialize)]
pub struct IntervalReport {
    pub of: &'static str,
    pub low: f64,
    pub high: Option<f64>,
    pub known_high: f64,
    pub coverage: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub doubt: Option<DoubtReport>,
    /// The ends if the cubes were counted; absent where they are, or where that changes nothing that is shown.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counted: Option<[f64; 2]>,
    /// The interval itself, for the text rendering.
    #[serde(skip)]
    pub interval: Interval,
}

#[derive(Debug, Clone, Serialize)]
pub struct DoubtReport {
    pub kind: DoubtKind,
    pub food: Option<String>,
    pub why: String,
    pub share: f64,
}

impl IntervalReport {
    /// An interval; `counted` is what it would be if the cubes were counted.
    pub(super) fn new(of: &'static str, interval: Interval, counted: Option<&Interval>) -> Self {
        let shown = |one: &Interval| {
            Fineness::of(Some(one), one.complete)
                .range
                .map(|range| range.ends())
        };
        let narrower = |one: &&Interval| one.spread < interval.spread;
        let counted = counted.filter(narrower);
        let counted = counted.filter(|counted| shown(counted) != shown(&interval));
        let doubt = interval.widest.as_ref().map(|widest| DoubtReport {
            kind: widest.kind,
            food: widest.food.as_ref().map(ToString::to_string),
            why: why(widest),
            share: widest.share,
        });
        Self {
            of,
            low: interval.low,
            high: interval.high(),
            known_high: interval.known_high,
            coverage: COVERAGE,
            doubt,
            counted: counted.map(|one| [one.low, one.known_high]),
            interval,
        }
    }

    /// An interval, where it is known.
    pub(super) fn known(of: &'static str, interval: Option<Interval>) -> Option<Self> {
        interval.map(|interval| Self::new(of, interval, None))
    }

    /// Both ends as a chart draws them; `None` where a value is missing or nothing is in doubt.
    pub(super) fn whisker(&self) -> Option<Whisker> {
        whisker(&self.interval)
    }

    /// What the figure most hangs on, and what counting the cubes would do; `food` gives a food its plain name. `None`
    /// where there is no doubt.
    pub(super) fn widest(&self, food: impl Fn(&str) -> String) -> Option<String> {
        let widest = self.interval.widest.as_ref()?;
        let reason = reason(widest);
        let of_food = widest.food.as_ref();
        let named = of_food.map(|id| format!("{} ({reason})", food(id.as_str())));
        let narrower = self.counted.map_or_else(String::new, |[low, high]| {
            let ends = ShownRange::between(self.interval.value, low, high).ends();
            format!("; counting the cubes narrows it to {ends}")
        });
        Some(format!(
            "Widest doubt: {}{narrower}.",
            named.unwrap_or_else(|| reason.into())
        ))
    }
}

/// Both ends as a chart draws them; `None` where a value is missing or nothing is in doubt.
pub(super) fn whisker(interval: &Interval) -> Option<Whisker> {
    let has_ends = interval.complete && interval.known_high > interval.low;
    has_ends.then_some(Whisker {
        low: interval.low,
        high: interval.known_high,
    })
}

/// How finely an amount is shown, and every figure in proportion to it, so that no two of them contradict each other.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fineness {
    complete: bool,
    range: Option<ShownRange>,
}

impl Fineness {
    /// The fineness of an amount, which is a lower bound where it is not `complete`.
    pub(super) fn of(interval: Option<&Interval>, complete: bool) -> Self {
        // The ends of what is known are not the ends of the whole.
        let range = interval.filter(|one| complete && one.complete);
        Self {
            complete,
            range: range.map(ShownRange::of),
        }
    }

    /// The fineness of an amount in a report.
    pub(super) fn of_report(report: Option<&IntervalReport>, complete: bool) -> Self {
        Self::of(report.map(|one| &one.interval), complete)
    }

    /// The amount: `1.0 mg`, `>= 1.30 mg`.
    pub(super) fn amount(&self, known: Option<f64>, nutrient: &Nutrient) -> String {
        match self.range.zip(known.filter(|known| *known > 0.0)) {
            Some((range, known)) => format!("{} {}", range.like(known), nutrient.unit),
            None => amount(known, self.complete, nutrient),
        }
    }

    /// The amount with its ends: `1.0 mg (0.7 to 1.5)`, `>= 1.30 mg`.
    pub(super) fn amount_with_ends(&self, known: Option<f64>, nutrient: &Nutrient) -> String {
        let parts = [Some(self.amount(known, nutrient)), self.ends(known)];
        joined(parts.into_iter().flatten(), " ")
    }

    /// The ends in brackets: `(0.7 to 1.5)`; `None` where a value is missing or nothing is in doubt.
    pub(super) fn ends(&self, known: Option<f64>) -> Option<String> {
        known.filter(|known| *known > 0.0)?;
        self.range?.in_brackets()
    }

    /// The amount and its ends in a sentence: `about 1.0 mg, most likely 0.7 to 1.5`; `at least
    /// 1.30 mg`; `up to 700 µg, perhaps far less`.
    pub(super) fn in_words(&self, known: Option<f64>, nutrient: &Nutrient) -> String {
        match self.range.filter(|_| known.is_some()) {
            Some(range) => {
                let words = [Some(range.figure(&nutrient.unit)), range.most_likely()];
                joined(words.into_iter().flatten(), ", ")
            }
            None => amount_in_words(known, self.complete, nutrient),
        }
    }

    /// The amount and its ends in few words: `about 1.0 mg (0.7 to 1.5)`.
    pub(super) fn in_few_words(&self, known: Option<f64>, nutrient: &Nutrient) -> String {
        match self.range.filter(|_| known.is_some()) {
            Some(range) => {
                let words = [Some(range.figure(&nutrient.unit)), range.in_brackets()];
                joined(words.into_iter().flatten(), " ")
            }
            None => amount_in_words(known, self.complete, nutrient),
        }
    }

    /// The amount and its ends in the fewest words: `1.0 mg (0.7 to 1.5)`, `at least 1.30 mg`, `up to 700 µg`.
    pub(super) fn in_fewest_words(&self, known: Option<f64>, nutrient: &Nutrient) -> String {
        match self.range.filter(|_| known.is_some()) {
            Some(range) => range.with_ends(&nutrient.unit),
            None => amount_in_words(known, self.complete, nutrient),
        }
    }

    /// A share of the amount in percent: `9 %`, `>= 11 %`.
    pub(super) fn share(&self, share: f64) -> String {
        match self.range.filter(|_| share > 0.0) {
            Some(range) => format!("{} %", range.like(share)),
            None => bounded_percent(share, self.complete),
        }
    }

    /// A share in percent of an amount: `9 % of 11 mg (RDA)`; `not known, of 11 mg (RDA)`.
    pub(super) fn share_of(&self, share: Option<f64>, whole: &str) -> String {
        // A lower bound of zero carries no information.
        match share.filter(|share| self.complete || *share > 0.0) {
            // A column too narrow for all of it may break behind the sign.
            Some(share) => {
                let share = self.share(share).replace(" %", "\u{a0}%");
                format!("{share} of {whole}")
            }
            None => format!("not known, of {whole}"),
        }
    }

    /// Another figure in proportion to it, with so many decimals where its ends do not tell.
    pub(super) fn like(&self, figure: f64, places: u8) -> String {
        match self.range.filter(|_| figure > 0.0) {
            Some(range) => range.like(figure),
            None => bounded(figure, places, self.complete),
        }
    }

    /// What follows the amount: `most likely 0.7 to 1.5`; `perhaps far less`; nothing where a value
    /// is missing or nothing is in doubt.
    pub(super) fn most_likely(&self) -> Option<String> {
        self.range?.most_likely()
    }
}

/// A figure with its ends, rounded alike.
#[derive(Debug, Clone, Copy)]
struct ShownRange {
    value: f64,
    low: f64,
    high: f64,
    places: i32,
}

impl ShownRange {
    fn of(interval: &Interval) -> Self {
        Self::between(interval.value, interval.low, interval.known_high)
    }

    fn between(value: f64, low: f64, high: f64) -> Self {
        Self {
            value,
            low,
            high,
            places: places(
                value,
                if low > 0.0 { low } else { value },
                (high - low) / 2.0,
            ),
        }
    }

    /// Another figure of the same fineness relative to its size, such as a share of the amount.
    fn like(&self, figure: f64) -> String {
        if self.value <= 0.0 {
            return decimals(figure, 0);
        }
        let scale = figure / self.value;
        let least = if self.low > 0.0 { self.low } else { self.value };
        let half = (self.high - self.low) / 2.0;
        rounded(figure, places(figure, least * scale, half * scale))
    }

    /// `0.7 to 1.5`.
    fn ends(&self) -> String {
        let [low, high] = [self.low, self.high].map(|end| rounded(end, self.places));
        format!("{low} to {high}")
    }

    /// `(0.7 to 1.5)`; `None` where nothing is in doubt.
    fn in_brackets(&self) -> Option<String> {
        (self.high > self.low).then(|| format!("({})", self.ends()))
    }

    /// `about 1.0 mg`, `up to 700 µg` where it may be nothing.
    fn figure(&self, unit: &str) -> String {
        let of = |number: f64| unbroken(&format!("{} {unit}", rounded(number, self.places)));
        if self.low <= 0.0 && self.high > 0.0 {
            format!("up to {}", of(self.high))
        } else {
            format!("about {}", of(self.value))
        }
    }

    /// Figure and ends in few words: `1.0 mg (0.7 to 1.5)`, `up to 700 µg`.
    fn with_ends(&self, unit: &str) -> String {
        match self.in_brackets().filter(|_| self.low > 0.0) {
            Some(ends) => {
                let value = unbroken(&format!("{} {unit}", rounded(self.value, self.places)));
                format!("{value} {ends}")
            }
            None => self.figure(unit),
        }
    }

    fn most_likely(&self) -> Option<String> {
        if self.low > 0.0 {
            Some(format!("most likely {}", self.ends()))
        } else {
            (self.high > 0.0).then(|| "perhaps far less".into())
        }
    }
}

/// The most that rounding may take from a figure or add to it, as a share of the figure (judgement).
const MOST_LOST: f64 = 0.1;

/// The first digit of half the width gives the last place that is shown, one place more if that
/// digit is 1; never so coarse that the least of the figures becomes nothing, or the figure itself
/// another: 168 would be 200, beside 80 for its half. Negative for tens and hundreds.
fn places(value: f64, least: f64, half: f64) -> i32 {
    const FINEST: i32 = 6;
    if half <= 0.0 || !half.is_finite() {
        return 2;
    }
    let magnitude = half.log10().floor();
    let first = (half / 10_f64.powf(magnitude)).floor();
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the exponent of a finite number"
    )]
    let places = -(magnitude as i32) + i32::from(first < 2.0);
    let vanishes = |unit: f64| least > 0.0 && (least / unit).round() < 1.0;
    let changes = |unit: f64| ((value / unit).round() * unit - value).abs() > MOST_LOST * value;
    let fine = |places: &i32| {
        let unit = 10_f64.powi(-places);
        !vanishes(unit) && !changes(unit)
    };
    (places.min(FINEST)..FINEST).find(fine).unwrap_or(FINEST)
}

fn rounded(value: f64, places: i32) -> String {
    match u8::try_from(places) {
        Ok(places) => decimals(value, places),
        Err(_) => {
            let unit = 10_f64.powi(-places);
            decimals((value / unit).round() * unit, 0)
        }
    }
}

/// What is known of the value of a food, as JSON says it.
fn why(widest: &WidestDoubt) -> String {
    match widest.evidence {
        Some(Evidence::Analysed(count)) if count > 2 => format!("analysed {count} times"),
        _ => reason(widest).into(),
    }
}

/// The reason in words.
fn reason(widest: &WidestDoubt) -> &'static str {
    match (widest.kind, widest.evidence) {
        (DoubtKind::Composition, Some(Evidence::Analysed(1))) => "analysed once",
        (DoubtKind::Composition, Some(Evidence::Analysed(2))) => "analysed twice",
        (DoubtKind::Composition, Some(Evidence::Analysed(_))) => "lots and laboratories differ",
        (DoubtKind::Composition, Some(Evidence::Calculated)) => "a calculated value",
        (DoubtKind::Composition, Some(Evidence::Label)) => "declared on a label",
        (DoubtKind::Composition, _) => "the usual spread of such foods",
        (DoubtKind::Portion, _) => "how much of the batch a cube holds",
        (DoubtKind::Mass, _) => "weigh it instead of measuring",
        (DoubtKind::Refuse, _) => "weigh what is left after peeling",
        (DoubtKind::Retention, _) => "what cooking takes",
        (DoubtKind::Eaten, _) => "how much was eaten",
    }
}

#[cfg(test)]
mod tests {
    use data_import::NutrientId;

    use super::*;
    use crate::report::number::nutrient;

    fn shown(value: f64, low: f64, high: f64) -> (String, String) {
        let range = ShownRange::between(value, low, high);
        (range.like(value), range.ends())
    }

    fn interval(value: f64, low: f64, known_high: f64, complete: bool) -> Interval {
        Interval {
            value,
            low,
            known_high,
            complete,
            spread: 0.2,
            widest: None,
        }
    }

    #[test]
    fn a_lower_bound_is_the_same_figure_everywhere_and_never_rounded_up() {
        let iron = nutrient(NutrientId::IRON).unwrap();
        let known = interval(1.2967, 0.94, 1.79, false);
        let (fine, sum) = (Fineness::of(Some(&known), false), Some(1.2967));
        assert_eq!(fine.amount(sum, iron), ">= 1.30 mg");
        assert_eq!(fine.amount_with_ends(sum, iron), ">= 1.30 mg");
        for words in [
            fine.in_words(sum, iron),
            fine.in_few_words(sum, iron),
            fine.in_fewest_words(sum, iron),
        ] {
            assert_eq!(words, "at least 1.30\u{a0}mg");
        }
        assert_eq!(fine.share(11.79), ">= 11 %");
        let share = fine.share_of(Some(11.79), "11 mg (RDA)");
        assert_eq!(share, ">= 11\u{a0}% of 11 mg (RDA)");
        let unknown = fine.share_of(Some(0.0), "11 mg (RDA)");
        assert_eq!(unknown, "not known, of 11 mg (RDA)");
        assert_eq!(fine.like(0.158, 2), ">= 0.15");
        assert_eq!(fine.most_likely(), None);
        assert_eq!(whisker(&known), None);
    }

    #[test]
    fn a_whole_amount_has_its_ends() {
        let iron = nutrient(NutrientId::IRON).unwrap();
        let known = interval(1.0153, 0.6928, 1.4879, true);
        let (fine, sum) = (Fineness::of(Some(&known), true), Some(1.0153));
        assert_eq!(fine.amount_with_ends(sum, iron), "1.0 mg (0.7 to 1.5)");
        let words = "about 1.0\u{a0}mg, most likely 0.7 to 1.5";
        assert_eq!(fine.in_words(sum, iron), words);
        assert_eq!(fine.share(9.23), "9 %");
    }

    #[test]
    fn figures_are_as_fine_as_half_their_width() {
        for (figures, value, ends) in [
            ([66.57, 55.48, 79.87], "67", "55 to 80"),
            ([6.23, 1.83, 21.2], "6", "2 to 21"),
            ([1.0153, 0.6928, 1.4879], "1.0", "0.7 to 1.5"),
            ([712.0, 400.0, 1210.0], "700", "400 to 1200"),
            ([0.04, 0.001, 0.9], "0.040", "0.001 to 0.900"),
            ([4000.0, 440.0, 15000.0], "4000", "400 to 15000"),
            ([84.0, 40.0, 190.0], "80", "40 to 190"),
            ([168.0, 80.0, 380.0], "170", "80 to 380"),
        ] {
            let [figure, low, high] = figures;
            assert_eq!(shown(figure, low, high), (value.into(), ends.into()));
        }
    }

    #[test]
    fn what_may_be_nothing_is_said() {
        let faint = ShownRange::between(300.0, 0.0, 700.0);
        assert_eq!(faint.figure("µg"), "up to 700\u{a0}µg");
        assert_eq!(faint.most_likely().unwrap(), "perhaps far less");
    }
}
