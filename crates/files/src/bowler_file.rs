//! The bowler file.

use boardwise_lane::Release;
use boardwise_search::{Bowler, BowlerError, Range, Spread, USUAL_SLIDE_OFFSET_BOARDS};
use boardwise_units::{Degrees, Feet, Hand, Mph, Rpm};
use schemars::JsonSchema;
use serde::Deserialize;

use super::locate::Step;
use super::parse::Page;
use super::{Fault, Loaded, plausible};

/// A bowler: the usual release, how it varies, and what can be changed on purpose.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BowlerFile {
    /// What to call them; left out, the file's name.
    name: Option<String>,
    /// The hand that bowls; boards count from its side.
    hand: HandWord,
    /// Speed at release.
    speed_mph: f64,
    /// Rev rate at release.
    rev_rate_rpm: f64,
    /// Axis rotation: 0 end over end, 90 full side roll.
    rotation_deg: f64,
    /// Axis tilt: 0 with the axis level.
    tilt_deg: f64,
    /// How far past the foul line the ball first touches the lane.
    loft_ft: Option<f64>,
    /// Standard deviations of shots meant alike.
    #[serde(default)]
    spread: SpreadTable,
    /// What the bowler can do on purpose, lowest and highest.
    #[serde(default)]
    range: RangeTable,
    /// From the inner edge of the slide foot to the middle of the ball, boards; left out, 6.
    slide_offset_boards: Option<f64>,
    /// The hand for spares; left out, the usual one with the least rotation of the range.
    spare: Option<SpareTable>,
}

/// How a bowler throws at spares; each left out is the usual value.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpareTable {
    /// Speed at release.
    speed_mph: Option<f64>,
    /// Rev rate at release.
    rev_rate_rpm: Option<f64>,
    /// Axis rotation.
    rotation_deg: Option<f64>,
    /// Axis tilt.
    tilt_deg: Option<f64>,
}

/// A hand.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum HandWord {
    /// Right.
    Right,
    /// Left.
    Left,
}

/// Standard deviations; each left out is that of a good league bowler.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpreadTable {
    /// Boards at the foul line.
    laydown_boards: Option<f64>,
    /// Launch angle.
    launch_deg: Option<f64>,
    /// Speed.
    speed_mph: Option<f64>,
    /// Rev rate.
    rev_rate_rpm: Option<f64>,
    /// Axis rotation.
    rotation_deg: Option<f64>,
    /// Axis tilt.
    tilt_deg: Option<f64>,
}

/// What can be changed on purpose; each left out cannot.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RangeTable {
    /// Release speeds.
    speed_mph: Option<[f64; 2]>,
    /// Axis rotations.
    rotation_deg: Option<[f64; 2]>,
}

