//! Made-up lanes, throws and maps to draw.
#![allow(dead_code, reason = "each test and the gallery use some")]

use boardwise_ball::{Ball, BallSpec, CoverKind};
use boardwise_figures::SeenShot;
use boardwise_lane::{Coating, ContactLaw, Direction, Film, Fineness, Lane, Path, Place, Release, Stroke, throw};
use boardwise_search::{Hit, Line, MissRoom, Misses, WorthMap};
use boardwise_units::{Board, Degrees, Feet, Microlitres};

pub fn lane() -> Lane {
    let stroke = |boards, feet, oil, direction| Stroke { boards, feet, oil: Microlitres(oil), direction };
    let strokes = [
        stroke((2.0, 38.0), (0.0, 7.0), 2600.0, Direction::Out),
        stroke((6.0, 34.0), (5.0, 20.0), 4200.0, Direction::Out),
        stroke((9.0, 31.0), (15.0, 32.0), 5200.0, Direction::Out),
        stroke((12.0, 28.0), (8.0, 38.0), 9000.0, Direction::Back),
        stroke((4.0, 36.0), (30.0, 41.0), 1200.0, Direction::Out),
    ];
    Lane::new(Coating::Oil(Film::from_strokes(&strokes, 2.5).expect("strokes lie on the lane")))
}

pub fn path(lane: &Lane, laydown: f64, arrows: f64, rev_rate: f64) -> Path {
    let (ball, _) = Ball::new(BallSpec::new("sample", CoverKind::Reactive)).expect("a legal ball");
    let release = Release { laydown: Board(laydown), rev_rate: boardwise_units::Rpm(rev_rate), ..Release::default() }
        .aimed_at(Board(arrows), Feet(15.0));
    throw(lane, &ball, &release, &ContactLaw::default(), Fineness::default()).expect("a release a person can make")
}

/// A path of our own, so that a picture of it is kept and not the physics: its place every ten feet.
pub fn plain_path(lane: &Lane, laydown: f64) -> Path {
    let mut path = path(lane, laydown, 9.0, 300.0);
    // There is a row at every foot, whose distance is only near the foot.
    path.rows = path.rows.into_iter().step_by(10).collect();
    for (row, feet) in path.rows.iter_mut().zip([0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0]) {
        row.feet = feet;
        row.board = laydown - 1.0 - feet / 4.0 + (feet / 20.0).powi(2);
    }
    path.touch = None;
    path.gutter = None;
    path.arrows = Some(Place { board: Board(laydown - 4.19), feet: Feet(15.0) });
    path.breakpoint = Place { board: Board(laydown - 7.25), feet: Feet(50.0) };
    path
}

/// The lane after shots of a dull urethane ball that stray about a line.
pub fn worn(lane: &Lane, shots: u32, laydown: f64, arrows: f64) -> Lane {
    let (ball, _) = Ball::new(BallSpec::new("sample", CoverKind::Urethane)).expect("a legal ball");
    let mut lane = lane.clone();
    for k in 0..shots {
        let off = f64::from(k * 7 % 11) / 5.0 - 1.0;
        let release =
            Release { laydown: Board(laydown + off), rev_rate: boardwise_units::Rpm(330.0), ..Release::default() }
                .aimed_at(Board(arrows + 1.2 * off), Feet(15.0));
        lane.wear(&ball, &release, &ContactLaw::default()).expect("a release a person can make");
    }
    lane
}

pub fn band(lane: &Lane, laydown: f64, arrows: f64, rev_rate: f64) -> Vec<Vec<(f64, f64)>> {
    (0..24)
        .map(|k| {
            let off = f64::from(k % 5) * 0.35 - 0.7;
            let path = path(lane, laydown + off, arrows + off * 1.4, rev_rate + f64::from(k % 7) * 8.0 - 24.0);
            path.rows.iter().map(|row| (row.board, row.feet)).collect()
        })
        .collect()
}

pub fn map(columns: usize, rows: usize) -> WorthMap {
    let laydown: Vec<f64> = (0..columns).map(|k| 8.0 + 24.0 * k as f64 / (columns - 1) as f64).collect();
    let launch_deg: Vec<f64> = (0..rows).map(|k| -1.0 + 7.0 * k as f64 / (rows - 1) as f64).collect();
    let share = |board: f64, launch: f64| {
        let ridge = launch - (0.26 * (board - 13.0));
        0.92 * (-(ridge / 0.8).powi(2)).exp() * (1.0 - 0.02 * (board - 20.0).abs())
    };
    let pocket = launch_deg.iter().flat_map(|&l| laydown.iter().map(move |&b| share(b, l))).collect();
    WorthMap { laydown, launch_deg, worth: pocket, counts: "in the pocket" }
}

