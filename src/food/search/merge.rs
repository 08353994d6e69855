//! One answer out of two: the basic foods and the branded ones.

use super::{Hit, rank, words};

/// The most basic foods that come before any branded one.
const LEAD: usize = 3;
/// A food that is this far behind the best lacks more of the query's words.
const BEHIND: f64 = rank::MISSING / 2.0;

/// Puts sorted hits in one order; but unless the query names a brand, the best basic foods lead, each
/// under another name.
///
/// Without that, whatever a cook types, some packet has all words of it in its name.
pub(super) fn merge(basic: Vec<Hit>, branded: Vec<Hit>, brand: bool) -> Vec<Hit> {
    let (mut hits, mut rest) = if brand {
        (Vec::new(), basic)
    } else {
        lead(basic)
    };
    rest.extend(branded);
    sort(&mut rest);
    hits.append(&mut rest);
    hits
}

/// Best first, equal ones in order of id.
pub(super) fn sort(hits: &mut [Hit]) {
    hits.sort_by(|a, b| b.score.total_cmp(&a.score).then_with(|| a.id.cmp(&b.id)));
}

/// The first hits with different names, of those that have no fewer words than the best; and the
/// others.
fn lead(hits: Vec<Hit>) -> (Vec<Hit>, Vec<Hit>) {
    let least = hits.first().map_or(0.0, |best| best.score - BEHIND);
    let mut names: Vec<String> = Vec::with_capacity(LEAD);
    hits.into_iter().partition(|hit| {
        let name = words::fold(&hit.name);
        let leads = names.len() < LEAD && hit.score > least && !names.contains(&name);
        if leads {
            names.push(name);
        }
        leads
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hit(id: &str, name: &str, score: f64) -> Hit {
        Hit {
            id: id.into(),
            name: name.into(),
            manufacturer: String::new(),
            group: String::new(),
            score,
        }
    }

    fn ids(hits: &[Hit]) -> String {
        hits.iter().map(|hit| hit.id.as_str()).collect()
    }

    #[test]
    fn three_basic_foods_lead_under_different_names() {
        let basic = || {
            vec![
                hit("a", "Carrots, raw", -1.0),
                hit("c", "Carrots, raw", -1.0),
                hit("b", "Carrots, cooked", -2.0),
                hit("d", "Carrots, frozen", -8.0),
                hit("e", "Carrots, canned", -9.0),
            ]
        };
        let branded = || vec![hit("x", "CARROTS", -3.0), hit("y", "CARROT STICKS", 0.0)];
        assert_eq!(ids(&merge(basic(), Vec::new(), false)), "abdce");
        assert_eq!(ids(&merge(basic(), branded(), false)), "abdycxe");
        assert_eq!(ids(&merge(basic(), branded(), true)), "yacbxde");
        assert_eq!(ids(&merge(Vec::new(), branded(), false)), "yx");
    }

    #[test]
    fn a_food_that_lacks_more_words_than_the_best_does_not_lead() {
        let basic = vec![hit("a", "Carrots", -100.0), hit("b", "Peas", -210.0)];
        let branded = vec![hit("x", "CARROTS AND PEAS PUREE", -9.0)];
        assert_eq!(ids(&merge(basic, branded, false)), "axb");
    }
}
