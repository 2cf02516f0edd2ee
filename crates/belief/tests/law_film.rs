//! What the belief learns from film: no more than the film's errors allow, and no less.

use crate::filmed::{Forecast, Hidden, Told, off};
use crate::typical::{CARRY, adapting, dull, pattern};
use boardwise_belief::{Belief, Figure, Film, Noticed, Seen};
use boardwise_lane::Release;
use boardwise_search::{Unknowns, came_in};

fn belief() -> Belief {
    let lane = pattern(40.0, 0.3);
    Belief::new([lane.clone(), lane], adapting(), vec![dull()], &Unknowns::default(), 4)
}

fn after(belief: &Belief, meant: Release, noticed: &Noticed) -> (f64, f64) {
    let mut belief = belief.clone();
    for _ in 0..4 {
        let seen = Seen { lane: 0, ball: 0, meant, standing: "10".parse().expect("pins"), noticed: *noticed };
        belief.saw(&seen, &CARRY).expect("possible");
    }
    let comes_in = belief.comes_in(0, 0, &meant);
    (comes_in.mean, comes_in.sd)
}

#[test]
fn law_a_film_as_unsure_as_an_eye_teaches_what_the_eye_does_and_a_surer_one_more() {
    let belief = belief();
    let meant = belief.line(0, 0, &[], &CARRY).expect("something strikes").release;
    // A throw just as meant in a world other than the mean one, so that there is something to learn.
    let world = belief.worlds()[5];
    let finish = belief.runway(0, 0, &world).throw_many(&[world.today(&meant)])[0];
    let (arrows, breakpoint) = (finish.arrows, finish.breakpoint.board);
    let eye = Noticed { arrows: Some(arrows), breakpoint: Some(breakpoint), ..Noticed::default() };
    let film = |share: f64, entry: f64| {
        let figure = |value, error| Some(Figure { value, error });
        let film = Film {
            arrows_board: figure(arrows.0, 0.5 * share),
            breakpoint_board: figure(breakpoint.0, 1.2 * share),
            entry_board: figure(came_in(&finish), entry),
            ..Film::default()
        };
        Noticed { film: Some(film), ..Noticed::default() }
    };
    // An eye cannot tell the board of entry at all.
    let (by_eye, by_film) = (after(&belief, meant, &eye), after(&belief, meant, &film(1.0, 1e3)));
    let before = belief.comes_in(0, 0, &meant);
    assert!(by_eye.1 < 0.9 * before.sd, "the eye learned something: {before:?} {by_eye:?}");
    assert!((by_eye.0 - by_film.0).abs() < 0.1 && (by_eye.1 - by_film.1).abs() < 0.1, "{by_eye:?} {by_film:?}");
    let mut last = by_film.1;
    for (share, entry) in [(0.3, 1.0), (0.1, 0.2)] {
        let (mean, sd) = after(&belief, meant, &film(share, entry));
        assert!(sd < last, "{share}: {mean} {sd}, {last} before");
        last = sd;
    }
}

#[test]
fn law_measured_shots_bring_forecasts_of_other_lines_nearer_to_the_truth() {
    let worlds: Vec<Hidden> = (0..4).map(Hidden::of).collect();
    let told = |told| worlds.iter().flat_map(|world| world.forecasts(12, told)).collect::<Vec<Forecast>>();
    let (before, after) = (told(Told::Nothing), told(Told::ByFilm));
    assert!(before.len() >= 12 && after.len() == before.len());
    assert!(off(&after) < 0.7 * off(&before), "{} {}", off(&before), off(&after));
    assert!(off(&told(Told::ByEye)) < off(&before));
    let sd = |all: &[Forecast]| all.iter().map(|one| one.sd).sum::<f64>() / all.len() as f64;
    assert!(sd(&after) < 0.7 * sd(&before), "{} {}", sd(&before), sd(&after));
}
