//! How many edits lie between two spellings of a word.

/// The insertions, deletions, replacements and exchanges of neighbours from one word to another, if
/// at most `most`.
///
/// The optimal string alignment distance: no letter is edited twice.
pub(crate) fn edits_within(a: &[char], b: &[char], most: usize) -> Option<usize> {
    if a.len().abs_diff(b.len()) > most {
        return None;
    }
    let mut before: Vec<usize> = vec![0; b.len() + 1];
    let mut last: Vec<usize> = (0..=b.len()).collect();
    let mut row = last.clone();
    for i in 1..=a.len() {
        row[0] = i;
        for j in 1..=b.len() {
            let replaced = last[j - 1] + usize::from(a[i - 1] != b[j - 1]);
            row[j] = replaced.min(last[j] + 1).min(row[j - 1] + 1);
            let exchanged = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if exchanged {
                row[j] = row[j].min(before[j - 2] + 1);
            }
        }
        if row.iter().all(|&edits| edits > most) {
            return None;
        }
        std::mem::swap(&mut before, &mut last);
        std::mem::swap(&mut last, &mut row);
    }
    last.last().copied().filter(|&edits| edits <= most)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edits(a: &str, b: &str) -> Option<usize> {
        let letters = |word: &str| word.chars().collect::<Vec<_>>();
        edits_within(&letters(a), &letters(b), 2)
    }

    #[test]
    fn counts_edits() {
        assert_eq!(edits("lentil", "lentil"), Some(0));
        assert_eq!(edits("lentel", "lentil"), Some(1));
        assert_eq!(edits("brocoli", "broccoli"), Some(1));
        assert_eq!(edits("quiona", "quinoa"), Some(1)); // neighbours exchanged
        assert_eq!(edits("cauliflour", "cauliflower"), Some(2));
        assert_eq!(edits("carrot", "parsnip"), None);
        assert_eq!(edits("", "ab"), Some(2));
    }
}
