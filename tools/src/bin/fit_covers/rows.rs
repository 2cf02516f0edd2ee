//! The rows: what is fitted, and what is only looked at.

use crate::covers::Constants;
use crate::covers::measures::{
    after_urethane, back_half, by_blend, by_differential, by_pad, by_pin, by_rg, cold_oil, followers, gone, long_oil,
    plastic_hooks, short_oil, typical, urethane_rolls_on_dry, walled_by_surface, worn_cover,
};
use std::fmt;

/// A measure, between what it should lie, and how much counts as one misfit; none for what is kept out of the fit.
pub struct Row {
    name: String,
    is: f64,
    low: f64,
    high: f64,
    unit: Option<f64>,
}

impl Row {
    /// The square of how far it is off; growing no faster than in proportion from two units on.
    pub fn misfit(&self) -> f64 {
        let Some(unit) = self.unit else { return 0.0 };
        let off = (self.low - self.is).max(self.is - self.high).max(0.0) / unit;
        match off {
            _ if self.is.is_nan() => 40.0,
            _ if off > 2.0 => 4.0 * off - 4.0,
            _ => off * off,
        }
    }
}

impl fmt::Display for Row {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let kept = if self.unit.is_some() { "fitted" } else { "kept out" };
        let mark = if (self.low..=self.high).contains(&self.is) { "" } else { "  missed" };
        let between = match (self.low.is_finite(), self.high.is_finite()) {
            (true, true) => format!("{} to {}", self.low, self.high),
            (true, false) => format!("at least {}", self.low),
            (false, true) => format!("at most {}", self.high),
            (false, false) => String::new(),
        };
        write!(f, "{kept:8}  {:70} {:7.2}  {between}{mark}", self.name, self.is)
    }
}

const ANY: f64 = f64::INFINITY;

/// The fitted rows.
pub fn fitted(c: &Constants) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut add = |name: String, is: f64, low: f64, high: f64, unit: f64| {
        rows.push(Row { name, is, low, high, unit: Some(unit) });
    };
    add("flat 45: strong 1000 over urethane 500, boards".into(), long_oil(c), 4.2, 12.0, 0.4);
    let short = short_oil(c);
    let names = ["urethane 500", "urethane 1000", "reactive 500", "1000", "2000", "polished"];
    for (k, pair) in short.windows(2).enumerate() {
        let [a, b] = [pair[0].breakpoint, pair[1].breakpoint];
        let name = format!("flat 32: {} ({a:.1} ft) before {} ({b:.1} ft), ft", names[k], names[k + 1]);
        add(name, b - a, if k < 2 { 0.1 } else { 0.5 }, ANY, 0.2);
    }
    add("flat 32: strong 1000 turns, degrees".into(), short[3].turned, 6.0, ANY, 0.3);
    add("flat 32: and more than urethane 500, degrees".into(), short[3].turned - short[0].turned, 0.6, 2.5, 0.4);
    let walled = walled_by_surface(c);
    for (k, name) in ["500 over 1000", "1000 over 2000", "2000 over 4000", "4000 over polished"].into_iter().enumerate()
    {
        let more = walled[k].end - walled[k + 1].end;
        add(format!("walled 40: {name}, boards"), more, [1.0, 1.1, 1.3, 1.3][k], 3.0, 0.3);
    }
    add("walled 40: strong 1000 rolls at, ft".into(), walled[1].roll, 46.0, 51.5, 1.0);
    let plastic = plastic_hooks(c);
    for (k, (name, most)) in [("walled 40", [5.8, 2.1]), ("flat 32", [7.7, 2.8])].into_iter().enumerate() {
        add(format!("{name}: plastic with a full hand hooks, boards"), plastic[k][0], 0.5, most[0], 0.5);
        add(format!("{name}: plastic with 10 degrees, boards"), plastic[k][1], 0.2, most[1], 0.5);
    }
    add("dry lane: urethane 500 rolls at, ft".into(), urethane_rolls_on_dry(c), 20.0, 57.0, 2.0);
    let pins = by_pin(c);
    add("walled 40: pin 2 over pin 5 1/2, boards".into(), pins[0] - pins[3], 1.6, 2.7, 0.4);
    for (name, [less, _]) in ["flat 32", "walled 40", "flat 45"].into_iter().zip(by_rg(c)) {
        add(format!("{name}: RG 2.48 over 2.65, boards"), less, 0.1, ANY, 0.3);
    }
    for (name, ball) in ["strong 1000", "shiny weak"].into_iter().zip(followers()) {
        let carried = after_urethane(c, 0.008, &ball, false);
        let film = carried.film_um;
        add(format!("after urethane (film {film:.2} um): {name} skids longer, ft"), carried.longer_ft, 1.1, 2.7, 0.25);
        add(format!("after urethane: {name} hooks more, boards"), carried.more, -ANY, -0.1, 0.3);
    }
    let gone = 100.0 * gone(c, 72, 1.0, 41.0);
    add("oil gone after 72 shots, one board to each side, %".into(), gone, 40.0, 50.0, 4.0);
    rows
}

