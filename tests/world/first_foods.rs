//! When solids start, and how coarse they are.
//!
//! Sources: CDC, American Academy of Pediatrics and Dietary Guidelines for Americans 2020-2025:
//! solids at about six months, never before four; WHO guideline for complementary feeding of
//! children 6 to 23 months, 2023: at six months. Texture: Government of Newfoundland and Labrador
//! (smooth only for the first weeks, lumpy from six months on, family food at twelve); NHS weaning
//! stages (mashed and lumpy at about 7 to 9 months, minced and chopped at 10 to 12); Health Canada,
//! Nutrition for Healthy Term Infants, 2014 (lumps no later than nine months).

use trayful::cooking::PracticeTable;
use trayful::nutrition::{AgeMonths, SOLIDS_FROM};
use trayful::safety::{CautionTable, Judge, Texture};

#[test]
fn solids_are_not_before_four_months_and_asked_about_before_six() {
    let judge = Judge::builtin().unwrap();
    for (months, words) in [
        (0, Some("no solids yet")),
        (3, Some("no solids yet")),
        (4, Some("ask the paediatrician")),
        (5, Some("ask the paediatrician")),
        (6, None),
        (30, None),
    ] {
        let sentence = judge.before_solids(AgeMonths(months));
        assert_eq!(sentence.is_some(), words.is_some(), "{months} months");
        assert!(words.is_none_or(|words| sentence.as_ref().unwrap().contains(words)));
        assert_eq!(AgeMonths(months) >= SOLIDS_FROM, words.is_none());
    }
}

#[test]
fn food_grows_coarser_with_age() {
    for (months, words) in [
        (6, &["smooth or mashed", "thick"][..]),
        (7, &["thicker", "mashed", "soft lumps"]),
        (8, &["soft lumps"]),
        (9, &["lumps", "minced", "finger food"]),
        (11, &["lumps", "chopped"]),
        (12, &["family food", "cut to size"]),
        (40, &["family food"]),
    ] {
        let texture = Texture::at(AgeMonths(months)).unwrap().unwrap();
        assert!(!texture.source.is_empty());
        for word in words {
            assert!(texture.text.contains(word), "{months}: {}", texture.text);
        }
    }
    assert_eq!(Texture::at(AgeMonths(5)).unwrap(), None);
}

/// Lumps are wanted from seven months on: no sentence of any interface may forbid them.
#[test]
fn nothing_forbids_lumps() {
    let practice = PracticeTable::builtin().unwrap();
    let cautions = CautionTable::builtin().unwrap();
    let blend = practice.rule("blend").unwrap();
    let upright = cautions.all().iter().find(|one| one.id == "upright");
    for text in [&blend.text, &upright.unwrap().text] {
        assert!(text.contains("pips") && !text.contains("lumps"), "{text}");
    }
    let all = cautions.all().iter().map(|one| one.text.as_str());
    let textures = (0..60).filter_map(|months| Texture::at(AgeMonths(months)).unwrap());
    let textures: Vec<_> = textures.map(|texture| texture.text).collect();
    for text in all.chain(textures.iter().map(String::as_str)) {
        assert!(!text.contains("no lumps"), "{text}");
    }
}
