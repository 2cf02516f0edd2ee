//! What the answers come to, against what is published and what the trade says.

mod levels;
mod lines;
mod probability;

use boardwise_pins::spare::Spares;
use std::fmt;
use std::sync::LazyLock;

/// The table of spares of the data folder.
static SPARES: LazyLock<Spares> = LazyLock::new(|| {
    Spares::parse(include_bytes!("../../../crates/files/data/spares/spares.bin")).expect("the table of the data folder")
});

/// One thing measured.
#[derive(Clone, Debug)]
pub struct Row {
    /// What it is.
    pub what: String,
    /// What came out.
    pub is: f64,
    /// What is wanted: at least, at most.
    pub wanted: (f64, f64),
    /// Where what is wanted comes from.
    pub source: &'static str,
}

impl Row {
    fn new(what: impl Into<String>, is: f64, wanted: (f64, f64), source: &'static str) -> Self {
        Self { what: what.into(), is, wanted, source }
    }

    /// Whether it is as wanted.
    pub fn holds(&self) -> bool {
        (self.wanted.0..=self.wanted.1).contains(&self.is)
    }

    /// By how much it misses; nothing where it holds.
    pub fn miss(&self) -> f64 {
        (self.wanted.0 - self.is).max(self.is - self.wanted.1).max(0.0)
    }
}

impl fmt::Display for Row {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let bound = |value: f64| if value.is_finite() { format!("{value:.1}") } else { String::new() };
        let (low, high) = (bound(self.wanted.0), bound(self.wanted.1));
        let holds = if self.holds() { "holds".to_owned() } else { format!("misses by {:.2}", self.miss()) };
        write!(f, "| {} | {:.2} | {low} to {high} | {holds} | {} |", self.what, self.is, self.source)
    }
}

/// Rows about lines: where the best ones leave the pattern, where they start, how much room they give.
pub fn lines() -> Vec<Row> {
    lines::rows()
}

/// Rows about levels: what bowlers score, and what the right ball is worth.
pub fn levels() -> Vec<Row> {
    levels::rows()
}

/// Rows about one probability: what every command says of the same line before the first shot.
pub fn probability() -> Vec<Row> {
    probability::rows()
}
