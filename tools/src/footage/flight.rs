//! Where the ball is at a moment.

use boardwise_film::lane::Path;
use boardwise_units::{Board, Feet};
use glam::DVec2;

/// Where the ball of a path is, metres; straight on before the foul line and past the pins.
pub fn place_at(path: &Path, since_s: f64) -> DVec2 {
    let rows = &path.rows;
    let spot = |k: usize| DVec2::new(Board(rows[k].board).to_metres(), Feet(rows[k].feet).to_metres());
    let next = rows.partition_point(|row| row.time_s <= since_s).clamp(1, rows.len() - 1);
    let (a, b) = (next - 1, next);
    if since_s < 0.0 {
        return spot(0) + rows[0].velocity_m_s * since_s;
    }
    if since_s > rows[b].time_s {
        return spot(b) + rows[b].velocity_m_s * (since_s - rows[b].time_s);
    }
    let span = rows[b].time_s - rows[a].time_s;
    let t = (since_s - rows[a].time_s) / span;
    // A foot is short: the mean of both straight lines.
    let forth = spot(a) + rows[a].velocity_m_s * (t * span);
    let back = spot(b) - rows[b].velocity_m_s * ((1.0 - t) * span);
    forth * (1.0 - t) + back * t
}
