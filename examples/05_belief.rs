//! A belief: what four shots say about a lane, and whether they are reason enough to move.

use boardwise_belief::search::{Hit, Unknowns};
use boardwise_belief::{Belief, Noticed, Seen, Situation, advise};
use boardwise_files::{BAGS, BOWLERS, LANES, parse_bag, parse_bowler, parse_lane};
use std::error::Error;

fn main() -> Result<(), Box<dyn Error>> {
    let bowler = parse_bowler(BOWLERS[0].path, BOWLERS[0].text.as_bytes())?.value;
    let lane = parse_lane(LANES[0].path, LANES[0].text.as_bytes())?.value.seen_by(bowler.hand);
    let bag = parse_bag(BAGS[0].path, BAGS[0].text.as_bytes())?.value;
    let ball = bag.balls().nth(2).expect("the demo bag holds seven balls").ball;
    let carry = boardwise_files::carry()?;

    // Before the first shot: many worlds that agree with what is said, all alike in weight.
    let mut belief = Belief::new([lane.clone(), lane], bowler, vec![ball], &Unknowns::default(), 1);
    let meant = belief.line(0, 0, &[], carry).expect("a line that strikes").release;
    let print = |when: &str, belief: &Belief| {
        let comes_in = belief.comes_in(0, 0, &meant);
        println!("{when} the line comes in on board {:.1}, give or take {:.1}", comes_in.mean, comes_in.sd);
    };
    print("before the first shot", &belief);

    // Three of four balls came in high. Only the pins that stood must be known.
    let mut shots = Vec::new();
    for (hit, standing) in [(Hit::High, "4"), (Hit::Pocket, "none"), (Hit::High, "4-9"), (Hit::High, "3-6-10")] {
        let noticed = Noticed { hit: Some(hit), ..Noticed::default() };
        let seen = Seen { lane: 0, ball: 0, meant, standing: standing.parse()?, noticed };
        belief.saw(&seen, carry)?;
        shots.push(seen);
    }
    print("after four shots", &belief);

    let at = Situation::new((0, 0, meant), shots).with_lines(&belief, &[], carry);
    let advice = advise(&belief, &at, carry);
    println!("{:?}", advice.verdict);
    for choice in advice.choices.iter().take(3) {
        let gain = &choice.pins_gain;
        println!("    {:?}: {:+.1} pins a game, give or take {:.1}", choice.change, gain.mean, gain.sd);
    }
    Ok(())
}
