//! Attacks on the app: what strangers, crowds and power cuts do to it, each with its counts. Run as `cargo xtask attack`.

mod files;
mod program;
mod waits;

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::Path;
use std::process::Command;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use serde_json::{Value, json};

use crate::step::step;
use program::{Answer, Served};
pub use program::{addresses, ask, launch};
use waits::Waits;

/// Everything, cheapest first. Fails at the first thing that breaks.
pub fn all(program: &Path) -> Result<()> {
    for (name, attack) in ATTACKS {
        step(name, || attack(program))?;
    }
    Ok(())
}

/// Those with this word in their name.
pub fn some(program: &Path, word: &str) -> Result<()> {
    let chosen: Vec<_> = ATTACKS.iter().filter(|(name, _)| name.contains(word)).collect();
    ensure!(!chosen.is_empty(), "no attack has {word:?} in its name");
    chosen.into_iter().try_for_each(|(name, attack)| step(name, || attack(program)))
}

type Attack = fn(&Path) -> Result<()>;

const ATTACKS: &[(&str, Attack)] = &[
    ("half-open connections", half_open),
    ("slow clients", slow),
    ("wrong codes", wrong_codes),
    ("networks that come and go", networks),
    ("flipped bits", files::flipped_bits),
    ("mutated files and requests", files::mutated),
    ("two programs on one record", files::two_programs),
    ("a full disk", files::full_disk),
    ("kills", kills),
    ("forecasts beside the card", forecasts),
    ("a flood of searches for lines", flood),
    ("a crowd for five minutes", crowd),
];

fn begin(served: &Served) -> Result<()> {
    served.must("/lanes/start", Some(&json!({ "event": "short-32-squad", "counting": "nothing" }))).map(drop)
}

fn log(at: SocketAddr, key: &str) -> Result<Answer> {
    let answer = ask(at, "/lanes/shot", Some(&json!({ "key": key, "pins": "10" })))?;
    ensure!(answer.status == 200, "a shot was refused: {} {}", answer.status, answer.body);
    Ok(answer)
}

/// A shot, and its undo: every first ball that stands is one more for the card to learn from, and this is about shots alone.
fn log_and_undo(at: SocketAddr, key: &str) -> Result<Waits> {
    let mut waits = Waits::default();
    waits.add(log(at, key)?.took);
    let undo = ask(at, "/lanes/undo", Some(&json!({ "key": format!("{key}-undo"), "of": key })))?;
    ensure!(undo.status == 200, "an undo was refused: {} {}", undo.status, undo.body);
    waits.add(undo.took);
    Ok(waits)
}

/// The connections of these that were not closed, by trying to read.
fn still_open(streams: &mut [TcpStream]) -> usize {
    let open = |stream: &mut TcpStream| {
        let quiet = stream.set_read_timeout(Some(Duration::from_millis(1))).is_ok();
        let read = stream.read(&mut [0; 64]);
        quiet
            && read
                .is_err_and(|why| matches!(why.kind(), std::io::ErrorKind::WouldBlock | std::io::ErrorKind::TimedOut))
    };
    streams.iter_mut().filter_map(|stream| open(stream).then_some(())).count()
}

/// Connections that say nothing must not keep anybody out, and are dropped.
fn half_open(program: &Path) -> Result<()> {
    const SILENT: usize = 1024;
    let served = Served::start(program, false)?;
    begin(&served)?;
    let mut streams: Vec<TcpStream> = (0..SILENT).map_while(|_| TcpStream::connect(served.here).ok()).collect();
    let mut waits = Waits::default();
    for k in 0..10 {
        waits.add(log(served.here, &format!("shot-{k}"))?.took);
    }
    println!("    {} silent connections; shots logged meanwhile: {waits}", streams.len());
    thread::sleep(Duration::from_secs(35));
    let open = still_open(&mut streams);
    println!("    after 35 s {open} of them are open");
    ensure!(open == 0 && waits.at(1.0) < 1000.0, "silent connections kept others out");
    Ok(())
}

