//! Handouts: a file that readers open, with its text as text and the same bytes each time.

use crate::sample;
use boardwise_figures::{Handout, LanePicture, Paper, Theme, Trace, film_by_board};
use boardwise_units::Hand;
use std::process::Command;

fn handout(paper: Paper) -> Handout {
    let lane = sample::lane();
    let path = sample::path(&lane, 20.0, 12.0, 380.0);
    let traces = [Trace { label: "dull solid", path: &path }];
    let picture = LanePicture {
        lane: &lane,
        hand: Hand::Right,
        title: "Where it rolls",
        traces: &traces,
        band: None,
        window: None,
        standing: None,
    };
    let film = film_by_board(lane.film().expect("oil"), Hand::Right, &[10.0, 30.0], "Film by board", Theme::Light);
    let rows: Vec<Vec<String>> = (1..=60)
        .map(|k| vec![format!("{k}"), "dull strong solid".into(), format!("{:+.1} ± 2.0", 0.3 * f64::from(k))])
        .collect();
    Handout::new("Clinic on a wet pair <& more>")
        .paper(paper)
        .caution("Predictions are estimates with stated uncertainty, not promises.")
        .text("Start straighter than you think.\nThen move in as the heads go.")
        .heading("The lane fresh")
        .pictures(&[&picture.draw(Theme::Light), &film])
        .heading("What each game asked")
        .table(&["game", "ball", "pins"], &rows)
}

fn count(pdf: &[u8], what: &[u8]) -> usize {
    pdf.windows(what.len()).filter(|window| window == &what).count()
}

#[test]
fn law_a_handout_is_a_pdf_with_fonts_and_no_raster() {
    for (paper, box_of) in [(Paper::Portrait, "595.276 841.89"), (Paper::Landscape, "841.89 595.276")] {
        let pdf = handout(paper).pdf().expect("a file");
        assert!(pdf.starts_with(b"%PDF-1."));
        assert!(pdf.ends_with(b"%%EOF") || pdf.ends_with(b"%%EOF\n"));
        let pages = count(&pdf, b"/Type/Page") - count(&pdf, b"/Type/Pages");
        assert!((3..=6).contains(&pages), "{pages} pages");
        assert_eq!(count(&pdf, format!("[0 0 {box_of}]").as_bytes()), pages);
        // The outline counts its entries the same way: the title and two headings.
        let counts = 1 + usize::from(pages == 3);
        assert_eq!(count(&pdf, format!("/Count {pages}").as_bytes()), counts);
        // Letters come as letters of two faces, each with what it reads as.
        assert!(count(&pdf, b"/ToUnicode") >= 2);
        assert_eq!(count(&pdf, b"/Subtype/Image"), 0);
        assert_eq!(count(&pdf, b"CreationDate"), 0);
        assert!(pdf.len() < 200_000, "{}", pdf.len());
    }
}

#[test]
fn law_the_same_content_gives_the_same_bytes() {
    let (one, other) =
        (handout(Paper::Portrait).pdf().expect("a file"), handout(Paper::Portrait).pdf().expect("a file"));
    assert_eq!(one, other);
    let more = handout(Paper::Portrait).text("more").pdf().expect("a file");
    assert_ne!(one, more);
    assert!(Handout::new("").pdf().expect("a file").starts_with(b"%PDF-"));
}

/// What a structure element is, by how often: a name is followed by another key or the end.
fn elements(pdf: &[u8], name: &str) -> usize {
    ["/", ">", "\n", " "].iter().map(|end| count(pdf, format!("/S/{name}{end}").as_bytes())).sum()
}

