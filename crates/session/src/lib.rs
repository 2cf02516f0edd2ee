//! The parts of the job, asked and answered in values: what commands print and pages show.
//!
//! Nothing here prints, and nothing here knows a flag parser or a web page: the command line and the pages turn what people say into
//! these questions, and the answers into text and pictures.

pub mod at_lanes;
pub mod bag;
pub mod block;
pub mod event;
mod failure;
pub mod lab;
pub mod leaves;
pub mod line;
pub mod pictures;
pub mod practice;
pub mod read;
pub mod rows;
mod scene;
pub mod spread;
pub mod throw;
pub mod view;
mod work;

pub use failure::Failure;
pub use scene::{Scene, gutter};
pub use work::{Clock, Work};

/// Distance at which a line is aimed, and at which arrows are reported.
pub const ARROWS_FT: f64 = 15.0;
