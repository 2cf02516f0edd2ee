//! The judged constants, and how far from the ones in use they may be looked for.

use crate::typical::{dull, shiny, urethane};
use boardwise_ball::{Ball, Cover, CoverKind, Surface};
use boardwise_lane::ContactLaw;
use boardwise_units::stream::Stream;
use std::fmt;

/// Constants for which no measurement was found.
#[derive(Clone, Copy, Debug)]
pub struct Constants([f64; KEYS.len()]);

/// Name, and how far from the value in use is likely: a standard deviation, of the logarithm but for `grip_by_roughness`.
const KEYS: [(&str, f64); 7] = [
    ("reactive_reach", 0.3),
    ("urethane_reach", 0.4),
    ("urethane_grip", 0.1),
    // How much more a rough reactive cover grips dry boards than a smooth one: by this times its dullness, about 0.20.
    ("grip_by_roughness", 0.15),
    ("reactive_soak_s", 0.5),
    ("track_share", 0.4),
    ("viscosity_pa_s", 0.4),
];
const GRIP_BY_ROUGHNESS: usize = 3;
/// Dry friction of a reactive cover of middling roughness: the 0.20 of a dry lane \[P, as reported in reviews\].
const MIDDLING_GRIP: f64 = 0.20;

impl Default for Constants {
    fn default() -> Self {
        let (rough, smooth) = (Surface::sanded(500.0), Surface::polished());
        let reactive = |surface| Cover::of(CoverKind::Reactive, surface);
        let grip = reactive(rough).dry_friction - reactive(smooth).dry_friction;
        let (cover, law) = (Cover::of(CoverKind::Urethane, rough), ContactLaw::default());
        Self([
            reactive(rough).film_reach,
            cover.film_reach,
            cover.dry_friction,
            grip / (rough.dullness() - smooth.dullness()),
            reactive(rough).absorption_s,
            law.track_share,
            law.viscosity_pa_s,
        ])
    }
}

impl Constants {
    /// These with some changed, each told as `key=value`.
    ///
    /// # Errors
    /// At the first that is no such pair; the error says what is.
    pub fn with(mut self, changes: &[String]) -> Result<Self, String> {
        for change in changes {
            let pair = change
                .split_once('=')
                .and_then(|(key, value)| Some((KEYS.iter().position(|(name, _)| *name == key)?, value.parse().ok()?)));
            let (index, value) = pair.ok_or_else(|| {
                format!("{change:?} is no key=value with a number and one of {}", KEYS.map(|(name, _)| name).join(", "))
            })?;
            self.0[index] = value;
        }
        Ok(self)
    }

    /// Constants near these.
    pub fn strayed(mut self, width: f64, draw: &mut Stream) -> Self {
        for (index, (_, likely)) in KEYS.iter().enumerate() {
            let (which, by) = (draw.uniform(), width * likely * draw.normal());
            if which < 0.5 {
                self.0[index] = if index == GRIP_BY_ROUGHNESS { self.0[index] + by } else { self.0[index] * by.exp() };
            }
        }
        self
    }

    /// How far from the constants in use, as a misfit.
    pub fn unlikely(&self) -> f64 {
        let squares = KEYS.iter().zip(self.0.iter().zip(Self::default().0)).enumerate().map(
            |(index, ((_, likely), (is, was)))| {
                let off = if index == GRIP_BY_ROUGHNESS { is - was } else { (is / was).ln() };
                (off / likely).powi(2)
            },
        );
        0.4 * squares.sum::<f64>()
    }

    pub fn law(&self) -> ContactLaw {
        ContactLaw { track_share: self.0[5], viscosity_pa_s: self.0[6], ..ContactLaw::default() }
    }

    /// A ball with these constants in its cover.
    pub fn on(&self, mut ball: Ball) -> Ball {
        let [reactive_reach, urethane_reach, urethane_grip, by_roughness, soak_s, ..] = self.0;
        match ball.cover.kind {
            CoverKind::Reactive => {
                ball.cover.film_reach = reactive_reach;
                ball.cover.dry_friction = MIDDLING_GRIP + by_roughness * (ball.surface.dullness() - 0.5);
                ball.cover.absorption_s = soak_s;
            }
            CoverKind::Urethane => {
                ball.cover.film_reach = urethane_reach;
                ball.cover.dry_friction = urethane_grip;
            }
            CoverKind::Plastic => {}
        }
        ball
    }

    /// Urethane, dull strong, shiny weak.
    pub fn balls(&self) -> [Ball; 3] {
        [urethane(), dull(), shiny()].map(|ball| self.on(ball))
    }
}

impl fmt::Display for Constants {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let all: Vec<String> = KEYS.iter().zip(self.0).map(|((key, _), value)| format!("{key}={value:.4}")).collect();
        write!(f, "{}", all.join(" "))
    }
}
