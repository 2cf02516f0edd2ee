//! The key and the time of what is logged, by the clock of this machine.

use std::sync::LazyLock;
use std::sync::atomic::{AtomicU64, Ordering};

use boardwise_session::Failure;
use boardwise_session::at_lanes::command::Stamp;
use boardwise_session::at_lanes::desk;
use jiff::Timestamp;

/// Now, under a device's own key.
///
/// # Errors
/// If it is none.
pub fn under(key: &str) -> Result<Stamp, Failure> {
    Ok(Stamp { key: desk::own_key(key)?, at: Timestamp::now() })
}

/// Now, under a key that nobody else makes.
///
/// # Errors
/// If the record takes no such key: a fault of the program.
pub fn fresh() -> Result<Stamp, Failure> {
    static MADE: AtomicU64 = AtomicU64::new(0);
    /// Records of several devices are made one, so no two programs may make the same key.
    static PROGRAM: LazyLock<u32> = LazyLock::new(|| getrandom::u32().unwrap_or_default());
    let (at, number) = (Timestamp::now(), MADE.fetch_add(1, Ordering::Relaxed));
    let key = format!("{}-{:08x}-{number}", at.as_nanosecond(), *PROGRAM).parse()?;
    Ok(Stamp { key, at })
}
