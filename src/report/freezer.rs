//! The content of the freezer, as JSON.

use jiff::civil::Date;
use serde::Serialize;

use super::text::{Look, Page};
use crate::household::Forecast;
use crate::notebook::{Outlook, PACE_DAYS, Pace};
use crate::words;

/// The content of the freezer on a day.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct FreezerReport {
    pub schema: u32,
    pub day: Date,
    pub pace: PaceReport,
    pub cubes: u32,
    /// The batches, the one to be eaten first on top.
    pub batches: Vec<FreezerLine>,
}

/// A batch in the freezer.
#[derive(Debug, Clone, Serialize)]
pub struct FreezerLine {
    pub batch: i64,
    pub recipe: String,
    pub title: String,
    pub cubes_left: u32,
    /// Cubes of these that meals are planned with until the last day.
    pub cubes_planned: u32,
    pub cubes_made: u32,
    pub cube_g: f64,
    pub made: Date,
    pub use_by: Date,
    /// Negative where the last day is past.
    pub days_left: i64,
    /// Cubes that will not be eaten in time; `None` where no pace is known and the last day is still to come.
    pub too_many: Option<u32>,
}

/// The rate at which the freezer is eaten.
#[derive(Debug, Clone, Copy, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct PaceReport {
    /// `None` where no meal is on record.
    pub cubes_a_day: Option<f64>,
    /// Whether the book states it; else it is counted.
    pub stated: bool,
    pub days_counted: u32,
    /// The last day on which cubes are planned; `None` where none are.
    pub planned_until: Option<Date>,
}

impl PaceReport {
    /// The pace of the freezer on a day.
    pub fn of(forecast: &Forecast) -> Self {
        let pace = forecast.pace;
        Self {
            cubes_a_day: (pace.stated || pace.days > 0).then_some(pace.cubes_a_day),
            stated: pace.stated,
            days_counted: pace.days,
            planned_until: forecast.planned.by_day.keys().next_back().copied(),
        }
    }

    /// The pace in words, as a part of a sentence.
    pub fn words(self) -> String {
        let pace = self.counted();
        match self.planned_until {
            Some(day) => format!(
                "{pace}; planned meals, the last on {}, count as planned",
                words::day(day)
            ),
            None => pace,
        }
    }

    fn counted(self) -> String {
        let Some(cubes) = self.cubes_a_day else {
            return "not known yet: it is counted from the meals that are recorded".into();
        };
        match (self.stated, self.days_counted) {
            (true, _) => format!("{cubes:.1} cubes a day, as the book says"),
            (false, 1) => format!("{cubes:.1} cubes a day, counted on one day only"),
            (false, PACE_DAYS) => format!("{cubes:.1} cubes a day over the last {PACE_DAYS} days"),
            (false, days) => format!(
                "{cubes:.1} cubes a day, counted on the {days} of the last {PACE_DAYS} days that have meals on record"
            ),
        }
    }
}

impl FreezerReport {
    /// Builds the report of a day.
    pub fn new(day: Date, forecast: &Forecast) -> Self {
        let (pace, outlook) = (&forecast.pace, forecast.outlook());
        Self {
            schema: 1,
            day,
            pace: PaceReport::of(forecast),
            cubes: outlook.iter().map(|outlook| outlook.stock.left).sum(),
            batches: outlook
                .iter()
                .map(|outlook| freezer_line(outlook, pace))
                .collect(),
        }
    }

    /// As text.
    pub fn render(&self, look: Look) -> String {
        let mut page = Page::new(look);
        if self.batches.is_empty() {
            page.line("The freezer is empty.");
            return page.finish();
        }
        let day = words::day(self.day);
        page.heading(&format!(
            "IN THE FREEZER ON {day}, first to be eaten on top"
        ));
        page.table(
            ["", "", "left", "use by", "days", ""],
            self.batches.iter().map(FreezerLine::cells),
            &[2, 4],
        );
        page.line("");
        page.paragraph(&format!("Pace: {}.", self.pace.words()));
        page.finish()
    }
}

fn freezer_line(outlook: &Outlook, pace: &Pace) -> FreezerLine {
    let batch = &outlook.stock.batch;
    let known = pace.cubes_a_day > 0.0 || outlook.days_left < 0;
    FreezerLine {
        batch: batch.id,
        recipe: batch.name.clone(),
        title: batch.title.clone(),
        cubes_left: outlook.stock.left,
        cubes_planned: outlook.planned,
        cubes_made: batch.cubes,
        cube_g: batch.cube.grams(),
        made: batch.day,
        use_by: batch.use_by,
        days_left: outlook.days_left,
        too_many: known.then_some(outlook.too_many),
    }
}

impl FreezerLine {
    fn cells(&self) -> Vec<String> {
        let remark = match (self.days_left, self.too_many) {
            (..0, _) => "past its last day".to_string(),
            (_, None | Some(0)) => String::new(),
            (_, Some(too_many)) => format!("{too_many} will not be eaten in time"),
        };
        vec![
            format!("#{}", self.batch),
            self.recipe.clone(),
            self.cubes_left.to_string(),
            words::day(self.use_by),
            self.days_left.to_string(),
            remark,
        ]
    }
}
