//! What is written down once, stays, and what follows from it.

use crate::scene::{Scene, anna, at, id, key, shot};
use boardwise_record::{Block, Bowler, Counting, Error, Fact, Felt, Hit, Lane, Record, Seq, Shot, Thing};
use boardwise_score::Roll;
use boardwise_units::Board;

#[test]
fn law_the_same_key_logs_once() {
    let mut scene = Scene::new();
    let first = scene.record.log(shot("two", "10"), &key("k"), at(0)).unwrap();
    let again = scene.record.log(shot("two", "10"), &key("k"), at(60)).unwrap();
    assert!(!first.again && again.again);
    assert_eq!((again.seq, again.at), (first.seq, first.at));
    assert_eq!(scene.record.receipt(&key("k")).unwrap(), Some(again));
    assert_eq!(scene.record.receipt(&key("other")).unwrap(), None);
    let other = scene.record.log(shot("two", "7"), &key("k"), at(0));
    assert!(matches!(other, Err(Error::KeyTaken { seq, .. }) if seq == first.seq), "{other:?}");
    assert_eq!(scene.record.facts(Seq(0)).unwrap().len(), 1);
}

#[test]
fn law_whoever_writes_makes_another_version_and_nobody_else() {
    let mut scene = Scene::new();
    let mut other = Record::open(scene.path()).unwrap();
    let mut seen = vec![scene.record.version().unwrap()];
    let mut look = |scene: &Scene, changed: bool, what: &str| {
        let now = scene.record.version().unwrap();
        assert_eq!(*seen.last().unwrap() != now, changed, "{what}");
        // No version comes back, so that what is kept for one is never taken for a later one.
        assert!(!changed || !seen.contains(&now), "{what}");
        seen.push(now);
    };
    look(&scene, false, "nothing");
    let strike = scene.log(shot("two", "none")).unwrap();
    look(&scene, true, "a shot of our own");
    scene.record.sheet(&id("two"), &anna()).unwrap();
    other.sheet(&id("two"), &anna()).unwrap();
    look(&scene, false, "both have read");
    let theirs = other.log(shot("two", "10"), &key("theirs"), at(9)).unwrap();
    look(&scene, true, "a shot of another program");
    other.undo(theirs.seq, &key("back"), at(10)).unwrap();
    look(&scene, true, "its undo");
    scene.undo(strike).unwrap();
    look(&scene, true, "an undo of our own");
    other.rename::<Bowler>("anna", "Anna the elder").unwrap();
    look(&scene, true, "a name, which is no fact");
    scene.record.log(shot("two", "10"), &key("theirs"), at(11)).unwrap();
    look(&scene, false, "a shot logged before");
}

#[test]
fn law_an_undo_sent_twice_undoes_once() {
    let mut scene = Scene::new();
    let strike = scene.log(shot("two", "none")).unwrap();
    scene.record.undo(strike, &key("u"), at(1)).unwrap();
    assert!(scene.record.undo(strike, &key("u"), at(2)).unwrap().again);
    let twice = scene.undo(strike);
    assert!(matches!(twice, Err(Error::Undone { seq }) if seq == strike), "{twice:?}");
    let corrected = scene.correct(strike, shot("two", "10"));
    assert!(matches!(corrected, Err(Error::Undone { .. })), "{corrected:?}");
}

#[test]
fn law_everything_a_bowler_saw_comes_back() {
    let mut scene = Scene::new();
    let seen = Shot {
        ball: Some(id("ben-spare")),
        lane: Some(id("3")),
        arrows: Some(Board(9.3)),
        breakpoint: Some(Board(4.25)),
        hit: Some(Hit::Light),
        felt: Some(Felt::HandLate),
        ..shot("two", "2-10")
    };
    let seq = scene.log(&seen).unwrap();
    let note = Fact::Note { text: "Carrydown\nsince \"frame 3\"".into(), block: Some(id("two")), bowler: None };
    scene.log(&note).unwrap();
    let facts = scene.again().facts(Seq(0)).unwrap();
    assert_eq!(facts.iter().map(|logged| logged.fact.clone()).collect::<Vec<_>>(), [seen.clone().into(), note]);
    assert_eq!((facts[0].seq, facts[0].at), (seq, at(0)));
    let sheet = scene.record.sheet(&id("two"), &anna()).unwrap();
    assert_eq!(sheet.deliveries[0].shot, seen);
    assert_eq!(scene.record.notes().unwrap()[0].text, "Carrydown\nsince \"frame 3\"");
}

