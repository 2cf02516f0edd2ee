//! What any belief must keep to.

use crate::typical::{CARRY, adapting, dull, pattern, shiny};
use boardwise_belief::{
    Advice, Belief, Change, Choice, Feel, Noticed, Patience, Seen, Situation, Terms, Thrown, Verdict, advise, advise_on,
};
use boardwise_lane::{ContactLaw, Lane, Release};
use boardwise_search::Hit;
use boardwise_search::{Unknowns, World};
use boardwise_units::{Board, Feet, Mph};

fn belief() -> Belief {
    let lane = pattern(40.0, 0.3);
    Belief::new([lane.clone(), lane], adapting(), vec![dull(), shiny()], &Unknowns::default(), 4)
}

/// A line that comes in at the pocket by the mean world.
fn line(belief: &Belief) -> Release {
    belief.line(0, 0, &[], &CARRY).expect("something strikes").release
}

fn shot(meant: Release, hit: Hit, standing: &str) -> Seen {
    let noticed = Noticed { hit: Some(hit), ..Noticed::default() };
    Seen { lane: 0, ball: 0, meant, standing: standing.parse().expect("pins"), noticed }
}

fn after(belief: &Belief, shots: &[Seen]) -> Belief {
    let mut belief = belief.clone();
    for seen in shots {
        belief.saw(seen, &CARRY).expect("possible");
    }
    belief
}

#[test]
fn law_high_hits_raise_where_the_line_comes_in_and_light_ones_lower_it() {
    let belief = belief();
    let meant = line(&belief);
    let before = belief.comes_in(0, 0, &meant).mean;
    let high = after(&belief, &[shot(meant, Hit::High, "4"), shot(meant, Hit::High, "4-9")]);
    let light = after(&belief, &[shot(meant, Hit::Light, "2-8"), shot(meant, Hit::Light, "5")]);
    assert!(high.comes_in(0, 0, &meant).mean > before + 0.2);
    assert!(light.comes_in(0, 0, &meant).mean < before - 0.2);
    // Seeing makes surer, and the other lane learns a part of it.
    assert!(high.comes_in(0, 0, &meant).sd < belief.comes_in(0, 0, &meant).sd);
    let other = |belief: &Belief| belief.comes_in(1, 0, &meant).mean;
    assert!(other(&high) > other(&light) + 0.1);
}

#[test]
fn law_boards_nobody_crossed_stay_unsure() {
    let belief = belief();
    let meant = line(&belief);
    let shots: Vec<Seen> =
        (0..12).map(|k| shot(meant, if k % 3 == 0 { Hit::High } else { Hit::Pocket }, "10")).collect();
    let after = after(&belief, &shots);
    // Far on the other side against where the line crosses; the oil of the whole lane they have in common.
    let sd = |belief: &Belief, board: f64| belief.estimate(|world| world.oil(0, board, 38.0).ln()).sd;
    let kept = sd(&after, 36.0) / sd(&belief, 36.0);
    assert!(kept > 0.8, "{kept}");
    let friction = |belief: &Belief| belief.estimate(|world| world.friction(0).ln()).sd;
    assert!(friction(&after) < friction(&belief));
}

#[test]
fn law_a_belief_and_its_advice_repeat_on_any_number_of_threads() {
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| {
            let belief = belief();
            let meant = line(&belief);
            let belief = after(&belief, &[shot(meant, Hit::High, "4")]);
            advise(&belief, &Situation::new((0, 0, meant), vec![shot(meant, Hit::High, "4")]), &CARRY)
        })
    };
    assert_eq!(on(1), on(3));
}

fn advice(belief: &Belief, meant: Release, seen: &[Seen]) -> Advice {
    let at = Situation::new((0, 0, meant), seen.to_vec()).with_lines(belief, &[], &CARRY);
    advise(belief, &at, &CARRY)
}

