//! Pairing: a device of the home network gains access with a code that is shown on this computer,
//! and keeps it for some days.

use std::net::IpAddr;
use std::path::Path;
use std::sync::{Mutex, PoisonError};

use axum::http::HeaderValue;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::secret::{self, Secret, Unguessable, same};
use crate::notebook::{Book, BookError, Store};

/// The name of the cookie.
const COOKIE: &str = "trayful";
/// The letters of a code, without those that are easily confused.
const LETTERS: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";
/// The number of letters in a code: 8 of 5 bits each are 40 bits.
const CODE_LETTERS: usize = 8;
/// The number of wrong codes after which pairing is closed (judgement).
const WRONG_CODES: u32 = 10;
/// The most cookies of a request that are examined (judgement).
const MOST_COOKIES: usize = 4;
/// The most devices of a household (judgement).
const MOST_DEVICES: usize = 16;

/// The pairing of devices of the home network: its code, and the devices that were let in.
#[derive(Debug)]
pub struct Pairing {
    address: IpAddr,
    hours: u32,
    days: u32,
    code: String,
    devices: Mutex<Devices>,
}

#[derive(Debug, Default)]
struct Devices {
    /// The devices that are let in for this run only, where there is no book or it can only be
    /// read.
    of_this_run: Vec<Secret>,
    wrong_codes: u32,
}

/// The place where devices are kept beyond a run: the record of a book, and the day.
#[derive(Debug, Clone, Copy)]
pub(in crate::web) struct DeviceRecord<'a> {
    pub(in crate::web) folder: &'a Path,
    pub(in crate::web) today: Date,
}

impl DeviceRecord<'_> {
    /// The record; `None` where there is no book.
    fn store(&self) -> Result<Option<Store>, BookError> {
        if !Book::is_one(self.folder) {
            return Ok(None);
        }
        Book::open(self.folder)?.store().map(Some)
    }
}

