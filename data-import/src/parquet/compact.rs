//! The compact protocol of Thrift, in which footers and the heads of pages are written
//! (<https://github.com/apache/thrift/blob/master/doc/specs/thrift-compact-protocol.md>): fields
//! are read one after another, and what nobody asks for is passed over.

/// Structs lie within each other less deeply than this.
const DEEPEST: u8 = 16;

/// The type of a field or of the elements of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct WireType(u8);

impl WireType {
    const STRUCT: Self = Self(12);
}

/// The rest of some bytes. Everything is `None` where the bytes are not of the protocol.
#[derive(Debug, Clone, Copy)]
pub(super) struct Compact<'a> {
    rest: &'a [u8],
}

impl<'a> Compact<'a> {
    /// Reads from the beginning of some bytes.
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        Self { rest: bytes }
    }

    /// The bytes that were not read yet.
    pub(super) fn rest(&self) -> &'a [u8] {
        self.rest
    }

    /// A whole number.
    pub(super) fn integer(&mut self) -> Option<i64> {
        let folded = self.variable()?;
        let half = i64::try_from(folded >> 1).ok()?;
        Some(if folded & 1 == 0 { half } else { -half - 1 })
    }

    /// A whole number of zero or more.
    pub(super) fn size(&mut self) -> Option<usize> {
        usize::try_from(self.integer()?).ok()
    }

    /// Text, or bytes of any kind.
    pub(super) fn binary(&mut self) -> Option<&'a [u8]> {
        let length = self.variable()?;
        self.bytes(usize::try_from(length).ok()?)
    }

    /// Text.
    pub(super) fn text(&mut self) -> Option<&'a str> {
        str::from_utf8(self.binary()?).ok()
    }

    /// The beginning of a list: how many elements follow, and their type.
    pub(super) fn list(&mut self) -> Option<(usize, WireType)> {
        let head = self.byte()?;
        let count = match head >> 4 {
            15 => usize::try_from(self.variable()?).ok()?,
            few => usize::from(few),
        };
        Some((count, WireType(head & 15)))
    }

    /// Reads a struct: `field` is handed each field by its number, and reads its value, or passes
    /// over it by [`Compact::pass`].
    pub(super) fn fields(
        &mut self,
        mut field: impl FnMut(&mut Self, i64, WireType) -> Option<()>,
    ) -> Option<()> {
        let mut number = 0;
        loop {
            let head = self.byte()?;
            if head == 0 {
                return Some(());
            }
            number = match head >> 4 {
                0 => self.integer()?,
                step => number + i64::from(step),
            };
            field(self, number, WireType(head & 15))?;
        }
    }

    /// Passes over the value of a field.
    pub(super) fn pass(&mut self, kind: WireType) -> Option<()> {
        self.pass_within(kind, DEEPEST)
    }

    /// Passes over a whole struct.
    pub(super) fn pass_struct(&mut self) -> Option<()> {
        self.pass(WireType::STRUCT)
    }

    fn pass_within(&mut self, kind: WireType, depth: u8) -> Option<()> {
        match kind.0 {
            // The type of a truth is its value.
            1 | 2 => Some(()),
            3 => self.bytes(1).map(drop),
            4..=6 => self.pass_number(),
            7 => self.bytes(8).map(drop),
            8 => self.binary().map(drop),
            9 | 10 => {
                let (count, kind) = self.list()?;
                let depth = depth.checked_sub(1)?;
                (0..count).try_for_each(|_| match kind.0 {
                    1 | 2 => self.bytes(1).map(drop),
                    _ => self.pass_within(kind, depth),
                })
            }
            12 => {
                let depth = depth.checked_sub(1)?;
                loop {
                    let head = self.byte()?;
                    if head == 0 {
                        return Some(());
                    }
                    if head < 16 {
                        self.pass_number()?;
                    }
                    self.pass_within(WireType(head & 15), depth)?;
                }
            }
            // There are no maps in the format.
            _ => None,
        }
    }

    fn pass_number(&mut self) -> Option<()> {
        while self.byte()? >= 0x80 {}
        Some(())
    }

    /// The beginnings of the structs of a list, each read to its end by `element`.
    pub(super) fn structs(
        &mut self,
        mut element: impl FnMut(&mut Self) -> Option<()>,
    ) -> Option<()> {
        let (count, kind) = self.list()?;
        if kind != WireType::STRUCT && count > 0 {
            return None;
        }
        (0..count).try_for_each(|_| element(self))
    }

    fn byte(&mut self) -> Option<u8> {
        let (first, rest) = self.rest.split_first()?;
        self.rest = rest;
        Some(*first)
    }

    fn bytes(&mut self, count: usize) -> Option<&'a [u8]> {
        let (bytes, rest) = self.rest.split_at_checked(count)?;
        self.rest = rest;
        Some(bytes)
    }

    /// A number in as many groups of seven bits as it needs, the lowest first.
    fn variable(&mut self) -> Option<u64> {
        let mut number = 0;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            number |= u64::from(byte & 0x7f) << shift;
            if byte < 0x80 {
                return Some(number);
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_read_and_passed_over() {
        // Field 1: the number -1; field 3: a list of two texts; field 20, by its own number: a
        // struct with a truth; the end.
        let bytes = [
            0x15, 1, 0x29, 0x28, 1, b'a', 2, b'b', b'c', 0x0c, 40, 0x11, 0, 0, 99,
        ];
        let mut all = Compact::new(&bytes);
        let (mut number, mut places) = (None, Vec::new());
        all.fields(|rest, place, kind| {
            places.push(place);
            if place == 1 {
                number = rest.integer();
                return number.map(drop);
            }
            rest.pass(kind)
        })
        .unwrap();
        assert_eq!((number, places), (Some(-1), vec![1, 3, 20]));
        assert_eq!(all.rest(), [99]);
        for length in 0..bytes.len() - 1 {
            let mut cut = Compact::new(&bytes[..length]);
            assert!(cut.fields(|rest, _, kind| rest.pass(kind)).is_none());
        }
    }

    #[test]
    fn numbers_are_those_of_the_specification() {
        // Zigzag and variable length as the specification has them: 50399 is df 89 03 before it is folded.
        let mut plain = Compact::new(&[0xdf, 0x89, 0x03]);
        assert_eq!(plain.variable(), Some(50399));
        let of = |bytes: &[u8]| Compact::new(bytes).integer();
        let folded = [(0, &[0][..]), (-1, &[1]), (1, &[2]), (-2, &[3])];
        for (number, bytes) in folded {
            assert_eq!(of(bytes), Some(number));
        }
        assert_eq!(of(&[0xff; 11]), None);
        assert!(Compact::new(&[0xcc; 9]).pass(WireType::STRUCT).is_none());
    }
}