#[test]
fn law_one_bad_throw_is_no_reason_to_move_and_a_line_far_off_is() {
    let belief = belief();
    let meant = line(&belief);
    let shots = [shot(meant, Hit::Pocket, "none"), shot(meant, Hit::Pocket, "none"), shot(meant, Hit::High, "4")];
    let once = advice(&after(&belief, &shots), meant, &shots);
    assert!(once.verdict == Verdict::Stay && once.waits, "{:?}", once.choices[0]);
    // Four boards inside of it the ball comes in light; moving back strikes more.
    let off = boardwise_search::Move { feet_boards: 4.0, eyes_boards: 4.0 }.of(&meant);
    let shots = [shot(off, Hit::Light, "2-8"); 3];
    let told = advice(&after(&belief, &shots), off, &shots);
    assert_eq!(told.verdict, Verdict::Change);
    assert!(matches!(told.choices[0].change, Change::Move(moved) if moved.eyes_boards < 0.0), "{:?}", told.choices[0]);
    assert!(told.stay().is_some(), "staying is always among them");
    assert!(told.choices[1..].is_sorted_by(|a, b| a.net >= b.net));
}

#[test]
fn law_a_command_is_given_only_where_eight_in_ten_worlds_gain_and_a_suggestion_where_six_do() {
    let belief = belief();
    let meant = line(&belief);
    for boards in [-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0] {
        let from = boardwise_search::Move { feet_boards: boards, eyes_boards: boards }.of(&meant);
        // Patience is for what was thrown, and nothing was.
        let terms = Terms { patience: Patience::NONE, ..Terms::default() };
        let on = |seen: &[Seen]| {
            let at = Situation::new((0, 0, from), seen.to_vec()).with_lines(&belief, &[], &CARRY);
            advise_on(&belief, &at, &terms, &CARRY)
        };
        let (untried, told) = (on(&[]), on(&[shot(from, Hit::Light, "2")]));
        let best = &told.choices[0];
        let should = match best.better {
            _ if best.change == Change::Stay => [Verdict::Stay; 2],
            better if better >= 0.8 => [Verdict::Change; 2],
            better if better >= 0.6 => [Verdict::Stay, Verdict::Try],
            _ => [Verdict::Stay, Verdict::TooClose],
        };
        assert_eq!([untried.verdict, told.verdict], should, "{boards}: {best:?}");
        // What eight in ten gain at least is a gain where eight in ten gain, but for one world between two.
        assert!(best.pins_gain_at_least <= 0.0 || best.better >= 0.79, "{boards}: {best:?}");
        assert!(best.pins_gain_at_least >= 0.0 || best.better <= 0.81, "{boards}: {best:?}");
    }
}

#[test]
fn law_every_choice_is_thrown_with_the_usual_hand_or_says_so() {
    let belief = belief();
    let usual = belief.bowler().release;
    let line = line(&belief);
    let slower = Release { speed: Mph(usual.speed.0 - 0.5), ..line };
    for (meant, changed) in [(line, false), (slower, true)] {
        let told = advice(&belief, meant, &[]);
        for one in &told.choices {
            let own = (one.choice.speed, one.choice.rotation) == (usual.speed, usual.rotation);
            match one.change {
                Change::Stay => assert_eq!(own, !changed),
                Change::Hand(..) => assert!(!own),
                Change::OwnHand(_) => assert!(own && changed),
                Change::Move(_) | Change::Ball | Change::Surface(_) => assert!(own, "{one:?}"),
            }
            assert_eq!(one.choice.slide, belief.bowler().slide_board(one.choice.release.laydown));
            assert_eq!(one.choice.look, boardwise_search::aim(&one.choice.release));
        }
        assert_eq!(told.choices.iter().any(|one| matches!(one.change, Change::OwnHand(_))), changed);
    }
}

#[test]
fn law_nothing_is_aimed_outside_the_pocket_but_what_is_thrown_already() {
    let belief = belief();
    let meant = line(&belief);
    let world = belief.mean_world();
    for boards in [-3.0, 0.0, 3.0] {
        let from = boardwise_search::Move { feet_boards: boards, eyes_boards: boards }.of(&meant);
        for one in advice(&belief, from, &[]).choices.iter().filter(|one| one.change != Change::Stay) {
            let as_meant = belief.runway(0, one.choice.ball, &world).throw_many(&[world.today(&one.choice.release)]);
            let board = as_meant[0].touch.expect("it meets the pins").board().0;
            assert!((16.5..=18.5).contains(&board), "{board} {one:?}");
        }
    }
}

