//! The rows.
use crate::covers::*;
use boardwise_ball::{Ball, CoverKind, Surface};
use boardwise_lane::{Coating, Film, Field, Lane, Release};
use boardwise_units::{Board, Degrees, Feet};
use std::fmt;

pub struct Row { name: String, is: f64, low: f64, high: f64, unit: f64, fitted: bool }
impl Row {
    pub fn misfit(&self) -> f64 {
        if !self.fitted { return 0.0; }
        if self.is.is_nan() { return 40.0; }
        let off = (self.low - self.is).max(self.is - self.high).max(0.0) / self.unit;
        if off > 2.0 { 4.0 * off - 4.0 } else { off * off }
    }
}
impl fmt::Display for Row {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ok = self.is >= self.low && self.is <= self.high;
        write!(f, "{:4} {:66} {:8.2}  [{}, {}]{}", if self.fitted {"fit"} else {""}, self.name, self.is, self.low, self.high, if ok {""} else {"  MISS"})
    }
}
const ANY: f64 = 1e9;
const UDIFF: f64 = 0.015;
const R: CoverKind = CoverKind::Reactive;

pub fn rows(c: &Constants, all: bool) -> Vec<Row> {
    let mut v: Vec<Row> = vec![];
    let mut fit = |name: &str, is: f64, low: f64, high: f64, unit: f64| v.push(Row { name: name.into(), is, low, high, unit, fitted: true });
    let (l45, s32, w40) = (long_flat(), short_flat(), walled_40());
    let grit = |g: f64| strong(R, Surface::sanded(g));
    let pol = strong(R, Surface::polished());
    // 45 flat
    let r45 = over(18.0, 12.0);
    let (a, b) = (c.seen(&l45, &grit(1000.0), &r45), c.seen(&l45, &urethane(500.0), &r45));
    fit("45 flat: strong 1000 less urethane 500, boards", a.end - b.end, 4.2, 12.0, 0.4);
    // 32 flat
    let r32 = over(8.0, 5.0);
    let on32: Vec<Seen> = [urethane(500.0), urethane(1000.0), grit(500.0), grit(1000.0), grit(2000.0), pol.clone()].iter().map(|b| c.seen(&s32, b, &r32)).collect();
    for (k, n) in ["u500,u1000", "u1000,r500", "r500,r1000", "r1000,r2000", "r2000,polished"].iter().enumerate() {
        fit(&format!("32 flat breakpoint gap {n}, ft ({:.1}, {:.1})", on32[k].breakpoint, on32[k+1].breakpoint), on32[k+1].breakpoint - on32[k].breakpoint, if k < 2 { 0.2 } else { 0.5 }, ANY, 0.2);
    }
    fit("32 flat turned, strong 1000, deg", on32[3].turned, 6.0, ANY, 0.3);
    fit("32 flat turned, strong less urethane 500, deg", on32[3].turned - on32[0].turned, 0.8, 2.5, 0.4);
    // walled 40
    let rw = over(25.0, 15.0);
    let onw: Vec<Seen> = [500.0, 1000.0, 2000.0, 4000.0].iter().map(|&g| grit(g)).chain([pol.clone()]).map(|b| c.seen(&w40, &b, &rw)).collect();
    for (k, n) in ["500,1000", "1000,2000", "2000,4000", "4000,pol"].iter().enumerate() {
        fit(&format!("walled 40 hook gap {n} (ends {:.1} {:.1})", onw[k].end, onw[k+1].end), onw[k].end - onw[k+1].end, [1.0, 1.1, 1.3, 1.3][k], 3.0, 0.3);
    }
    fit("walled 40: strong 1000 rolls at, ft", onw[1].roll, 46.0, 51.5, 1.0);
    fit("walled 40: strong 2000, 18 over 10.5, ends at", c.seen(&w40, &grit(2000.0), &over(18.0, 10.5)).end, 14.5, 19.0, 1.0);
    // plastic
    let rp = Release { laydown: Board(20.0), launch: Degrees(0.5), ..Release::default() };
    let rp10 = Release { rotation: Degrees(10.0), ..rp };
    let straight = 20.0 - 18.288 * 0.5f64.to_radians().tan() / 0.027_028_21;
    for (n, lane, full, ten) in [("walled 40", &w40, 5.8, 2.1), ("flat 32", &s32, 7.7, 2.8)] {
        fit(&format!("plastic on {n}, full hand, hook"), c.seen(lane, &plastic(), &rp).end - straight, 0.5, full, 0.5);
        fit(&format!("plastic on {n}, rotation 10, hook"), c.seen(lane, &plastic(), &rp10).end - straight, 0.2, ten, 0.5);
    }
    // dry
    let dry = Lane::new(Coating::Oil(Film { thickness_m: Field::constant(0.0), length: Feet(40.0) }));
    let rd = Release { laydown: Board(10.0), launch: Degrees(3.0), ..Release::default() };
    fit("dry lane: urethane 500 rolls at, ft", c.seen(&dry, &urethane(500.0), &rd).roll, 20.0, 57.0, 2.0);
    fit("urethane dry", c.get("u_dry"), 0.09, 0.14, 0.01);
    // pin and RG
    let pin = |p: f64| ball(R, Surface::sanded(2000.0), 2.50, 0.050, p);
    let pins: Vec<f64> = [2.0, 3.375, 4.5, 5.5].iter().map(|&p| c.seen(&w40, &pin(p), &rw).end).collect();
    fit(&format!("walled 40: pin 2 less 5.5 in, boards ({:.1} {:.1} {:.1} {:.1})", pins[0], pins[1], pins[2], pins[3]), pins[0] - pins[3], 1.8, 2.7, 0.5);
    let rg = |rg: f64| ball(R, Surface::sanded(2000.0), rg, 0.045, 4.0);
    for (n, lane, r) in [("flat 32", &s32, &r32), ("walled 40", &w40, &rw), ("flat 45", &l45, &r45)] {
        let (lo, hi) = (c.seen(lane, &rg(2.48), r), c.seen(lane, &rg(2.65), r));
        fit(&format!("{n}: RG 2.48 less 2.65, boards"), lo.end - hi.end, 0.1, ANY, 0.3);
    }
    // carrydown
    let mut kept: Vec<(String, f64, f64, f64)> = vec![];
    for d in [0.030, 0.015, 0.008] {
        if !all && d != UDIFF { continue; }
        let u = ball(CoverKind::Urethane, Surface::sanded(500.0), 2.60, d, 4.5);
        let line = over(10.0, 5.0);
        let worn = c.worn(&s32, &u, &line, 18);
        let p = c.path(&s32, &u, &line);
        let film = |feet: usize| { let b = p.rows[feet].board; 
            (-4..=4).map(|k| worn.film().unwrap().thickness_m.at(Board(b + 0.5 * f64::from(k)).to_metres(), Feet(feet as f64).to_metres())*1e6).sum::<f64>()/9.0 };
        let films = [28,31,33,34,35,36,38,44].map(|k| format!("{:.2}", film(k))).join(" ");
        for (n, b) in [("strong 1000", grit(1000.0)), ("shiny", ball(R, Surface::polished(), 2.56, 0.035, 4.0))] {
            // Over the parallel line whose breakpoint lies on the urethane's board.
            let mut rr = line;
            for _ in 0..3 { rr.laydown.0 += p.breakpoint.board.0 - c.path(&s32, &b, &rr).breakpoint.board.0; }
            for (k, rr) in [rr, line].into_iter().enumerate() {
            let (f, w) = (c.path(&s32, &b, &rr), c.path(&worn, &b, &rr));
            let longer = turns_within(&w, 32, 3.0) - turns_within(&f, 32, 3.0);
            let grip = |q: &boardwise_lane::Path| q.rows[32..].iter().map(|r| 1.0 - r.friction / c.on(&b).cover.dry_friction).sum::<f64>();
            let lost = grip(&w) - grip(&f);
            let more = w.rows.last().unwrap().board - f.rows.last().unwrap().board;
            let at = rr.laydown.0;
            if k == 0 && d == UDIFF {
            fit(&format!("after 18 urethane: {n} from {at:.1} skids longer (grip lost {lost:.1}), ft (film {films})"), longer, 1.1, 2.7, 0.25);
            fit(&format!("after 18 urethane: {n} hooks more, boards"), more, -6.0, -0.1, 0.3);
            } else { kept.push((format!("  {d} {at:.1} {n}: longer (grip lost {lost:.1}) ({films})"), longer, 1.0, 3.0)); kept.push((format!("  {d} {at:.1} {n}: hooks more"), more, -6.0, 0.0)); }
            if !all { break; }
            }
        }
    }
    // wear
    let flat40 = moderate_41();
    let line = Release { laydown: Board(14.0), launch: Degrees(1.2), ..Release::default() };
    let med = ball(R, Surface::sanded(1500.0), 2.52, 0.04, 4.0);
    let path = c.path(&flat40, &med, &line);
    let oil = |lane: &Lane, w: f64, to: f64| -> f64 { path.rows.iter().filter(|r| r.feet <= to).map(|r| {
        (-4..=4).map(|k| lane.film().unwrap().thickness_m.at(Board(r.board + w * f64::from(k) / 4.0).to_metres(), Feet(r.feet).to_metres())).sum::<f64>() }).sum() };
    let shots = if all { 72 } else { 36 };
    let w = c.worn(&flat40, &med, &line, shots);
    let gone = 1.0 - oil(&w, 1.0, 40.0) / oil(&flat40, 1.0, 40.0);
    // exponential from half the shots while fitting
    let gone = if all { gone } else { 1.0 - (1.0 - gone).powi(2) };
    fit("oil gone after 72 shots, one board each side, %", 100.0 * gone, 41.0, 50.0, 4.0);
    if all {
        let w2 = c.worn(&flat40, &med, &line, 216);
        kept.push(("oil gone in heads after 216 shots, three boards each side, %".into(), 100.0 * (1.0 - oil(&w2, 3.0, 12.0) / oil(&flat40, 3.0, 12.0)), 40.0, 60.0));
        let m41 = moderate_41();
        for (x, y) in [(18.0, 11.0), (22.0, 13.0), (26.0, 16.0), (15.0, 10.0)] {
            let rm = over(x, y);
            let s: Vec<Seen> = [1000.0, 2000.0, 4000.0, 4500.0].iter().map(|&g| c.seen(&m41, &grit(g), &rm)).collect();
            kept.push((format!("moderate 41, {x} over {y}: 1000 less worn (4500), boards ({:.1} {:.1} {:.1})", s[0].end, s[1].end, s[2].end), s[0].end - s[3].end, 3.0, 6.0));
        }
        let cold = { let mut cc = c.clone(); cc.set("viscosity", c.get("viscosity") * 1.7); cc };
        kept.push(("cold oil (viscosity x 1.7): hook more, boards".into(), cold.seen(&w40, &grit(2000.0), &rw).end - onw[2].end, -20.0, 0.0));
        let m = ball(R, Surface::sanded(2000.0), 2.52, 0.045, 4.0);
        let p = c.path(&m41, &m, &over(20.0, 12.0));
        let half = (0..60).find(|&k| p.rows[k].friction > 0.5 * c.on(&m).cover.dry_friction).unwrap_or(60);
        kept.push((format!("moderate 41 benchmark: rolls at ft (lost {:.1} mph, half dry at {half})", p.rows[0].speed.0 - p.rows.last().unwrap().speed.0), p.roll.map_or(61.0, |f| f.0), 40.0, 52.0));
        kept.push(("speed lost mph".into(), p.rows[0].speed.0 - p.rows.last().unwrap().speed.0, 2.0, 3.0));
        for k in (0..=60).step_by(10) { print!("{k}: mu {:.3} slip {:.1} angle {:.1} board {:.1}; ", p.rows[k].friction, p.rows[k].slip_m_s, p.rows[k].angle.0, p.rows[k].board); } println!();
        for d in [0.0, 0.010, 0.030, 0.050] {
            let s = c.seen(&w40, &ball(R, Surface::sanded(2000.0), 2.50, d, 4.0), &rw);
            kept.push((format!("walled 40: differential {d}: ends at"), s.end, -ANY, ANY));
        }
        for p in [1.0, 2.0, 3.375, 4.5, 5.5, 6.5] {
            print!("pin {p}: "); for (lane, r) in [(&s32, &r32), (&m41, &over(22.0,13.0)), (&l45, &r45)] { let s = c.seen(lane, &pin(p), r); print!("{:.1} ({:.1} deg) ", s.end, s.angle); }
        } println!();
        // low flare aggressive raises oil in the back half
        for (n, d, cover) in [("urethane 500", 0.008, CoverKind::Urethane), ("reactive 500", 0.008, R), ("reactive 500 flaring", 0.054, R)] {
            let b = ball(cover, Surface::sanded(500.0), 2.55, d, 4.0);
            let lane = w40.clone();
            let l = over(20.0, 13.0);
            let wn = c.worn(&lane, &b, &l, 18);
            let p = c.path(&lane, &b, &l);
            let part = |lane: &Lane, lo: f64, hi: f64| -> f64 { p.rows.iter().filter(|r| r.feet >= lo && r.feet <= hi).map(|r| (-4..=4).map(|k| lane.film().unwrap().thickness_m.at(Board(r.board + 0.5*f64::from(k)).to_metres(), Feet(r.feet).to_metres())).sum::<f64>()).sum() };
            print!("{n} low flare: ");
            for (lo, hi) in [(0.0, 12.0), (12.0, 22.0), (22.0, 30.0), (30.0, 39.0), (41.0, 50.0)] { print!(" {lo}-{hi}: {:+.1}%", 100.0 * (part(&wn, lo, hi) / part(&lane, lo, hi).max(1e-7) - 1.0)); }
            println!();
        }
    }
    for (name, is, low, high) in kept { v.push(Row { name, is, low, high, unit: 1.0, fitted: false }); }
    v
}
#[allow(unused)] fn unused(_: &Ball) {}
