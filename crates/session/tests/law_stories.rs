//! What a coach would say (common practice, no source), and what the card says: direction, size and patience.

use crate::stories::told::STORIES;

fn told_as_a_coach_would(number: usize) {
    for said in crate::stories::tell(&STORIES[number]).expect("a story can be bowled") {
        let crate::stories::Said { lane, card, first, direction, size, patience, .. } = &said;
        assert!(
            said.fits(),
            "{}: a coach says {:?}; on lane {lane} the card says {card:?}, its first choice is {first:?}: direction {direction}, size {size}, patience {patience}",
            STORIES[number].name,
            STORIES[number].coach,
        );
    }
}

macro_rules! stories {
    ($($(#[$mark:meta])* $name:ident $number:literal;)*) => { $(#[test] $(#[$mark])* fn $name() { told_as_a_coach_would($number); })* };
}

stories! {
    law_six_strikes_ask_for_no_move 0;
    law_three_strikes_after_misses_ask_for_no_move 1;
    law_one_bad_shot_among_good_ones_asks_for_no_move 2;
    law_shots_owned_up_to_ask_for_no_move 3;
    #[ignore = "does not hold yet: docs/trust.md says so"]
    law_urethane_high_on_a_short_pattern_moves_in 4;
    law_urethane_light_on_a_short_pattern_moves_out_or_goes_rougher 5;
    #[ignore = "does not hold yet: docs/trust.md says so"]
    law_ringing_tens_ask_for_an_earlier_ball 6;
    #[ignore = "does not hold yet: docs/trust.md says so"]
    law_a_shiny_ball_light_on_a_short_pattern_is_sanded_or_changed 7;
    #[ignore = "does not hold yet: docs/trust.md says so"]
    law_late_on_a_short_pattern_reactive_comes_in 8;
    law_a_pearl_high_on_a_house_pattern_moves_in 9;
    law_a_strong_ball_light_on_a_house_pattern_moves_out_or_slows 10;
    #[ignore = "does not hold yet: docs/trust.md says so"]
    law_fives_with_angle_ask_for_an_earlier_ball_or_a_flatter_hand 11;
    law_a_flush_split_asks_for_no_move 12;
    law_each_lane_of_a_pair_is_answered_by_itself 13;
}
