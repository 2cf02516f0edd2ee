//! Deck, gutters, kickbacks and pit cushion: what stands still around the pins.
//!
//! Frame: origin on the deck at the head pin's spot, x toward the bowling-hand side, y toward the pit, z up.

use crate::body::{BallMotion, Fixed, PinBody, Rigid};
use crate::impulse::{Surface, strike};
use crate::profile::{BASE_RADIUS_M, BELLY_RADIUS_M};
use crate::shape::{Lobe, Shape};
use crate::touch::{Touch, lobe_and_edge};
use boardwise_units::{INCH_M, court, math};
use glam::DVec3;

/// Half the lane's width: the edge of the deck.
pub(crate) const EDGE_M: f64 = court::WIDTH_M / 2.0;
/// Centre line to kickback: 7-pin's 18 in and 12 1/16 in more \[M, consistent with 60 1/8 in over all\].
pub(crate) const KICKBACK_M: f64 = (18.0 + 12.0625) * INCH_M;
/// End of the deck \[S: Rules of the Game, 1990\].
pub(crate) const PIT_M: f64 = court::PIT_BEHIND_HEAD_PIN_M;
/// Depth of a gutter, 1 7/8 in \[S/M\].
const GUTTER_M: f64 = 1.875 * INCH_M;
/// Pit cushion behind the end of the deck: a guess, two feet \[M\]. What comes back from there is slow.
const CUSHION_M: f64 = PIT_M + 0.6;
/// A body deeper than this under a floor came from beside it: the floor does not lift it.
const BESIDE_M: f64 = 0.015;
/// Approach speed above which a body is moved back to the instant of contact before the blow, a few times what gravity
/// adds in a step; a slower one rests on the plane and is lifted onto it.
const REWIND_M_S: f64 = 0.04;

/// Cosine below which the belly reaches farther toward a plane than the base's edge: the outline's steepest slope at the
/// base is 0.53, a cosine of 0.47.
const BASE_AWAY_COSINE: f64 = 0.38;

/// The places of a pin that can touch a plane first.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Spot {
    /// The lowest point of the base's edge.
    Base,
    Belly,
    Head,
}

pub(crate) const SPOTS: [Spot; 3] = [Spot::Base, Spot::Belly, Spot::Head];

/// Arm from the centre of gravity to the pin's point that touches a plane with this normal first at a spot.
#[inline]
pub(crate) fn arm_to(shape: &Shape, axis: DVec3, normal: DVec3, spot: Spot) -> Option<DVec3> {
    let cosine = axis.dot(normal);
    match spot {
        Spot::Base => {
            if cosine < BASE_AWAY_COSINE {
                return None;
            }
            let down = axis * cosine - normal;
            let square = down.length_squared();
            // An upright pin has no lowest point; any direction across its axis serves.
            let low = if square > 1e-18 { down * (1.0 / math::sqrt(square)) } else { axis.cross(DVec3::Y) };
            Some(low * BASE_RADIUS_M - axis * shape.solid.cg_height_m)
        }
        Spot::Belly => shape.belly_on_plane(cosine).map(|t| axis * t - normal * shape.sphere(t).0),
        Spot::Head => shape.head_on_plane(cosine).map(|t| axis * t - normal * shape.sphere(t).0),
    }
}

/// Height of the floor under a place; none behind the end of the deck.
#[inline]
pub(crate) fn floor_m(x_m: f64, y_m: f64) -> Option<f64> {
    if y_m > PIT_M {
        None
    } else if x_m.abs() > EDGE_M {
        Some(-GUTTER_M)
    } else {
        Some(0.0)
    }
}

/// Surfaces of the surroundings.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Deck {
    pub pin_floor: Surface,
    pub kickback: Surface,
    pub cushion: Surface,
    pub ball_floor: Surface,
}

impl Deck {
    /// Lets a pin meet floor, kickbacks and cushion. Says how far it is at least from all of them: zero where it met one
    /// or may be beside the deck.
    pub fn hold_pin(&self, shape: &Shape, pin: &mut PinBody, step_s: f64) -> f64 {
        let reach = shape.reach_m;
        let DVec3 { x, y, z } = pin.centre_m;
        let mut clear_m = f64::INFINITY;
        if y < PIT_M + reach {
            clear_m = z - reach;
            if clear_m < 0.0 {
                clear_m = hold(shape, pin, DVec3::Z, self.pin_floor, step_s, |point| Plane {
                    gap_m: floor_m(point.x, point.y).map(|floor| point.z - floor).filter(|&gap| gap > -BESIDE_M),
                    // Nothing lies higher than the deck.
                    clear_m: point.z,
                });
            }
        }
        let beside_m = (x.abs() - EDGE_M).abs() - reach * pin.axis.x.abs() - BELLY_RADIUS_M;
        if beside_m < 0.0 && clear_m < 0.0 && y < PIT_M {
            self.hold_at_edge(shape, pin, step_s);
        }
        let mut wall_m = KICKBACK_M - reach - x.abs();
        if wall_m < 0.0 {
            let normal = if x > 0.0 { DVec3::NEG_X } else { DVec3::X };
            wall_m =
                hold(shape, pin, normal, self.kickback, step_s, |point| Plane::wall(KICKBACK_M + point.dot(normal)));
        }
        let mut back_m = CUSHION_M - reach - y;
        if back_m < 0.0 {
            back_m = hold(shape, pin, DVec3::NEG_Y, self.cushion, step_s, |point| Plane::wall(CUSHION_M - point.y));
        }
        clear_m.min(wall_m).min(back_m).max(0.0)
    }

