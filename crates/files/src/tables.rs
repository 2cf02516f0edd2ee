//! The tables built in: what first balls leave, and what spare balls knock down. Each is read and checked once, at its
//! first use.

use std::sync::OnceLock;

use boardwise_pins::carry::{Carry, CarryError};
use boardwise_pins::spare::Spares;

static CARRY: OnceLock<Result<Carry, CarryError>> = OnceLock::new();
static SPARES: OnceLock<Result<Spares, CarryError>> = OnceLock::new();

/// The carry table (`data/carry/README.md`).
///
/// # Errors
/// If the program was built with a table that it cannot read.
pub fn carry() -> Result<&'static Carry, CarryError> {
    let read = || Carry::parse(include_bytes!("../data/carry/carry.bin"));
    CARRY.get_or_init(read).as_ref().map_err(|&error| error)
}

/// The table of spares (`data/spares/README.md`).
///
/// # Errors
/// If the program was built with a table that it cannot read.
pub fn spares() -> Result<&'static Spares, CarryError> {
    let read = || Spares::parse(include_bytes!("../data/spares/spares.bin"));
    SPARES.get_or_init(read).as_ref().map_err(|&error| error)
}

#[cfg(test)]
mod tests {
    #[test]
    fn law_the_tables_built_in_are_whole_and_up_to_date() {
        // And made with the rack as it is: its sets of constants and the version of its physics.
        let sets = || boardwise_pins::ensemble::ENSEMBLE.iter().map(|fitted| &fitted.constants);
        let carry = super::carry().unwrap();
        assert_eq!(carry.fingerprint(), carry.plan().fingerprint(sets()));
        let spares = super::spares().unwrap();
        assert_eq!(spares.fingerprint(), spares.plan().fingerprint(sets()));
    }
}
