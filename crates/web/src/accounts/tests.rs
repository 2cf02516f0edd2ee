//! What is kept is what would be worked out now.

use axum::Json;
use axum::extract::State;

use super::*;
use crate::state::App;
use crate::state::tests::{evening, log, undo};
use crate::{at_lanes, stamp};
use boardwise_record::{Fact, Surface};
use boardwise_session::at_lanes::after::SheetChoice;
use boardwise_session::at_lanes::begin::{Beginning, begin};
use boardwise_session::at_lanes::command::{Command, Move, ShotTold};

fn story(app: &App) -> Story {
    Story::of(&app.record, &SheetChoice::default()).unwrap()
}

fn begin_game(app: &App) {
    let event = app.library.event("club").unwrap();
    begin(&app.record, event, &Beginning::default(), &stamp::fresh().unwrap()).unwrap();
}

/// The account as it is asked for, how often one was worked out until then, and whether it is the one worked out fresh.
fn opened(app: &App) -> (Arc<Reckoned>, usize, bool) {
    let story = story(app);
    let told = app.accounts.of(&story).unwrap().unwrap();
    let fresh = story.reckon().unwrap().unwrap();
    let same = *told == fresh;
    (told, app.accounts.worked(), same)
}

fn run(app: &App, command: &Command, key: &str) {
    app.change(|state| state.run(command, &stamp::under(key)?)).unwrap();
}

fn correct(app: &App, block: &str, pins: &str, key: &str) {
    let shot = ShotTold { pins: pins.to_owned(), ..ShotTold::default() };
    let command = Command::Correct { block: block.to_owned(), number: 1, shot };
    app.change_in(Some(block), &command, &stamp::under(key).unwrap()).unwrap();
}

#[test]
fn law_an_account_is_kept_until_anything_that_it_follows_from_changes() {
    let (_folder, app) = evening();
    let practice = story(&app).sheet.block.id.to_string();
    app.change(|state| log(state, "none", "practised")).unwrap();
    begin_game(&app);
    let game = story(&app).sheet.block.id.to_string();
    app.change(|state| log(state, "none", "one")).unwrap();
    let sanded = Move { surface: Some(Surface::Polished), ..Move::default() };
    run(&app, &Command::Move(sanded), "sanded");
    for key in ["two", "three"] {
        app.change(|state| log(state, "7", key)).unwrap();
    }

    let (first, worked, same) = opened(&app);
    assert!(worked == 1 && same);
    let (again, worked, same) = opened(&app);
    assert!(worked == 1 && same && Arc::ptr_eq(&first, &again), "the second opening does no work");
    app.change(|state| {
        let remark = Fact::Note { text: "dry on the left".to_owned(), block: None, bowler: None };
        state.desk.record.log(remark, &stamp::fresh()?.key, jiff::Timestamp::UNIX_EPOCH)?;
        Ok(())
    })
    .unwrap();
    assert_eq!(opened(&app).1, 1, "a remark changes no account");

    let mut last = first;
    let mut expected = 1;
    let changes: [(&str, &dyn Fn()); 4] = [
        ("an undo", &|| app.change(undo).map(drop).unwrap()),
        ("work on a ball taken back", &|| {
            run(&app, &Command::Undo { of: Some("sanded".parse().unwrap()) }, "not sanded");
        }),
        ("a shot of practice put right", &|| correct(&app, &practice, "7-10", "right")),
        ("a shot put right", &|| correct(&app, &game, "7", "right too")),
    ];
    for (what, change) in changes {
        change();
        let (now, worked, same) = opened(&app);
        expected += 1;
        assert!(same && *now != *last, "{what}: the account is another, as worked out fresh");
        assert_eq!(worked, expected, "{what}");
        last = now;
    }
}

#[test]
fn law_accounts_asked_for_last_are_kept_and_old_ones_go() {
    let (_folder, app) = evening();
    let mut from = Vec::new();
    for k in 0..=MOST {
        from.push(story(&app).replayed().unwrap());
        app.change(|state| log(state, "7", &format!("{k}"))).unwrap();
    }
    let places: Vec<Place> = from[..MOST].iter().map(|one| app.accounts.place(one.clone())).collect();
    let again = |k: usize| Arc::ptr_eq(&places[k], &app.accounts.place(from[k].clone()));
    assert!(again(0), "the oldest is in front again");
    app.accounts.place(from[MOST].clone());
    assert!(again(0) && again(2) && !again(1), "the one that nobody asked for longest is gone");
}

#[cfg(feature = "server")]
#[tokio::test(flavor = "multi_thread")]
async fn law_a_complete_block_has_its_account_before_anybody_asks() {
    let (_folder, app) = evening();
    begin_game(&app);
    let app = Arc::new(app);
    let (block, keys) = (story(&app).sheet.block.id.to_string(), (0..12).map(|k| format!("ball-{k}")));
    for key in keys {
        assert_eq!(app.accounts.worked(), 0);
        let told = serde_json::json!({ "key": key, "block": block, "pins": "none" });
        let answer = at_lanes::shot(State(Arc::clone(&app)), Json(serde_json::from_value(told).unwrap())).await;
        assert!(answer.is_ok());
    }
    // Whatever takes its turn after it finds it done.
    while app.accounts.worked() == 0 {
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    let (_, worked, same) = tokio::task::spawn_blocking(move || opened(&app)).await.unwrap();
    assert!(worked == 1 && same);
}
