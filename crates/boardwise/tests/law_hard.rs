//! Files, terminals and records that people and other programs do odd things to.

use std::fs;
use std::path::Path;

use crate::answers::run;
use assert_cmd::Command;
use tempfile::TempDir;

/// A record with an evening in it.
fn evening() -> (TempDir, String) {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("../record/tests/earlier/v3.record");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.record");
    fs::copy(kept, &path).unwrap();
    (folder, path.to_str().unwrap().to_owned())
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn boardwise() -> Command {
    Command::cargo_bin("boardwise").unwrap()
}

#[test]
fn law_a_picture_that_is_there_stays_without_force_and_links_stay_with_it() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    for flag in ["--svg", "--png"] {
        let picture = at("mine");
        fs::write(&picture, "drawn by hand").unwrap();
        let said = boardwise().args(["read", flag]).arg(&picture).output().unwrap();
        assert_eq!(said.status.code(), Some(2));
        assert!(text(&said.stderr).contains("there is something of that name already"), "{}", text(&said.stderr));
        assert_eq!(fs::read_to_string(&picture).unwrap(), "drawn by hand");
        assert!(boardwise().args(["read", "--force", flag]).arg(&picture).output().unwrap().status.success());
        assert_ne!(fs::read(&picture).unwrap(), b"drawn by hand");
    }
    #[cfg(unix)]
    {
        fs::write(at("letter"), "dear").unwrap();
        std::os::unix::fs::symlink(at("letter"), at("link")).unwrap();
        for place in [at("link"), "/dev/null".into()] {
            let said = boardwise().args(["read", "--force", "--svg"]).arg(&place).output().unwrap();
            assert_eq!(said.status.code(), Some(2));
            assert!(text(&said.stderr).contains("is not replaced"), "{}", text(&said.stderr));
        }
        assert_eq!(fs::read_to_string(at("letter")).unwrap(), "dear");
        assert!(at("link").is_symlink());
    }
}

#[test]
fn law_what_others_wrote_cannot_steer_the_terminal() {
    let (folder, record) = evening();
    let odd = "dry\u{1b}[2J\u{1b}]0;x\u{7}\u{202e}\u{9b}31m\nscores 300";
    let logged = run(&["log", "none", "--note", odd, "--record", &record]);
    assert!(logged.status.success(), "{}", text(&logged.stderr));
    for command in ["after", "sheet"] {
        let said = text(&run(&[command, "--record", &record]).stdout);
        assert!(
            !said.chars().any(|c| c != '\n' && c.is_control()) && !said.contains('\u{202e}'),
            "{command}: {said:?}"
        );
        assert!(!said.lines().any(|line| line.starts_with("scores 300")), "{command}: a remark fakes a line: {said}");
    }
    assert!(text(&run(&["after", "--record", &record]).stdout).contains("dry\u{241b}[2J\u{241b}]0;x\u{2407}<U+202E>"));
    // Messages: a value typed, and a file's own text.
    let lane = folder.path().join("lane.toml");
    fs::write(&lane, "name = \"x\" # \u{202e}\nsmear_feet = 3\n").unwrap();
    for said in [
        run(&["throw", "--ball", "\u{1b}[31mred"]),
        run(&["read", "--lane", lane.to_str().unwrap()]),
        run(&["log", "\u{1b}[31m", "--record", &record]),
        run(&["throw", "--speed", "\u{1b}[31m"]),
    ] {
        assert_eq!(said.status.code(), Some(2));
        let said = text(&said.stderr);
        assert!(!said.chars().any(|c| c != '\n' && c.is_control()) && !said.contains('\u{202e}'), "{said:?}");
    }
}

#[test]
fn law_a_name_in_a_file_cannot_fake_a_line_or_turn_the_writing() {
    let folder = tempfile::tempdir().unwrap();
    let kit = folder.path().join("kit");
    assert!(boardwise().current_dir(folder.path()).args(["demo", "kit"]).output().unwrap().status.success());
    let lane = kit.join("lanes/house-40-flat.toml");
    let bowler = kit.join("bowlers/two-handed.toml");
    let (bag, event) = (kit.join("bag.toml"), kit.join("events/short-32-squad.toml"));
    for (file, key, flags) in [
        (&lane, "name = ", ["read", "--lane"]),
        (&bowler, "name = ", ["throw", "--bowler"]),
        (&bag, "id = ", ["throw", "--bag"]),
        (&bag, "finish = ", ["throw", "--bag"]),
        (&event, "name = ", ["block", "--event"]),
        (&event, "name = \"second ", ["block", "--event"]),
    ] {
        let good = fs::read_to_string(file).unwrap();
        for odd in ["dry\\nscores 300", "dry\\u001b[2J", "dry\\u202egnitalf", "dry\\u200b"] {
            let at = good.find(&format!("\n{key}")).unwrap() + 1;
            let end = at + good[at..].find('\n').unwrap();
            let word = key.split(" = ").next().unwrap();
            fs::write(file, format!("{}{word} = \"{odd}\"{}", &good[..at], &good[end..])).unwrap();
            let said = boardwise().args(flags).arg(file).output().unwrap();
            let why = text(&said.stderr);
            assert_eq!(said.status.code(), Some(2), "{odd} in {}: {}", file.display(), text(&said.stdout));
            assert!(why.contains("give it words in one line"), "{why}");
            assert!(
                !why.lines().any(|line| line.starts_with("scores")) && !why.contains(['\u{1b}', '\u{202e}']),
                "{why}"
            );
        }
        fs::write(file, good).unwrap();
    }
}