    /// Lets a pin meet the edge of the deck toward the gutter, and the side of the deck under it.
    fn hold_at_edge(&self, shape: &Shape, pin: &mut PinBody, step_s: f64) {
        for (spot, lobe) in [(Spot::Belly, &shape.belly), (Spot::Head, &shape.head)] {
            let look = |pin: &PinBody| edge_touch(shape, pin, spot, lobe);
            if let Some(touch) = look(pin).filter(|touch| touch.gap_m < 0.0) {
                meet(pin, touch, self.pin_floor, step_s, look);
            }
        }
    }

    /// Lets the ball meet floor and kickbacks.
    #[inline]
    pub fn hold_ball(&self, ball: &mut BallMotion, radius_m: f64, step_s: f64) {
        if let Some(floor) = floor_m(ball.centre_m.x, ball.centre_m.y) {
            let gap = ball.centre_m.z - radius_m - floor;
            if gap < -BESIDE_M {
                // In the gutter, against the side of the deck.
                let normal = DVec3::X.copysign(ball.centre_m);
                strike(ball, &mut Fixed, ball.centre_m - normal * radius_m, normal, self.kickback);
            } else if gap < 0.0 {
                bounce(ball, radius_m, DVec3::Z, gap, self.ball_floor, step_s);
            }
        }
        let gap = KICKBACK_M - radius_m - ball.centre_m.x.abs();
        if gap < 0.0 {
            let normal = if ball.centre_m.x > 0.0 { DVec3::NEG_X } else { DVec3::X };
            bounce(ball, radius_m, normal, gap, self.kickback, step_s);
        }
    }
}

/// Where a part of a pin comes nearest to the edge of the deck, if the nearest of it is beside the deck: over the deck it
/// meets the floor.
fn edge_touch(shape: &Shape, pin: &PinBody, spot: Spot, lobe: &Lobe) -> Option<Touch> {
    let side = 1f64.copysign(pin.centre_m.x);
    let touch = lobe_and_edge(shape, pin, lobe, side * EDGE_M);
    let outward = touch.normal.x * side;
    if outward <= 0.0 || touch.point_m.y > PIT_M {
        None
    } else if touch.normal.z >= 0.0 {
        Some(touch)
    } else {
        // Lower than the edge: the upright side of the deck.
        let normal = DVec3::X * side;
        let point_m = pin.centre_m + arm_to(shape, pin.axis, normal, spot)?;
        let gap_m = point_m.x * side - EDGE_M;
        (gap_m > -BESIDE_M && point_m.z < 0.0).then_some(Touch { gap_m, normal, point_m })
    }
}

/// How far a point of a pin is from a plane.
struct Plane {
    /// Height over the plane; none where the plane ends.
    gap_m: Option<f64>,
    /// Height over the highest part of it.
    clear_m: f64,
}

impl Plane {
    #[inline]
    fn wall(gap_m: f64) -> Self {
        Self { gap_m: Some(gap_m), clear_m: gap_m }
    }
}

/// A pin against one plane: the least height of its spots.
#[inline]
fn hold(
    shape: &Shape,
    pin: &mut PinBody,
    normal: DVec3,
    surface: Surface,
    step_s: f64,
    plane_at: impl Fn(DVec3) -> Plane,
) -> f64 {
    let mut clear_m = f64::INFINITY;
    for spot in SPOTS {
        let Some(arm) = arm_to(shape, pin.axis, normal, spot) else { continue };
        let plane = plane_at(pin.centre_m + arm);
        clear_m = clear_m.min(plane.clear_m);
        if let Some(gap_m) = plane.gap_m.filter(|&gap| gap < 0.0) {
            let touch = Touch { gap_m, normal, point_m: pin.centre_m + arm };
            meet(pin, touch, surface, step_s, |pin| {
                arm_to(shape, pin.axis, normal, spot).map(|arm| Touch { point_m: pin.centre_m + arm, ..touch })
            });
        }
    }
    clear_m
}

/// A pin that has come into what stands still; `look` says where it touches once it has been moved back.
#[inline]
fn meet(pin: &mut PinBody, touch: Touch, surface: Surface, step_s: f64, look: impl Fn(&PinBody) -> Option<Touch>) {
    let approach = pin.velocity_at(touch.point_m - pin.centre_m).dot(touch.normal);
    if approach < -REWIND_M_S {
        let back = (touch.gap_m / approach).min(step_s);
        pin.coast(-back);
        let touch = look(pin).unwrap_or(touch);
        strike(pin, &mut Fixed, touch.point_m, touch.normal, surface);
        pin.coast(back);
    } else {
        if approach < 0.0 {
            strike(pin, &mut Fixed, touch.point_m, touch.normal, surface);
        }
        if approach < REWIND_M_S {
            pin.centre_m -= touch.normal * touch.gap_m;
        }
    }
}

/// The ball against one plane.
#[inline]
fn bounce(ball: &mut BallMotion, radius_m: f64, normal: DVec3, gap_m: f64, surface: Surface, step_s: f64) {
    let approach = ball.velocity_m_s.dot(normal);
    let back = if approach < -REWIND_M_S { (gap_m / approach).min(step_s) } else { 0.0 };
    ball.coast(-back);
    strike(ball, &mut Fixed, ball.centre_m - normal * radius_m, normal, surface);
    ball.coast(back);
    if (-REWIND_M_S..REWIND_M_S).contains(&approach) {
        ball.centre_m -= normal * gap_m;
    }
}
