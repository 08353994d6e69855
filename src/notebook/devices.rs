//! The phones and tablets of the home network that have access up to a day. Only the digest of a
//! device's secret is kept, so that nobody who reads the record can use it.

use jiff::civil::Date;
use rusqlite::params;

use super::error::BookError;
use super::sql::parsed;
use super::store::Store;

/// A device with access.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PairedDevice {
    /// The number of the device.
    pub number: i64,
    /// The name of the device.
    pub name: String,
    /// The first day of its access.
    pub since: Date,
    /// The last day of its access.
    pub until: Date,
}

impl Store {
    /// Gives a device access from one day up to another, by the digest of its secret. Returns its
    /// number.
    ///
    /// Errors: the record cannot be written.
    pub fn pair_device(
        &mut self,
        name: &str,
        digest: &str,
        (since, until): (Date, Date),
    ) -> Result<i64, BookError> {
        self.write(|transaction| {
            // Pairings whose days are over are deleted; the device itself stays, since entries may
            // name it.
            transaction.execute("DELETE FROM pairing WHERE until < ?1", [since.to_string()])?;
            let sql = "INSERT INTO device (name, since) VALUES (?1, ?2)";
            transaction.execute(sql, [name, &since.to_string()])?;
            let number = transaction.last_insert_rowid();
            let sql = "INSERT INTO pairing (device, digest, until) VALUES (?1, ?2, ?3)";
            transaction.execute(sql, params![number, digest, until.to_string()])?;
            Ok(number)
        })
    }

    /// Whether a secret with this digest gives access on a day.
    ///
    /// Errors: the record cannot be read.
    pub fn lets_in(&self, digest: &str, on: Date) -> Result<bool, BookError> {
        self.read(|connection| {
            let sql = "SELECT EXISTS (SELECT 1 FROM pairing WHERE digest = ?1 AND until >= ?2)";
            connection.query_row(sql, [digest, &on.to_string()], |row| row.get(0))
        })
    }

    /// The devices with access on a day, in the order in which they were added.
    ///
    /// Errors: the record cannot be read.
    pub fn paired_devices(&self, on: Date) -> Result<Vec<PairedDevice>, BookError> {
        let sql = "SELECT id, name, since, until FROM device JOIN pairing ON device = id
                   WHERE until >= ?1 ORDER BY id";
        self.rows(sql, [on.to_string()], |row| {
            Ok(PairedDevice {
                number: row.get(0)?,
                name: row.get(1)?,
                since: parsed(row, 2)?,
                until: parsed(row, 3)?,
            })
        })
    }

    /// Ends the access of a device: its next request is refused. `false` where no such device has
    /// access.
    ///
    /// Errors: the record cannot be written.
    pub fn drop_device(&mut self, number: i64) -> Result<bool, BookError> {
        self.write(|transaction| {
            let dropped = transaction.execute("DELETE FROM pairing WHERE device = ?1", [number])?;
            Ok(dropped > 0)
        })
    }
}
