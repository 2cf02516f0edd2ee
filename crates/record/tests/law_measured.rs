//! What a film measured of a shot stays with the shot, with its errors, wherever the record goes.

use boardwise_record::{Error, Fact, Figure, Measured, Record, Shot};

use crate::scene::{Scene, anna, at, empty, id, json, key, people, shot};

fn measured() -> Measured {
    let figure = |value, error| Some(Figure { value, error });
    Measured {
        // A number that a careless writer of numbers would change.
        arrows_board: figure(0.1 + 0.2 + 10.0, 0.1),
        entry_board: figure(17.4, 0.25),
        release_mph: figure(17.1, 1.0 / 7.0),
        ..Measured::default()
    }
}

fn filmed() -> Shot {
    Shot { measured: Some(Box::new(measured())), ..shot("free", "10") }
}

fn kept(record: &Record) -> Vec<Option<Measured>> {
    let sheet = record.sheet(&id("free"), &anna()).unwrap();
    sheet.deliveries.iter().map(|one| one.shot.measured.as_deref().copied()).collect()
}

#[test]
fn law_a_measured_shot_is_logged_corrected_and_taken_back_like_any_other() {
    let mut scene = Scene::new();
    let of = scene.log(filmed()).unwrap();
    scene.log(shot("free", "none")).unwrap();
    assert_eq!(kept(&scene.again()), [Some(measured()), None]);
    let other = Measured { entry_board: None, ..measured() };
    let corrected = scene.correct(of, Shot { measured: Some(Box::new(other)), ..filmed() }).unwrap();
    assert_eq!(kept(&scene.again()), [Some(other), None]);
    scene.undo(corrected).unwrap();
    assert_eq!(kept(&scene.again()), [Some(measured()), None]);
    scene.record.check().unwrap();
}

#[test]
fn law_figures_and_errors_travel_unchanged() {
    let mut scene = Scene::new();
    scene.log(filmed()).unwrap();
    let mut copy = empty(scene.folder.path(), "copy");
    copy.import_json(&json(&scene.record)).unwrap();
    assert_eq!((kept(&copy), json(&copy)), (vec![Some(measured())], json(&scene.record)));
    let mut other = empty(scene.folder.path(), "other");
    people(&mut other);
    other.log(shot("free", "none"), &key("other"), at(60)).unwrap();
    other.join(&scene.record).unwrap();
    assert_eq!(kept(&other), [Some(measured()), None]);
    other.check().unwrap();
}

#[test]
fn law_the_same_film_is_logged_once_and_another_measurement_under_its_key_is_refused() {
    let mut scene = Scene::new();
    let key = Measured::key_of_film(b"a film");
    assert_ne!(key, Measured::key_of_film(b"another"));
    assert!(!scene.record.log(filmed(), &key, at(0)).unwrap().again);
    assert!(scene.record.log(filmed(), &key, at(9)).unwrap().again);
    let other = Shot { measured: None, ..filmed() };
    assert!(matches!(scene.record.log(other, &key, at(9)), Err(Error::KeyTaken { .. })));
    assert_eq!(kept(&scene.record).len(), 1);
}

#[test]
fn law_what_cannot_be_measured_is_refused() {
    let mut scene = Scene::new();
    let figure = |value, error| Some(Figure { value, error });
    for wrong in [
        Measured { entry_board: figure(400.0, 0.1), ..Measured::default() },
        Measured { entry_board: figure(f64::NAN, 0.1), ..Measured::default() },
        Measured { release_mph: figure(17.0, 0.0), ..Measured::default() },
        Measured { tilt_deg: figure(12.0, f64::INFINITY), ..Measured::default() },
    ] {
        let why = scene.log(Shot { measured: Some(Box::new(wrong)), ..filmed() }).unwrap_err();
        assert!(matches!(why, Error::NotWithin { .. } | Error::OutOfRange { .. }), "{why}");
    }
    // A key that no measurement has, and figures on what is no shot.
    scene.log(filmed()).unwrap();
    let text = json(&scene.record).replacen("\"schema\":4", "\"schema\":2", 1);
    let text = format!("{}\n}}", text.rsplit_once(",\n\"digest\"").unwrap().0);
    let unknown = text.replacen("\"entry_board\":", "\"entry\":", 1);
    assert_ne!(unknown, text);
    assert!(empty(scene.folder.path(), "b").import_json(&unknown).unwrap_err().to_string().contains("entry"));
    let mut note = Scene::new();
    note.log(Fact::Note { text: "x".into(), block: None, bowler: None }).unwrap();
    let text = json(&note.record).replacen("\"schema\":4", "\"schema\":2", 1);
    let text = format!("{}\n}}", text.rsplit_once(",\n\"digest\"").unwrap().0);
    let filled = text.replacen("\"text\":\"x\"", "\"text\":\"x\",\"measured\":{}", 1);
    assert_ne!(filled, text);
    assert!(empty(note.folder.path(), "b").import_json(&filled).is_err());
}
