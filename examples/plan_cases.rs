//! Proposes plans for invented households.
//!
//! `plan_cases bench [CASES]` times weeks of two children with three meals a day and fifteen
//! batches, a line of JSON for each; `plan_cases show CASE` prints such a week in words;
//! `plan_cases write DIR CASES` writes for each case the model, the plain data and the plan, to be
//! held against another solver.

use std::error::Error;
use std::path::Path;
use std::time::Instant;

use serde_json::{Value, json};
use trayful::planning::propose::{Effort, Model, Proposal, Quality, model, propose};
use trayful::planning::{CubeOrigin, Request};

#[allow(
    clippy::unwrap_used,
    reason = "an invented case that is wrong is a bug"
)]
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    reason = "small invented numbers"
)]
#[path = "../tests/plan/cases.rs"]
mod cases;

use cases::{Size, WEEK, case};

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments
        .iter()
        .map(String::as_str)
        .collect::<Vec<_>>()
        .as_slice()
    {
        ["bench"] => bench(20),
        ["bench", cases] => bench(cases.parse()?),
        ["show", number] => show(number.parse()?),
        ["write", dir, cases] => write(dir.as_ref(), cases.parse()?),
        _ => Err(
            "usage: plan_cases bench [CASES] | plan_cases show CASE | plan_cases write DIR CASES"
                .into(),
        ),
    }
}

#[expect(clippy::print_stdout, reason = "a program for the command line")]
fn bench(cases: u64) -> Result<(), Box<dyn Error>> {
    for seed in 0..cases {
        let request = case(seed, WEEK);
        let start = Instant::now();
        let proposal = propose(&request, Effort::default())?;
        let seconds = start.elapsed().as_secs_f64();
        let quality = format!("{:?}", proposal.quality);
        let line = json!({"case": seed, "seconds": seconds, "worth": proposal.worth, "quality": quality, "gaps": proposal.gaps.len()});
        println!("{line}");
    }
    Ok(())
}

#[expect(clippy::cast_possible_truncation, reason = "small invented numbers")]
/// Small to large, so that both solvers can prove the optimum of most.
fn size(seed: u64) -> Size {
    let dice = |end: u64| (seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 40) % end;
    Size {
        days: 2 + (seed % 4) as u32,
        children: 1 + (seed / 4 % 2) as usize,
        meals: 1 + (seed / 8 % 2) as usize,
        batches: 4 + dice(5) as usize,
        recipes: (seed % 3) as usize,
        new_foods: dice(6) as usize,
    }
}

#[expect(clippy::print_stdout, reason = "a program for the command line")]
fn show(number: u64) -> Result<(), Box<dyn Error>> {
    let request = case(number, WEEK);
    let proposal = propose(&request, Effort::default())?;
    for (meal, part, why) in proposal.parts() {
        let (child, title) = (
            &request.children[meal.child].name,
            part.origin.title(&request),
        );
        println!(
            "{} {child:6} {:10} {} x {title}: {}",
            meal.day.strftime("%a"),
            meal.meal,
            part.cubes,
            why.join("; ")
        );
    }
    for cooking in &proposal.plan.cookings {
        println!(
            "cook {} trays of {} on {}",
            cooking.trays,
            request.recipes[cooking.recipe].title,
            cooking.day.strftime("%A")
        );
    }
    for aim in &proposal.aims {
        println!(
            "{:20} {:8.2} of {:8.2} points",
            aim.rule.row().id,
            aim.points,
            aim.most
        );
    }
    println!("{}", proposal.quality.sentence());
    for words in proposal.held_back.iter().chain(&proposal.lower_bounds) {
        println!("{words}");
    }
    for gap in &proposal.gaps {
        println!("{} {}: {}; {}", gap.day, gap.meal, gap.why, gap.close);
    }
    Ok(())
}

