//! How a bowler throws, from shots that film measured: the release, and how far shots meant alike differ.

use std::collections::BTreeMap;
use std::fmt::Write;

use boardwise_files::Fault;
use boardwise_files::start::{BowlerStart, Manner};
use boardwise_record::{Bowler, BowlerId, Figure, LaneId, LineMeant, Measured, Record};
use boardwise_search::Spread;

use crate::Failure;

/// So many measured shots say enough of a bowler (our judgement: a spread is then known to about a fifth).
pub const LEAST_SHOTS: usize = 12;

/// A value with its standard error.
type Told = (f64, f64);

/// What the film says of one part of the release.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Shots that tell it.
    pub shots: usize,
    /// The usual value, and its standard error.
    pub usual: Told,
    /// Standard deviation of shots meant alike, without the film's own error, and its standard error; none where the film's error hides it.
    pub spread: Option<Told>,
}

/// A bowler's release as measured.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnRelease {
    /// Who.
    pub bowler: Bowler,
    /// First balls that a film measured, with the speed and rotation meant most often.
    pub shots: usize,
    /// Laydown, launch, speed, rev rate, rotation, tilt; none where fewer than [`LEAST_SHOTS`] tell it.
    pub parts: [Option<Part>; 6],
}

/// A measured shot, with the place and line that it has in common with shots meant alike.
struct Shot {
    meant: Meant,
    measured: Measured,
}

/// What shots meant alike have in common: sheet, lane, line.
type Meant = (usize, Option<LaneId>, [u64; 4]);

impl OwnRelease {
    /// Of a bowler of a record; left out, of the present block's.
    ///
    /// # Errors
    /// If the record cannot be read, or has too few measured shots of the bowler.
    pub fn of(record: &Record, asked: Option<&str>) -> Result<Self, Failure> {
        let refused = |value: &str, allowed: String| Fault::Field { field: "record", value: value.to_owned(), allowed };
        let id: BowlerId = match asked {
            Some(id) => id.parse().map_err(boardwise_record::Error::from)?,
            None => match record.present()? {
                Some((_, bowler)) => bowler,
                None => return Err(refused("(no block)", "name the bowler with --name".to_owned()).into()),
            },
        };
        let bowler: Bowler = record.get(id.as_str())?;
        let shots = usual_only(shots(record, &id)?);
        if shots.len() < LEAST_SHOTS {
            let allowed = format!(
                "{} first balls meant alike are measured; it takes {LEAST_SHOTS}: boardwise log PINS --measured FILE",
                shots.len()
            );
            return Err(refused(id.as_str(), allowed).into());
        }
        let parts = PARTS.map(|part| Part::of(&shots, part));
        Ok(Self { bowler, shots: shots.len(), parts })
    }

    /// The bowler's file.
    pub fn text(&self) -> String {
        let spreads = Spread::default().each();
        let mut start = BowlerStart::newcomer(Some(&self.bowler.name), self.bowler.hand, Manner::Steady);
        start.from = "Proposed from shots that film measured; the lines below say how sure each number is.";
        let own = |k: usize, sketch: f64, unit: f64| {
            self.parts[k].map_or(sketch, |part| (part.usual.0 / unit).round() * unit)
        };
        start.speed_mph = tenths(own(2, start.speed_mph, 0.1));
        start.rev_rate_rpm = own(3, start.rev_rate_rpm, 1.0);
        start.rotation_deg = own(4, start.rotation_deg, 1.0);
        start.tilt_deg = own(5, start.tilt_deg, 1.0);
        let mut text = start.text();
        // Writing to a string cannot fail.
        let _ = write!(text, "\n# From {} measured shots, each value with its standard error:\n", self.shots);
        for (k, (_, words, digits)) in NAMES.iter().enumerate().skip(2) {
            let _ = match self.parts[k] {
                Some(Part { usual: (value, error), shots, .. }) => {
                    writeln!(text, "# {words} {value:.digits$} +- {error:.digits$} ({shots} shots)")
                }
                None => writeln!(text, "# {words} not measured often enough; a sketch"),
            };
        }
        text.push_str(
            "# The rev rate is that of the balls filmed. An error that all films share is not in these.\n\n[spread]\n",
        );
        for (k, (key, _, _)) in NAMES.iter().enumerate() {
            let _ = match self.parts[k].and_then(|part| part.spread) {
                Some((sd, error)) => {
                    writeln!(text, "# measured, +- {error:.2}; the film's own error is taken out\n{key} = {sd:.2}")
                }
                None => writeln!(text, "# the film cannot tell; a good league bowler's\n{key} = {}", spreads[k]),
            };
        }
        text
    }
}

/// Keys of a spread, the words for each part, and the digits that it is told to.
const NAMES: [(&str, &str, usize); 6] = [
    ("laydown_boards", "laydown, board:", 2),
    ("launch_deg", "launch, degrees:", 2),
    ("speed_mph", "speed, mph:", 2),
    ("rev_rate_rpm", "rev rate, rpm:", 1),
    ("rotation_deg", "rotation, degrees:", 1),
    ("tilt_deg", "tilt, degrees:", 1),
];

/// The figures of the release, in the order of a spread.
const PARTS: [fn(&Measured) -> Option<Figure>; 6] = [
    |of| of.laydown_board,
    |of| of.launch_deg,
    |of| of.release_mph,
    |of| of.rev_rate_rpm,
    |of| of.rotation_deg,
    |of| of.tilt_deg,
];

