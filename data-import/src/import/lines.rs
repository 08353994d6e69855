//! Ends of lines made the same: CRLF and a lone CR as LF, for the USDA text files.

use std::io::{self, Read};

/// Reads the bytes of a file, as many as there are; only ends of lines change.
#[derive(Debug)]
pub(super) struct Lines<R> {
    inner: R,
    /// Whether an odd number of `~` has come since the line began.
    in_text: bool,
    /// A CR that was the last byte read: what comes next says what it is.
    pending: bool,
    /// Bytes since the line began.
    length: usize,
}

/// The longest line in bytes; none of a dataset comes near it.
const LONGEST: usize = 16 << 20;

impl<R: Read> Lines<R> {
    pub(super) fn new(inner: R) -> Self {
        Self {
            inner,
            in_text: false,
            pending: false,
            length: 0,
        }
    }

    pub(super) fn into_inner(self) -> R {
        self.inner
    }

    /// A CR that no LF follows.
    fn lone(&self) -> u8 {
        if self.in_text { b' ' } else { b'\n' }
    }
}

impl<R: Read> Read for Lines<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        // One byte is kept free for a CR that waits.
        let Some(room) = buffer.len().checked_sub(1).filter(|room| *room > 0) else {
            return Ok(0);
        };
        loop {
            let count = self
                .inner
                .read(buffer.get_mut(1..=room).unwrap_or_default())?;
            if count == 0 {
                let last = std::mem::take(&mut self.pending).then(|| self.lone());
                if let (Some(last), Some(first)) = (last, buffer.first_mut()) {
                    *first = last;
                    return Ok(1);
                }
                return Ok(0);
            }
            let written = self.translate(buffer, count);
            let lines = buffer.get(..written).unwrap_or_default();
            self.length = match lines.iter().rposition(|byte| *byte == b'\n') {
                Some(end) => written - end,
                None => self.length + written,
            };
            if self.length > LONGEST {
                let problem = format!("a line is longer than {} MiB", LONGEST >> 20);
                return Err(io::Error::new(io::ErrorKind::InvalidData, problem));
            }
            if written > 0 {
                return Ok(written);
            }
        }
    }
}

impl<R: Read> Lines<R> {
    /// Moves `count` bytes from the second place on to the first, and returns how many are left.
    fn translate(&mut self, buffer: &mut [u8], count: usize) -> usize {
        let mut to = 0;
        for from in 1..=count {
            let byte = buffer[from];
            if std::mem::take(&mut self.pending) && byte != b'\n' {
                buffer[to] = self.lone();
                self.in_text &= buffer[to] != b'\n';
                to += 1;
            }
            match byte {
                b'\r' => {
                    self.pending = true;
                    continue;
                }
                b'\n' => self.in_text = false,
                b'~' => self.in_text = !self.in_text,
                _ => (),
            }
            buffer[to] = byte;
            to += 1;
        }
        to
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_of_lines_are_made_the_same() {
        for (text, expected) in [
            ("a\r\nb\r\n", "a\nb\n"),
            ("a\rb\r", "a\nb\n"),
            ("~a\rb~^1\r~c~\r\n", "~a b~^1\n~c~\n"),
            ("a\r\r\nb", "a\n\nb"),
            ("~a\r", "~a "),
            ("", ""),
        ] {
            for size in [2, 3, 64] {
                let mut lines = Lines::new(text.as_bytes());
                let (mut all, mut buffer) = (Vec::new(), vec![0; size]);
                loop {
                    let count = lines.read(&mut buffer).unwrap();
                    if count == 0 {
                        break;
                    }
                    all.extend_from_slice(&buffer[..count]);
                }
                assert_eq!(String::from_utf8(all).unwrap(), expected, "{text:?}");
            }
        }
    }
}
