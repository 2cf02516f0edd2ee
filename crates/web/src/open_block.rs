//! A block that is open, with how it is served.

use std::sync::Arc;

use super::served::Served;
use boardwise_session::at_lanes::block_state::BlockState;

/// A block that is open.
pub struct OpenBlock {
    /// The block.
    pub state: BlockState,
    /// How it stands, as it is served; none where nobody has asked.
    pub served: Option<Arc<Served>>,
}