#[test]
fn law_a_handout_says_what_its_parts_are() {
    let pdf = handout(Paper::Portrait).pdf().expect("a file");
    for mark in ["/StructTreeRoot", "/MarkInfo", "/Lang", "/DisplayDocTitle true", "pdfuaid"] {
        assert!(count(&pdf, mark.as_bytes()) > 0, "{mark}");
    }
    assert_eq!((elements(&pdf, "H1"), elements(&pdf, "H2")), (1, 2), "the title and two headings");
    assert_eq!(elements(&pdf, "P"), 2, "a line break begins a paragraph");
    assert_eq!(elements(&pdf, "Figure"), 2);
    // Sixty rows and the head once, though it stands on every page that the table fills.
    assert_eq!(
        (elements(&pdf, "Table"), elements(&pdf, "TR"), elements(&pdf, "TH"), elements(&pdf, "TD")),
        (1, 61, 3, 180)
    );
    for says in ["oil to 41 ft. dull solid turns at board", "Film by board"] {
        assert!(count(&pdf, says.as_bytes()) > 0, "{says}");
    }
}

#[test]
fn law_letters_that_the_font_has_not_do_not_spoil_a_handout() {
    let pdf =
        handout(Paper::Portrait).text("notes in \u{4f60}\u{597d} and \u{1f3b3}\n\n").text("").pdf().expect("a file");
    assert!(
        count(&pdf, b"/StructTreeRoot") > 0 && count(&pdf, b"pdfuaid") == 0,
        "its parts are named, and no more is claimed"
    );
    assert!(Handout::new("").table(&[], &[]).heading("").pdf().is_ok());
}

/// Read back by a reader of PDF that is not ours, where there is one.
#[test]
fn law_another_reader_hears_the_parts_in_order() {
    let file = tempfile::NamedTempFile::new().expect("a file");
    std::fs::write(file.path(), handout(Paper::Portrait).pdf().expect("a file")).expect("it is written");
    let read = |how: &[&str]| {
        let read = Command::new("pdfinfo").args(how).arg(file.path()).output().ok()?;
        assert!(read.status.success());
        Some(String::from_utf8_lossy(&read.stdout).into_owned())
    };
    let (Some(about), Some(parts)) = (read(&[]), read(&["-struct-text"])) else {
        eprintln!("no pdfinfo here: not read back");
        return;
    };
    let tagged = about.lines().find(|line| line.starts_with("Tagged:")).expect("it says whether");
    assert!(tagged.ends_with("yes"), "{about}");
    assert!(about.contains("Clinic on a wet pair <& more>"), "{about}");
    let mut rest = parts.as_str();
    for next in [
        "H1",
        "Clinic on a wet pair",
        "P",
        "Start straighter",
        "P",
        "Then move in",
        "H2",
        "The lane fresh",
        "Figure",
        "Figure",
        "H2",
        "What each game asked",
        "Table",
        "THead",
        "TH",
        "game",
        "TBody",
        "TD",
        "+18.0 ± 2.0",
    ] {
        let at = rest.find(next).unwrap_or_else(|| panic!("{next} is not in its place: {parts}"));
        rest = &rest[at + next.len()..];
    }
    assert!(!parts.contains("page 2 of"), "feet of pages are no part of what is read");
}

/// Read back by a reader of PDF that is not ours, where there is one.
#[test]
fn law_another_reader_finds_the_words() {
    let file = tempfile::NamedTempFile::new().expect("a file");
    std::fs::write(file.path(), handout(Paper::Portrait).pdf().expect("a file")).expect("it is written");
    let Ok(read) = Command::new("pdftotext").arg("-layout").arg(file.path()).arg("-").output() else {
        eprintln!("no pdftotext here: not read back");
        return;
    };
    assert!(read.status.success());
    let text = String::from_utf8_lossy(&read.stdout);
    let words = [
        "Clinic on a wet pair <& more>",
        "Then move in as the heads go.",
        "What each game asked",
        "Predictions are estimates",
        "page 2 of",
        "Where it rolls",
        "dull solid",
        "breakpoint",
        "+18.0 ± 2.0",
    ];
    for words in words {
        assert!(text.contains(words), "{words} in {text}");
    }
}
