//! Where the separators of a block are, 64 bytes at a time.
//!
//! A bit for each byte says whether it is a quote, a comma, or the end of a line. Whether a byte
//! lies between quotes is the parity of the quotes before it, which is a sum over the bits without
//! carries (G. Langdale and D. Lemire, "Parsing gigabytes of JSON per second", The VLDB Journal 28,
//! 2019, section 3.1.1). A doubled quote ends the quotes and begins them again, with nothing
//! between.
//!
//! This is for records as they ought to be. Whatever is not is handed to the reader that goes byte by
//! byte and knows what is wrong.

use wide::i8x16;

/// Bytes that are looked at together.
const STEP: usize = 64;

/// One bit a byte, the first byte lowest.
#[derive(Debug, Default, Clone, Copy)]
struct Marks {
    quotes: u64,
    commas: u64,
    lines: u64,
    returns: u64,
}

impl Marks {
    #[inline]
    fn of(bytes: &[u8; STEP]) -> Self {
        let mut marks = Self::default();
        let (parts, _) = bytes.as_chunks::<16>();
        for (part, shift) in parts.iter().zip([0, 16, 32, 48]) {
            let part = i8x16::new(part.map(u8::cast_signed));
            let bits = |byte: u8| {
                let same = part.simd_eq(i8x16::splat(byte.cast_signed()));
                u64::from(same.to_bitmask()) << shift
            };
            marks.quotes |= bits(b'"');
            marks.commas |= bits(b',');
            marks.lines |= bits(b'\n');
            marks.returns |= bits(b'\r');
        }
        marks
    }
}

/// Finds one separator after the other: commas and ends of lines that are not between quotes.
#[derive(Debug)]
pub(super) struct Separators<'b> {
    bytes: &'b [u8],
    /// Where the next bytes to look at begin, and those in hand.
    next: usize,
    base: usize,
    /// Of the bytes in hand, the separators not yet given, and which of them end a line.
    left: u64,
    lines: u64,
    /// What the bytes before those in hand leave behind: all bits set if they end between quotes;
    /// and in the lowest bit, whether the last of them is one before which a field may have ended, a
    /// closing quote, a CR that is not between quotes.
    inside: u64,
    parted: u64,
    closed: u64,
    returned: u64,
}

/// A separator.
#[derive(Debug, Clone, Copy)]
pub(super) struct Separator {
    pub(super) at: usize,
    /// Whether it ends a line, and so the record.
    pub(super) line: bool,
}

impl<'b> Separators<'b> {
    /// `at` is where a record begins.
    pub(super) fn new(bytes: &'b [u8], at: usize) -> Self {
        Self {
            bytes,
            next: at,
            base: at,
            left: 0,
            lines: 0,
            inside: 0,
            parted: 1,
            closed: 0,
            returned: 0,
        }
    }

    /// The next one; `None` at the end of the bytes, or where they are not as they ought to be.
    #[inline]
    pub(super) fn next(&mut self) -> Option<Separator> {
        while self.left == 0 {
            self.advance()?;
        }
        let lowest = self.left.trailing_zeros() as usize;
        let line = self.lines >> lowest & 1 == 1;
        self.left &= self.left - 1;
        self.lines &= self.left;
        let at = self.base + lowest;
        Some(Separator { at, line })
    }

    /// Skips the rest of the record: how many separators it has, the end of its line among
    /// them, and where it ends.
    #[inline]
    pub(super) fn skip(&mut self) -> Option<(usize, usize)> {
        let mut count = 0;
        while self.lines == 0 {
            count += self.left.count_ones() as usize;
            self.advance()?;
        }
        let end = self.lines.trailing_zeros() as usize;
        let until = self.lines ^ (self.lines - 1);
        count += (self.left & until).count_ones() as usize;
        self.left &= !until;
        self.lines &= !until;
        Some((count, self.base + end))
    }

    /// Takes the next bytes in hand.
    #[inline]
    fn advance(&mut self) -> Option<()> {
        let rest = self.bytes.get(self.next..)?;
        let marks = match rest.first_chunk::<STEP>() {
            Some(step) => Marks::of(step),
            None => last(rest)?,
        };
        let inside = sums(marks.quotes) ^ self.inside;
        let separators = marks.commas | marks.lines;
        let parting = separators | marks.quotes;
        let opening = marks.quotes & inside;
        let closing = marks.quotes & !inside;
        let returns = marks.returns & !inside;
        // A field in quotes begins where one may begin, a separator or a CR comes after it, and a CR
        // comes before the end of a line.
        let odd = opening & !(parting << 1 | self.parted)
            | (closing << 1 | self.closed) & !(parting | marks.returns)
            | (returns << 1 | self.returned) & !marks.lines;
        if odd != 0 {
            return None;
        }
        self.parted = parting >> (STEP - 1);
        self.closed = closing >> (STEP - 1);
        self.returned = returns >> (STEP - 1);
        self.inside = 0_u64.wrapping_sub(inside >> (STEP - 1));
        self.left = separators & !inside;
        self.lines = marks.lines & !inside;
        self.base = self.next;
        self.next += STEP;
        Some(())
    }
}

/// Of bytes at the end, which are fewer.
#[cold]
fn last(rest: &[u8]) -> Option<Marks> {
    let mut step = [0; STEP];
    step.get_mut(..rest.len())?.copy_from_slice(rest);
    (!rest.is_empty()).then(|| Marks::of(&step))
}

/// In each place, the sum without carries of all bits up to it.
#[inline]
fn sums(mut bits: u64) -> u64 {
    for shift in [1, 2, 4, 8, 16, 32] {
        bits ^= bits << shift;
    }
    bits
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Commas as they are, ends of lines in brackets.
    fn found(text: &str) -> Vec<(usize, bool)> {
        let mut separators = Separators::new(text.as_bytes(), 0);
        let all = std::iter::from_fn(|| separators.next().map(|one| (one.at, one.line)));
        all.collect()
    }

    #[test]
    fn separators_between_quotes_are_none() {
        let text = "a,\"b,\n\"\"c\"\"\",d\r\n";
        assert_eq!(found(text), [(1, false), (12, false), (15, true)]);
        for before in 0..70 {
            let moved = format!("{},{text}", "x".repeat(before));
            let mut expected = vec![(before, false)];
            let more = |(at, line)| (at + before + 1, line);
            expected.extend(found(text).into_iter().map(more));
            assert_eq!(found(&moved), expected, "{moved:?}");
        }
    }

    #[test]
    fn what_ought_not_to_be_is_not_gone_into() {
        for odd in [
            "a\"b\n",
            "\"a\"b\n",
            "\"a\" ,\n",
            "a\rb\n",
            " \"a\"\n",
            "\"a\"",
            "\"a\"\rb",
        ] {
            assert_eq!(found(odd), [], "{odd:?}");
        }
    }

    #[test]
    fn the_rest_of_a_record_is_skipped() {
        let text = format!("a,b,{},\"c\n\",d\ne\n", "x".repeat(100));
        let mut separators = Separators::new(text.as_bytes(), 0);
        assert_eq!(separators.next().map(|one| one.at), Some(1));
        assert_eq!(separators.skip(), Some((4, text.len() - 3)));
        assert_eq!(separators.skip(), Some((1, text.len() - 1)));
        assert_eq!(separators.skip(), None);
    }
}