#[test]
fn law_advice_does_not_flip_while_nothing_was_learnt() {
    let belief = belief();
    let off = boardwise_search::Move { feet_boards: 4.0, eyes_boards: 4.0 }.of(&line(&belief));
    let shots = [shot(off, Hit::Light, "2-8"); 3];
    let belief = after(&belief, &shots);
    let first = advice(&belief, off, &shots);
    assert_eq!(first.verdict, Verdict::Change);
    let taken = first.choices[0].choice;
    // The bowler did as the card said, and nothing was thrown since: no further command.
    let next = Situation::new((0, taken.ball, taken.release), shots.to_vec()).with_lines(&belief, &[], &CARRY);
    assert_ne!(advise(&belief, &next, &CARRY).verdict, Verdict::Change);
}

#[test]
fn law_a_choice_counts_as_it_does_from_now_to_the_end_of_the_game() {
    // One world, so that the end of the game is a lane as certain as the present one.
    let now = belief();
    let certain = |lane: &Lane| {
        let law = ContactLaw::default();
        Belief::certain([lane.clone(), lane.clone()], adapting(), vec![dull(), shiny()], law, 4)
    };
    let (fresh, meant) = (pattern(40.0, 0.3), line(&now));
    let thrown = Thrown { lane: 0, ball: &dull(), meant, other_hand: false };
    let [worn, _] = now.worn_by(&vec![thrown; 9]).unwrap();
    let at = Situation::new((0, 0, meant), Vec::new());
    let gains = |lane: &Lane, end_of_game: Option<&Lane>| -> Vec<(Choice, f64)> {
        let terms = Terms { end_of_game: end_of_game.cloned(), ..Terms::default() };
        let choices = advise_on(&certain(lane), &at, &terms, &CARRY).choices;
        choices.iter().map(|one| (one.choice, one.pins_gain.mean)).collect()
    };
    // Nothing is won or lost on a lane that stays as it is.
    let alone = gains(&fresh, None);
    assert_eq!(gains(&fresh, Some(&fresh)), alone);
    let (ahead, end) = (gains(&fresh, Some(&worn)), gains(&worn, None));
    let of = |all: &[(Choice, f64)], choice: &Choice| all.iter().find(|one| one.0 == *choice).map(|one| one.1);
    let told = ahead.iter().filter_map(|(choice, gain)| Some((of(&alone, choice)?, of(&end, choice)?, *gain)));
    let told: Vec<(f64, f64, f64)> = told.filter(|(now, end, _)| (now - end).abs() > 0.2).collect();
    assert!(told.len() > 1, "the wear changes what is worth a move: {alone:?} {end:?}");
    for (now, end, gain) in told {
        // It runs evenly from now to the end, counts until it is lost, and what is to come waits.
        let lasts = match (now > 0.0, end >= 0.0) {
            (false, _) => now,
            (true, true) => f64::midpoint(now, end),
            (true, false) => 0.5 * now * now / (now - end),
        };
        assert!((gain - lasts).abs() < 1e-9, "{now} now, {end} at the end, {gain} to there");
    }
}

#[test]
fn law_a_throw_owned_up_to_moves_the_belief_little() {
    let belief = belief();
    let meant = line(&belief);
    let moved = |feel: Option<Feel>| {
        let mut bad = shot(meant, Hit::High, "4-9");
        bad.noticed.feel = feel;
        let after = after(&belief, &[bad; 2]);
        (after.comes_in(0, 0, &meant).mean - belief.comes_in(0, 0, &meant).mean).abs()
    };
    let (plain, owned) = (moved(None), moved(Some(Feel::Slow)));
    assert!(plain > 0.15 && owned < 0.5 * plain, "{plain} {owned}");
}

#[test]
fn law_a_board_at_the_arrows_counts_once() {
    // Boards read there say how the bowler launches today: as the regression of a normal launch on a board blurred by one
    // throw's spread and by reading it (0.5 board) says, and no surer.
    let belief = belief();
    let meant = line(&belief);
    let mut seen = shot(meant, Hit::Pocket, "10");
    seen.noticed = Noticed { arrows: Some(Board(boardwise_search::aim(&meant).0 - 1.0)), ..Noticed::default() };
    let launch = |belief: &Belief| belief.estimate(|world| world.today(&meant).launch.0).sd;
    let (before, spread) = (launch(&belief), belief.bowler().spread);
    let blur = spread.laydown_boards.hypot(2.95 * spread.launch.0).hypot(0.5) / 2.95;
    let least = before * (1.0 + (before / blur).powi(2)).powf(-0.5);
    let is = launch(&after(&belief, &[seen]));
    assert!(is > 0.93 * least, "{before} -> {is}, at least {least}");
}

