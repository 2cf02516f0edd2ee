//! What the throw lab is asked, as it stands in a link: lanes, bowler, balls and how they let go.

use boardwise_ball::Surface;
use boardwise_lane::{LaneError, Release};
use boardwise_units::{Board, Degrees, Feet, Mph, Rpm};

use crate::ARROWS_FT;
use boardwise_files::{Fault, KitBall, Prepared};

/// A question: what a link says.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// One lane, or two to compare.
    pub lanes: Vec<String>,
    /// The bowler.
    pub bowler: String,
    /// Another one beside the first: on the same boards, otherwise as they usually let go.
    pub beside: Option<String>,
    /// The balls; at least one.
    pub balls: Vec<AskedBall>,
    /// Board at the foul line.
    pub laydown: f64,
    /// Board pointed at, at the arrows.
    pub target: f64,
    /// Speed, mph; left out, the bowler's own, as all that follows.
    pub speed: Option<f64>,
    /// Rev rate, rpm.
    pub revs: Option<f64>,
    /// Axis rotation, degrees.
    pub rotation: Option<f64>,
    /// Axis tilt, degrees.
    pub tilt: Option<f64>,
}

/// A ball of a bag, and what is done to its surface.
#[derive(Clone, Debug, PartialEq)]
pub struct AskedBall {
    /// The bag.
    pub bag: String,
    /// The ball in it.
    pub id: String,
    /// Its surface.
    pub surface: AskedSurface,
}

/// A surface asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AskedSurface {
    /// As the bag has it.
    AsItIs,
    /// Sanded with a pad of this grit.
    Sanded(f64),
    /// Polished.
    Polished,
}

/// As many as can be told apart by line.
const MOST_BALLS: usize = 4;
const MOST_LANES: usize = 2;
const GRITS: std::ops::RangeInclusive<f64> = 50.0..=20_000.0;

/// What is wrong with a part of a link.
fn wrong(field: &'static str, value: &str, allowed: impl Into<String>) -> Fault {
    Fault::Field { field, value: value.to_owned(), allowed: allowed.into() }
}

impl Default for Question {
    /// The demo kit's first lane and bowler.
    fn default() -> Self {
        Self {
            lanes: vec!["house-40-walled".to_owned()],
            bowler: "right-straighter".to_owned(),
            beside: None,
            balls: vec![AskedBall {
                bag: "demo".to_owned(),
                id: "strong-solid".to_owned(),
                surface: AskedSurface::AsItIs,
            }],
            laydown: 17.0,
            target: 13.0,
            speed: None,
            revs: None,
            rotation: None,
            tilt: None,
        }
    }
}

/// A question as it is asked: what is left out is as in [`Question::default`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Asking {
    /// Lanes.
    pub lane: Vec<String>,
    /// The bowler.
    pub bowler: Option<String>,
    /// Another one beside the first.
    pub beside: Option<String>,
    /// Balls, each as BAG/SURFACE/BALL.
    pub ball: Vec<String>,
    /// Board at the foul line.
    pub laydown: Option<f64>,
    /// Board pointed at, at the arrows.
    pub target: Option<f64>,
    /// Speed, mph.
    pub speed: Option<f64>,
    /// Rev rate, rpm.
    pub revs: Option<f64>,
    /// Axis rotation, degrees.
    pub rotation: Option<f64>,
    /// Axis tilt, degrees.
    pub tilt: Option<f64>,
}

