//! From where to where a figure most likely lies.

/// Both ends of a figure, in the unit of the chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Whisker {
    /// The lower end.
    pub low: f64,
    /// The upper end of what is known.
    pub high: f64,
    /// Whether a value is missing, so that the true upper end is open.
    pub open: bool,
}

impl Whisker {
    /// Both ends of a figure that is so many times as much.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self {
            low: self.low * factor,
            high: self.high * factor,
            ..self
        }
    }

    /// Both ends in words, of figures as the chart says them: `40 to 66 %`.
    pub(super) fn words(&self, figure: impl Fn(f64) -> String, unit: &str) -> String {
        let low = figure(self.low);
        if self.open {
            format!("most likely {low} {unit} or more")
        } else {
            format!("most likely {low} to {} {unit}", figure(self.high))
        }
    }
}