#[test]
fn law_patience_is_what_keeps_a_line_after_one_miss() {
    let belief = belief();
    let meant = line(&belief);
    let off = boardwise_search::Move { feet_boards: 3.0, eyes_boards: 3.0 }.of(&meant);
    let shots = [shot(off, Hit::Light, "2-8")];
    let learned = after(&belief, &shots);
    let at = Situation::new((0, 0, off), shots.to_vec()).with_lines(&learned, &[], &CARRY);
    let hasty = advise_on(&learned, &at, &Terms { patience: Patience::NONE, ..Terms::default() }, &CARRY);
    let patient = advise(&learned, &at, &CARRY);
    assert!(hasty.verdict != Verdict::Stay && patient.verdict == Verdict::Stay, "{:?}", hasty.verdict);
    assert!(patient.waits && !hasty.waits);
}

#[test]
fn law_shots_wear_the_lane_of_the_belief() {
    let belief = belief();
    let meant = line(&belief);
    let at = Feet(8.0);
    let across_m = meant.launch.to_radians().tan() * at.to_metres();
    let board = Board::from_metres(meant.laydown.to_metres() + across_m);
    let left = |belief: &Belief| belief.oil_left(0, board, at).expect("oil there").mean;
    let after = after(&belief, &[shot(meant, Hit::Pocket, "none"); 8]);
    assert!(left(&after) < left(&belief) - 0.02);
}

#[test]
fn law_an_impossible_shot_is_refused_and_changes_nothing() {
    let mut belief = belief();
    let guesses = belief.worlds().to_vec();
    let impossible = Release { speed: Mph(f64::NAN), ..Release::default() };
    assert!(belief.saw(&shot(impossible, Hit::Pocket, "none"), &CARRY).is_err());
    assert_eq!(belief.worlds(), guesses);
}

#[test]
fn law_a_belief_taken_up_again_is_the_one_put_aside() {
    let begun = belief();
    let meant = line(&begun);
    let mut on = after(&begun, &[shot(meant, Hit::High, "4"), shot(meant, Hit::Pocket, "none")]);
    on.thrown(1, &shiny(), &meant).expect("possible");
    let kept = serde_json::to_string(&on.checkpoint()).expect("plain numbers");
    // Small enough to lie beside a record, shot for shot.
    assert!(kept.len() < 300_000, "{}", kept.len());
    let mut again = begun.resumed(&serde_json::from_str(&kept).expect("as written")).expect("the same belief");
    assert_eq!(again.checkpoint(), on.checkpoint());
    for belief in [&mut on, &mut again] {
        belief.saw(&shot(meant, Hit::Light, "2-8"), &CARRY).expect("possible");
    }
    assert_eq!(again.worlds(), on.worlds());
    assert_eq!(again.comes_in(1, 1, &meant), on.comes_in(1, 1, &meant));
    let lane = pattern(40.0, 0.3);
    let other = Belief::new([lane.clone(), lane], adapting(), vec![dull()], &Unknowns::default(), 5);
    assert!(other.resumed(&on.checkpoint()).is_err(), "begun with another seed");
}

