//! A measured throw drawn over its own film.

use boardwise_figures::{Drawing, OverFilm};
use boardwise_film::{Estimate, Laid, Measured, Picture, Pictures, Reel};

use super::Watch;
use crate::Failure;

/// Where the ball is in the still: at the arrows, where it is still large.
const STILL_FT: f64 = 15.0;

impl Watch<'_> {
    /// The picture in which the ball passes the arrows, and what is drawn over it.
    ///
    /// # Errors
    /// If the film cannot be read again.
    pub fn still(&self, measured: &Measured) -> Result<(Picture, Drawing), Failure> {
        let off = |feet: f64| (feet - STILL_FT).abs();
        let at_s = measured
            .sightings
            .iter()
            .filter_map(|s| Some((off(measured.ball_px(s.time_s)?.2), s.time_s)))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map_or(0.0, |(_, time_s)| time_s);
        let mut reel = Reel::open(self.film)?;
        let mut picture = Picture::default();
        while reel.next(&mut picture)? && picture.time_s / self.slowed < at_s - 1e-6 {}
        picture.time_s /= self.slowed;
        let drawing = over(measured, &measured.laid(), &picture, true);
        Ok((picture, drawing))
    }

    /// What is drawn over each picture of the film, one after the other: the path as far as the ball has come.
    ///
    /// # Errors
    /// If the film cannot be read again, or `each` fails.
    pub fn over_all(
        &self,
        measured: &Measured,
        mut each: impl FnMut(usize, &Drawing) -> Result<(), Failure>,
    ) -> Result<(), Failure> {
        let mut reel = Reel::open(self.film)?;
        let (mut picture, laid) = (Picture::default(), measured.laid());
        let mut index = 0;
        while reel.next(&mut picture)? {
            picture.time_s /= self.slowed;
            each(index, &over(measured, &laid, &picture, false))?;
            index += 1;
        }
        Ok(())
    }
}

/// Draws a throw over one picture: all of it, or as far as the ball has come.
fn over(measured: &Measured, laid: &Laid, picture: &Picture, whole: bool) -> Drawing {
    let shake = measured.shake_px(picture);
    let moved = |x: f64, y: f64| (x + shake.x, y + shake.y);
    let ball = measured.ball_px(picture.time_s);
    let gone = picture.time_s > measured.start_s;
    let until_ft = match ball {
        _ if whole => f64::INFINITY,
        Some((_, _, feet)) => feet,
        None if gone => f64::INFINITY,
        None => 0.0,
    };
    let path: Vec<[(f64, f64); 2]> = laid
        .path
        .iter()
        .filter(|step| step.feet <= until_ft)
        .map(|step| step.sides_px.map(|side| moved(side.x, side.y)))
        .collect();
    let boards: Vec<(u8, Vec<(f64, f64)>)> =
        laid.boards.iter().map(|(board, line)| (*board, line.iter().map(|p| moved(p.x, p.y)).collect())).collect();
    let ring: Vec<(f64, f64)> = laid.breakpoint.iter().map(|p| moved(p.x, p.y)).collect();
    let (board, feet) = (&measured.breakpoint_board, &measured.breakpoint_ft);
    let breakpoint = format!("breakpoint {:.1} at {:.0} ft", board.value, feet.value);
    let entry = measured.entry.zip(measured.entry_angle);
    let entry = entry.map(|(board, angle)| format!("entry {:.1}, {:.1}°", board.value, angle.value));
    let end = laid.path.last().filter(|_| until_ft > 59.0).map(|step| moved(step.touch_px.x, step.touch_px.y));
    let words = if until_ft > 59.0 { words(measured) } else { Vec::new() };
    let (width, height) = laid.size_px;
    OverFilm {
        size: (width as f64, height as f64),
        path: &path,
        boards: &boards,
        breakpoint: (until_ft >= feet.value).then_some((ring.as_slice(), breakpoint.as_str())),
        entry: end.zip(entry.as_deref()),
        pins: laid.pins.map(|pins| pins.map(|p| moved(p.x, p.y))),
        ball: ball.map(|(middle, radius, _)| (moved(middle.x, middle.y), radius)),
        words: &words,
    }
    .draw()
}

/// The measured values, a line each, with the error where it is of use.
fn words(measured: &Measured) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = |name: &str, of: Option<Estimate>, digits: usize, unit: &str| {
        if let Some(Estimate { value, error, .. }) = of {
            lines.push(format!("{name} {value:.digits$}{unit} ± {error:.digits$}"));
        }
    };
    line("speed", Some(measured.release_speed), 1, " mph");
    line("laydown", measured.laydown, 1, "");
    line("arrows", measured.arrows, 1, "");
    line("revs", measured.spin.map(|spin| spin.rev_rate), 0, " rpm");
    line("rotation", measured.spin.and_then(|spin| spin.rotation), 0, "°");
    lines
}