pub fn line(laydown: f64, launch: f64, pocket: f64) -> Line {
    let place = boardwise_lane::Place { board: Board(8.0), feet: Feet(43.0) };
    Line {
        release: Release { laydown: Board(laydown), launch: Degrees(launch), ..Release::default() },
        arrows: Board(12.0),
        breakpoint: place,
        exit: Some(place),
        entry_board: Some(Board(17.5)),
        entry_angle: Some(Degrees(5.5)),
        entry_speed: None,
        entry_spread: (Board(17.4), 1.1),
        angle_spread: (Degrees(5.4), 0.4),
        worth: pocket,
        worth_error: 0.008,
        worth_over_worlds: 0.05,
        pocket,
        pocket_error: 0.008,
        throws: 4096,
        misses: Misses::default(),
        miss_room: MissRoom::default(),
        first_ball: None,
        game: None,
        rank: 1,
    }
}

/// A rack as the engine tells it: a strike, or a ball that comes in high.
pub fn rack(
    board: f64,
    angle_deg: f64,
    pins: boardwise_score::PinSet,
    hand: boardwise_units::Hand,
    seed: u64,
) -> boardwise_search::Story {
    let (ball, _) = Ball::new(BallSpec::new("sample", CoverKind::Reactive)).expect("a legal ball");
    let approach = boardwise_pins::carry::Approach { board, angle_deg, speed_m_s: 7.5, weight_lb: 15.0, roll: 1.0 };
    let rack = boardwise_pins::Rack::new(boardwise_pins::Constants::default());
    boardwise_search::Story::of(&rack, pins, &approach.entry().0, &ball, hand, seed, 1.0 / 60.0)
        .expect("a ball on the lane")
}

/// A rack made up, so that the picture is kept and not the physics: the ball takes the 3 and it takes the 10.
pub fn made_up_rack() -> boardwise_search::Story {
    let pin = |x: f64, y: f64, lean: f64| {
        Some(boardwise_search::Pose { centre_m: [x, y, 0.147], axis: [lean, 0.0, (1.0 - lean * lean).sqrt()] })
    };
    let instants = (0..3).map(|k| {
        let t = f64::from(k);
        let mut pins = [None; 10];
        pins[1] = pin(-0.1524, 0.264, 0.0);
        pins[2] = pin(0.1524 + 0.1 * t, 0.264 + 0.2 * t, 0.4 * t);
        pins[9] = if k < 2 { pin(0.4572, 0.792 + 0.05 * t, 0.5 * t) } else { None };
        boardwise_search::Instant { time_s: 0.1 * t, ball_m: [0.1 - 0.02 * t, -0.1 + 0.6 * t, 0.1085], pins }
    });
    let mut fell_s = [None; 10];
    (fell_s[2], fell_s[9]) = (Some(0.1), Some(0.2));
    boardwise_search::Story {
        instants: instants.collect(),
        before: "2-3-10".parse().expect("pins"),
        after: "2".parse().expect("a pin"),
        fell_s,
        ball_radius_m: 0.1085,
    }
}

/// A block made up: our line moves in as the lanes dry, and from the second game on most runs play the second ball.
pub fn block(runs: u32, looks: u32) -> boardwise_search::Block {
    let lane = Lane::new(Coating::Step { low: 0.04, high: 0.2, middle: Feet(40.0), width: Feet(2.0) });
    let stage = |run: u32, look: u32, other: f64| {
        let (worn, off) = (f64::from(look.saturating_sub(1)) / 12.0, f64::from(run * 5 % 7) / 7.0 - 0.43);
        let late = f64::from(look) + 2.0 * off > 4.5;
        let laydown = 17.0 + other + 9.0 * worn + 1.5 * off * (0.2 + worn) - if late { 2.0 } else { 0.0 };
        let arrows = 10.5 + 0.5 * other + 4.5 * worn + off * (0.2 + worn);
        let mut line = line(laydown.round(), 1.8, 0.61 - 0.13 * worn + 0.05 * off - 0.02 * other);
        line.arrows = Board(arrows);
        let first = 0.6 - 0.42 * worn.sqrt() * (1.0 + 0.3 * off);
        (line, usize::from(late), first)
    };
    let lanes = |run: u32, look: u32| {
        [0.0, 1.0].map(|other| {
            let ((line, ball, first), (before, ..)) =
                (stage(run, look, other), stage(run, look.saturating_sub(1), other));
            let moved = boardwise_search::Move {
                feet_boards: line.release.laydown.0 - before.release.laydown.0,
                eyes_boards: line.arrows.0 - before.arrows.0,
            };
            let stay = line.worth - 0.03;
            boardwise_search::LaneStage { lane: lane.clone(), ball, line, moved, stay, first, balls: Vec::new() }
        })
    };
    let run = |run: u32| {
        let stages = (0..looks).map(|look| boardwise_search::Stage {
            frames: 5 * look.saturating_sub(1),
            practised: look > 0,
            lanes: lanes(run, look),
        });
        boardwise_search::Run { stages: stages.collect(), throws: 100, taken: Microlitres(0.0) }
    };
    boardwise_search::Block { runs: (0..runs).map(run).collect() }
}

