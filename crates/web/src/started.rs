//! Where the app can be opened.

use super::addresses::Address;

/// Where the app can be opened.
pub struct Started {
    /// On this machine.
    pub here: String,
    /// From the local network, where devices may be paired.
    pub network: Option<Network>,
}

/// How other devices find this machine.
pub struct Network {
    /// Where, in each network that it is in; empty while it is in none.
    pub addresses: Vec<Address>,
    /// The code that pairs a device.
    pub code: String,
}
