//! The pictures, from invented figures: what is looked at here is the drawing.

use jiff::civil::date;
use proptest::prelude::*;

use super::*;
use crate::notebook::How;

fn bar(name: &str, milk: f64, food: f64) -> NutrientBar {
    NutrientBar {
        name: name.into(),
        amount: "1 mg".into(),
        against: format!("{:.0} % of 1 mg AI", milk + food),
        milk: Some(milk),
        food: Some(food),
        supplement: None,
        complete: true,
        whisker: None,
        upper: None,
    }
}

fn bars(bars: &[NutrientBar]) -> Option<String> {
    let (id, title) = ("bars", "Nutrients");
    NutrientBars { id, title, bars }.svg()
}

#[test]
fn nutrients_are_bars() {
    let open = NutrientBar {
        amount: ">= 1 mg".into(),
        against: ">= 52 % of 1 mg RDA".into(),
        complete: false,
        ..bar("Iron", 12.0, 40.0)
    };
    let limited = NutrientBar {
        whisker: Some(Whisker {
            low: 60.0,
            high: 95.0,
        }),
        upper: Some(167.0),
        ..bar("Zinc", 20.0, 55.0)
    };
    let unknown = NutrientBar {
        milk: None,
        food: None,
        complete: false,
        amount: "not known".into(),
        against: "no share".into(),
        ..bar("Choline", 0.0, 0.0)
    };
    insta::assert_snapshot!(
        bars(&[open, limited, bar("Vitamin A", 80.0, 900.0), unknown]).unwrap()
    );
}

#[test]
fn meals_of_many_days_are_a_calendar() {
    let day = |recorded, meals: &[How], reaction| CalendarDay {
        recorded,
        meals: meals.iter().map(|how| (*how, reaction)).collect(),
    };
    let weekdays = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"].map(String::from);
    let weeks = [CalendarWeek {
        label: "5 Oct".into(),
        days: vec![
            day(true, &[How::Taken], false),
            day(true, &[How::Taken, How::Some, How::Refused], true),
            day(true, &[How::Taken; 4], false),
            day(true, &[How::Some; 6], false),
            day(true, &[], false),
            day(false, &[], false),
        ],
    }];
    let calendar = Calendar {
        id: "meals",
        title: "Meals",
        weekdays: &weekdays,
        weeks: &weeks,
    };
    insta::assert_snapshot!(calendar.svg());
}

#[test]
fn meals_of_few_days_are_a_strip() {
    let cell = |how, what: &str, reaction| StripCell {
        how,
        what: what.into(),
        reaction,
    };
    let days = [
        StripDay {
            label: "Mon 5 Oct".into(),
            record: DayRecord::Entries,
            cells: vec![
                vec![cell(How::Taken, "2 beef, beetroot and barley", false)],
                vec![
                    cell(How::Refused, "30 g of <b>oats</b>", true),
                    cell(How::Some, "egg", false),
                ],
            ],
        },
        StripDay {
            label: "Tue 6 Oct".into(),
            record: DayRecord::Nothing,
            cells: vec![vec![], vec![]],
        },
        StripDay {
            label: "Wed 7 Oct".into(),
            record: DayRecord::NotKnown,
            cells: vec![vec![], vec![]],
        },
    ];
    let strip = Strip {
        id: "meals",
        title: "Meals",
        columns: &["lunch".into(), "supper".into()],
        days: &days,
    };
    insta::assert_snapshot!(strip.svg());
}

#[test]
fn energy_is_stacked() {
    let day = |label: &str, food, milk| PeriodBar {
        label: label.into(),
        recorded: true,
        food,
        milk,
        supplement: None,
        complete: milk.is_some(),
        whisker: food.zip(milk).map(|(food, _)| Whisker {
            low: food,
            high: food + 600.0,
        }),
        wanted: Some(200.0),
        need: Some(652.0),
    };
    let none = PeriodBar {
        recorded: false,
        ..day("7 Oct", None, None)
    };
    let chart = PeriodBars {
        id: "energy",
        title: "Energy",
        unit: "kcal",
        each: "a day",
        wanted_of: "from food (WHO)",
        need_of: "needed in all (EER)",
        bars: &[
            day("5 Oct", Some(180.0), Some(410.0)),
            day("6 Oct", Some(90.0), None),
            none,
        ],
    };
    insta::assert_snapshot!(chart.svg().unwrap());
}

