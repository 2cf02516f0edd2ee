//! What the shots of a block say about the lanes and the bowler's day, and what to do about it.
//!
//! # From question to answer
//!
//! 1. A [`Belief`] starts from all that is not known: many worlds, alike in weight, that agree with pattern, bag and bowler.
//! 2. Tell it each first ball as a [`Seen`]: only the pins that stood must be known. [`Belief::saw`] moves the worlds to those that
//!    would show the same. [`Belief::thrown`] wears the lanes by the throws of others.
//! 3. [`Belief::estimate`], [`Belief::comes_in`] and [`Belief::strike`] say what is believed now, each as an [`Estimate`].
//! 4. [`advise`] weighs staying against moves, another speed or hand, and other balls. [`Card`] puts that in words.
//! 5. [`Account`] says afterwards where pins were won and lost, and [`plan_practice`] picks the throws that teach most.
//!
//! ```no_run
//! use boardwise_belief::search::{Hit, Pocket, Strikes, Unknowns};
//! use boardwise_belief::{Belief, Noticed, Seen, Situation, advise};
//! # use boardwise_belief::search::{Bowler, ball::Ball, lane::Lane, pins::carry::Carry};
//! # fn ask(lane: Lane, bowler: Bowler, ball: Ball, carry: &Carry) -> Result<(), Box<dyn std::error::Error>> {
//!
//! let mut belief = Belief::new([lane.clone(), lane], bowler, vec![ball], &Unknowns::default(), 1);
//! let meant = belief.line(0, 0, &[], carry).ok_or("no line strikes")?.release;
//!
//! // It came in high and left the four pin.
//! let noticed = Noticed { hit: Some(Hit::High), ..Noticed::default() };
//! let seen = Seen { lane: 0, ball: 0, meant, standing: "4".parse()?, noticed };
//! belief.saw(&seen, carry)?;
//! println!("it comes in on board {:.1}", belief.comes_in(0, 0, &meant).mean);
//!
//! let at = Situation::new((0, 0, meant), vec![seen]).with_lines(&belief, &[], carry);
//! println!("{:?}", advise(&belief, &at, carry).verdict);
//! # Ok(())
//! # }
//! ```
//!
//! `examples/05_belief.rs` is this program with the demo kit, ready to run.
//!
//! # Units
//!
//! Lanes of the pair are 0 and 1; balls go by their place in the bag. Boards count from the bowling-hand side. What a shot teaches
//! is in nats, what a choice gains in pins a game.
//!
//! # Limits
//!
//! - The same shots and seed give the same bits on any number of threads.
//! - Advice weighs the next frames on the lane as it is, not the block to its end. It does not see a move that pays later.
//!
//! # Where it is weak
//!
//! - How much lanes and bowlers may differ is our judgement, so a belief can be too sure or too unsure. A belief that is told
//!   wrong things, such as another ball or line, moves the wrong way.
//! - What a choice teaches is shown, but has no price in the verdict.
//! - `docs/belief.md` says what a study of whole blocks found.

mod account;
mod advice;
mod belief;
mod card;
mod practice;

pub use boardwise_search as search;

pub use account::{
    Account, AccountError, Delivered, Delivery, GameAccount, Par, Parts, Played, Practise, Shot, SparesOf, Stray,
    ToPractise, spread_at_arrows,
};
pub use advice::{
    Advice, Change, Choice, Diagnosis, Makes, NextShot, Patience, Situation, Terms, Verdict, advise, advise_on,
};
pub use belief::{Belief, Checkpoint, CheckpointError, Estimate, Feel, Figure, Film, Forecast, Noticed, Seen, Thrown};
pub use card::{Card, Facts, OF_SURFACES, OF_WAYS, Reason, half_boards, headline, move_in_words};
pub use practice::{PracticeShot, plan_practice};
