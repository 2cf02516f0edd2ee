//! Prints what the record takes: per fact logged, to open, to bring in and out, on the disk of the folder given.
//!
//! `cargo run --release -p boardwise-tools --features faces --bin record_figures -- FOLDER`

use std::error::Error;
use std::fmt::Write as _;
use std::path::Path;
use std::time::{Duration, Instant};

use boardwise_record::{Ball, Block, BlockId, Bowler, Counting, Event, EventKind, Fact, Key, Record, Shot};
use boardwise_score::{Game, PinSet, Scoring};
use boardwise_units::stream::Stream;
use jiff::Timestamp;

const GAMES: u16 = 6;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| ".".to_owned());
    let folder = tempfile::tempdir_in(folder)?;
    logging(&folder.path().join("logging.record"))?;
    let shots = rows(100_000);
    let path = folder.path().join("hundred-thousand.record");
    let mut record = begun(&path, &shots)?;
    let took = timed(|| record.import_csv(shots.text.as_bytes(), &key("first"), at()).map(|_| ()))?;
    println!("import of {} shots from CSV: {took:.0?}", shots.count);
    opening(&path, record)?;
    let shots = rows(1_000_000);
    let path = folder.path().join("million.record");
    let mut record = begun(&path, &shots)?;
    println!("before the large import: {}", memory());
    let took = timed(|| record.import_csv(shots.text.as_bytes(), &key("first"), at()).map(|_| ()))?;
    println!(
        "import of {} shots from {} MB of CSV: {took:.1?}; {}",
        shots.count,
        mb(shots.text.len() as u64),
        memory()
    );
    drop(record);
    let mut record = Record::open(&path)?;
    println!("its file: {} MB", mb(path.metadata()?.len()));
    let took = timed(|| record.import_csv(shots.text.as_bytes(), &key("first"), at()).map(|_| ()))?;
    println!("the same again, nothing new: {took:.1?}");
    drop(shots);
    let mut json = Vec::new();
    let took = timed(|| record.export_json(&mut json))?;
    println!("export of all to {} MB of JSON: {took:.1?}", mb(json.len() as u64));
    let mut other = Record::open(folder.path().join("other.record"))?;
    let json = String::from_utf8(json)?;
    let took = timed(|| other.import_json(&json).map(|_| ()))?;
    println!("import of it: {took:.1?}; {}", memory());
    let took = timed(|| record.check())?;
    println!("full check: {took:.1?}");
    Ok(())
}

/// Logs 5000 shots of two bowlers in blocks of six games, one at a time.
fn logging(path: &Path) -> Result<(), Box<dyn Error>> {
    let mut games = Games::new(2);
    let (mut record, mut times) = (Record::open(path)?, Vec::new());
    begin(&mut record)?;
    for number in 0..5_000 {
        let (block, bowler, standing) = games.next_ball();
        add_block(&mut record, &block)?;
        let shot = Shot::standing(&block.parse()?, &bowler.parse()?, standing);
        times.push(timed(|| record.log(&shot, &key(&format!("k{number}")), at()).map(|_| ()))?);
    }
    times.sort();
    let of = |share: f64| times[(share * (times.len() - 1) as f64) as usize];
    println!("log: median {:.2?}, p99 {:.2?}, most {:.2?} of {}", of(0.5), of(0.99), of(1.0), times.len());
    let block: BlockId = "block 0".parse()?;
    let took = timed(|| record.sheet(&block, &"bowler 0".parse()?).map(|_| ()))?;
    println!("a sheet of six games: {took:.2?}");
    // One sheet that never ends is the dearest to log into.
    record.add(&Block { id: "drill".parse()?, games: None, counting: Counting::Nothing, ..block_called("drill")? })?;
    let mut last = Duration::ZERO;
    for number in 0..2_000 {
        let shot = Shot::standing(&"drill".parse()?, &"bowler 0".parse()?, PinSet::NONE);
        last = timed(|| record.log(&shot, &key(&format!("d{number}")), at()).map(|_| ()))?;
    }
    println!("log as shot number 2000 of one sheet: {last:.2?}");
    Ok(())
}

fn opening(path: &Path, record: Record) -> Result<(), Box<dyn Error>> {
    drop(record);
    let mut times = Vec::new();
    for _ in 0..11 {
        times.push(timed(|| Record::open(path).map(drop))?);
    }
    times.sort();
    println!("open {} MB: median {:.0?}, most {:.0?}", mb(path.metadata()?.len()), times[5], times[10]);
    let record = Record::open(path)?;
    println!("bag of one bowler: {:.0?}", timed(|| record.bag(&"bowler 0".parse()?).map(|_| ()))?);
    println!("full check of it: {:.0?}", timed(|| record.check())?);
    println!("copy of it: {:.0?}", timed(|| record.backup(path.with_extension("copy")).map(drop))?);
    Ok(())
}

