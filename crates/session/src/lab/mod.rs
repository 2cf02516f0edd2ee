//! The throw lab: one release, on one lane or two, with several balls, answered while a hand drags it.

mod parcel;
mod question;
mod recent;
mod shown;

use std::sync::Arc;

use boardwise_ball::Ball;
use boardwise_lane::{ContactLaw, Release, Runway};
use boardwise_search::{Bowler, Search, Unknowns};
use boardwise_units::Hand;

use super::line::Found;
use super::throw::{self, path};
use super::view::{Form, LabFile, LabRails};
use super::{Failure, Scene, Work};
use boardwise_files::{Fault, KitBag, KitLane, Library, Shelf};
pub use parcel::{pack, unpack};
pub use question::{Asking, Question, target};
use recent::Recent;
pub use shown::{Look, found, lanes, thrown};

/// What is kept ready from one question to the next, by what the files hold: a file that changes is read anew.
#[derive(Debug)]
pub struct Lab {
    lanes: Recent<Vec<u8>, KitLane>,
    bags: Recent<Vec<u8>, KitBag>,
    bowlers: Recent<Vec<u8>, Bowler>,
    runways: Recent<Cut, Runway>,
}

/// What a runway is cut from.
#[derive(Debug, PartialEq)]
struct Cut {
    lane: Vec<u8>,
    hand: Hand,
    ball: Ball,
}

/// A lane of a question with everything that a bowler throws on it.
pub struct Setup {
    /// What it is called: the lane, and who throws where there are two.
    pub name: String,
    /// What is thrown.
    pub release: Release,
    /// Lane, balls and bowler.
    pub scene: Scene,
    /// A runway for each ball.
    runways: Vec<Arc<Runway>>,
}

impl Default for Lab {
    /// Two questions' worth: two lanes, four balls on each.
    fn default() -> Self {
        Self { lanes: Recent::new(4), bags: Recent::new(4), bowlers: Recent::new(4), runways: Recent::new(16) }
    }
}

impl Lab {
    /// The lanes of a question, ready to be thrown on: those of its bowler, then the same of the bowler beside.
    ///
    /// # Errors
    /// A name that is not there, what is wrong with a file, or what nobody can throw.
    pub fn setups(&self, library: &Library, asked: &Question) -> Result<Vec<Setup>, Failure> {
        let theirs = asked.on_these_boards();
        let bowlers =
            std::iter::once((&asked.bowler, asked)).chain(asked.beside.iter().map(|beside| (beside, &theirs)));
        let setup = |(bowler, asked): (&String, &Question), lane: &String| {
            let mut setup = self.setup(library, asked, bowler, lane)?;
            if asked.beside.is_some() {
                // A name must fit a phone's width: the lane is said where it tells two apart.
                setup.name = if asked.lanes.len() > 1 { format!("{bowler}, {lane}") } else { bowler.clone() };
            }
            Ok(setup)
        };
        bowlers.flat_map(|one| asked.lanes.iter().map(move |lane| setup(one, lane))).collect()
    }

    fn setup(&self, library: &Library, asked: &Question, bowler: &str, lane: &str) -> Result<Setup, Fault> {
        let (scene, bytes) = self.scene(library, asked, bowler, lane)?;
        let release = asked.release(&scene.bowler.release)?;
        let cut = |ball: &Ball| {
            let from = Cut { lane: bytes.clone(), hand: scene.bowler.hand, ball: ball.clone() };
            self.runways.get(from, |from| Ok(Runway::new(&scene.lane, &from.ball, &ContactLaw::default())))
        };
        let runways = scene.balls.iter().map(|one| cut(&one.ball)).collect::<Result<_, Fault>>()?;
        Ok(Setup { name: scene.lane_name.clone(), release, scene, runways })
    }

    /// A lane of a question with one of its bowlers, and the lane's file.
    fn scene(&self, library: &Library, asked: &Question, bowler: &str, lane: &str) -> Result<(Scene, Vec<u8>), Fault> {
        let (name, bytes) = library.fetch(Shelf::Bowler, bowler)?;
        let bowler =
            self.bowlers.get(bytes, |bytes| boardwise_files::parse_bowler(&name, bytes).map(|read| read.value))?;
        let (name, bytes) = library.fetch(Shelf::Lane, lane)?;
        let lane =
            self.lanes.get(bytes.clone(), |bytes| boardwise_files::parse_lane(&name, bytes).map(|read| read.value))?;
        let mut balls = Vec::with_capacity(asked.balls.len());
        let mut first = None;
        for one in &asked.balls {
            let (name, bytes) = library.fetch(Shelf::Bag, &one.bag)?;
            let bag = self.bags.get(bytes, |bytes| boardwise_files::parse_bag(&name, bytes).map(|read| read.value))?;
            let missing = || {
                let known = bag.balls().map(|ball| ball.ball.id).collect();
                Fault::Missing { what: "ball", name: one.id.clone(), known }
            };
            balls.push(one.prepared(bag.get(&one.id).ok_or_else(missing)?));
            first.get_or_insert(bag);
        }
        let Some(bag) = first else {
            return Err(Fault::Missing { what: "ball", name: String::new(), known: Vec::new() });
        };
        // The lab is for teaching: lane, covers and bowler are taken as they are drawn.
        let mut scene = Scene::new((*lane).clone(), (*bag).clone(), balls, (*bowler).clone());
        scene.unknowns = Unknowns::NONE;
        Ok((scene, bytes))
    }
}

/// The throws of a question in full, as `boardwise throw` tells them, followed as finely as it does.
///
/// # Errors
/// What nobody can throw.
pub fn file(setups: &[Setup]) -> Result<LabFile, Failure> {
    let lanes = setups.iter().map(|Setup { scene, release, .. }| {
        let followed = scene.balls.iter().map(|one| Ok((one, path(scene, &one.ball, release)?)));
        throw::view(scene, release, &followed.collect::<Result<Vec<_>, Failure>>()?)
    });
    Ok(LabFile { schema: Form, lanes: lanes.collect::<Result<_, _>>()? })
}

/// Lines for one of a question's balls on one of its lanes, by the score of a game.
///
/// # Errors
/// If it is cancelled, or a table built in cannot be read.
pub fn find(scene: &Scene, ball: &Ball, work: Work<'_>) -> Result<Found, Failure> {
    let search = Search::default();
    let mut found = Found::search(scene, ball, boardwise_search::Pocket::default(), &search, work)?;
    found.weigh_spares(scene, &search, work.progress)?;
    Ok(found)
}

/// Places of a lane picture that a hand drags along: boards 1 and 39 at the foul line, at the arrows and at the head pin's row.
fn rails(picture: &boardwise_figures::WideLane<'_>) -> LabRails {
    let at = |feet| {
        [1.0, 39.0].map(|board| {
            let (x, y) = picture.place(boardwise_units::Board(board), boardwise_units::Feet(feet));
            [x, y]
        })
    };
    LabRails { laydown: at(0.0), target: at(super::ARROWS_FT), pins: at(boardwise_units::court::HEAD_PIN_FT) }
}
