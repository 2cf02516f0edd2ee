//! Lanes, bags, balls and bowlers: read from the files that people write, or from the demo kit built in.

use boardwise_files::search::ball::CoverKind;
use boardwise_files::search::lane;
use boardwise_files::search::{self, Unknowns};
use boardwise_files::units::{Feet, Hand, Pounds};
use boardwise_files::{
    BAGS, BOWLERS, Entry, KitBag, KitBall, KitLane, LANES, Loaded, nearest, parse_bag, parse_bowler, parse_lane, read,
};
use numpy::{IntoPyArray, PyArray1, PyArray2, PyArrayMethods};
use pyo3::exceptions::{PyKeyError, PyUserWarning};
use pyo3::prelude::*;
use std::ffi::CString;

use crate::refused;

/// The file of the demo kit with this id; without one, the kit's first.
fn demo(kit: &[Entry], what: &str, id: Option<&str>) -> PyResult<Entry> {
    let Some(id) = id else { return Ok(kit[0]) };
    kit.iter().copied().find(|entry| entry.id == id).ok_or_else(|| {
        let near = nearest(id, kit.iter().map(|entry| entry.id));
        let near = near.map_or(String::new(), |near| format!("did you mean \"{near}\"? "));
        let all: Vec<&str> = kit.iter().map(|entry| entry.id).collect();
        refused(format!("no {what} \"{id}\" in the demo kit: {near}there are {}", all.join(", ")))
    })
}

/// The value, with each warning of its file given as a Python warning.
fn warned<T>(py: Python<'_>, loaded: Loaded<T>) -> PyResult<T> {
    for warning in loaded.warnings {
        PyErr::warn(py, &py.get_type::<PyUserWarning>(), &CString::new(warning)?, 1)?;
    }
    Ok(loaded.value)
}

/// A lane and the oil on it.
#[pyclass(frozen, module = "boardwise")]
pub struct Lane(KitLane);

impl Lane {
    /// As a bowler of this hand sees it.
    pub fn seen_by(&self, hand: Hand) -> lane::Lane {
        self.0.seen_by(hand)
    }

    /// What is not known of these lanes.
    pub fn unknowns(lanes: &[&Self]) -> Unknowns {
        let usual = Unknowns::default();
        if lanes.iter().all(|lane| lane.0.known) { usual.with_known_lanes() } else { usual }
    }
}

#[pymethods]
impl Lane {
    /// A lane of the demo kit, by its id; without one, the first.
    #[staticmethod]
    #[pyo3(signature = (id=None))]
    fn demo(py: Python<'_>, id: Option<&str>) -> PyResult<Self> {
        let entry = demo(&LANES, "lane", id)?;
        Self::parse(py, entry.text, entry.path)
    }

    /// Ids of the lanes of the demo kit.
    #[staticmethod]
    fn demo_ids() -> Vec<&'static str> {
        LANES.iter().map(|entry| entry.id).collect()
    }

    /// Reads a lane file.
    #[staticmethod]
    fn read(py: Python<'_>, path: &str) -> PyResult<Self> {
        let bytes = read(path).map_err(refused)?;
        Ok(Self(warned(py, parse_lane(path, &bytes).map_err(refused)?)?))
    }

    /// A lane from the text of a lane file. `name` is what messages call it.
    #[staticmethod]
    #[pyo3(signature = (text, name="<text>"))]
    fn parse(py: Python<'_>, text: &str, name: &str) -> PyResult<Self> {
        Ok(Self(warned(py, parse_lane(name, text.as_bytes()).map_err(refused)?)?))
    }

    /// What to call it.
    #[getter]
    fn name(&self) -> &str {
        &self.0.name
    }

    /// Whether it is taken to be just as the file says.
    #[getter]
    fn known(&self) -> bool {
        self.0.known
    }

    /// Where the oil ends, feet; `None` if friction is given directly.
    #[getter]
    fn pattern_end_ft(&self) -> Option<f64> {
        self.seen_by(Hand::Right).pattern_end().map(|end| end.0)
    }

    /// Volume of the oil, millilitres; `None` without a film.
    #[getter]
    fn volume_ml(&self) -> Option<f64> {
        self.seen_by(Hand::Right).film().map(|film| film.volume().0 / 1000.0)
    }

    /// The oil film: distances in feet, and one row of 39 boards for each, in oil units. Boards count from the right gutter.
    #[pyo3(signature = (step_ft=1.0))]
    #[allow(clippy::type_complexity)]
    fn film<'py>(
        &self,
        py: Python<'py>,
        step_ft: f64,
    ) -> PyResult<Option<(Bound<'py, PyArray1<f64>>, Bound<'py, PyArray2<f64>>)>> {
        if !(0.1..=60.0).contains(&step_ft) {
            return Err(refused(format!("step_ft = {step_ft}: must be 0.1 to 60")));
        }
        let lane = self.seen_by(Hand::Right);
        let (Some(film), Some(end)) = (lane.film(), lane.pattern_end()) else { return Ok(None) };
        let steps = (end.0 / step_ft).ceil() as u32;
        let mut feet: Vec<f64> = (0..steps).map(|step| f64::from(step) * step_ft).collect();
        feet.push(end.0);
        let rows = feet.iter().flat_map(|feet| film.boards_at(Feet(*feet))).map(|units| units.0);
        let rows: Vec<f64> = rows.collect();
        let boards = rows.len() / feet.len();
        let film = rows.into_pyarray(py).reshape([feet.len(), boards])?;
        Ok(Some((feet.into_pyarray(py), film)))
    }

    fn __repr__(&self) -> String {
        format!("Lane({:?})", self.0.name)
    }
}

