//! Attacks on what lies on the disk, and by what else reads it: flipped bits, mutated files and answers, a second program, a full disk.

use std::collections::BTreeSet;
use std::fs;
use std::net::SocketAddr;
use std::path::Path;
use std::process::{Command, Output};
use std::thread;

use anyhow::{Context, Result, ensure};
use serde_json::{Value, json};

use super::program::{Served, ask};

/// Numbers that look like chance, the same each time.
struct Chance(u64);

impl Chance {
    /// A number below `end`.
    fn below(&mut self, end: usize) -> usize {
        // A linear congruential generator; its high bits are the good ones.
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % end.max(1)
    }

    /// The bytes with a few changed, doubled or cut off.
    fn mutated(&mut self, bytes: &[u8]) -> Vec<u8> {
        const SIGNS: &[u8] = b"\"[]{}=,.-+0e\n\\\xff\0";
        let mut bytes = bytes.to_vec();
        for _ in 0..=self.below(4) {
            let at = self.below(bytes.len());
            match self.below(4) {
                0 => bytes.truncate(at),
                1 => bytes.insert(at, SIGNS[self.below(SIGNS.len())]),
                2 if at < bytes.len() => bytes[at] ^= 1 << self.below(8),
                _ => {
                    let piece: Vec<u8> = bytes[at..].iter().take(1 + self.below(40)).copied().collect();
                    bytes.splice(at..at, piece);
                }
            }
        }
        bytes
    }
}

/// Runs the program with a record.
fn with(program: &Path, record: &Path, arguments: &[&str]) -> Result<Output> {
    let mut command = Command::new(program);
    Ok(command.args(arguments).arg("--record").arg(record).output()?)
}

/// An evening on record: some frames, a correction and an undo.
fn evening(program: &Path, record: &Path) -> Result<()> {
    let begin = ["start", "--event", "short-32-squad"];
    let shots = ["10", "none", "3-6-10", "6", "none", "7", "none"].map(|pins| ["log", pins]);
    let all =
        [begin.as_slice()].into_iter().chain(shots.iter().map(<[&str; 2]>::as_slice)).chain([["undo"].as_slice()]);
    for arguments in all {
        let said = with(program, record, arguments)?;
        ensure!(said.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&said.stderr));
    }
    Ok(())
}

/// One flipped bit is told, or changes no answer.
pub fn flipped_bits(program: &Path) -> Result<()> {
    const FLIPS: usize = 600;
    let folder = tempfile::tempdir()?;
    let record = folder.path().join("a.record");
    evening(program, &record)?;
    let sheet = |record: &Path| with(program, record, &["sheet", "--json"]);
    let (sound, right) = (fs::read(&record)?, sheet(&record)?.stdout);
    let (mut chance, mut told, mut same) = (Chance(1), 0, 0);
    for _ in 0..FLIPS {
        let (byte, bit) = (chance.below(sound.len()), chance.below(8));
        let mut flipped = sound.clone();
        flipped[byte] ^= 1 << bit;
        fs::write(&record, &flipped)?;
        let said = sheet(&record)?;
        match said.status.code() {
            Some(0) if said.stdout == right => same += 1,
            Some(1 | 2) => told += 1,
            other => {
                let words = String::from_utf8_lossy(&said.stderr);
                anyhow::bail!("byte {byte}, bit {bit}: another sheet, or none (status {other:?}): {words}")
            }
        }
        for beside in ["a.record-wal", "a.record-shm"] {
            // Most flips leave none.
            let _ = fs::remove_file(folder.path().join(beside));
        }
    }
    println!("    {FLIPS} bits flipped: {told} told, {same} changed nothing of the sheet, 0 wrong sheets");
    Ok(())
}

