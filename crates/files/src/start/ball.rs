//! A ball from what its specification sheet says, and the bag of somebody who has not described one yet.

use std::fmt::Write;

use boardwise_units::math;

use super::quoted;
use crate::Fault;

/// What a cover is made of, as a sheet says it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CoverStart {
    /// Solid reactive.
    Solid,
    /// Hybrid reactive.
    Hybrid,
    /// Pearl reactive.
    Pearl,
    /// Urethane.
    Urethane,
    /// Plastic (polyester).
    Plastic,
}

impl CoverStart {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Solid, Self::Hybrid, Self::Pearl, Self::Urethane, Self::Plastic];

    /// As a file has it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Solid => "solid",
            Self::Hybrid => "hybrid",
            Self::Pearl => "pearl",
            Self::Urethane => "urethane",
            Self::Plastic => "plastic",
        }
    }

    /// Reads a sheet's word: "pearl reactive", "polyester", "solid".
    ///
    /// # Errors
    /// If it is none of them.
    pub fn read(words: &str) -> Result<Self, Fault> {
        let low = words.to_lowercase();
        let has = |word: &str| low.contains(word);
        match () {
            () if has("urethane") => Ok(Self::Urethane),
            () if has("plastic") || has("polyester") => Ok(Self::Plastic),
            () if has("hybrid") => Ok(Self::Hybrid),
            () if has("pearl") => Ok(Self::Pearl),
            () if has("solid") || has("reactive") => Ok(Self::Solid),
            () => Err(Fault::Field {
                field: "cover",
                value: words.to_owned(),
                allowed: "solid, hybrid, pearl (all reactive), urethane or plastic".to_owned(),
            }),
        }
    }
}

/// A finish as a sheet says it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FinishStart {
    /// Sanded: the grit of the last pad.
    Grit(f64),
    /// Polished.
    Polished,
    /// Measured roughness Ra, micrometres.
    Ra(f64),
}

impl FinishStart {
    /// Reads "3000 grit", "3000", "500, 1000, 2000 pads", "polished" or "0.25 Ra". Of several pads the last counts; compound and
    /// polish make a polished ball.
    ///
    /// # Errors
    /// If it says none of these.
    pub fn read(words: &str) -> Result<Self, Fault> {
        let low = words.to_lowercase();
        if low.contains("polish") || low.contains("compound") || low.trim() == "shiny" {
            return Ok(Self::Polished);
        }
        let mut numbers =
            low.split(|c: char| !(c.is_ascii_digit() || c == '.')).filter_map(|part| part.parse::<f64>().ok());
        match numbers.next_back() {
            Some(ra) if low.split(|c: char| !c.is_alphabetic()).any(|word| word == "ra") => Ok(Self::Ra(ra)),
            Some(grit) if grit >= 50.0 => Ok(Self::Grit(grit)),
            _ => Err(Fault::Field {
                field: "finish",
                value: words.to_owned(),
                allowed: "such as \"3000 grit\", \"polished\" or \"0.25 Ra\"".to_owned(),
            }),
        }
    }

    fn surface(self) -> String {
        match self {
            Self::Grit(grit) => format!("{{ grit = {grit} }}"),
            Self::Polished => "{ polished = true }".to_owned(),
            Self::Ra(ra) => format!("{{ ra_um = {ra} }}"),
        }
    }
}

/// How a ball is drilled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LayoutStart {
    /// Distance from pin to positive axis point, inches.
    pub pin_to_pap_in: f64,
    /// Angle at the pin to the mass bias, degrees.
    pub drilling_deg: f64,
    /// Angle at the axis point to the vertical axis line, degrees.
    pub val_deg: f64,
}

/// Half of a ball's greatest girth, inches: pin and positive axis point are never farther apart. A quarter of it is 6.75 in.
const QUARTER_IN: f64 = 6.75;

impl LayoutStart {
    /// A common strong layout.
    pub const USUAL: Self = Self { pin_to_pap_in: 4.5, drilling_deg: 50.0, val_deg: 40.0 };

    /// Reads the general notation: angle at the pin, distance from pin to axis point, angle at the axis point, as
    /// "50 x 4.5 x 40".
    ///
    /// # Errors
    /// If these are not three numbers.
    pub fn read(words: &str) -> Result<Self, Fault> {
        let numbers: Vec<f64> =
            words.split(['x', 'X', '*', ',', '\u{d7}']).filter_map(|part| part.trim().parse().ok()).collect();
        match numbers[..] {
            [drilling_deg, pin_to_pap_in, val_deg] => Ok(Self { pin_to_pap_in, drilling_deg, val_deg }),
            _ => Err(Fault::Field {
                field: "layout",
                value: words.to_owned(),
                allowed: "angle at the pin x inches from pin to axis point x angle at the axis point, such as \"50 x 4.5 x 40\""
                    .to_owned(),
            }),
        }
    }