/// Clients that send a byte a second must not keep anybody out, and are dropped.
fn slow(program: &Path) -> Result<()> {
    const EACH: usize = 200;
    let served = Served::start(program, false)?;
    begin(&served)?;
    let head = "POST /lanes/shot HTTP/1.1\r\nHost: ";
    let body = format!("{head}{}\r\nContent-Type: application/json\r\nContent-Length: 900\r\n\r\n{{", served.here);
    let mut streams = Vec::new();
    for text in [head, &body] {
        for _ in 0..EACH {
            let mut stream = TcpStream::connect(served.here)?;
            stream.write_all(text.as_bytes())?;
            streams.push(stream);
        }
    }
    let mut waits = Waits::default();
    for second in 0..40 {
        for stream in &mut streams {
            // Whoever was thrown out cannot write any more.
            let _ = stream.write(b" ");
        }
        waits.add(log(served.here, &format!("shot-{second}"))?.took);
        thread::sleep(Duration::from_secs(1));
    }
    let open = still_open(&mut streams);
    println!(
        "    {} slow clients; shots logged meanwhile: {waits}; after 40 s {open} of them are connected",
        streams.len()
    );
    ensure!(open == 0 && waits.at(1.0) < 1000.0, "slow clients stayed, or kept others out");
    Ok(())
}

/// However many wrong codes come, the right one lets a device in.
fn wrong_codes(program: &Path) -> Result<()> {
    const GUESSERS: usize = 20;
    const GUESSES: usize = 5;
    let served = Served::start(program, true)?;
    let (Some(at), Some(code)) = (served.network, served.code.clone()) else {
        println!("    SKIPPED: this machine has no address in a network");
        return Ok(());
    };
    let guess = |code: &str| ask(at, "/pair", Some(&json!({ "code": code })));
    let mut counts = BTreeMap::new();
    thread::scope(|threads| {
        let guessers: Vec<_> = (0..GUESSERS)
            .map(|k| {
                threads.spawn(move || {
                    let wrong = |n: usize| format!("{:010}", k * GUESSES + n);
                    (0..GUESSES).map(|n| guess(&wrong(n)).map_or(0, |answer| answer.status)).collect::<Vec<_>>()
                })
            })
            .collect();
        for status in guessers.into_iter().filter_map(|guesser| guesser.join().ok()).flatten() {
            *counts.entry(status).or_insert(0) += 1;
        }
    });
    let right = guess(&code)?;
    println!("    wrong codes by status: {counts:?}; the right one after them: {}", right.status);
    ensure!(!counts.contains_key(&200), "a wrong code was taken");
    ensure!(right.status == 200, "the right code was refused: {}", right.body);
    Ok(())
}

/// Without a network the program says so; in one without a way out, and after a change of address, it says where it is.
fn networks(program: &Path) -> Result<()> {
    const SCRIPT: &str = "
        ip link set lo up || exit 9
        \"$0\" serve --network --port 0 --record \"$1\" & served=$!
        sleep 2; ip addr add 10.42.0.1/24 dev lo
        sleep 5; ip addr del 10.42.0.1/24 dev lo; ip addr add 10.43.0.1/24 dev lo
        sleep 5; kill $served; wait $served";
    let folder = tempfile::tempdir()?;
    let mut alone = Command::new("unshare");
    alone.args(["--map-root-user", "--net", "sh", "-c", SCRIPT]).arg(program).arg(folder.path().join("a.record"));
    let said = match alone.output() {
        Ok(said) if said.status.code() != Some(9) && !said.stdout.is_empty() => said.stdout,
        _ => {
            println!("    SKIPPED: this system lends no network of its own (unshare, ip)");
            return Ok(());
        }
    };
    let said = String::from_utf8_lossy(&said);
    let places = ["in no network", "http://10.42.0.1:", "http://10.43.0.1:"].map(|words| said.find(words));
    println!("    no network, one without a way out, another address: told at {places:?}");
    ensure!(places.iter().all(Option::is_some) && places.is_sorted(), "it was not said:\n{said}");
    Ok(())
}

