//! `throw --batch` and `line --batch`: rows in, the same rows with what came of them out.

use assert_cmd::Command;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

fn throw(folder: &Path, arguments: &[&str]) -> std::process::Output {
    run(folder, "throw", arguments)
}

fn run(folder: &Path, command: &str, arguments: &[&str]) -> std::process::Output {
    let mut program = Command::cargo_bin("boardwise").unwrap();
    program.current_dir(folder).arg(command).args(arguments).output().unwrap()
}

fn rows(text: &[u8]) -> Vec<Vec<String>> {
    let mut rows = csv::ReaderBuilder::new().has_headers(false).from_reader(text);
    rows.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
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
        ("speed_kmh\n27\n", "column \"speed_kmh\": did you mean \"speed_mph\", in miles an hour? columns are"),
        ("loft\n1\n", "did you mean \"loft_ft\", in feet?"),
        ("pins\n1\n", "column \"pins\": columns are id, ball, laydown"),
        ("", "holds no columns"),
        ("laydown,laydown\n15,15\n", "twice"),
        ("launch_deg,arrows\n1,10\n", "leave one out"),
        ("laydown\n15\nfifteen\n", "line 3, laydown \"fifteen\": give a number"),
        ("laydown\n15\nnan\n", "give a number"),
        ("laydown\n15\n50\n", "line 3, laydown \"50\": must be 0.5 to 39.5"),
        ("arrows\n-1\n", "arrows \"-1\": must be 0.5 to 39.5"),
        ("ball\nstrong-sold\n", "line 2, ball \"strong-sold\": did you mean \"strong-solid\"? the balls are"),
        ("id,ball\na,\n", "ball \"\": is empty"),
        ("id,laydown\na,\n", "laydown \"\": is empty"),
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

#[test]
fn law_answers_take_the_place_of_a_file_by_force_alone() {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("in.csv"), "laydown\n15\n").unwrap();
    fs::write(folder.path().join("out.csv"), "as it was").unwrap();
    for command in ["throw", "line"] {
        let out = run(folder.path(), command, &["--batch", "in.csv", "--out", "out.csv"]);
        assert_eq!(out.status.code(), Some(2), "{command}");
        assert_eq!(fs::read_to_string(folder.path().join("out.csv")).unwrap(), "as it was");
    }
    for other in ["out.xlsx", "out.JSON"] {
        let out = throw(folder.path(), &["--batch", "in.csv", "--out", other]);
        let words = String::from_utf8(out.stderr).unwrap();
        assert!(
            out.status.code() == Some(2) && words.contains("end the name with .csv, .parquet or .arrow"),
            "{words}"
        );
        assert!(!folder.path().join(other).exists());
    }
    assert!(throw(folder.path(), &["--batch", "in.csv", "--out", "out.csv", "--force"]).status.success());
    assert_eq!(rows(&fs::read(folder.path().join("out.csv")).unwrap()).len(), 2);
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

/// Questions about lines: two lanes, two balls, a bowler who throws slower.
const QUESTIONS: &str = "id,lane,ball,surface,speed_mph\n\
    first,house-40-walled,strong-solid,as it is,17\n\
    second,short-32-flat,urethane-dull,as it is,17\n\
    third,house-40-walled,strong-solid,polished,16.2\n";

#[test]
fn law_each_row_of_questions_gets_the_best_line() {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("in.csv"), QUESTIONS).unwrap();
    let out = run(folder.path(), "line", &["--batch", "in.csv", "--out", "out.csv", "--lines", "2"]);
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let answers = rows(&fs::read(folder.path().join("out.csv")).unwrap());
    assert_eq!(column(&answers, "id"), ["first", "second", "third"]);
    assert_eq!(column(&answers, "surface"), ["as it is", "as it is", "polished"]);
    // The second is asked with the bowler's own speed but for what the row says: as a file of one question would be.
    fs::write(folder.path().join("one.csv"), "lane,ball\nshort-32-flat,urethane-dull\n").unwrap();
    let alone = rows(&run(folder.path(), "line", &["--batch", "one.csv", "--lines", "2"]).stdout);
    let flags = ["--lane", "short-32-flat", "--ball", "urethane-dull", "--lines", "2", "--json"];
    let single: serde_json::Value = serde_json::from_slice(&run(folder.path(), "line", &flags).stdout).unwrap();
    for key in ["laydown", "arrows_board", "strike_pct", "expected_score", "slide_board", "rotation_deg"] {
        let (one, row) = (single["lines"][0][key].as_f64().unwrap(), column(&alone, key)[0].clone());
        assert_eq!(one, row.parse::<f64>().unwrap(), "{key}");
    }
    assert_ne!(
        column(&answers, "strike_pct")[0],
        column(&answers, "strike_pct")[2],
        "a slower hand and another surface"
    );
    assert_eq!(column(&answers, "speed_mph"), ["17", "17", "16.2"]);
}

