//! Whatever is logged, undone and corrected, in any order: the sheets are those of a plain list kept beside the record,
//! and they are the same from a fresh opening and after export and import.

use crate::scene::{Scene, anna, at, csv, empty, id, json, key};
use boardwise_record::{Error, Fact, Record, Seq, Shot};
use boardwise_score::{Game, PinSet, Roll, Scoring};
use proptest::prelude::*;

/// Something a bowler does at the phone.
#[derive(Clone, Debug)]
enum Tap {
    /// A ball after which these of the pins that stood still stand.
    Shot { pins: u16, spare_ball: bool },
    /// A ball over the foul line.
    Foul,
    /// Another ball in the hand.
    Ball { spare: bool },
    /// Takes the fact back that is this far along the log.
    Undo { of: prop::sample::Index },
    /// Says what an earlier fact should have been.
    Correct { of: prop::sample::Index, pins: u16 },
    /// Puts a forgotten ball before an earlier fact.
    Forgotten { before: prop::sample::Index, pins: u16 },
}

fn tap() -> impl Strategy<Value = Tap> {
    let pins = || prop_oneof![3 => Just(0), 2 => (0_u16..10).prop_map(|pin| 1 << pin), 1 => 0_u16..1024];
    let of = any::<prop::sample::Index>;
    prop_oneof![
        8 => (pins(), any::<bool>()).prop_map(|(pins, spare_ball)| Tap::Shot { pins, spare_ball }),
        1 => Just(Tap::Foul),
        1 => any::<bool>().prop_map(|spare| Tap::Ball { spare }),
        3 => of().prop_map(|of| Tap::Undo { of }),
        3 => (of(), pins()).prop_map(|(of, pins)| Tap::Correct { of, pins }),
        1 => (of(), pins()).prop_map(|(before, pins)| Tap::Forgotten { before, pins }),
    ]
}

/// What was logged, kept in the plainest way there is.
#[derive(Clone, Debug)]
enum Kept {
    Shot { roll: Roll, spare_ball: bool, before: Option<usize> },
    Ball { spare: bool },
    Correction { of: usize, to: Box<Kept> },
    Undo { of: usize },
}

/// The list beside the record, with an opinion of its own on what may be added.
#[derive(Clone, Debug, Default)]
struct List(Vec<Kept>);

impl List {
    fn is_undone(&self, index: usize) -> bool {
        // Asked anew for each fact, from the definition: taken back by an undo that is not taken back.
        (index + 1..self.0.len())
            .any(|later| matches!(self.0[later], Kept::Undo { of } if of == index) && !self.is_undone(later))
    }

    fn root(&self, index: usize) -> usize {
        match self.0[index] {
            Kept::Correction { of, .. } | Kept::Undo { of } => self.root(of),
            _ => index,
        }
    }

    /// The rolls and balls in the order in which they were thrown.
    fn thrown(&self) -> Vec<(Roll, Option<bool>)> {
        let mut standing: Vec<(usize, usize, Kept)> = Vec::new();
        for index in 0..self.0.len() {
            if matches!(self.0[index], Kept::Undo { .. } | Kept::Correction { .. }) || self.is_undone(index) {
                continue;
            }
            let mut corrections = (index + 1..self.0.len()).rev().filter(|&later| !self.is_undone(later));
            let kept = corrections
                .find_map(|later| match &self.0[later] {
                    Kept::Correction { of, to } if self.root(*of) == index => Some((**to).clone()),
                    _ => None,
                })
                .unwrap_or_else(|| self.0[index].clone());
            // A correction says what fell; where the ball was put, it stays.
            let before = match &self.0[index] {
                Kept::Shot { before, .. } => *before,
                _ => None,
            };
            let place = match before {
                Some(before) => 2 * before,
                None => 2 * index + 1,
            };
            standing.push((place, index, kept));
        }
        standing.sort_by_key(|&(place, index, _)| (place, index));
        let mut hand = None;
        let mut thrown = Vec::new();
        for (_, _, kept) in standing {
            match kept {
                Kept::Ball { spare } => hand = Some(spare),
                Kept::Shot { roll, spare_ball, .. } => thrown.push((roll, if spare_ball { Some(true) } else { hand })),
                Kept::Correction { .. } | Kept::Undo { .. } => {}
            }
        }
        thrown
    }

    /// The games, or nothing if they do not add up.
    fn games(&self) -> Option<Vec<Game>> {
        let mut games: Vec<Game> = Vec::new();
        for (roll, _) in self.thrown() {
            if games.last().is_none_or(Game::is_complete) {
                games.push(Game::new(Scoring::Traditional));
            }
            games.last_mut()?.push(roll).ok()?;
        }
        Some(games)
    }

    /// Adds what may be added; says whether it did.
    fn add(&mut self, kept: Kept) -> bool {
        let may = match &kept {
            Kept::Undo { of } => !self.is_undone(*of),
            Kept::Correction { of, to } => {
                let root = self.root(*of);
                let same = matches!(
                    (&self.0[root], &**to),
                    (Kept::Shot { .. }, Kept::Shot { .. }) | (Kept::Ball { .. }, Kept::Ball { .. })
                );
                same && !self.is_undone(root)
            }
            Kept::Shot { before: Some(before), .. } => matches!(self.0[*before], Kept::Shot { before: None, .. }),
            _ => true,
        };
        if !may {
            return false;
        }
        self.0.push(kept);
        let adds_up = self.games().is_some();
        if !adds_up {
            self.0.pop();
        }
        adds_up
    }
}

