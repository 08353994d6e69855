//! Own foods: the template, adding one, showing one, cooking with one, and what is wrong on a label.

use std::fs;
use std::path::Path;

use super::support::{folder, trayful};

/// An invented label, European style.
const YOGHURT: &str = "id=own-yoghurt; name=Yoghurt, plain, whole milk; maker=Invented Dairy; \
     per=100 g; serving=125 g; energy=264 kJ; fat=3.5 g; saturated=2.3 g; carbohydrate=4.7 g; \
     sugars=4.7 g; fibre=0 g; protein=3.5 g; salt=0.1 g; calcium=120 mg";

/// An invented label, American style: iron and more in percent only.
const CEREAL: &str = "id=own-oat-cereal; name=Oat cereal, for babies; per=serving; serving=15 g; \
     measure=1 tbsp = 3.75 g; energy=60 kcal; fat=1 g; total carbohydrate=10 g; fiber=1 g; \
     protein=2 g; sodium=0 mg; iron=45 %; vitamin c=<1 mg; daily values=infants";

/// A file with this header and these rows.
fn own_file(header: &str, rows: &[&str]) -> tempfile::TempDir {
    let text = format!("{header}\n{}\n", rows.join("\n"));
    folder(&[("own-foods.csv", &text), ("book.toml", "")])
}

/// What is warned of when a food of this file is shown.
fn warned(header: &str, row: &str) -> String {
    let book = own_file(header, &[row]);
    let said = trayful(&["foods", "--show", "own-x"])
        .inside(book.path())
        .said();
    assert_eq!(said.code, 0, "{}", said.err);
    said.err
}

/// What a file with this text is refused with.
fn refused(text: &str) -> String {
    let book = folder(&[("own-foods.csv", text), ("book.toml", "")]);
    trayful(&["foods", "--show", "own-x"])
        .inside(book.path())
        .refusal()
}

/// What an `--add` is refused with, in a book without own foods; nothing may be written.
fn not_added(said: &str) -> String {
    let book = folder(&[("book.toml", "")]);
    let told = trayful(&["foods", "--add", said])
        .inside(book.path())
        .refusal();
    assert!(!book.path().join("own-foods.csv").exists());
    told
}

