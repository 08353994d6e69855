//! Where the way changed in which milk is written down, so that figures before and after are not alike.

use jiff::civil::Date;
use serde::Serialize;

use crate::nutrition::{Day, Milk};
use crate::words::{self, joined};

/// A day from which on milk is written down in another way.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MilkBreak {
    /// The first day of the new way.
    pub date: Date,
    /// The way before.
    pub before: String,
    /// The way from this day on.
    pub after: String,
}

impl MilkBreak {
    /// The break in a sentence.
    pub fn sentence(&self) -> String {
        format!(
            "Milk from {} on: {}; before: {}. The figures of the two are not alike.",
            words::day(self.date),
            self.after,
            self.before
        )
    }
}

impl MilkBreak {
    /// The break in few words: `from 9 Nov 2026 on infant formula measured; before: breast milk by feeds`.
    pub(super) fn in_short(&self) -> String {
        format!(
            "from {} on {}, before that {}",
            words::day(self.date),
            self.after,
            self.before
        )
    }
}

/// The breaks among some days, in their order. A day without an entry, and one that alone differs
/// from those around it, is none.
pub(super) fn milk_breaks(days: &[Day]) -> Vec<MilkBreak> {
    let ways = days.iter().filter_map(|day| {
        let milk = day.milk.as_ref().filter(|milk| !milk.is_empty())?;
        Some((day.date, way(milk)))
    });
    let ways: Vec<(Date, String)> = ways.collect();
    let mut breaks = Vec::new();
    let mut now = ways.first().map(|(_, way)| way.clone());
    for (at, (date, way)) in ways.iter().enumerate() {
        let Some(before) = now.clone().filter(|before| before != way) else {
            continue;
        };
        let lasts = ways.get(at + 1).is_none_or(|(_, next)| next == way);
        if lasts {
            breaks.push(MilkBreak {
                date: *date,
                before,
                after: way.clone(),
            });
            now = Some(way.clone());
        }
    }
    breaks
}

/// How the milks of a day are known: `breast milk by feeds and formula measured`.
fn way(milks: &[Milk]) -> String {
    let mut ways: Vec<String> = milks.iter().map(one_way).collect();
    ways.sort();
    ways.dedup();
    joined(ways, " and ")
}

fn one_way(milk: &Milk) -> String {
    let name = words::lower(milk.serving.what.split(',').next().unwrap_or("other milk"));
    let what = if milk.breast { "breast milk" } else { &*name };
    let known = match (milk.feeds, &milk.estimate) {
        (Some(_), _) => "by feeds",
        (None, Some(_)) => "estimated by age",
        (None, None) => "measured",
    };
    format!("{what} {known}")
}