#[test]
fn law_pins_that_were_down_cannot_stand() {
    let mut scene = Scene::new();
    scene.log(shot("two", "3-10")).unwrap();
    let misfit = scene.log(shot("two", "7"));
    let text = misfit.as_ref().unwrap_err().to_string();
    assert!(matches!(misfit, Err(Error::DoesNotFit { game: 1, .. })), "{misfit:?}");
    assert!(text.contains("anna in two, game 1") && text.contains("frame 1, ball 2: 7 cannot stand"), "{text}");
    assert_eq!(scene.marks("two"), ["8"]);
    let many = scene.log(Shot::new(&id("two"), &anna(), Roll::Down(3)));
    assert!(matches!(many, Err(Error::DoesNotFit { .. })), "{many:?}");
    let many = scene.log(Shot::new(&id("drill"), &anna(), Roll::Down(11)));
    assert!(matches!(many, Err(Error::OutOfRange { .. })), "{many:?}");
}

#[test]
fn law_there_is_no_eleventh_frame() {
    let mut scene = Scene::new();
    for _ in 0..24 {
        scene.log(shot("two", "none")).unwrap();
    }
    let sheet = scene.record.sheet(&id("two"), &anna()).unwrap();
    assert_eq!((sheet.games.len(), sheet.total()), (2, 600));
    let eleventh = scene.log(shot("two", "none"));
    assert!(matches!(eleventh, Err(Error::BlockComplete { games: 2, .. })), "{eleventh:?}");
    assert!(eleventh.unwrap_err().to_string().contains("no eleventh frame"));
    // Without a number of games the next one begins; each bowler has a sheet of their own.
    for _ in 0..13 {
        scene.log(shot("free", "none")).unwrap();
    }
    assert_eq!(scene.marks("free").len(), 2);
    scene.log(Shot::standing(&id("two"), &id("ben"), "none".parse().unwrap())).unwrap();
}

#[test]
fn truth_a_game_with_a_foul_counts_as_the_rules_say() {
    // The example of the IBF Universal Playing Rules, ch. 2 [P].
    let mut scene = Scene::new();
    let standing = ["none", "none", "none", "4-7-10", "10", "6-10", "none", "F", "7", "none", "5", "none", "9", "9"];
    for standing in standing.into_iter().chain(["none", "none", "2-10"]) {
        let shot = match standing {
            "F" => Shot::foul(&id("two"), &anna()),
            standing => shot("two", standing),
        };
        scene.log(shot).unwrap();
    }
    let sheet = scene.record.sheet(&id("two"), &anna()).unwrap();
    let expected = [30, 57, 76, 85, 95, 104, 124, 143, 152, 180];
    assert_eq!(sheet.games[0].cumulative().map(Option::unwrap), expected);
}

#[test]
fn law_a_correction_keeps_its_place_and_may_not_break_the_sheet() {
    let mut scene = Scene::new();
    let first = scene.log(shot("two", "7-10")).unwrap();
    scene.log(shot("two", "10")).unwrap();
    scene.log(shot("two", "none")).unwrap();
    // The second ball left the 10, so it stood before.
    let broken = scene.correct(first, shot("two", "7"));
    assert!(matches!(broken, Err(Error::DoesNotFit { .. })), "{broken:?}");
    let corrected = scene.correct(first, shot("two", "6-10")).unwrap();
    assert_eq!(scene.marks("two"), ["81 X"]);
    // A correction of the correction is one of the shot.
    scene.correct(corrected, shot("two", "4-6-10")).unwrap();
    assert_eq!(scene.marks("two"), ["72 X"]);
    scene.correct(first, Shot::foul(&id("two"), &anna())).unwrap();
    assert_eq!(scene.marks("two"), ["F9 X"]);
    let kind = scene.correct(first, Fact::Note { text: "no shot".into(), block: None, bowler: None });
    assert!(matches!(kind, Err(Error::CorrectsNothing { .. })), "{kind:?}");
    let nothing = scene.correct(Seq(99), shot("two", "7"));
    assert!(matches!(nothing, Err(Error::NoSuchFact { seq: Seq(99) })), "{nothing:?}");
}

