//! Prints what the answers come to against what is published and what the trade says: the table of docs/trust.md.
//!
//! `cargo run --release -p boardwise-tools --bin trust`

use boardwise_tools::trust;

fn main() {
    println!("| what | is | wanted | | source |\n|---|---|---|---|---|");
    for row in trust::levels().into_iter().chain(trust::lines()).chain(trust::probability()) {
        println!("{row}");
    }
}