/// A bag: balls by their ids, in the order of the file.
#[pyclass(frozen, module = "boardwise")]
pub struct Bag(KitBag);

#[pymethods]
impl Bag {
    /// The bag of the demo kit.
    #[staticmethod]
    fn demo(py: Python<'_>) -> PyResult<Self> {
        Self::parse(py, BAGS[0].text, BAGS[0].path)
    }

    /// Reads a bag file.
    #[staticmethod]
    fn read(py: Python<'_>, path: &str) -> PyResult<Self> {
        let bytes = read(path).map_err(refused)?;
        Ok(Self(warned(py, parse_bag(path, &bytes).map_err(refused)?)?))
    }

    /// A bag from the text of a bag file. `name` is what messages call it.
    #[staticmethod]
    #[pyo3(signature = (text, name="<text>"))]
    fn parse(py: Python<'_>, text: &str, name: &str) -> PyResult<Self> {
        Ok(Self(warned(py, parse_bag(name, text.as_bytes()).map_err(refused)?)?))
    }

    /// Ids of the balls.
    #[getter]
    fn ids(&self) -> Vec<String> {
        self.0.balls().map(|one| one.ball.id).collect()
    }

    /// The balls.
    #[getter]
    pub fn balls(&self) -> Vec<Ball> {
        self.0.balls().map(Ball).collect()
    }

    fn __getitem__(&self, id: &str) -> PyResult<Ball> {
        self.0.get(id).map(Ball).ok_or_else(|| {
            PyKeyError::new_err(format!("no ball \"{id}\" in this bag: there are {}", self.ids().join(", ")))
        })
    }

    fn __len__(&self) -> usize {
        self.0.balls().count()
    }

    fn __repr__(&self) -> String {
        format!("Bag({})", self.ids().join(", "))
    }
}

/// A ball, with its surface as it is now.
#[pyclass(frozen, module = "boardwise")]
pub struct Ball(KitBall);

impl Ball {
    /// As the engines take it.
    pub fn body(&self) -> &search::ball::Ball {
        &self.0.ball
    }
}

#[pymethods]
impl Ball {
    /// Short name.
    #[getter]
    fn id(&self) -> &str {
        &self.0.ball.id
    }

    /// Weight, pounds.
    #[getter]
    fn weight_lb(&self) -> f64 {
        Pounds::from_kilograms(self.0.ball.mass_kg).0
    }

    /// Kind of cover: "reactive", "urethane" or "plastic".
    #[getter]
    fn cover(&self) -> &'static str {
        match self.0.ball.cover.kind {
            CoverKind::Reactive => "reactive",
            CoverKind::Urethane => "urethane",
            CoverKind::Plastic => "plastic",
        }
    }

    /// Roughness of the surface as it is now, micrometres.
    #[getter]
    fn surface_ra_um(&self) -> f64 {
        self.0.ball.surface.ra_m * 1e6
    }

    fn __repr__(&self) -> String {
        format!("Ball({:?})", self.0.ball.id)
    }
}

/// A bowler: the usual release, how it strays, and what can be changed on purpose.
#[pyclass(frozen, module = "boardwise")]
pub struct Bowler(pub search::Bowler);

#[pymethods]
impl Bowler {
    /// A bowler of the demo kit, by id; without one, the first.
    #[staticmethod]
    #[pyo3(signature = (id=None))]
    fn demo(py: Python<'_>, id: Option<&str>) -> PyResult<Self> {
        let entry = demo(&BOWLERS, "bowler", id)?;
        Self::parse(py, entry.text, entry.path)
    }

    /// Ids of the bowlers of the demo kit.
    #[staticmethod]
    fn demo_ids() -> Vec<&'static str> {
        BOWLERS.iter().map(|entry| entry.id).collect()
    }

    /// Reads a bowler file.
    #[staticmethod]
    fn read(py: Python<'_>, path: &str) -> PyResult<Self> {
        let bytes = read(path).map_err(refused)?;
        Ok(Self(warned(py, parse_bowler(path, &bytes).map_err(refused)?)?))
    }

    /// A bowler from the text of a bowler file. `name` is what messages call it.
    #[staticmethod]
    #[pyo3(signature = (text, name="<text>"))]
    fn parse(py: Python<'_>, text: &str, name: &str) -> PyResult<Self> {
        Ok(Self(warned(py, parse_bowler(name, text.as_bytes()).map_err(refused)?)?))
    }

    /// What to call them.
    #[getter]
    fn name(&self) -> &str {
        &self.0.name
    }

    /// The hand that bowls: "right" or "left". Boards count from the gutter on its side.
    #[getter]
    fn hand(&self) -> &'static str {
        match self.0.hand {
            Hand::Right => "right",
            Hand::Left => "left",
        }
    }

    /// Usual speed at release, miles per hour.
    #[getter]
    fn speed_mph(&self) -> f64 {
        self.0.release.speed.0
    }

    /// Usual rev rate.
    #[getter]
    fn rev_rate_rpm(&self) -> f64 {
        self.0.release.rev_rate.0
    }

    /// Usual axis rotation.
    #[getter]
    fn rotation_deg(&self) -> f64 {
        self.0.release.rotation.0
    }

    /// Usual axis tilt.
    #[getter]
    fn tilt_deg(&self) -> f64 {
        self.0.release.tilt.0
    }

    /// How far past the foul line the ball lands, feet.
    #[getter]
    fn loft_ft(&self) -> f64 {
        self.0.release.loft.0
    }

    fn __repr__(&self) -> String {
        format!("Bowler({:?})", self.0.name)
    }
}
