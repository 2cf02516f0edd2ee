//! Which balls to bring, with which surface: every ball with every surface it may carry, each at its own best line, fresh and as
//! the lane wears, in several worlds that the lane may turn out to be.

mod choose;
mod weigh;

pub use choose::{BagError, Choice, Chosen, StandIn, choose};
pub use weigh::with_friction;
pub use weigh::{BagPlan, Form, Moment, Prepared, Weighed, World, weigh_bag};
