//! Marks of a lane that a person can point out in a picture.

use core::fmt;
use core::str::FromStr;

use boardwise_units::{FOOT_M, INCH_M, court};
use glam::{DVec2, DVec3};

use crate::FilmError;

/// A mark of the lane, named as somebody sees it who looks at the pins. Arrows and dots count from the left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Left end of the foul line, where lane and gutter meet.
    FoulLeft,
    /// Right end of the foul line.
    FoulRight,
    /// Tip of an arrow, 1 to 7.
    Arrow(u8),
    /// Middle of a dot of the lane, 1 to 10.
    Dot(u8),
    /// Middle of a standing pin's base, 1 to 10.
    Pin(u8),
}

impl Mark {
    /// Its place in the world, metres. Sources stand with [`court::ARROWS`], [`court::DOTS`] and [`court::PIN_SPOTS_IN`].
    pub fn place_m(self) -> DVec3 {
        let across = |board: f64| (board - court::CENTRE_BOARD) * court::BOARD_M;
        match self {
            Self::FoulLeft => DVec3::new(-0.5 * court::WIDTH_M, 0.0, 0.0),
            Self::FoulRight => DVec3::new(0.5 * court::WIDTH_M, 0.0, 0.0),
            Self::Arrow(number) => {
                let (board, feet) = court::ARROWS[usize::from(number) - 1];
                DVec3::new(across(board.0), feet.0 * FOOT_M, 0.0)
            }
            Self::Dot(number) => {
                let (board, feet) = court::DOTS[usize::from(number) - 1];
                DVec3::new(across(board.0), feet.0 * FOOT_M, 0.0)
            }
            Self::Pin(number) => {
                let (right_in, behind_in) = court::PIN_SPOTS_IN[usize::from(number) - 1];
                DVec3::new(right_in * INCH_M, court::HEAD_PIN_M + behind_in * INCH_M, 0.0)
            }
        }
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::FoulLeft => write!(f, "foul-left"),
            Self::FoulRight => write!(f, "foul-right"),
            Self::Arrow(number) => write!(f, "arrow-{number}"),
            Self::Dot(number) => write!(f, "dot-{number}"),
            Self::Pin(number) => write!(f, "pin-{number}"),
        }
    }
}

impl FromStr for Mark {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        let (kind, which) = text.split_once('-').ok_or(())?;
        let number = |most: u8| which.parse().ok().filter(|number| (1..=most).contains(number)).ok_or(());
        match (kind, which) {
            ("foul", "left") => Ok(Self::FoulLeft),
            ("foul", "right") => Ok(Self::FoulRight),
            ("arrow", _) => number(7).map(Self::Arrow),
            ("dot", _) => number(10).map(Self::Dot),
            ("pin", _) => number(10).map(Self::Pin),
            _ => Err(()),
        }
    }
}

/// A mark, and where somebody pointed it out in the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// The mark.
    pub mark: Mark,
    /// Where it is seen, pixels.
    pub seen_px: DVec2,
}

/// Points as people write them: `mark:across,down`, with spaces or line ends between. What follows a `#` in a line is a remark.
///
/// # Errors
/// If a point cannot be read, a mark comes twice, or there are fewer than four.
pub fn parse_points(text: &str) -> Result<Vec<Point>, FilmError> {
    let mut points: Vec<Point> = Vec::new();
    for word in text.lines().flat_map(|line| line.split('#').next().unwrap_or_default().split_whitespace()) {
        let wrong = |reason| FilmError::Point { text: word.chars().take(40).collect(), reason };
        let (mark, place) = word.split_once(':').ok_or_else(|| wrong("a colon is missing"))?;
        let mark: Mark = mark.parse().map_err(|()| {
            wrong("marks are foul-left, foul-right, arrow-1 to arrow-7 and dot-1 to dot-10 from the left, pin-1 to pin-10")
        })?;
        let (across, down) = place.split_once(',').ok_or_else(|| wrong("a comma is missing"))?;
        let pixels = |text: &str| text.parse::<f64>().ok().filter(|px| (-1e4..=1e5).contains(px));
        let (Some(across), Some(down)) = (pixels(across), pixels(down)) else {
            return Err(wrong("its place must be two numbers of pixels"));
        };
        if points.iter().any(|point| point.mark == mark) {
            return Err(wrong("this mark was pointed out before"));
        }
        points.push(Point { mark, seen_px: DVec2::new(across, down) });
    }
    if points.len() < 4 {
        return Err(FilmError::FewPoints { given: points.len() });
    }
    Ok(points)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_points_read_back_as_written() {
        let text = "foul-left:1,2 foul-right:3.5,4 # near\narrow-7:5,6\npin-10:7,8 dot-1:9,10";
        let points = parse_points(text).unwrap();
        let again: Vec<String> = points.iter().map(|p| format!("{}:{},{}", p.mark, p.seen_px.x, p.seen_px.y)).collect();
        assert_eq!(parse_points(&again.join(" ")).unwrap(), points);
    }

    #[test]
    fn law_bad_points_name_what_is_wrong() {
        for bad in ["arrow-8:1,2", "arrow-0:1,2", "pin:1,2", "pin-1:1", "pin-1 1,2", "pin-1:x,2", "pin-1:NaN,2"] {
            assert!(matches!(parse_points(bad), Err(FilmError::Point { .. })), "{bad}");
        }
        assert!(matches!(parse_points("pin-1:1,2 pin-1:1,2"), Err(FilmError::Point { .. })));
        assert!(matches!(parse_points("pin-1:1,2"), Err(FilmError::FewPoints { given: 1 })));
    }

    #[test]
    fn law_right_is_right() {
        assert!(
            Mark::Pin(10).place_m().x > 0.0 && Mark::Arrow(7).place_m().x > 0.0 && Mark::FoulRight.place_m().x > 0.0
        );
    }
}
