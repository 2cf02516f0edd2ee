//! The commands at the lanes.

mod after;
pub mod arguments;
mod kept;
mod line;
mod log;
mod next;
mod sheet;
mod start;
mod transfer;

pub(super) use after::run as after;
pub(super) use line::run as go;
pub(super) use log::{fix, log, undo};
pub(super) use next::run as next;
pub(super) use sheet::run as sheet;
pub(super) use start::run as start;
pub(super) use transfer::{export, import};