impl Asking {
    /// The question.
    ///
    /// # Errors
    /// A part that cannot be.
    pub fn question(self) -> Result<Question, Fault> {
        let numbers = [
            ("laydown", self.laydown),
            ("target", self.target),
            ("speed", self.speed),
            ("revs", self.revs),
            ("rotation", self.rotation),
            ("tilt", self.tilt),
        ];
        if let Some((field, Some(number))) =
            numbers.into_iter().find(|(_, one)| one.is_some_and(|one| !one.is_finite()))
        {
            return Err(wrong(field, &number.to_string(), "must be a number"));
        }
        let count = |key: &'static str, count: usize, most| match count {
            _ if count <= most => Ok(()),
            _ => Err(wrong(key, &count.to_string(), format!("at most {most} of them"))),
        };
        count("ball", self.ball.len(), MOST_BALLS)?;
        count("lane", self.lane.len(), MOST_LANES)?;
        let balls = self.ball.iter().map(|text| AskedBall::read(text)).collect::<Result<Vec<_>, _>>()?;
        let usual = Question::default();
        Ok(Question {
            lanes: if self.lane.is_empty() { usual.lanes } else { self.lane },
            bowler: self.bowler.unwrap_or(usual.bowler),
            beside: self.beside.filter(|beside| !beside.is_empty()),
            balls: if balls.is_empty() { usual.balls } else { balls },
            laydown: self.laydown.unwrap_or(usual.laydown),
            target: self.target.unwrap_or(usual.target),
            speed: self.speed,
            revs: self.revs,
            rotation: self.rotation,
            tilt: self.tilt,
        })
    }
}

impl Question {
    /// As the parts of a link, with nothing left to the bowler's own.
    pub fn parts(&self, release: &Release) -> Vec<(&'static str, String)> {
        let mut parts: Vec<(&str, String)> = self.lanes.iter().map(|lane| ("lane", lane.clone())).collect();
        parts.push(("bowler", self.bowler.clone()));
        parts.extend(self.beside.iter().map(|beside| ("beside", beside.clone())));
        parts.extend(self.balls.iter().map(|ball| ("ball", ball.written())));
        parts.extend([
            ("laydown", self.laydown.to_string()),
            ("target", self.target.to_string()),
            ("speed", release.speed.0.to_string()),
            ("revs", release.rev_rate.0.to_string()),
            ("rotation", release.rotation.0.to_string()),
            ("tilt", release.tilt.0.to_string()),
        ]);
        parts
    }

    /// The same boards, and all else left to the bowler's own: what the bowler beside is asked.
    pub(super) fn on_these_boards(&self) -> Self {
        Self { speed: None, revs: None, rotation: None, tilt: None, ..self.clone() }
    }

    /// The release meant, of a bowler who usually lets go like this.
    ///
    /// # Errors
    /// What nobody can throw.
    pub fn release(&self, usual: &Release) -> Result<Release, Fault> {
        let release = Release {
            laydown: Board(self.laydown),
            speed: self.speed.map_or(usual.speed, Mph),
            rev_rate: self.revs.map_or(usual.rev_rate, Rpm),
            rotation: self.rotation.map_or(usual.rotation, Degrees),
            tilt: self.tilt.map_or(usual.tilt, Degrees),
            ..*usual
        };
        if !Board(self.target).on_lane() {
            return Err(wrong("target", &self.target.to_string(), "must be 0.5 to 39.5, a board of the lane"));
        }
        let release = release.aimed_at(Board(self.target), Feet(ARROWS_FT));
        release.check().map_err(|error| unthrowable(&error))?;
        Ok(release)
    }
}

/// A release's error in terms of a link.
fn unthrowable(error: &LaneError) -> Fault {
    let LaneError::Range { key, value, low, high } = error else {
        return wrong("throw", "", error.to_string());
    };
    let (key, unit) = match *key {
        "laydown" => ("laydown", "boards"),
        "speed_mph" => ("speed", "mph"),
        "rev_rate_rpm" => ("revs", "rpm"),
        "rotation_deg" => ("rotation", "degrees"),
        "tilt_deg" => ("tilt", "degrees"),
        other => (other, ""),
    };
    wrong(key, &((value * 1e4).round() / 1e4).to_string(), format!("must be {low} to {high} {unit}"))
}

/// The board pointed at, at the arrows, of a release.
pub fn target(release: &Release) -> Board {
    let across_m = release.launch.to_radians().tan() * Feet(ARROWS_FT).to_metres();
    Board::from_metres(release.laydown.to_metres() + across_m)
}