#[test]
fn law_a_shot_logged_for_another_bowler_is_put_right() {
    let mut scene = Scene::new();
    let wrong = scene.log(shot("two", "none")).unwrap();
    let bens = Shot { bowler: id("ben"), ..shot("two", "none") };
    let correction = scene.correct(wrong, bens).unwrap();
    assert_eq!(scene.marks("two"), [""; 0]);
    assert_eq!(scene.record.sheet(&id("two"), &id("ben")).unwrap().games[0].to_string(), "X");
    scene.undo(correction).unwrap();
    assert_eq!(scene.marks("two"), ["X"]);
    assert_eq!(scene.record.sheet(&id("two"), &id("ben")).unwrap().games, []);
}

#[test]
fn law_what_is_undone_is_done_again_by_undoing_the_undo() {
    let mut scene = Scene::new();
    scene.log(shot("two", "none")).unwrap();
    let nine = scene.log(shot("two", "10")).unwrap();
    let spare = scene.log(shot("two", "none")).unwrap();
    // The first ball of a spare alone may go: the second is a strike then.
    let undo = scene.undo(nine).unwrap();
    assert_eq!(scene.marks("two"), ["X X"]);
    scene.undo(undo).unwrap();
    assert_eq!(scene.marks("two"), ["X 9/"]);
    scene.undo(spare).unwrap();
    assert_eq!(scene.marks("two"), ["X 9"]);
}

#[test]
fn law_a_forgotten_shot_goes_where_it_was_thrown() {
    let mut scene = Scene::new();
    let nine = scene.log(shot("two", "10")).unwrap();
    let next = scene.log(shot("two", "none")).unwrap();
    assert_eq!(scene.marks("two"), ["9/"]);
    let forgotten = scene.log(Shot { before: Some(next), ..shot("two", "10") }).unwrap();
    assert_eq!(scene.marks("two"), ["9- X"]);
    scene.correct(forgotten, Shot { felt: Some(Felt::Fast), ..shot("two", "10") }).unwrap();
    assert_eq!(scene.marks("two"), ["9- X"]);
    let inside = scene.log(Shot { before: Some(forgotten), ..shot("two", "10") });
    assert!(matches!(inside, Err(Error::NoPlace { .. })), "{inside:?}");
    let bens = scene.log(Shot { before: Some(nine), bowler: id("ben"), ..shot("two", "10") });
    assert!(matches!(bens, Err(Error::NoPlace { .. })), "{bens:?}");
    let onto_itself = scene.correct(nine, Shot { before: Some(nine), ..shot("two", "10") });
    assert!(matches!(onto_itself, Err(Error::CorrectsNothing { .. })), "{onto_itself:?}");
}

#[test]
fn law_several_facts_are_written_together_or_not_at_all() {
    let mut scene = Scene::new();
    let strike = scene.log(shot("two", "none")).unwrap();
    scene.log(shot("two", "7")).unwrap();
    scene.log(shot("two", "7")).unwrap();
    // It was no strike: one of the two facts alone would leave the sheet wrong.
    let to = Box::new(shot("two", "10").into());
    let facts = [
        (Fact::Correction { of: strike, to }, key("a")),
        (Shot { before: Some(Seq(2)), ..shot("two", "10") }.into(), key("b")),
    ];
    let alone = scene.record.log_all(facts.clone().into_iter().take(1), at(0));
    assert!(matches!(alone, Err(Error::DoesNotFit { .. })), "{alone:?}");
    assert_eq!(scene.record.log_all(facts, at(0)).unwrap().len(), 2);
    assert_eq!(scene.marks("two"), ["9- 9-"]);
    let bad = [(shot("two", "none").into(), key("c")), (shot("nowhere", "none").into(), key("d"))];
    let bad = scene.record.log_all(bad, at(0));
    assert!(matches!(bad, Err(Error::NoSuch { .. })), "{bad:?}");
    assert_eq!(scene.record.receipt(&key("c")).unwrap(), None);
}

#[test]
fn law_order_is_by_number_and_not_by_the_clock() {
    let mut scene = Scene::new();
    for (seconds, standing) in [(500, "10"), (-90_000, "none"), (0, "4-6"), (-1, "6"), (499, "none")] {
        let key = scene.key();
        scene.record.log(shot("two", standing), &key, at(seconds)).unwrap();
    }
    assert_eq!(scene.marks("two"), ["9/ 81 X"]);
    let times: Vec<_> = scene.again().facts(Seq(0)).unwrap().iter().map(|logged| logged.at).collect();
    assert_eq!(times, [at(500), at(-90_000), at(0), at(-1), at(499)]);
}

