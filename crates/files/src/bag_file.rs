//! The bag file.

use boardwise_ball::{Bag, Ball, BallError, BallSpec, Blend, CoverKind, Layout, Surface};
use boardwise_units::{Degrees, Inches, Pounds};
use glam::DVec3;
use schemars::JsonSchema;
use serde::Deserialize;

use super::locate::Step;
use super::parse::Page;
use super::{Fault, Loaded, plausible};

/// A bag of balls.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BagFile {
    /// The balls.
    #[serde(default)]
    ball: Vec<BallTable>,
}

/// A ball.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BallTable {
    /// Short name, unique in the bag.
    id: String,
    /// Weight, pounds.
    weight_lb: f64,
    /// Diameter, inches.
    diameter_in: Option<f64>,
    /// What the cover is made of.
    cover: CoverWord,
    /// How it was finished, in words; shown beside the ball's id, not computed with.
    finish: Option<String>,
    /// Surface as last prepared: one of `ra_um`, `grit`, `polished`.
    surface: SurfaceTable,
    /// Friction on a dry lane, if it was measured.
    dry_friction: Option<f64>,
    /// Lowest radius of gyration, inches.
    rg_in: f64,
    /// Highest minus lowest radius of gyration, inches.
    differential_in: f64,
    /// Highest minus middle radius of gyration, inches; 0 for a symmetric core.
    #[serde(default)]
    intermediate_in: f64,
    /// How it is drilled; left out, a common strong layout.
    layout: Option<LayoutTable>,
    /// Centre of gravity from the centre of the ball, millimetres along axis, up, grip.
    cg_offset_mm: Option<[f64; 3]>,
    /// Games since the surface was last prepared.
    #[serde(default)]
    games: f64,
}

/// What a cover is made of.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum CoverWord {
    /// Reactive resin; solid.
    Reactive,
    /// Solid reactive resin: reads earliest and is the smoothest.
    Solid,
    /// Hybrid reactive resin: between solid and pearl.
    Hybrid,
    /// Pearl reactive resin: later and sharper.
    Pearl,
    /// Urethane.
    Urethane,
    /// Plastic (polyester).
    Plastic,
}

/// A surface, stated one way.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SurfaceTable {
    /// Measured roughness Ra, micrometres.
    ra_um: Option<f64>,
    /// Grit of the last pad; a loose guide to roughness.
    grit: Option<f64>,
    /// Polished.
    polished: Option<bool>,
}

/// A layout: distance and two angles, or the two axes given directly.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LayoutTable {
    /// Distance over the cover from pin to positive axis point, inches.
    pin_to_pap_in: Option<f64>,
    /// Angle at the pin between the lines to the axis point and to the mass bias, degrees.
    drilling_deg: Option<f64>,
    /// Angle at the axis point between the vertical axis line and the line to the pin, degrees.
    val_deg: Option<f64>,
    /// Direction of the pin (low RG) along axis, up, grip.
    low_axis: Option<[f64; 3]>,
    /// Direction of the mass bias (high RG) along axis, up, grip.
    high_axis: Option<[f64; 3]>,
}

/// A bag, with what its file says of the finishes.
#[derive(Clone, Debug)]
pub struct KitBag {
    /// The balls, checked.
    pub bag: Bag,
    /// What the file says of each ball beside, in the bag's order.
    beside: Vec<Beside>,
}

/// What a file says of a ball that is told, not computed with.
#[derive(Clone, Debug)]
struct Beside {
    finish: Option<String>,
    prepared: Prepared,
    games: f64,
}

/// A surface as the file states it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Prepared {
    /// Measured roughness Ra, micrometres.
    RaUm(f64),
    /// Grit of the last pad.
    Grit(f64),
    /// Polished.
    Polished,
}

/// A ball of a bag, with its finish in words.
#[derive(Clone, Debug)]
pub struct KitBall {
    /// The ball.
    pub ball: Ball,
    /// How it was finished, in the words of the file.
    pub finish: Option<String>,
    /// Its surface as last prepared.
    pub prepared: Prepared,
    /// Games since.
    pub games: f64,
}

impl KitBag {
    /// The balls, in the order of the file.
    pub fn balls(&self) -> impl Iterator<Item = KitBall> {
        let told = self.bag.balls().iter().zip(self.beside.clone());
        told.map(|(ball, Beside { finish, prepared, games })| KitBall { ball: ball.clone(), finish, prepared, games })
    }

    /// The ball of that id.
    pub fn get(&self, id: &str) -> Option<KitBall> {
        self.balls().find(|one| one.ball.id == id)
    }
}

impl KitBall {
    /// What to call it: its id, with the finish where the file tells it.
    pub fn words(&self) -> String {
        match &self.finish {
            Some(finish) => format!("{} ({finish})", self.ball.id),
            None => self.ball.id.clone(),
        }
    }
}