/// Mutated kit files, exports and requests are refused or read. Nothing ends the program.
pub fn mutated(program: &Path) -> Result<()> {
    const EACH: usize = 300;
    let folder = tempfile::tempdir()?;
    let (record, export) = (folder.path().join("a.record"), folder.path().join("export.json"));
    evening(program, &record)?;
    let wrote = with(program, &record, &["export", &export.to_string_lossy()])?;
    ensure!(wrote.status.success(), "no export: {}", String::from_utf8_lossy(&wrote.stderr));
    let demo = folder.path().join("kit");
    let said = Command::new(program).arg("demo").arg(&demo).output()?;
    ensure!(said.status.success(), "no demo kit: {}", String::from_utf8_lossy(&said.stderr));
    let first = |shelf: &str| -> Result<std::path::PathBuf> {
        let all = fs::read_dir(demo.join(shelf))?.collect::<Result<Vec<_>, _>>()?;
        all.into_iter().map(|entry| entry.path()).min().context("an empty shelf")
    };
    let targets = [
        ("lane", first("lanes")?, ["read", "--lane"].as_slice()),
        ("bag", demo.join("bag.toml"), &["throw", "--bag"]),
        ("bowler", first("bowlers")?, &["throw", "--bowler"]),
        ("export", export, &["import", "--record", "other.record"]),
    ];
    let mut chance = Chance(2);
    for (what, from, arguments) in targets {
        let (sound, mut read, mut refused) = (fs::read(&from)?, 0, 0);
        let mutated = folder.path().join(format!("mutated-{what}"));
        for _ in 0..EACH {
            fs::write(&mutated, chance.mutated(&sound))?;
            let said = Command::new(program).args(arguments).arg(&mutated).current_dir(folder.path()).output()?;
            match said.status.code() {
                Some(0) => read += 1,
                Some(1 | 2) if !said.stderr.is_empty() => refused += 1,
                other => {
                    let kept = std::env::temp_dir().join(format!("mutated-{what}"));
                    fs::copy(&mutated, &kept)?;
                    anyhow::bail!("{} ended the program ({other:?})", kept.display())
                }
            }
        }
        println!("    {EACH} mutated files, {what}: {refused} refused, {read} read");
    }
    requests(program, &mut chance)
}

/// Mutated requests get an answer that is no failure of the program, and the next one is answered.
fn requests(program: &Path, chance: &mut Chance) -> Result<()> {
    const EACH: usize = 300;
    let served = Served::start(program, false)?;
    super::begin(&served)?;
    let bodies = [
        (
            "/lanes/shot",
            json!({ "key": "a", "pins": "3-10", "turn": { "game": 1, "frame": 1, "ball": 1 }, "note": "dry" }),
        ),
        ("/lanes/move", json!({ "key": "b", "slide": 20.5, "look": 10, "speed_mph": 17 })),
        ("/lanes/fix", json!({ "key": "c", "of": "a", "pins": "10", "block": "x" })),
    ];
    let (mut done, mut refused) = (0, 0);
    for (path, body) in bodies {
        let sound = body.to_string();
        for _ in 0..EACH {
            let mutated = String::from_utf8_lossy(&chance.mutated(sound.as_bytes())).into_owned();
            let answer = super::program::send(served.here, path, Some(&mutated))?;
            match answer.status {
                200 => done += 1,
                400..500 => refused += 1,
                other => anyhow::bail!("{path} with {mutated:?}: {other} {}", answer.body),
            }
        }
    }
    served.must("/lanes/state", None)?;
    println!("    {} mutated requests: {refused} refused, {done} done, 0 failures of the program", 3 * EACH);
    Ok(())
}

/// Two servers and the command line log turn by turn on one record. No turn is taken twice and nothing acknowledged is missing.
pub fn two_programs(program: &Path) -> Result<()> {
    const BLOCKS: usize = 8;
    let first = Served::start(program, false)?;
    let (mut acknowledged, mut late) = (0, 0);
    for block in 0..BLOCKS {
        let begun = json!({ "event": "short-32-squad", "key": format!("block-{block}") });
        first.must("/lanes/start", Some(&begun))?;
        let second = first.another()?;
        let fight = |at: SocketAddr, name: String| -> Result<(BTreeSet<String>, usize)> {
            let (mut taken, mut late) = (BTreeSet::new(), 0);
            for number in 0.. {
                let state: Value = serde_json::from_str(&ask(at, "/lanes/state", None)?.body)?;
                let next = &state["sheet"]["next"];
                if next.is_null() {
                    break;
                }
                let (key, turn) = (
                    format!("{name}-{number}"),
                    json!({ "game": next["game"], "frame": next["frame"], "ball": next["ball_of_frame"] }),
                );
                let shot = json!({ "key": key, "pins": "none", "turn": turn });
                match ask(at, "/lanes/shot", Some(&shot))? {
                    answer if answer.status == 200 => {
                        taken.insert(key);
                    }
                    answer if (400..500).contains(&answer.status) => late += 1,
                    answer => anyhow::bail!("a shot failed: {} {}", answer.status, answer.body),
                }
            }
            Ok((taken, late))
        };
        let by_hand = || -> Result<(BTreeSet<String>, usize)> {
            let (mut taken, mut late) = (BTreeSet::new(), 0);
            for number in 0..12 {
                let key = format!("hand-{block}-{number}");
                let said = with(program, &first.record(), &["log", "none", "--key", &key])?;
                if said.status.success() {
                    taken.insert(key);
                } else {
                    late += 1;
                }
            }
            Ok((taken, late))
        };
        let all = thread::scope(|threads| {
            let one = threads.spawn(|| fight(first.here, format!("one-{block}")));
            let two = threads.spawn(|| fight(second.here, format!("two-{block}")));
            let hand = threads.spawn(by_hand);
            [one.join(), two.join(), hand.join()]
        });
        let mut taken = BTreeSet::new();
        for part in all {
            let (keys, refused) = part.ok().context("a logger broke")??;
            taken.extend(keys);
            late += refused;
        }
        let state = first.must("/lanes/state", None)?;
        let shots = state["sheet"]["deliveries"].as_array().context("the sheet has no shots")?;
        let on_sheet: Vec<&str> = shots.iter().filter_map(|shot| shot["key"].as_str()).collect();
        let once: BTreeSet<&str> = on_sheet.iter().copied().collect();
        ensure!(once.len() == on_sheet.len(), "block {block}: a shot is there twice");
        ensure!(once == taken.iter().map(String::as_str).collect(), "block {block}: acknowledged and logged differ");
        ensure!(state["sheet"]["total"] == json!(900), "block {block}: {}", state["sheet"]["total"]);
        acknowledged += taken.len();
    }
    println!(
        "    two servers and the command line, {BLOCKS} blocks of three perfect games: {acknowledged} shots acknowledged,"
    );
    println!("    {late} refused since another was first, 0 lost, 0 doubled");
    Ok(())
}

