//! How many different games there are.

use crate::tally::{Owed, Rack, Traditional};

/// The number of different traditional games, by pin counts, that end with each score from 0 to 300. A game is a
/// sequence of counts: 66 ways to bowl each of nine frames and 241 to bowl the tenth.
///
/// ```
/// let games = boardwise_score::games_by_score();
/// assert_eq!(games.iter().sum::<u128>(), 5_726_805_883_325_784_576); // [P: OEIS A060853]
/// assert_eq!(games[300], 1);
/// ```
pub fn games_by_score() -> [u128; 301] {
    let mut pairs = [[0; 11]; 10];
    for (a, pair) in pairs.iter_mut().enumerate() {
        pair[..=10 - a].fill(1);
    }
    let rack = Rack { strike: 1, pairs, single: [1; 11] };
    let games = Traditional::<u128>::new([&rack; 10]);
    let line = games.from(1, Owed::Nothing);
    core::array::from_fn(|score| line[score])
}