impl AskedBall {
    /// Bag, surface and ball, with a stroke between: only the last can hold one itself.
    fn read(text: &str) -> Result<Self, Fault> {
        let allowed = "must be BAG/SURFACE/BALL, the surface \"as-it-is\", a grit of 50 to 20000, or \"polished\"";
        let mut parts = text.splitn(3, '/');
        let (Some(bag), Some(surface), Some(id)) = (parts.next(), parts.next(), parts.next()) else {
            return Err(wrong("ball", text, allowed));
        };
        let surface = match surface {
            "as-it-is" => AskedSurface::AsItIs,
            "polished" => AskedSurface::Polished,
            grit => match grit.parse::<f64>() {
                Ok(grit) if GRITS.contains(&grit) => AskedSurface::Sanded(grit),
                _ => return Err(wrong("ball", text, allowed)),
            },
        };
        Ok(Self { bag: bag.to_owned(), id: id.to_owned(), surface })
    }

    fn written(&self) -> String {
        let surface = match self.surface {
            AskedSurface::AsItIs => "as-it-is".to_owned(),
            AskedSurface::Sanded(grit) => grit.to_string(),
            AskedSurface::Polished => "polished".to_owned(),
        };
        format!("{}/{surface}/{}", self.bag, self.id)
    }

    /// The ball of the bag with this surface.
    pub fn prepared(&self, of_bag: KitBall) -> KitBall {
        let (surface, prepared, finish) = match self.surface {
            AskedSurface::AsItIs => return of_bag,
            AskedSurface::Sanded(grit) => (Surface::sanded(grit), Prepared::Grit(grit), format!("sanded at {grit:.0}")),
            AskedSurface::Polished => (Surface::polished(), Prepared::Polished, "polished".to_owned()),
        };
        KitBall { ball: of_bag.ball.resurfaced(surface), finish: Some(finish), prepared, games: 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts<const N: usize>(all: [&str; N]) -> Vec<String> {
        all.map(str::to_owned).to_vec()
    }

    #[test]
    fn law_a_link_says_the_question_and_comes_back() {
        let asking = Asking {
            lane: texts(["a", "b"]),
            bowler: Some("c".to_owned()),
            beside: Some("d".to_owned()),
            ball: texts(["demo/500/x/y", "demo/as-it-is/x"]),
            laydown: Some(20.5),
            target: Some(11.2),
            speed: Some(17.0),
            ..Asking::default()
        };
        let asked = asking.question().unwrap();
        assert_eq!(asked.lanes, ["a", "b"]);
        assert_eq!(asked.balls[0].id, "x/y");
        let release = asked.release(&Release::default()).unwrap();
        assert!((target(&release).0 - 11.2).abs() < 1e-9);
        let parts = asked.parts(&release);
        let all =
            |key: &str| parts.iter().filter(|(of, _)| *of == key).map(|(_, text)| text.clone()).collect::<Vec<_>>();
        let number = |key: &str| all(key)[0].parse().ok();
        let again = Asking {
            lane: all("lane"),
            bowler: all("bowler").pop(),
            beside: all("beside").pop(),
            ball: all("ball"),
            laydown: number("laydown"),
            target: number("target"),
            speed: number("speed"),
            revs: number("revs"),
            rotation: number("rotation"),
            tilt: number("tilt"),
        };
        let again = again.question().unwrap();
        assert_eq!(again.release(&Release { tilt: Degrees(3.0), ..Release::default() }).unwrap(), release);
        assert_eq!((again.lanes, again.beside, again.balls), (asked.lanes, asked.beside, asked.balls));
    }

    #[test]
    fn law_what_cannot_be_is_refused_by_name() {
        let usual = Asking::default;
        for (asking, key) in [
            (Asking { speed: Some(f64::NAN), ..usual() }, "speed"),
            (Asking { speed: Some(90.0), ..usual() }, "speed"),
            (Asking { laydown: Some(44.0), ..usual() }, "laydown"),
            (Asking { target: Some(0.0), ..usual() }, "target"),
            (Asking { ball: texts(["demo"]), ..usual() }, "ball"),
            (Asking { ball: texts(["demo/7/x"]), ..usual() }, "ball"),
            (Asking { ball: texts(["a/polished/x"; 5]), ..usual() }, "ball"),
            (Asking { lane: texts(["a"; 3]), ..usual() }, "lane"),
        ] {
            let words = format!("{asking:?}");
            let refused = asking.question().and_then(|asked| asked.release(&Release::default()));
            let said = refused.unwrap_err().to_string();
            assert!(said.contains(key), "{words}: {said}");
        }
    }
}
