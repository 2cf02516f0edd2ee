//! The archive for one system: the program, its manual pages and completions, and the licences.

use std::fs::{self, File};
use std::io::{Cursor, Write};
use std::path::Path;

use anyhow::{Context, Result};
use flate2::Compression;
use flate2::write::GzEncoder;

use super::pages;
use super::target::Target;
use crate::step::root;

/// What goes to the people who install from an archive, beside the program.
const PAPERS: [&str; 4] = ["LICENSE-APACHE", "LICENSE-MIT", "README.md", "THIRD-PARTY.md"];

/// A file in an archive.
struct Entry {
    name: String,
    bytes: Vec<u8>,
    /// Whether it is a program.
    runs: bool,
}

/// What an archive holds, in order.
pub struct Contents(Vec<Entry>);

impl Contents {
    /// What goes into the archive for one system.
    pub fn of(target: &Target, program: &Path, pages: &Path) -> Result<Self> {
        let stem = target.stem();
        let name = if target.is_windows() { "boardwise.exe" } else { "boardwise" };
        let bytes = fs::read(program).with_context(|| format!("cannot read {}", program.display()))?;
        let mut whole = vec![Entry { name: format!("{stem}/{name}"), bytes, runs: true }];
        for folder in ["man", "completions"] {
            for (file, bytes) in pages::files(&pages.join(folder))? {
                whole.push(Entry { name: format!("{stem}/{folder}/{file}"), bytes, runs: false });
            }
        }
        for paper in PAPERS {
            whole.push(Entry { name: format!("{stem}/{paper}"), bytes: fs::read(root().join(paper))?, runs: false });
        }
        Ok(Self(whole))
    }

    /// As a compressed archive for Linux and macOS. The same contents give the same bytes.
    fn tar_gz(&self) -> Result<Vec<u8>> {
        let mut archive = tar::Builder::new(GzEncoder::new(Vec::new(), Compression::best()));
        for entry in &self.0 {
            let mut header = tar::Header::new_gnu();
            header.set_size(entry.bytes.len() as u64);
            header.set_mode(if entry.runs { 0o755 } else { 0o644 });
            header.set_mtime(0);
            archive.append_data(&mut header, &entry.name, entry.bytes.as_slice())?;
        }
        Ok(archive.into_inner()?.finish()?)
    }

    /// As an archive for Windows.
    fn zip(&self) -> Result<Vec<u8>> {
        let mut archive = zip::ZipWriter::new(Cursor::new(Vec::new()));
        for entry in &self.0 {
            let mode = if entry.runs { 0o755 } else { 0o644 };
            let options = zip::write::SimpleFileOptions::default()
                .compression_level(Some(9))
                .last_modified_time(zip::DateTime::default())
                .unix_permissions(mode);
            archive.start_file(&entry.name, options)?;
            archive.write_all(&entry.bytes)?;
        }
        Ok(archive.finish()?.into_inner())
    }
}

/// Writes the archive for one system into the folder.
pub fn write(target: &Target, contents: &Contents, out: &Path) -> Result<()> {
    let (ending, bytes) = if target.is_windows() { ("zip", contents.zip()?) } else { ("tar.gz", contents.tar_gz()?) };
    let name = format!("{}.{ending}", target.stem());
    let size_mb = bytes.len() as f64 / 1e6;
    File::create(out.join(&name))?.write_all(&bytes)?;
    println!("    {name}: {size_mb:.1} MB");
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use flate2::read::GzDecoder;
    use std::io::Read;

    fn contents() -> Contents {
        let entry = |name: &str, bytes: &[u8], runs| Entry { name: name.to_owned(), bytes: bytes.to_vec(), runs };
        Contents(vec![entry("a/boardwise", b"program", true), entry("a/man/boardwise.1", b"page", false)])
    }

    #[test]
    fn law_an_archive_holds_what_was_put_in_and_the_program_can_run() {
        let bytes = contents().tar_gz().expect("an archive");
        let mut archive = tar::Archive::new(GzDecoder::new(bytes.as_slice()));
        let mut found = Vec::new();
        for entry in archive.entries().expect("entries") {
            let mut entry = entry.expect("an entry");
            let mut text = String::new();
            entry.read_to_string(&mut text).expect("text");
            let name = entry.path().expect("a path").to_string_lossy().into_owned();
            found.push((name, text, entry.header().mode().expect("a mode")));
        }
        assert_eq!(
            found,
            [
                ("a/boardwise".to_owned(), "program".to_owned(), 0o755),
                ("a/man/boardwise.1".to_owned(), "page".to_owned(), 0o644)
            ]
        );
        let mut zip = zip::ZipArchive::new(Cursor::new(contents().zip().expect("an archive"))).expect("an archive");
        let mut text = String::new();
        zip.by_name("a/man/boardwise.1").expect("the page").read_to_string(&mut text).expect("text");
        assert_eq!(text, "page");
    }

    #[test]
    fn law_the_same_contents_give_the_same_archive() {
        assert_eq!(contents().tar_gz().expect("one"), contents().tar_gz().expect("another"));
        assert_eq!(contents().zip().expect("one"), contents().zip().expect("another"));
    }
}
