//! Standing and tipping, with nothing asleep and no early stop.

use boardwise_pins::body::{PinBody, Rigid};
use boardwise_pins::profile::{BASE_RADIUS_M, Profile};
use boardwise_pins::{Constants, FULL_RACK, Rack, Surface};
use boardwise_units::{INCH_M, court};
use glam::DVec3;

fn spots(rack: &Rack) -> [PinBody; 10] {
    court::PIN_SPOTS_IN.map(|(x, y)| rack.upright(x * INCH_M, y * INCH_M))
}

#[test]
fn law_ten_pins_stand_for_ten_seconds() {
    let rack = Rack::new(Constants::default());
    let poses = spots(&rack);
    let (mut lean, mut drift, mut end_s): (f64, f64, f64) = (0.0, 0.0, 0.0);
    rack.release(&poses, FULL_RACK, 10.0, |view| {
        end_s = view.time_s;
        assert_eq!(view.present, FULL_RACK);
        for (pin, pose) in view.pins.iter().zip(&poses) {
            lean = lean.max(pin.axis.truncate().length());
            drift = drift.max((pin.centre_m - pose.centre_m).length());
        }
    });
    assert!(end_s >= 10.0);
    // A hundredth of the angle at which it tips; a tenth of the jitter of its spot.
    assert!(lean < 9.93_f64.to_radians() / 100.0 && drift < 1e-4, "lean {lean} rad, drift {drift} m");
}

#[test]
fn law_no_pin_falls_through_the_edge_of_the_deck() {
    let rack = Rack::new(Constants::default());
    let half_m = court::WIDTH_M / 2.0;
    // Lower than a pin can lie in the gutter, whose floor is 1 7/8 in down, by the radius of its neck.
    let floor_m = -1.875 * INCH_M;
    for k in 0..48 {
        let mut poses = spots(&rack);
        let turn = f64::from(k) * 0.7;
        let side = if k % 2 == 0 { 1.0 } else { -1.0 };
        let pin = &mut poses[0];
        pin.axis = DVec3::new(turn.cos(), turn.sin(), 0.3 * (2.0 * turn).sin()).normalize();
        pin.centre_m = DVec3::new(side * (half_m + 0.01 * f64::from(k % 9 - 4)), 0.3, 0.12);
        pin.velocity_m_s = DVec3::new(side * 0.3 * f64::from(k % 7 - 3), 0.1, -0.5);
        rack.release(&poses, 1, 1.5, |view| {
            let pin = &view.pins[0];
            let lowest = pin.centre_m.z - 0.031;
            assert!(view.present == 0 || lowest > floor_m, "{k}: {} at {} s", pin.centre_m, view.time_s);
        });
    }
}

/// Whether a pin let go at a tilt on its base's lowest point stays up.
fn stays_up(rack: &Rack, tilt_degrees: f64, azimuth: f64) -> bool {
    let mut poses = spots(rack);
    let cg_height = poses[0].centre_m.z;
    let tilt = tilt_degrees.to_radians();
    let toward = DVec3::new(azimuth.cos(), azimuth.sin(), 0.0);
    let pin = &mut poses[0];
    pin.axis = toward * tilt.sin() + DVec3::Z * tilt.cos();
    pin.centre_m.z = cg_height * tilt.cos() + BASE_RADIUS_M * tilt.sin();
    // Beyond the balance it falls away as exp(6.9 t/s); a tenth of a degree off, that takes about a second.
    let mut least = 1.0_f64;
    rack.release(&poses, 1, 3.0, |view| least = least.min(view.pins[0].axis.z));
    least > 0.9
}

#[test]
fn truth_tip_angle_on_sixteen_azimuths() {
    // atan(base radius / centre of gravity's height): 9.93 degrees [C: the design, section 6].
    let rack = Rack::new(Constants::default());
    let truth = (BASE_RADIUS_M / Profile::published().solid().cg_height_m).atan().to_degrees();
    assert!((truth - 9.93).abs() < 0.005, "{truth}");
    for k in 0..16 {
        let azimuth = std::f64::consts::TAU * f64::from(k) / 16.0;
        let (mut stands, mut falls) = (5.0, 15.0);
        assert!(stays_up(&rack, stands, azimuth) && !stays_up(&rack, falls, azimuth));
        while falls - stands > 0.01 {
            let middle = f64::midpoint(stands, falls);
            if stays_up(&rack, middle, azimuth) { stands = middle } else { falls = middle }
        }
        assert!((stands - truth).abs() < 0.1, "tips at {stands} degrees, not {truth}, azimuth {azimuth}");
    }
}

