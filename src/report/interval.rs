//! How sure a figure is, in words and in JSON. No figure is shown finer than its interval.

use serde::Serialize;

use super::chart::Whisker;
use super::number::{decimals, unbroken};
use crate::uncertainty::{COVERAGE, DoubtKind, Evidence, Interval, WidestDoubt};

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
        let shown = |one: &Interval| ShownRange::of(one).ends();
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

    /// Both ends as a chart draws them; `None` where nothing is in doubt.
    pub(super) fn whisker(&self) -> Option<Whisker> {
        whisker(&self.interval)
    }

    /// Both ends as they are shown.
    pub(super) fn range(&self) -> ShownRange {
        ShownRange::of(&self.interval)
    }

    /// What the figure most hangs on, and what counting the cubes would do; `food` gives a food its plain name. `None`
    /// where there is no doubt.
    pub(super) fn widest(&self, food: impl Fn(&str) -> String) -> Option<String> {
        let widest = self.interval.widest.as_ref()?;
        let reason = reason(widest);
        let of_food = widest.food.as_ref();
        let named = of_food.map(|id| format!("{} ({reason})", food(id.as_str())));
        let narrower = self.counted.map_or_else(String::new, |[low, high]| {
            let ends = ShownRange::between(self.interval.value, low, high, true).ends();
            format!("; counting the cubes narrows it to {ends}")
        });
        Some(format!(
            "Widest doubt: {}{narrower}.",
            named.unwrap_or_else(|| reason.into())
        ))
    }
}

/// Both ends as a chart draws them; `None` where nothing is in doubt.
pub(super) fn whisker(interval: &Interval) -> Option<Whisker> {
    (interval.known_high > interval.low).then_some(Whisker {
        low: interval.low,
        high: interval.known_high,
        open: !interval.complete,
    })
}

/// A figure with its ends, rounded alike.
#[derive(Debug, Clone, Copy)]
pub(super) struct ShownRange {
    value: f64,
    low: f64,
    high: f64,
    complete: bool,
    places: i32,
}

impl ShownRange {
    pub(super) fn of(interval: &Interval) -> Self {
        let Interval {
            value,
            low,
            known_high,
            ..
        } = *interval;
        Self::between(value, low, known_high, interval.complete)
    }

    pub(super) fn between(value: f64, low: f64, high: f64, complete: bool) -> Self {
        Self {
            value,
            low,
            high,
            complete,
            places: places(if low > 0.0 { low } else { value }, (high - low) / 2.0),
        }
    }

    /// Another figure of the same fineness relative to its size, such as a share of it.
    pub(super) fn like(&self, figure: f64) -> String {
        if self.value <= 0.0 {
            return decimals(figure, 0);
        }
        let scale = figure / self.value;
        let least = if self.low > 0.0 { self.low } else { self.value };
        let half = (self.high - self.low) / 2.0;
        let places = places(least * scale, half * scale);
        if self.complete {
            rounded(figure, places)
        } else {
            rounded_down(figure, places)
        }
    }

    /// `0.7 to 1.5`; `0.7 or more` where a value is missing.
    pub(super) fn ends(&self) -> String {
        if self.complete {
            let [low, high] = [self.low, self.high].map(|end| rounded(end, self.places));
            format!("{low} to {high}")
        } else {
            format!("{} or more", rounded_down(self.low, self.places))
        }
    }

    /// `(0.7 to 1.5)`; `None` where a value is missing or nothing is in doubt.
    pub(super) fn in_brackets(&self) -> Option<String> {
        let told = self.complete && self.high > self.low;
        told.then(|| format!("({})", self.ends()))
    }