fn write(dir: &Path, cases: u64) -> Result<(), Box<dyn Error>> {
    std::fs::create_dir_all(dir)?;
    for seed in 0..cases {
        let (size, request) = if dir.ends_with("weeks") {
            (WEEK, case(seed, WEEK))
        } else {
            (size(seed), case(seed, size(seed)))
        };
        let start = Instant::now();
        let proposal = propose(&request, Effort::default())?;
        let seconds = start.elapsed().as_secs_f64();
        let whole = json!({
            "seed": seed,
            "size": format!("{size:?}"),
            "seconds": seconds,
            "model": told_model(&model(&request)?),
            "data": told_request(&request),
            "answer": told(&proposal),
        });
        std::fs::write(
            dir.join(format!("case-{seed:02}.json")),
            serde_json::to_string(&whole)?,
        )?;
    }
    Ok(())
}

/// The model in plain data: the objective is maximised, and every row is at most its last number. A
/// bound that is missing is null.
fn told_model(model: &Model) -> Value {
    let bound = |value: f64| value.is_finite().then_some(value);
    json!({
        "variables": model.variables.iter().map(|one| json!([bound(one.high), one.whole, one.worth])).collect::<Vec<_>>(),
        "rows": model.rows.iter().map(|row| json!([row.terms, row.most])).collect::<Vec<_>>(),
    })
}

/// What the household asked for, without what the program makes of it.
fn told_request(request: &Request) -> Value {
    let foods = |serving: &trayful::nutrition::Serving| {
        serving
            .foods
            .iter()
            .map(|food| food.id.to_string())
            .collect::<Vec<_>>()
    };
    let cubes = request.batches.iter().map(|one| &one.cube);
    let cubes = cubes.chain(request.recipes.iter().map(|one| &one.cube));
    let allergens = cubes
        .flat_map(|cube| &cube.foods)
        .map(|food| (food.id.to_string(), json!(food.allergens)));
    json!({
        "days": request.days.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "allergens": allergens.collect::<serde_json::Map<_, _>>(),
        "waiting_days": request.waiting.days,
        "trays_a_day": request.trays_a_day,
        "batches": request.batches.iter().map(|one| json!({
            "cubes": one.cubes, "from": one.from.to_string(), "use_by": one.use_by.to_string(), "foods": foods(&one.cube),
            "recipe": one.recipe, "barred": one.barred.keys().collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "recipes": request.recipes.iter().map(|one| json!({
            "recipe": one.recipe,
            "cook_days": one.cook_days.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "cubes_a_tray": one.cubes_a_tray, "most_trays": one.most_trays, "freezer_days": one.freezer_days,
            "foods": foods(&one.cube), "barred": one.barred.keys().collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "children": request.children.iter().map(|one| json!({
            "meals": one.meals,
            "known": one.known.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "allergens": one.allergens,
            "not_liked_yet": one.not_liked_yet.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "new_from": one.new_from.map(|day| day.to_string()),
            "needs": one.days.values().map(|need| json!([need.meals.end(), need.cubes.start(), need.cubes.end()])).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    })
}

fn told(proposal: &Proposal) -> Value {
    let origin = |origin: CubeOrigin| match origin {
        CubeOrigin::Batch(batch) => json!({ "batch": batch }),
        CubeOrigin::Cooking { recipe, day } => {
            json!({ "recipe": recipe, "cooked": day.to_string() })
        }
    };
    let part = |part: &trayful::planning::PlannedCubes| json!({ "from": origin(part.origin), "cubes": part.cubes });
    json!({
        "worth": proposal.worth,
        "gap": match proposal.quality {
            Quality::Optimal => 0.0,
            Quality::Within { percent } => percent / 100.0,
            // Only a change by hand is not rated, and none is made here.
            Quality::Unrated => f64::NAN,
        },
        "meals": proposal.plan.meals.iter().map(|meal| json!({
            "day": meal.day.to_string(), "child": meal.child, "meal": meal.meal,
            "parts": meal.parts.iter().map(part).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "cookings": proposal.plan.cookings.iter().map(|one| json!({ "day": one.day.to_string(), "recipe": one.recipe, "trays": one.trays })).collect::<Vec<_>>(),
    })
}
