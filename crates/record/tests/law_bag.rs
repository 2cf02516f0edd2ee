//! The ball in the hand, the surface of each ball, and the games on it.

use crate::scene::{Scene, anna, id, shot};
use boardwise_record::{BallLife, Error, Fact, Shot, Surface};
use boardwise_units::Micrometres;

fn takes(ball: &str) -> Fact {
    Fact::BallChange { bowler: anna(), ball: id(ball) }
}

fn work(ball: &str, surface: Surface) -> Fact {
    Fact::SurfaceChange { ball: id(ball), surface, how: Some("by hand".into()) }
}

fn life(scene: &Scene, ball: &str) -> BallLife {
    scene.record.life(&id(ball)).unwrap()
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-12
}

#[test]
fn law_a_ball_is_remembered_until_the_next_change() {
    let mut scene = Scene::new();
    assert_eq!(scene.record.in_hand(&anna()).unwrap(), None);
    scene.log(shot("two", "10")).unwrap();
    scene.log(takes("anna-dull")).unwrap();
    scene.log(Shot { ball: Some(id("anna-spare")), ..shot("two", "none") }).unwrap();
    scene.log(shot("two", "none")).unwrap();
    let change = scene.log(takes("anna-spare")).unwrap();
    scene.log(shot("free", "none")).unwrap();
    let balls = |scene: &Scene, block: &str| {
        let sheet = scene.record.sheet(&id(block), &anna()).unwrap();
        let name = |ball: Option<boardwise_record::BallId>| ball.map_or("?".to_owned(), |ball| ball.to_string());
        sheet.deliveries.into_iter().map(|delivery| name(delivery.ball)).collect::<Vec<_>>()
    };
    assert_eq!(balls(&scene, "two"), ["?", "anna-spare", "anna-dull"]);
    assert_eq!(balls(&scene, "free"), ["anna-spare"]);
    assert_eq!(scene.record.in_hand(&anna()).unwrap(), Some(id("anna-spare")));
    scene.undo(change).unwrap();
    assert_eq!(scene.record.in_hand(&anna()).unwrap(), Some(id("anna-dull")));
    assert_eq!(balls(&scene, "free"), ["anna-dull"]);
    assert!(matches!(scene.record.in_hand(&id("carl")), Err(Error::NoSuch { .. })));
}

#[test]
fn law_games_on_a_ball_are_the_frames_it_was_thrown_in() {
    let mut scene = Scene::new();
    scene.log(takes("anna-dull")).unwrap();
    // Two frames; the spare ball in one of them.
    scene.log(shot("two", "10")).unwrap();
    scene.log(Shot { ball: Some(id("anna-spare")), ..shot("two", "none") }).unwrap();
    scene.log(shot("two", "4-6")).unwrap();
    scene.log(shot("two", "6")).unwrap();
    let dull = life(&scene, "anna-dull");
    assert_eq!(dull.throws, 3);
    assert!(close(dull.games, 2.5 + 0.2) && close(dull.games_on_surface, 2.7));
    assert!(close(life(&scene, "anna-spare").games, 2.5 + 0.1));
    // Fresh surface: two balls of a drill are two frames.
    scene.log(work("anna-dull", Surface::Polished)).unwrap();
    scene.log(shot("drill", "10")).unwrap();
    scene.log(shot("drill", "10")).unwrap();
    let dull = life(&scene, "anna-dull");
    assert!(close(dull.games, 2.5 + 0.4) && close(dull.games_on_surface, 0.2), "{dull:?}");
    // A whole game of strikes, whose tenth frame has three balls, is one game.
    for _ in 0..12 {
        scene.log(shot("free", "none")).unwrap();
    }
    let dull = life(&scene, "anna-dull");
    assert!(dull.throws == 17 && close(dull.games, 2.5 + 1.4), "{dull:?}");
    // A friend borrows it.
    let bens = Shot { bowler: id("ben"), ball: Some(id("anna-dull")), ..shot("two", "none") };
    scene.log(bens).unwrap();
    assert!(close(life(&scene, "anna-dull").games, 2.5 + 1.5));
    assert_eq!(scene.record.bag(&anna()).unwrap(), [life(&scene, "anna-dull"), life(&scene, "anna-spare")]);
}

#[test]
fn law_a_surface_holds_from_the_moment_it_was_made() {
    let mut scene = Scene::new();
    let first = scene.log(shot("two", "none")).unwrap();
    let sanded = scene.log(work("anna-dull", Surface::Ra(Micrometres(0.9)))).unwrap();
    let second = scene.log(shot("two", "none")).unwrap();
    scene.log(work("anna-dull", Surface::Polished)).unwrap();
    let dull = life(&scene, "anna-dull");
    assert_eq!(dull.surface_at(first), Some(Surface::Grit(500.0)));
    assert_eq!(dull.surface_at(second), Some(Surface::Ra(Micrometres(0.9))));
    assert_eq!(dull.surface(), Some(Surface::Polished));
    assert_eq!(life(&scene, "anna-spare").surface(), None);
    // A shot forgotten at first was thrown with the surface of its place, not of when it was told.
    scene.log(Shot { before: Some(second), ..shot("two", "none") }).unwrap();
    let sheet = scene.record.sheet(&id("two"), &anna()).unwrap();
    assert_eq!(dull.surface_at(sheet.deliveries[1].place), Some(Surface::Ra(Micrometres(0.9))));
    // It was the other ball.
    scene.correct(sanded, work("anna-spare", Surface::Grit(1000.0))).unwrap();
    assert_eq!(life(&scene, "anna-dull").surface_at(second), Some(Surface::Grit(500.0)));
    assert_eq!(life(&scene, "anna-spare").surface(), Some(Surface::Grit(1000.0)));
    let nothing = scene.log(work("anna-dull", Surface::Grit(0.0)));
    assert!(matches!(nothing, Err(Error::OutOfRange { what: "grit", .. })), "{nothing:?}");
}