/// Rows that no fit has seen.
pub fn kept_out(c: &Constants) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut add = |name: &str, is: f64, low: f64, high: f64| {
        rows.push(Row { name: name.into(), is, low, high, unit: None });
    };
    add("oil gone in the heads after 216 shots, three boards, %", 100.0 * gone(c, 216, 3.0, 12.0), 40.0, 60.0);
    for (name, more) in ["18 over 11", "22 over 13", "26 over 16"].into_iter().zip(worn_cover(c)) {
        add(&format!("moderate 41, {name}: 1000 over worn to 4500, boards"), more, 3.0, 6.0);
    }
    let pads = by_pad(c);
    add("moderate 41: pad 2000 over 4000, boards", pads[1].0 - pads[0].0, 0.0, ANY);
    add("moderate 41: pad 1000 over 2000, boards", pads[2].0 - pads[1].0, 0.0, ANY);
    add("moderate 41: pad 2000 over 4000, degrees earlier by 38 ft", pads[1].1 - pads[0].1, 0.0, ANY);
    add("moderate 41: pad 1000 over 2000, degrees earlier by 38 ft", pads[2].1 - pads[1].1, 0.0, ANY);
    add("walled 40: cold oil (viscosity 1.7 times), boards more", cold_oil(c), -ANY, 0.0);
    let [skid, roll, lost] = typical(c);
    add("moderate 41, middling ball: skids to, ft", skid, 20.0, 22.0);
    add("moderate 41, middling ball: rolls from, ft", roll, 40.0, 45.0);
    add("moderate 41, middling ball: speed lost, mph", lost, 2.0, 3.0);
    add("walled 40: low flare (.008) at 500 raises the oil from 30 ft on, %", 100.0 * back_half(c, 0.008), 0.0, ANY);
    add("walled 40: much flare (.054) at 500 raises it, %", 100.0 * back_half(c, 0.054), -ANY, 0.0);
    for (name, [_, later]) in ["flat 32", "walled 40", "flat 45"].into_iter().zip(by_rg(c)) {
        add(&format!("{name}: RG 2.48 over 2.65, degrees earlier by 35 ft"), later, 0.0, ANY);
    }
    for differential in [0.0, 0.010, 0.030, 0.050] {
        add(
            &format!("walled 40: differential {differential} ends on board"),
            by_differential(c, differential),
            -ANY,
            ANY,
        );
    }
    let [solid, hybrid, pearl] = by_blend(c);
    add("moderate 41: hybrid over solid, ft to half the turn", hybrid[0] - solid[0], 0.0, ANY);
    add("moderate 41: pearl over hybrid, ft to half the turn", pearl[0] - hybrid[0], 0.0, ANY);
    add("moderate 41: hybrid over solid, sharpest four feet, degrees", hybrid[1] - solid[1], 0.0, ANY);
    add("moderate 41: pearl over hybrid, sharpest four feet, degrees", pearl[1] - hybrid[1], 0.0, ANY);
    for differential in [0.030, 0.020] {
        for (name, ball) in ["strong 1000", "shiny weak"].into_iter().zip(followers()) {
            let carried = after_urethane(c, differential, &ball, false);
            add(&format!("after urethane ({differential}): {name} skids longer, ft"), carried.longer_ft, 1.0, 3.0);
            add(&format!("after urethane ({differential}): {name} hooks more, boards"), carried.more, -ANY, 0.0);
        }
    }
    for (name, ball) in ["strong 1000", "shiny weak"].into_iter().zip(followers()) {
        let carried = after_urethane(c, 0.008, &ball, true);
        add(&format!("after urethane, its own line: {name} skids longer, ft"), carried.longer_ft, 1.0, 3.0);
        add(&format!("after urethane, its own line: {name} hooks more, boards"), carried.more, -ANY, 0.0);
    }
    rows
}
