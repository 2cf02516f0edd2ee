//! Before the block, in the app: files opened, changed and kept, questions asked and found again.

use crate::answers;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use assert_cmd::cargo::cargo_bin;
use serde_json::{Value, json};
use tempfile::TempDir;

/// Two balls, quick to weigh.
const BAG: &str = include_str!("answers/two-balls.toml");

/// Alone on the pair for one game.
const EVENT: &str = r#"name = "club night"
practice_shots = 1
[[pair]]
lanes = [7, 8]
patterns = ["short-32-flat", "short-32-flat"]
games = 1
[[bowler]]
file = "right-straighter"
bag = "two"
line = { laydown = 17, arrows = 11 }
"#;

/// The app with a kit of its own, until the end of a test.
struct App {
    process: Child,
    address: String,
    folder: TempDir,
}

impl Drop for App {
    fn drop(&mut self) {
        // It may have ended by itself; then there is nothing to end.
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

impl App {
    fn new() -> Self {
        let folder = TempDir::new().unwrap();
        for (kind, name, text) in [("bag", "two", BAG), ("event", "club", EVENT)] {
            fs::create_dir_all(folder.path().join("kit").join(kind)).unwrap();
            fs::write(folder.path().join("kit").join(kind).join(format!("{name}.toml")), text).unwrap();
        }
        let mut process = Command::new(cargo_bin("boardwise"))
            .args(["serve", "--port", "0", "--record"])
            .arg(folder.path().join("record"))
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(process.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let address = line.trim().rsplit_once("http://").unwrap().1.to_owned();
        Self { process, address, folder }
    }

    /// Status and body of an answer.
    fn ask(&self, method: &str, path: &str, body: &str) -> (u16, String) {
        let mut stream = TcpStream::connect(&self.address).unwrap();
        write!(
            stream,
            "{method} {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            self.address,
            body.len()
        )
        .unwrap();
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).unwrap();
        let text = String::from_utf8(bytes).unwrap();
        let (head, body) = text.split_once("\r\n\r\n").unwrap();
        let status = head.split(' ').nth(1).unwrap().parse().unwrap();
        let body =
            if head.to_lowercase().contains("transfer-encoding: chunked") { unchunked(body) } else { body.to_owned() };
        (status, body)
    }

    fn get(&self, path: &str) -> (u16, String) {
        self.ask("GET", path, "")
    }

    fn post(&self, path: &str, body: &Value) -> (u16, Value) {
        let (status, body) = self.ask("POST", path, &body.to_string());
        (status, serde_json::from_str(&body).unwrap_or_else(|_| panic!("{path}: {body}")))
    }
}

/// A body sent in pieces, each after its length.
fn unchunked(body: &str) -> String {
    let (mut whole, mut rest) = (String::new(), body);
    while let Some((length, after)) = rest.split_once("\r\n") {
        let length = usize::from_str_radix(length, 16).unwrap();
        if length == 0 {
            break;
        }
        whole.push_str(&after[..length]);
        rest = &after[length + 2..];
    }
    whole
}

#[test]
fn law_a_field_a_text_and_a_picture_say_the_same() {
    let app = App::new();
    let text = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../files/data/demo/lanes/short-32-flat.toml"))
        .unwrap();
    let look = |changes: Value| {
        let (status, said) =
            app.post("/before/look/lane", &json!({ "name": "mine", "text": text, "changes": changes }));
        assert_eq!(status, 200, "{said}");
        said
    };
    let as_it_is = look(json!([]));
    assert_eq!(as_it_is["text"], text);
    assert!(as_it_is["look"].as_str().unwrap().contains("21.00 mL"), "{}", as_it_is["look"]);
    let more = look(json!([{ "do": "set", "path": "strokes.0.microlitres", "value": "9000" }]));
    assert_eq!(more["text"], text.replace("7000", "9000"), "one number is another, all comments stay");
    assert!(more["look"].as_str().unwrap().contains("23.00 mL"), "{}", more["look"]);
    assert!(more["fields"].as_str().unwrap().contains("value=\"9000\""));
    assert_ne!(more["picture"], as_it_is["picture"]);
    // A mistake is told where it stands, and what was typed is still there.
    let wrong = look(json!([{ "do": "set", "path": "strokes.0.direction", "value": "outt" }]));
    let fault = &wrong["fault"];
    assert!(wrong["text"].as_str().unwrap().contains("\"outt\"") && wrong["fields"].as_str().unwrap().contains("outt"));
    assert!(fault["words"].as_str().unwrap().starts_with("mine.toml, line"), "{fault}");
    assert_eq!(fault["help"], "did you mean \"out\"?");
    assert_eq!(fault["says"], "direction = \"outt\"");
    assert!(wrong["picture"].is_null());
}

#[test]
fn law_a_file_is_kept_under_a_name_and_never_silently_replaced() {
    let app = App::new();
    let keep = |id: &str, text: &str, replace: bool| {
        app.post("/before/keep/bag", &json!({ "id": id, "text": text, "replace": replace }))
    };
    assert_eq!(keep("two", BAG, false).0, 409);
    assert_eq!(keep("two", BAG, true).0, 200);
    assert_eq!(keep("demo", BAG, true).0, 422, "the demo kit stays");
    assert_eq!(keep("../two", BAG, true).0, 422);
    assert_eq!(keep("three", "[[ball]]\nid = 3\n", false).0, 422);
    assert!(!app.folder.path().join("kit/bag/three.toml").exists());
    let (status, said) = keep("three", BAG, false);
    assert_eq!((status, &said["page"]), (200, &json!("/before/kit/bag/three")));
    let (status, page) = app.get("/before/kit/bag/three");
    assert!(status == 200 && page.contains("data-own=\"three\""));
    assert!(app.get("/before").1.contains("/before/kit/bag/three"));
    assert_eq!(app.get("/before/kit/bag/none").0, 404);
}

#[test]
fn law_a_question_is_answered_as_the_command_answers_it_and_found_again() {
    let app = App::new();
    let query = "event=club&shots=2";
    assert_eq!(app.post("/before/practice?event=club&shots=99", &json!({})).0, 422);
    assert_eq!(app.get(&format!("/before/practice/state?{query}")).1, r#"{"schema":1,"state":"none"}"#);
    let (status, said) = app.post(&format!("/before/practice?{query}"), &json!({}));
    assert_eq!(status, 200, "{said}");
    let start = Instant::now();
    let answer = loop {
        let state: Value = serde_json::from_str(&app.get(&format!("/before/practice/state?{query}")).1).unwrap();
        if state["state"] == "done" {
            break state["answer"].clone();
        }
        assert_ne!(state["state"], "failed", "{state}");
        assert!(start.elapsed() < Duration::from_mins(5), "{state}");
        std::thread::sleep(Duration::from_millis(100));
    };
    let event = app.folder.path().join("event.toml");
    let bag = app.folder.path().join("kit/bag/two.toml");
    fs::write(&event, EVENT.replace("\"two\"", &format!("{:?}", bag.to_string_lossy()))).unwrap();
    let event = event.to_string_lossy();
    let command = answers::json(&["practice", "--event", &event, "--shots", "2", "--json"]);
    assert_eq!(answer["shots"], command["shots"]);
    assert!(
        (0.5..=39.5).contains(&answers::number(&answer["shots"][1]["laydown"])),
        "two throws, on the lane: {answer}"
    );
    let page = app.get(&format!("/before/practice?{query}")).1;
    assert!(page.contains("data-state=\"done\"") && page.contains("Never step past the foul line"));
    assert!(app.get("/before").1.contains("/before/practice?event=club"), "the first page leads back to it");
    // Once a file behind it is another, it is another question.
    app.post("/before/keep/event", &json!({ "id": "club", "text": EVENT.replace("17", "16"), "replace": true }));
    assert!(app.get(&format!("/before/practice?{query}")).1.contains("data-state=\"none\""));
}

/// Processor time of a process so far, in seconds, by the hundredths that Linux counts in.
#[cfg(target_os = "linux")]
fn processor_s(process: &Child) -> f64 {
    let stat = fs::read_to_string(format!("/proc/{}/stat", process.id())).unwrap();
    // Behind the name in brackets: user and system time are the 12th and 13th.
    let fields: Vec<&str> = stat.rsplit_once(')').unwrap().1.split_whitespace().collect();
    (fields[11].parse::<f64>().unwrap() + fields[12].parse::<f64>().unwrap()) / 100.0
}

#[cfg(target_os = "linux")]
#[test]
fn law_a_question_that_is_stopped_leaves_the_processor_alone_and_the_next_one_has_its_turn() {
    let app = App::new();
    let state =
        |question: &str| serde_json::from_str::<Value>(&app.get(&question.replacen('?', "/state?", 1)).1).unwrap();
    let until = |question: &str, wanted: &str| {
        let start = Instant::now();
        while state(question)["state"] != wanted {
            assert!(start.elapsed() < Duration::from_mins(5), "{question}: {}", state(question));
            std::thread::sleep(Duration::from_millis(50));
        }
    };
    let stop = |question: &str| app.post(&question.replacen('?', "/stop?", 1), &json!({})).0;
    // Each takes minutes; both kinds of long work are stopped, early and on the way.
    for long in ["/before/bag?event=club&take=1&worlds=64", "/before/block?event=club&runs=100"] {
        assert_eq!(app.post(long, &json!({})).0, 200);
        let waiting = "/before/practice?event=club&shots=3";
        assert_eq!(app.post(waiting, &json!({})).0, 200);
        until(long, "running");
        std::thread::sleep(Duration::from_secs(2));
        // One that waits is stopped too, and never begins.
        assert_eq!(state(waiting)["state"], "waiting");
        assert_eq!(stop(waiting), 200);
        assert_eq!(state(waiting)["state"], "stopped");
        let (busy, start) = (processor_s(&app.process), Instant::now());
        while processor_s(&app.process) - busy < 0.3 {
            assert!(start.elapsed() < Duration::from_mins(1), "it works on {long}");
            std::thread::sleep(Duration::from_millis(50));
        }
        assert_eq!(stop(long), 200);
        assert_eq!(state(long)["state"], "stopped");
        // Minutes of work are left; a piece of it may still be done, on a machine that others use.
        let stopped = Instant::now();
        loop {
            let before = processor_s(&app.process);
            std::thread::sleep(Duration::from_secs(1));
            if processor_s(&app.process) - before < 0.03 {
                break;
            }
            assert!(stopped.elapsed() < Duration::from_secs(20), "the processor is left alone after {long}");
        }
        println!("{long}: idle within {:.0} s", stopped.elapsed().as_secs_f64());
        assert_eq!(state(long)["state"], "stopped");
    }
    assert!(app.get("/before").1.contains("stopped"));
    // What was stopped can be asked again, and what waited is not in its way.
    let short = "/before/practice?event=club&shots=1";
    assert_eq!(app.post(short, &json!({})).0, 200);
    until(short, "done");
    // What is answered stays answered.
    assert_eq!(stop(short), 200);
    assert_eq!(state(short)["state"], "done");
    let long = "/before/block?event=club&runs=100";
    assert_eq!(app.post(long, &json!({})).0, 200);
    until(long, "running");
}

/// Waits until a program does nothing; how much processor time it has spent then.
#[cfg(target_os = "linux")]
fn idle_s(process: &Child) -> f64 {
    let start = Instant::now();
    loop {
        let before = processor_s(process);
        std::thread::sleep(Duration::from_millis(500));
        let spent = processor_s(process);
        if spent - before < 0.02 {
            return spent;
        }
        assert!(start.elapsed() < Duration::from_mins(2), "the processor is left alone");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn law_a_search_of_the_lab_that_nobody_waits_for_ends_and_the_next_one_has_its_turn() {
    const SEARCH: &str = "/lab/lines?lane=short-32-flat";
    let app = App::new();
    let lines = || serde_json::from_str::<Value>(&app.get(SEARCH).1).unwrap()["lines"].clone();
    app.get("/lab/lanes?lane=short-32-flat");
    let before = idle_s(&app.process);
    let found = lines();
    let whole_s = idle_s(&app.process) - before;
    // One on the way and one that waits for it: both are left.
    let before = idle_s(&app.process);
    let left = [(); 2].map(|()| {
        let mut page = TcpStream::connect(&app.address).unwrap();
        write!(page, "GET {SEARCH} HTTP/1.1\r\nHost: {}\r\n\r\n", app.address).unwrap();
        page
    });
    let start = Instant::now();
    while processor_s(&app.process) - before < 0.1 * whole_s {
        assert!(start.elapsed() < Duration::from_mins(1), "it searches");
        std::thread::sleep(Duration::from_millis(10));
    }
    drop(left);
    let spent_s = idle_s(&app.process) - before;
    println!(
        "a whole search: {whole_s:.1} s of the processor; one left after a tenth, one that waited: {spent_s:.1} s"
    );
    assert!(spent_s < 0.5 * whole_s, "{spent_s} of {whole_s} s");
    assert_eq!(lines(), found, "the next one is answered as ever");
}

#[test]
fn law_the_picture_from_above_says_where_the_file_counts_its_boards() {
    let app = App::new();
    let text =
        "name = \"mine\"\n[[strokes]]\nboards = [2, 10]\nfeet = [0, 40]\nmicrolitres = 9000\ndirection = \"out\"\n";
    let rails = |text: &str, left: bool| {
        let asked = json!({ "name": "mine", "text": text, "left": left, "above": true });
        let (_, said) = app.post("/before/look/lane", &asked);
        let of = |key: &str| [0, 1].map(|k| answers::number(&said["rails"][key][k]));
        // The oil lies between the rails' boards 1.5 and 10.5, on whichever side that is; boards 1 and 11 are drawn with the quarter they have of it.
        let [one, last] = of("boards");
        let at = |board: f64| one + (board - 1.0) / 38.0 * (last - one);
        let picture = said["picture"].as_str().unwrap();
        let oil = picture.split("class=\"oil\"").nth(1).unwrap().split("</g>").next().unwrap();
        let xs: Vec<f64> = oil
            .split(" d=\"")
            .skip(1)
            .flat_map(|path| path.split('"').next().unwrap().split('M').skip(1))
            .map(|corner| {
                corner
                    .split([',', ' ', 'H', 'V', 'h', 'v', 'l', 'L'])
                    .find(|word| !word.is_empty())
                    .unwrap()
                    .parse()
                    .unwrap()
            })
            .collect();
        assert_ne!(xs, [] as [f64; 0], "there is oil");
        let (low, high) = (at(0.5).min(at(11.5)), at(0.5).max(at(11.5)));
        assert!(xs.iter().all(|x| (low - 1.0..=high + 1.0).contains(x)), "{left} {low} {high} {xs:?}");
        (of("boards"), of("feet"))
    };
    let ((right, feet), (left, _)) = (rails(text, false), rails(text, true));
    assert!(right[0] > right[1] && left[0] > left[1], "board 1 from the right gutter is on the right for every hand");
    assert!(feet[0] > feet[1], "the foul line is below");
    let counted = format!("boards_from = \"left\"\n{text}");
    for hand in [false, true] {
        let (boards, _) = rails(&counted, hand);
        assert!(boards[0] < boards[1]);
    }
    let (_, by_board) = app.post("/before/look/lane", &json!({ "name": "mine", "text": text }));
    assert!(by_board["rails"].is_null(), "there is nothing to take hold of in the other picture");
}

#[test]
fn law_whoever_asks_about_surfaces_is_told_to_take_care() {
    let app = App::new();
    let (_, said) = app.post("/before/look/bag", &json!({ "name": "two", "text": BAG }));
    let look = said["look"].as_str().unwrap();
    assert!(look.contains("eye protection and a dust mask") && look.contains("officials decide"), "{look}");
}
