//! A record: shots as they fall, a mistake put right, and the sheet that follows from them.

use boardwise_record::score::PinSet;
use boardwise_record::units::Hand;
use boardwise_record::{Block, BlockId, Bowler, BowlerId, Counting, Event, EventKind, Record, Shot};
use std::error::Error;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = tempfile::tempdir()?;
    let mut record = Record::open(folder.path().join("mine.record"))?;

    let (anna, block): (BowlerId, BlockId) = ("anna".parse()?, "qualifying".parse()?);
    record.add(&Bowler { id: anna.clone(), name: "Anna".into(), hand: Hand::Right })?;
    record.add(&Event {
        id: "spring".parse()?,
        name: "Spring open".into(),
        kind: EventKind::Competition,
        day: None,
    })?;
    record.add(&Block {
        id: block.clone(),
        event: "spring".parse()?,
        name: "Qualifying".into(),
        counting: Counting::Traditional,
        games: Some(6),
    })?;

    // What stood after each ball. The key is the sender's: sent twice, a shot is logged once.
    let at = "2026-04-11T09:30:00Z".parse()?;
    let mut last = None;
    for (number, standing) in ["none", "7-10", "10", "none", "3-6-10", "none"].into_iter().enumerate() {
        let pins: PinSet = standing.parse()?;
        let receipt = record.log(Shot::standing(&block, &anna, pins), &format!("shot-{number}").parse()?, at)?;
        last = Some(receipt.seq);
    }

    // Nothing is overwritten: a correction is a fact of its own, and frames and score are read from the facts anew.
    let of = last.expect("six shots");
    println!("logged: {}", record.sheet(&block, &anna)?.games[0]);
    record.correct(of, Shot::standing(&block, &anna, "10".parse()?), &"correction-1".parse()?, at)?;

    let sheet = record.sheet(&block, &anna)?;
    println!("put right: {}", sheet.games[0]);
    println!("score so far {}, at most {}", sheet.games[0].score(), sheet.games[0].maximum());
    Ok(())
}
