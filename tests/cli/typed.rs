//! What is typed in words on the command line: what is recorded of it, and that whatever is offered
//! instead can be pasted.

use std::path::Path;

use serde_json::Value;

use super::support::{folder, trayful};

const BOOK: &str = "currency = \"USD\"\n\n[[child]]\nname = \"Wren\"\nborn = \"2026-03-02\"\n";

fn json(args: &[&str], book: &Path) -> Value {
    let args = [args, &["--json"]].concat();
    serde_json::from_str(&trayful(&args).inside(book).answer()).unwrap()
}

/// The words of a command as a shell takes them apart, without the name of the program.
fn words(command: &str) -> Vec<String> {
    let parts = command.trim_start_matches("trayful ").split('"');
    let mut words = Vec::new();
    for (n, part) in parts.enumerate() {
        if n % 2 == 1 {
            words.push(part.to_string());
        } else {
            words.extend(part.split_whitespace().map(String::from));
        }
    }
    words
}

/// Weights as on labels: a 400 g tin with its liquid. The share that is left of it stands in `drained-cans.csv`.
#[test]
fn a_can_is_weighed_with_its_liquid_and_drained() {
    let book = folder(&[("book.toml", BOOK)]);
    for typed in [
        "1 x 400 g can kidney beans drained",
        "400g tin of kidney beans",
        "one 400 g tin of red kidney beans, drained",
    ] {
        let batch = json(&["batch", "--add", typed], book.path());
        let beans = &batch["ingredients"][0];
        assert_eq!(beans["food"], "16034", "{typed}");
        assert_eq!(beans["purchased_g"], 400.0, "{typed}");
        let eaten = beans["edible_g"].as_f64().unwrap();
        assert!((eaten - 244.0).abs() < 1.0, "{typed}: {eaten}");
    }
}

/// Each side is a feed: Kent and others, Pediatrics 117:e387, 2006, weighed before and after every breast.
#[test]
fn feeds_are_counted_by_sides_and_multiples_are_kept() {
    let book = folder(&[("book.toml", BOOK)]);
    for (typed, grams) in [
        ("breast 4 feeds", 304.0),
        ("4 feeds one side", 304.0),
        ("breast 4 feeds both sides", 608.0),
        ("4 breastfeeds, both sides", 608.0),
        ("2 feeds of 100 ml expressed milk", 208.0),
        ("3 bottles of 150 ml expressed milk", 468.0),
        ("150 ml expressed milk 3 times", 468.0),
        ("600 ml expressed milk in 5 feeds", 624.0),
    ] {
        let milk = json(&["milk", typed], book.path());
        let drunk = milk["milks"][0]["grams"].as_f64().unwrap();
        assert!((drunk - grams).abs() < 2.0, "{typed}: {drunk}");
    }
    let said = trayful(&["milk", "breast 4 feeds both sides"]).inside(book.path());
    let said = said.answer();
    assert!(
        said.contains("8 feeds") && said.contains("each side counted"),
        "{said}"
    );
    for nothing in ["none", "no milk", "nothing"] {
        let milk = json(&["milk", nothing], book.path());
        assert_eq!(milk["milks"], Value::Array(Vec::new()), "{nothing}");
    }
}

#[test]
fn raw_milk_stops_a_command() {
    let book = folder(&[("book.toml", BOOK)]);
    for typed in [
        "raw milk 200 ml",
        "raw cow's milk 100 ml",
        "unpasteurised milk 100 ml",
    ] {
        let said = trayful(&["milk", typed]).inside(book.path()).said();
        assert!(said.out.contains("STOP"), "{typed}: {}", said.out);
    }
}