#[test]
fn law_a_bad_question_is_named_before_any_is_answered() {
    let folder = TempDir::new().unwrap();
    for (table, said) in [
        ("lnae\nhouse-40-walled\n", "did you mean \"lane\"?"),
        (
            "lane\nhouse-40-walled\nhouse-40-waled\n",
            "line 3, lane \"house-40-waled\": did you mean \"house-40-walled\"?",
        ),
        ("ball\nstrong-sold\n", "line 2, ball \"strong-sold\": did you mean \"strong-solid\"?"),
        ("bowler\nnobody\n", "line 2, bowler \"nobody\": the names are"),
        ("surface\n12\n", "line 2, surface \"12\": give a grit from 50 to 20000"),
        ("speed_mph\n17\n90\n", "line 3, speed_mph \"90\": must be 5 to 40"),
        ("rev_rate_rpm\nmany\n", "line 2, rev_rate_rpm \"many\": give a number"),
        ("lane,ball\n,strong-solid\n", "line 2, lane \"\": is empty"),
    ] {
        fs::write(folder.path().join("in.csv"), table).unwrap();
        let out = run(folder.path(), "line", &["--batch", "in.csv", "--out", "out.csv"]);
        let words = String::from_utf8(out.stderr).unwrap();
        assert_eq!(out.status.code(), Some(2), "{table}: {words}");
        assert!(words.contains(said) && words.contains("in.csv"), "{table}: {words}");
        assert!(!folder.path().join("out.csv").exists());
    }
}

#[cfg(feature = "columns")]
mod columns {
    use super::{run, throw};
    use boardwise_files::rows::{Block, Cell, Cells, Form, Kind, Table, Writer, as_it_is};
    use boardwise_files::{BAGS, BOWLERS, LANES, parse_bag, parse_bowler, parse_lane};
    use boardwise_lane::Release;
    use boardwise_session::Scene;
    use boardwise_session::batch::{Asked, Batch};
    use boardwise_units::Board;
    use std::fs::{self, File};
    use std::path::Path;
    use tempfile::TempDir;

