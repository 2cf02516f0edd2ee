//! Devices of the local network that are let in: a code pairs one, a token known only to it lets it in from then on.

use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::{Duration, Instant};

use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::state::lock;
use boardwise_files::{Fault, whole};
use boardwise_session::Failure;

/// The list of devices, and the code that is shown.
pub struct Devices {
    place: PathBuf,
    all: Mutex<Vec<Device>>,
    code: Mutex<Code>,
}

/// A device that is let in.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Device {
    /// A number to call it by.
    pub id: u32,
    /// What its owner calls it.
    pub name: String,
    /// Since when.
    pub paired: Timestamp,
    /// The token is not kept: only this, from which nobody can tell it.
    token_sha256: String,
}

/// The code of the moment.
struct Code {
    digits: String,
    wrong: Vec<Instant>,
}

/// Why no device was paired.
#[derive(Debug, PartialEq, Eq)]
pub enum NotPaired {
    /// The code is another.
    WrongCode,
    /// Too many wrong codes: none is looked at for a while.
    TooMany,
}

/// Wrong codes within [`WINDOW`] after which none is looked at.
const MOST_WRONG: usize = 5;
/// How long a wrong code counts. Of a million codes, five a minute try a thousandth in more than three hours; and each paired
/// device changes the code.
const WINDOW: Duration = Duration::from_mins(1);
/// Longest name of a device, in characters.
const LONGEST_NAME: usize = 40;

impl Devices {
    /// Reads the list; without a file it is empty.
    ///
    /// # Errors
    /// If the file cannot be read or is none of ours: letting nobody in is safe, but losing the list without a word is not.
    pub fn open(place: &Path) -> Result<Self, Failure> {
        let unreadable = |source| Fault::Unreadable { name: place.display().to_string(), source };
        let all = match std::fs::read(place) {
            Ok(bytes) => serde_json::from_slice(&bytes).map_err(|why| unreadable(why.into()))?,
            Err(why) if why.kind() == std::io::ErrorKind::NotFound => Vec::new(),
            Err(source) => return Err(unreadable(source).into()),
        };
        let code = Mutex::new(Code { digits: digits(), wrong: Vec::new() });
        Ok(Self { place: place.to_owned(), all: Mutex::new(all), code })
    }

    /// The code that pairs the next device.
    pub fn code(&self) -> String {
        lock(&self.code).digits.clone()
    }

    /// Lets a device in that knows the code, and changes the code. Gives its token.
    ///
    /// # Errors
    /// Inside: why it is not paired. Outside: the list cannot be written.
    pub fn pair(&self, typed: &str, name: &str, now: Instant) -> Result<Result<String, NotPaired>, Failure> {
        {
            let mut code = lock(&self.code);
            code.wrong.retain(|wrong| now.duration_since(*wrong) < WINDOW);
            if code.wrong.len() >= MOST_WRONG {
                return Ok(Err(NotPaired::TooMany));
            }
            let typed: String = typed.chars().filter(char::is_ascii_digit).collect();
            if typed != code.digits {
                code.wrong.push(now);
                return Ok(Err(NotPaired::WrongCode));
            }
            code.digits = digits();
        }
        let token = token();
        let mut all = lock(&self.all);
        let id = all.iter().map(|device| device.id).max().unwrap_or(0) + 1;
        let name: String = name.chars().filter(|c| !c.is_control()).take(LONGEST_NAME).collect();
        let name = if name.trim().is_empty() { format!("device {id}") } else { name };
        let mut with: Vec<Device> = all.clone();
        with.push(Device { id, name, paired: Timestamp::now(), token_sha256: hash(&token) });
        self.write(&with)?;
        *all = with;
        Ok(Ok(token))
    }

    /// The device of this token.
    pub fn of_token(&self, token: &str) -> Option<u32> {
        // What is compared is a digest, of which a guesser controls no byte: how long it takes tells nothing of use.
        let hash = hash(token);
        lock(&self.all).iter().find(|device| device.token_sha256 == hash).map(|device| device.id)
    }

    /// Everybody who is let in.
    pub fn all(&self) -> Vec<Device> {
        lock(&self.all).clone()
    }

    /// Lets a device in no more.
    ///
    /// # Errors
    /// If the list cannot be written.
    pub fn forget(&self, id: u32) -> Result<bool, Failure> {
        let mut all = lock(&self.all);
        let without: Vec<Device> = all.iter().filter(|device| device.id != id).cloned().collect();
        let was_there = without.len() < all.len();
        self.write(&without)?;
        *all = without;
        Ok(was_there)
    }

    fn write(&self, all: &[Device]) -> Result<(), Failure> {
        let unwritten = |why: serde_json::Error| Fault::Write { path: self.place.clone(), source: why.into() };
        Ok(whole::write(&self.place, &serde_json::to_vec_pretty(all).map_err(unwritten)?)?)
    }
}

fn random<const N: usize>() -> [u8; N] {
    let mut bytes = [0; N];
    // Without randomness there are no secrets: the program ends rather than make one that can be guessed.
    getrandom::fill(&mut bytes).expect("the system gives random bytes");
    bytes
}

/// Six digits; of 2^64 values the last few make some codes likelier by less than one in 10^13.
fn digits() -> String {
    format!("{:06}", u64::from_le_bytes(random()) % 1_000_000)
}

fn token() -> String {
    hex::encode(random::<32>())
}

fn hash(token: &str) -> String {
    hex::encode(Sha256::digest(token.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list() -> (tempfile::TempDir, Devices) {
        let folder = tempfile::tempdir().unwrap();
        let devices = Devices::open(&folder.path().join("devices.json")).unwrap();
        (folder, devices)
    }

    #[test]
    fn law_a_code_pairs_once_and_a_token_can_be_taken_away() {
        let (folder, devices) = list();
        let (code, now) = (devices.code(), Instant::now());
        let token = devices.pair(&code, "phone", now).unwrap().unwrap();
        assert_eq!(devices.pair(&code, "other", now).unwrap(), Err(NotPaired::WrongCode), "the code is used up");
        assert_eq!(devices.of_token(&token), Some(1));
        assert_eq!(devices.of_token("no such token"), None);
        let kept = std::fs::read_to_string(folder.path().join("devices.json")).unwrap();
        assert!(!kept.contains(&token), "the token itself is nowhere");
        let again = Devices::open(&folder.path().join("devices.json")).unwrap();
        assert_eq!(again.of_token(&token), Some(1), "it outlives the program");
        assert!(again.forget(1).unwrap());
        assert_eq!(again.of_token(&token), None);
    }

    #[test]
    fn law_wrong_codes_are_slowed_down() {
        let (_folder, devices) = list();
        let (code, start) = (devices.code(), Instant::now());
        let wrong = if code == "000000" { "000001" } else { "000000" };
        for _ in 0..MOST_WRONG {
            assert_eq!(devices.pair(wrong, "", start).unwrap(), Err(NotPaired::WrongCode));
        }
        assert_eq!(devices.pair(&code, "", start).unwrap(), Err(NotPaired::TooMany), "even the right one");
        assert!(devices.pair(&code, "", start + WINDOW).unwrap().is_ok());
    }

    #[test]
    fn law_hostile_names_are_only_text() {
        let (_folder, devices) = list();
        let name = format!("<script>alert(1)</script>\u{0}\n{}", "x".repeat(100));
        devices.pair(&devices.code(), &name, Instant::now()).unwrap().unwrap();
        let kept = &devices.all()[0].name;
        assert!(kept.chars().count() <= LONGEST_NAME && !kept.contains('\n') && kept.starts_with("<script>"));
    }
}
