//! The deck in motion: the same picture, with pins and ball over it that move by CSS animation.

use crate::colour::Theme;
use crate::deck::{BELLY_M, at, ground, key, long, spot, still};
use crate::scene::{Drawing, Scene, number};
use boardwise_search::{Pose, Story};
use boardwise_units::{Hand, INCH_M, court};
use std::fmt::Write;

/// How much slower than life: a rack is over in two seconds.
const SLOWER: f64 = 2.0;
/// Most instants drawn: thirty a second of what is seen, for five seconds at most.
const MOST: usize = 150;
/// A pin's outline: inches above the base, and half its width in inches (profile as published, thinned).
const OUTLINE_IN: [(f64, f64); 9] = [
    (0.0, 1.02),
    (2.25, 1.95),
    (4.5, 2.38),
    (7.25, 1.85),
    (10.0, 0.9),
    (11.75, 1.05),
    (13.5, 1.27),
    (14.6, 0.8),
    (15.0, 0.2),
];
/// Height of the centre of gravity, 5.80 in \[C\].
const CENTRE_IN: f64 = 5.80;

/// Draws a rack that moves once, at half speed, for five seconds at most, where the viewer allows motion. Without it, and
/// on paper, it is [`crate::deck`].
pub fn moving_deck(story: &Story, hand: Hand, title: &str, theme: Theme) -> Drawing {
    let mut scene = Scene::new(360.0, 376.0, title, theme);
    ground(&mut scene, hand);
    let last = story.fell_s.iter().flatten().fold(0.0_f64, |last, &fell| last.max(fell)) + 0.5;
    let instants: Vec<_> = story.instants.iter().take_while(|instant| instant.time_s <= last.max(1.0)).collect();
    let step = instants.len().div_ceil(MOST).max(1);
    let instants: Vec<_> = instants.into_iter().step_by(step).collect();
    let (begin, end) = match (instants.first(), instants.last()) {
        (Some(first), Some(last)) if last.time_s > first.time_s => (first.time_s, last.time_s),
        _ => (0.0, 1.0),
    };
    let seconds = ((end - begin) * SLOWER).min(5.0);
    let share = |time_s: f64| 100.0 * (time_s - begin) / (end - begin);
    let mut rules =
        String::from("@media (prefers-reduced-motion:no-preference){.still{display:none}.moving{display:inline}");
    let mut animate = |name: &str, frames: Vec<(f64, String)>| {
        let _ = write!(rules, ".{name}{{animation:{name} {}s linear .4s both}}@keyframes {name}{{", number(seconds));
        for (share, look) in thinned(frames) {
            let _ = write!(rules, "{}%{{{look}}}", number(share));
        }
        rules.push('}');
    };
    for pin in story.before {
        let frames: Vec<(f64, Pose)> =
            instants.iter().map_while(|instant| Some((share(instant.time_s), instant.pins[pin.index()]?))).collect();
        let (mut turn_deg, mut places, mut leans) = (0.0, Vec::new(), Vec::new());
        for (share, pose) in &frames {
            let (x, y) = at(pose.centre_m[0], pose.centre_m[1]);
            let lean = pose.axis[0].hypot(pose.axis[1]);
            if lean > 0.02 {
                // The nearest turn to the one before, so that nothing spins the long way round.
                let to = (-pose.axis[1]).atan2(pose.axis[0]).to_degrees();
                turn_deg += (to - turn_deg + 180.0).rem_euclid(360.0) - 180.0;
            }
            places.push((*share, format!("transform:translate({x:.1}px,{y:.1}px) rotate({turn_deg:.0}deg)")));
            leans.push((*share, format!("transform:scaleX({lean:.2})")));
        }
        if frames.len() < instants.len() {
            // Gone into the pit.
            if let Some((share, look)) = places.last().cloned() {
                places.push((share + 0.01, format!("{look};opacity:0")));
            }
        }
        animate(&format!("p{pin}"), places);
        animate(&format!("l{pin}"), leans);
    }
    let ball = instants.iter().map(|instant| {
        let (x, y) = at(instant.ball_m[0], instant.ball_m[1]);
        let gone = if instant.ball_m[1] > court::PIT_BEHIND_HEAD_PIN_M + 0.1 { ";opacity:0" } else { "" };
        (share(instant.time_s), format!("transform:translate({x:.1}px,{y:.1}px){gone}"))
    });
    animate("ball", ball.collect());
    rules.push('}');
    scene.style(&rules);
    scene.open("class=\"still\"");
    still(&mut scene, story);
    scene.close();
    scene.open("class=\"moving\" display=\"none\"");
    bodies(&mut scene, story);
    scene.close();
    key(&mut scene, story);
    scene.finish()
}

/// Ball and pins at the origin, to be moved by the rules; the pins' outline lies along x, base first.
fn bodies(scene: &mut Scene, story: &Story) {
    let palette = scene.palette;
    let start = story.instants.first().map_or((0.0, 0.0), |instant| at(instant.ball_m[0], instant.ball_m[1]));
    scene.open(&format!("class=\"ball\" style=\"transform:translate({:.1}px,{:.1}px)\"", start.0, start.1));
    let look = format!("fill=\"{0}\" fill-opacity=\"0.85\" stroke=\"{0}\"", palette.accent);
    scene.circle(0.0, 0.0, long(story.ball_radius_m), &look);
    scene.close();
    let side = |sign: f64| {
        OUTLINE_IN.iter().map(move |&(up, half)| (long((up - CENTRE_IN) * INCH_M), sign * long(half * INCH_M)))
    };
    let outline: Vec<(f64, f64)> = side(1.0).chain(side(-1.0).rev()).collect();
    let look = format!("fill=\"{}\" stroke=\"{}\" stroke-width=\"1.2\"", palette.pin, palette.ink);
    for pin in story.before {
        let (x, y) = spot(pin);
        scene.open(&format!("class=\"p{pin}\" style=\"transform:translate({x:.1}px,{y:.1}px)\""));
        scene.circle(0.0, 0.0, 0.92 * long(BELLY_M), &look);
        let lean = "style=\"transform:scaleX(0)\" vector-effect=\"non-scaling-stroke\"";
        scene.polygon(&outline, &format!("class=\"l{pin}\" {lean} {look}"));
        // Hides what of the outline crosses the belly while the pin hardly leans.
        scene.circle(0.0, 0.0, 0.92 * long(BELLY_M) - 0.6, &format!("fill=\"{}\"", palette.pin));
        scene.close();
    }
}

/// The frames without those that equal both neighbours.
fn thinned(frames: Vec<(f64, String)>) -> Vec<(f64, String)> {
    let same = |a: usize, b: usize| frames[a].1 == frames[b].1;
    let last = frames.len().saturating_sub(1);
    let keep: Vec<bool> =
        (0..frames.len()).map(|k| k == 0 || k == last || !(same(k, k - 1) && same(k, k + 1))).collect();
    frames.into_iter().zip(keep).filter_map(|(frame, keep)| keep.then_some(frame)).collect()
}
