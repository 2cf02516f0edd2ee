//! The stories.

use super::{Says, Story};

const LEFT: u32 = 7;
const RIGHT: u32 = 8;
const STRIKE: super::Logged = (LEFT, "none", "pocket", None);
const SHORT: &str = "short-32-flat";
const HOUSE: &str = "house-40-walled";
const LONG: &str = "long-45-walled";
const STAY: &[Says] = &[Says::Stay];

const fn shot(pins: &'static str, hit: &'static str) -> super::Logged {
    (LEFT, pins, hit, None)
}

/// The stories, in the order in which a coach told them.
pub const STORIES: [Story; 14] = [
    Story {
        name: "six strikes in six",
        coach: "nothing; stay",
        pattern: HOUSE,
        ball: "dull strong solid",
        surfaces: "before-practice",
        logged: &[STRIKE; 6],
        fits: &[(LEFT, STAY)],
    },
    Story {
        name: "two misses, then three strikes in a row",
        coach: "nothing; stay",
        pattern: HOUSE,
        ball: "dull strong solid",
        surfaces: "before-practice",
        logged: &[shot("10", "pocket"), shot("2", "light"), STRIKE, STRIKE, STRIKE],
        fits: &[(LEFT, STAY)],
    },
    Story {
        name: "one bad shot among good ones",
        coach: "nothing; make the shot again",
        pattern: HOUSE,
        ball: "shiny pearl",
        surfaces: "before-practice",
        logged: &[STRIKE, shot("10", "pocket"), STRIKE, shot("4-9", "high")],
        fits: &[(LEFT, STAY)],
    },
    Story {
        name: "two bad ones owned up to (\"pulled it\")",
        coach: "nothing; make the shot again",
        pattern: HOUSE,
        ball: "shiny pearl",
        surfaces: "before-practice",
        logged: &[STRIKE, (LEFT, "4-7", "high", Some("in")), (LEFT, "4", "high", Some("in"))],
        fits: &[(LEFT, STAY)],
    },
    Story {
        name: "32 ft, urethane: 4-7 then 4, both high",
        coach: "in 2 and 1",
        pattern: SHORT,
        ball: "urethane",
        surfaces: "before-practice",
        logged: &[shot("4-7", "high"), shot("4", "high")],
        fits: &[(LEFT, &[Says::In])],
    },
    Story {
        name: "32 ft, urethane: 2, then 2-8, both light",
        coach: "out 1 or 2, or rougher",
        pattern: SHORT,
        ball: "urethane",
        surfaces: "any-time",
        logged: &[shot("2", "light"), shot("2-8", "light")],
        fits: &[(LEFT, &[Says::Out, Says::Rougher])],
    },
    Story {
        name: "32 ft, strong reactive: three ringing 10s",
        coach: "it turns late: rougher or earlier, not in",
        pattern: SHORT,
        ball: "dull strong solid",
        surfaces: "any-time",
        logged: &[shot("10", "pocket"), shot("10", "pocket"), shot("10", "pocket")],
        fits: &[(LEFT, &[Says::Rougher, Says::Ball("urethane")])],
    },
    Story {
        name: "32 ft, shiny reactive: 10, 2, 2-8, sanding allowed",
        coach: "sand it, or an earlier ball",
        pattern: SHORT,
        ball: "shiny pearl",
        surfaces: "any-time",
        logged: &[shot("10", "pocket"), shot("2", "light"), shot("2-8", "light")],
        fits: &[(LEFT, &[Says::Rougher, Says::Ball("urethane"), Says::Ball("dull strong solid")])],
    },
    Story {
        name: "32 ft late, urethane light after 18 shots of it on the lane",
        coach: "reactive, and in",
        pattern: SHORT,
        ball: "urethane",
        surfaces: "before-practice",
        logged: &[
            STRIKE,
            STRIKE,
            shot("10", "pocket"),
            STRIKE,
            STRIKE,
            shot("9", "pocket"),
            STRIKE,
            STRIKE,
            shot("10", "pocket"),
            STRIKE,
            STRIKE,
            shot("7", "pocket"),
            STRIKE,
            STRIKE,
            shot("10", "pocket"),
            STRIKE,
            shot("2", "light"),
            shot("2-8", "light"),
        ],
        fits: &[(LEFT, &[Says::BallAndIn("dull strong solid"), Says::BallAndIn("shiny pearl")])],
    },
    Story {
        name: "house, pearl: 4-7 then 4",
        coach: "in 2 and 1",
        pattern: HOUSE,
        ball: "shiny pearl",
        surfaces: "before-practice",
        logged: &[shot("4-7", "high"), shot("4", "high")],
        fits: &[(LEFT, &[Says::In])],
    },
    Story {
        name: "house, strong: light twice",
        coach: "out 2 and 1, or less speed; same ball",
        pattern: HOUSE,
        ball: "dull strong solid",
        surfaces: "before-practice",
        logged: &[shot("2", "light"), shot("2-8", "light")],
        fits: &[(LEFT, &[Says::Out, Says::Slower])],
    },
    Story {
        name: "house, two 5s with angle",
        coach: "an earlier ball or a flatter hand",
        pattern: HOUSE,
        ball: "shiny pearl",
        surfaces: "before-practice",
        logged: &[shot("5", "light"), shot("5", "light")],
        fits: &[(LEFT, &[Says::Ball("dull strong solid"), Says::Ball("urethane"), Says::FlatterHand])],
    },
    Story {
        name: "house: 7-10 on a flush hit",
        coach: "nothing",
        pattern: HOUSE,
        ball: "dull strong solid",
        surfaces: "before-practice",
        logged: &[STRIKE, shot("7-10", "pocket")],
        fits: &[(LEFT, STAY)],
    },
    Story {
        name: "left lane high, right lane light",
        coach: "in on one, out on the other",
        pattern: HOUSE,
        ball: "dull strong solid",
        surfaces: "before-practice",
        logged: &[
            (LEFT, "4-7", "high", None),
            (RIGHT, "2", "light", None),
            (LEFT, "4", "high", None),
            (RIGHT, "2-8", "light", None),
        ],
        fits: &[(LEFT, &[Says::In]), (RIGHT, &[Says::Out])],
    },
];