#[test]
fn law_what_a_spreadsheet_would_compute_is_defused_in_a_batch_too() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("in.csv"), "id,launch_deg\n=cmd|'/c calc'!A0,-1\nb,1\n").unwrap();
    let said = boardwise().current_dir(folder.path()).args(["throw", "--batch", "in.csv"]).output().unwrap();
    let said = text(&said.stdout);
    assert!(said.lines().nth(1).unwrap().starts_with("'=cmd|'/c calc'!A0,"), "{said}");
    assert!(said.lines().nth(1).unwrap().contains(",-1,"), "numbers stay numbers: {said}");
    assert!(said.lines().nth(2).unwrap().starts_with("b,"), "{said}");
}

#[test]
fn law_tables_fit_the_width_of_the_terminal() {
    let (_folder, record) = evening();
    for columns in ["40", "60", "80", "120"] {
        for arguments in [vec!["sheet", "--record", &record], vec!["throw"], vec!["read"]] {
            let said = boardwise().env("COLUMNS", columns).args(&arguments).output().unwrap();
            let wide = text(&said.stdout)
                .lines()
                .filter(|line| line.starts_with(['│', '┌', '╞', '└', '├']))
                .map(|line| line.chars().count())
                .max()
                .unwrap_or_default();
            assert!(wide > 0 && wide <= columns.parse().unwrap(), "{arguments:?} at {columns}: {wide}");
        }
    }
}

#[test]
fn law_no_colour_is_obeyed_and_nothing_is_coloured_where_nobody_looks() {
    for arguments in [vec!["read", "--lane", "house-41"], vec!["reed"], vec!["throw", "--speed", "fast"]] {
        for colour in [None, Some(("NO_COLOR", "1")), Some(("CLICOLOR_FORCE", "0"))] {
            let mut command = boardwise();
            if let Some((name, value)) = colour {
                command.env(name, value);
            }
            let said = command.args(&arguments).output().unwrap();
            assert!(!text(&said.stderr).contains('\u{1b}'), "{arguments:?}");
        }
    }
}

#[test]
fn law_errors_do_not_speak_the_programming_language() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str, content: &str| {
        fs::write(folder.path().join(name), content).unwrap();
        folder.path().join(name).to_str().unwrap().to_owned()
    };
    let bag = |change: &str| {
        let good =
            "[[ball]]\nid = \"one\"\nweight_lb = 15\ncover = \"reactive\"\nsurface = { grit = 2000 }\nrg_in = 2.52\n";
        format!("{good}{change}\n")
    };
    let files = [
        ("--bag", at("a.toml", &bag("differential_in = \"wide\""))),
        ("--bag", at("b.toml", &bag(""))),
        ("--bag", at("c.toml", &bag("differential_in = 0.04").replace("{ grit = 2000 }", "2000"))),
        ("--bag", at("d.toml", &bag("differential_in = 0.04\nlayout = 3"))),
        ("--lane", at("e.toml", "name = 3\n")),
        ("--lane", at("f.toml", "name = \"x\"\n[[strokes]]\nboards = [2]\n")),
        ("--lane", at("g.toml", "name = \"x\"\nstrokes = 3\n")),
        ("--bowler", at("h.toml", "hand = 3\n")),
        ("--bowler", at("i.toml", "hand = \"right\"\nspeed_mph = true\n")),
    ];
    let said = files.iter().map(|(flag, file)| run(&["throw", flag, file]));
    let typed = [
        run(&["throw", "--speed", "fast"]),
        run(&["sheet", "--target", "many"]),
        run(&["carry", "--racks", "-1.5"]),
        run(&["throw", "--seed", "99999999999999999999999"]),
        run(&["import", &at("x.json", "{\"schema\":2,\"bowlers\":3}"), "--record", "no-folder/none.record"]),
    ];
    for said in said.chain(typed) {
        assert_eq!(said.status.code(), Some(2));
        let said = text(&said.stderr);
        for word in [
            "f64", "f32", "u16", "u32", "u64", "usize", "i64", "struct ", "enum ", "Table", "literal", "variant",
            "field `",
        ] {
            assert!(!said.contains(word), "{word:?} in {said}");
        }
    }
}

