//! `boardwise serve`.

use std::fmt::Write;
use std::path::Path;
use std::sync::mpsc::{self, RecvTimeoutError};
use std::thread;
use std::time::Duration;

use boardwise_record::{Claim, Record, Version};
use boardwise_session::keep::{self, Places};
use jiff::Timestamp;
use qrcode::QrCode;
use qrcode::render::unicode::Dense1x2;

use super::{arguments, output};
use crate::Failure;
use crate::place::new_place;
use boardwise_web::{Address, Network, Serving, Started};

pub(super) fn run(asked: &arguments::Serve) -> Result<(), Failure> {
    if asked.log {
        tracing_subscriber::fmt().json().with_writer(std::io::stderr).init();
    }
    let record = new_place(asked.record.as_deref())?;
    let kit = asked.kit.clone().unwrap_or_else(|| boardwise_files::kit_beside(&record));
    let who = format!("the app (process {})", std::process::id());
    let _claim = match Claim::take(&record, &who) {
        Ok(claim) => Some(claim),
        Err(holder) => {
            let more = "shots logged in either come in once and in order, but one is enough";
            output::warn([format!("{holder} has this record open already: {more}")]);
            None
        }
    };
    keep_a_copy(Places { record: record.clone(), kit: kit.clone() });
    let place = record.clone();
    let serving = Serving { record, kit, port: asked.port, network: asked.network };
    let mut told = Ok(());
    settling(&place, || boardwise_web::serve(&serving, |started| told = output::print(&words(started))))?;
    told
}

/// Serves, and meanwhile carries what was logged into the record's file whenever nobody has logged for a while, and at the end: so that
/// a copy of the file alone holds everything.
fn settling<T>(place: &Path, serve: impl FnOnce() -> T) -> T {
    /// Nobody logs twice within this time by hand.
    const IDLE: Duration = Duration::from_secs(2);
    let (end, ended) = mpsc::channel::<()>();
    thread::scope(|scope| {
        scope.spawn(move || {
            let mut known: Option<(Record, Option<Version>)> = None;
            while ended.recv_timeout(IDLE) == Err(RecvTimeoutError::Timeout) {
                known = known.take().filter(|(record, _)| !record.is_gone());
                if known.is_none() && place.exists() {
                    // Whoever logs is told what is wrong with it.
                    known = Record::open(place).ok().map(|record| (record, None));
                }
                let Some((record, before)) = &mut known else { continue };
                let now = record.version().ok();
                if now == *before {
                    let _ = record.settle();
                }
                *before = now;
            }
        });
        let served = serve();
        drop(end);
        served
    })
}

/// Makes a backup beside, so that nobody waits for it. What goes wrong is said, unless it goes right a moment later: another program may
/// write just then, or bring the record to a new version.
fn keep_a_copy(places: Places) {
    const TRIES: u32 = 5;
    const WAIT: Duration = Duration::from_secs(1);
    thread::spawn(move || {
        for left in (0..TRIES).rev() {
            match keep::rotate(&places, Timestamp::now()) {
                Ok(_) => return,
                Err(why) if left == 0 => output::warn([format!("no backup was made: {why}")]),
                Err(_) => thread::sleep(WAIT),
            }
        }
    });
}

/// Where to go, and how to come in from another device.
fn words(started: &Started) -> String {
    let mut text = format!("boardwise is at {}\n", started.here);
    if let Some(Network { addresses, code }) = &started.network {
        // Writing to a string cannot fail.
        if addresses.is_empty() {
            text.push_str("\nThis machine is in no network, so no other device finds it. Join a Wi-Fi network, or switch on a hotspot; the address then stands here.\n");
        } else {
            let _ = writeln!(text, "\nFrom another device of this network, with the code {code}:");
        }
        for Address { url, network } in addresses {
            let _ = writeln!(text, "  {url}/pair  (in {network})");
            if let Ok(picture) = QrCode::new(format!("{url}/pair#{}", code.replace(' ', ""))) {
                let _ = writeln!(text, "{}", picture.render::<Dense1x2>().quiet_zone(true).build());
            }
        }
        text.push_str("Whoever types the code may read and write everything here. What is sent is not encrypted: use a network you trust.\n");
    }
    text.push_str("Ctrl-C ends it.\n");
    text
}
