//! The terms of an account.

use std::ops::Add;

/// Pins by what won or lost them; less than nothing is lost. Also holds how far each may be off, or goes by chance.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Parts {
    /// What the lanes offered against par, and how lanes and the bowler's day turned out against what was believed.
    pub lanes: f64,
    /// The ball thrown against the best one known, each on its best line known.
    pub ball: f64,
    /// The line meant against the best one known for that ball.
    pub line: f64,
    /// The throw as it was seen against what throws at that line come to.
    pub execution: f64,
    /// The pins that fell against what such a throw leaves.
    pub luck: f64,
    /// Second balls against how often this bowler makes such a leave.
    pub spares: f64,
    /// What cannot be told apart: fouls, pins only counted, shots of which nothing but the pins was seen.
    pub untold: f64,
}

impl Parts {
    /// All together.
    pub fn sum(&self) -> f64 {
        self.named().into_iter().map(|(_, pins)| pins).sum()
    }

    /// Each with its name.
    pub const fn named(&self) -> [(&'static str, f64); 7] {
        [
            ("lanes", self.lanes),
            ("ball", self.ball),
            ("line", self.line),
            ("execution", self.execution),
            ("luck", self.luck),
            ("spares", self.spares),
            ("untold", self.untold),
        ]
    }

    /// Both put together, term by term.
    pub(super) fn with(self, other: Self, put: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            lanes: put(self.lanes, other.lanes),
            ball: put(self.ball, other.ball),
            line: put(self.line, other.line),
            execution: put(self.execution, other.execution),
            luck: put(self.luck, other.luck),
            spares: put(self.spares, other.spares),
            untold: put(self.untold, other.untold),
        }
    }

    /// Deviations that have nothing to do with each other.
    pub(super) fn in_quadrature(self, other: Self) -> Self {
        self.with(other, f64::hypot)
    }

    /// Doubts of two deliveries together: lanes, ball and line are judged on the same lanes and may all be off the same way; what single throws
    /// did has nothing in common.
    pub(super) fn doubted(self, other: Self) -> Self {
        let alike = self + other;
        Self { lanes: alike.lanes, ball: alike.ball, line: alike.line, ..self.in_quadrature(other) }
    }
}

impl Add for Parts {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        self.with(other, |a, b| a + b)
    }
}
