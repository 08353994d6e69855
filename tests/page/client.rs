//! A small HTTP client that sends any bytes, also those of invalid requests.

use std::io::{Read as _, Write as _};
use std::net::{SocketAddr, TcpStream};
use std::time::Duration;

/// An answer.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) headers: Vec<(String, String)>,
    pub(crate) body: String,
}

impl Answer {
    /// The value of a header; empty where there is none.
    pub(crate) fn header(&self, name: &str) -> &str {
        let found = self.headers.iter().find(|(known, _)| known == name);
        found.map_or("", |(_, value)| value)
    }

    /// The value of the first hidden field of this name.
    pub(crate) fn hidden(&self, name: &str) -> String {
        let start = format!("name=\"{name}\" value=\"");
        let at = self.body.find(&start).unwrap() + start.len();
        self.body[at..].split('"').next().unwrap().to_string()
    }
}

/// Sends bytes as they are and reads to the end; `None` where the connection was closed without an
/// answer.
pub(crate) fn raw(to: SocketAddr, request: &[u8]) -> Option<Answer> {
    let mut stream = TcpStream::connect(to).unwrap();
    stream
        .set_read_timeout(Some(Duration::from_secs(30)))
        .unwrap();
    // A server may close before it has read everything.
    let _ = stream.write_all(request);
    let mut bytes = Vec::new();
    let _ = stream.read_to_end(&mut bytes);
    parsed(&bytes)
}

/// An answer from its bytes.
pub(crate) fn parsed(bytes: &[u8]) -> Option<Answer> {
    let text = String::from_utf8_lossy(bytes);
    let (head, body) = text.split_once("\r\n\r\n")?;
    let mut lines = head.lines();
    let status = lines.next()?.split(' ').nth(1)?.parse().ok()?;
    let header = |line: &str| {
        let (name, value) = line.split_once(':')?;
        Some((name.to_ascii_lowercase(), value.trim().to_string()))
    };
    Some(Answer {
        status,
        headers: lines.filter_map(header).collect(),
        body: body.to_string(),
    })
}

/// The fields of a form, percent-encoded.
pub(crate) fn encoded(fields: &[(&str, &str)]) -> String {
    let encode = |text: &str| -> String {
        text.bytes()
            .map(|byte| match byte {
                b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' => {
                    char::from(byte).to_string()
                }
                byte => format!("%{byte:02X}"),
            })
            .collect()
    };
    let pairs: Vec<_> = fields
        .iter()
        .map(|(name, value)| format!("{}={}", encode(name), encode(value)))
        .collect();
    pairs.join("&")
}
