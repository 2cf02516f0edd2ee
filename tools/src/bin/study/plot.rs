//! The study as one picture: what each policy averages, and what became of the chances predicted.

use std::fmt::Write;

/// One policy: its name, mean score and half width of its 95% interval.
pub type Bar = (&'static str, f64, f64);
/// Predicted chance, share that struck, number of shots.
pub type Bin = (f64, f64, usize);

/// SVG of two panels, readable in black and white.
pub fn picture(blocks: usize, bars: &[Bar], bins: &[Bin]) -> String {
    let mut svg = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 720 320\" font-family=\"sans-serif\" font-size=\"13\">\n\
         <rect width=\"720\" height=\"320\" fill=\"#fbfaf6\"/>\n",
    );
    let text = |svg: &mut String, x: f64, y: f64, anchor: &str, words: &str| {
        let _ = writeln!(svg, "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\" fill=\"#222\">{words}</text>");
    };
    text(&mut svg, 20.0, 24.0, "start", &format!("Expected pins a game, {blocks} blocks, 95% intervals"));
    let (low, high) =
        bars.iter().fold((f64::MAX, f64::MIN), |at, bar| (at.0.min(bar.1 - bar.2), at.1.max(bar.1 + bar.2)));
    let across = |pins: f64| 130.0 + 210.0 * (pins - low) / (high - low).max(1e-9);
    for (k, (name, mean, half)) in bars.iter().enumerate() {
        let y = 70.0 + 55.0 * k as f64;
        text(&mut svg, 116.0, y + 4.0, "end", name);
        let _ = writeln!(
            svg,
            "<line x1=\"{:.1}\" x2=\"{:.1}\" y1=\"{y:.1}\" y2=\"{y:.1}\" stroke=\"#222\" stroke-width=\"2\"/>\
             <circle cx=\"{:.1}\" cy=\"{y:.1}\" r=\"6\" fill=\"#00684f\"/>",
            across(mean - half),
            across(mean + half),
            across(*mean)
        );
        text(&mut svg, across(*mean), y - 12.0, "middle", &format!("{mean:.1} ± {half:.1}"));
    }
    text(&mut svg, 400.0, 24.0, "start", "Strikes that came, by the chance foreseen");
    let at = |share: f64| (410.0 + 270.0 * share, 290.0 - 250.0 * share);
    let ((x0, y0), (x1, y1)) = (at(0.0), at(1.0));
    let _ = writeln!(
        svg,
        "<path d=\"M{x0} {y0}H{x1}M{x0} {y0}V{y1}\" stroke=\"#888\" fill=\"none\"/>\
         <path d=\"M{x0} {y0}L{x1} {y1}\" stroke=\"#888\" stroke-dasharray=\"4 4\" fill=\"none\"/>"
    );
    for share in [0.0, 0.5, 1.0] {
        text(&mut svg, at(share).0, y0 + 18.0, "middle", &format!("{:.0}%", 100.0 * share));
        text(&mut svg, x0 - 6.0, at(share).1 + 4.0, "end", &format!("{:.0}%", 100.0 * share));
    }
    for (predicted, happened, shots) in bins {
        // Two standard errors up and down.
        let half = 2.0 * (happened * (1.0 - happened) / *shots as f64).sqrt();
        let (x, y) = (at(*predicted).0, at(*happened).1);
        let _ = writeln!(
            svg,
            "<line x1=\"{x:.1}\" x2=\"{x:.1}\" y1=\"{:.1}\" y2=\"{:.1}\" stroke=\"#222\" stroke-width=\"2\"/>\
             <circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"5\" fill=\"#00684f\"/>",
            at(happened - half).1,
            at(happened + half).1
        );
    }
    svg.push_str("</svg>\n");
    svg
}
