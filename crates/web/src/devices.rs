//! Devices of the local network that are let in: a code pairs one, a token known only to it lets it in from then on.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use tokio::sync::watch;

use super::lock::lock;
use boardwise_files::Fault;
use boardwise_session::Failure;
use boardwise_session::keep::{devices_beside, devices_of_earlier};

/// The list of devices, and the codes that are shown.
pub struct Devices {
    place: PathBuf,
    all: Mutex<Vec<Device>>,
    codes: Mutex<Codes>,
    forgotten: watch::Sender<()>,
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
    /// What it may do; those of an earlier version may all.
    #[serde(default)]
    pub may: May,
    /// The token is not kept: only this, from which nobody can tell it.
    token_sha256: String,
}

/// What a device may do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum May {
    /// Read and write everything.
    #[default]
    Log,
    /// Look on: a coach reads everything as it happens, and changes nothing.
    LookOn,
}

/// The code of each kind of device.
struct Codes {
    log: String,
    look_on: String,
}

impl Codes {
    fn new() -> Self {
        let log = digits();
        // Ten digits are seldom the same twice; then another is drawn.
        let look_on = std::iter::repeat_with(digits).find(|other| *other != log).unwrap_or_default();
        Self { log, look_on }
    }

    fn of(&self, may: May) -> &str {
        match may {
            May::Log => &self.log,
            May::LookOn => &self.look_on,
        }
    }

    /// What whoever typed this may do; none where it is no code, however it is spaced.
    fn opens(&self, typed: &str) -> Option<May> {
        let is = |code: &str| typed.chars().filter(|c| !c.is_whitespace()).eq(code.chars());
        [May::Log, May::LookOn].into_iter().find(|may| is(self.of(*may)))
    }
}

/// Why no device was paired: the code is another.
#[derive(Debug, PartialEq, Eq)]
pub struct WrongCode;

/// Digits of a code. Nobody is locked out after wrong ones: that would let a stranger lock out the owner. Instead the code is long, and
/// whoever types a wrong one waits for the answer ([`super::pairing`]). A thousand devices that guess all evening find it with a chance of
/// one in four hundred.
const DIGITS: u32 = 10;
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
        if !all.is_empty() {
            keep_private(place).map_err(|source| Fault::Write { path: place.to_owned(), source })?;
        }
        let (all, codes) = (Mutex::new(all), Mutex::new(Codes::new()));
        Ok(Self { place: place.to_owned(), all, codes, forgotten: watch::channel(()).0 })
    }

    /// The code that pairs the next device that may do this, in two groups.
    pub fn code(&self, may: May) -> String {
        let codes = lock(&self.codes);
        let code = codes.of(may);
        let (first, second) = code.split_at(code.len() / 2);
        format!("{first} {second}")
    }

    /// Whether this is one of the codes, however it is spaced.
    pub fn is_code(&self, typed: &str) -> bool {
        lock(&self.codes).opens(typed).is_some()
    }

    /// Lets a device in that knows a code, and changes the codes. Gives its token.
    ///
    /// # Errors
    /// Inside: it is another code. Outside: the list cannot be written.
    pub fn pair(&self, typed: &str, name: &str) -> Result<Result<String, WrongCode>, Failure> {
        // Held from the look at the list to its end: of two who type the code at once, one is let in.
        let mut all = lock(&self.all);
        let Some(may) = lock(&self.codes).opens(typed) else { return Ok(Err(WrongCode)) };
        let token = token();
        let id = all.iter().map(|device| device.id).max().unwrap_or(0) + 1;
        let name: String = name.chars().filter(|c| !c.is_control()).take(LONGEST_NAME).collect();
        let name = if name.trim().is_empty() { format!("device {id}") } else { name };
        let mut with: Vec<Device> = all.clone();
        with.push(Device { id, name, paired: Timestamp::now(), may, token_sha256: hash(&token) });
        self.write(&with)?;
        *all = with;
        *lock(&self.codes) = Codes::new();
        Ok(Ok(token))
    }

    /// The device of this token, and what it may do.
    pub fn of_token(&self, token: &str) -> Option<(u32, May)> {
        // What is compared is a digest, of which a guesser controls no byte: how long it takes tells nothing of use.
        let hash = hash(token);
        lock(&self.all).iter().find(|device| device.token_sha256 == hash).map(|device| (device.id, device.may))
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
        drop(all);
        self.forgotten.send_replace(());
        Ok(was_there)
    }

    /// Whether a device is let in.
    pub fn knows(&self, id: u32) -> bool {
        lock(&self.all).iter().any(|device| device.id == id)
    }

    /// Tells whenever one is forgotten.
    pub fn forgotten(&self) -> watch::Receiver<()> {
        self.forgotten.subscribe()
    }

    /// Writes the list whole or not at all, for its owner's eyes alone.
    fn write(&self, all: &[Device]) -> Result<(), Failure> {
        let unwritten = |source| Fault::Write { path: self.place.clone(), source };
        let text = serde_json::to_vec_pretty(all).map_err(|why| unwritten(why.into()))?;
        let folder = self.place.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        // Nobody else may read such a file from the moment it is there.
        let written = tempfile::NamedTempFile::new_in(folder).and_then(|mut file| {
            file.write_all(&text)?;
            file.as_file().sync_all()?;
            file.persist(&self.place).map_err(|why| why.error)
        });
        written.map(drop).map_err(|source| unwritten(source).into())
    }
}

