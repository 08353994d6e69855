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
    breaks(&ways.collect::<Vec<_>>())
}

/// The breaks among the ways of the days on record.
fn breaks(ways: &[(Date, String)]) -> Vec<MilkBreak> {
    let mut breaks = Vec::new();
    let mut now = ways.first().map(|(_, way)| way.clone());
    for (at, (date, way)) in ways.iter().enumerate() {
        let Some(before) = now.clone().filter(|before| before != way) else {
            continue;
        };
        let mut later = ways[at + 1..].iter().map(|(_, way)| way);
        let lasts = match later.next() {
            None => true,
            Some(next) if next == way => true,
            // One day in between that is written down in a third way does not move the break.
            Some(next) if *next == before => false,
            Some(_) => later.clone().any(|later| later == way) && !later.any(|way| *way == before),
        };
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

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::ToSpan as _;
    use jiff::civil::date;

    #[test]
    fn a_break_is_dated_at_the_first_day_of_the_new_way() {
        let found = |ways: &str| {
            let days = date(2026, 11, 1).series(1.day()).zip(ways.chars());
            let days = days.map(|(day, way)| (day, way.to_string()));
            let found = breaks(&days.collect::<Vec<_>>());
            let short = |one: &MilkBreak| format!("{} {}{}", one.date.day(), one.before, one.after);
            found.iter().map(short).collect::<Vec<_>>()
        };
        assert_eq!(found("aaabbb"), ["4 ab"]);
        // One day that differs from those around it is none.
        assert_eq!(found("aabaa"), [] as [&str; 0]);
        assert_eq!(found("aacbb"), ["4 ab"]);
        // A day in a third way does not move the break.
        assert_eq!(found("aabcbb"), ["3 ab"]);
        assert_eq!(found("aab"), ["3 ab"]);
        assert_eq!(found("aabbcc"), ["3 ab", "5 bc"]);
    }
}
