//! Rows in which the trade speaks of covers, with the constants in use or others (`KEY=VALUE`); `--fit SECONDS` looks for better ones.
#[path = "../../tests/covers/mod.rs"]
#[allow(dead_code)]
mod covers;
mod rows;
use boardwise_units::stream::Stream;
use covers::Constants;
use rows::rows;

fn main() {
    let mut constants = Constants::default();
    let mut fit: Option<f64> = None;
    let mut free: Vec<String> = vec![];
    let mut args = std::env::args().skip(1);
    while let Some(a) = args.next() {
        if a == "--fit" {
            fit = args.next().and_then(|v| v.parse().ok());
            continue;
        }
        if let Some((k, v)) = a.split_once('=') {
            assert!(constants.set(k, v.parse().unwrap()), "{k}");
        } else {
            free.push(a);
        }
    }
    if std::env::var("SCAN").is_ok() {
        use boardwise_ball::*;
        use covers::*;
        let (l45, s32) = (long_flat(), short_flat());
        let (r45, r32) = (over(18.0, 12.0), over(8.0, 5.0));
        let st = |g: f64| strong(CoverKind::Reactive, Surface::sanded(g));
        let a = constants.seen(&l45, &st(1000.0), &r45);
        let b5 = constants.seen(&s32, &st(500.0), &r32);
        let b1 = constants.seen(&s32, &st(1000.0), &r32);
        println!(
            "strong 45 end {:.1}; 32: r500 bp {:.1} r1000 bp {:.1} turned {:.2}",
            a.end, b5.breakpoint, b1.breakpoint, b1.turned
        );
        for dry in [0.09, 0.10] {
            for film in [0.03, 0.035, 0.04, 0.045] {
                for reach in [0.1, 0.3, 0.5, 0.7, 0.9] {
                    let mut c = constants.clone();
                    c.set("u_dry", dry);
                    c.set("u_film", film);
                    c.set("u_reach", reach);
                    let u45 = c.seen(&l45, &urethane(500.0), &r45);
                    let us = |g: f64| strong(CoverKind::Urethane, Surface::sanded(g));
                    let u5 = c.seen(&s32, &us(500.0), &r32);
                    let u1 = c.seen(&s32, &us(1000.0), &r32);
                    println!(
                        "dry {dry} film {film} reach {reach}: 45 diff {:.1} (never closer to gutter than {:.1}); 32 bp u500 {:.1} u1000 {:.1} end {:.1} turned {:.2} roll {:.0}",
                        a.end - u45.end,
                        u45.breakpoint_board,
                        u5.breakpoint,
                        u1.breakpoint,
                        u5.end,
                        u5.turned,
                        u5.roll
                    );
                }
            }
        }
        return;
    }
    if let Some(seconds) = fit {
        let start = std::time::Instant::now();
        let mut rng =
            Stream::keyed(std::env::var("SEED").ok().and_then(|v| v.parse().ok()).unwrap_or(3), "fit covers", 0);
        let mut best = rows(&constants, false).iter().map(rows::Row::misfit).sum::<f64>();
        let mut n = 0;
        while start.elapsed().as_secs_f64() < seconds {
            n += 1;
            let width = 0.35 * (1.0 - 0.8 * start.elapsed().as_secs_f64() / seconds);
            let mut tried = constants.clone();
            for (k, v) in tried.0.iter_mut() {
                if free.iter().any(|f| f == k) && rng.uniform() < 0.4 {
                    *v *= (width * rng.normal()).exp();
                }
            }
            if tried.get("u_dry") < 0.09 || tried.get("thin") > 0.8 || tried.get("r_dry") > 0.22 {
                continue;
            }
<<<<<<< HEAD
=======
            if tried.get("stripe_mm") > 12.0 || tried.get("u_dry") < 0.09 || tried.get("thin") > 0.8 || tried.get("r_dry") > 0.22 { continue; }
>>>>>>> covers
            let m = rows(&tried, false).iter().map(rows::Row::misfit).sum::<f64>();
            if m < best {
                best = m;
                constants = tried;
                eprintln!(
                    "{n} {best:.3} {}",
                    free.iter().map(|f| format!("{f}={:.4}", constants.get(f))).collect::<Vec<_>>().join(" ")
                );
            }
        }
    }
    println!("{}", constants.0.iter().map(|(k, v)| format!("{k}={v:.4}")).collect::<Vec<_>>().join(" "));
    let all = rows(&constants, true);
    for row in &all {
        println!("{row}");
    }
    println!("misfit {:.3}", all.iter().map(rows::Row::misfit).sum::<f64>());
}
