//! What the trade says of covers and cores, at the same release (common practice, no source, unless a row says more). What of it was fitted and
//! what was kept out of the fit stands in docs/calibration.md.

use crate::covers;
use crate::covers::Constants;
use crate::covers::measures::{
    by_blend, by_differential, by_pad, by_pin, by_rg, long_oil, plastic_hooks, short_oil, typical,
    urethane_rolls_on_dry, walled_by_surface, worn_cover,
};
use boardwise_ball::{Blend, Cover, CoverKind, Surface};

fn used() -> Constants {
    Constants::default()
}

#[test]
fn keep_the_fit_starts_from_the_constants_in_use() {
    // Read off the library and put back into a ball they change nothing.
    let c = used();
    let (law, used) = (c.law(), boardwise_lane::ContactLaw::default());
    for (is, was) in [
        (law.kept_film_m, used.kept_film_m),
        (law.split_film_m, used.split_film_m),
        (law.stripe_m, used.stripe_m),
        (law.swath_m, used.swath_m),
        (law.roughness_power, used.roughness_power),
    ] {
        assert!((is / was - 1.0).abs() < 1e-9, "{was} {is}");
    }
    for ball in [covers::urethane(1000.0), covers::plastic(), covers::measures::sanded(1500.0)] {
        let (was, is) = (ball.cover, c.on(&ball).cover);
        for (was, is) in [
            (was.dry_friction, is.dry_friction),
            (was.film_reach_m, is.film_reach_m),
            (was.film_friction, is.film_friction),
            (was.absorption_s, is.absorption_s),
        ] {
            assert!((is / was - 1.0).abs() < 1e-9, "{was} {is}");
        }
    }
}

#[test]
fn law_urethane_does_not_reach_through_long_oil() {
    let more = long_oil(&used());
    assert!(more >= 4.0, "the strong reactive ball hooks {more} boards more");
}

#[test]
fn law_on_short_oil_urethane_turns_first_and_polished_last() {
    let order = short_oil(&used()).map(|seen| seen.breakpoint);
    assert!(order.windows(2).all(|pair| pair[0] < pair[1]), "{order:?}");
}

#[test]
fn law_on_short_oil_urethane_turns_a_little_less_than_a_strong_reactive() {
    // The law this one began from had 1.4 degrees, with dry urethane at .06; docs/calibration.md tells the miss.
    let seen = short_oil(&used());
    assert!(seen[0].turned < seen[3].turned - 0.2, "{} {}", seen[0].turned, seen[3].turned);
}

#[test]
fn law_rougher_hooks_more_on_a_walled_house_pattern() {
    let ends = walled_by_surface(&used()).map(|seen| seen.end);
    assert!(ends.windows(2).all(|pair| pair[0] > pair[1] + 0.5), "{ends:?}");
    // As much in all as the law this one began from, 4.9 boards.
    assert!(ends[0] - ends[4] >= 4.9, "{ends:?}");
}

#[test]
fn law_a_strong_ball_rolls_before_the_pins() {
    let roll = walled_by_surface(&used())[1].roll;
    assert!((45.0..=52.0).contains(&roll), "{roll}");
}

#[test]
fn law_plastic_stays_slippery() {
    let [[walled, walled_flat_hand], [short, short_flat_hand]] = plastic_hooks(&used());
    assert!(walled <= 5.8 && walled_flat_hand <= 2.1, "{walled} {walled_flat_hand}");
    assert!(short <= 7.7 && short_flat_hand <= 2.8, "{short} {short_flat_hand}");
}

#[test]
fn law_dry_urethane_grips_and_rolls() {
    let dry = Cover::of(CoverKind::Urethane, Blend::Solid, Surface::sanded(500.0)).dry_friction;
    let roll = urethane_rolls_on_dry(&used());
    assert!(dry >= 0.09 && roll < 57.0, "{dry} {roll}");
}

#[test]
fn law_a_cover_gone_shiny_loses_three_to_six_boards() {
    // [S, common practice] 1000 wears to 4000 to 5000; back to 1000 is 4 to 5 boards more: 3 to 6. Kept out of the fit.
    for lost in worn_cover(&used()) {
        assert!((3.0..=6.0).contains(&lost), "{lost}");
    }
}

#[test]
fn truth_each_rougher_pad_is_earlier_and_more() {
    // [P: USBC blog] one line on a competition pattern, pads 4000, 2000, 1000. Kept out of the fit.
    let pads = by_pad(&used());
    assert!(pads.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 < pair[1].1), "{pads:?}");
}

#[test]
fn law_the_pin_is_worth_a_board_and_a_half() {
    let pins = by_pin(&used());
    assert!((1.5..=3.0).contains(&(pins[0] - pins[3])), "{pins:?}");
    assert!(pins[1] > pins[3], "most flare hooks more than little: {pins:?}");
}

#[test]
fn law_more_flare_hooks_more() {
    // Kept out of the fit.
    let ends = [0.0, 0.010, 0.030, 0.050].map(|differential| by_differential(&used(), differential));
    assert!(ends.windows(2).all(|pair| pair[0] < pair[1]), "{ends:?}");
}

#[test]
fn law_higher_rg_is_later_and_never_hooks_more() {
    for [less, later] in by_rg(&used()) {
        assert!(less > 0.0 && later > 0.0, "{less} {later}");
    }
}

#[test]
fn law_pearl_is_later_and_sharper_than_solid_and_hybrid_between() {
    let [solid, hybrid, pearl] = by_blend(&used());
    assert!(solid[0] < hybrid[0] && hybrid[0] < pearl[0], "{solid:?} {hybrid:?} {pearl:?}");
    assert!(solid[1] < hybrid[1] && hybrid[1] < pearl[1], "{solid:?} {hybrid:?} {pearl:?}");
}

#[test]
fn truth_typical_balls_lose_about_three_miles_an_hour() {
    // [S] 2 to 3 mph (CHK). A ball of 350 rpm that rolls by the pins must lose 3.2, whatever the oil: [b/(1+b)] of its slip [C]. So this bracket is
    // wider than the published one, and docs/calibration.md says so.
    let [_, _, lost] = typical(&used());
    assert!((2.0..=3.3).contains(&lost), "{lost}");
}