#[test]
fn what_has_no_data_is_not_drawn() {
    let unknown = NutrientBar {
        milk: None,
        food: None,
        complete: false,
        ..bar("Iron", 0.0, 0.0)
    };
    assert!(bars(&[unknown.clone(), bar("Zinc", 0.0, 0.0)]).is_some());
    assert_eq!(bars(&[unknown]), None);
    let blank = PeriodBar {
        label: "5 Oct".into(),
        recorded: false,
        food: None,
        milk: None,
        supplement: None,
        complete: false,
        whisker: None,
        wanted: None,
        need: Some(11.0),
    };
    let iron = PeriodBars {
        id: "iron",
        title: "Iron",
        unit: "mg iron",
        each: "a day",
        wanted_of: "",
        need_of: "reference (RDA)",
        bars: &[blank],
    };
    assert_eq!(iron.svg(), None);
    let growth = Growth {
        id: "variety",
        title: "Variety",
        period: (date(2026, 10, 5), date(2026, 10, 18)),
        known_before: 0,
        tastes: &[],
        reactions: &[],
    };
    assert_eq!(growth.svg(), None);
}

#[test]
fn variety_grows() {
    let mark = |day, foods, label: &str| GrowthMark {
        day: date(2026, 10, day),
        foods,
        label: label.into(),
    };
    let growth = Growth {
        id: "variety",
        title: "Variety",
        period: (date(2026, 10, 5), date(2026, 10, 18)),
        known_before: 3,
        tastes: &[mark(5, 1, "1"), mark(6, 2, "2-3"), mark(14, 1, "4")],
        reactions: &[mark(7, 0, "a")],
    };
    insta::assert_snapshot!(growth.svg().unwrap());
}

fn cost(name: &str, home: Option<&str>, complete: bool, jar: Option<&str>) -> CostBar {
    let money = |text: Option<&str>| text.map(|text| text.parse().unwrap());
    CostBar {
        name: name.into(),
        home: money(home),
        complete,
        jar: money(jar),
    }
}

#[test]
fn recipes_stand_beside_the_jar() {
    let bars = [
        cost(
            "Beef, beetroot and barley",
            Some("0.50"),
            true,
            Some("1.14"),
        ),
        cost(
            "Salmon, broccoli, millet and whatever else there was",
            Some("1.63"),
            false,
            Some("1.40"),
        ),
        cost("Oats", None, false, None),
        cost("Water", Some("0"), true, Some("0")),
    ];
    let (id, title) = ("costs", "Costs of 100 g");
    insta::assert_snapshot!(
        CostBars {
            id,
            title,
            unit: "EUR per 100 g",
            bars: &bars
        }
        .svg()
    );
}

/// Every number that follows `name` in the drawing.
fn coordinates(svg: &str, name: &str) -> Vec<f64> {
    let name = format!(" {name}=\"");
    let parts = svg.split(&name).skip(1);
    parts
        .filter_map(|part| part.split('"').next()?.parse().ok())
        .collect()
}

/// The points of every path; relative steps are added up.
fn points(svg: &str) -> Vec<(f64, f64)> {
    let mut points = Vec::new();
    for path in svg.split(" d=\"").skip(1) {
        let path = path.split('"').next().unwrap().replace('Z', "");
        for step in path
            .split_inclusive(['M', 'L', 'l'])
            .collect::<Vec<_>>()
            .windows(2)
        {
            let numbers = step[1].trim_end_matches(['M', 'L', 'l']);
            let (x, y) = numbers.split_once(' ').unwrap();
            let (x, y): (f64, f64) = (x.parse().unwrap(), y.parse().unwrap());
            let (left, top) = points.last().copied().unwrap_or_default();
            let relative = step[0].ends_with('l');
            points.push(if relative {
                (left + x, top + y)
            } else {
                (x, y)
            });
        }
    }
    points
}

/// Nothing is drawn outside the pictures, widths and heights are never below 0, and no text lies
/// over a mark or another text.
fn assert_drawn_well(both: &str) {
    let pictures: Vec<_> = both
        .split("</svg>")
        .filter(|svg| svg.contains("<svg"))
        .collect();
    assert_eq!(pictures.len(), 2);
    for svg in pictures {
        assert_inside(svg);
        assert_nothing_over_text(svg);
    }
}

/// Likewise, where there is anything to draw.
fn assert_drawn_well_if_at_all(both: Option<String>) {
    if let Some(both) = both {
        assert_drawn_well(&both);
    }
}