#[test]
fn law_lanes_of_a_pair_alternate_by_frames() {
    let mut scene = Scene::new();
    let to = |lane: &str, other: Option<&str>| Fact::LaneChange {
        block: id("two"),
        bowler: anna(),
        lane: id(lane),
        other: other.map(id),
    };
    scene.log(to("1", Some("2"))).unwrap();
    for standing in ["10", "none", "none", "7"] {
        scene.log(shot("two", standing)).unwrap();
    }
    // In the middle of frame 3 the bowlers move to another pair.
    scene.log(to("3", Some("4"))).unwrap();
    for standing in ["7", "none", "none"] {
        scene.log(shot("two", standing)).unwrap();
    }
    scene.log(to("2", None)).unwrap();
    for _ in 0..2 {
        scene.log(shot("two", "none")).unwrap();
    }
    scene.log(Shot { lane: Some(id("1")), ..shot("two", "none") }).unwrap();
    scene.log(shot("two", "none")).unwrap();
    let sheet = scene.record.sheet(&id("two"), &anna()).unwrap();
    let lanes: Vec<_> = sheet.deliveries.iter().map(|delivery| delivery.lane.clone().unwrap().to_string()).collect();
    assert_eq!(lanes, ["1", "1", "2", "1", "3", "4", "3", "2", "2", "1", "2"]);
}

#[test]
fn law_nothing_is_counted_in_a_drill() {
    let mut scene = Scene::new();
    for standing in ["10", "7", "1-2-3-4-5-6-7-8-9-10", "none"] {
        scene.log(shot("drill", standing)).unwrap();
    }
    let sheet = scene.record.sheet(&id("drill"), &anna()).unwrap();
    assert!(sheet.games.is_empty() && sheet.deliveries.len() == 4);
    assert!(sheet.deliveries.iter().all(|delivery| delivery.thrown.is_none() && delivery.game == 0));
    scene.log(shot("short", "10")).unwrap();
    scene.log(shot("short", "none")).unwrap();
    assert_eq!(scene.record.sheet(&id("short"), &anna()).unwrap().total(), 19);
}

#[test]
fn law_what_is_not_there_is_told_with_the_nearest_name() {
    let mut scene = Scene::new();
    let why = scene.log(Shot { ball: Some(id("anna-dul")), ..shot("two", "none") }).unwrap_err();
    assert!(matches!(&why, Error::NoSuch { thing: Thing::Ball, nearest: Some(near), .. } if &**near == "anna-dull"));
    assert!(why.to_string().contains("did you mean \"anna-dull\"?"), "{why}");
    for (block, thing) in [("tow", Thing::Block), ("zzz", Thing::Block)] {
        let why = scene.log(shot(block, "none"));
        assert!(matches!(why, Err(Error::NoSuch { thing: found, .. }) if found == thing), "{why:?}");
    }
    let off = scene.log(Shot { arrows: Some(Board(40.0)), ..shot("two", "none") });
    assert!(matches!(off, Err(Error::OffLane { what: "arrows_board", .. })), "{off:?}");
    let nan = scene.log(Shot { breakpoint: Some(Board(f64::NAN)), ..shot("two", "none") });
    assert!(matches!(nan, Err(Error::OffLane { .. })), "{nan:?}");
}

#[test]
fn law_a_name_stands_for_one_thing() {
    let mut scene = Scene::new();
    let lane = Lane { id: id("1"), name: "Lane 1".into() };
    assert!(!scene.record.add(&lane).unwrap());
    let other = scene.record.add(&Lane { name: "Another".into(), ..lane.clone() });
    assert!(matches!(other, Err(Error::Taken { thing: Thing::Lane, .. })), "{other:?}");
    scene.record.rename::<Lane>("1", "Lane one").unwrap();
    assert_eq!(scene.again().get::<Lane>("1").unwrap().name, "Lane one");
    assert!(matches!(scene.record.rename::<Bowler>("ann", "X"), Err(Error::NoSuch { .. })));
    let astray = Block { id: id("x"), event: id("autumn"), name: "X".into(), counting: Counting::Nothing, games: None };
    assert!(matches!(scene.record.add(&astray), Err(Error::NoSuch { thing: Thing::Event, .. })));
    assert_eq!(scene.record.all::<Bowler>().unwrap().len(), 2);
}

#[test]
fn law_a_record_may_be_used_on_another_thread() {
    fn sends<T: Send>() {}
    sends::<Record>();
}
