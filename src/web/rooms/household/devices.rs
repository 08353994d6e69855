//! The phones and tablets that are let in from the home network: each can be dropped.

use askama::Template;

use super::HERE;
use crate::notebook::PairedDevice;
use crate::report::device_words;
use crate::web::{Fields, Layout, Notice, PageAnswer, PageRequest, Reply};

/// The address of the page.
const PAGE: &str = "/household/devices";

#[derive(Template)]
#[template(path = "web/household-devices.html")]
struct DevicesPage {
    layout: Layout,
    devices: Vec<(PairedDevice, String)>,
}

/// Shows the list.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let devices = request.record()?.paired_devices(request.today)?;
    let with_words = devices.into_iter().map(|device| {
        let words = device_words(&device);
        (device, words)
    });
    Reply::page(&DevicesPage {
        layout: Layout::of(request, "Devices", HERE),
        devices: with_words.collect(),
    })
}

/// Drops a device: it is not let in any more.
pub(super) fn drop_one(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let number = fields.parsed("device")?;
    let mut store = request.store()?;
    let devices = store.paired_devices(request.today)?;
    let dropped = devices.into_iter().find(|device| device.number == number);
    let words = match dropped {
        Some(device) if store.drop_device(number)? => {
            format!("Dropped: {} is let in no more.", device.name)
        }
        _ => "That device was let in no more already.".into(),
    };
    Ok(Reply::Done(PAGE.into(), Notice::of(words)))
}
