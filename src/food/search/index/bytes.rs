//! Numbers and texts as bytes.

use super::IndexError;

/// Appends a number, seven bits a byte, the lowest first (LEB128).
pub(super) fn put_number(out: &mut Vec<u8>, mut number: u64) {
    while number >= 0x80 {
        out.push(number.to_le_bytes()[0] | 0x80);
        number >>= 7;
    }
    out.push(number.to_le_bytes()[0]);
}

/// Appends a text after its length.
pub(super) fn put_text(out: &mut Vec<u8>, text: &str) {
    put_number(out, text.len() as u64);
    out.extend_from_slice(text.as_bytes());
}

/// Bytes that [`put_text`] appends.
pub(super) fn text_length(text: &str) -> usize {
    text.len() + number_length(text.len() as u64)
}

/// Bytes that [`put_number`] appends.
pub(super) fn number_length(number: u64) -> usize {
    let bits = u64::BITS - number.leading_zeros();
    bits.div_ceil(7).max(1) as usize
}

/// Appends ascending numbers, each as the difference to the one before.
pub(super) fn put_ascending(out: &mut Vec<u8>, numbers: impl IntoIterator<Item = u32>) {
    let mut last = 0;
    for number in numbers {
        put_number(out, u64::from(number - last));
        last = number;
    }
}

/// Bytes being read from the front.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bytes<'a>(pub(super) &'a [u8]);

impl<'a> Bytes<'a> {
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(super) fn number(&mut self) -> Result<u64, IndexError> {
        let mut number = 0_u64;
        for shift in (0..64).step_by(7) {
            let Some((&byte, rest)) = self.0.split_first() else {
                break;
            };
            self.0 = rest;
            number |= u64::from(byte & 0x7f) << shift;
            if byte < 0x80 {
                return Ok(number);
            }
        }
        Err(IndexError::Damaged("a number does not end"))
    }

    /// A number that counts something in memory.
    pub(super) fn small(&mut self) -> Result<u32, IndexError> {
        let number = self.number()?;
        u32::try_from(number).map_err(|_| IndexError::Damaged("a count is too large"))
    }

    /// A number of eight bytes, little-endian.
    pub(super) fn long(&mut self) -> Result<u64, IndexError> {
        let bytes = self.take(8)?.iter().rev();
        Ok(bytes.fold(0, |number, &byte| number << 8 | u64::from(byte)))
    }

    pub(super) fn take(&mut self, length: u64) -> Result<&'a [u8], IndexError> {
        let length = usize::try_from(length).ok();
        let split = length.and_then(|length| self.0.split_at_checked(length));
        let (taken, rest) = split.ok_or(IndexError::Damaged("it ends too early"))?;
        self.0 = rest;
        Ok(taken)
    }

    pub(super) fn text(&mut self) -> Result<&'a str, IndexError> {
        let length = self.number()?;
        std::str::from_utf8(self.take(length)?)
            .map_err(|_| IndexError::Damaged("a text is not UTF-8"))
    }

    /// The rest as ascending numbers, see [`put_ascending`]; all are below `end`.
    pub(super) fn ascending(mut self, end: u32) -> Result<Vec<u32>, IndexError> {
        let mut numbers = Vec::with_capacity(self.0.len());
        let mut last = 0_u64;
        while !self.is_empty() {
            let step = self.number()?;
            if step == 0 && !numbers.is_empty() {
                return Err(IndexError::Damaged("a row or word stands twice"));
            }
            last = last.saturating_add(step);
            let number = u32::try_from(last).ok().filter(|&number| number < end);
            numbers.push(number.ok_or(IndexError::Damaged("a row or word is out of range"))?);
        }
        Ok(numbers)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_come_back() {
        let numbers = [0, 1, 127, 128, 300, u64::from(u32::MAX), u64::MAX];
        let mut out = Vec::new();
        for number in numbers {
            put_number(&mut out, number);
        }
        let mut bytes = Bytes(&out);
        for number in numbers {
            assert_eq!(bytes.number().unwrap(), number);
        }
        assert!(bytes.is_empty());
        assert!(Bytes(&[0x80; 3]).number().is_err());
        assert!(Bytes(&[0x80; 30]).number().is_err());
    }

    #[test]
    fn texts_and_lists_come_back() {
        let mut out = Vec::new();
        put_text(&mut out, "crème");
        put_ascending(&mut out, [0, 3, 4, 900]);
        let mut bytes = Bytes(&out);
        assert_eq!(bytes.text().unwrap(), "crème");
        assert_eq!(bytes.ascending(901).unwrap(), [0, 3, 4, 900]);
        assert!(bytes.ascending(900).is_err());
        for length in [0, 1, 127, 128, 16_383, 16_384] {
            let (text, mut out) = ("x".repeat(length), Vec::new());
            put_text(&mut out, &text);
            assert_eq!(text_length(&text), out.len());
        }
        assert_eq!(Bytes(&300_u64.to_le_bytes()).long().unwrap(), 300);
        assert!(Bytes(&[9, b'a']).text().is_err());
        assert!(Bytes(&[1, 0xff]).text().is_err());
    }
}
