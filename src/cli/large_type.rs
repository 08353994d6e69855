//! An address in large type, to be read across a kitchen: five rows of dots to a sign, two rows in each line of text.

/// The dots of a sign, row by row, from the left.
type Sign = [&'static str; 5];

/// A text in large type, three lines; `None` where it is wider than `width` columns, or has a sign without dots.
pub(super) fn large(text: &str, width: usize) -> Option<String> {
    let signs: Vec<Sign> = text.chars().map(sign).collect::<Option<_>>()?;
    let columns: usize = signs.iter().map(|sign| sign[0].len() + 1).sum();
    if columns > width {
        return None;
    }
    let row = |at: usize| -> Vec<bool> {
        let dots = signs.iter().flat_map(|sign| {
            let of_sign = sign.get(at).copied().unwrap_or_default();
            let missing = sign[0].len() - of_sign.len();
            of_sign
                .bytes()
                .map(|dot| dot == b'#')
                .chain(std::iter::repeat_n(false, missing + 1))
        });
        dots.collect()
    };
    let line = |at: usize| {
        let pairs = row(at).into_iter().zip(row(at + 1));
        let line: String = pairs.map(half_blocks).collect();
        format!("{}\n", line.trim_end())
    };
    Some([0, 2, 4].map(line).concat())
}

/// Two dots, one above the other.
fn half_blocks(dots: (bool, bool)) -> char {
    match dots {
        (true, true) => '█',
        (true, false) => '▀',
        (false, true) => '▄',
        (false, false) => ' ',
    }
}

fn sign(letter: char) -> Option<Sign> {
    Some(match letter {
        '0' => ["###", "# #", "# #", "# #", "###"],
        '1' => [" # ", "## ", " # ", " # ", "###"],
        '2' => ["###", "  #", "###", "#  ", "###"],
        '3' => ["###", "  #", " ##", "  #", "###"],
        '4' => ["# #", "# #", "###", "  #", "  #"],
        '5' => ["###", "#  ", "###", "  #", "###"],
        '6' => ["###", "#  ", "###", "# #", "###"],
        '7' => ["###", "  #", "  #", "  #", "  #"],
        '8' => ["###", "# #", "###", "# #", "###"],
        '9' => ["###", "# #", "###", "  #", "###"],
        '.' => [" ", " ", " ", " ", "#"],
        ':' => [" ", "#", " ", "#", " "],
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_is_drawn_where_it_fits() {
        insta::assert_snapshot!(large("192.168.1.20:8642", 80).unwrap());
        assert_eq!(large("192.168.1.20:8642", 40), None);
        assert_eq!(large("[fd00::1]:8642", 80), None);
        for digit in "0123456789.:".chars() {
            let sign = sign(digit).unwrap();
            assert!(sign.iter().all(|row| row.len() == sign[0].len()), "{digit}");
        }
    }
}
