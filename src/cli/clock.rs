//! The clock of this computer, in its time zone.

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;

/// The rules of the local time zone, on systems that keep them in one file (tzfile(5), localtime(5)).
const LOCAL_ZONE: &str = "/etc/localtime";

/// The day and time of day, where the parent is.
pub(super) fn now() -> DateTime {
    let zone = local_zone().unwrap_or_else(TimeZone::system);
    zone.to_datetime(Timestamp::now())
}

/// The zone of the file. Jiff asks it for the name of the zone alone, and for the rules of a name
/// it lists every zone that the system has: a tenth of the time of a short command. No day depends
/// on the name.
fn local_zone() -> Option<TimeZone> {
    if std::env::var_os("TZ").is_some() {
        return None;
    }
    let rules = std::fs::read(LOCAL_ZONE).ok()?;
    TimeZone::tzif("Local", &rules).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_says_what_the_library_finds_by_its_name() {
        let now = Timestamp::now();
        if let Some(zone) = local_zone() {
            assert_eq!(zone.to_datetime(now), TimeZone::system().to_datetime(now));
        }
    }
}