/// Why a device can be neither let in nor refused.
#[derive(Debug, thiserror::Error)]
pub(in crate::web) enum PairingError {
    #[error(transparent)]
    Random(#[from] Unguessable),
    #[error(transparent)]
    Book(#[from] BookError),
}

/// The outcome of an attempt to pair.
#[derive(Debug, PartialEq, Eq)]
pub(in crate::web) enum Paired {
    /// The code was right; the secret identifies the device from now on, for this number of
    /// seconds.
    Known(Secret, u64),
    /// The code was wrong.
    Wrong,
    /// Pairing is closed after too many wrong codes.
    Closed,
    /// The household has its most devices already.
    Full,
}

impl Pairing {
    /// A pairing with a random code, at an address for some hours; a device that is let in stays so
    /// for some days.
    ///
    /// Errors: the system has no random numbers for the code.
    pub fn new(address: IpAddr, (hours, days): (u32, u32)) -> Result<Self, Unguessable> {
        let mut bytes = [0; CODE_LETTERS];
        getrandom::fill(&mut bytes).map_err(|_| Unguessable)?;
        let letter = |byte: &u8| char::from(LETTERS[usize::from(byte % 32)]);
        Ok(Self {
            address,
            hours,
            days,
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

    /// Days for which a device is let in.
    pub fn days(&self) -> u32 {
        self.days
    }

    /// The code as it is read out.
    pub fn code(&self) -> &str {
        &self.code
    }

    /// Checks a code, and keeps the device under a name. Blanks, dashes and lower case in the code
    /// do not matter.
    pub(in crate::web) fn pair(
        &self,
        (typed, name): (&str, &str),
        record: DeviceRecord<'_>,
    ) -> Result<Paired, PairingError> {
        let typed: String = typed.chars().filter(char::is_ascii_alphanumeric).collect();
        let mut devices = self.devices.lock().unwrap_or_else(PoisonError::into_inner);
        if devices.wrong_codes >= WRONG_CODES {
            return Ok(Paired::Closed);
        }
        if !same(typed.to_ascii_uppercase().as_bytes(), self.code.as_bytes()) {
            devices.wrong_codes += 1;
            return Ok(Paired::Wrong);
        }
        let device = Secret::new()?;
        let Some(mut store) = record.store()? else {
            return Ok(self.for_this_run(&mut devices, device));
        };
        if store.paired_devices(record.today)?.len() >= MOST_DEVICES {
            return Ok(Paired::Full);
        }
        let until = record.today.saturating_add(i64::from(self.days).days());
        match store.pair_device(name, &device.digest(), (record.today, until)) {
            Ok(_) => Ok(Paired::Known(device, u64::from(self.days) * 24 * 3600)),
            // A book that can only be read lets a phone read it too, for this run.
            Err(error) if error.is_closed() || error.lacks_room() => {
                Ok(self.for_this_run(&mut devices, device))
            }
            Err(error) => Err(error.into()),
        }
    }

    /// Lets a device in until the page stops.
    fn for_this_run(&self, devices: &mut Devices, device: Secret) -> Paired {
        if devices.of_this_run.len() >= MOST_DEVICES {
            return Paired::Full;
        }
        devices.of_this_run.push(device.clone());
        Paired::Known(device, u64::from(self.hours) * 3600)
    }

    /// Whether one of the cookies is that of a device that is let in. The record is read each time,
    /// so that a dropped device is refused at its next request.
    pub(super) fn knows(
        &self,
        cookies: &[HeaderValue],
        record: DeviceRecord<'_>,
    ) -> Result<bool, BookError> {
        let shown: Vec<&str> = cookies.iter().flat_map(secrets).collect();
        if shown.is_empty() {
            return Ok(false);
        }
        let of_this_run = |devices: &Devices| {
            let mut known = devices.of_this_run.iter();
            known.any(|device| shown.iter().any(|secret| device.is(secret)))
        };
        if of_this_run(&self.devices.lock().unwrap_or_else(PoisonError::into_inner)) {
            return Ok(true);
        }
        let Some(store) = record.store()? else {
            return Ok(false);
        };
        for secret in shown {
            if store.lets_in(&secret::digest(secret), record.today)? {
                return Ok(true);
            }
        }
        Ok(false)
    }
}

/// The secrets in a line of cookies, at most [`MOST_COOKIES`].
fn secrets(cookies: &HeaderValue) -> impl Iterator<Item = &str> {
    let cookies = cookies.to_str().unwrap_or_default().split(';');
    let named = cookies.filter_map(|cookie| cookie.trim().strip_prefix(COOKIE)?.strip_prefix('='));
    named
        .filter(|text| secret::is_secret(text))
        .take(MOST_COOKIES)
}

/// The cookie by which a device is known, kept from scripts and from other sites. Over plain HTTP
/// it cannot be `Secure`.
pub(in crate::web) fn cookie(device: &Secret, seconds: u64) -> String {
    format!(
        "{COOKIE}={}; Path=/; HttpOnly; SameSite=Strict; Max-Age={seconds}",
        device.text()
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pairing() -> Pairing {
        Pairing::new("192.168.1.20".parse().unwrap(), (2, 30)).unwrap()
    }

    /// A folder without a book.
    fn nowhere() -> DeviceRecord<'static> {
        DeviceRecord {
            folder: Path::new("/nonexistent"),
            today: jiff::civil::date(2026, 11, 16),
        }
    }

    fn known(pairing: &Pairing, cookies: &str) -> bool {
        let cookies = [HeaderValue::from_str(cookies).unwrap()];
        pairing.knows(&cookies, nowhere()).unwrap()
    }

    #[test]
    fn the_code_is_accepted_however_it_is_typed() {
        let pairing = pairing();
        assert_eq!(pairing.code().len(), CODE_LETTERS);
        let typed = format!(
            "{} - {}",
            pairing.code()[..4].to_lowercase(),
            &pairing.code()[4..]
        );
        let Paired::Known(device, 7200) = pairing.pair((&typed, ""), nowhere()).unwrap() else {
            panic!("“{typed}” is the code");
        };
        assert!(known(
            &pairing,
            &format!("other=1; trayful={}", device.text())
        ));
        assert!(!known(&pairing, &format!("xtrayful={}", device.text())));
        assert!(!known(&pairing, "trayful="));
    }

    #[test]
    fn wrong_codes_close_pairing_and_paired_devices_stay() {
        let pairing = pairing();
        let Paired::Known(device, _) = pairing.pair((pairing.code(), ""), nowhere()).unwrap()
        else {
            panic!("the code is right");
        };
        for _ in 0..WRONG_CODES {
            let answer = pairing.pair(("AAAA-0000", ""), nowhere()).unwrap();
            assert_eq!(answer, Paired::Wrong);
        }
        let answer = pairing.pair((pairing.code(), ""), nowhere()).unwrap();
        assert_eq!(answer, Paired::Closed);
        assert!(known(&pairing, &format!("trayful={}", device.text())));
    }
}
