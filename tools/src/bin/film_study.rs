//! Renders film of throws whose truth is known, measures it as `boardwise watch` does, and prints how far the measures are off.
//!
//! `cargo run --release -p boardwise-tools --features film --bin film_study -- [--seeds 0..40] [--settings 60/4,60/12]
//! [--rows FILE] [--outlines FILE] [--write FOLDER] [--crf 23]`
//!
//! - `--seeds`: the clips. 0 to 399 are for work; 400 to 499 are kept aside for the end.
//! - `--settings`: pictures a second and exposure in milliseconds, several with commas.
//! - `--rows`: a CSV file with a row for each clip.
//! - `--outlines`: a CSV file with a row for each outline of the ball, and how far it is off.
//! - `--write`: writes each clip as an H.264 file with its truth and its points beside it, and measures that file. Needs `ffmpeg`.
//! - `--marks`: marks on the ball, 0 to 3.
//! - `--crf`: how strongly it is compressed then.
//!
//! Clips are shared among as many threads as the machine has (`RAYON_NUM_THREADS` changes that). The answers do not depend on it.

use std::error::Error;
use std::fmt::Write as _;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

use boardwise_film::{FilmError, Measured, Picture, Pictures, Reel, Settings, Shot, VALUES, measure};
use boardwise_tools::footage::{Clip, Filming, Footage};
use boardwise_units::{Degrees, Rpm};
use glam::DVec2;
use rayon::prelude::*;

/// Names of the values, and what an error of each may be on the mean (60 pictures a second); 0 where nothing is asked.
const NAMES: [(&str, f64); VALUES] = [
    ("laydown, board", 0.25),
    ("launch, deg", 0.0),
    ("arrows, board", 0.25),
    ("breakpoint, board", 0.5),
    ("breakpoint, ft", 1.5),
    ("exit, board", 0.0),
    ("entry, board", 0.4),
    ("entry, deg", 0.5),
    ("release, mph", 0.0),
    ("pins, mph", 0.0),
];

/// Pictures of which the measuring side makes its still scene.
const FIRST: u32 = 8;

struct Asked {
    seeds: std::ops::Range<u64>,
    settings: Vec<Filming>,
    rows: Option<PathBuf>,
    outlines: Option<PathBuf>,
    write: Option<PathBuf>,
    crf: String,
    marks: usize,
}

/// What came of a clip.
struct Outcome {
    seed: u64,
    filming: Filming,
    place: usize,
    truth: Shot,
    /// Rev rate, rpm; rotation and tilt, degrees.
    turning: [f64; 3],
    measured: Result<Measured, String>,
    /// Feet, how far each outline is off across and down, its stated errors, and its radius, pixels.
    outlines: Vec<[f64; 6]>,
    /// How far the drawn ball is from the true one at worst, in radii.
    drawn_off: f64,
    seconds: f64,
}

fn main() -> Result<(), Box<dyn Error>> {
    let asked = asked(std::env::args().skip(1))?;
    let begun = Instant::now();
    let work: Vec<(u64, Filming)> =
        asked.settings.iter().flat_map(|filming| asked.seeds.clone().map(move |seed| (seed, *filming))).collect();
    let outcomes: Vec<Outcome> = work
        .par_iter()
        .with_max_len(1)
        .filter_map(|(seed, filming)| study(*seed, *filming, &asked))
        .collect::<Result<_, String>>()?;
    for filming in &asked.settings {
        let of: Vec<&Outcome> = outcomes
            .iter()
            .filter(|o| o.filming.rate_hz == filming.rate_hz && o.filming.exposure_s == filming.exposure_s)
            .collect();
        table(filming, &of);
    }
    if let Some(path) = &asked.rows {
        fs::write(path, rows(&outcomes)?)?;
    }
    if let Some(path) = &asked.outlines {
        fs::write(path, outline_rows(&outcomes)?)?;
    }
    println!("{} clips in {:.0} s", outcomes.len(), begun.elapsed().as_secs_f64());
    Ok(())
}

fn asked(mut words: impl Iterator<Item = String>) -> Result<Asked, Box<dyn Error>> {
    let mut asked = Asked {
        seeds: 0..40,
        settings: settings("60/4")?,
        rows: None,
        outlines: None,
        write: None,
        crf: "23".to_owned(),
        marks: 3,
    };
    while let Some(word) = words.next() {
        let value = words.next().ok_or_else(|| format!("{word} needs a value"))?;
        match word.as_str() {
            "--seeds" => {
                let (from, to) = value.split_once("..").ok_or("--seeds: such as 0..40")?;
                asked.seeds = from.parse()?..to.parse()?;
            }
            "--settings" => asked.settings = settings(&value)?,
            "--rows" => asked.rows = Some(value.into()),
            "--outlines" => asked.outlines = Some(value.into()),
            "--write" => asked.write = Some(value.into()),
            "--crf" => asked.crf = value,
            "--marks" => asked.marks = value.parse::<usize>()?.min(3),
            _ => return Err(format!("{word}: not known; the head of this program lists what is").into()),
        }
    }
    Ok(asked)
}