fn files_of(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn the_template_is_printed() {
    insta::assert_snapshot!(trayful(&["foods", "--template"]).answer());
}

#[test]
fn the_template_is_a_file_of_own_foods_without_a_warning() {
    let text = trayful(&["foods", "--template"]).answer();
    let book = folder(&[("mine.csv", &text)]);
    let show = ["foods", "--show", "own-example", "--own", "mine.csv"];
    insta::assert_snapshot!(trayful(&show).inside(book.path()).answer());
}

#[test]
fn an_added_food_is_shown_and_written() {
    let book = folder(&[("book.toml", "")]);
    let add = |text| {
        trayful(&["foods", "--add", text])
            .inside(book.path())
            .answer()
    };
    insta::assert_snapshot!(add(YOGHURT));
    insta::assert_snapshot!(add(CEREAL));
    let path = book.path().join("own-foods.csv");
    insta::assert_snapshot!(fs::read_to_string(path).unwrap());
    assert_eq!(files_of(book.path()), ["book.toml", "own-foods.csv"]);
}

#[test]
fn an_added_food_is_found_and_shown_like_any_other() {
    let book = folder(&[("book.toml", "")]);
    let run = |args: &[&str]| trayful(args).inside(book.path()).answer();
    let added = run(&["foods", "--add", CEREAL]);
    assert_eq!(added, run(&["foods", "--show", "own-oat-cereal"]));
    let found = run(&["foods", "oat", "cereal", "babies"]);
    assert!(found.contains("own-oat-cereal"), "{found}");
    let json: serde_json::Value =
        serde_json::from_str(&run(&["foods", "--show", "own-oat-cereal", "--json"])).unwrap();
    assert_eq!(
        json["food"]["source"],
        "own food, from its label (own-foods.csv:3)"
    );
    assert_eq!(json["label"]["per"], "serving of 15 g");
    let iron = json["food"]["nutrients"].as_array().unwrap();
    let iron = iron.iter().find(|value| value["id"] == "FE").unwrap();
    // 45 % of 11 mg in 15 g.
    assert!((iron["per_100g"].as_f64().unwrap() - 33.0).abs() < 1e-9);
}

#[test]
fn a_batch_counts_an_own_food_and_says_where_it_is_from() {
    let recipe = "title = \"Pear and oat cereal\"\n\
         [[ingredient]]\nfood = \"09252\"\namount = \"400 g\"\nmethod = \"steam\"\n\
         [[ingredient]]\nfood = \"own-oat-cereal\"\namount = \"8 tbsp\"\nmethod = \"none\"\n\
         [[ingredient]]\nfood = \"own-milk\"\namount = \"50 ml\"\nmethod = \"none\"\n";
    let book = folder(&[("book.toml", ""), ("recipes/pear.toml", recipe)]);
    let run = |args: &[&str]| trayful(args).inside(book.path()).said();
    run(&["foods", "--add", CEREAL]);
    let milk = "id=own-milk; name=Follow-on milk; per=100 ml; energy=67 kcal; iron=1 mg";
    insta::assert_snapshot!(run(&["foods", "--add", milk]).err);
    let said = run(&["batch", "recipes/pear.toml"]);
    assert_eq!(said.code, 0);
    insta::assert_snapshot!(format!(
        "{}\n--- to standard error:\n{}",
        said.out, said.err
    ));
}

/// The JSON and the list of estimates of a batch of 400 g pears and 100 g of an own food.
fn with_pears(label: &str) -> (serde_json::Value, String) {
    let recipe = "title = \"Pear and cereal\"\n\
         [[ingredient]]\nfood = \"09252\"\namount = \"400 g\"\nmethod = \"steam\"\n\
         [[ingredient]]\nfood = \"own-oat-cereal\"\namount = \"100 g\"\nmethod = \"none\"\n";
    let book = folder(&[("book.toml", ""), ("recipes/pear.toml", recipe)]);
    // A label that cannot be is warned of.
    let run = |args: &[&str]| {
        let said = trayful(args).inside(book.path()).said();
        assert_eq!(said.code, 0, "{}", said.err);
        said.out
    };
    run(&["foods", "--add", label]);
    let json = run(&["batch", "recipes/pear.toml", "--json"]);
    let why = run(&["batch", "recipes/pear.toml", "--why"]);
    let in_one_line = why.split_whitespace().collect::<Vec<_>>().join(" ");
    (serde_json::from_str(&json).unwrap(), in_one_line)
}

/// A figure of the nutrient with this id in a whole batch.
fn in_batch<'a>(json: &'a serde_json::Value, id: &str) -> &'a serde_json::Value {
    let nutrients = json["nutrients"].as_array().unwrap();
    nutrients.iter().find(|one| one["id"] == id).unwrap()
}

#[test]
fn water_that_a_label_does_not_give_is_estimated_for_the_density_alone() {
    let (json, why) = with_pears(CEREAL);
    let density = json["density_g_per_ml"].as_f64().unwrap();
    // 360 g of pears make 335 g, of 1.06 g/ml; 13.3 g of 100 g of cereal count as water, 1.37 g/ml.
    assert!((1.10..1.14).contains(&density), "{density}");
    let said = "Oat cereal, for babies: no value for water, so density and dry matter are estimated: \
                what protein, fat and carbohydrate leave of 100 g counts as water";
    assert_eq!(why.matches(said).count(), 1, "{why}");
    assert!(!why.contains("taken as 1 g/ml"), "{why}");
    for lacking in ["WATER", "ASH"] {
        let missing = &in_batch(&json, lacking)["missing"];
        assert_eq!(missing.to_string(), "[\"own-oat-cereal\"]", "{lacking}");
    }
    assert!(in_batch(&json, "WATER")["per_batch"].is_null(), "{json}");
}

#[test]
fn a_label_that_gives_no_sum_leaves_the_density_at_that_of_water() {
    for (lacks, label) in [
        (
            "carbohydrate: of a European label without fibre",
            "fat=7 g; carbohydrate=60 g; protein=11 g",
        ),
        ("protein", "fat=7 g; total carbohydrate=67 g"),
        (
            "room for water",
            "fat=17 g; total carbohydrate=77 g; protein=11 g",
        ),
    ] {
        let label = format!("id=own-oat-cereal; name=Oat cereal; per=100 g; {label}");
        let (json, why) = with_pears(&label);
        assert_eq!(json["density_g_per_ml"], 1.0, "{lacks}");
        let said = "density taken as 1 g/ml, since that of Oat cereal is not known";
        assert!(why.contains(said), "{lacks}: {why}");
        assert!(!why.contains("no value for water"), "{lacks}: {why}");
    }
}