#[test]
fn law_implausible_input_is_questioned_and_the_likely_mistake_named() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str, content: &str| {
        fs::write(folder.path().join(name), content).unwrap();
        folder.path().join(name).to_str().unwrap().to_owned()
    };
    let lane = |oil: f64| {
        format!(
            "name = \"x\"\n[[strokes]]\nboards = [2, 38]\nfeet = [0, 38]\nmicrolitres = {oil}\ndirection = \"out\"\n"
        )
    };
    let bag = "[[ball]]\nid = \"one\"\nweight_lb = 6.8\ncover = \"reactive\"\nsurface = { grit = 2000 }\nrg_in = 2.52\ndifferential_in = 0.04\n";
    let bowler = "hand = \"right\"\nspeed_mph = 27\nrev_rate_rpm = 45\nrotation_deg = 45\ntilt_deg = 15\n";
    let spare = format!("{}[spare]\nspeed_mph = 27\n", bowler.replace("27", "18").replace("45\nrot", "400\nrot"));
    for (arguments, words) in [
        (vec!["read", "--lane", &at("a.toml", &lane(20.0))], "millilitres"),
        (vec!["read", "--lane", &at("b.toml", &lane(52_000.0))], "52 mL of oil is very much"),
        (vec!["throw", "--bag", &at("c.toml", bag)], "is it kilograms? 6.8 kg are 15.0 lb"),
        (vec!["throw", "--bowler", &at("d.toml", bowler)], "if it is km/h, that is 16.8 mph"),
        (vec!["throw", "--bowler", &at("d.toml", bowler)], "45 rpm is hardly any turn"),
        (vec!["throw", "--speed", "27"], "if it is km/h, that is 16.8 mph"),
        (vec!["throw", "--revs", "45"], "45 rpm is hardly any turn"),
        (vec!["carry", "--speed", "27"], "if it is km/h, that is 16.8 mph"),
        (vec!["throw", "--bowler", &at("e.toml", &spare)], "line 7: 27 mph is faster than people bowl"),
        (
            vec!["throw", "--batch", &at("f.csv", "speed_mph,rev_rate_rpm\n18,300\n27,45\n27,45\n")],
            "line 3, speed_mph: 27 mph",
        ),
        (
            vec!["throw", "--batch", &at("f.csv", "speed_mph,rev_rate_rpm\n18,300\n27,45\n27,45\n")],
            "line 3, rev_rate_rpm: 45 rpm",
        ),
    ] {
        let said = run(&arguments);
        assert_eq!(said.status.code(), Some(0), "{}", text(&said.stderr));
        let said = text(&said.stderr);
        assert!(said.contains("warning: ") && said.contains(words), "{words:?} is missing in: {said}");
    }
    for demo in [vec!["read"], vec!["throw"], vec!["throw", "--bowler", "two-handed"]] {
        assert_eq!(text(&run(&demo).stderr), "", "{demo:?}");
    }
}

#[test]
fn law_a_backup_is_restored_on_a_new_machine_with_its_open_block() {
    let (folder, record) = evening();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (stick, new) = (at("stick"), at("new.record"));
    assert!(run(&["backup", &stick, "--record", &record]).status.success());
    let restored = run(&["restore", &stick, "--record", &new]);
    assert!(restored.status.success(), "{}", text(&restored.stderr));
    let sheet = |record: &str| text(&run(&["sheet", "--record", record]).stdout);
    assert_eq!(sheet(&new), sheet(&record));
    assert!(run(&["log", "none", "--record", &new]).status.success(), "the block goes on");
    let check = text(&run(&["check", "--record", &record]).stdout);
    assert!(check.contains("whole") && check.contains("digest"), "{check}");
    assert_eq!(run(&["backup", &stick, "--record", &record]).status.code(), Some(2), "nothing is replaced");
}