fn assert_inside(svg: &str) {
    let size = svg.split("viewBox=\"0 0 ").nth(1).unwrap();
    let (width, height) = size.split('"').next().unwrap().split_once(' ').unwrap();
    let (width, height): (f64, f64) = (width.parse().unwrap(), height.parse().unwrap());
    let (xs, widths) = (coordinates(svg, "x"), coordinates(svg, "width"));
    let (ys, heights) = (coordinates(svg, "y"), coordinates(svg, "height"));
    let inside = |value: f64, end: f64| (-0.02..=end + 0.02).contains(&value);
    assert!(xs.iter().all(|x| inside(*x, width)), "{svg}");
    assert!(ys.iter().all(|y| inside(*y, height)), "{svg}");
    assert!(widths.iter().all(|one| inside(*one, width)), "{svg}");
    assert!(heights.iter().all(|one| inside(*one, height)), "{svg}");
    for rect in svg.split("<rect").skip(1) {
        let rect = format!("<rect {}", rect.split("/>").next().unwrap());
        let right = coordinates(&rect, "x")[0] + coordinates(&rect, "width")[0];
        let foot = coordinates(&rect, "y")[0] + coordinates(&rect, "height")[0];
        assert!(inside(right, width) && inside(foot, height), "{rect}");
    }
    for (x, y) in points(svg) {
        assert!(inside(x, width) && inside(y, height), "{x} {y} in {svg}");
    }
}

/// Left, top, right and foot.
type Edges = [f64; 4];

fn assert_nothing_over_text(svg: &str) {
    let texts = texts(svg);
    let marks = marks(svg);
    let meet = |one: &Edges, other: &Edges| {
        let touch = 0.3;
        one[0] + touch < other[2]
            && other[0] + touch < one[2]
            && one[1] + touch < other[3]
            && other[1] + touch < one[3]
    };
    for (at, (text, words)) in texts.iter().enumerate() {
        for mark in &marks {
            assert!(
                !meet(text, mark),
                "{mark:?} over `{words}` {text:?} in {svg}"
            );
        }
        for (other, beside) in &texts[at + 1..] {
            assert!(!meet(text, other), "`{beside}` over `{words}` in {svg}");
        }
    }
}

/// Where each text stands, a little narrower than it is taken to be.
fn texts(svg: &str) -> Vec<(Edges, String)> {
    let size = coordinates(svg, "font-size")[0];
    let texts = svg.split("<text").skip(1).map(|text| {
        let (tag, words) = text.split_once('>').unwrap();
        let words = words.split("</text>").next().unwrap();
        let bold = if tag.contains("\"name\"") { 1.06 } else { 1.0 };
        let width = medium::text_width(words, size) * bold * 0.9;
        let (x, y) = (coordinates(tag, "x")[0], coordinates(tag, "y")[0]);
        let left = match tag {
            tag if tag.contains("\"middle\"") => x - width / 2.0,
            tag if tag.contains("\"end\"") => x - width,
            _ => x,
        };
        let edges = [left, y - 0.7 * size, left + width, y + 0.2 * size];
        (edges, words.to_string())
    });
    texts.collect()
}

/// Every rectangle, disc and step of a line, but those that only divide.
fn marks(svg: &str) -> Vec<Edges> {
    let mut marks = Vec::new();
    for line in svg
        .lines()
        .filter(|line| !line.contains("hairline") && !line.contains("hatch"))
    {
        let value = |name| coordinates(line, name)[0];
        if line.starts_with("<rect") {
            let (x, y) = (value("x"), value("y"));
            marks.push([x, y, x + value("width"), y + value("height")]);
        } else if line.starts_with("<circle") {
            let (x, y, r) = (value("cx"), value("cy"), value("r"));
            marks.push([x - r, y - r, x + r, y + r]);
        } else if line.starts_with("<path") {
            for step in points(line).windows(2) {
                let [(x, y), (to_x, to_y)] = step else {
                    continue;
                };
                marks.push([x.min(*to_x), y.min(*to_y), x.max(*to_x), y.max(*to_y)]);
            }
        }
    }
    marks
}

/// Ends from a share to a multiple of it.
fn whisker() -> impl Strategy<Value = Option<Whisker>> {
    let ends = (0.0..300.0, 1.0..9.0);
    proptest::option::of(ends.prop_map(|(low, times)| Whisker {
        low,
        high: low * times,
    }))
}

