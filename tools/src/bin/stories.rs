//! The stories of a coach as a table: what was logged, what a coach says, what the card says, and whether it fits.
//!
//! `cargo run --release -p boardwise-tools --features faces --bin stories [WORDS]` prints all of them, or those whose name holds WORDS.

#[allow(dead_code, reason = "the tests use the rest")]
#[path = "../../../crates/session/tests/stories/mod.rs"]
mod stories;

use stories::told::{KEPT_OUT, STORIES};

fn main() {
    let asked = std::env::args().nth(1).unwrap_or_default();
    println!("| story | a coach says | the card says | first choice otherwise | direction | size | patience |");
    println!("|---|---|---|---|---|---|---|");
    for story in STORIES.iter().chain(&KEPT_OUT).filter(|story| story.name.contains(&asked)) {
        match stories::tell(story) {
            Err(why) => println!("| {} | {} | {why} | | | | |", story.name, story.coach),
            Ok(all) => {
                for said in all {
                    let yes = |fits: bool| if fits { "yes" } else { "**no**" };
                    let stories::Said { lane, card, first, direction, size, patience, .. } = &said;
                    println!(
                        "| {} (lane {lane}) | {} | {} ({}). {} {} | {first} | {} | {} | {} |",
                        story.name,
                        story.coach,
                        card.say,
                        card.detail,
                        card.reason,
                        card.worth,
                        yes(*direction),
                        yes(*size),
                        yes(*patience)
                    );
                }
            }
        }
    }
}
