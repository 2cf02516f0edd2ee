//! What all requests share.

use std::net::IpAddr;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::SystemTime;

use book::Sheet;
use tokio::sync::{broadcast, watch};

use super::devices::Devices;
use super::runs::Runs;
use super::{Serving, Started};
use crate::job::Failure;
use crate::job::at_lanes::after::{Reckoned, Replayed, Story};
use crate::job::at_lanes::believed::Believed;
use crate::job::at_lanes::desk::{self, Desk, Setting};
use crate::job::at_lanes::lines::Lines;
use crate::job::lab::Lab;
use crate::job::library::Library;
use crate::kit;

/// The app.
pub struct App {
    /// The record.
    pub record: PathBuf,
    /// Lanes, bags, bowlers and events.
    pub library: Library,
    /// Devices of the network that are let in.
    pub devices: Devices,
    /// Whether any may be.
    pub network: bool,
    /// Addresses of this machine under which browsers may ask.
    pub addresses: Vec<IpAddr>,
    /// The port.
    pub port: u16,
    /// Told whenever the block changes, with how often it has.
    pub live: broadcast::Sender<u64>,
    /// Whether the program is ending.
    pub ending: watch::Sender<bool>,
    /// What the throw lab keeps ready.
    pub lab: Lab,
    /// Held by a search for lines.
    pub searching: Mutex<()>,
    /// Long questions and their answers.
    pub runs: Runs,
    changes: Mutex<u64>,
    logging: Mutex<Option<OpenBlock>>,
    thinking: Mutex<Thinking>,
    reckoned: Mutex<Option<(Replayed, Arc<Reckoned>)>>,
}

/// A block that is open, with the version of the file it was opened from.
pub struct OpenBlock {
    /// The record and the block.
    pub desk: Desk,
    /// Its event.
    pub setting: Setting,
    version: Option<SystemTime>,
}

/// What is thought of the lanes, kept from one question to the next. It has the record open for itself, so that no shot waits for it.
#[derive(Default)]
pub struct Thinking {
    /// The block.
    pub block: Option<OpenBlock>,
    /// After the latest shot that was asked about.
    pub now: Option<Believed>,
    /// After the one before, in case that shot is taken back.
    pub before: Option<Believed>,
    /// What was said last about which sheet, so that ten devices that ask the same make it once.
    pub said: Vec<Said>,
}

/// An answer about a sheet.
pub struct Said {
    /// What was asked.
    pub question: String,
    /// The sheet.
    pub sheet: Sheet,
    /// The lines the bowler was on.
    pub lines: Lines,
    /// What was said, as text.
    pub text: Arc<str>,
}

impl App {
    /// Nothing is opened yet but the list of devices.
    pub fn new(serving: &Serving, port: u16) -> Result<Self, Failure> {
        let devices = Devices::open(&serving.record.with_extension("devices.json"))?;
        let addresses = if serving.network { addresses() } else { Vec::new() };
        Ok(Self {
            record: serving.record.clone(),
            library: Library::new(serving.kit.clone()),
            devices,
            network: serving.network,
            addresses,
            port,
            live: broadcast::channel(64).0,
            ending: watch::channel(false).0,
            lab: Lab::default(),
            searching: Mutex::new(()),
            runs: Runs::default(),
            changes: Mutex::new(0),
            logging: Mutex::new(None),
            thinking: Mutex::new(Thinking::default()),
            reckoned: Mutex::new(None),
        })
    }

    /// Where it can be opened.
    pub fn started(&self, port: u16) -> Started {
        let network = self.network.then(|| {
            let urls = self.addresses.iter().map(|address| format!("http://{address}:{port}")).collect();
            (urls, self.devices.code())
        });
        Started { here: format!("http://127.0.0.1:{port}"), network }
    }

    /// The block begun last, opened where it is not yet or where another has begun since.
    ///
    /// # Errors
    /// If there is none, or it cannot be opened.
    pub fn block<T>(&self, ask: impl FnOnce(&mut OpenBlock) -> Result<T, Failure>) -> Result<T, Failure> {
        let mut open = lock(&self.logging);
        ask(self.renewed(&mut open)?)
    }

