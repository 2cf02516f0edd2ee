//! What balls and surfaces are called on a screen.

use boardwise_record::Surface;

/// A ball as people say it: the short name of the bag file without its joints.
pub fn ball_name(id: &str) -> String {
    id.replace(['-', '_'], " ")
}

/// A surface in words.
pub fn surface_words(surface: Surface) -> String {
    match surface {
        Surface::Ra(ra) => format!("Ra {:.2} µm", ra.0),
        Surface::Grit(grit) => format!("sanded to {grit:.0}"),
        Surface::Polished => "polished".to_owned(),
    }
}

/// A board in whole or half boards.
pub fn half_boards(board: f64) -> String {
    let half = (2.0 * board).round() / 2.0 + 0.0;
    if half.fract() == 0.0 { format!("{half:.0}") } else { format!("{half:.1}") }
}
