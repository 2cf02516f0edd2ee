//! One blow of a ball on the head pin, alone: this engine's law, the differential law of friction, and a general engine by
//! its own law and with blows resolved as springs.
//!
//! `cargo run --release -p boardwise-tools --features general --bin blows`

use boardwise_pins::body::{BallMotion, PinBody, Rigid};
use boardwise_pins::profile::Profile;
use boardwise_pins::{BallBody, Constants, Rack, Surface, View, strike};
use boardwise_units::court;
use boardwise_units::stream::Stream;
use glam::DVec3;

#[path = "../../../crates/pins/tests/shared/entries.rs"]
mod entries;
#[path = "../../../crates/pins/tests/shared/general.rs"]
mod general;
#[path = "../../../crates/pins/tests/shared/resolved.rs"]
mod resolved;
#[path = "../../../crates/pins/tests/shared/smooth.rs"]
mod smooth;

/// Both bodies and where they touch.
struct Meeting {
    ball: BallMotion,
    pin: PinBody,
    point_m: DVec3,
    normal: DVec3,
}

/// The ball at the moment it meets an upright pin on the head spot, by bisection along its way.
fn meeting(entry: &boardwise_ball::Entry, ball: &BallBody, pin_mass_kg: f64) -> Meeting {
    let (profile, radius) = (Profile::published(), ball.radius_m);
    let solid = profile.solid();
    let nearest = |place: DVec3| {
        let out = place.truncate().length();
        let gap = |height: f64| (out - profile.radius_m(height)).hypot(radius - height) - radius;
        (1..13_000)
            .map(|i| f64::from(i) * 1e-5)
            .map(|h| (gap(h), h))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .expect("heights")
    };
    let along = entry.velocity_m_s.normalize();
    let start = DVec3::new(entry.x_m, entry.y_m - court::HEAD_PIN_M, radius);
    let (mut before, mut after) = (-0.05, 0.05);
    for _ in 0..40 {
        let middle = f64::midpoint(before, after);
        if nearest(start + along * middle).0 > 0.0 { before = middle } else { after = middle }
    }
    let centre_m = start + along * before;
    let height = nearest(centre_m).1;
    let point_m = (centre_m.truncate().normalize() * profile.radius_m(height)).extend(height);
    let per_inertia = 1.0 / (ball.mass_kg * ball.gyration_m * ball.gyration_m);
    let (velocity_m_s, spin_rad_s) = (entry.velocity_m_s, entry.spin_rad_s);
    let upright = DVec3::new(0.0, 0.0, solid.cg_height_m);
    Meeting {
        ball: BallMotion { centre_m, velocity_m_s, spin_rad_s, per_mass: 1.0 / ball.mass_kg, per_inertia },
        pin: PinBody::at_rest(upright, pin_mass_kg, solid.transverse_gyration_m, solid.axial_gyration_m),
        point_m,
        normal: (centre_m - point_m).normalize(),
    }
}

/// The blow in ten thousand slices, friction against the slip of each moment.
fn in_many_slices(m: &mut Meeting, surface: Surface) {
    let arms = (m.point_m - m.ball.centre_m, m.point_m - m.pin.centre_m);
    let apart = |m: &Meeting| m.ball.velocity_at(arms.0) - m.pin.velocity_at(arms.1);
    let approach = apart(m).dot(m.normal);
    let slice = -approach / (m.ball.mobility(m.normal, arms.0) + m.pin.mobility(m.normal, arms.1)) / 1e4;
    while apart(m).dot(m.normal) < -surface.restitution * approach {
        let slip = apart(m) - m.normal * apart(m).dot(m.normal);
        let along = slip.normalize_or_zero();
        let stopping = slip.length() / (m.ball.mobility(along, arms.0) + m.pin.mobility(along, arms.1));
        let impulse = m.normal * slice - along * stopping.min(surface.friction * slice);
        m.ball.push(impulse, arms.0);
        m.pin.push(-impulse, arms.1);
    }
}

fn show(name: &str, m: &Meeting, c: &Constants, [pin, spin, ball]: [DVec3; 3]) {
    let arms = (m.point_m - m.ball.centre_m, m.point_m - m.pin.centre_m);
    let before = m.ball.velocity_at(arms.0).dot(m.normal);
    // The ball's spin follows from the impulse.
    let impulse = -pin * c.pin_mass_kg;
    let ball_spin = m.ball.spin_rad_s + arms.0.cross(impulse) * m.ball.per_inertia;
    let after = (ball + ball_spin.cross(arms.0) - pin - spin.cross(arms.1)).dot(m.normal);
    let normal = impulse.dot(m.normal);
    println!(
        "{name:25} restitution {:.3}, friction {:.3}; pin {:.2} m/s at {:.2} degrees, turning {:.1} rad/s about its axis, down {:.3}",
        -after / before,
        (impulse - m.normal * normal).length() / normal,
        pin.length(),
        pin.x.atan2(pin.y).to_degrees(),
        spin.z,
        -pin.z
    );
}

