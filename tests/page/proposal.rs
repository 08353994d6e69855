//! A proposal for a week in plain words: one meal gets another dish, a dish is left out, and
//! nothing is recorded before it is kept.

use super::days::{Demo, TODAY};

/// The address of a proposal with time to cook plenty on one day.
fn proposal(demo: &Demo) -> String {
    let asked = [("from", TODAY), ("trays", "4"), ("cook-2026-11-16", "yes")];
    let sent = demo.page.post("/week/propose", &asked);
    assert_eq!(sent.status, 303, "{}", sent.body);
    sent.header("location").to_string()
}

/// The meals of a proposal: the address at which each gets another dish, and what it is now.
fn meals_of(page: &str) -> Vec<(String, String)> {
    let meals = page.split("<details class=\"dish\" name=\"dish\">").skip(1);
    let meal = |part: &str| {
        let address = part.split("href=\"").nth(1).unwrap().split('"').next();
        let words = part.split("</strong> ").nth(1).unwrap().split('<').next();
        let address = address.unwrap().replace("&#38;", "&");
        (address, words.unwrap().trim().to_string())
    };
    meals.map(meal).collect()
}

/// The first dish that a page offers.
fn offered(page: &str) -> Option<&str> {
    let button = page.split("name=\"dish\" value=\"").nth(1)?;
    button.split('"').next()
}

#[test]
fn one_meal_gets_another_dish_and_the_others_stay() {
    let demo = Demo::enter();
    let before = demo.entries();
    let first = proposal(&demo);
    let meals = meals_of(&demo.page.get(&first).body);
    assert!(meals.len() > 10, "{meals:?}");
    let mut changed = Vec::new();
    // The first day has dishes of the freezer only; later days have more to choose from.
    let last = meals.len() - 2..;
    for (at, (address, now)) in meals.iter().enumerate() {
        if at > 0 && !last.contains(&at) {
            continue;
        }
        let form = demo.page.get(address);
        assert_eq!(form.status, 200, "{}", form.body);
        assert!(form.body.contains(now.as_str()), "{now}: {}", form.body);
        let Some(dish) = offered(&form.body) else {
            assert!(form.body.contains("No other dish fits here"));
            continue;
        };
        let slot = ["on", "child", "meal"].map(|name| (name, form.hidden(name)));
        let slot = slot.iter().map(|(name, value)| (*name, value.as_str()));
        let fields: Vec<_> = slot.chain([("dish", dish)]).collect();
        let sent = demo.page.post(&format!("{first}/meal"), &fields);
        assert_eq!(sent.status, 303, "{}", sent.body);
        let after = demo.page.get(sent.header("location")).body;
        let words = "another dish. Nothing is recorded yet.";
        assert!(after.contains(words), "{after}");
        let now = meals_of(&after);
        assert_eq!(now.len(), meals.len());
        for (other, (was, is)) in meals.iter().zip(&now).enumerate() {
            assert_eq!(was.1 == is.1, other != at, "{was:?} {is:?}");
        }
        let address = sent.header("location").split('?').next().unwrap();
        changed.push((address.to_string(), now[at].1.clone()));
    }
    assert!(changed.len() > 1, "{changed:?}");
    assert_eq!(demo.entries(), before, "to change records nothing");
    let (address, dish) = changed.pop().unwrap();
    let kept = demo.page.post(&address, &[]);
    let week = demo.page.get(kept.header("location")).body;
    assert!(week.contains("This is now the plan."), "{week}");
    assert_eq!(demo.entries(), before + 1);
    let title = dish.split_once(" of ").unwrap().1.to_lowercase();
    assert!(week.to_lowercase().contains(&title), "{title}: {week}");
    let stale = demo.page.get(&meals[0].0);
    let told = demo.page.get(stale.header("location")).body;
    let words = "Nothing was planned: the record was changed";
    assert!(told.contains(words), "{told}");
}

#[test]
fn a_dish_is_left_out_and_may_come_again() {
    let demo = Demo::enter();
    let before = demo.entries();
    let first = proposal(&demo);
    let shown = demo.page.get(&first).body;
    let dish = offered(&shown).unwrap();
    let button = format!("name=\"dish\" value=\"{dish}\"");
    let without = |proposal: &str, field: (&str, &str)| {
        let sent = demo.page.post(&format!("{proposal}/without"), &[field]);
        assert_eq!(sent.status, 303, "{}", sent.body);
        let address = sent.header("location").to_string();
        let body = demo.page.get(&address).body;
        (address.split('?').next().unwrap().to_string(), body)
    };
    let (address, left_out) = without(&first, ("dish", dish));
    let words = "is left out; the week was worked out again";
    assert!(left_out.contains(words), "{left_out}");
    assert!(!left_out.contains(&button), "{left_out}");
    assert!(left_out.contains("<h2>Left out</h2>"), "{left_out}");
    assert!(meals_of(&left_out).len() > 3);
    let (_, again) = without(&address, ("again", dish));
    assert!(again.contains("may come again"), "{again}");
    assert!(again.contains(&button), "{again}");
    for (path, field) in [("without", "dish"), ("without", "again"), ("meal", "dish")] {
        let path = format!("{address}/{path}");
        let nothing = demo.page.post(&path, &[(field, "no-such-dish")]);
        assert_eq!(nothing.status, 404, "{path} {field}");
    }
    assert_eq!(demo.entries(), before);
}
