//! What balls leave, in words and as views.

use boardwise_score::{Leave, PinSet};
use boardwise_search::FirstBall;

use crate::view::LeaveView;

/// Everything that is left, commonest first.
pub fn leave_views(first: &FirstBall) -> Vec<LeaveView> {
    first.leaves.iter().map(|one| LeaveView::of(one, None)).collect()
}

/// A leave's name, short: all ten are a gutter ball or a miss of every pin.
pub fn name(leave: Leave) -> String {
    if leave.pins() == PinSet::ALL { "all ten".to_owned() } else { leave.pins().to_string() }
}

/// The likeliest leaves in a few words; what is rarer than a hundredth is not worth them.
pub fn likely(first: &FirstBall, count: usize) -> String {
    let said: Vec<String> = first
        .leaves
        .iter()
        .take(count)
        .filter(|one| one.share >= 0.01)
        .map(|one| format!("{} {:.0}%", name(one.leave), 100.0 * one.share))
        .collect();
    if said.is_empty() { "-".to_owned() } else { said.join(", ") }
}

/// A percentage with its standard error, both whole, the error at least one.
pub fn percent(share: f64, error: f64) -> String {
    format!("{:.0}% ± {:.0}", 100.0 * share, (100.0 * error).max(1.0))
}

/// What sort of leave, in a word.
pub fn kind(leave: boardwise_score::Leave) -> &'static str {
    kind_word(leave.kind())
}

/// A sort of leave, in a word.
pub fn kind_word(kind: boardwise_score::LeaveKind) -> &'static str {
    use boardwise_score::LeaveKind::{DoubleWood, FullRack, Single, Split, Together, Washout};
    match kind {
        Single => "single",
        DoubleWood => "double wood",
        Split => "split",
        Washout => "washout",
        FullRack => "full rack",
        Together => "together",
    }
}
