//! Pairing: a device of the home network gains access with a code that is shown on this computer.

use std::net::IpAddr;
use std::sync::{Mutex, PoisonError};

use axum::http::HeaderValue;

use super::secret::{Secret, Unguessable, same};

/// The name of the cookie.
const COOKIE: &str = "trayful";
/// Letters of a code: none that is taken for another.
const LETTERS: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";
/// Letters in a code: 40 bits.
const CODE: usize = 8;
/// The number of wrong codes after which pairing is closed.
const WRONG_CODES: u32 = 10;
/// A household has no more devices than this.
const DEVICES: usize = 16;

/// The door to the home network.
#[derive(Debug)]
pub struct Pairing {
    address: IpAddr,
    hours: u32,
    code: String,
    devices: Mutex<Devices>,
}

#[derive(Debug, Default)]
struct Devices {
    known: Vec<Secret>,
    wrong_codes: u32,
}

/// The outcome of an attempt to pair.
#[derive(Debug, PartialEq, Eq)]
pub(in crate::web) enum Paired {
    /// The code was right; the secret identifies the device from now on.
    Known(Secret),
    /// The code was wrong.
    Wrong,
    /// Nobody is let in any more.
    Closed,
}

impl Pairing {
    /// Opens the door at an address for so many hours.
    pub fn new(address: IpAddr, hours: u32) -> Result<Self, Unguessable> {
        let mut bytes = [0; CODE];
        getrandom::fill(&mut bytes).map_err(|_| Unguessable)?;
        let letter = |byte: &u8| char::from(LETTERS[usize::from(byte % 32)]);
        Ok(Self {
            address,
            hours,
            code: bytes.iter().map(letter).collect(),
            devices: Mutex::default(),
        })
    }

    /// The address of this computer in the home network.
    pub fn address(&self) -> IpAddr {
        self.address
    }

    /// Hours after which the page stops.
    pub fn hours(&self) -> u32 {
        self.hours
    }

    /// The code as it is read out.
    pub fn code(&self) -> &str {
        &self.code
    }

    /// Takes a code. Blanks, dashes and small letters are as good.
    pub(in crate::web) fn pair(&self, typed: &str) -> Result<Paired, Unguessable> {
        let typed: String = typed.chars().filter(char::is_ascii_alphanumeric).collect();
        let mut devices = self.devices.lock().unwrap_or_else(PoisonError::into_inner);
        if devices.wrong_codes >= WRONG_CODES || devices.known.len() >= DEVICES {
            return Ok(Paired::Closed);
        }
        if !same(typed.to_ascii_uppercase().as_bytes(), self.code.as_bytes()) {
            devices.wrong_codes += 1;
            return Ok(Paired::Wrong);
        }
        let device = Secret::new()?;
        devices.known.push(device.clone());
        Ok(Paired::Known(device))
    }

    /// Whether one of the cookies is that of a known device.
    pub(super) fn knows(&self, cookies: &HeaderValue) -> bool {
        let cookies = cookies.to_str().unwrap_or_default().split(';');
        let mut secrets =
            cookies.filter_map(|cookie| cookie.trim().strip_prefix(COOKIE)?.strip_prefix('='));
        let devices = self.devices.lock().unwrap_or_else(PoisonError::into_inner);
        secrets.any(|secret| devices.known.iter().any(|device| device.is(secret)))
    }
}

/// The cookie by which a device is known, kept from scripts and from other sites. Over plain HTTP it cannot be `Secure`.
pub(in crate::web) fn cookie(device: &Secret, hours: u32) -> String {
    let seconds = hours.saturating_mul(3600);
    format!(
        "{COOKIE}={}; Path=/; HttpOnly; SameSite=Strict; Max-Age={seconds}",
        device.text()
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn door() -> Pairing {
        Pairing::new("192.168.1.20".parse().unwrap(), 2).unwrap()
    }

    fn known(pairing: &Pairing, cookies: &str) -> bool {
        pairing.knows(&HeaderValue::from_str(cookies).unwrap())
    }

    #[test]
    fn the_code_lets_in_however_it_is_typed() {
        let door = door();
        assert_eq!(door.code().len(), CODE);
        let typed = format!(
            "{} - {}",
            door.code()[..4].to_lowercase(),
            &door.code()[4..]
        );
        let Paired::Known(device) = door.pair(&typed).unwrap() else {
            panic!("“{typed}” is the code");
        };
        assert!(known(&door, &format!("other=1; trayful={}", device.text())));
        assert!(!known(&door, &format!("xtrayful={}", device.text())));
        assert!(!known(&door, "trayful="));
    }

    #[test]
    fn wrong_codes_close_the_door_but_not_to_those_inside() {
        let door = door();
        let Paired::Known(device) = door.pair(door.code()).unwrap() else {
            panic!("the code is right");
        };
        for _ in 0..WRONG_CODES {
            assert_eq!(door.pair("AAAA-0000").unwrap(), Paired::Wrong);
        }
        assert_eq!(door.pair(door.code()).unwrap(), Paired::Closed);
        assert!(known(&door, &format!("trayful={}", device.text())));
    }
}
