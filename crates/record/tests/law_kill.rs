//! Processes that are killed, and processes that write at once: what was acknowledged is there, and the file is sound.
//!
//! A killed process leaves what it wrote to the system, which writes it to disk. That a fact is on disk when a call
//! returns rests on the sync at every commit (`synchronous = FULL`) and cannot be shown by killing processes.

use std::io::{BufRead, BufReader, Read};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use crate::scene::{Scene, id, key};
use boardwise_record::{Record, Seq, Shot};
use boardwise_units::stream::Stream;

/// Tells a child what to write: file, name before each key, bowler, how many.
const JOB: &str = "BOOK_TEST_JOB";

/// Rounds of the killing test: `BOOK_TEST_KILLS=500` for the thorough run.
const KILLS: &str = "BOOK_TEST_KILLS";

/// The child: logs shots and prints each key once it is acknowledged. Run by the other tests, never by itself.
#[test]
#[ignore = "the child process of the other tests"]
fn law_child() {
    let Ok(job) = std::env::var(JOB) else { return };
    let [path, name, bowler, count] = job.split('\n').collect::<Vec<_>>().try_into().unwrap();
    let mut record = Record::open_waiting(path, Duration::from_mins(1)).unwrap();
    for number in 0..count.parse().unwrap() {
        let key = key(&format!("{name} {number}"));
        record
            .log(Shot::standing(&id("free"), &id(bowler), "none".parse().unwrap()), &key, crate::scene::at(number))
            .unwrap();
        // A whole line at once, so that no half key is ever read.
        println!("{key}");
    }
}

fn child(scene: &Scene, name: &str, bowler: &str, count: u32) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "law_kill::law_child", "--ignored", "--nocapture"])
        .env(JOB, format!("{}\n{name}\n{bowler}\n{count}", scene.path().display()))
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// The keys a child printed, whole lines only.
fn acknowledged(printed: &str, name: &str) -> Vec<String> {
    let whole = printed.split_inclusive('\n').filter(|line| line.ends_with('\n'));
    // The test runner says a word before the first key, on the same line.
    whole.filter_map(|line| line.find(name).map(|at| line[at..].trim_end().to_owned())).collect()
}

#[test]
fn law_no_acknowledged_shot_is_lost_to_a_kill() {
    let rounds: u32 = std::env::var(KILLS).map_or(40, |rounds| rounds.parse().unwrap());
    let mut scene = Scene::new();
    let (mut all, mut unheard) = (0, 0);
    for round in 0..rounds {
        let name = format!("round {round} shot");
        let mut child = child(&scene, &name, "anna", 100_000);
        let mut output = BufReader::new(child.stdout.take().unwrap());
        // Killed once at least one shot is acknowledged, after a random time: in the middle of whatever it is doing.
        let mut printed = String::new();
        while acknowledged(&printed, &name).is_empty() {
            assert_ne!(output.read_line(&mut printed).unwrap(), 0, "the child ended by itself: {printed}");
        }
        let wait = Stream::keyed(1, "killed after", u64::from(round)).uniform() * 60_000.0;
        std::thread::sleep(Duration::from_micros(wait as u64));
        child.kill().unwrap();
        child.wait().unwrap();
        output.read_to_string(&mut printed).unwrap();
        let keys = acknowledged(&printed, &name);
        scene.record = scene.again();
        for text in &keys {
            assert!(scene.record.receipt(&key(text)).unwrap().is_some(), "lost in round {round}: {text}");
        }
        all += keys.len();
        // At most one shot may be there that nobody heard of: on disk already, not yet told.
        let there = scene.record.facts(Seq(0)).unwrap().len();
        assert!((all + unheard..=all + unheard + 1).contains(&there), "round {round}: {there} there, {all} told");
        unheard = there - all;
    }
    scene.record.check().unwrap();
    println!("{rounds} kills, {all} shots acknowledged, none lost, {unheard} more there");
}

#[test]
fn law_processes_that_write_at_once_lose_nothing() {
    let mut scene = Scene::new();
    let count = 150;
    // Two write for one bowler, so that they also want the same sheet.
    let children: Vec<_> = [("first", "anna"), ("second", "ben"), ("third", "anna")]
        .into_iter()
        .map(|(name, bowler)| (name, child(&scene, name, bowler, count)))
        .collect();
    for (name, child) in children {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{name}");
        let printed = String::from_utf8(output.stdout).unwrap();
        assert_eq!(acknowledged(&printed, &format!("{name} ")).len(), count as usize, "{name}");
    }
    scene.record = scene.again();
    let facts = scene.record.facts(Seq(0)).unwrap();
    let seqs: Vec<i64> = facts.iter().map(|logged| logged.seq.0).collect();
    assert_eq!(seqs, (1..=3 * i64::from(count)).collect::<Vec<_>>());
    scene.record.check().unwrap();
}

#[test]
fn law_openers_that_begin_a_record_at_once_agree() {
    let folder = tempfile::tempdir().unwrap();
    for round in 0..10 {
        let path = folder.path().join(format!("{round}.record"));
        let openers: Vec<_> = (0..4)
            .map(|_| {
                let path = path.clone();
                std::thread::spawn(move || Record::open(path).map(drop))
            })
            .collect();
        for opener in openers {
            opener.join().unwrap().unwrap();
        }
        let mut record = Record::open(&path).unwrap();
        crate::scene::people(&mut record);
        record.check().unwrap();
    }
}