fn settings(text: &str) -> Result<Vec<Filming>, Box<dyn Error>> {
    let one = |text: &str| -> Result<Filming, Box<dyn Error>> {
        let (rate, exposure) = text.split_once('/').ok_or("--settings: such as 60/4")?;
        Ok(Filming { rate_hz: rate.parse()?, exposure_s: exposure.parse::<f64>()? / 1e3, jitter: 0.02 })
    };
    text.split(',').map(one).collect()
}

/// Renders and measures one clip; none where the seed gives none.
fn study(seed: u64, filming: Filming, asked: &Asked) -> Option<Result<Outcome, String>> {
    let clip = Clip { marks: asked.marks, ..Clip::of(seed, filming)? };
    let (truth, place, points, known) = (clip.truth(), clip.place, clip.points.clone(), clip.clone());
    let settings = Settings { hand: clip.hand, pattern_ft: Some(clip.pattern_ft), ..Settings::default() };
    let mut footage = Footage::new(clip);
    let begun = Instant::now();
    let measured = if let Some(folder) = &asked.write {
        let file = match written(&mut footage, folder, &asked.crf) {
            Ok(file) => file,
            Err(error) => return Some(Err(error.to_string())),
        };
        let begun = Instant::now();
        let measured = measured_file(&file, &points, &settings);
        println!("seed {seed}: {:.1} s to measure the file", begun.elapsed().as_secs_f64());
        measured
    } else {
        measure(&mut footage, &points, &settings)
    };
    let measured = measured.map_err(|error| error.to_string());
    let outlines = measured.as_ref().map_or_else(|_| Vec::new(), |measured| outlines(&known, measured));
    let turning = turning(&known);
    let drawn_off = measured.as_ref().map_or(f64::NAN, |measured| drawn_off(&known, measured));
    Some(Ok(Outcome {
        drawn_off,
        outlines,
        turning,
        seed,
        filming,
        place,
        truth,
        measured,
        seconds: begun.elapsed().as_secs_f64(),
    }))
}

/// Rev rate, rotation and tilt at release.
fn turning(clip: &Clip) -> [f64; 3] {
    let spin = clip.path.rows[0].spin_rad_s;
    let degrees = |rad: f64| Degrees::from_radians(rad).0;
    let level = spin.truncate().length();
    [Rpm::from_radians_per_second(spin.length()).0, degrees((-spin.y).atan2(-spin.x)), degrees(spin.z.atan2(level))]
}

/// How far the still scene is moved against the scene without shake, pixels: it is the mean of the first [`FIRST`] pictures.
fn moved(clip: &Clip) -> DVec2 {
    (0..FIRST).map(|k| clip.shake(f64::from(k) / clip.filming.rate_hz)).sum::<DVec2>() / f64::from(FIRST)
}

/// The largest distance of the drawn ball from the true one, in radii, from where the ball was first seen to the pins.
fn drawn_off(clip: &Clip, measured: &Measured) -> f64 {
    let first_s = measured.sightings.first().map_or(0.0, |s| s.time_s);
    let one = |k: u32| {
        let time_s = first_s + f64::from(k) / 60.0;
        let (drawn, _, _) = measured.ball_px(time_s)?;
        let row = drawn.y / clip.height as f64;
        let (truth, radius) = clip.outline(time_s, row)?;
        Some((drawn - moved(clip) - truth).length() / radius)
    };
    (0..240).filter_map(one).fold(0.0, f64::max)
}

/// How far outlines are off. They are told in pixels of the still scene, which is the mean of the first [`FIRST`] pictures with their
/// shake.
fn outlines(clip: &Clip, measured: &Measured) -> Vec<[f64; 6]> {
    let moved = moved(clip);
    let off = |s: &boardwise_film::Sighting| {
        let (middle, _) = clip.outline(s.time_s, s.row)?;
        let off = s.middle_px - moved - middle;
        Some([s.place_m.y / boardwise_units::FOOT_M, off.x, off.y, s.sd_px.x, s.sd_px.y, s.radius_px])
    };
    measured.sightings.iter().filter_map(off).collect()
}