#[test]
fn the_file_is_named_by_an_option_or_the_environment() {
    let elsewhere = own_file("id,name,per,iron", &["own-x,Porridge,100 g,9 mg"]);
    let path = elsewhere.path().join("own-foods.csv");
    let path = path.to_str().unwrap();
    let option = trayful(&["--own", path, "foods", "--show", "own-x"]).answer();
    let environment = trayful(&["foods", "--show", "own-x"]).with("TRAYFUL_OWN", path);
    assert_eq!(option, environment.answer());
    let batch = ["batch", "--add", "100 g own-x none", "--own", path];
    assert!(trayful(&batch).answer().contains("Porridge"));
    insta::assert_snapshot!(trayful(&["foods", "--show", "own-x"]).refusal());
    insta::assert_snapshot!(
        trayful(&["foods", "pear", "--own", "none.csv"])
            .inside(elsewhere.path())
            .refusal()
    );
}

#[test]
fn own_foods_of_the_book_are_found_from_inside_it_only() {
    let recipe = "title = \"P\"\n[[ingredient]]\nfood = \"own-x\"\namount = \"300 g\"\n\
                  method = \"none\"\n";
    let book = own_file("id,name,per,iron", &["own-x,Porridge,100 g,9 mg"]);
    fs::create_dir(book.path().join("recipes")).unwrap();
    fs::write(book.path().join("recipes/p.toml"), recipe).unwrap();
    fs::write(book.path().join("p.toml"), recipe).unwrap();
    trayful(&["batch", "p.toml"])
        .inside(&book.path().join("recipes"))
        .answer();
    fs::remove_file(book.path().join("book.toml")).unwrap();
    trayful(&["batch", "recipes/p.toml"])
        .inside(book.path())
        .refusal();
}

