//! The bag: the balls a bowler brings.

use crate::Ball;
use alloc::string::String;
use alloc::vec::Vec;
use thiserror::Error;

/// Balls by id, in the order they were given.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bag {
    balls: Vec<Ball>,
}

/// Why a bag cannot be.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum BagError {
    /// No ball at all.
    #[error("the bag is empty: give at least one ball")]
    Empty,
    /// Two balls of one id.
    #[error("two balls are called \"{0}\": give each its own id")]
    Duplicate(String),
}

impl Bag {
    /// A bag of these balls.
    ///
    /// # Errors
    /// If there is none, or two share an id.
    pub fn new(balls: Vec<Ball>) -> Result<Self, BagError> {
        if balls.is_empty() {
            return Err(BagError::Empty);
        }
        for (k, ball) in balls.iter().enumerate() {
            if balls[..k].iter().any(|other| other.id == ball.id) {
                return Err(BagError::Duplicate(ball.id.clone()));
            }
        }
        Ok(Self { balls })
    }

    /// The balls, in order; never empty.
    pub fn balls(&self) -> &[Ball] {
        &self.balls
    }

    /// The ball of this id.
    pub fn get(&self, id: &str) -> Option<&Ball> {
        self.balls.iter().find(|ball| ball.id == id)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{BallSpec, CoverKind};

    #[test]
    fn law_ids_are_unique() {
        let ball = Ball::new(BallSpec::new("a", CoverKind::Plastic)).unwrap().0;
        assert_eq!(Bag::new(Vec::new()), Err(BagError::Empty));
        assert_eq!(Bag::new(alloc::vec![ball.clone(), ball.clone()]), Err(BagError::Duplicate("a".into())));
        assert!(Bag::new(alloc::vec![ball]).unwrap().get("a").is_some());
    }
}