/// What was acknowledged is on the sheet once after a kill.
fn kills(program: &Path) -> Result<()> {
    const TIMES: usize = 25;
    let mut served = Served::start(program, false)?;
    begin(&served)?;
    let mut told = Vec::new();
    for time in 0..TIMES {
        let at = served.here;
        let logging = thread::spawn(move || {
            let keys = (0..).map(|k| format!("{time}-{k}"));
            keys.map_while(|key| log(at, &key).is_ok().then_some(key)).collect::<Vec<_>>()
        });
        thread::sleep(Duration::from_millis(30 + 17 * time as u64));
        served.kill_and_start_again()?;
        told.extend(logging.join().ok().context("a logger broke")?);
    }
    let state = served.must("/lanes/state", None)?;
    let shots = state["sheet"]["deliveries"].as_array().context("the sheet has no shots")?;
    let mut on_sheet: BTreeMap<&str, usize> = BTreeMap::new();
    for key in shots.iter().filter_map(|shot| shot["key"].as_str()) {
        *on_sheet.entry(key).or_default() += 1;
    }
    let lost = told.iter().filter(|key| !on_sheet.contains_key(key.as_str())).count();
    let doubled = on_sheet.values().filter(|&&times| times > 1).count();
    println!("    {TIMES} kills, {} shots acknowledged: {lost} lost, {doubled} doubled", told.len());
    ensure!(lost == 0 && doubled == 0, "shots were lost or doubled");
    Ok(())
}

/// A shot, then the card: the time from asking for the card to having it.
fn card_after_shot(served: &Served, key: &str) -> Result<Duration> {
    log(served.here, key)?;
    let card = served.ask("/lanes/next", None)?;
    ensure!(card.status == 200, "no card: {} {}", card.status, card.body);
    Ok(card.took)
}

/// The card with nothing else going on, as a bowler asks for it.
fn calm_cards(served: &Served, name: &str) -> Result<Waits> {
    let mut waits = Waits::default();
    for k in 0..5 {
        waits.add(card_after_shot(served, &format!("{name}-{k}"))?);
        thread::sleep(Duration::from_secs(2));
    }
    Ok(waits)
}

/// The questions of the pages Before, as their buttons ask them.
fn forecasts(program: &Path) -> Result<()> {
    let served = Served::start(program, false)?;
    begin(&served)?;
    let calm = calm_cards(&served, "calm")?;
    let questions = ["bag", "block", "practice"].map(|what| format!("/before/{what}?event=short-32-squad"));
    for question in &questions {
        served.must(question, Some(&Value::Null))?;
    }
    thread::sleep(Duration::from_secs(1));
    let busy = calm_cards(&served, "busy")?;
    let states = ["bag", "block", "practice"].map(|what| {
        let state = served.must(&format!("/before/{what}/state?event=short-32-squad"), None);
        state.map(|state| state["state"].as_str().unwrap_or("?").to_owned()).unwrap_or_default()
    });
    println!("    the card alone: {calm}\n    beside bag, block, practice ({states:?} at the end): {busy}");
    ensure!(busy.at(1.0) < 2.0 * calm.at(1.0) + 500.0, "the card waited for a forecast");
    Ok(())
}

