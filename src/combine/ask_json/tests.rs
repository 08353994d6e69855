//! Requests in JSON, right and wrong.

use super::*;

fn read(text: &str) -> Result<CombineRequest, Vec<Problem>> {
    CombineRequest::read(&SourceText::new("ask.json", text))
}

#[test]
fn an_empty_ask_is_for_the_most_iron() {
    let ask = read("{}").unwrap();
    assert_eq!(ask.nutrient.tag, "FE");
    assert_eq!((ask.add_at_most, ask.answers), (3, 5));
    assert_eq!(ask.limits, Limits::default());
    assert!((ask.serving_size().millilitres() - 54.0).abs() < 1e-9);
}

#[test]
fn an_unknown_key_is_told_with_the_nearest_and_its_place() {
    let problems = read("{\"goal\": {\"nutrient\": \"FE\"},\n \"limitz\": {}}").unwrap_err();
    let problem = problems[0].to_string();
    assert!(
        problem.starts_with("ask.json:2:2: “limitz” is no key of an ask"),
        "{problem}"
    );
    assert!(problem.contains("did you mean “limits”"), "{problem}");
    assert!(read("{\"prices\": {\"11090\": {\"per_kq\": 1}}}").is_err());
    assert!(read("{\"base\": {\"foods\": [{\"fod\": \"11090\", \"edible_g\": 1}]}}").is_err());
}

#[test]
fn money_is_read_as_a_number_or_in_quotes_and_null_takes_a_limit_away() {
    let limits = |text: &str| {
        read(&format!("{{\"limits\": {text}, \"prices\": {{}}}}"))
            .unwrap()
            .limits
    };
    let money = limits("{\"cost_per_serving_max\": \"0.03\"}").cost.unwrap();
    assert_eq!(Some(money), limits("{\"cost_per_serving_max\": 0.03}").cost);
    assert_eq!(
        limits("{\"sodium_mg_per_serving_max\": null}").sodium,
        Sodium::Unlimited
    );
}

#[test]
fn what_cannot_be_is_an_error() {
    for text in [
        "{\"add\": {\"at_most\": 5}}",
        "{\"add\": {\"at_least\": 4, \"at_most\": 3}}",
        "{\"answers\": 0}",
        "{\"serving\": {\"fill\": 1.2}}",
        "{\"goal\": {\"nutrient\": \"XY\"}}",
        "{\"limits\": {\"dry_matter_min\": -1}}",
        "{\"must\": [\"broccoli\"]}",
        "[]",
        "{",
    ] {
        assert!(read(text).is_err(), "{text}");
    }
}
