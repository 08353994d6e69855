//! The form of a meal, and its record.

use jiff::civil::Date;

use super::phrases::{self, Went};
use crate::household;
use crate::notebook::{Child, Feeding};
use crate::report::{HALF_IS_GONE, held, watch_the_child};
use crate::safety::Objection;
use crate::spoken::Lookup as _;
use crate::web::objections::is_meant;
use crate::web::stopped::stopped;
use crate::web::{Fields, Notice, PageRequest, PageResult, Reply, ShownObjections, Wrong};

/// The fields of the form: child, day, and how the meal went.
pub(super) struct MealForm<'a> {
    pub(super) child: &'a Child,
    pub(super) meal: &'a str,
    pub(super) went: Went,
    pub(super) on: Date,
    pub(super) seen: &'a str,
}

impl<'a> MealForm<'a> {
    /// Reads the fields; mistakes are noted.
    pub(super) fn of(
        request: &'a PageRequest<'_>,
        fields: &'a Fields,
        child: Option<&'a Child>,
        wrong: &mut Wrong,
    ) -> Option<Self> {
        let meal = match fields.text("meal") {
            "" => Some(""),
            meal => wrong.noted("meal", request.book.settings.meal(meal)),
        };
        let went = phrases::went(fields, wrong);
        let on = phrases::on(request, fields, child, wrong);
        let seen = phrases::seen(fields, wrong);
        Some(Self {
            child: child?,
            meal: meal?,
            went: went?,
            on: on?,
            seen: seen?,
        })
    }

    /// The meal without its cubes and foods.
    pub(super) fn feeding(&self) -> Feeding<'_> {
        Feeding {
            day: self.on,
            child: &self.child.name,
            meal: self.meal,
            picks: &[],
            foods: &[],
            how: self.went.how,
            share: self.went.share,
            reaction: self.seen,
        }
    }
}

/// Records a meal, unless an objection blocks it that the form does not override; `done` is the
/// notice on the page `next`. `None` where the meal cannot be served, which is noted at `field`.
pub(super) fn serve(
    request: &PageRequest<'_>,
    (fields, field): (&Fields, &'static str),
    (child, feeding): (&Child, &Feeding<'_>),
    done: String,
    (action, back): (&str, &'static str),
    next: &str,
    wrong: &mut Wrong,
) -> PageResult<Option<Reply>> {
    let pantry = request.foods()?;
    let who = (child, |found: &[Objection]| is_meant(fields, found));
    let served = household::serve(&request.book, &mut request.store()?, &pantry, who, feeding);
    let Some(judged) = wrong.take(field, served)? else {
        return Ok(None);
    };
    let Some(meal) = judged.recorded else {
        return stopped(request, &judged.objections, fields, (action, back)).map(Some);
    };
    let watch = judged.objections.iter().any(Objection::is_block);
    let watch = watch.then(watch_the_child);
    let is_halved = feeding.picks.iter().any(|pick| pick.cubes.halved() > 0);
    let half = is_halved.then(|| HALF_IS_GONE.to_string());
    let held = held(&meal.served, child, feeding)?;
    let notice = Notice {
        more: watch.into_iter().chain([held]).chain(half).collect(),
        shown: ShownObjections::of(&judged.objections, &meal.warnings),
        entry: Some(meal.served.id),
        meal: Some(meal.served.id),
        ..Notice::of(done)
    };
    Ok(Some(Reply::Done(next.into(), notice)))
}