/// One device asks for 600 lines at once while twenty log and one reads the card.
fn flood(program: &Path) -> Result<()> {
    const SEARCHES: usize = 600;
    const LOGGERS: u64 = 20;
    const LASTS: Duration = Duration::from_secs(30);
    let served = Served::start(program, false)?;
    begin(&served)?;
    let calm = calm_cards(&served, "calm")?;
    let (at, over) = (served.here, AtomicBool::new(false));
    let (mut logged, mut cards, mut searches) = (Waits::default(), Waits::default(), BTreeMap::new());
    thread::scope(|threads| -> Result<()> {
        let over = &over;
        let flood: Vec<_> = (0..SEARCHES)
            .map(|_| {
                threads.spawn(move || {
                    let mut answers = Vec::new();
                    while !over.load(Ordering::Relaxed) {
                        answers.push(ask(at, "/lab/lines", None).map_or(0, |answer| answer.status));
                        // As long as the answer says.
                        thread::sleep(Duration::from_secs(2));
                    }
                    answers
                })
            })
            .collect();
        let (start, served) = (Instant::now(), &served);
        let loggers: Vec<_> = (0..LOGGERS)
            .map(|device| {
                threads.spawn(move || -> Result<Waits> {
                    let mut waits = Waits::default();
                    for k in 0.. {
                        // Between one and seven seconds, as people in turn, and each device at other times.
                        thread::sleep(Duration::from_millis(1000 + (k * 1777 + device * 919) % 6000));
                        if start.elapsed() > LASTS {
                            break;
                        }
                        waits.join(log_and_undo(at, &format!("{device}-{k}"))?);
                    }
                    Ok(waits)
                })
            })
            .collect();
        let mut told = Ok(());
        for k in 0.. {
            if start.elapsed() > LASTS || told.is_err() {
                break;
            }
            thread::sleep(Duration::from_secs(1));
            told = card_after_shot(served, &format!("own-{k}")).map(|took| cards.add(took));
        }
        over.store(true, Ordering::Relaxed);
        for logger in loggers {
            logged.join(logger.join().ok().context("a logger broke")??);
        }
        for status in flood.into_iter().filter_map(|one| one.join().ok()).flatten() {
            *searches.entry(status).or_insert(0) += 1;
        }
        told
    })?;
    println!("    searches by status (0: no connection): {searches:?}");
    println!("    shots and undos of {LOGGERS} devices: {logged}\n    cards: {cards}; before the flood: {calm}");
    println!("    memory {:.0} MB", served.memory_mb().unwrap_or(f64::NAN));
    ensure!(logged.at(0.99) < 200.0, "shots waited for searches");
    ensure!(cards.at(0.5) < 2.0 * calm.at(0.5) + 500.0, "cards waited for searches");
    Ok(())
}

/// Follows what happens in the block, and looks at it after every change, until the program ends.
fn follow(at: SocketAddr) -> Result<()> {
    let mut stream = TcpStream::connect(at)?;
    write!(stream, "GET /live HTTP/1.1\r\nHost: {at}\r\n\r\n")?;
    for line in BufReader::new(stream).lines() {
        if line?.starts_with("event: block") {
            ask(at, "/lanes/screen", None)?;
        }
    }
    Ok(())
}

/// Fifty devices log, undo and follow each other; memory must not grow with them.
fn crowd(program: &Path) -> Result<()> {
    const DEVICES: u64 = 50;
    const MINUTES: u64 = 5;
    const MOST_MB: f64 = 120.0;
    let served = Served::start(program, false)?;
    begin(&served)?;
    calm_cards(&served, "first")?;
    let (at, start, mut logged, mut memory) = (served.here, Instant::now(), Waits::default(), Vec::new());
    thread::scope(|threads| -> Result<()> {
        // They end with the program, and say nothing then.
        (0..DEVICES).for_each(|_| drop(thread::spawn(move || follow(at).ok())));
        let loggers: Vec<_> = (0..DEVICES)
            .map(|device| {
                threads.spawn(move || -> Result<Waits> {
                    let mut waits = Waits::default();
                    for k in 0.. {
                        thread::sleep(Duration::from_millis(2000 + (k * 1777 + device * 919) % 12_000));
                        if start.elapsed() > Duration::from_secs(60 * MINUTES) {
                            break;
                        }
                        waits.join(log_and_undo(at, &format!("{device}-{k}"))?);
                    }
                    Ok(waits)
                })
            })
            .collect();
        for minute in 0..=MINUTES {
            let until = Duration::from_secs(60 * minute);
            while start.elapsed() < until {
                thread::sleep(Duration::from_secs(2));
                served.ask("/lanes/next", None)?;
            }
            memory.push(served.memory_mb().unwrap_or(f64::NAN));
        }
        for logger in loggers {
            logged.join(logger.join().ok().context("a logger broke")??);
        }
        Ok(())
    })?;
    let words: Vec<String> = memory.iter().map(|mb| format!("{mb:.0}")).collect();
    println!("    shots and undos of {DEVICES} devices: {logged}");
    println!("    memory minute by minute, MB: {}", words.join(", "));
    let (early, last) = (memory[1], memory[memory.len() - 1]);
    ensure!(last < MOST_MB && last < early + 15.0, "memory grew");
    Ok(())
}
