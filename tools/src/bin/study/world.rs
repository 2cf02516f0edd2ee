//! A hidden world: the lanes and the bowler as they are, and as they are told.

use crate::typical::{CARRY, OF_160, OF_200, OF_220, dull, pattern, plastic, shiny, urethane, wider};
use boardwise_ball::Ball;
use boardwise_belief::Belief;
use boardwise_lane::{ContactLaw, Lane, Release};
use boardwise_pins::spare::{Second, Spares};
use boardwise_score::Leave;
use boardwise_search::{
    Bowler, Conditions, Range, Search, SpareGame, Spread, USUAL_SLIDE_OFFSET_BOARDS, Unknowns, World,
};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Degrees, Hand, Mph, Rpm};
use std::collections::BTreeMap;
use std::sync::LazyLock;

static SPARES: LazyLock<Spares> = LazyLock::new(|| {
    Spares::parse(include_bytes!("../../../../crates/files/data/spares/spares.bin"))
        .expect("the table of the data folder")
});

pub struct Hidden {
    pub index: u64,
    pub skill: &'static str,
    pub pattern: &'static str,
    /// As the policies are told.
    pub told: Lane,
    pub bowler: Bowler,
    pub balls: Vec<Ball>,
    /// As it is.
    pub truth: World,
    pub lanes: [Lane; 2],
    pub law: ContactLaw,
    pub true_balls: Vec<Ball>,
    /// Everybody else: what they throw, known to the policies as they mean it.
    pub others: Vec<(Ball, Release)>,
    pub seconds: BTreeMap<Leave, Second>,
    /// The line and ball that everybody starts with, by lane.
    pub start: [(usize, Release); 2],
}

impl Hidden {
    #[allow(clippy::too_many_lines, reason = "one world, told from top to bottom")]
    pub fn of(index: u64) -> Self {
        let mut draw = Stream::keyed(11, "study world", index);
        let (skill, share) = [("220", OF_220), ("200", OF_200), ("160", OF_160)][(index % 3) as usize];
        let (name, length, outside) =
            [("32 flat", 32.0, 0.85), ("40 walled", 40.0, 0.25), ("42 flat", 42.0, 0.6)][(index / 3 % 3) as usize];
        let spread = wider(&Spread::default(), share);
        let release = Release {
            speed: Mph(17.5 + 0.8 * draw.uniform()),
            rev_rate: Rpm(300.0 + 120.0 * draw.uniform()),
            rotation: Degrees(40.0 + 12.0 * draw.uniform()),
            ..Release::default()
        };
        let range = Range {
            speed: (Mph(release.speed.0 - 1.0), Mph(release.speed.0 + 1.0)),
            rotation: (Degrees(release.rotation.0 - 10.0), Degrees(release.rotation.0 + 10.0)),
        };
        let bowler = Bowler {
            name: skill.into(),
            hand: Hand::Right,
            release,
            spread,
            range,
            slide_offset_boards: USUAL_SLIDE_OFFSET_BOARDS,
            spare_release: None,
        };
        let balls = vec![urethane(), dull(), shiny()];
        let told = pattern(length, outside);
        // The line everybody starts on and the hidden lanes do not move with the belief's prior.
        let usual = Unknowns {
            oil_log: 0.08,
            place_log: 0.10,
            friction_log: 0.06,
            wear_log: 0.3,
            tilt: 1.0e-3,
            common: 0.5,
            // Balls differ below, by their reach too.
            cover_log: 0.0,
            pins: true,
            // The day as far off as the program states: narrower draws made its intervals look too wide.
            ..Unknowns::default()
        };
        // As it is: another length, more or less of everything, and constants of the model's own that are off.
        let wider = Unknowns { oil_log: 1.2 * usual.oil_log, place_log: 1.2 * usual.place_log, ..usual };
        let truth = World::drawn(&wider, (1024.0 * draw.uniform()) as u32, index);
        let built = pattern(length + 0.7 * draw.normal(), (outside * (0.1 * draw.normal()).exp()).min(1.0));
        let lanes = [0, 1].map(|lane| truth.lane(lane, &built, &built));
        let law = ContactLaw::default();
        let law = ContactLaw {
            split_film_m: law.split_film_m * (0.25 * draw.normal()).exp(),
            swath_m: law.swath_m * (0.25 * draw.normal()).exp(),
            film_cap: law.film_cap * (0.1 * draw.normal()).exp(),
            ..law
        };
        let true_balls = balls
            .iter()
            .map(|ball| {
                let mut ball = ball.clone();
                ball.cover.film_reach_m *= (0.08 * draw.normal()).exp();
                ball.cover.dry_friction *= (0.03 * draw.normal()).exp();
                ball
            })
            .collect();
        let others = (0..3)
            .map(|k| {
                let ball = balls[(draw.uniform() * 3.0) as usize % 3].clone();
                let laydown = Board(12.0 + 4.0 * f64::from(k) + 4.0 * draw.uniform());
                let launch = Degrees(0.5 + 2.0 * draw.uniform());
                (ball, Release { laydown, launch, ..Release::default() })
            })
            .collect();
        let spare = plastic();
        let search = Search::default();
        let game =
            SpareGame::new(&SPARES, Conditions::known(&told, &spare, &ContactLaw::default()), &spare, &bowler, &search);
        let seconds = Leave::all().map(|leave| (leave, game.glance(leave))).collect();
        let belief = Belief::new([told.clone(), told.clone()], bowler.clone(), balls.clone(), &usual, 1);
        let best = (0..balls.len())
            .filter_map(|ball| Some((ball, belief.line(0, ball, &[], &CARRY)?)))
            .max_by(|a, b| a.1.worth.total_cmp(&b.1.worth))
            .map_or((0, release), |(ball, line)| (ball, line.release));
        Self {
            index,
            skill,
            pattern: name,
            told,
            bowler,
            balls,
            truth,
            lanes,
            law,
            true_balls,
            others,
            seconds,
            start: [best, best],
        }
    }

    /// A ball as it grips a lane in truth.
    pub fn true_ball(&self, ball: usize, lane: usize) -> Ball {
        let mut ball = self.true_balls[ball].clone();
        ball.cover.dry_friction *= self.truth.friction(lane);
        ball
    }
}