/// A number of tenths without what binary fractions add.
fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// The measured first balls of a bowler.
fn shots(record: &Record, bowler: &BowlerId) -> Result<Vec<Shot>, Failure> {
    let mut shots = Vec::new();
    for (number, (block, _)) in record.sheets()?.into_iter().filter(|(_, of)| of == bowler).enumerate() {
        let lines = record.lines(&block, bowler)?;
        for one in record.sheet(&block, bowler)?.deliveries {
            let first = one.thrown.is_none_or(|thrown| thrown.first_at_rack);
            let Some(measured) = one.shot.measured.as_deref().copied().filter(|_| first) else { continue };
            let line = lines.iter().rev().find(|line| Some(&line.lane) == one.lane.as_ref() && line.seq < one.place);
            let meant = line.map_or([0; 4], |line| {
                let LineMeant { laydown, arrows, speed_mph, rotation_deg } = line.line;
                [laydown, arrows, speed_mph, rotation_deg].map(f64::to_bits)
            });
            shots.push(Shot { meant: (number, one.lane, meant), measured });
        }
    }
    Ok(shots)
}

/// The shots with the speed and rotation meant most often: another way to throw is not the bowler's own.
fn usual_only(shots: Vec<Shot>) -> Vec<Shot> {
    let way = |shot: &Shot| (shot.meant.2[2], shot.meant.2[3]);
    let mut counts = BTreeMap::new();
    for shot in &shots {
        *counts.entry(way(shot)).or_insert(0_usize) += 1;
    }
    let most = counts.into_iter().max_by_key(|(_, count)| *count).map(|(way, _)| way);
    shots.into_iter().filter(|shot| Some(way(shot)) == most).collect()
}

impl Part {
    /// From the shots that tell it; none where they are too few.
    fn of(shots: &[Shot], part: fn(&Measured) -> Option<Figure>) -> Option<Self> {
        let mut alike: BTreeMap<&Meant, Vec<Figure>> = BTreeMap::new();
        for shot in shots {
            alike.entry(&shot.meant).or_default().extend(part(&shot.measured));
        }
        let all: Vec<Figure> = alike.values().flatten().copied().collect();
        if all.len() < LEAST_SHOTS {
            return None;
        }
        let n = all.len() as f64;
        let usual = mean(&all);
        let about = |figures: &[Figure], mean: f64| figures.iter().map(|one| (one.value - mean).powi(2)).sum::<f64>();
        let usual_error = (about(&all, usual) / (n - 1.0) / n).sqrt();
        // Each line has its own mean: a move of the feet is no stray.
        let free = all.len() - alike.values().filter(|figures| !figures.is_empty()).count();
        let within: f64 = alike.values().map(|figures| about(figures, mean(figures))).sum();
        let films = all.iter().map(|one| one.error.powi(2)).sum::<f64>() / n;
        let spread = (free + 1 >= LEAST_SHOTS / 2).then(|| {
            let seen = within / free as f64;
            let own = seen - films;
            // The standard error of a variance of normal numbers, carried over to its root.
            (own > 0.0).then(|| (own.sqrt(), seen * (2.0 / free as f64).sqrt() / (2.0 * own.sqrt())))
        });
        Some(Self { shots: all.len(), usual: (usual, usual_error), spread: spread.flatten() })
    }
}

fn mean(figures: &[Figure]) -> f64 {
    figures.iter().map(|one| one.value).sum::<f64>() / figures.len().max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_units::stream::Stream;

    /// Shots of a bowler who strays by one mph about 17, read by a film with this error, on two lines.
    fn filmed(count: u64, error: f64) -> Vec<Shot> {
        let mut draw = Stream::keyed(3, "own release", count);
        let shot = |k: u64| {
            let line = k % 2;
            let value = 17.0 + 1.0 * draw.normal() + error * draw.normal();
            let laydown = 20.0 + 5.0 * line as f64 + 0.6 * draw.normal();
            let figure = |value, error| Some(Figure { value, error });
            let measured = Measured {
                release_mph: figure(value, error),
                laydown_board: figure(laydown, 0.01),
                ..Measured::default()
            };
            Shot { meant: (0, None, [line, 0, 0, 0]), measured }
        };
        (0..count).map(shot).collect()
    }

    #[test]
    fn truth_the_films_error_is_taken_out_of_the_spread_and_moves_are_no_strays() {
        // Variance of a sum of independent normal numbers [C from textbook formulas].
        for error in [0.1, 1.0] {
            let shots = filmed(400, error);
            let part = Part::of(&shots, PARTS[2]).expect("enough");
            let (sd, of_sd) = part.spread.expect("told");
            assert!((sd - 1.0).abs() < 3.0 * of_sd && of_sd < 0.12, "{error}: {sd} {of_sd}");
            assert!((part.usual.0 - 17.0).abs() < 3.0 * part.usual.1, "{:?}", part.usual);
        }
        let (sd, of_sd) = Part::of(&filmed(400, 0.1), PARTS[0]).and_then(|part| part.spread).expect("told");
        assert!((sd - 0.6).abs() < 3.0 * of_sd, "five boards between the lines are no spread: {sd}");
    }

    #[test]
    fn law_a_spread_that_the_films_error_hides_is_not_told() {
        let mut shots = filmed(12, 0.1);
        for shot in &mut shots {
            shot.measured.release_mph = shot.measured.release_mph.map(|one| Figure { error: 9.0, ..one });
        }
        assert_eq!(Part::of(&shots, PARTS[2]).expect("enough").spread, None);
        assert_eq!(Part::of(&shots[..11], PARTS[2]), None);
        assert_eq!(Part::of(&shots, PARTS[5]), None);
    }
}