/// Energy of a standing pin over that of one at rest, joules.
fn energy_j(pin: &PinBody, cg_height_m: f64) -> f64 {
    pin.energy_j() + court::GRAVITY_M_S2 / pin.per_mass * (pin.centre_m.z - cg_height_m)
}

/// A pin leaning by 8 degrees on its edge, turning about the vertical.
fn leaning(rack: &Rack, turning_kg_m2_s: f64) -> ([PinBody; 10], f64) {
    let mut poses = spots(rack);
    let (cg_height, tilt) = (poses[0].centre_m.z, 8.0_f64.to_radians());
    poses[0].axis = DVec3::new(tilt.sin(), 0.0, tilt.cos());
    poses[0].centre_m.z = cg_height * tilt.cos() + BASE_RADIUS_M * tilt.sin();
    poses[0].momentum_kg_m2_s = DVec3::new(0.0, 0.0, turning_kg_m2_s);
    (poses, cg_height)
}

#[test]
fn truth_a_rocking_pin_loses_what_a_rocking_block_loses() {
    // G. W. Housner, Bull. Seism. Soc. Am. 53 (1963) 403: rocking from edge to edge without slip or bounce, the rate turns
    // by 1 - 2 m R^2 sin^2(a)/I0, its energy by the square of that [M for the formula, C for the figure].
    let mut constants = Constants { friction_jitter: 0.0, step_s: 0.000_25, ..Constants::default() };
    constants.pin_deck = Surface { restitution: 0.0, friction: 1.0 };
    let rack = Rack::new(constants);
    let (poses, cg_height) = leaning(&rack, 0.0);
    let (mut before, mut after) = (None, None);
    rack.release(&poses, 1, 0.45, |view| {
        let (pin, lean) = (&view.pins[0], view.pins[0].axis.x);
        if after.is_none() && lean > 0.002 {
            before = Some(energy_j(pin, cg_height));
        } else if after.is_none() && lean < -0.002 {
            after = Some(energy_j(pin, cg_height));
        }
    });
    let kept = after.expect("it rocked over") / before.expect("it leaned");
    let solid = Profile::published().solid();
    let square = solid.cg_height_m.powi(2) + BASE_RADIUS_M.powi(2);
    let inertia = square + solid.transverse_gyration_m.powi(2);
    let sine_square = BASE_RADIUS_M.powi(2) / square;
    let truth = (1.0 - 2.0 * square * sine_square / inertia).powi(2);
    assert!((kept - truth).abs() < 0.01, "keeps {kept} of its energy, not {truth}");
}

#[test]
fn law_a_rocking_pin_gains_no_energy_but_for_the_step() {
    // On its edge a pin follows the floor to first order in the step; what it gains must vanish with the step.
    let gain = |step_s: f64| {
        let rack = Rack::new(Constants { step_s, ..Constants::default() });
        let (poses, cg_height) = leaning(&rack, 0.004);
        let (start, mut most) = (energy_j(&poses[0], cg_height), 0.0_f64);
        rack.release(&poses, 1, 8.0, |view| most = most.max(energy_j(&view.pins[0], cg_height)));
        (most / start - 1.0).max(0.0)
    };
    let (coarse, fine) = (gain(0.001), gain(0.000_25));
    assert!(coarse < 0.02 && fine < 0.3 * coarse + 1e-4, "gains {coarse} at 1 ms and {fine} at 0.25 ms");
}

#[test]
fn law_a_rocking_pin_comes_to_rest() {
    let rack = Rack::new(Constants::default());
    let (poses, cg_height) = leaning(&rack, 0.004);
    let mut last = f64::INFINITY;
    rack.release(&poses, 1, 20.0, |view| last = energy_j(&view.pins[0], cg_height));
    let start = energy_j(&poses[0], cg_height);
    assert!(last < 0.02 * start, "still {last} J of {start} J");
}
