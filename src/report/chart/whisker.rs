//! From where to where a figure most likely lies; one that lacks a value has no such ends.

/// Both ends of a figure, in the unit of the chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Whisker {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

impl Whisker {
    /// Both ends, multiplied by a factor.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self {
            low: self.low * factor,
            high: self.high * factor,
        }
    }

    /// Both ends in words, of figures as the chart says them: `40 to 66 %`.
    pub(super) fn words(&self, figure: impl Fn(f64) -> String, unit: &str) -> String {
        let [low, high] = [self.low, self.high].map(figure);
        format!("most likely {low} to {high} {unit}")
    }
}