/// Reads a bag file.
///
/// # Errors
/// If anything in it cannot be; the error points at it.
pub fn parse_bag(name: &str, bytes: &[u8]) -> Result<Loaded<KitBag>, Fault> {
    let page = Page::new(name, bytes)?;
    let file: BagFile = page.parse()?;
    let mut warnings = Vec::new();
    let (mut balls, mut beside): (Vec<Ball>, Vec<Beside>) = (Vec::new(), Vec::new());
    for (k, table) in file.ball.iter().enumerate() {
        let at = |keys: &[&'static str]| {
            let mut path = vec![Step::Key("ball"), Step::At(k)];
            path.extend(keys.iter().map(|key| Step::Key(key)));
            path
        };
        if table.id.trim().is_empty() {
            return Err(page.fault(&at(&["id"]), "id = \"\": give the ball a short name"));
        }
        page.name(&at(&["id"]), &table.id)?;
        table.finish.iter().try_for_each(|finish| page.name(&at(&["finish"]), finish))?;
        let prepared = table.surface.prepared(&page, &at)?;
        let spec = table.spec(prepared, &page, &at)?;
        beside.push(Beside { finish: table.finish.clone(), prepared, games: table.games });
        let (ball, notes) = Ball::new(spec).map_err(|e| page.fault(&at(place_of(&e)), &e))?;
        let odd = plausible::weight(table.weight_lb);
        warnings.extend(odd.map(|odd| page.warning(&at(&["weight_lb"]), &odd)));
        warnings.extend(notes.iter().map(|w| page.warning(&at(place(w.key)), w)));
        if balls.iter().any(|other| other.id == ball.id) {
            return Err(page.fault(&at(&["id"]), &boardwise_ball::BagError::Duplicate(ball.id)));
        }
        balls.push(ball);
    }
    let bag = Bag::new(balls).map_err(|e| page.fault(&[Step::Key("ball")], &e))?;
    Ok(Loaded { value: KitBag { bag, beside }, warnings })
}

impl SurfaceTable {
    fn prepared<'a>(&self, page: &Page<'_>, at: &impl Fn(&[&'static str]) -> Vec<Step<'a>>) -> Result<Prepared, Fault> {
        match (self.ra_um, self.grit, self.polished) {
            (Some(ra_um), None, None) => Ok(Prepared::RaUm(ra_um)),
            (None, Some(grit), None) => {
                Ok(Prepared::Grit(page.within(&at(&["surface", "grit"]), "grit", grit, 50.0, 20_000.0)?))
            }
            (None, None, Some(true)) => Ok(Prepared::Polished),
            _ => Err(page.fault(&at(&["surface"]), "surface: give one of ra_um, grit, polished = true")),
        }
    }
}

impl BallTable {
    fn spec<'a>(
        &self,
        prepared: Prepared,
        page: &Page<'_>,
        at: &impl Fn(&[&'static str]) -> Vec<Step<'a>>,
    ) -> Result<BallSpec, Fault> {
        let (cover, blend) = match self.cover {
            CoverWord::Reactive | CoverWord::Solid => (CoverKind::Reactive, Blend::Solid),
            CoverWord::Hybrid => (CoverKind::Reactive, Blend::Hybrid),
            CoverWord::Pearl => (CoverKind::Reactive, Blend::Pearl),
            CoverWord::Urethane => (CoverKind::Urethane, Blend::Solid),
            CoverWord::Plastic => (CoverKind::Plastic, Blend::Solid),
        };
        let usual = BallSpec { blend, ..BallSpec::new(&self.id, cover) };
        let surface = match prepared {
            Prepared::RaUm(ra_um) => Surface::measured(ra_um * 1e-6),
            Prepared::Grit(grit) => Surface::sanded(grit),
            Prepared::Polished => Surface::polished(),
        };
        let layout = match &self.layout {
            Some(table) => table.layout(page, at)?,
            None => usual.layout,
        };
        Ok(BallSpec {
            weight: Pounds(self.weight_lb),
            diameter: self.diameter_in.map_or(usual.diameter, Inches),
            surface,
            dry_friction: self.dry_friction,
            rg: Inches(self.rg_in),
            differential: Inches(self.differential_in),
            intermediate: Inches(self.intermediate_in),
            layout,
            cg_offset_m: DVec3::from_array(self.cg_offset_mm.unwrap_or_default()) * 1e-3,
            games: self.games,
            ..usual
        })
    }
}

impl LayoutTable {
    fn layout<'a>(&self, page: &Page<'_>, at: &impl Fn(&[&'static str]) -> Vec<Step<'a>>) -> Result<Layout, Fault> {
        let check = |key, value, high| page.within(&at(&["layout", key]), key, value, 0.0, high);
        match (self.pin_to_pap_in, self.drilling_deg, self.val_deg, self.low_axis, self.high_axis) {
            (Some(pin), drilling, val, None, None) => Ok(Layout::Angles {
                pin_to_pap_m: Inches(check("pin_to_pap_in", pin, 6.75)?).to_metres(),
                drilling_rad: Degrees(check("drilling_deg", drilling.unwrap_or(50.0), 180.0)?).to_radians(),
                val_rad: Degrees(check("val_deg", val.unwrap_or(40.0), 180.0)?).to_radians(),
            }),
            (None, None, None, Some(low), Some(high)) => {
                Ok(Layout::Axes { low: DVec3::from_array(low), high: DVec3::from_array(high) })
            }
            _ => {
                let what = "layout: give pin_to_pap_in with drilling_deg and val_deg, or low_axis and high_axis";
                Err(page.fault(&at(&["layout"]), what))
            }
        }
    }
}

fn place_of(error: &BallError) -> &'static [&'static str] {
    match error {
        BallError::Impossible { key, .. } => place(key),
        BallError::IntermediateAboveDifferential { .. } => &["intermediate_in"],
        BallError::DegenerateLayout => &["layout"],
    }
}

/// Where the library's key stands in a ball's table.
fn place(key: &'static str) -> &'static [&'static str] {
    match key {
        "weight_lb" => &["weight_lb"],
        "diameter_in" => &["diameter_in"],
        "rg_in" => &["rg_in"],
        "differential_in" => &["differential_in"],
        "intermediate_in" => &["intermediate_in"],
        "dry_friction" => &["dry_friction"],
        "ra_um" => &["surface", "ra_um"],
        "games" => &["games"],
        "cg_offset_mm" => &["cg_offset_mm"],
        _ => &[],
    }
}
