//! Numbers as they are written; short ones are read eight characters at a time.

/// Powers of ten that a double holds exactly.
const TENS: [f64; 16] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// A number as it is written: its digits, and how many of them follow the point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Decimal {
    pub(super) digits: u32,
    pub(super) places: u8,
}

impl Decimal {
    /// The nearest double: see [`quotient`].
    #[inline]
    pub(super) fn value(self) -> f64 {
        quotient(u64::from(self.digits), usize::from(self.places)).unwrap_or_default()
    }
}

/// `digits` over ten to the power of `places`. Both are exact if there are fifteen digits at most, so their
/// quotient is the nearest double (W. D. Clinger, "How to read floating point numbers accurately", 1990).
#[inline]
fn quotient(digits: u64, places: usize) -> Option<f64> {
    Some(digits as f64 / TENS.get(places)?)
}

/// Up to eight characters: the last of the text is in the highest byte, and lower bytes hold
/// whatever stands before the text.
#[derive(Debug, Clone, Copy)]
pub(super) struct Short {
    bytes: u64,
    length: u32,
}

const ZEROS: u64 = u64::from_ne_bytes([b'0'; 8]);
const POINTS: u64 = u64::from_ne_bytes([b'.'; 8]);
const ONES: u64 = u64::from_ne_bytes([1; 8]);

impl Short {
    /// The text in `bytes` from `start` to `end`; `None` if it is longer, or empty, or if fewer than
    /// eight bytes end there.
    #[inline]
    pub(super) fn new(bytes: &[u8], start: usize, end: usize) -> Option<Self> {
        let length = u32::try_from(end.checked_sub(start)?).ok()?;
        let bytes = bytes.get(..end)?.last_chunk::<8>()?;
        (1..=8).contains(&length).then_some(Self {
            bytes: u64::from_le_bytes(*bytes),
            length,
        })
    }

    /// The text as a whole number, if it is digits and nothing else.
    #[inline]
    pub(super) fn whole(self) -> Option<u32> {
        let text = self.padded();
        // Digits have 3 in their upper half, and still so with 6 added to them.
        let upper = 0xF0 * ONES;
        let digits = text & upper == ZEROS && (text.wrapping_add(6 * ONES)) & upper == ZEROS;
        digits.then(|| eight_digits(text - ZEROS))
    }

    /// The text as a number with one point, or none; the digits may be on one side of it only.
    #[inline]
    pub(super) fn decimal(self) -> Option<Decimal> {
        let odd = self.padded() ^ POINTS;
        // The lowest zero byte, marked by the borrow of a subtraction (H. S. Warren, "Hacker's
        // Delight", section 6-1).
        let points = odd.wrapping_sub(ONES) & !odd & (ONES << 7);
        if points == 0 {
            let digits = self.whole()?;
            return Some(Decimal { digits, places: 0 });
        }
        let point = points.trailing_zeros() / 8;
        // What is before the point moves up to what is after it.
        let after = !0 << (8 * point) << 8;
        let before = !(!0 << (8 * point));
        let closed = Self {
            bytes: self.bytes & after | (self.bytes & before) << 8,
            length: self.length - 1,
        };
        let digits = (closed.length > 0).then(|| closed.whole())??;
        let places = u8::try_from(7 - point).ok()?;
        Some(Decimal { digits, places })
    }

    /// The text with leading zeros.
    #[inline]
    fn padded(self) -> u64 {
        let text = !0 << (64 - 8 * self.length);
        self.bytes & text | ZEROS & !text
    }
}

/// Eight digits, the first of them in the lowest byte: neighbours are put together to pairs, pairs to
/// fours, fours to eight.
#[inline]
fn eight_digits(digits: u64) -> u32 {
    let join = |parts: u64, width: u32, ten: u64| {
        let low = u64::MAX / ((1 << width) + 1);
        (parts & low) * ten + (parts >> width & low)
    };
    let pairs = join(digits, 8, 10);
    let fours = join(pairs, 16, 100);
    let eight = (fours & 0xFFFF_FFFF) * 10_000 + (fours >> 32);
    u32::try_from(eight).unwrap_or(u32::MAX)
}