/// A bag weighed, made up: three balls, two of them with two surfaces, over so many games in so many worlds. The dull ball
/// is best fresh, the shiny one late; the third strikes nowhere at first.
pub fn weighed(games: u32, worlds: u32) -> boardwise_search::Weighed {
    let ball = |cover| Ball::new(BallSpec::new("sample", cover)).expect("a legal ball").0;
    let prepared = |place, surface| boardwise_search::Prepared { place, surface, ball: ball(CoverKind::Reactive) };
    let prepared =
        vec![prepared(0, None), prepared(0, Some(0)), prepared(1, None), prepared(1, Some(0)), prepared(2, None)];
    let mean = |one: usize, games: u32, world: u32| {
        let (late, off) = (f64::from(games), f64::from(world * 3 % 5) - 2.0);
        match one {
            0 => Some(205.0 - 5.5 * late + 1.2 * off),
            1 => Some(201.0 - 5.0 * late + off),
            2 => Some(192.0 - 0.4 * late - 1.5 * off),
            3 => Some(188.0 - 1.5 * late),
            _ => (games > 0).then_some(196.0 - 2.4 * late + 2.0 * off),
        }
    };
    let moments: Vec<boardwise_search::Moment> = (0..worlds)
        .flat_map(|world| (0..=games).map(move |games| boardwise_search::Moment { games, turnout: world as usize }))
        .collect();
    let form = |one: usize, moment: &boardwise_search::Moment| {
        let mean = mean(one, moment.games, moment.turnout as u32)?;
        Some(boardwise_search::Form {
            line: line(15.0, 1.5, 0.5),
            game: boardwise_search::GameScore { mean, error: 0.7, sd: 26.0, conversion: 0.9 },
        })
    };
    let forms = (0..prepared.len()).map(|one| moments.iter().map(|moment| form(one, moment)).collect()).collect();
    let turnout = |k: u32| boardwise_search::Turnout {
        worlds: vec![boardwise_search::World::AS_SAID],
        lane: k as usize % 2,
        run: k,
    };
    boardwise_search::Weighed { prepared, turnouts: (0..worlds).map(turnout).collect(), moments, forms }
}

const LABELS: [&str; 28] = [
    "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12", "13", "14", "15", "16", "17", "18", "19", "20",
    "21", "22", "23", "24", "25", "26", "27", "28",
];

/// Balls that move in, most of them read to the board or half a board.
pub fn first_balls() -> Vec<SeenShot<'static>> {
    let unseen = SeenShot { arrows: None, breakpoint: None, hit: None, left: None, label: "" };
    let pins = |text: &str| text.parse().expect("pins");
    let shot = |k: usize| {
        let drift = k as f64 / 9.0;
        let stray = (k * 7 % 5) as f64 - 2.0;
        let board = (2.0 * (9.0 + drift + 0.6 * stray)).round() / 2.0;
        let turn = (5.0 + 0.6 * drift + 0.9 * stray).round();
        let (hit, left) = match k % 7 {
            0 | 2 => (Some(Hit::Pocket), Some("none")),
            5 => (Some(Hit::Pocket), Some("10")),
            1 => (Some(Hit::High), Some(if k == 8 { "4-6-7-10" } else { "4" })),
            3 => (Some(Hit::Light), Some(if k == 10 { "none" } else { "2-4-5-8" })),
            4 => (None, None),
            _ => (Some(Hit::OtherSide), Some(if k == 13 { "2" } else { "3-6-10" })),
        };
        SeenShot {
            arrows: Some(Board(board)),
            breakpoint: (k % 6 != 5).then_some(Place { board: Board(turn), feet: Feet(38.0 + (k % 3) as f64 * 2.0) }),
            hit,
            left: left.map(pins),
            label: LABELS[k],
        }
    };
    let mut shots: Vec<SeenShot> = (0..27).map(shot).collect();
    shots[20] = SeenShot { hit: Some(Hit::Gutter), left: Some(boardwise_score::PinSet::ALL), ..shots[20] };
    shots.push(SeenShot { hit: Some(Hit::Light), left: Some(pins("2-4-5-8")), label: "28", ..unseen });
    shots
}