/// Takes over the list that an earlier version kept under a name that two records could share: the first to come has it.
///
/// # Errors
/// If it cannot be moved.
pub fn take_over_earlier(record: &Path) -> Result<(), Failure> {
    let (earlier, ours) = (devices_of_earlier(record), devices_beside(record));
    if earlier != ours && !ours.exists() && earlier.exists() {
        std::fs::rename(&earlier, &ours).map_err(|source| Fault::Write { path: ours, source })?;
    }
    Ok(())
}

/// Takes a list that earlier versions let everybody on this machine read out of their sight.
fn keep_private(place: &Path) -> std::io::Result<()> {
    #[cfg(unix)]
    std::fs::set_permissions(place, std::os::unix::fs::PermissionsExt::from_mode(0o600))?;
    let _ = place;
    Ok(())
}

fn random<const N: usize>() -> [u8; N] {
    let mut bytes = [0; N];
    // Without randomness there are no secrets: the program ends rather than make one that can be guessed.
    getrandom::fill(&mut bytes).expect("the system gives random bytes");
    bytes
}

/// Of 2^64 values the last few make some codes likelier by less than one in 10^9.
fn digits() -> String {
    format!("{:0width$}", u64::from_le_bytes(random()) % 10_u64.pow(DIGITS), width = DIGITS as usize)
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
        let code = devices.code(May::Log);
        let token = devices.pair(&code, "phone").unwrap().unwrap();
        assert_eq!(devices.pair(&code, "other").unwrap(), Err(WrongCode), "the code is used up");
        assert_eq!(devices.of_token(&token), Some((1, May::Log)));
        assert_eq!(devices.of_token("no such token"), None);
        let kept = std::fs::read_to_string(folder.path().join("devices.json")).unwrap();
        assert!(!kept.contains(&token), "the token itself is nowhere");
        let again = Devices::open(&folder.path().join("devices.json")).unwrap();
        assert_eq!(again.of_token(&token), Some((1, May::Log)), "it outlives the program");
        assert!(again.forget(1).unwrap());
        assert_eq!(again.of_token(&token), None);
    }

    #[test]
    fn law_the_code_says_what_a_device_may_do() {
        let (folder, devices) = list();
        let coach = devices.pair(&devices.code(May::LookOn), "coach").unwrap().unwrap();
        assert_eq!(devices.of_token(&coach), Some((1, May::LookOn)));
        let again = Devices::open(&folder.path().join("devices.json")).unwrap();
        assert_eq!(again.of_token(&coach), Some((1, May::LookOn)));
        // A list of an earlier version names nothing of the kind.
        let kept = std::fs::read_to_string(folder.path().join("devices.json")).unwrap();
        std::fs::write(folder.path().join("devices.json"), kept.replace("\"may\": \"look-on\",", "")).unwrap();
        let earlier = Devices::open(&folder.path().join("devices.json")).unwrap();
        assert_eq!(earlier.of_token(&coach), Some((1, May::Log)));
    }

    #[test]
    fn law_guessing_never_locks_out_the_right_code() {
        let (_folder, devices) = list();
        let code = devices.code(May::Log);
        assert_eq!(code.chars().filter(char::is_ascii_digit).count(), DIGITS as usize);
        for guess in 0..1000 {
            let guess = format!("{guess:010}");
            assert!(devices.is_code(&guess) || devices.pair(&guess, "").unwrap() == Err(WrongCode));
        }
        assert!(devices.pair(&code.replace(' ', ""), "").unwrap().is_ok(), "the right one, without its blank");
    }

    #[test]
    fn law_hostile_names_are_only_text() {
        let (_folder, devices) = list();
        let name = format!("<script>alert(1)</script>\u{0}\n{}", "x".repeat(100));
        devices.pair(&devices.code(May::Log), &name).unwrap().unwrap();
        let kept = &devices.all()[0].name;
        assert!(kept.chars().count() <= LONGEST_NAME && !kept.contains('\n') && kept.starts_with("<script>"));
    }

    #[test]
    #[cfg(unix)]
    fn law_nobody_else_on_the_machine_reads_the_list() {
        use std::os::unix::fs::PermissionsExt;
        let (folder, devices) = list();
        let place = folder.path().join("devices.json");
        let mode = || std::fs::metadata(&place).unwrap().permissions().mode() & 0o777;
        devices.pair(&devices.code(May::Log), "phone").unwrap().unwrap();
        assert_eq!(mode(), 0o600);
        std::fs::set_permissions(&place, PermissionsExt::from_mode(0o644)).unwrap();
        Devices::open(&place).unwrap();
        assert_eq!(mode(), 0o600, "a list of an earlier version is closed, too");
    }

    #[test]
    fn law_two_records_side_by_side_share_no_devices() {
        let folder = tempfile::tempdir().unwrap();
        let [first, second] = ["a.record", "a.db"].map(|name| folder.path().join(name));
        assert_ne!(devices_beside(&first), devices_beside(&second));
        // As an earlier version kept it for both.
        std::fs::write(folder.path().join("a.devices.json"), "[]").unwrap();
        take_over_earlier(&first).unwrap();
        take_over_earlier(&second).unwrap();
        assert!(devices_beside(&first).exists() && !devices_beside(&second).exists());
    }
}