    /// Writes a table in the form that its name ends with.
    fn write(path: &Path, columns: &[(&str, Cells<'_>)]) {
        let named: Vec<(&str, Kind)> = columns.iter().map(|(name, cells)| (*name, cells.kind())).collect();
        let mut table = Writer::new(Form::of(path).unwrap(), &named, File::create(path).unwrap(), as_it_is).unwrap();
        table.write(&columns.iter().map(|(_, cells)| cells.clone()).collect::<Vec<_>>()).unwrap();
        table.finish().unwrap();
    }

    /// All rows of a small table, with the places of its columns.
    fn read(path: &Path) -> (Vec<String>, Block) {
        let mut table = Table::open("--batch", path, Form::of(path).unwrap()).unwrap();
        let names = table.columns().into_iter().map(str::to_owned).collect();
        (names, table.next(1 << 20).unwrap().unwrap())
    }

    fn laydowns() -> Vec<f64> {
        (0..700).map(|k| 8.0 + f64::from(k) / 31.0).collect()
    }

    fn numbers(cells: impl IntoIterator<Item = f64>) -> Cells<'static> {
        Cells::Numbers(cells.into_iter().map(Some).collect())
    }

    #[test]
    fn law_every_form_gives_the_bits_of_the_library() {
        let folder = TempDir::new().unwrap();
        let at = |name: &str| folder.path().join(name);
        let launch = |laydown: f64| 6.5 - laydown / 8.0;
        let questions = [("laydown", numbers(laydowns())), ("launch_deg", numbers(laydowns().into_iter().map(launch)))];
        for form in ["csv", "parquet", "arrow"] {
            write(&at(&format!("in.{form}")), &questions);
        }
        let kit = |entry: boardwise_files::Entry| entry.text.as_bytes();
        let scene = Scene::new(
            parse_lane("lane", kit(LANES[0])).unwrap().value,
            parse_bag("bag", kit(BAGS[0])).unwrap().value,
            Vec::new(),
            parse_bowler("bowler", kit(BOWLERS[0])).unwrap().value,
        );
        let releases = laydowns().into_iter().map(|laydown| Release {
            laydown: Board(laydown),
            launch: boardwise_units::Degrees(launch(laydown)),
            ..scene.bowler.release
        });
        let asked: Vec<Asked> = releases.map(|release| Asked { ball: 0, release }).collect();
        let ended = Batch::new(&scene).unwrap().throw(&asked);
        let (lane, bowler) = (LANES[0].id, BOWLERS[0].id);
        for (from, to) in
            [("csv", "csv"), ("csv", "parquet"), ("parquet", "arrow"), ("arrow", "parquet"), ("parquet", "csv")]
        {
            let (from, to) = (format!("in.{from}"), format!("out.{to}"));
            let out =
                throw(folder.path(), &["--lane", lane, "--bowler", bowler, "--batch", &from, "--out", &to, "--force"]);
            assert!(out.status.success(), "{from}: {}", String::from_utf8_lossy(&out.stderr));
            let (names, block) = read(&at(&to));
            assert_eq!(block.rows(), ended.len());
            let place = |name: &str| names.iter().position(|one| one == name).unwrap();
            for (row, end) in ended.iter().enumerate() {
                let same = |name: &str, value: Option<f64>| {
                    let cell = block.cell(row, place(name));
                    assert_eq!(cell.number().map(f64::to_bits), value.map(f64::to_bits), "{from} {to} {name} {row}");
                };
                let touch = end.finish.touch.filter(|_| end.finish.gutter.is_none());
                same("laydown", Some(asked[row].release.laydown.0));
                same("entry_board", touch.map(|touch| touch.board().0));
                same("entry_angle_deg", touch.map(|touch| touch.angle().0));
                same("first_pin", touch.map(|touch| f64::from(touch.pin)));
                same("breakpoint_feet", Some(end.finish.breakpoint.feet.0));
                same("time_s", Some(end.finish.time_s));
                same("strike_pct", Some(100.0 * end.strike));
                assert_eq!(block.cell(row, place("bowler")).words(), scene.bowler.name);
            }
        }
        let lost = ended.iter().filter(|end| end.finish.gutter.is_some()).count();
        assert!(lost > 10 && lost < 600, "{lost} in a gutter: both kinds must be among them");
    }

    #[test]
    fn law_an_id_comes_back_as_what_it_was() {
        let folder = TempDir::new().unwrap();
        let at = |name: &str| folder.path().join(name);
        let ids = [("id", Cells::Whole(vec![Some(7), None])), ("laydown", numbers([15.0, 16.0]))];
        write(&at("in.parquet"), &ids);
        assert!(throw(folder.path(), &["--batch", "in.parquet", "--out", "out.arrow"]).status.success());
        let (names, block) = read(&at("out.arrow"));
        assert_eq!((names[0].as_str(), block.cell(0, 0), block.cell(1, 0)), ("id", Cell::Whole(7), Cell::Empty));
        // A formula is harmless where no spreadsheet opens it, and stays what it was.
        let words = |cells: &[&'static str]| Cells::Words(cells.iter().map(|cell| Some((*cell).into())).collect());
        write(
            &at("in.arrow"),
            &[("id", words(&["=1+1", "b"])), ("lane", words(&["house-40-walled", "short-32-flat"]))],
        );
        let out = run(folder.path(), "line", &["--batch", "in.arrow", "--out", "lines.parquet", "--lines", "1"]);
        assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
        assert_eq!(read(&at("lines.parquet")).1.cell(0, 0), Cell::Words("=1+1"));
    }

    #[test]
    fn law_a_bad_row_of_a_file_of_columns_is_named() {
        let folder = TempDir::new().unwrap();
        let words = |cells: &[&'static str]| Cells::Words(cells.iter().map(|cell| Some((*cell).into())).collect());
        for (column, cells, said) in [
            ("laydwon", numbers([15.0]), "column \"laydwon\": did you mean \"laydown\"?"),
            ("laydown", numbers([15.0, 16.0, 50.0]), "row 3, laydown \"50\": must be 0.5 to 39.5"),
            ("laydown", numbers([15.0, f64::NAN]), "row 2, laydown \"NaN\": give a number"),
            ("laydown", Cells::Numbers(vec![Some(15.0), None]), "row 2, laydown \"\": is empty"),
            ("laydown", words(&["fifteen"]), "row 1, laydown \"fifteen\": give a number"),
            ("ball", words(&["strong-sold"]), "did you mean \"strong-solid\"?"),
        ] {
            for name in ["in.parquet", "in.arrow"] {
                write(&folder.path().join(name), &[(column, cells.clone())]);
                let out = throw(folder.path(), &["--batch", name, "--out", "out.parquet"]);
                let why = String::from_utf8(out.stderr).unwrap();
                assert_eq!(out.status.code(), Some(2), "{column}: {why}");
                assert!(why.contains(said) && why.contains(name), "{column}: {why}");
                assert!(!folder.path().join("out.parquet").exists());
            }
        }
        fs::write(folder.path().join("text.parquet"), "laydown\n15\n").unwrap();
        let out = throw(folder.path(), &["--batch", "text.parquet"]);
        let why = String::from_utf8(out.stderr).unwrap();
        assert!(out.status.code() == Some(2) && why.contains("text.parquet: cannot be read as Parquet"), "{why}");
        // A file cut short anywhere is noticed, and nothing is left behind.
        for name in ["in.parquet", "in.arrow"] {
            write(&folder.path().join(name), &[("laydown", numbers(laydowns()))]);
            let whole = fs::read(folder.path().join(name)).unwrap();
            for kept in [0, 3, whole.len() / 2, whole.len() - 1] {
                fs::write(folder.path().join(name), &whole[..kept]).unwrap();
                let out = throw(folder.path(), &["--batch", name, "--out", "out.parquet"]);
                let why = String::from_utf8(out.stderr).unwrap();
                assert_eq!(out.status.code(), Some(2), "{name}, {kept} bytes: {why}");
                assert!(why.contains(&format!("{name}: cannot be read as")), "{name}, {kept} bytes: {why}");
            }
        }
        assert!(!folder.path().join("out.parquet").exists());
    }
}
