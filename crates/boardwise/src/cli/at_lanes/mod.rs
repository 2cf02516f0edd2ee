//! The commands at the lanes: a block is begun, shots are logged, taken back and put right, and the next one is talked over.
//!
//! Everything is in the record, but for one small file beside it with the event of the block begun last.

pub mod arguments;
mod believed;
mod desk;
mod line;
mod log;
mod meant;
mod next;
mod seen;
mod sheet;
mod spare;
mod standing;
mod start;
mod transfer;

pub(super) use line::run as go;
pub(super) use log::{fix, log, undo};
pub(super) use next::run as next;
pub(super) use sheet::run as sheet;
pub(super) use start::run as start;
pub(super) use transfer::{export, import};