#[test]
fn law_a_copy_without_its_log_warns_and_is_not_written_into() {
    use boardwise_record::Record;
    let (folder, record) = evening();
    let mut open = Record::open(&record).unwrap();
    let note = boardwise_record::Fact::Note { text: "dry".into(), block: None, bowler: None };
    open.log(note, &"k".parse().unwrap(), "2027-01-01T12:00:00Z".parse().unwrap()).unwrap();
    let copy = folder.path().join("copy.record").to_str().unwrap().to_owned();
    fs::copy(&record, &copy).unwrap();
    for command in ["sheet", "after", "check"] {
        let said = run(&[command, "--record", &copy]);
        assert!(said.status.success(), "{}", text(&said.stderr));
        assert!(text(&said.stderr).contains("was copied while it was in use"), "{command}: {}", text(&said.stderr));
    }
    let export = folder.path().join("all.json").to_str().unwrap().to_owned();
    assert!(run(&["export", &export, "--record", &copy]).status.success());
    let logged = run(&["log", "none", "--record", &copy]);
    assert_eq!(logged.status.code(), Some(1));
    assert!(text(&logged.stderr).contains("was copied while it was in use"));
}

#[test]
fn law_an_export_with_a_line_missing_is_refused_and_begins_no_record() {
    let (folder, record) = evening();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (export, new) = (at("all.json"), at("new.record"));
    assert!(run(&["export", &export, "--record", &record]).status.success());
    let whole = fs::read_to_string(&export).unwrap();
    let without: Vec<&str> = whole.lines().filter(|line| !line.contains("slow hands")).collect();
    fs::write(&export, without.join("\n")).unwrap();
    let said = run(&["import", &export, "--record", &new]);
    assert_eq!(said.status.code(), Some(2));
    assert!(text(&said.stderr).contains("a line is missing or was changed"), "{}", text(&said.stderr));
    assert!(!Path::new(&new).exists());
    assert_eq!(run(&["export", &export, "--record", &record]).status.code(), Some(2), "an export replaces nothing");
}

#[test]
fn law_a_correction_of_another_block_is_refused() {
    let (_folder, record) = evening();
    let before = text(&run(&["sheet", "--record", &record]).stdout);
    let said = run(&["fix", "1", "10", "--block", "the week before", "--record", &record]);
    assert_eq!(said.status.code(), Some(2));
    assert!(text(&said.stderr).contains("the block is now"), "{}", text(&said.stderr));
    assert_eq!(text(&run(&["sheet", "--record", &record]).stdout), before);
}

#[test]
fn law_a_program_says_that_the_app_has_the_record_open() {
    let (_folder, record) = evening();
    let claim = boardwise_record::Claim::take(Path::new(&record), "the app (process 7)").unwrap();
    let said = text(&run(&["log", "none", "--record", &record]).stderr);
    assert!(said.contains("note: the app (process 7) has this record open"), "{said}");
    drop(claim);
    assert_eq!(text(&run(&["undo", "--record", &record]).stderr), "");
}

#[test]
fn law_a_server_leaves_all_of_it_in_the_file_when_idle_and_makes_a_backup() {
    use std::io::{BufRead, BufReader};
    use std::process::{Command as Process, Stdio};
    use std::time::{Duration, Instant};
    let (folder, record) = evening();
    let serve = || {
        let mut child = Process::new(assert_cmd::cargo::cargo_bin("boardwise"))
            .args(["serve", "--port", "0", "--record", &record])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        assert!(line.contains("boardwise is at"), "{line}");
        child
    };
    let mut child = serve();
    // Another program logs and is killed: nothing of its own is carried over.
    let mut open = boardwise_record::Record::open(&record).unwrap();
    let note = boardwise_record::Fact::Note { text: "dry".into(), block: None, bowler: None };
    open.log(note, &"k".parse().unwrap(), "2027-01-01T12:00:00Z".parse().unwrap()).unwrap();
    let whole = || {
        // Each copy in a folder of its own: one of a record that is being brought to a new version leaves files beside it.
        let place = tempfile::tempdir().unwrap();
        let copy = place.path().join("copy.record");
        fs::copy(&record, &copy).unwrap();
        // A copy of a file that is being written at that moment is no whole one, and says so.
        let Ok(copy) = boardwise_record::Record::open(&copy) else { return false };
        copy.read_only().is_none() && copy.notes().unwrap().iter().any(|note| note.text == "dry")
    };
    let (start, backups) = (Instant::now(), folder.path().join("a.record.backups"));
    while !whole() || fs::read_dir(&backups).map_or(0, Iterator::count) == 0 {
        assert!(start.elapsed() < Duration::from_mins(1), "not idle, or no backup");
        std::thread::sleep(Duration::from_millis(300));
    }
    // A second one says that there is another.
    let mut second = serve();
    second.kill().unwrap();
    let mut said = String::new();
    BufReader::new(second.stderr.take().unwrap()).read_line(&mut said).unwrap();
    assert!(said.contains("has this record open already"), "{said}");
    child.kill().unwrap();
    child.wait().unwrap();
    second.wait().unwrap();
}