#[test]
fn figures_that_cannot_be_are_warned_of() {
    let all = "id,name,per,energy,fat,saturated,carbohydrate,sugars,fibre,protein,salt,sodium,iron";
    let told: Vec<_> = [
        (
            "more than there is",
            all,
            "own-x,X,100 g,,40 g,,50 g,,,20 g,,,",
        ),
        (
            "energy",
            all,
            "own-x,X,100 g,520 kcal,1 g,,12 g,,2 g,1 g,,,",
        ),
        (
            "energy in kJ",
            all,
            "own-x,X,100 g,265 kcal,1 g,,12 g,,2 g,1 g,,,",
        ),
        ("salt and sodium", all, "own-x,X,100 g,,,,,,,,1 g,100 mg,"),
        ("sugars", all, "own-x,X,100 g,,,,5 g,12 g,,,,,"),
        ("saturated", all, "own-x,X,100 g,,1 g,3 g,,,,,,,"),
        ("iron", all, "own-x,X,15 g,,,,,,,,,,60 mg"),
        (
            "more sodium than salt has",
            all,
            "own-x,X,100 g,,,,,,,,,50 g,",
        ),
        (
            "more energy than fat has",
            all,
            "own-x,X,100 g,1590 kcal,,,,,,,,,",
        ),
        (
            "fibre",
            "id,name,per,total-carbohydrate,fibre",
            "own-x,X,100 g,5 g,9 g",
        ),
        (
            "barcode",
            "id,name,per,barcode,iron",
            "own-x,X,100 g,4006381333932,1 mg",
        ),
        ("nothing", "id,name,per", "own-x,X,100 g"),
        ("density", "id,name,per,iron", "own-x,X,100 ml,1 mg"),
    ]
    .map(|(what, header, row)| format!("--- {what}\n{}", warned(header, row)))
    .to_vec();
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn figures_as_labels_round_them_are_not_warned_of() {
    let header = "id,name,per,energy,fat,saturated,total-carbohydrate,sugars,fibre,protein,sodium";
    for row in [
        // Small servings, each figure rounded by the rules for labels.
        "own-x,X,15 g,60 kcal,1 g,0 g,11 g,1 g,1 g,2 g,0 mg",
        "own-x,X,15 g,60 kcal,0.5 g,0 g,12 g,0 g,0 g,1 g,5 mg",
        "own-x,X,14 g,130 kcal,14 g,2 g,0 g,0 g,0 g,0 g,0 mg",
        "own-x,X,100 g,0 kcal,0 g,0 g,0 g,0 g,0 g,0 g,10 mg",
    ] {
        assert_eq!(warned(header, row), "");
    }
}

#[test]
fn a_file_that_is_not_in_order_is_refused_with_every_place() {
    insta::assert_snapshot!(refused(
        "# mine\nid,name,per,irn,Vitamine C,iodine,iron,Iron\n\
         own-x,X,100 g,1 mg,2 mg,,,\n"
    ));
    insta::assert_snapshot!(refused(
        "id,name,per,serving,fat,iron,folate,measure,barcode,group,density\n\
         x,X,100 g,,,,,,,,\n\
         own-A,X,100 g,,,,,,,,\n\
         own-x,,100 g,,,,,,,,\n\
         own-c,Comma,100 g,,\"0,5 g\",,,,,,\n\
         own-d,Thousands,100 g,,\"1,500 g\",1 500 mg,,,,,\n\
         own-e,Negative,100 g,,-1 g,,,,,,\n\
         own-f,No unit,100 g,,3,,,,,,\n\
         own-g,No number,100 g,,some,,,,,,\n\
         own-h,Wrong unit,100 g,,3 kcal,3 IU,3 µg NE,,,,\n\
         own-i,No size,serving,,3 g,,,,,,\n\
         own-j,Odd size,1 cup,,3 g,,,,,,\n\
         own-k,Nothing,0 g,,3 g,,,,,,\n\
         own-l,Percent,100 g,,,45 %,,,,,\n\
         own-m,Measure,100 g,,,,,1 tbsp,12345,Baby Food,1.03\n"
    ));
    insta::assert_snapshot!(refused(
        "id,name,per,iron,\n\
         own-x,First,100 g,1 mg,\n\
         own-x,Again,100 g,1 mg,\n\
         own-y,Short,100 g\n\
         own-z,Stray,100 g,1 mg,2 mg\n"
    ));
}

#[test]
fn percentages_without_a_daily_value_are_refused() {
    insta::assert_snapshot!(refused(
        "id,name,per,sodium,protein,iron,daily-values\n\
         own-a,A,100 g,,,45 %,adults\n\
         own-b,B,100 g,5 %,10 %,,infants\n"
    ));
}

#[test]
fn both_kinds_of_carbohydrate_are_refused() {
    insta::assert_snapshot!(refused(
        "id,name,per,carbohydrate,total-carbohydrate\nown-a,A,100 g,5 g,6 g\n"
    ));
}

#[test]
fn texts_that_are_not_such_a_file_are_refused() {
    let mut told: Vec<_> = [
        "",
        "# nothing but words\n",
        "id;name;per\nown-x;X;100 g\n",
        "name,iron\nX,1 mg\n",
        "id,name,per\nown-x,\"X,100 g\n",
        "id,name,per\nown-x,\"X\" y,100 g\n",
        "id,name,per\nown-x,X\u{1b}[31m,100 g\n",
    ]
    .map(refused)
    .to_vec();
    let book = folder(&[("book.toml", "")]);
    fs::write(
        book.path().join("own-foods.csv"),
        b"id,name,per\nown-x,\xff,100 g\n",
    )
    .unwrap();
    let show = trayful(&["foods", "--show", "own-x"]).inside(book.path());
    told.push(show.refusal());
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn what_spreadsheets_write_is_read() {
    let book = folder(&[
        ("book.toml", ""),
        (
            "own-foods.csv",
            "\u{feff}ID,Name,Per,Iron,Vitamin C,,\r\n,,,,,,\r\n\
             own-x,\"Pear, \"\"best\"\" one\",100 g,0.2 mg,4 mg,,\r\n",
        ),
    ]);
    let run = |args: &[&str]| trayful(args).inside(book.path()).answer();
    assert!(run(&["foods", "--show", "own-x"]).contains("own-x  Pear, \"best\" one\n"));
    run(&[
        "foods",
        "--add",
        "id=own-y; name=Plum, dried; per=100 g; zinc=1 mg; iron=1 mg",
    ]);
    assert_eq!(
        fs::read_to_string(book.path().join("own-foods.csv")).unwrap(),
        "\u{feff}ID,Name,Per,Iron,Vitamin C,,,zinc\r\n,,,,,,,\r\n\
         own-x,\"Pear, \"\"best\"\" one\",100 g,0.2 mg,4 mg,,,\r\n\
         own-y,\"Plum, dried\",100 g,1 mg,,,,1 mg\r\n"
    );
}

#[test]
fn an_addition_that_is_not_in_order_writes_nothing() {
    let told: Vec<_> = [
        "",
        "own-x, X, 100 g",
        "id=own-x; name=X; per=100 g; irn=1 mg",
        "id=own-x; name=X; per=100 g; iron=1 mg; Iron=2 mg",
        "id=own-x; name=X; per=100 g; iron=1,5 mg",
        "maker=X; per=100 g",
        "id=own-x",
    ]
    .map(not_added)
    .to_vec();
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn a_food_without_an_id_gets_one_from_its_name() {
    let book = folder(&[("book.toml", "")]);
    let add = |name: &str| {
        let label = format!("name={name}; per=100 g; energy=380 kcal");
        let shown = trayful(&["foods", "--add", &label]).inside(book.path());
        shown.answer().lines().next().unwrap().to_string()
    };
    assert_eq!(
        add("Oat cereal (No. 1)"),
        "own-oat-cereal-no-1  Oat cereal (No. 1)"
    );
    assert_eq!(
        add("Oat cereal, no. 1"),
        "own-oat-cereal-no-1-2  Oat cereal, no. 1"
    );
    let batch = ["batch", "--add", "20 g own-oat-cereal-no-1 none"];
    assert!(
        trayful(&batch)
            .inside(book.path())
            .answer()
            .contains("Oat cereal")
    );
    // Without a letter of the Latin alphabet the parent names it.
    let label = "name=粥; per=100 g; energy=380 kcal";
    let refused = trayful(&["foods", "--add", label]).inside(book.path());
    assert!(refused.refusal().contains("this food has no “id”"));
}

#[test]
fn an_id_that_is_taken_is_not_added_twice() {
    let before = "id,name,per,iron\nown-x,Porridge,100 g,9 mg";
    let book = folder(&[("own-foods.csv", before), ("book.toml", "")]);
    let add = [
        "foods",
        "--add",
        "id=own-x; name=Other; per=100 g; iron=1 mg",
    ];
    insta::assert_snapshot!(trayful(&add).inside(book.path()).refusal());
    let path = book.path().join("own-foods.csv");
    assert_eq!(fs::read_to_string(&path).unwrap(), before);
}

#[test]
fn nothing_is_added_to_a_broken_file_or_to_none() {
    let broken = "id,name,per,irn\nown-x,Porridge,100 g,9 mg\n";
    let book = folder(&[("own-foods.csv", broken), ("book.toml", "")]);
    let run = || trayful(&["foods", "--add", YOGHURT]).inside(book.path());
    assert!(run().refusal().contains("own-foods.csv:1:13"));
    let path = book.path().join("own-foods.csv");
    assert_eq!(fs::read_to_string(&path).unwrap(), broken);
    fs::remove_file(book.path().join("book.toml")).unwrap();
    insta::assert_snapshot!(run().refusal());
}

#[test]
fn a_warning_does_not_keep_a_food_from_being_added() {
    let book = folder(&[("book.toml", "")]);
    let odd = "id=own-x; name=X; per=100 g; sugars=12 g; carbohydrate=5 g";
    let said = trayful(&["foods", "--add", odd]).inside(book.path()).said();
    assert_eq!(said.code, 0);
    assert!(said.out.starts_with("own-x  X\n"), "{}", said.out);
    insta::assert_snapshot!(said.err);
}

#[test]
fn a_folder_that_cannot_be_written_to_is_told() {
    let add = [
        "foods",
        "--add",
        YOGHURT,
        "--own",
        "no-such-folder/own-foods.csv",
    ];
    insta::assert_snapshot!(trayful(&add).refusal());
}

#[test]
#[cfg(unix)]
fn an_addition_keeps_the_rights_and_the_link_of_the_file() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let book = folder(&[("real/mine.csv", "id,name,per\n"), ("book.toml", "")]);
    let real = book.path().join("real/mine.csv");
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
    let link = book.path().join("own-foods.csv");
    symlink("real/mine.csv", &link).unwrap();
    trayful(&["foods", "--add", YOGHURT])
        .inside(book.path())
        .answer();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert!(fs::read_to_string(&real).unwrap().contains("own-yoghurt"));
    let mode = fs::metadata(&real).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode, 0o640);
}

#[test]
fn the_food_of_the_demo_household_is_in_order() {
    let add = [
        "batch",
        "--add",
        "60 g own-oat-cereal none",
        "--own",
        "demo/own-foods.csv",
        "--why",
    ];
    assert!(trayful(&add).answer().contains("invented"));
}