fn share() -> impl Strategy<Value = Option<f64>> {
    prop_oneof![
        Just(None),
        Just(Some(0.0)),
        (0.0..300.0).prop_map(Some),
        (0.0..1e9).prop_map(Some)
    ]
}

fn how() -> impl Strategy<Value = How> {
    prop_oneof![Just(How::Taken), Just(How::Some), Just(How::Refused)]
}

proptest! {
    #[test]
    fn bars_never_leave_the_drawing(
        figures in proptest::collection::vec((share(), share(), any::<bool>(), share(), whisker()), 0..12)
    ) {
        let figures: Vec<_> = figures
            .into_iter()
            .map(|(milk, food, complete, upper, whisker)| NutrientBar {
                milk, food, complete, whisker, upper,
                ..bar("Iron", 0.0, 0.0)
            })
            .collect();
        assert_drawn_well_if_at_all(bars(&figures));
    }

    #[test]
    fn costs_never_leave_the_drawing(
        costs in proptest::collection::vec((0u32..999_999, any::<bool>(), proptest::option::of(0u32..999_999)), 0..9)
    ) {
        let money = |cents: u32| crate::cost::Money::new(rust_decimal::Decimal::new(cents.into(), 2));
        let bar = |(home, complete, jar): (u32, bool, Option<u32>)| CostBar {
            name: "Oats".into(), home: Some(money(home)), complete, jar: jar.map(money),
        };
        let bars: Vec<_> = costs.into_iter().map(bar).collect();
        assert_drawn_well(&CostBars { id: "costs", title: "Costs", unit: "EUR per 100 g", bars: &bars }.svg());
    }

    #[test]
    fn energy_never_leaves_the_drawing(
        figures in proptest::collection::vec((share(), share(), any::<bool>(), share(), share(), whisker()), 0..15)
    ) {
        let bars: Vec<_> = figures
            .into_iter()
            .map(|(food, milk, complete, wanted, need, whisker)| PeriodBar {
                label: "5 Oct".into(),
                recorded: complete || milk.is_some(),
                food, milk, complete, wanted, need, whisker,
                supplement: None,
            })
            .collect();
        let chart = PeriodBars { id: "energy", title: "Energy", unit: "kcal", each: "a day", wanted_of: "food", need_of: "all", bars: &bars };
        assert_drawn_well_if_at_all(chart.svg());
    }

    #[test]
    fn variety_never_leaves_the_drawing(
        before in 0u32..2000, length in 0i64..93, foods in proptest::collection::vec((0i64..93, 1u32..9), 0..30)
    ) {
        let from = date(2026, 10, 5);
        let day = |days: i64| from.saturating_add(jiff::ToSpan::days(days));
        let mut marks: Vec<_> = foods
            .into_iter()
            .map(|(days, foods)| GrowthMark { day: day(days.min(length)), foods, label: "10-12".into() })
            .collect();
        marks.sort_by_key(|mark| mark.day);
        let growth = Growth {
            id: "variety", title: "Variety", period: (from, day(length)), known_before: before,
            tastes: &marks, reactions: &marks,
        };
        assert_drawn_well_if_at_all(growth.svg());
    }

    #[test]
    fn meals_never_leave_the_drawing(
        meals in proptest::collection::vec(proptest::collection::vec(how(), 0..9), 0..8), columns in 1usize..5
    ) {
        let days: Vec<_> = meals
            .iter()
            .take(7)
            .map(|meals| CalendarDay { recorded: true, meals: meals.iter().map(|how| (*how, true)).collect() })
            .collect();
        let weeks = [CalendarWeek { label: "5 Oct".into(), days }];
        assert_drawn_well(&Calendar { id: "meals", title: "Meals", weekdays: &[], weeks: &weeks }.svg());
        let names: Vec<_> = (0..columns).map(|_| "a meal with a long name".to_string()).collect();
        let cell = |how: &How| StripCell { how: *how, what: "so much of it".into(), reaction: true };
        let days: Vec<_> = meals
            .iter()
            .map(|meals| {
                let cells = (0..columns).map(|_| meals.iter().map(cell).collect()).collect();
                StripDay { label: "Mon 5 Oct".into(), record: DayRecord::Entries, cells }
            })
            .collect();
        assert_drawn_well(&Strip { id: "meals", title: "Meals", columns: &names, days: &days }.svg());
    }
}
