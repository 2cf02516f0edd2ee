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
        if a == "--fit" { fit = args.next().and_then(|v| v.parse().ok()); continue; }
        if let Some((k, v)) = a.split_once('=') { assert!(constants.set(k, v.parse().unwrap()), "{k}"); }
        else { free.push(a); }
    }
    if let Some(seconds) = fit {
        let start = std::time::Instant::now();
        let mut rng = Stream::keyed(std::env::var("SEED").ok().and_then(|v| v.parse().ok()).unwrap_or(3), "fit covers", 0);
        let mut best = rows(&constants, false).iter().map(rows::Row::misfit).sum::<f64>();
        let mut n = 0;
        while start.elapsed().as_secs_f64() < seconds {
            n += 1;
            let width = 0.35 * (1.0 - 0.8 * start.elapsed().as_secs_f64() / seconds);
            let mut tried = constants.clone();
            for (k, v) in tried.0.iter_mut() {
                if free.iter().any(|f| f == k) && rng.uniform() < 0.4 { *v *= (width * rng.normal()).exp(); }
            }
            if tried.get("u_dry") < 0.09 || tried.get("thin") > 0.8 || tried.get("r_dry") > 0.22 { continue; }
            let m = rows(&tried, false).iter().map(rows::Row::misfit).sum::<f64>();
            if m < best { best = m; constants = tried; 
              eprintln!("{n} {best:.3} {}", free.iter().map(|f| format!("{f}={:.4}", constants.get(f))).collect::<Vec<_>>().join(" ")); }
        }
    }
    println!("{}", constants.0.iter().map(|(k, v)| format!("{k}={v:.4}")).collect::<Vec<_>>().join(" "));
    let all = rows(&constants, true);
    for row in &all { println!("{row}"); }
    println!("misfit {:.3}", all.iter().map(rows::Row::misfit).sum::<f64>());
}
