//! How busy a program has been.

use std::fs;
use std::process::Child;

/// Processor time of a process so far, in seconds, by the hundredths that Linux counts in.
pub fn spent_s(process: &Child) -> f64 {
    let stat = fs::read_to_string(format!("/proc/{}/stat", process.id())).unwrap();
    // Behind the name in brackets: user and system time are the 12th and 13th.
    let fields: Vec<&str> = stat.rsplit_once(')').unwrap().1.split_whitespace().collect();
    (fields[11].parse::<f64>().unwrap() + fields[12].parse::<f64>().unwrap()) / 100.0
}
