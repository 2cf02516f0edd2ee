//! The lane, the balls and the bowler that a question is about.

use boardwise_ball::Ball;
use boardwise_lane::Lane;
use boardwise_search::{Bowler, Unknowns, spare_ball};
use boardwise_units::Hand;

use boardwise_files::{Fault, KitBag, KitBall, KitLane};

/// What a question is about, checked.
#[derive(Debug)]
pub struct Scene {
    /// Name of the lane.
    pub lane_name: String,
    /// The lane as the bowler sees it.
    pub lane: Lane,
    /// The balls asked for, in order; at least one.
    pub balls: Vec<KitBall>,
    /// Every ball of the bag, to choose one for spares from.
    bag: KitBag,
    /// The bowler.
    pub bowler: Bowler,
    /// What is not known of lane, cover and the bowler's day.
    pub unknowns: Unknowns,
}

/// The ball to take when none is named and the bag has it.
const USUAL_BALL: &str = "strong-solid";

impl Scene {
    /// With these balls of the bag, or of elsewhere; with none, the usual one.
    pub fn new(lane: KitLane, bag: KitBag, mut balls: Vec<KitBall>, bowler: Bowler) -> Self {
        if balls.is_empty() {
            balls.extend(Self::usual_ball(&bag));
        }
        let unknowns = KitLane::unknowns([&lane]);
        Self { lane: lane.seen_by(bowler.hand), lane_name: lane.name, balls, bag, bowler, unknowns }
    }

    /// The ball of a bag to take when none is named.
    pub fn usual_ball(bag: &KitBag) -> Option<KitBall> {
        bag.get(USUAL_BALL).or(bag.balls().next())
    }

    /// The one ball of a command that takes no more.
    ///
    /// # Errors
    /// If there are several balls.
    pub fn only_ball(&self, command: &str) -> Result<&KitBall, Fault> {
        match self.balls.as_slice() {
            [one] => Ok(one),
            several => Err(Fault::Field {
                field: "ball",
                value: several.iter().map(|one| one.ball.id.as_str()).collect::<Vec<_>>().join(", "),
                allowed: format!("`{command}` is for one ball: name one"),
            }),
        }
    }

    /// The ball of the bag for spares.
    pub fn spare_ball(&self) -> Option<&Ball> {
        spare_ball(self.bag.bag.balls())
    }

    /// The same with the bag's ball for spares, unless balls were asked for.
    #[must_use]
    pub fn for_spares(mut self, asked: &[String]) -> Self {
        if asked.is_empty()
            && let Some(spare) = self.spare_ball().and_then(|ball| self.bag.get(&ball.id))
        {
            self.balls = vec![spare];
        }
        self
    }

    /// The same with every ball of the bag, unless balls were asked for.
    #[must_use]
    pub fn for_any_ball(mut self, asked: &[String]) -> Self {
        if asked.is_empty() {
            self.balls = self.bag.balls().collect();
        }
        self
    }

    /// Who plays what, where: the heading of an answer for people.
    pub fn heading(&self) -> String {
        let balls: Vec<String> = self.balls.iter().map(KitBall::words).collect();
        format!(
            "bowler   {}\nball     {}\nlane     {}; boards count from the {} gutter\n",
            self.bowler.name,
            balls.join(", "),
            self.lane_name,
            self.side()
        )
    }

    /// The gutter that boards count from.
    pub fn side(&self) -> &'static str {
        gutter(self.bowler.hand)
    }
}

/// The gutter that boards of a bowler of this hand count from.
pub fn gutter(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "right",
        Hand::Left => "left",
    }
}
