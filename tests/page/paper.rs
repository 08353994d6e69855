//! Pages to print, questions for the visit, and purchases.

use super::running::{Running, household};
use super::support::trayful;

#[test]
fn a_page_to_print_allows_its_own_style_and_nothing_else() {
    let folder = household();
    let page = Running::inside(folder.path());
    for (path, words) in [
        (
            "/visit/page?from=2026-10-20&to=2026-11-16",
            "not a diagnosis",
        ),
        (
            "/freezer/labels?sheet=a4-3x7",
            "Salmon, broccoli and millet",
        ),
        (
            "/cook/recipe/red-lentil-squash/card?trays=2",
            "32 cubes of 28.6\u{a0}g (",
        ),
    ] {
        let sheet = page.get(path);
        assert_eq!(sheet.status, 200, "{path}");
        assert!(sheet.body.contains(words), "{path}");
        let policy = sheet.header("content-security-policy");
        let style = policy
            .strip_prefix("default-src 'none'; script-src 'self'; style-src 'sha256-")
            .unwrap();
        let style = style.split('\'').next().unwrap();
        assert_eq!(style.len(), 44, "{policy}");
        assert!(!policy.contains("unsafe") && policy.contains("frame-ancestors 'none'"));
        assert!(sheet.body.contains("data-print") && sheet.body.contains(">Back</a>"));
        assert_eq!(sheet.header("x-content-type-options"), "nosniff");
        assert!(
            !sheet.body.contains(" style=\""),
            "{path}: the policy forbids it"
        );
    }
}

#[test]
fn the_page_of_a_visit_is_that_of_the_command_line() {
    let folder = household();
    let page = Running::inside(folder.path());
    let args = [
        "visit",
        "--from",
        "2026-10-20",
        "--to",
        "2026-11-16",
        "--paper",
        "a4",
        "-",
    ];
    let printed = trayful(&args).inside(folder.path()).answer();
    let sheet = page.get("/visit/page?from=2026-10-20&to=2026-11-16").body;
    // The page has ways to print it and to go back, and the policy of its answer.
    let mut lines = sheet.lines();
    for line in printed
        .lines()
        .filter(|line| !line.contains("http-equiv=\"Content-Security-Policy\""))
    {
        assert!(lines.any(|shown| shown == line), "{line}");
    }
    for (from, to, field) in [
        ("2026-11-16", "2026-10-20", "from"),
        ("1999-01-01", "2026-11-16", "from"),
        ("2026-05-01", "2026-11-16", "from"),
        ("soon", "2026-11-16", "from"),
        ("2026-11-16", "", "to"),
    ] {
        let wrong = page.get(&format!("/visit/page?from={from}&to={to}"));
        assert_eq!(wrong.status, 422, "{from} {to}");
        assert!(
            wrong.body.contains(&format!("id=\"{field}-fault\"")),
            "{from} {to}"
        );
    }
}

#[test]
fn a_question_is_written_down_and_printed() {
    let folder = household();
    let page = Running::inside(folder.path());
    let words = "Is <b>one</b> meat meal enough?";
    let asked = page.post("/visit", &[("question", words), ("on", "2026-11-16")]);
    assert_eq!(asked.status, 303, "{}", asked.body);
    for path in [
        asked.header("location"),
        "/visit/page?from=2026-10-20&to=2026-11-16",
    ] {
        let body = page.get(path).body;
        assert!(
            body.contains("meat meal enough?") && !body.contains("<b>one</b>"),
            "{path}"
        );
    }
    for (question, on) in [
        ("", "2026-11-16"),
        ("x", "then"),
        (&"x".repeat(501), "2026-11-16"),
    ] {
        assert_eq!(
            page.post("/visit", &[("question", question), ("on", on)])
                .status,
            422
        );
    }
}

#[test]
fn a_purchase_is_recorded_and_taken_back() {
    let folder = household();
    let page = Running::inside(folder.path());
    let form = page.get("/money?words=butternut+squash").body;
    assert!(
        form.contains("value=\"11485\"") && form.contains("inputmode=\"decimal\""),
        "{form}"
    );
    let good = [
        ("food", "11485"),
        ("mass", "2"),
        ("unit", "lb"),
        ("price", "3.49"),
        ("store", "market"),
        ("on", "2026-11-16"),
    ];
    let bought = page.post("/money", &good);
    assert_eq!(bought.status, 303, "{}", bought.body);
    let told = page.get(bought.header("location")).body;
    assert!(
        told.contains("Bought 907 g (2 lb 0.0 oz) of Squash, winter, butternut, raw for 3.49 USD."),
        "{told}"
    );
    assert!(
        told.contains("0.38 USD per 100 g") && told.contains("Take it back"),
        "{told}"
    );
    let kept = good.iter().copied().filter(|(name, _)| *name != "mass");
    let with_unit: Vec<_> = kept.chain([("mass", "0,9 kg")]).collect();
    let bought = page.post("/money", &with_unit);
    let told = page.get(bought.header("location")).body;
    assert!(told.contains("Bought 900 g"), "{told}");
    for (field, words) in [
        ("mass", "Say how much was bought."),
        ("price", "Say what was paid."),
    ] {
        let kept = good.iter().copied().filter(|(name, _)| *name != field);
        let empty: Vec<_> = kept.chain([(field, "")]).collect();
        let answer = page.post("/money", &empty);
        assert!(
            answer.status == 422 && answer.body.contains(words),
            "{field}: {}",
            answer.body
        );
    }
    for (field, said) in [
        ("food", ""),
        ("food", "99999"),
        ("food", "../x"),
        ("mass", "0"),
        ("mass", "1e99"),
        ("unit", "cup"),
        ("price", "-1"),
        ("price", "99999999999999999999999999999999"),
        ("store", &"x".repeat(101)),
        ("on", "x"),
    ] {
        let kept = good.iter().copied().filter(|(name, _)| *name != field);
        let wrong: Vec<_> = kept.chain([(field, said)]).collect();
        let answer = page.post("/money", &wrong);
        assert_eq!(answer.status, 422, "{field}: {said}");
    }
}

#[test]
fn what_is_saved_adds_up_by_batch_and_by_recipe() {
    let folder = household();
    let page = Running::inside(folder.path());
    let money = page.get("/money").body;
    let cells = |label: &str| -> Vec<f64> {
        let start = format!("data-label=\"{label}\" class=\"amount\">");
        let cells = money.split(&start).skip(1);
        let cells = cells.filter_map(|cell| cell.split('<').next()?.parse().ok());
        cells.collect()
    };
    // The newest batch is on top; each of the six recipes was cooked once.
    let (saved, so_far) = (cells("Saved"), cells("Saved so far"));
    assert_eq!((saved.len(), so_far.len()), (12, 6), "{money}");
    for part in [&saved[..6], &saved[6..]] {
        let sum: f64 = part.iter().sum();
        assert!((sum - so_far[0]).abs() < 0.04, "{saved:?}, {so_far:?}");
    }
    let in_all = format!(
        "Over the 6 batches that can be compared: {} USD saved.",
        so_far[0]
    );
    assert!(money.contains(&in_all), "{in_all}");
}
