//! What a coach would say (common practice, no source), and what the card says: direction, size and patience.

use crate::stories::Story;
use crate::stories::told::{KEPT_OUT, STORIES};

fn told_as_a_coach_would(story: &Story) {
    for said in crate::stories::tell(story).expect("a story can be bowled") {
        let crate::stories::Said { lane, card, first, direction, size, patience, .. } = &said;
        assert!(
            said.fits(),
            "{}: a coach says {:?}; on lane {lane} the card says {card:?}, its first choice is {first:?}: direction {direction}, size {size}, patience {patience}",
            story.name,
            story.coach,
        );
    }
}

macro_rules! stories {
    ($($(#[$mark:meta])* $name:ident $of:ident $number:literal;)*) => { $(#[test] $(#[$mark])* fn $name() { told_as_a_coach_would(&$of[$number]); })* };
}

stories! {
    law_six_strikes_ask_for_no_move STORIES 0;
    law_three_strikes_after_misses_ask_for_no_move STORIES 1;
    law_one_bad_shot_among_good_ones_asks_for_no_move STORIES 2;
    law_shots_owned_up_to_ask_for_no_move STORIES 3;
    #[ignore = "does not hold yet: docs/trust.md says so"]
    law_urethane_high_on_a_short_pattern_moves_in STORIES 4;
    law_urethane_light_on_a_short_pattern_moves_out_or_goes_rougher STORIES 5;
    law_ringing_tens_ask_for_an_earlier_ball STORIES 6;
    law_a_shiny_ball_light_on_a_short_pattern_is_sanded_or_changed STORIES 7;
    law_late_on_a_short_pattern_reactive_comes_in STORIES 8;
    law_a_pearl_high_on_a_house_pattern_moves_in STORIES 9;
    law_a_strong_ball_light_on_a_house_pattern_moves_out_or_slows STORIES 10;
    law_fives_with_angle_ask_for_an_earlier_ball_or_a_flatter_hand STORIES 11;
    law_a_flush_split_asks_for_no_move STORIES 12;
    law_each_lane_of_a_pair_is_answered_by_itself STORIES 13;
    law_a_strong_ball_light_on_long_oil_moves_out_or_slows KEPT_OUT 0;
    law_a_pearl_high_on_long_oil_moves_in KEPT_OUT 1;
    #[ignore = "does not hold yet: docs/trust.md says so"]
    law_urethane_light_on_a_house_pattern_moves_out_slows_or_goes_stronger KEPT_OUT 2;
    #[ignore = "does not hold yet: docs/trust.md says so"]
    law_a_pearl_that_rings_tens_asks_for_an_earlier_ball_or_a_flatter_hand KEPT_OUT 3;
    #[ignore = "does not hold yet: docs/trust.md says so"]
    law_a_strong_ball_high_on_short_oil_moves_in KEPT_OUT 4;
    law_tens_between_strikes_ask_for_no_move KEPT_OUT 5;
    law_a_light_lane_moves_out_and_the_other_stays KEPT_OUT 6;
}