fn fact(kept: &Kept) -> Fact {
    let seq = |index: usize| Seq(i64::try_from(index).unwrap() + 1);
    match kept {
        Kept::Shot { roll, spare_ball, before } => Fact::Shot(Shot {
            ball: spare_ball.then(|| id("anna-spare")),
            before: before.map(seq),
            ..Shot::new(&id("free"), &anna(), *roll)
        }),
        Kept::Ball { spare } => {
            Fact::BallChange { bowler: anna(), ball: id(if *spare { "anna-spare" } else { "anna-dull" }) }
        }
        Kept::Correction { of, to } => Fact::Correction { of: seq(*of), to: Box::new(fact(to)) },
        Kept::Undo { of } => Fact::Undo { of: seq(*of) },
    }
}

fn standing(pins: u16) -> Roll {
    Roll::Standing(PinSet::from_bits(pins).unwrap())
}

/// What a tap would add to the list.
fn kept(tap: &Tap, list: &List) -> Option<Kept> {
    let many = list.0.len();
    let plain = |pins| Kept::Shot { roll: standing(pins), spare_ball: false, before: None };
    Some(match tap {
        Tap::Shot { pins, spare_ball } => {
            // Most balls are possible ones: of the pins that stood.
            let games = list.games()?;
            let before = match games.last().and_then(Game::deck) {
                Some(boardwise_score::Deck::Pins(before)) => before.bits(),
                _ => 1023,
            };
            Kept::Shot { roll: standing(pins & before), spare_ball: *spare_ball, before: None }
        }
        Tap::Foul => Kept::Shot { roll: Roll::Foul, spare_ball: false, before: None },
        Tap::Ball { spare } => Kept::Ball { spare: *spare },
        Tap::Undo { .. } | Tap::Correct { .. } | Tap::Forgotten { .. } if many == 0 => return None,
        Tap::Undo { of } => Kept::Undo { of: of.index(many) },
        Tap::Correct { of, pins } => {
            let of = of.index(many);
            let to = match list.0[list.root(of)] {
                Kept::Ball { spare } => Kept::Ball { spare: !spare },
                _ => plain(*pins),
            };
            Kept::Correction { of, to: Box::new(to) }
        }
        Tap::Forgotten { before, pins } => {
            Kept::Shot { roll: standing(*pins), spare_ball: false, before: Some(before.index(many)) }
        }
    })
}

fn agrees(record: &Record, list: &List) {
    let sheet = record.sheet(&id("free"), &anna()).unwrap();
    assert_eq!(Some(&sheet.games), list.games().as_ref());
    let thrown = list.thrown();
    assert_eq!(sheet.deliveries.len(), thrown.len());
    for (delivery, (roll, spare)) in sheet.deliveries.iter().zip(thrown) {
        let ball = spare.map(|spare| id(if spare { "anna-spare" } else { "anna-dull" }));
        assert_eq!((delivery.shot.roll, &delivery.ball), (roll, &ball));
    }
}

/// Few cases unless more are asked for with `PROPTEST_CASES`: each waits for the disk at every fact.
fn few() -> ProptestConfig {
    let config = ProptestConfig::default();
    let cases = if std::env::var_os("PROPTEST_CASES").is_some() { config.cases } else { 30 };
    ProptestConfig { cases, ..config }
}

proptest! {
    #![proptest_config(few())]

    #[test]
    fn law_any_history_reads_the_same_from_everywhere(taps in prop::collection::vec(tap(), 1..60)) {
        let mut scene = Scene::new();
        let mut list = List::default();
        for tap in &taps {
            let Some(kept) = kept(tap, &list) else { continue };
            let logged = scene.log(fact(&kept));
            let could = list.add(kept);
            prop_assert_eq!(logged.is_ok(), could, "{:?}: {:?}", tap, logged);
            if let Ok(seq) = logged {
                prop_assert_eq!(seq, Seq(i64::try_from(list.0.len()).unwrap()));
            }
        }
        agrees(&scene.record, &list);
        agrees(&scene.again(), &list);
        let exported = json(&scene.record);
        let mut copy = empty(scene.folder.path(), "copy.record");
        let imported = copy.import_json(&exported).unwrap();
        prop_assert_eq!(imported.added, list.0.len());
        prop_assert_eq!(json(&copy), exported);
        agrees(&copy, &list);
        copy.check().unwrap();
        // Once more brings nothing.
        prop_assert_eq!(copy.import_json(&json(&scene.record)).unwrap().added, 0);
        // The shots alone make the same games.
        let mut shots = empty(scene.folder.path(), "shots.record");
        crate::scene::people(&mut shots);
        shots.import_csv(csv(&scene.record).as_bytes(), &key("shots"), at(0)).unwrap();
        let (games, there) = (list.games().unwrap(), shots.sheet(&id("free"), &anna()).unwrap());
        prop_assert_eq!(there.games, games);
        prop_assert_eq!(csv(&shots), csv(&scene.record));
    }

    #[test]
    fn law_no_text_makes_an_import_panic(text in ".{0,200}", rows in "(key|at|block|bowler|standing|down|foul|,|\n|\r|\"|two|anna|10|-)*") {
        let mut scene = Scene::new();
        let _ = scene.record.import_json(&text);
        let _ = scene.record.import_csv(text.as_bytes(), &key("b"), at(0));
        let _: Result<_, Error> = scene.record.import_csv(rows.as_bytes(), &key("b"), at(0));
        scene.record.check().unwrap();
    }
}
