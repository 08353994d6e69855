//! The JSON: one document, stable keys, full precision, `null` for what is not known.

use serde_json::Value;

use super::support::trayful;

fn json(args: &[&str]) -> Value {
    serde_json::from_str(&trayful(args).answer()).unwrap()
}

fn keys(value: &Value) -> Vec<&str> {
    value
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect()
}

#[test]
fn a_batch_has_the_promised_keys() {
    let batch = json(&[
        "batch",
        "demo/recipes/red-lentil-squash.toml",
        "--age",
        "8",
        "--json",
    ]);
    assert_eq!(batch["schema"], 1);
    for (place, expected) in [
        (
            "/mass",
            &["purchased_g", "edible_g", "cooked_g", "liquid_g", "puree_g"][..],
        ),
        (
            "/cubes",
            &["tray", "count", "whole", "leftover_g", "cube_g", "cube_ml"],
        ),
        (
            "/nutrients/0",
            &[
                "id",
                "number",
                "name",
                "unit",
                "per_batch",
                "per_100g",
                "per_cube",
                "per_serving",
                "complete",
                "missing",
                "reference",
            ],
        ),
        ("/cautions/0", &["id", "text", "source"]),
        (
            "",
            &[
                "schema",
                "recipe",
                "factor",
                "density_g_per_ml",
                "energy_density_kcal_per_g",
            ],
        ),
    ] {
        let value = batch.pointer(place).unwrap();
        for key in expected {
            assert!(keys(value).contains(key), "{place} lacks {key}");
        }
    }
    let iron = nutrient(&batch, "FE");
    let promised = ["amount", "counts", "ear", "kind", "percent", "source"];
    assert_eq!(keys(&iron["reference"]), promised);
    assert_eq!(iron["reference"]["ear"], 6.9);
    assert_eq!(
        batch["cautions"].as_array().unwrap().last().unwrap()["id"],
        "defer"
    );
}

#[test]
fn a_missing_value_is_a_lower_bound_that_names_the_food() {
    let batch = json(&[
        "batch",
        "--add",
        "300 g 16144 boil",
        "--add",
        "300 g 11090 steam",
        "--json",
    ]);
    let choline = nutrient(&batch, "CHOLN");
    assert_eq!(choline["complete"], false);
    assert_eq!(choline["missing"], serde_json::json!(["16144"]));
    assert!(choline["per_cube"].as_f64().unwrap() > 0.0);
}

#[test]
fn a_value_that_nobody_measured_is_null_and_never_zero() {
    let batch = json(&["batch", "--add", "300 g 16144 boil", "--json"]);
    let choline = nutrient(&batch, "CHOLN");
    for key in ["per_batch", "per_100g", "per_cube", "per_serving"] {
        assert!(choline[key].is_null(), "{key}");
    }
    assert!(choline["reference"]["percent"].is_null());
}

#[test]
fn a_food_has_the_promised_keys_and_no_row_for_a_missing_value() {
    let food = json(&["foods", "--show", "16144", "--json"]);
    assert_eq!(food["food"]["id"], "16144");
    let ids: Vec<_> = food["food"]["nutrients"]
        .as_array()
        .unwrap()
        .iter()
        .collect();
    assert!(ids.iter().all(|nutrient| nutrient["id"] != "CHOLN"));
    assert!(
        ids.iter()
            .any(|nutrient| nutrient["id"] == "FE" && nutrient["number"] == 303)
    );
    assert!(keys(&food["food"]).contains(&"measures"));
}

#[test]
fn the_data_in_use_is_told_as_json() {
    let data = json(&["data", "--json"]);
    assert_eq!(data["sources"][0]["foods"], 8789);
    assert_eq!(data["sources"][0]["nutrients"], 46);
}

fn nutrient<'a>(batch: &'a Value, id: &str) -> &'a Value {
    batch["nutrients"]
        .as_array()
        .unwrap()
        .iter()
        .find(|nutrient| nutrient["id"] == id)
        .unwrap()
}