/// Stories that follow from the same rules of thumb (common practice, no source). They were written after the advice was settled, and
/// nothing was changed for them: they tell whether the rules reach further than the stories above.
pub const KEPT_OUT: [Story; 7] = [
    Story {
        name: "45 ft, strong: 2, then 2-8, both light",
        coach: "out, or less speed; same ball",
        pattern: LONG,
        ball: "dull strong solid",
        surfaces: "before-practice",
        logged: &[shot("2", "light"), shot("2-8", "light")],
        fits: &[(LEFT, &[Says::Out, Says::Slower])],
    },
    Story {
        name: "45 ft, pearl: 4, then 4-7, both high",
        coach: "in 2 and 1",
        pattern: LONG,
        ball: "shiny pearl",
        surfaces: "before-practice",
        logged: &[shot("4", "high"), shot("4-7", "high")],
        fits: &[(LEFT, &[Says::In])],
    },
    Story {
        name: "house, urethane: 2, then 2-4-5, both light",
        coach: "out, less speed, or a stronger ball",
        pattern: HOUSE,
        ball: "urethane",
        surfaces: "before-practice",
        logged: &[shot("2", "light"), shot("2-4-5", "light")],
        fits: &[(LEFT, &[Says::Out, Says::Slower, Says::Ball("dull strong solid")])],
    },
    Story {
        name: "house, pearl: three ringing 10s",
        coach: "an earlier ball or a flatter hand",
        pattern: HOUSE,
        ball: "shiny pearl",
        surfaces: "before-practice",
        logged: &[shot("10", "pocket"), shot("10", "pocket"), shot("10", "pocket")],
        fits: &[(LEFT, &[Says::Ball("dull strong solid"), Says::Ball("urethane"), Says::FlatterHand])],
    },
    Story {
        name: "32 ft, strong reactive: 4-9, then 4, both high",
        coach: "in 2 and 1",
        pattern: SHORT,
        ball: "dull strong solid",
        surfaces: "before-practice",
        logged: &[shot("4-9", "high"), shot("4", "high")],
        fits: &[(LEFT, &[Says::In])],
    },
    Story {
        name: "house, strong: strike, 10, strike, 10",
        coach: "nothing; stay",
        pattern: HOUSE,
        ball: "dull strong solid",
        surfaces: "before-practice",
        logged: &[STRIKE, shot("10", "pocket"), STRIKE, shot("10", "pocket")],
        fits: &[(LEFT, STAY)],
    },
    Story {
        name: "right lane light twice, left lane in the pocket",
        coach: "out on the right lane, stay on the left",
        pattern: HOUSE,
        ball: "dull strong solid",
        surfaces: "before-practice",
        logged: &[STRIKE, (RIGHT, "2", "light", None), STRIKE, (RIGHT, "2-8", "light", None)],
        fits: &[(LEFT, STAY), (RIGHT, &[Says::Out, Says::Slower])],
    },
];