/// Up to nine digits.
pub(super) fn digits(bytes: &[u8]) -> Option<u32> {
    if bytes.len() > 9 {
        return None;
    }
    let mut number = 0;
    for byte in bytes {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 {
            return None;
        }
        number = number * 10 + u32::from(digit);
    }
    Some(number)
}

/// Digits with at most one point, fifteen of them at most, as the nearest double; `None` for anything else.
pub(super) fn long(bytes: &[u8]) -> Option<f64> {
    if bytes.len() > 16 {
        return None;
    }
    let (mut number, mut count, mut after) = (0_u64, 0_usize, None);
    for byte in bytes {
        let digit = byte.wrapping_sub(b'0');
        if digit < 10 {
            number = number * 10 + u64::from(digit);
            count += 1;
        } else if *byte == b'.' && after.is_none() {
            after = Some(count);
        } else {
            return None;
        }
    }
    if count == 0 || count > 15 {
        return None;
    }
    let decimals = after.map_or(0, |before| count - before);
    quotient(number, decimals)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The text between others, as it is in a file.
    fn short(text: &str) -> Option<Short> {
        let bytes = format!("\"89.01.\",\"{text}\",\"12\"");
        let start = 10;
        Short::new(bytes.as_bytes(), start, start + text.len())
    }

    #[test]
    fn whole_numbers_are_those_of_digits() {
        for text in [
            "0", "7", "10", "007", "167512", "2345678", "12345678", "99999999",
        ] {
            let found = short(text).and_then(Short::whole);
            assert_eq!(found, text.parse().ok(), "{text}");
        }
        for odd in [
            "-1", "1.0", "1e3", " 1", "1 ", "/", ":", "\u{b9}", "12a45678", "?0",
        ] {
            assert_eq!(short(odd).and_then(Short::whole), None, "{odd}");
        }
        for byte in 0..=u8::MAX {
            let text = [b'9', b'9', b'9', b'9', b'9', b'9', b'1', byte];
            let found = Short::new(&text, 6, 8).and_then(Short::whole);
            let digit = byte.is_ascii_digit().then(|| u32::from(byte - b'0') + 10);
            assert_eq!(found, digit, "{byte}");
        }
        assert!(short("").is_none() && short("123456789").is_none());
        assert!(Short::new(b"123", 0, 3).is_none());
    }

    #[test]
    fn decimals_are_the_nearest_doubles() {
        for text in [
            "0", "0.0", "56.3", "1.28", ".5", "7.", "0.1", "123.4567", "0.000001", "12345678",
        ] {
            let found = short(text).and_then(Short::decimal);
            let expected = text.parse::<f64>().unwrap();
            assert_eq!(
                found.map(|one| one.value().to_bits()),
                Some(expected.to_bits()),
                "{text}"
            );
        }
        for odd in [
            ".", "..", "1.2.3", "-1.5", "1e3", "1,5", " 1.5", "nan", "1.5 ",
        ] {
            assert_eq!(short(odd).and_then(Short::decimal), None, "{odd}");
        }
    }

    #[test]
    fn long_decimals_are_the_nearest_doubles() {
        for text in [
            "0",
            "0.0",
            "56.3",
            "1.28",
            ".5",
            "7.",
            "0.1",
            "123456789.012345",
            "999999999999999",
            "0.00000000000001",
            "0.30000000000000",
        ] {
            let expected = text.parse::<f64>().unwrap();
            let found = long(text.as_bytes()).map(f64::to_bits);
            assert_eq!(found, Some(expected.to_bits()), "{text}");
        }
        for text in [
            "",
            ".",
            "-1",
            "1e3",
            "1.2.3",
            "nan",
            "1234567890123456",
            " 1",
        ] {
            assert_eq!(long(text.as_bytes()), None, "{text}");
        }
    }

    #[test]
    fn all_short_numbers_come_back() {
        for places in 0..4 {
            for digits in (0..1_000_000).step_by(37) {
                let text = format!("{:.places$}", quotient(digits, places).unwrap());
                let found = short(&text).and_then(Short::decimal).unwrap();
                assert_eq!(u64::from(found.digits), digits, "{text}");
                assert_eq!(usize::from(found.places), places, "{text}");
            }
        }
    }
}
