//! The carry table in use, against what is published about carry: rows of the issue that the mean over the sets must give.

use boardwise_pins::carry::{Approach, Carry, Leaves};
use boardwise_pins::ensemble::ENSEMBLE;
use boardwise_pins::{Mask, mirrored};
use boardwise_units::Hand;
use std::sync::LazyLock;

static CARRY: LazyLock<Carry> =
    LazyLock::new(|| Carry::parse(include_bytes!("../../../data/carry/carry.bin")).expect("the table in use"));

/// A ball of 15 lb that rolls in at 7.3 m/s.
fn at(board: f64, angle_deg: f64) -> Approach {
    Approach { board, angle_deg, speed_m_s: 7.3, weight_lb: 15.0, roll: 1.0 }
}

/// Nodes and weights over a normal distribution, evenly over three deviations and a half.
fn normal((mean, deviation): (f64, f64), n: u32) -> Vec<(f64, f64)> {
    let z = |k: u32| -3.5 + 7.0 * (f64::from(k) + 0.5) / f64::from(n);
    let whole: f64 = (0..n).map(|k| (-0.5 * z(k).powi(2)).exp()).sum();
    (0..n).map(|k| (mean + deviation * z(k), (-0.5 * z(k).powi(2)).exp() / whole)).collect()
}

fn set(pins: &[u32]) -> Mask {
    pins.iter().fold(0, |mask, pin| mask | 1 << (pin - 1))
}

/// Chances of each set of pins.
struct Chances(Vec<f64>);

impl Chances {
    /// Of balls with this spread of boards, at one angle.
    fn spread(board: (f64, f64), angle_deg: f64) -> Self {
        let (mut sums, mut leaves) = (vec![0.0; 1024], Leaves::default());
        for (board, weight) in normal(board, 140) {
            CARRY.leaves(&at(board, angle_deg), Hand::Right, &mut leaves);
            leaves.iter().for_each(|(mask, share)| sums[usize::from(mask)] += weight * share);
        }
        Self(sums)
    }

    /// Of professionals, both hands (14% left-handed: a guess), at the entries of every set.
    fn professionals() -> Self {
        let (mut sums, mut leaves) = (vec![0.0; 1024], Leaves::default());
        for fitted in &ENSEMBLE {
            let come = fitted.professionals;
            for (board, of_board) in normal(come.board, 60) {
                for (angle_deg, of_angle) in normal(come.angle_deg, 8) {
                    let approach = Approach { speed_m_s: come.speed_m_s.0, ..at(board, angle_deg) };
                    CARRY.leaves(&approach, Hand::Right, &mut leaves);
                    let weight = of_board * of_angle / ENSEMBLE.len() as f64;
                    for (mask, share) in leaves.iter() {
                        sums[usize::from(mask)] += 0.86 * weight * share;
                        sums[usize::from(mirrored(mask))] += 0.14 * weight * share;
                    }
                }
            }
        }
        Self(sums)
    }

    fn strike(&self) -> f64 {
        self.0[0]
    }

    /// Share of the non-strikes, in percent.
    fn of_misses(&self, pins: &[u32]) -> f64 {
        100.0 * self.0[usize::from(set(pins))] / (1.0 - self.strike())
    }
}

#[test]
fn show_all() {
    let pro = Chances::professionals();
    println!("strikes {:.2}", 100.0 * pro.strike());
    for pins in
        [&[7][..], &[10], &[9], &[7, 10], &[3, 10], &[4, 6, 7, 10], &[5], &[8, 10], &[5, 7], &[2], &[2, 8], &[2, 4, 5]]
    {
        println!("{pins:?} {:.2}", pro.of_misses(pins));
    }
    let mut order: Vec<f64> = (1..1024).map(|m| 100.0 * pro.0[m] / (1.0 - pro.strike())).collect();
    order.sort_by(|a, b| b.total_cmp(a));
    println!("20th {:.2}", order[19]);
    for angle in [3.0, 4.0, 5.0, 6.0, 7.0] {
        let row: Vec<f64> = (52..=84).map(|k| CARRY.strike(&at(f64::from(k) / 4.0, angle))).collect();
        let (k, jump) =
            (1..row.len()).map(|k| (k, (row[k] - row[k - 1]).abs())).max_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
        let best = (0..row.len()).max_by(|&a, &b| row[a].total_cmp(&row[b])).unwrap();
        let mut dip: f64 = 0.0;
        for k in 0..best {
            let before = row[..=k].iter().copied().fold(0.0, f64::max);
            dip = dip.max(before - row[k]);
        }
        println!(
            "{angle}: jump {:.3} at {}, dip {:.3}, {:?}",
            jump,
            13.0 + k as f64 / 4.0,
            dip,
            row.iter().map(|s| (100.0 * s).round() as i32).collect::<Vec<_>>()
        );
    }
    for sd in [0.65, 0.97, 1.4] {
        for angle in [4.0, 6.0] {
            let aims: Vec<f64> = (0..=80).map(|k| 16.0 + 0.05 * f64::from(k)).collect();
            let best = aims
                .iter()
                .map(|&aim| (aim, Chances::spread((aim, sd), angle).strike()))
                .max_by(|a, b| a.1.total_cmp(&b.1))
                .unwrap();
            let inside: f64 = normal((best.0, sd), 140)
                .into_iter()
                .filter(|(b, _)| (16.5..=18.5).contains(b))
                .map(|(b, w)| w * CARRY.strike(&at(b, angle)))
                .sum();
            let c = Chances::spread((best.0, sd), angle);
            println!(
                "sd {sd} angle {angle}: best {best:?} from pocket {:.3}; 2 {:.2} 2-8 {:.2} 2-4-5 {:.2}",
                inside / best.1,
                c.of_misses(&[2]),
                c.of_misses(&[2, 8]),
                c.of_misses(&[2, 4, 5])
            );
            let mut sums = vec![0.0; CARRY.sets()];
            for (b, w) in normal(best_aim(best.0, sd), 140) {
                CARRY.add_strike_of_sets(&at(b, angle), w, &mut sums);
            }
            println!("   sets {:?}", sums.iter().map(|s| (1000.0 * s).round() as i32).collect::<Vec<_>>());
        }
    }
}
fn best_aim(a: f64, sd: f64) -> (f64, f64) {
    (a, sd)
}
