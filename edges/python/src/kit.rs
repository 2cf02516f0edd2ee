//! Lanes, bags, balls and bowlers: read from the files that people write, or from the demo kit built in.

use boardwise_files::search::ball::CoverKind;
use boardwise_files::search::lane;
use boardwise_files::search::{self, Unknowns};
use boardwise_files::units::{Feet, Hand, Pounds};
use boardwise_files::{
    BAGS, BOWLERS, Entry, Fault, KitBag, KitBall, KitLane, LANES, Loaded, nearest, parse_bag, parse_bowler, parse_lane,
    read,
};
use numpy::{IntoPyArray, PyArray1, PyArray2, PyArrayMethods};
use pyo3::exceptions::{PyKeyError, PyUserWarning};
use pyo3::prelude::*;
use std::ffi::CString;

use crate::refused;

/// A kind of file that people write, as a class of the package.
trait Kit: Sized {
    /// What is read from it.
    type Read;
    /// What it is called.
    const WHAT: &'static str;
    /// Those of the demo kit.
    const DEMO: &'static [Entry];
    /// Reads it; messages call it by this name.
    const READ: fn(&str, &[u8]) -> Result<Loaded<Self::Read>, Fault>;

    /// The class of what was read.
    fn holding(read: Self::Read) -> Self;
}

/// Reads the text of a file; each of its warnings becomes a Python warning.
fn parsed<K: Kit>(py: Python<'_>, name: &str, text: &[u8]) -> PyResult<K> {
    let loaded = (K::READ)(name, text).map_err(refused)?;
    for warning in loaded.warnings {
        PyErr::warn(py, &py.get_type::<PyUserWarning>(), &CString::new(warning)?, 1)?;
    }
    Ok(K::holding(loaded.value))
}

/// Reads a file.
fn opened<K: Kit>(py: Python<'_>, path: &str) -> PyResult<K> {
    parsed(py, path, &read(path).map_err(refused)?)
}

/// The file of the demo kit with this id; without one, the kit's first.
fn demo<K: Kit>(py: Python<'_>, id: Option<&str>) -> PyResult<K> {
    let entry = match id {
        None => K::DEMO[0],
        Some(id) => K::DEMO.iter().copied().find(|entry| entry.id == id).ok_or_else(|| {
            let near = nearest(id, K::DEMO.iter().map(|entry| entry.id));
            let near = near.map_or(String::new(), |near| format!("did you mean \"{near}\"? "));
            refused(format!("no {} \"{id}\" in the demo kit: {near}there are {}", K::WHAT, demo_ids::<K>().join(", ")))
        })?,
    };
    parsed(py, entry.path, entry.text.as_bytes())
}

/// Ids of those of the demo kit.
fn demo_ids<K: Kit>() -> Vec<&'static str> {
    K::DEMO.iter().map(|entry| entry.id).collect()
}

impl Kit for Lane {
    type Read = KitLane;
    const WHAT: &'static str = "lane";
    const DEMO: &'static [Entry] = &LANES;
    const READ: fn(&str, &[u8]) -> Result<Loaded<KitLane>, Fault> = parse_lane;

    fn holding(read: KitLane) -> Self {
        Self(read)
    }
}

impl Kit for Bag {
    type Read = KitBag;
    const WHAT: &'static str = "bag";
    const DEMO: &'static [Entry] = &BAGS;
    const READ: fn(&str, &[u8]) -> Result<Loaded<KitBag>, Fault> = parse_bag;

    fn holding(read: KitBag) -> Self {
        Self(read)
    }
}

impl Kit for Bowler {
    type Read = search::Bowler;
    const WHAT: &'static str = "bowler";
    const DEMO: &'static [Entry] = &BOWLERS;
    const READ: fn(&str, &[u8]) -> Result<Loaded<search::Bowler>, Fault> = parse_bowler;

    fn holding(read: search::Bowler) -> Self {
        Self(read)
    }
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
        KitLane::unknowns(lanes.iter().map(|lane| &lane.0))
    }
}

#[pymethods]
impl Lane {
    /// A lane of the demo kit, by its id; without one, the first.
    #[staticmethod]
    #[pyo3(signature = (id=None))]
    fn demo(py: Python<'_>, id: Option<&str>) -> PyResult<Self> {
        demo(py, id)
    }

    /// Ids of the lanes of the demo kit.
    #[staticmethod]
    fn demo_ids() -> Vec<&'static str> {
        demo_ids::<Self>()
    }

    /// Reads a lane file.
    #[staticmethod]
    fn read(py: Python<'_>, path: &str) -> PyResult<Self> {
        opened(py, path)
    }

    /// A lane from the text of a lane file. `name` is what messages call it.
    #[staticmethod]
    #[pyo3(signature = (text, name="<text>"))]
    fn parse(py: Python<'_>, text: &str, name: &str) -> PyResult<Self> {
        parsed(py, name, text.as_bytes())
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
        demo(py, None)
    }

    /// Reads a bag file.
    #[staticmethod]
    fn read(py: Python<'_>, path: &str) -> PyResult<Self> {
        opened(py, path)
    }

    /// A bag from the text of a bag file. `name` is what messages call it.
    #[staticmethod]
    #[pyo3(signature = (text, name="<text>"))]
    fn parse(py: Python<'_>, text: &str, name: &str) -> PyResult<Self> {
        parsed(py, name, text.as_bytes())
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
        demo(py, id)
    }

    /// Ids of the bowlers of the demo kit.
    #[staticmethod]
    fn demo_ids() -> Vec<&'static str> {
        demo_ids::<Self>()
    }

    /// Reads a bowler file.
    #[staticmethod]
    fn read(py: Python<'_>, path: &str) -> PyResult<Self> {
        opened(py, path)
    }

    /// A bowler from the text of a bowler file. `name` is what messages call it.
    #[staticmethod]
    #[pyo3(signature = (text, name="<text>"))]
    fn parse(py: Python<'_>, text: &str, name: &str) -> PyResult<Self> {
        parsed(py, name, text.as_bytes())
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
