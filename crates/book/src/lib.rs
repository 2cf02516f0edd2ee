//! The record of what a bowler threw.
