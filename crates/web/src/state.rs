//! What all requests share.

use std::path::PathBuf;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

use tokio::sync::watch;

use super::accounts::Accounts;
#[cfg(feature = "server")]
use super::addresses;
use super::devices::{self, Devices};
use super::lock::lock;
use super::open_block::OpenBlock;
use super::queues::Queues;
use super::runs::Runs;
use super::served::Served;
#[cfg(feature = "server")]
use super::started::{Network, Started};
use super::thinking::{Thinking, Thought};
use super::{CannotServe, Serving};
use boardwise_files::Library;
use boardwise_session::Failure;
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::command::{Command, Done, Stamp};
use boardwise_session::at_lanes::open;
use boardwise_session::keep::devices_beside;
use boardwise_session::lab::Lab;

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
    /// The port.
    pub port: u16,
    /// The number of how the block stands, told to every page whenever it is another. Numbers go on from the clock at the start of the
    /// program, so that none of an earlier run comes back.
    pub live: watch::Sender<u64>,
    /// Whether the program is ending.
    pub ending: watch::Sender<bool>,
    /// What the throw lab keeps ready.
    pub lab: Lab,
    /// Who waits for whom.
    pub queues: Queues,
    /// Long questions and their answers.
    pub runs: Runs,
    /// Where pins were won and lost.
    pub accounts: Accounts,
    logging: Mutex<Option<OpenBlock>>,
    thinking: Mutex<Thinking>,
    asked: AtomicU64,
    since: Instant,
}

impl App {
    /// Nothing is opened yet but the list of devices.
    ///
    /// # Errors
    /// If that list cannot be read, or the system starts no thread.
    #[cfg(feature = "server")]
    pub fn new(serving: &Serving, port: u16) -> Result<Self, CannotServe> {
        let queues = Queues::new().map_err(|source| CannotServe::Port { at: port, source })?;
        Self::with(serving, port, queues)
    }

    /// The same with these queues.
    ///
    /// # Errors
    /// If the list of devices cannot be read.
    pub fn with(serving: &Serving, port: u16, queues: Queues) -> Result<Self, CannotServe> {
        devices::take_over_earlier(&serving.record)?;
        let devices = Devices::open(&devices_beside(&serving.record))?;
        let now = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_millis() as u64);
        Ok(Self {
            record: serving.record.clone(),
            library: Library::new(serving.kit.clone()),
            devices,
            network: serving.network,
            port,
            live: watch::channel(now).0,
            ending: watch::channel(false).0,
            lab: Lab::default(),
            queues,
            runs: Runs::default(),
            logging: Mutex::new(None),
            thinking: Mutex::new(Thinking::default()),
            asked: AtomicU64::default(),
            since: Instant::now(),
            accounts: Accounts::default(),
        })
    }

    /// Where it can be opened.
    #[cfg(feature = "server")]
    pub fn started(&self) -> Started {
        let network = self
            .network
            .then(|| Network { addresses: addresses::look(self.port), code: self.devices.code(devices::May::Log) });
        Started { here: format!("http://127.0.0.1:{}", self.port), network }
    }

    /// How the present block stands, as it is served. It is worked out once for each state of the record, whoever wrote; where it is
    /// another than it was, every page is told.
    ///
    /// # Errors
    /// If there is none, or it cannot be opened.
    pub fn served(&self) -> Result<Arc<Served>, Failure> {
        self.change(|_| Ok(())).map(|((), served)| served)
    }

    /// Changes the present block, the one begun or gone back to last; gives how it stands then.
    ///
    /// # Errors
    /// As [`App::served`]; what the change fails with.
    pub fn change<T>(
        &self,
        doing: impl FnOnce(&mut BlockState) -> Result<T, Failure>,
    ) -> Result<(T, Arc<Served>), Failure> {
        let mut open = lock(&self.logging);
        let open = self.renewed(&mut open)?.0;
        let done = doing(&mut open.state)?;
        let version = open.state.version();
        if let Some(known) = open.served.as_ref().filter(|known| known.of == version) {
            return Ok((done, Arc::clone(known)));
        }
        let number = *self.live.borrow() + 1;
        let served = Arc::new(Served::new(&open.state, Some(number))?);
        open.served = Some(Arc::clone(&served));
        // The lock is still held: numbers are told in order, each only once it can be asked for.
        self.live.send_replace(number);
        Ok((done, served))
    }

    /// Changes the block of this name, also where it is not the present one (any more); gives how that block stands then. Left out, the
    /// present one.
    ///
    /// # Errors
    /// As [`App::change`]; if there is no such block.
    pub fn change_in(
        &self,
        block: Option<&str>,
        command: &Command,
        stamp: &Stamp,
    ) -> Result<(Done, Arc<Served>), Failure> {
        let (done, served) = self.change(|state| {
            let meant = block.is_none_or(|block| state.desk.begun.block.as_str() == block);
            meant.then(|| state.run(command, stamp)).transpose()
        })?;
        let (Some(block), None) = (block, &done) else {
            // Nothing is done only where another block was named.
            return done.map(|done| (done, served)).ok_or(Failure::NoBlock);
        };
        // Whoever logs waits here too, so that no two balls are written into one place.
        let _alone = lock(&self.logging);
        let (done, state) = open::elsewhere(&self.record, block, stamp, |state| state.run(command, stamp))?;
        Ok((done, Arc::new(Served::new(&state, None)?)))
    }

    /// The same beside what is thought of its lanes.
    ///
    /// # Errors
    /// As [`App::served`].
    pub fn think<T>(&self, ask: impl FnOnce(&mut Thinking) -> Result<T, Failure>) -> Result<T, Failure> {
        self.asked.fetch_add(1, Ordering::Relaxed);
        let mut thinking = lock(&self.thinking);
        let known = thinking.block.as_ref().map(|block| block.state.desk.begun.since.clone());
        let (block, another) = self.renewed(&mut thinking.block)?;
        if known.is_some_and(|known| known != block.state.desk.begun.since) {
            thinking.thought = Thought::default();
        }
        if another {
            thinking.said.clear();
        }
        ask(&mut thinking)
    }

    /// How often anything was asked that rests on what is thought of the lanes.
    pub fn asked(&self) -> u64 {
        self.asked.load(Ordering::Relaxed)
    }

    /// The present block as the record has it now, opened where it is not yet or where another is the present one since; and whether what
    /// has been bowled or meant is another than it was.
    fn renewed<'a>(&self, open: &'a mut Option<OpenBlock>) -> Result<(&'a mut OpenBlock, bool), Failure> {
        if open.is_none() && self.record.symlink_metadata().is_err() {
            return Err(Failure::NoBlock);
        }
        // A file that was deleted or replaced is not the record any more: what is there now is.
        if open.as_ref().is_some_and(|known| known.state.desk.record.is_gone()) {
            *open = None;
        }
        let mut another = false;
        if let Some(known) = open {
            let before = known.state.version();
            another = known.state.catch_up()?;
            if known.state.version() != before && !known.state.is_present()? {
                *open = None;
            }
        }
        if let Some(open) = open {
            return Ok((open, another));
        }
        let state = BlockState::open(&self.record)?;
        Ok((open.insert(OpenBlock { state, served: None }), true))
    }

    /// Time since the program began, for how long work takes.
    pub fn clock(&self) -> Duration {
        self.since.elapsed()
    }

    /// Ends what would go on for ever.
    #[cfg(feature = "server")]
    pub fn stop(&self) {
        self.ending.send_replace(true);
    }
}

#[cfg(test)]
pub(super) mod tests;
