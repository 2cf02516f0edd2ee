//! The checksums that the installers compare with.

use std::fmt::Write;
use std::fs;
use std::path::Path;

use anyhow::{Result, ensure};
use sha2::{Digest, Sha256};

use super::pages;

/// The file that holds them, in the form that `sha256sum --check` reads.
pub const FILE: &str = "SHA256SUMS";

/// Writes the checksums of every file in the folder, in order of their names.
pub fn write(out: &Path) -> Result<()> {
    let mut text = String::new();
    for (name, bytes) in pages::files(out)?.into_iter().filter(|(name, _)| name != FILE) {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{}  {name}", hex::encode(Sha256::digest(&bytes)));
    }
    ensure!(!text.is_empty(), "{} is empty", out.display());
    fs::write(out.join(FILE), &text)?;
    println!("    {FILE}: {} files", text.lines().count());
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn truth_the_sum_of_a_known_text() {
        // FIPS 180-2, appendix B.1: the message "abc".
        let folder = tempfile::tempdir().expect("a folder");
        fs::write(folder.path().join("b"), "abc").expect("a file");
        fs::write(folder.path().join("a"), "").expect("a file");
        write(folder.path()).expect("sums");
        write(folder.path()).expect("sums again, without those of the sums");
        let text = fs::read_to_string(folder.path().join(FILE)).expect("sums");
        assert_eq!(text.lines().count(), 2);
        assert!(text.starts_with("e3b0c442"), "in order of names");
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  b\n";
        assert!(text.ends_with(abc));
    }
}
