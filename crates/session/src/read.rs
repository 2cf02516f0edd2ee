//! A lane read: its oil by board and distance, the numbers bowlers compare patterns by, and its picture.

use boardwise_figures::{Drawing, LanePicture, Theme, film_by_board};
use boardwise_lane::{Coat, Film, Ground, Lane};
use boardwise_units::{Board, Feet, Hand};

use super::rows::Rows;
use super::view::{FilmTable, Form, FrictionTable, LookRails, ReadAnswer};
use super::{Scene, gutter};
use boardwise_files::{Gutter, KitLane};

/// A lane as a bowler of one hand sees it.
#[derive(Clone, Debug)]
pub struct Reading {
    /// Its name.
    pub name: String,
    lane: Lane,
    hand: Hand,
    /// Whether the lane's file counts boards from the other gutter than this hand's.
    counts_from_other: bool,
}

impl Reading {
    /// The lane of a question.
    pub fn of(scene: &Scene) -> Self {
        let (name, lane, hand) = (scene.lane_name.clone(), scene.lane.clone(), scene.bowler.hand);
        Self { name, lane, hand, counts_from_other: false }
    }

    /// A lane by itself, for a bowler of this hand.
    pub fn seen(lane: &KitLane, hand: Hand) -> Self {
        let counts_from_other = (lane.boards_from == Gutter::Left) != (hand == Hand::Left);
        Self { name: lane.name.clone(), lane: lane.seen_by(hand), hand, counts_from_other }
    }

    /// The gutter that boards count from.
    pub fn side(&self) -> &'static str {
        gutter(self.hand)
    }

    /// The oil, where the lane is known by it.
    pub fn film(&self) -> Option<&Film> {
        self.lane.film()
    }

    /// Distances worth looking at: every five feet, up to the pattern's end.
    fn distances(&self) -> Vec<f64> {
        let end = self.lane.pattern_end().map_or(60.0, |end| end.0);
        let mut feet = vec![1.0];
        feet.extend((1..=12).map(|k| 5.0 * f64::from(k)).filter(|&f| f < end));
        if feet.last().is_none_or(|&last| end - last > 1.5) {
            feet.push((end - 0.5).max(0.0));
        }
        feet
    }

    /// The film by board at these distances; a lane known by its friction is drawn from above.
    pub fn picture(&self, theme: Theme) -> Drawing {
        match self.film() {
            Some(film) => film_by_board(film, self.hand, &self.distances(), &self.name, theme),
            None => self.above(theme),
        }
    }

    /// The lane from above.
    pub fn above(&self, theme: Theme) -> Drawing {
        self.lane_picture().draw(theme)
    }

    fn lane_picture(&self) -> LanePicture<'_> {
        let (lane, hand, title) = (&self.lane, self.hand, self.name.as_str());
        LanePicture { lane, hand, title, traces: &[], band: None, window: None, standing: None }
    }

    /// Where in the picture from above boards 1 and 39 lie, as the lane's file counts them, and 0 and 60 ft.
    pub fn rails(&self) -> LookRails {
        let picture = self.lane_picture();
        let boards = if self.counts_from_other { [39.0, 1.0] } else { [1.0, 39.0] };
        let feet = [0.0, 60.0].map(|feet| picture.place(Board(20.0), Feet(feet)).1);
        LookRails { boards: boards.map(|board| picture.place(Board(board), Feet(0.0)).0), feet }
    }

    /// The answer as a view.
    pub fn view(&self) -> ReadAnswer {
        let feet: Vec<f64> = (0..=60).map(f64::from).collect();
        let film = self.film();
        let units = |film: &Film| {
            let units = feet.iter().map(|&f| film.boards_at(Feet(f)).iter().map(|u| u.0).collect());
            FilmTable { feet: feet.clone(), units: units.collect() }
        };
        let friction = film.is_none().then(|| {
            let mu = feet.iter().map(|&f| self.friction(f).to_vec()).collect();
            FrictionTable { feet: feet.clone(), mu }
        });
        ReadAnswer {
            schema: Form,
            lane: self.name.clone(),
            boards_from: self.hand.into(),
            length_ft: film.map(|film| film.length.0),
            volume_ml: film.map(|film| film.volume().0 / 1000.0),
            ratio: film.and_then(Film::ratio),
            exit_board: film.map(|film| film.rule_of_31().0),
            film: film.map(units),
            friction,
        }
    }

    /// Friction by board on a lane that is known by it.
    fn friction(&self, feet: f64) -> [f64; 39] {
        std::array::from_fn(|k| match self.lane.coat(Board((k + 1) as f64).to_metres(), Feet(feet).to_metres()) {
            Coat::Friction(mu) => mu,
            Coat::Oil(_) => f64::NAN,
        })
    }

    /// Oil, or friction, by board at the distances worth looking at.
    pub fn rows(&self) -> Rows {
        let distances = self.distances();
        let mut table = Rows::under(["board"], 0);
        table.head.extend(distances.iter().map(|f| format!("{f}")));
        let columns: Vec<[String; 39]> = distances
            .iter()
            .map(|&f| match self.film() {
                Some(film) => film.boards_at(Feet(f)).map(|u| format!("{:.1}", u.0)),
                None => self.friction(f).map(|mu| format!("{mu:.3}")),
            })
            .collect();
        for board in 0..39 {
            let mut row = vec![(board + 1).to_string()];
            row.extend(columns.iter().map(|column| column[board].clone()));
            table.cells.push(row);
        }
        table
    }
}