    /// From three distances over the cover, in inches: pin to axis point, mass bias to axis point, and pin buffer (the shortest
    /// way from the pin to the vertical axis line).
    ///
    /// Spherical triangles with arcs p, m and b (distance over radius): the pin and the mass bias stand a quarter turn apart, so
    /// the cosine rule gives cos(angle at the pin) = cos m / sin p; the buffer is square to the vertical axis line, so the sine
    /// rule gives sin(angle at the axis point) = sin b / sin p \[M\].
    ///
    /// # Errors
    /// If no ball has these distances.
    pub fn from_distances(pin_to_pap_in: f64, mass_bias_to_pap_in: f64, pin_buffer_in: f64) -> Result<Self, Fault> {
        let arc = |inches: f64| inches / QUARTER_IN * core::f64::consts::FRAC_PI_2;
        let (pin, bias, buffer) = (arc(pin_to_pap_in), arc(mass_bias_to_pap_in), arc(pin_buffer_in));
        let refuse = |field, value: f64, allowed: &str| {
            Err(Fault::Field { field, value: value.to_string(), allowed: allowed.to_owned() })
        };
        if !(pin_to_pap_in > 0.0 && pin_to_pap_in <= QUARTER_IN) {
            return refuse("pin-to-pap", pin_to_pap_in, "more than 0 and at most 6.75 inches");
        }
        let (at_pin, at_axis) = (math::cos(bias) / math::sin(pin), math::sin(buffer) / math::sin(pin));
        if !(-1.0..=1.0).contains(&at_pin) {
            let allowed =
                "the mass bias is a quarter turn from the pin, so it cannot be that near the axis point with this pin";
            return refuse("mass-bias-to-pap", mass_bias_to_pap_in, allowed);
        }
        if !(0.0..=1.0).contains(&at_axis) {
            return refuse("pin-buffer", pin_buffer_in, "at most the distance from pin to axis point");
        }
        Ok(Self {
            pin_to_pap_in,
            drilling_deg: math::acos(at_pin).to_degrees(),
            val_deg: math::asin(at_axis).to_degrees(),
        })
    }
}

/// A ball to be written down.
#[derive(Clone, Debug, PartialEq)]
pub struct BallStart {
    /// Short name.
    pub id: String,
    /// Weight, pounds.
    pub weight_lb: f64,
    /// Cover.
    pub cover: CoverStart,
    /// Finish.
    pub finish: FinishStart,
    /// Lowest radius of gyration, inches.
    pub rg_in: f64,
    /// Differential, inches.
    pub differential_in: f64,
    /// Intermediate differential, inches.
    pub intermediate_in: f64,
    /// Layout.
    pub layout: LayoutStart,
    /// Games since the surface was prepared.
    pub games: f64,
    /// What it is for, for the reader.
    pub says: String,
}

impl BallStart {
    /// A middling reactive ball: middle of what sheets state in each number (our judgement; no source).
    pub fn middling() -> Self {
        Self {
            id: "middling-reactive".to_owned(),
            weight_lb: 15.0,
            cover: CoverStart::Solid,
            finish: FinishStart::Grit(2000.0),
            rg_in: 2.52,
            differential_in: 0.045,
            intermediate_in: 0.0,
            layout: LayoutStart::USUAL,
            games: 10.0,
            says: "A middling reactive ball, taken until yours is described: change its numbers to those of your ball's sheet."
                .to_owned(),
        }
    }

    /// A spare ball: plastic, goes straight.
    pub fn spare() -> Self {
        Self {
            id: "spare".to_owned(),
            cover: CoverStart::Plastic,
            finish: FinishStart::Polished,
            rg_in: 2.68,
            differential_in: 0.010,
            layout: LayoutStart { pin_to_pap_in: 3.0, drilling_deg: 45.0, val_deg: 45.0 },
            games: 40.0,
            says: "A plastic ball that goes straight, for spares.".to_owned(),
            ..Self::middling()
        }
    }