fn measured_file(file: &Path, points: &[boardwise_film::Point], settings: &Settings) -> Result<Measured, FilmError> {
    let bytes = fs::read(file).map_err(|error| FilmError::Container(error.to_string()))?;
    measure(&mut Reel::open(&bytes)?, points, settings)
}

/// Writes a clip as a file with its points and its truth beside it.
fn written(footage: &mut Footage, folder: &Path, crf: &str) -> Result<PathBuf, Box<dyn Error>> {
    fs::create_dir_all(folder)?;
    let clip = footage.clip();
    let name = format!("{:03}-{:.0}-{:.0}", clip.seed, clip.filming.rate_hz, 1e3 * clip.filming.exposure_s);
    let points: Vec<String> =
        clip.points.iter().map(|p| format!("{}:{:.1},{:.1}", p.mark, p.seen_px.x, p.seen_px.y)).collect();
    fs::write(folder.join(format!("{name}.points")), points.join("\n") + "\n")?;
    let values = clip.truth().values();
    let truth: Vec<String> = NAMES.iter().zip(values).map(|((name, _), value)| format!("{name}: {value:.4}")).collect();
    let text = format!("hand: {:?}\nrelease: {:?}\n{}\n", clip.hand, clip.release, truth.join("\n"));
    fs::write(folder.join(format!("{name}.truth")), text)?;
    let file = folder.join(format!("{name}.mp4"));
    let (size, rate) = (format!("{}x{}", clip.width, clip.height), format!("{}", clip.filming.rate_hz));
    let mut child = Command::new("ffmpeg")
        .args(["-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", "gray", "-s", &size, "-r", &rate, "-i", "-"])
        .args(["-c:v", "libx264", "-preset", "veryfast", "-crf", crf, "-pix_fmt", "yuv420p"])
        .arg(&file)
        .stdin(Stdio::piped())
        .spawn()?;
    let mut pipe = child.stdin.take().ok_or("ffmpeg takes nothing in")?;
    let mut picture = Picture::default();
    while footage.next(&mut picture)? {
        pipe.write_all(&picture.luma)?;
    }
    drop(pipe);
    if child.wait()?.success() { Ok(file) } else { Err("ffmpeg failed".into()) }
}

fn table(filming: &Filming, outcomes: &[&Outcome]) {
    let good: Vec<(&Outcome, &Measured)> =
        outcomes.iter().filter_map(|o| o.measured.as_ref().ok().map(|measured| (*o, measured))).collect();
    println!(
        "\n{:.0} pictures a second, {:.0} ms: {} of {} clips measured, {:.1} s each",
        filming.rate_hz,
        1e3 * filming.exposure_s,
        good.len(),
        outcomes.len(),
        outcomes.iter().map(|o| o.seconds).sum::<f64>() / outcomes.len().max(1) as f64
    );
    println!(
        "| value | RMS | median | worst | asked | mean stated error | in 80% interval |\n|---|---|---|---|---|---|---|"
    );
    for (k, (name, allowed)) in NAMES.iter().enumerate() {
        let errors = errors(&good, k);
        row(name, &errors, *allowed);
    }
    let share: Vec<(f64, f64, bool)> = good
        .iter()
        .filter_map(|(o, measured)| {
            let estimate = measured.estimates()[8]?;
            let truth = o.truth.values()[8];
            let inside = (estimate.low..=estimate.high).contains(&truth);
            Some((100.0 * (estimate.value / truth - 1.0), 100.0 * estimate.error / truth, inside))
        })
        .collect();
    row("release, % of speed", &share, 1.0);
    let turns = |k: usize, share: bool| -> Vec<(f64, f64, bool)> {
        let one = |(o, measured): &(&Outcome, &Measured)| {
            let spin = measured.spin?;
            let estimate = [Some(spin.rev_rate), spin.rotation, spin.tilt][k]?;
            let (truth, per) = (o.turning[k], if share { 0.01 * o.turning[k] } else { 1.0 });
            Some((
                (estimate.value - truth) / per,
                estimate.error / per,
                (estimate.low..=estimate.high).contains(&truth),
            ))
        };
        good.iter().filter_map(one).collect()
    };
    for (k, (name, allowed)) in
        [("rev rate, %", 2.0), ("rotation, deg", 4.0), ("tilt, deg", 0.0)].into_iter().enumerate()
    {
        let of = turns(k, k == 0);
        row(&format!("{name} (of {})", of.len()), &of, allowed);
    }
    let mut drawn: Vec<f64> = good.iter().map(|(o, _)| o.drawn_off).collect();
    drawn.sort_by(f64::total_cmp);
    if let Some(worst) = drawn.last() {
        let within = drawn.iter().filter(|off| **off < 1.0).count();
        println!(
            "drawn over the film: within its radius of the ball all the way in {within} of {} clips; worst place: {:.2} radii in the middle clip, {worst:.2} in the worst",
            drawn.len(),
            drawn[drawn.len() / 2]
        );
    }
    for from in [0.0, 10.0, 20.0, 30.0, 40.0, 50.0] {
        let of: Vec<&[f64; 6]> =
            outcomes.iter().flat_map(|o| &o.outlines).filter(|o| (from..from + 10.0).contains(&o[0])).collect();
        let mean = |k: usize| of.iter().map(|o| o[k]).sum::<f64>() / of.len().max(1) as f64;
        let rms = |k: usize| (of.iter().map(|o| o[k] * o[k]).sum::<f64>() / of.len().max(1) as f64).sqrt();
        println!(
            "outlines from {from:.0} ft: {} seen, off by {:.2} px across ({:.2} on the mean), {:.2} down ({:.2})",
            of.len(),
            rms(1),
            mean(1),
            rms(2),
            mean(2)
        );
    }
    for o in outcomes {
        if let Err(error) = &o.measured {
            println!("seed {} (place {}): {error}", o.seed, o.place);
        }
    }
}