/// Every command that is printed in place of one that was not clear is read to the end.
#[test]
fn what_is_printed_instead_runs() {
    let book = folder(&[("book.toml", BOOK)]);
    let mut printed = 0;
    for (command, typed) in [
        ("batch", "100 g cooked chicken roasted"),
        ("batch", "100 g chicken"),
        ("batch", "5 oz spinach"),
        ("batch", "600 g squash"),
        ("batch", "1 tin of lentils"),
        ("batch", "15 oz can black beans, rinsed"),
        ("batch", "a 14 oz can of pumpkin"),
        ("batch", "200 ml stock"),
        ("mix", "1 wheat biscuit"),
        ("mix", "3 chips"),
        ("mix", "1/2 crumpet"),
        ("mix", "1 tablespoon coconut yogurt"),
        ("mix", "1 soft boiled egg"),
        ("mix", "1 oatcake"),
        ("milk", "2 bottles formula"),
        ("milk", "1 sippy cup milk"),
        ("milk", "6 oz formula"),
    ] {
        let args = match command {
            "batch" => vec!["batch", "--add", typed],
            command => vec![command, typed],
        };
        let said = trayful(&args).inside(book.path()).said();
        for line in said.err.lines() {
            let Some((_, command)) = line.split_once("trayful ") else {
                continue;
            };
            let command = words(command);
            let args: Vec<&str> = command.iter().map(String::as_str).collect();
            let run = trayful(&args).inside(book.path()).said();
            // An objection may stop it: it was understood.
            assert!(run.code < 2, "{typed}: {args:?}: {}", run.err);
            printed += 1;
        }
    }
    assert!(printed >= 15, "{printed}");
}

#[test]
fn each_fault_of_an_ingredient_is_named() {
    let recipe = "title = \"Slips\"\n\n[[ingredient]]\nfood = \"carots\"\namount = \"6oo g\"\nmethod = \"steam\"\n\n\
        [[ingredient]]\nfood = \"chiken\"\namount = \"100 g\"\nmethod = \"boil\"\n\n\
        [[ingredient]]\nfood = \"blorb\"\namount = \"2 zz\"\nmethod = \"boil\"\n";
    let book = folder(&[("book.toml", BOOK), ("recipes/slips.toml", recipe)]);
    let refused = trayful(&["batch", "slips"]).inside(book.path()).refusal();
    assert!(
        refused.contains("“6oo g” is not an amount of carots"),
        "{refused}"
    );
    assert!(
        refused.contains("“2 zz” is not an amount of blorb"),
        "{refused}"
    );
    assert!(refused.contains("“blorb”"), "{refused}");
    assert!(!refused.contains("chiken"), "{refused}");
    assert!(!refused.contains("6 oo"), "{refused}");
}

#[test]
fn a_slip_is_answered_by_a_command_that_does_what_was_meant() {
    let recipe = "title = \"Butternut\"\n\n[[ingredient]]\nfood = \"11485\"\namount = \"600 g\"\nmethod = \"roast\"\n";
    let book = folder(&[("book.toml", BOOK), ("recipes/butternut.toml", recipe)]);
    let run = |args: &[&str]| trayful(args).inside(book.path());
    let refused = run(&["rename", "butternut", "Butternut Squash"]).refusal();
    assert!(refused.contains("letters from a to z"), "{refused}");
    assert!(
        refused.contains("trayful rename butternut butternut-squash"),
        "{refused}"
    );
    let refused = run(&["reaction", "88", "rash"]).refusal();
    assert!(
        refused.contains("trayful reaction rash --after 88"),
        "{refused}"
    );
    let refused = run(&["serve", "30g banana", "--to", "Wren"]).refusal();
    assert!(
        refused.contains("trayful serve \"30g banana\" --child Wren"),
        "{refused}"
    );
    assert!(!refused.contains("banana\" Wren"), "{refused}");
    run(&["serve", "30g banana"]).answer();
    for (share, percent) in [("half", "50"), ("a quarter", "25"), ("1/2", "50")] {
        let log = json(&["log", "--kind", "meal"], book.path());
        let number = log["entries"][0]["number"].to_string();
        let said = run(&["change", &number, "--eaten", share]).answer();
        assert!(said.contains(percent), "{share}: {said}");
    }
}

/// Names of the dataset, short enough for a scale, still tell what must not be taken for one another.
#[test]
fn the_weigh_out_tells_liver_from_beef_and_cooked_beans_from_dry_ones() {
    let book = folder(&[("book.toml", BOOK)]);
    let weigh_out = |typed: &str| {
        let said = trayful(&["batch", "--add", typed])
            .inside(book.path())
            .said();
        said.out
    };
    for (typed, name) in [
        ("100 g beef liver braised", "Beef, liver"),
        ("50 g cooked red kidney beans", "Beans, kidney, red, cooked"),
        ("50 g red kidney beans boiled", "Beans, kidney, red, raw"),
        ("100 g chicken breast roasted", "Chicken, breast"),
    ] {
        let out = weigh_out(typed);
        assert!(out.contains(name), "{typed}: {out}");
    }
}
