//! A bowling ball: core, cover, surface, layout and mass.
#![cfg_attr(not(feature = "std"), no_std)]

mod entry;

pub use entry::Entry;
