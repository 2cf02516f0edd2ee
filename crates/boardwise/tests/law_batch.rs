//! `throw --batch`: rows in, the same rows with what came of them out.

use assert_cmd::Command;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

fn throw(folder: &Path, arguments: &[&str]) -> std::process::Output {
    let mut command = Command::cargo_bin("boardwise").unwrap();
    command.current_dir(folder).arg("throw").args(arguments).output().unwrap()
}

fn rows(text: &[u8]) -> Vec<Vec<String>> {
    let text = String::from_utf8(text.to_vec()).unwrap();
    text.lines().map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

/// The cells of a column.
fn column(rows: &[Vec<String>], name: &str) -> Vec<String> {
    let place = rows[0].iter().position(|one| one == name).unwrap();
    rows[1..].iter().map(|row| row[place].clone()).collect()
}

#[test]
fn law_a_batch_throws_each_row_as_a_single_throw_does() {
    let folder = TempDir::new().unwrap();
    let table = "id,ball,laydown,arrows,speed_mph\na,urethane-dull,15,9,17\nb,strong-solid,20,12.5,18\n";
    fs::write(folder.path().join("in.csv"), table).unwrap();
    let out = throw(folder.path(), &["--batch", "in.csv"]);
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let answers = rows(&out.stdout);
    assert_eq!(column(&answers, "id"), ["a", "b"]);
    assert_eq!(column(&answers, "ball"), ["urethane-dull", "strong-solid"]);
    for (k, (ball, laydown, arrows, speed)) in
        [("urethane-dull", "15", "9", "17"), ("strong-solid", "20", "12.5", "18")].into_iter().enumerate()
    {
        let flags = ["--json", "--ball", ball, "--laydown", laydown, "--arrows", arrows, "--speed", speed];
        let single: serde_json::Value = serde_json::from_slice(&throw(folder.path(), &flags).stdout).unwrap();
        for (key, within) in [("board", 0.6), ("angle_deg", 0.6), ("speed_mph", 0.1)] {
            let (one, many) =
                (single["entry"][key].as_f64().unwrap(), column(&answers, &format!("entry_{key}"))[k].clone());
            assert!((one - many.parse::<f64>().unwrap()).abs() < within, "{key}: {one} {many}");
        }
    }
    assert_eq!(column(&answers, "gutter_side"), ["", ""]);
    fs::write(folder.path().join("in.csv"), "laydown,launch_deg\n3,4\n").unwrap();
    let lost = rows(&throw(folder.path(), &["--batch", "in.csv"]).stdout);
    assert_eq!((column(&lost, "gutter_side")[0].as_str(), column(&lost, "entry_board")[0].as_str()), ("hand", ""));
}

#[test]
fn law_a_row_comes_out_the_same_whatever_rows_stand_around_it() {
    let folder = TempDir::new().unwrap();
    let row = |k: u32| {
        format!(
            "{},{},{}\n",
            10.0 + f64::from(k % 37) / 4.0,
            0.5 + f64::from(k % 11) / 5.0,
            16.0 + f64::from(k % 7) / 2.0
        )
    };
    let head = "laydown,launch_deg,speed_mph\n";
    let all: String = (0..1500).map(row).fold(head.to_owned(), |text, row| text + &row);
    fs::write(folder.path().join("all.csv"), all).unwrap();
    let done = throw(folder.path(), &["--batch", "all.csv", "--out", "out.csv"]);
    assert!(done.status.success() && done.stdout.is_empty());
    let together = rows(&fs::read(folder.path().join("out.csv")).unwrap());
    assert_eq!(together.len(), 1501);
    for k in [0, 1, 511, 512, 1023, 1499] {
        fs::write(folder.path().join("one.csv"), head.to_owned() + &row(k)).unwrap();
        let alone = rows(&throw(folder.path(), &["--batch", "one.csv"]).stdout);
        assert_eq!(alone[1], together[1 + k as usize]);
    }
}

#[test]
fn law_a_bad_row_is_named_and_nothing_is_written() {
    let folder = TempDir::new().unwrap();
    for (table, said) in [
        ("laydwon\n15\n", "did you mean \"laydown\"?"),
        ("laydown,laydown\n15,15\n", "twice"),
        ("launch_deg,arrows\n1,10\n", "leave one out"),
        ("laydown\n15\nfifteen\n", "line 3, laydown \"fifteen\": give a number"),
        ("laydown\n15\nnan\n", "give a number"),
        ("laydown\n15\n50\n", "line 3, laydown \"50\": must be 0.5 to 39.5"),
        ("arrows\n-1\n", "arrows \"-1\": must be 0.5 to 39.5"),
        ("ball\nplastc\n", "the balls are"),
        ("laydown,speed_mph\n15\n", "CSV"),
    ] {
        fs::write(folder.path().join("in.csv"), table).unwrap();
        let out = throw(folder.path(), &["--batch", "in.csv", "--out", "out.csv"]);
        let words = String::from_utf8(out.stderr).unwrap();
        assert_eq!(out.status.code(), Some(2), "{table}: {words}");
        assert!(words.contains(said) && words.contains("in.csv"), "{table}: {words}");
        assert!(!folder.path().join("out.csv").exists());
    }
    let out = throw(folder.path(), &["--batch", "missing.csv"]);
    assert_eq!(out.status.code(), Some(2));
}

/// A limit on the size of files stands for the end of the disk: the system refuses to write on, in the middle of the answer.
#[cfg(unix)]
#[test]
fn law_a_batch_for_which_there_is_no_room_leaves_no_half_an_answer() {
    let folder = TempDir::new().unwrap();
    let rows: Vec<String> = (0..200).map(|k| (10.0 + f64::from(k % 37) / 4.0).to_string()).collect();
    fs::write(folder.path().join("in.csv"), format!("laydown\n{}\n", rows.join("\n"))).unwrap();
    fs::write(folder.path().join("old.csv"), "as it was").unwrap();
    // Blocks of 512 bytes; the answer has some 30,000.
    let script = "trap '' XFSZ; ulimit -f 8; exec \"$0\" throw --batch in.csv --force --out";
    for out in ["new.csv", "old.csv"] {
        let mut command = std::process::Command::new("sh");
        command.current_dir(folder.path()).arg("-c").arg(format!("{script} {out}"));
        let said = command.arg(assert_cmd::cargo::cargo_bin("boardwise")).output().unwrap();
        let words = String::from_utf8_lossy(&said.stderr).into_owned();
        assert_eq!(said.status.code(), Some(1), "{words}");
        assert!(words.contains(out) && !words.contains("print"), "{words}");
    }
    let mut names: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(names, ["in.csv", "old.csv"]);
    assert_eq!(fs::read_to_string(folder.path().join("old.csv")).unwrap(), "as it was");
}
