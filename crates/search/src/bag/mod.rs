//! Which balls to bring, with which surface: every ball with every surface it may carry, each at its own best line, fresh and as
//! the lane wears, over all that the lane may be and over parts of it.

mod choose;
mod weigh;

pub use choose::{BagError, Choice, Chosen, StandIn, choose};
pub use weigh::{BagPlan, Form, Moment, Prepared, Turnout, Weighed, weigh_bag};
