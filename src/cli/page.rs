//! `trayful page`: the book in a browser.

use std::future::Future;
use std::io::{self, Write as _};
use std::net::IpAddr;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use clap::Args;
use jiff::civil::DateTime;
use qrcode::QrCode;
use qrcode::render::unicode::Dense1x2;
use trayful::food::FoodData;
use trayful::notebook::Book;
use trayful::problem::Problem;
use trayful::report::Look;
use trayful::web::{self, AppState, Clients, ListenError, Listeners, Pairing, Supplies};
use trayful::words::counted;

use super::failure::Failure;
use super::large_type::large;
use super::output::Output;
use super::{Answer, Session, demo};

#[derive(Debug, Args)]
pub(super) struct PageArgs {
    /// The port; 0 for a free one
    #[arg(long, value_name = "N", default_value = "8642")]
    port: u16,
    /// Open the page in the browser
    #[arg(long)]
    open: bool,
    /// Open the page to the home network too, at this address of this computer, such as 192.168.1.20: phones and
    /// tablets are let in by a code
    #[arg(long, value_name = "ADDRESS", value_parser = home_address)]
    lan: Option<IpAddr>,
    /// Hours after which a page that is open to the home network stops
    #[arg(long, value_name = "N", default_value = "4", requires = "lan",
          value_parser = clap::value_parser!(u32).range(1..=24))]
    hours: u32,
    /// Days for which a phone or tablet that was let in stays so; `trayful device` lists and drops them
    #[arg(long, value_name = "N", default_value = "30", requires = "lan",
          value_parser = clap::value_parser!(u32).range(1..=366))]
    paired_days: u32,
}

/// An address in a home network.
fn home_address(text: &str) -> Result<IpAddr, String> {
    let wrong = "write the address of this computer in the home network, such as 192.168.1.20";
    let address: IpAddr = text.parse().map_err(|_| wrong.to_string())?;
    let home = match address {
        IpAddr::V4(address) => address.is_private() || address.is_link_local(),
        IpAddr::V6(address) => address.is_unique_local(),
    };
    home.then_some(address).ok_or_else(|| wrong.into())
}

/// Serves the page until it is stopped.
pub(super) fn run(args: &PageArgs, session: &Session, output: &Output) -> Result<Answer, Failure> {
    let listeners = Listeners::open(args.port, args.lan).map_err(|error| listen_error(&error))?;
    let port = listeners.port();
    let pairing = args
        .lan
        .map(|address| Pairing::new(address, (args.hours, args.paired_days)));
    let pairing = pairing
        .transpose()
        .map_err(|error| Problem::new(error.to_string()))?;
    let to_the_network = pairing
        .as_ref()
        .map(|pairing| network_words(pairing, port, session.look));
    let kitchen = AppState::new(supplies(session)?, port, pairing, Clients::default());
    let kitchen = kitchen.map_err(|error| Problem::new(error.to_string()))?;
    let to_the_network = to_the_network.transpose()?.unwrap_or_default();
    let address = format!("http://127.0.0.1:{port}/");
    let words = format!("The kitchen page is at {address}\n{to_the_network}Stop it with Ctrl-C.\n");
    let hours = args.lan.map(|_| args.hours);
    let mut unsaid = Ok(());
    let begin = || {
        let stopped = stopped(hours)?;
        unsaid = output.print(&words);
        if args.open {
            open(&address);
        }
        Ok(stopped)
    };
    let served = web::serve(&kitchen, listeners, begin);
    served.map_err(|error| Problem::new(format!("cannot serve the page: {error}")))?;
    unsaid?;
    Ok(Answer::text("The kitchen page is closed.\n".into()))
}

fn supplies(session: &Session) -> Result<Supplies, Failure> {
    let here = std::env::current_dir().unwrap_or_default();
    let folder = session
        .common
        .book
        .clone()
        .or_else(|| Book::folder_above(&here));
    let folder = std::path::absolute(folder.unwrap_or(here));
    let cache = session.common.cache.as_ref();
    // An option must name food data that opens; the page itself can repair the setting in the book.
    cache
        .map(|named| FoodData::Named(named.clone()).open())
        .transpose()?;
    Ok(Supplies {
        clock: clock(session),
        folder: folder.map_err(|error| Problem::new(format!("cannot find the folder: {error}")))?,
        cache: cache.cloned(),
        own: session.common.own.clone(),
        demo: |folder: &Path| demo::unpack(folder),
        demo_day: demo::DAY,
        recipes: demo::FIRST_RECIPES,
        tell: |words| {
            // Without standard error there is nowhere to report the failure.
            let _ = writeln!(io::stderr(), "{words}");
        },
    })
}

/// The time, read again at each request, as a page may be open for days; the noon of the day given with `--today`.
fn clock(session: &Session) -> Box<dyn Fn() -> DateTime + Send + Sync> {
    let fixed = session.common.today.map(|day| day.at(12, 0, 0, 0));
    Box::new(move || fixed.unwrap_or_else(super::clock::now))
}

