//! Long work can be stopped, and stops within one piece of work.

use std::sync::atomic::{AtomicU64, Ordering};

use crate::typical::{dull, pattern, right_hander};
use boardwise_lane::{Finish, Release};
use boardwise_search::{Conditions, Hit, Lines, Payoff, Pocket, Progress, Search, Stopped, Unknowns, find_lines};

/// Counts the throws that a search asks about, and cancels it after so many.
struct Counting<'a> {
    asked: AtomicU64,
    most: u64,
    progress: &'a Progress,
}

impl Payoff for Counting<'_> {
    fn hit(&self, finish: &Finish) -> Hit {
        Pocket::default().hit(finish)
    }

    fn worth(&self, finish: &Finish) -> f64 {
        if self.asked.fetch_add(1, Ordering::Relaxed) >= self.most {
            self.progress.cancel();
        }
        Pocket::default().worth(finish)
    }

    fn counts(&self) -> &'static str {
        "pocket hits"
    }
}

/// A search that is cancelled once so many throws were asked about; what it found, and how many were asked about in all.
fn searched(most: u64) -> (Result<Lines, Stopped>, u64) {
    let (lane, ball, progress) = (pattern(40.0, 0.2), dull(), Progress::default());
    let payoff = Counting { asked: AtomicU64::new(0), most, progress: &progress };
    let conditions = Conditions::fresh(&lane, &ball, &Unknowns::default(), 1);
    let search = Search { lines: 2, throws_a_line: 1024, ..Search::default() };
    let found = find_lines(&conditions, &right_hander(Release::default()), &payoff, &search, &progress);
    let asked = payoff.asked.into_inner();
    assert!(progress.share() <= 1.0 && (found.is_err() || progress.share() == 1.0), "{}", progress.share());
    (found, asked)
}

#[test]
fn law_a_cancelled_search_stops_within_one_piece_of_work() {
    let (found, whole) = searched(u64::MAX);
    assert!(!found.unwrap().lines.is_empty());
    // Five rows of the map, or the climbs and lines under way on each thread.
    let piece = 15_000;
    for most in [0, whole / 10, whole / 2, whole - whole / 20] {
        let (found, asked) = searched(most);
        assert_eq!(found, Err(Stopped), "cancelled after {most} of {whole} throws");
        assert!(asked <= most + piece * rayon::current_num_threads() as u64, "{asked} throws after {most} of {whole}");
    }
}

#[test]
fn law_a_part_fills_its_share_and_nothing_goes_back() {
    let progress = Progress::default();
    let late = progress.part(0.5, 1.0);
    assert_eq!((late.report(1.0, 2.0), progress.share()), (Ok(()), 0.75));
    assert_eq!((progress.report(0.1, 1.0), progress.share()), (Ok(()), 0.75), "what is done stays done");
    assert_eq!((late.part(0.5, 1.0).report(5.0, 4.0), progress.share()), (Ok(()), 1.0), "never more than all");
    late.cancel();
    assert!(progress.cancelled());
    assert_eq!(progress.go_on(), Err(Stopped));
}
