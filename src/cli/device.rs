//! `trayful device`: the phones and tablets that the page lets in from the home network, shown and dropped.

use clap::{Args, Subcommand};
use trayful::problem::Problem;
use trayful::report::{Page, device_words};

use super::failure::Failure;
use super::{Answer, Session};

#[derive(Debug, Args)]
pub(super) struct DeviceArgs {
    #[command(subcommand)]
    action: Option<DeviceAction>,
}

#[derive(Debug, Subcommand)]
enum DeviceAction {
    /// Let a device in no more: its next request is refused, also by a page that runs
    Drop {
        /// The number of the device, as the list has it
        #[arg(value_name = "N")]
        number: i64,
    },
}

/// Shows the devices, or drops one.
pub(super) fn run(args: &DeviceArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let mut store = book.store()?;
    let today = session.today();
    let devices = store.paired_devices(today)?;
    if let Some(DeviceAction::Drop { number }) = args.action {
        let device = devices.iter().find(|device| device.number == number);
        let device = device.ok_or_else(|| {
            Problem::new(format!("no device {number} is let in"))
                .hint("`trayful device` lists those that are")
        })?;
        store.drop_device(number)?;
        return Ok(Answer::text(format!(
            "Dropped: {} is let in no more.\n",
            device.name
        )));
    }
    let mut page = Page::new(session.look);
    for device in &devices {
        page.paragraph(&format!("{}: {}.", device.number, device_words(device)));
    }
    if devices.is_empty() {
        page.paragraph(
            "No device of the home network is let in. `trayful page --lan ADDRESS` says how one is.",
        );
    } else {
        page.paragraph("To let one in no more: `trayful device drop N`.");
    }
    Ok(Answer::text(page.finish()))
}