/// Reads a bowler file.
///
/// # Errors
/// If anything in it cannot be; the error points at it.
pub fn parse_bowler(name: &str, bytes: &[u8]) -> Result<Loaded<Bowler>, Fault> {
    let page = Page::new(name, bytes)?;
    let file: BowlerFile = page.parse()?;
    file.name.iter().try_for_each(|name| page.name(&[Step::Key("name")], name))?;
    let usual = Release::default();
    let release = Release {
        speed: Mph(file.speed_mph),
        rev_rate: Rpm(file.rev_rate_rpm),
        rotation: Degrees(file.rotation_deg),
        tilt: Degrees(file.tilt_deg),
        loft: file.loft_ft.map_or(usual.loft, Feet),
        ..usual
    };
    release.check().map_err(|e| page.fault(&[Step::Key(key_of(&e))], &e))?;
    let spread = file.spread.spread();
    spread.check().map_err(|e| match e {
        BowlerError::Value { key, .. } => page.fault(&[Step::Key("spread"), Step::Key(key)], &e),
        other => page.fault(&[Step::Key("spread")], &other),
    })?;
    let spare_release = file.spare.as_ref().map(|spare| spare.release(&release));
    if let Some(spare) = &spare_release {
        spare.check().map_err(|e| page.fault(&[Step::Key("spare"), Step::Key(key_of(&e))], &e))?;
    }
    let speed = file.range.speed_mph.unwrap_or([file.speed_mph; 2]);
    let rotation = file.range.rotation_deg.unwrap_or([file.rotation_deg; 2]);
    let bowler = Bowler {
        name: file.name.unwrap_or_else(|| stem(name)),
        hand: match file.hand {
            HandWord::Right => Hand::Right,
            HandWord::Left => Hand::Left,
        },
        release,
        spread,
        range: Range { speed: (Mph(speed[0]), Mph(speed[1])), rotation: (Degrees(rotation[0]), Degrees(rotation[1])) },
        slide_offset_boards: file.slide_offset_boards.unwrap_or(USUAL_SLIDE_OFFSET_BOARDS),
        spare_release,
    };
    bowler.check().map_err(|e| match e {
        BowlerError::Value { key: key @ "slide_offset_boards", .. } => page.fault(&[Step::Key(key)], &e),
        BowlerError::Value { key, .. } | BowlerError::RangeWithout { key, .. } => {
            page.fault(&[Step::Key("range"), Step::Key(key)], &e)
        }
        BowlerError::Release(_) => page.fault(&[], &e),
    })?;
    let own = odd(&release).map(|(key, odd)| (vec![Step::Key(key)], odd));
    let for_spares = file.spare.as_ref().zip(spare_release.as_ref()).map(|(said, release)| {
        let said = [said.speed_mph.is_some(), said.rev_rate_rpm.is_some()];
        let odd = odd(release).into_iter().zip(said).filter(|(_, said)| *said);
        odd.map(|((key, odd), _)| (vec![Step::Key("spare"), Step::Key(key)], odd)).collect::<Vec<_>>()
    });
    let all_odd = own.into_iter().chain(for_spares.into_iter().flatten());
    let warnings = all_odd.filter_map(|(path, odd)| Some(page.warning(&path, &odd?))).collect();
    Ok(Loaded { value: bowler, warnings })
}

/// What looks like a mistake of units in a release, by key.
fn odd(release: &Release) -> [(&'static str, Option<String>); 2] {
    [("speed_mph", plausible::speed(release.speed)), ("rev_rate_rpm", plausible::rev_rate(release.rev_rate))]
}

impl SpreadTable {
    fn spread(&self) -> Spread {
        let usual = Spread::default();
        Spread {
            laydown_boards: self.laydown_boards.unwrap_or(usual.laydown_boards),
            launch: self.launch_deg.map_or(usual.launch, Degrees),
            speed: self.speed_mph.map_or(usual.speed, Mph),
            rev_rate: self.rev_rate_rpm.map_or(usual.rev_rate, Rpm),
            rotation: self.rotation_deg.map_or(usual.rotation, Degrees),
            tilt: self.tilt_deg.map_or(usual.tilt, Degrees),
        }
    }
}

impl SpareTable {
    fn release(&self, usual: &Release) -> Release {
        Release {
            speed: self.speed_mph.map_or(usual.speed, Mph),
            rev_rate: self.rev_rate_rpm.map_or(usual.rev_rate, Rpm),
            rotation: self.rotation_deg.map_or(usual.rotation, Degrees),
            tilt: self.tilt_deg.map_or(usual.tilt, Degrees),
            ..*usual
        }
    }
}

fn key_of(error: &boardwise_lane::LaneError) -> &'static str {
    match error {
        boardwise_lane::LaneError::Range { key, .. } | boardwise_lane::LaneError::Backwards { key, .. } => key,
        _ => "",
    }
}

/// A file's name without folder and extension.
pub(super) fn stem(name: &str) -> String {
    std::path::Path::new(name).file_stem().map_or_else(|| name.to_owned(), |s| s.to_string_lossy().into_owned())
}