/// Made-up shots as CSV, and the names of their blocks.
struct Rows {
    text: String,
    blocks: Vec<String>,
    count: usize,
}

fn rows(count: usize) -> Rows {
    let mut games = Games::new(4);
    let mut text = String::from("key,at,block,bowler,standing,arrows_board,hit\n");
    for number in 0..count {
        let (block, bowler, standing) = games.next_ball();
        let board = 8.0 + (number % 9) as f64 / 2.0;
        let _ = writeln!(text, "k{number},2026-04-11T09:30:00Z,{block},{bowler},{standing},{board},pocket");
    }
    Rows { text, blocks: (0..=games.block).map(|block| format!("block {block}")).collect(), count }
}

/// Bowlers who throw frame by frame, block after block.
struct Games {
    stream: Stream,
    block: usize,
    turn: usize,
    bowlers: Vec<(Game, u16)>,
}

impl Games {
    fn new(bowlers: usize) -> Self {
        let bowlers = vec![(Game::new(Scoring::Traditional), 1); bowlers];
        Self { stream: Stream::keyed(7, "made-up shots", 0), block: 0, turn: 0, bowlers }
    }

    fn next_ball(&mut self) -> (String, String, PinSet) {
        if self.bowlers.iter().all(|(game, number)| game.is_complete() && *number == GAMES) {
            self.block += 1;
            self.turn = 0;
            self.bowlers.fill((Game::new(Scoring::Traditional), 1));
        }
        let turn = self.turn;
        let (game, number) = &mut self.bowlers[turn];
        if game.is_complete() {
            (*game, *number) = (Game::new(Scoring::Traditional), *number + 1);
        }
        let luck = self.stream.uniform();
        let fresh = game.deck().is_none_or(|deck| deck.len() == 10);
        let standing = match fresh {
            true if luck > 0.45 => PinSet::from_bits(1 << (10.0 * self.stream.uniform()) as u16).unwrap_or_default(),
            false if luck > 0.8 => match game.deck() {
                Some(boardwise_score::Deck::Pins(pins)) => pins,
                _ => PinSet::NONE,
            },
            _ => PinSet::NONE,
        };
        let frame = game.up_next().map(|(frame, _)| frame);
        let _ = game.push(boardwise_score::Roll::Standing(standing));
        if game.up_next().map(|(frame, _)| frame) != frame {
            self.turn = (turn + 1) % self.bowlers.len();
        }
        (format!("block {}", self.block), format!("bowler {turn}"), standing)
    }
}

fn begun(path: &Path, rows: &Rows) -> Result<Record, Box<dyn Error>> {
    let mut record = Record::open(path)?;
    begin(&mut record)?;
    rows.blocks.iter().try_for_each(|block| add_block(&mut record, block))?;
    Ok(record)
}

fn begin(record: &mut Record) -> Result<(), Box<dyn Error>> {
    record.add(&Event { id: "e".parse()?, name: "Event".into(), kind: EventKind::Competition, day: None })?;
    for number in 0..4 {
        let (bowler, ball) = (format!("bowler {number}").parse()?, format!("ball {number}").parse()?);
        record.add(&Bowler { id: bowler, name: format!("Bowler {number}"), hand: boardwise_units::Hand::Right })?;
        let bowler: boardwise_record::BowlerId = format!("bowler {number}").parse()?;
        let (name, games_before) = ("dull solid".into(), 12.0);
        record.add(&Ball { id: ball, bowler: bowler.clone(), name, cover: None, surface: None, games_before })?;
        let ball = format!("ball {number}").parse()?;
        record.log(Fact::BallChange { bowler, ball }, &key(&format!("ball {number}")), at())?;
    }
    Ok(())
}

fn add_block(record: &mut Record, block: &str) -> Result<(), Box<dyn Error>> {
    record.add(&block_called(block)?)?;
    Ok(())
}

fn block_called(id: &str) -> Result<Block, boardwise_record::Error> {
    let (name, counting, games) = (id.to_owned(), Counting::Traditional, Some(GAMES));
    Ok(Block { id: id.parse()?, event: "e".parse()?, name, counting, games })
}

fn key(text: &str) -> Key {
    text.parse().expect("short and visible")
}

fn at() -> Timestamp {
    Timestamp::UNIX_EPOCH
}

fn timed(work: impl FnOnce() -> Result<(), boardwise_record::Error>) -> Result<Duration, boardwise_record::Error> {
    let start = Instant::now();
    work()?;
    Ok(start.elapsed())
}

fn mb(bytes: u64) -> u64 {
    bytes / 1_000_000
}

/// The most memory this process has had, where the system says so.
fn memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let most = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    format!("most memory so far {}", most.map_or("unknown", str::trim))
}
