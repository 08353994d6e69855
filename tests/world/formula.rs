//! Which foods are infant formula: an upper level passed only with formula does not alarm.

use trayful::food::Food;
use trayful::nutrition::TraitTable;

use crate::support::food;

/// SR28: 01077 is whole cow's milk, 01107 human milk, 16120 soy milk; the group of baby foods has the formulas.
#[test]
fn formula_is_told_from_other_milk() {
    let table = TraitTable::builtin().unwrap();
    for (id, formula) in [
        ("03806", true),
        ("03850", true),
        ("01077", false),
        ("01107", false),
        ("16120", false),
        ("03184", false),
    ] {
        let food = food(id);
        assert_eq!(table.of(food).formula, formula, "{}", food.name);
    }
}

/// Own foods carry whatever name the household gives them: the words of the trade count, a maker's name does not.
#[test]
fn an_own_formula_is_known_by_its_name() {
    let table = TraitTable::builtin().unwrap();
    let own = |name: &str| Food {
        id: "own-milk".parse().unwrap(),
        name: name.into(),
        group: String::new(),
        ..food("01077").clone()
    };
    for (name, formula) in [
        ("Formula, first stage, made up", true),
        ("First infant milk", true),
        ("Follow-on milk from 6 months", true),
        ("Oat drink", false),
        ("Milk from the farm", false),
    ] {
        assert_eq!(table.of(&own(name)).formula, formula, "{name}");
    }
}
