//! Programs that measure and build what boardwise rests on.
//!
//! Each program says in its first lines what it does and how to call it:
//!
//! | to | programs |
//! |---|---|
//! | fit constants | `fit_robot`, `fit_covers` (lane), `calibrate` (pins) |
//! | build the tables | `build_carry`, `build_spares` |
//! | check answers against what is published and what the trade says | `trust` ([`trust`]), `stories`, `study`, `pin_checks` |
//! | print tables for the pages | `length_table`, `rules_table`, `spare_table`, `sweep` |
//! | compare the rack with another engine | `blows`, `agree`, `racks` |
//! | film throws that are known, and measure them from the film | `film_study` (feature `film`) |
//! | draw and measure | `gallery`, `record_figures`, `speed` |
//!
//! `blows` and `agree` need `--features general`. `stories`, `gallery` and `record_figures` need `--features faces`.

#[cfg(feature = "film")]
pub mod footage;
pub mod trust;

#[allow(dead_code, reason = "the tests of search use the rest")]
#[path = "../../crates/search/tests/typical/mod.rs"]
mod typical;
