//! The app as a folder for any web host: the page, its workers, the module that computes, and what makes it installable. Whoever opens it
//! once can use it from then on without a network.

use std::path::Path;

use sha2::{Digest, Sha256};

use boardwise_files::Fault;
use boardwise_session::Failure;

/// What every version has in a folder of its own.
const APP: &[(&str, &[u8])] = &[
    ("shell.js", include_bytes!("site/shell.js")),
    ("shell.css", include_bytes!("site/shell.css")),
    ("long.js", include_bytes!("site/long.js")),
    ("worker.js", include_bytes!("site/worker.js")),
    ("host.js", include_bytes!("site/host.js")),
    ("disk.js", include_bytes!("site/disk.js")),
    ("icon.svg", include_bytes!("assets/icon.svg")),
    ("icon-192.png", include_bytes!("site/icon-192.png")),
    ("icon-512.png", include_bytes!("site/icon-512.png")),
];

/// Name of the module among them.
const MODULE: &str = "boardwise.wasm";

/// What stands at the top, the same for all versions but for the word `VERSION`.
const TOP: &[(&str, &str)] = &[
    ("index.html", include_str!("site/index.html")),
    ("manifest.webmanifest", include_str!("site/manifest.webmanifest")),
    ("sw.js", include_str!("site/sw.js")),
];

/// Writes the folder, and gives the version that it offers. `module` is the app built for browsers.
///
/// # Errors
/// If a file cannot be written.
pub fn write_site(folder: &Path, module: &[u8]) -> Result<String, Failure> {
    let mut all = Sha256::new();
    for (name, bytes) in APP {
        all.update(name);
        all.update(bytes);
    }
    for (_, text) in TOP {
        all.update(text);
    }
    all.update(module);
    let version = format!("{}-{}", env!("CARGO_PKG_VERSION"), hex::encode(&all.finalize()[..4]));
    let app = format!("app/{version}");
    let mut files: Vec<(String, Vec<u8>)> =
        APP.iter().map(|(name, bytes)| (format!("{app}/{name}"), bytes.to_vec())).collect();
    files.push((format!("{app}/{MODULE}"), module.to_vec()));
    let mut offered: Vec<String> = files.iter().map(|(name, _)| format!("/{name}")).collect();
    offered.extend(["/".to_owned(), "/manifest.webmanifest".to_owned()]);
    files.extend(TOP.iter().map(|(name, text)| ((*name).to_owned(), text.replace("VERSION", &version).into_bytes())));
    // Last: whoever reads of a version finds all of it.
    let told = serde_json::json!({ "version": version, "files": offered });
    files.push(("version.json".to_owned(), told.to_string().into_bytes()));
    for (name, bytes) in files {
        let path = folder.join(name);
        let written = path.parent().map_or(Ok(()), std::fs::create_dir_all).and_then(|()| std::fs::write(&path, bytes));
        written.map_err(|source| Fault::Write { path, source })?;
    }
    Ok(version)
}