/// On a disk that fills up a shot is acknowledged and there, or refused with a word, and goes through once there is room.
pub fn full_disk(program: &Path) -> Result<()> {
    // A disk of its own, in memory. What is said last: shots acknowledged, refusals, shots on the sheet.
    const SCRIPT: &str = r#"
        mount -t tmpfs -o size=2m tmpfs "$1" || exit 9
        cd "$1"; logged=0; refused=0; other=0
        "$0" start --event short-32-squad --counting nothing --record a.record >/dev/null || exit 8
        head -c 1500000 /dev/zero > filler1; head -c 3000000 /dev/zero > filler2 2>/dev/null
        for k in $(seq 60); do
            if said=$("$0" log 10 --key "k$k" --record a.record 2>&1 >/dev/null); then logged=$((logged+1)); continue; fi
            case "$said" in *"no room left"*) refused=$((refused+1));; *) other=$((other+1)); echo "$said" >&2;; esac
        done
        "$0" throw --out out.csv --batch "$2" >/dev/null 2>&1 && other=$((other+1)); test -e out.csv && other=$((other+1))
        rm filler1 filler2
        "$0" log 10 --key "k60" --record a.record >/dev/null || other=$((other+1))
        "$0" check --record a.record >/dev/null || other=$((other+1))
        echo "$logged $refused $other $("$0" sheet --json --record a.record)""#;
    let folder = tempfile::tempdir()?;
    let rows = folder.path().join("rows.csv");
    let table: Vec<String> =
        std::iter::once("laydown".to_owned()).chain((0..20_000).map(|_| "17".to_owned())).collect();
    fs::write(&rows, table.join("\n"))?;
    let place = folder.path().join("disk");
    fs::create_dir(&place)?;
    let mut alone = Command::new("unshare");
    alone
        .args(["--map-root-user", "--mount", "sh", "-c", SCRIPT])
        .arg(fs::canonicalize(program)?)
        .arg(&place)
        .arg(&rows);
    let said = match alone.output() {
        Ok(said) if said.status.code() != Some(9) => said,
        _ => {
            println!("    SKIPPED: this system lends no disk of its own (unshare, mount)");
            return Ok(());
        }
    };
    let (out, why) = (String::from_utf8_lossy(&said.stdout), String::from_utf8_lossy(&said.stderr));
    let mut words = out.splitn(4, ' ');
    let mut number = || words.next().and_then(|word| word.parse::<usize>().ok()).with_context(|| format!("{out}{why}"));
    let (logged, refused, other) = (number()?, number()?, number()?);
    let sheet: Value = serde_json::from_str(words.next().unwrap_or_default())?;
    let shots = sheet["deliveries"].as_array().map_or(0, Vec::len);
    println!(
        "    a disk that fills up: {logged} shots acknowledged, {refused} refused for want of room, {other} other failures; {shots} on the sheet"
    );
    // The last one was tried once more with room.
    ensure!(other == 0 && refused > 0 && (logged..=logged + 1).contains(&shots), "{why}");
    Ok(())
}
