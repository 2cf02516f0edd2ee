//! The lane's shape as a file states it: slopes in thousandths of an inch, at distances and boards.

use boardwise_lane::{Field, Shape};
use boardwise_units::Board;
use schemars::JsonSchema;
use serde::Deserialize;

use super::Fault;
use super::locate::Step;
use super::parse::Page;

/// How a lane departs from level.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ShapeTable {
    /// Distances from the foul line at which the slopes were taken, increasing.
    feet: Vec<f64>,
    /// Boards at which they were taken, increasing; left out, one slope holds for a whole distance.
    #[serde(default)]
    boards: Vec<f64>,
    /// Rise toward the right gutter, thousandths of an inch over the width of the lane: a row for each distance.
    #[serde(default)]
    across_mils: Vec<Vec<f64>>,
    /// Rise toward the pins, thousandths of an inch a foot: a row for each distance.
    #[serde(default)]
    along_mils_per_ft: Vec<Vec<f64>>,
}

/// Thousandths of an inch over the 41.5 in of the lane.
const ACROSS: f64 = 1e-3 / 41.5;
/// Thousandths of an inch a foot.
const ALONG: f64 = 1e-3 / 12.0;
/// Cross-tilt allowed by the rules, thousandths of an inch.
const LEGAL_MILS: f64 = 40.0;

impl ShapeTable {
    /// The slopes; boards of the file count from the right gutter, so x points right.
    pub(super) fn build(&self, page: &Page<'_>, warnings: &mut Vec<String>) -> Result<Shape, Fault> {
        let path = |key| [Step::Key("shape"), Step::Key(key)];
        increasing(page, &path("feet"), "feet", &self.feet, 0.0, 60.0)?;
        if self.feet.is_empty() {
            return Err(page.fault(&path("feet"), "shape.feet = []: give at least one distance"));
        }
        increasing(page, &path("boards"), "boards", &self.boards, 0.5, 39.5)?;
        let steep = self.across_mils.iter().flatten().any(|v| v.abs() > LEGAL_MILS);
        if steep {
            warnings.push(page.warning(&path("across_mils"), "across_mils: the rules allow a cross-tilt of 40"));
        }
        Ok(Shape {
            across: self.field(page, "across_mils", &self.across_mils, ACROSS)?,
            along: self.field(page, "along_mils_per_ft", &self.along_mils_per_ft, ALONG)?,
        })
    }

    fn field(&self, page: &Page<'_>, key: &str, rows: &[Vec<f64>], scale: f64) -> Result<Field, Fault> {
        let path = [Step::Key("shape"), Step::Key(key)];
        if rows.is_empty() {
            return Ok(Field::constant(0.0));
        }
        if rows.len() != self.feet.len() {
            let what = format!("{key} has {} rows: give one for each of the {} feet", rows.len(), self.feet.len());
            return Err(page.fault(&path, &what));
        }
        let across = self.boards.len().max(1);
        for row in rows {
            if row.len() != across {
                let what = format!("{key} has a row of {}: give {across}, one for each of boards", row.len());
                return Err(page.fault(&path, &what));
            }
            for &value in row {
                page.within(&path, key, value, -500.0, 500.0)?;
            }
        }
        Ok(Field::from_fn(|board: Board, feet| {
            let at = |row: usize| interpolate(&self.boards, &rows[row], board.0);
            let by_row: Vec<f64> = (0..rows.len()).map(at).collect();
            scale * interpolate(&self.feet, &by_row, feet.0)
        }))
    }
}

fn increasing(page: &Page<'_>, path: &[Step<'_>], key: &str, v: &[f64], low: f64, high: f64) -> Result<(), Fault> {
    for &value in v {
        page.within(path, key, value, low, high)?;
    }
    if v.windows(2).any(|pair| pair[1] <= pair[0]) {
        return Err(page.fault(path, &format!("shape.{key}: each must be larger than the one before it")));
    }
    Ok(())
}

/// Linear between points, the nearest value beyond them; `values` has at least one entry.
fn interpolate(points: &[f64], values: &[f64], at: f64) -> f64 {
    let after = points.partition_point(|&p| p <= at);
    match after {
        0 => values[0],
        k if k == points.len() => values[k - 1],
        k => {
            let t = (at - points[k - 1]) / (points[k] - points[k - 1]);
            values[k - 1] * (1.0 - t) + values[k] * t
        }
    }
}
