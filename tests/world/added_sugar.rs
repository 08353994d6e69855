//! Added sugar of foods whose dataset does not state it.
//!
//! Source: the definition of 21 CFR 101.9(c)(6)(iii) (2016): sugars added during processing, and sugars
//! of honey, syrups and concentrated juice. So a sugar or a syrup is added sugar in full, a food sold
//! plain has none, and of everything else it is not known. Which food is which was read from its name
//! by hand; the amounts are total sugars of USDA SR28.

use trayful::nutrition::{NutrientId, TraitTable};

use crate::support::food;

#[test]
fn sugars_in_full_plain_foods_none_and_the_rest_not_known() {
    let table = TraitTable::builtin().unwrap();
    let sugar = |id: &str| table.of(food(id)).added_sugar;
    // Granulated sugar, honey, maple syrup, molasses.
    for id in ["19335", "19296", "19353", "19304"] {
        let all = food(id).composition.get(NutrientId::SUGARS);
        assert!(all.is_some());
        assert_eq!(sugar(id), all, "{id}");
    }
    // Carrot, banana, prunes, lentils, oats, salmon, milk, plain yogurt, cheddar, oil, egg.
    for id in [
        "11124", "09040", "09291", "16069", "08120", "15236", "01077", "01116", "01009", "04053",
        "01123",
    ] {
        assert_eq!(sugar(id), Some(0.0), "{id} {}", food(id).name);
    }
    // White bread, sweetened applesauce, peaches in heavy syrup, a cereal, fruit yogurt, a jar, formula.
    for id in [
        "18069", "09402", "09241", "08029", "01121", "03187", "03850",
    ] {
        assert_eq!(sugar(id), None, "{id} {}", food(id).name);
    }
}