/// Error, stated error, and whether the interval holds the truth, of one value.
fn errors(good: &[(&Outcome, &Measured)], k: usize) -> Vec<(f64, f64, bool)> {
    good.iter()
        .filter_map(|(o, measured)| {
            let (truth, estimate) = (o.truth.values()[k], measured.estimates()[k]?);
            let inside = (estimate.low..=estimate.high).contains(&truth);
            truth.is_finite().then_some((estimate.value - truth, estimate.error, inside))
        })
        .collect()
}

fn row(name: &str, errors: &[(f64, f64, bool)], allowed: f64) {
    if errors.is_empty() {
        return;
    }
    let n = errors.len() as f64;
    let rms = (errors.iter().map(|e| e.0 * e.0).sum::<f64>() / n).sqrt();
    let mut sizes: Vec<f64> = errors.iter().map(|e| e.0.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let stated = errors.iter().map(|e| e.1).sum::<f64>() / n;
    let inside = 100.0 * errors.iter().filter(|e| e.2).count() as f64 / n;
    let asked = if allowed > 0.0 { format!("{allowed}") } else { "-".to_owned() };
    let (median, worst) = (sizes[sizes.len() / 2], sizes[sizes.len() - 1]);
    println!("| {name} | {rms:.3} | {median:.3} | {worst:.3} | {asked} | {stated:.3} | {inside:.0}% |");
}

fn rows(outcomes: &[Outcome]) -> Result<String, std::fmt::Error> {
    let mut text = String::from("seed,rate_hz,exposure_ms,place,sightings,misfit,lane_arrows,lane_pins");
    for (name, _) in NAMES {
        let name = name.replace(", ", "_").replace(' ', "_");
        write!(text, ",{name}_true,{name},{name}_error")?;
    }
    text.push('\n');
    for o in outcomes {
        let Ok(measured) = &o.measured else { continue };
        write!(text, "{},{},{},{}", o.seed, o.filming.rate_hz, 1e3 * o.filming.exposure_s, o.place)?;
        let (arrows, pins) = measured.lane_boards;
        write!(text, ",{},{:.3},{arrows:.3},{pins:.3}", measured.sightings.len(), measured.misfit)?;
        for (truth, estimate) in o.truth.values().iter().zip(measured.estimates()) {
            let (value, error) = estimate.map_or((f64::NAN, f64::NAN), |e| (e.value, e.error));
            write!(text, ",{truth:.4},{value:.4},{error:.4}")?;
        }
        text.push('\n');
    }
    Ok(text)
}

fn outline_rows(outcomes: &[Outcome]) -> Result<String, std::fmt::Error> {
    let mut text =
        String::from("seed,rate_hz,exposure_ms,place,feet,across_px,down_px,across_sd_px,down_sd_px,radius_px\n");
    for o in outcomes {
        for [feet, across, down, across_sd, down_sd, radius] in &o.outlines {
            write!(text, "{},{},{},{}", o.seed, o.filming.rate_hz, 1e3 * o.filming.exposure_s, o.place)?;
            writeln!(text, ",{feet:.2},{across:.3},{down:.3},{across_sd:.3},{down_sd:.3},{radius:.2}")?;
        }
    }
    Ok(text)
}
