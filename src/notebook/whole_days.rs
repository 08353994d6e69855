//! The days that are on record completely: with as many meals as usual, or as many as the household
//! says there were.

use std::collections::BTreeMap;

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::Child;
use super::error::BookError;
use super::sql::parsed;
use super::store::Store;
use crate::nutrition::Day;

/// The days up to a day of which those with a meal give the usual number of meals (judgement).
const DAYS_BACK: i32 = 7;

impl Store {
    /// Marks the days with fewer meals on record than are usual, unless the household says that
    /// these were all.
    pub(super) fn mark_partial(
        &self,
        child: &Child,
        (from, to): (Date, Date),
        days: &mut [Day],
    ) -> Result<(), BookError> {
        let first = from.saturating_sub(DAYS_BACK.days());
        let meals = self.meals_by_day(&child.name, (first, to))?;
        let complete = self.complete_days(&child.name, (from, to))?;
        for day in days {
            let Some(count) = meals.get(&day.date) else {
                continue;
            };
            let usual = child.meals_a_day.unwrap_or_else(|| usual(&meals, day.date));
            day.partial = *count < usual && !complete.contains(&day.date);
        }
        Ok(())
    }

    /// The number of different meals on each day with a meal; every meal without a name counts as a
    /// different one.
    fn meals_by_day(
        &self,
        child: &str,
        (from, to): (Date, Date),
    ) -> Result<BTreeMap<Date, u32>, BookError> {
        let sql = "SELECT day, count(DISTINCT CASE meal WHEN '' THEN '#' || entry ELSE meal END) \
                   FROM feeding JOIN entry ON entry.id = feeding.entry \
                   WHERE child = ?1 AND day BETWEEN ?2 AND ?3 GROUP BY day";
        let asked = [child, &from.to_string(), &to.to_string()];
        self.rows(sql, asked, |row| Ok((parsed(row, 0)?, row.get(1)?)))
    }
}

/// The middle number of meals of the days with a meal up to a day.
fn usual(meals: &BTreeMap<Date, u32>, day: Date) -> u32 {
    let from = day.saturating_sub((DAYS_BACK - 1).days());
    let mut counts: Vec<u32> = meals.range(from..=day).map(|(_, count)| *count).collect();
    counts.sort_unstable();
    counts
        .get((counts.len().max(1) - 1) / 2)
        .copied()
        .unwrap_or(1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn the_middle_of_a_week_is_usual() {
        let meals = |counts: &[u32]| -> BTreeMap<Date, u32> {
            let days = (1..).map(|day| date(2026, 11, day));
            days.zip(counts.iter().copied()).collect()
        };
        let day = date(2026, 11, 7);
        assert_eq!(usual(&meals(&[3, 3, 3, 1, 3, 3, 1]), day), 3);
        assert_eq!(usual(&meals(&[1, 1, 1, 2, 2, 2, 2]), day), 2);
        assert_eq!(usual(&meals(&[1, 2]), date(2026, 11, 2)), 1);
        assert_eq!(usual(&meals(&[]), day), 1);
    }
}