    /// The same beside what is thought of its lanes.
    ///
    /// # Errors
    /// As [`App::block`].
    pub fn think<T>(&self, ask: impl FnOnce(&mut Thinking) -> Result<T, Failure>) -> Result<T, Failure> {
        let mut thinking = lock(&self.thinking);
        let known = thinking.block.as_ref().map(|block| block.desk.begun.since.clone());
        let since = self.renewed(&mut thinking.block)?.desk.begun.since.clone();
        if known.is_some_and(|known| known != since) {
            (thinking.now, thinking.before) = (None, None);
            thinking.said.clear();
        }
        ask(&mut thinking)
    }

    fn renewed<'a>(&self, open: &'a mut Option<OpenBlock>) -> Result<&'a mut OpenBlock, Failure> {
        let kept = desk::beside(&self.record);
        if open.is_none() && kept.symlink_metadata().is_err() {
            return Err(no_block());
        }
        let version = kept.metadata().and_then(|kept| kept.modified()).ok();
        let fresh = open.take_if(|open| open.version.is_none() || open.version != version).is_none() && open.is_some();
        if !fresh {
            let desk = Desk::open(Some(&self.record))?;
            let setting = desk.begun.setting()?;
            *open = Some(OpenBlock { desk, setting, version });
        }
        match open {
            Some(open) => Ok(open),
            None => Err(no_block()),
        }
    }

    /// Where pins were won and lost, kept as long as nothing it follows from changes. Whoever asks meanwhile waits for the same work.
    ///
    /// # Errors
    /// If it cannot be worked out.
    pub fn reckon(&self, story: &Story) -> Result<Option<Arc<Reckoned>>, Failure> {
        let Some(from) = story.replayed()? else { return Ok(None) };
        let mut known = lock(&self.reckoned);
        if let Some((_, reckoned)) = known.as_ref().filter(|(of, _)| *of == from) {
            return Ok(Some(Arc::clone(reckoned)));
        }
        let reckoned = story.reckon()?.map(Arc::new);
        if let Some(reckoned) = &reckoned {
            *known = Some((from, Arc::clone(reckoned)));
        }
        Ok(reckoned)
    }

    /// Tells every page that the block is another.
    pub fn changed(&self) {
        let mut changes = lock(&self.changes);
        *changes += 1;
        // Nobody listening is no failure.
        let _ = self.live.send(*changes);
    }

    /// How often the block has changed.
    pub fn changes(&self) -> u64 {
        *lock(&self.changes)
    }

    /// Ends what would go on for ever.
    pub fn stop(&self) {
        self.ending.send_replace(true);
    }
}

/// Before any block was begun.
pub fn no_block() -> Failure {
    kit::Fault::Missing { what: "block", name: "begun".to_owned(), known: Vec::new() }.into()
}

/// A lock; whoever panicked in it left nothing half done, since all writing is the record's.
pub fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Work that waits for the disk or computes, away from the threads that serve.
///
/// # Errors
/// What the work fails with.
pub async fn aside<T: Send + 'static>(
    app: &Arc<App>,
    work: impl FnOnce(&App) -> Result<T, Failure> + Send + 'static,
) -> Result<T, super::answer::Refusal> {
    let app = Arc::clone(app);
    match tokio::task::spawn_blocking(move || work(&app)).await {
        Ok(done) => done.map_err(Into::into),
        Err(_) => Err(super::answer::Refusal::broken()),
    }
}

/// Addresses of this machine: the one it would use toward the outside. Nothing is sent.
fn addresses() -> Vec<IpAddr> {
    let toward = |from: &str, to: &str| {
        let socket = std::net::UdpSocket::bind(from).ok()?;
        socket.connect(to).ok()?;
        Some(socket.local_addr().ok()?.ip())
    };
    // An address of the block set aside for documentation (RFC 5737): only the route to it is looked up.
    toward("0.0.0.0:0", "192.0.2.1:9").into_iter().filter(|address| !address.is_loopback()).collect()
}