    fn table(&self) -> String {
        let finish = match self.finish {
            FinishStart::Grit(grit) => format!("sanded at {grit}"),
            FinishStart::Polished => "polished".to_owned(),
            FinishStart::Ra(ra) => format!("Ra {ra} micrometres"),
        };
        let LayoutStart { pin_to_pap_in, drilling_deg, val_deg } = self.layout;
        let mut text = format!("# {}\n[[ball]]\n", self.says);
        // Writing to a string cannot fail.
        let _ = write!(
            text,
            "id = {}\nweight_lb = {}\ncover = \"{}\"\nfinish = {}\nsurface = {}\n\
             # From the sheet of your ball and weight: radius of gyration, differential, intermediate differential (0: symmetric).\n\
             rg_in = {}\ndifferential_in = {}\nintermediate_in = {}\n\
             # Inches from pin to positive axis point; angles at the pin (to the mass bias) and at the axis point (to the vertical line).\n\
             layout = {{ pin_to_pap_in = {}, drilling_deg = {}, val_deg = {} }}\n\
             # Games since the surface was prepared.\ngames = {}\n",
            quoted(&self.id),
            self.weight_lb,
            self.cover.word(),
            quoted(&finish),
            self.finish.surface(),
            self.rg_in,
            self.differential_in,
            self.intermediate_in,
            rounded(pin_to_pap_in),
            rounded(drilling_deg),
            rounded(val_deg),
            self.games
        );
        text
    }
}

/// To a hundredth: an angle worked out from distances has no more to say.
fn rounded(value: f64) -> f64 {
    (100.0 * value).round() / 100.0
}

/// A bag's file with these balls.
pub fn bag_of(balls: &[BallStart]) -> String {
    balls.iter().map(BallStart::table).collect::<Vec<_>>().join("\n")
}

/// The bag of somebody who has described no ball yet: a middling reactive one and a spare ball.
pub fn newcomers_bag() -> String {
    bag_of(&[BallStart::middling(), BallStart::spare()])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse_bag;
    use boardwise_ball::Layout;
    use glam::DVec3;

    #[test]
    fn law_finishes_and_covers_are_read_as_sheets_write_them() {
        for (words, read) in [
            ("3000 grit", FinishStart::Grit(3000.0)),
            ("500, 1000, 2000 pads", FinishStart::Grit(2000.0)),
            ("500/1500 with factory compound", FinishStart::Polished),
            ("Polished", FinishStart::Polished),
            ("0.25 Ra", FinishStart::Ra(0.25)),
        ] {
            assert_eq!(FinishStart::read(words).unwrap(), read, "{words}");
        }
        for bad in ["", "grand", "3 grit", "abrasive"] {
            assert!(FinishStart::read(bad).is_err(), "{bad}");
        }
        assert_eq!(CoverStart::read("Pearl Reactive").unwrap(), CoverStart::Pearl);
        assert_eq!(CoverStart::read("polyester").unwrap(), CoverStart::Plastic);
        assert!(CoverStart::read("wood").is_err());
    }

    #[test]
    fn law_a_layout_by_distances_is_the_one_by_angles() {
        assert_eq!(LayoutStart::read("50 x 4.5 x 40").unwrap(), LayoutStart::USUAL);
        assert_eq!(LayoutStart::read("50x4.5x40").unwrap(), LayoutStart::USUAL);
        assert!(LayoutStart::read("50 x 4.5").is_err());
        // Distances measured on the ball that the angles describe.
        let radius_in = 2.0 * QUARTER_IN / core::f64::consts::PI;
        for (pin, drilling, val) in [(3.375, 60.0, 30.0), (4.5, 50.0, 40.0), (5.0, 75.0, 70.0), (6.0, 20.0, 15.0)] {
            let angles = Layout::Angles {
                pin_to_pap_m: pin,
                drilling_rad: f64::to_radians(drilling),
                val_rad: f64::to_radians(val),
            };
            let axes = angles.core_axes(radius_in).unwrap();
            let (low, high) = (axes.col(0), axes.col(2));
            let bias = high.dot(DVec3::X).acos() * radius_in;
            // Off the vertical axis line, which is the circle through axis and up.
            let buffer = low.z.asin() * radius_in;
            let back = LayoutStart::from_distances(pin, bias, buffer).unwrap();
            assert!((back.drilling_deg - drilling).abs() < 1e-9 && (back.val_deg - val).abs() < 1e-9, "{back:?}");
        }
        assert!(LayoutStart::from_distances(2.0, 1.0, 1.0).is_err(), "the mass bias cannot be so near");
        assert!(LayoutStart::from_distances(2.0, 5.0, 3.0).is_err(), "a buffer longer than the way to the pin");
        assert!(LayoutStart::from_distances(0.0, 5.0, 0.0).is_err());
    }

    #[test]
    fn law_the_newcomers_bag_is_within_every_limit() {
        let loaded = parse_bag("x", newcomers_bag().as_bytes()).unwrap();
        assert!(loaded.warnings.is_empty(), "{:?}", loaded.warnings);
        assert_eq!(loaded.value.bag.balls().len(), 2);
    }
}