    /// `about 1.0 mg`, `at least 0.5 mg` where a value is missing, `up to 700 µg` where it may be nothing.
    pub(super) fn figure(&self, unit: &str) -> String {
        let of = |number: f64| unbroken(&format!("{} {unit}", rounded(number, self.places)));
        match (self.complete, self.low > 0.0) {
            (false, _) => {
                let low = rounded_down(self.low, self.places);
                format!("at least {}", unbroken(&format!("{low} {unit}")))
            }
            (true, false) if self.high > 0.0 => format!("up to {}", of(self.high)),
            (true, _) => format!("about {}", of(self.value)),
        }
    }

    /// Figure and ends in few words: `1.0 mg (0.7 to 1.5)`, `at least 0.5 mg`, `up to 700 µg`.
    pub(super) fn with_ends(&self, unit: &str) -> String {
        match self.in_brackets().filter(|_| self.low > 0.0) {
            Some(ends) => {
                let value = unbroken(&format!("{} {unit}", rounded(self.value, self.places)));
                format!("{value} {ends}")
            }
            None => self.figure(unit),
        }
    }

    /// What follows it: `most likely 0.7 to 1.5`; `perhaps far less`; nothing where a value is missing or nothing is in doubt.
    pub(super) fn most_likely(&self) -> Option<String> {
        match (self.complete, self.low > 0.0) {
            (false, _) => None,
            (true, false) => (self.high > 0.0).then(|| "perhaps far less".into()),
            (true, true) => Some(format!("most likely {}", self.ends())),
        }
    }
}

/// The first digit of half the width gives the last place that is shown, one place more if that digit is 1; never so coarse
/// that the least of the figures becomes nothing. Negative for tens and hundreds.
fn places(least: f64, half: f64) -> i32 {
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
    let vanishes = |places: &i32| least > 0.0 && (least * 10_f64.powi(*places)).round() < 1.0;
    (places.min(FINEST)..FINEST)
        .find(|places| !vanishes(places))
        .unwrap_or(FINEST)
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

/// What a figure is at least, at so many places or, where it would lose too much by that, at more: never more than it is.
fn rounded_down(value: f64, places: i32) -> String {
    const MOST_LOST: f64 = 0.1;
    // A quotient without remainder must not lose its last digit.
    let floor = |places: i32| (value * 10_f64.powi(places) + 1e-9).floor() * 10_f64.powi(-places);
    let fine = |places: &i32| floor(*places) >= (1.0 - MOST_LOST) * value;
    let places = (places..places + 4).find(fine).unwrap_or(places + 4);
    rounded(floor(places), places)
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
    use super::*;

    fn shown(value: f64, low: f64, high: f64) -> (String, String) {
        let range = ShownRange::between(value, low, high, true);
        (range.like(value), range.ends())
    }

    #[test]
    fn a_lower_bound_is_never_rounded_up() {
        let bound = |value: f64, low: f64, high: f64| {
            let range = ShownRange::between(value, low, high, false);
            (range.like(value), range.ends(), range.figure("mg"))
        };
        let at_least = "at least 260\u{a0}mg".to_string();
        assert_eq!(
            bound(364.0, 260.0, 540.0),
            ("360".into(), "260 or more".into(), at_least)
        );
        let at_least = "at least 190\u{a0}mg".to_string();
        assert_eq!(
            bound(364.0, 190.0, 760.0),
            ("360".into(), "190 or more".into(), at_least)
        );
        assert_eq!(bound(25.2, 18.0, 34.0).0, "25");
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
        ] {
            let [figure, low, high] = figures;
            assert_eq!(shown(figure, low, high), (value.into(), ends.into()));
        }
    }

    #[test]
    fn what_is_missing_or_may_be_nothing_is_said() {
        let open = ShownRange::between(0.8, 0.5, 1.2, false);
        assert_eq!(open.figure("mg"), "at least 0.5\u{a0}mg");
        assert_eq!(open.most_likely(), None);
        let faint = ShownRange::between(300.0, 0.0, 700.0, true);
        assert_eq!(faint.figure("µg"), "up to 700\u{a0}µg");
        assert_eq!(faint.most_likely().unwrap(), "perhaps far less");
    }
}