fn listen_error(error: &ListenError) -> Failure {
    let hint = match error.source.kind() {
        io::ErrorKind::AddrInUse => {
            "another program is there, perhaps another page: say another --port, or --port 0 for a free one"
        }
        io::ErrorKind::AddrNotAvailable => {
            "this computer has no such address; see the settings of its network"
        }
        io::ErrorKind::PermissionDenied => "say a --port of 1024 or more",
        _ => "say another --port",
    };
    Problem::new(error.to_string()).hint(hint).into()
}

/// The instructions for connecting a phone.
fn network_words(pairing: &Pairing, port: u16, look: Look) -> Result<String, Failure> {
    let host = match pairing.address() {
        IpAddr::V4(address) => address.to_string(),
        IpAddr::V6(address) => format!("[{address}]"),
    };
    let (code, hours) = (pairing.code(), pairing.hours());
    let address = format!("http://{host}:{port}/pair?code={code}");
    let drawn = QrCode::new(address.as_bytes())
        .map_err(|error| Problem::new(format!("cannot draw the code: {error}")))?
        .render::<Dense1x2>()
        .dark_color(Dense1x2::Light)
        .light_color(Dense1x2::Dark)
        .build();
    // In large type where a person reads it: on a terminal.
    let large = large(&format!("{host}:{port}"), usize::from(look.width));
    let large = large
        .filter(|_| look.drawn)
        .map_or_else(String::new, |large| format!("{large}\n"));
    let days = counted(pairing.days(), "day");
    Ok(format!(
        "It is open to the home network too, for {hours} hours: whoever has the code is let in for {days}, and what is sent is \
         not encrypted.\n\n{drawn}\n\n{large}  Address: http://{host}:{port}/\n  Code:    {} {}\n\n",
        &code[..4],
        &code[4..]
    ))
}

/// Opens the browser. Where that fails, the address is on the screen.
fn open(address: &str) {
    let program = if cfg!(target_os = "macos") {
        "open"
    } else if cfg!(windows) {
        "explorer"
    } else {
        "xdg-open"
    };
    let quiet = Stdio::null;
    let mut command = Command::new(program);
    let _ = command
        .arg(address)
        .stdin(quiet())
        .stdout(quiet())
        .stderr(quiet())
        .spawn();
}

/// Completes when the page must stop: at Ctrl-C, at a signal of the system, or after the given hours.
fn stopped(hours: Option<u32>) -> io::Result<impl Future<Output = ()>> {
    let asked = asked()?;
    let hours = async move {
        match hours {
            Some(hours) => tokio::time::sleep(Duration::from_secs(u64::from(hours) * 3600)).await,
            None => std::future::pending().await,
        }
    };
    Ok(async {
        tokio::select! {
            () = asked => {}
            () = hours => {}
        }
    })
}

/// Listens for the signals from now on.
#[cfg(unix)]
fn asked() -> io::Result<impl Future<Output = ()>> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut interrupt = signal(SignalKind::interrupt())?;
    let mut terminate = signal(SignalKind::terminate())?;
    let mut hangup = signal(SignalKind::hangup())?;
    Ok(async move {
        tokio::select! {
            _ = interrupt.recv() => {}
            _ = terminate.recv() => {}
            _ = hangup.recv() => {}
        }
    })
}

#[cfg(windows)]
fn asked() -> io::Result<impl Future<Output = ()>> {
    let mut asked = tokio::signal::windows::ctrl_c()?;
    Ok(async move {
        asked.recv().await;
    })
}

#[cfg(test)]
mod tests {
    use tokio::time::{Instant, timeout};

    use super::*;

    const HOUR: Duration = Duration::from_secs(3600);

    #[tokio::test(start_paused = true)]
    async fn a_page_that_is_open_to_the_network_stops_after_its_hours() {
        for hours in [1, 4, 24] {
            let began = Instant::now();
            stopped(Some(hours)).unwrap().await;
            let waited = began.elapsed();
            assert!(
                (HOUR * hours..HOUR * hours + Duration::from_secs(1)).contains(&waited),
                "{hours} h: {waited:?}"
            );
        }
    }

    #[tokio::test(start_paused = true)]
    async fn a_page_of_this_computer_alone_does_not_stop_by_itself() {
        let waited = timeout(HOUR * 1000, stopped(None).unwrap()).await;
        assert!(waited.is_err());
    }

    #[test]
    fn only_addresses_of_home_networks_are_opened() {
        for home in ["192.168.1.20", "10.0.0.7", "172.16.0.1", "fd00::1"] {
            assert!(home_address(home).is_ok(), "{home}");
        }
        for other in [
            "0.0.0.0",
            "::",
            "127.0.0.1",
            "::1",
            "8.8.8.8",
            "2001:db8::1",
            "kitchen.local",
            "",
        ] {
            assert!(home_address(other).is_err(), "{other}");
        }
    }
}