#[test]
fn law_a_shot_thrown_ahead_teaches_the_same() {
    let fresh = belief();
    let meant = line(&fresh);
    let seen = shot(meant, Hit::High, "4");
    let taught = |belief: &Belief| after(belief, &[seen]).checkpoint();
    let ahead = |belief: &Belief, lane: usize, ball: usize, meant: &Release| {
        let mut belief = belief.clone();
        belief.foresee(lane, ball, meant).expect("possible");
        belief
    };
    let plain = taught(&fresh);
    let (another, usual) = (Release { speed: Mph(meant.speed.0 + 0.5), ..meant }, dull());
    assert_ne!(after(&fresh, &[shot(another, Hit::High, "4")]).checkpoint(), plain, "the line matters");
    for (lane, ball, thrown) in [(0, 0, &meant), (0, 0, &another), (1, 0, &meant), (0, 1, &meant)] {
        assert_eq!(taught(&ahead(&fresh, lane, ball, thrown)), plain, "lane {lane}, ball {ball}");
    }
    // What was thrown ahead holds no longer once that lane is worn, or once anything was learned.
    for lane in [0, 1] {
        let mut worn = (fresh.clone(), ahead(&fresh, 0, 0, &meant));
        for belief in [&mut worn.0, &mut worn.1] {
            for _ in 0..20 {
                belief.thrown(lane, &usual, &meant).expect("possible");
            }
        }
        assert_eq!(taught(&worn.0), taught(&worn.1), "lane {lane}");
        assert_ne!(taught(&worn.0), plain, "wear matters");
    }
    let twice = |belief: &Belief| after(belief, &[seen, seen]).checkpoint();
    assert_eq!(twice(&ahead(&fresh, 0, 0, &meant)), twice(&fresh));
    let (put_aside, mut later) = (after(&fresh, &[seen]).checkpoint(), ahead(&fresh, 0, 0, &meant));
    later = later.resumed(&put_aside).expect("begun alike");
    assert_eq!(taught(&later), twice(&fresh));
    assert!(later.foresee(0, 0, &Release { speed: Mph(-1.0), ..meant }).is_err());
}

#[test]
fn law_a_pair_worn_at_once_is_worn_as_ball_by_ball() {
    let (mut one, mut all) = (belief(), belief());
    let meant = line(&one);
    let (dull, shiny) = (dull(), shiny());
    let own = |lane, ball, meant| Thrown { lane, ball, meant, other_hand: false };
    let throws = [own(0, &dull, meant), own(1, &shiny, meant), own(0, &shiny, meant)];
    for throw in throws {
        one.thrown(throw.lane, throw.ball, &throw.meant).expect("possible");
    }
    all.thrown_all(&throws).expect("possible");
    assert_eq!(one.checkpoint(), all.checkpoint());
    let impossible = Release { speed: Mph(f64::NAN), ..meant };
    assert!(all.thrown_all(&[own(0, &dull, meant), own(1, &dull, impossible)]).is_err());
    assert_eq!(one.checkpoint(), all.checkpoint(), "as it was");
}

#[test]
fn law_balls_of_the_other_hand_wear_the_other_side() {
    let (mut same, mut other) = (belief(), belief());
    let (meant, dull) = (line(&same), dull());
    for _ in 0..4 {
        for (belief, other_hand) in [(&mut same, false), (&mut other, true)] {
            belief.thrown_all(&[Thrown { lane: 0, ball: &dull, meant, other_hand }]).expect("possible");
        }
    }
    let film = |lane: Lane| lane.film().expect("oil").thickness_m.values().to_vec();
    let (there, here) = (other.lane(0, &World::AS_SAID).mirrored(), same.lane(0, &World::AS_SAID));
    let fresh = film(belief().lane(0, &World::AS_SAID));
    let off = film(there).iter().zip(film(here.clone())).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    let worn = film(here).iter().zip(fresh).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    assert!(worn > 1e-7 && off < 1e-3 * worn, "{off} {worn}");
    // What crosses the lane on the other side leaves our line nearly as it was.
    let moved =
        |belief: &Belief| (belief.comes_in(0, 0, &meant).mean - self::belief().comes_in(0, 0, &meant).mean).abs();
    assert!(moved(&other) < 0.3 * moved(&same), "{} {}", moved(&other), moved(&same));
}

#[test]
fn law_surfaces_are_weighed_only_where_they_may_be_changed() {
    let belief = belief();
    let meant = line(&belief);
    let at = Situation::new((0, 0, meant), Vec::new());
    // Far too little hook: the ball comes in light, and a rough cover is one way out.
    let off = Situation { release: Release { laydown: Board(meant.laydown.0 + 5.0), ..meant }, ..at.clone() };
    let surfaces =
        |advice: &Advice| advice.choices.iter().filter(|one| matches!(one.change, Change::Surface(..))).count();
    let rough = boardwise_ball::Surface::sanded(500.0);
    let allowed = Terms { surfaces: vec![rough], ..Terms::default() };
    for at in [&at, &off] {
        assert_eq!(surfaces(&advise(&belief, at, &CARRY)), 0);
        let told = advise_on(&belief, at, &allowed, &CARRY);
        for one in &told.choices {
            assert!(one.pins.mean > 5.0 && one.split.mean >= 0.0 && one.teaches_nats >= 0.0, "{one:?}");
        }
    }
}