fn main() {
    let c = Constants::default();
    let ball = BallBody::of_pounds(15.0);
    for (board, degrees) in [(17.5, 6.0), (15.5, 4.0), (14.5, 6.0), (18.5, 5.0)] {
        println!("board {board}, {degrees} degrees: {} and {}", c.ball_pin.restitution, c.ball_pin.friction);
        let entry = entries::rolling(board, degrees, 7.3, &ball);
        let fresh = || meeting(&entry, &ball, c.pin_mass_kg);
        let found = |m: &Meeting| [m.pin.velocity_m_s, m.pin.spin_rad_s(), m.ball.velocity_m_s];
        let (start, mut here, mut exact) = (fresh(), fresh(), fresh());
        strike(&mut here.ball, &mut here.pin, here.point_m, here.normal, c.ball_pin);
        show("here", &start, &c, found(&here));
        in_many_slices(&mut exact, c.ball_pin);
        show("differential law", &start, &c, found(&exact));
        for step_ms in [1.0, 0.5, 0.25, 0.125] {
            let peer = general::General::new(c, step_ms / 1e3);
            show(&format!("general, {step_ms} ms"), &start, &c, peer.blow(&entry, &ball));
        }
        for hz in [1000.0, 2000.0, 4000.0, 8000.0] {
            let springs = resolved::Springs { step_s: 1.0 / (32.0 * hz), bodies_hz: hz, surroundings_hz: hz };
            let (pin, ball) = resolved::Resolved::new(c, springs).blow(&entry, &ball, false, 0.006);
            show(&format!("general, springs of {hz} Hz"), &start, &c, [pin.velocity_m_s, pin.spin_rad_s(), ball]);
        }
    }
    println!("the same on the deck, 20 ms on");
    for (board, degrees) in [(17.5, 6.0), (14.5, 6.0)] {
        let entry = entries::rolling(board, degrees, 7.3, &ball);
        on_deck(&c, &entry, &ball);
    }
    pressed(&c);
}

fn tell(name: &str, pin: &PinBody) {
    let (v, w) = (pin.velocity_m_s, pin.spin_rad_s());
    println!("{name:36} velocity {v:.2} m/s, spin {w:.1} rad/s, leaning {:.3} rad", pin.axis.z.min(1.0).acos());
}

/// A pin pressed by the ball into the deck it stands on: how long the deck's blow takes against the ball's decides.
fn on_deck(c: &Constants, entry: &boardwise_ball::Entry, ball: &BallBody) {
    for step_ms in [1.5, 0.25, 0.01] {
        let quiet = Constants {
            spot_jitter_m: 0.0,
            restitution_jitter: 0.0,
            friction_jitter: 0.0,
            pin_mass_spread_kg: 0.0,
            step_s: step_ms / 1e3,
            ..*c
        };
        let mut seen = None;
        let mut see = |view: &View| {
            if view.time_s < 0.020_001 {
                seen = Some(view.pins[0]);
            }
        };
        let mut stream = Stream::keyed(1, "one pin", 0);
        Rack::new(quiet).watch(1, entry, ball, &mut stream, &mut see).expect("a legal throw");
        tell(&format!("here, {step_ms} ms"), &seen.expect("steps"));
    }
    for (bodies_hz, surroundings_hz) in [
        (4000.0, 4000.0),
        (1000.0, 1000.0),
        (16000.0, 16000.0),
        (8000.0, 400.0),
        (8000.0, 2000.0),
        (2000.0, 4000.0),
        (1000.0, 4000.0),
    ] {
        let step_s = 1.0 / (32.0 * f64::max(bodies_hz, surroundings_hz));
        let peer = resolved::Resolved::new(*c, resolved::Springs { step_s, bodies_hz, surroundings_hz });
        tell(&format!("springs {bodies_hz}, deck {surroundings_hz} Hz"), &peer.blow(entry, ball, true, 0.02).0);
    }
}

/// A pin flying into a second that stands a little before a third, in the air.
fn pressed(c: &Constants) {
    let rack = Rack::new(Constants { step_s: 1e-4, ..*c });
    let springs = resolved::Springs { step_s: 1.0 / 64e3, bodies_hz: 2000.0, surroundings_hz: 2000.0 };
    let peer = resolved::Resolved::new(*c, springs);
    for gap_m in [0.000_1, 0.003, 0.03] {
        println!("three pins in a row, the last two {} mm apart", gap_m * 1e3);
        let mut poses = [rack.upright(0.0, 0.0); 10];
        let apart = 2.0 * boardwise_pins::profile::BELLY_RADIUS_M + gap_m;
        for (pin, at) in
            poses.iter_mut().zip([[0.0, 0.0], [0.03, 0.2], [0.0, 0.2 + (apart * apart - 0.0009_f64).sqrt()]])
        {
            pin.centre_m += DVec3::new(at[0], at[1], 2.0);
        }
        poses[0].velocity_m_s.y = 8.0;
        poses[0].axis = DVec3::new(0.1, 0.2, 1.0).normalize();
        let mut last = poses;
        rack.release(&poses, 0b111, 0.02, |view| last = *view.pins);
        let there = peer.release(&poses[..3], false, 0.02);
        for (i, (here, there)) in last.iter().zip(&there).enumerate() {
            tell(
                &format!("pin {i} here, without its fall"),
                &PinBody { velocity_m_s: here.velocity_m_s + DVec3::Z * (court::GRAVITY_M_S2 * 0.02), ..*here },
            );
            tell(&format!("pin {i} there"), there);
        }
    }
}
