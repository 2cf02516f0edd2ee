//! An event's file.

use crate::SurfaceRule;

use super::quoted;

/// An event to be written down.
#[derive(Clone, Debug, PartialEq)]
pub struct EventStart {
    /// What to call it.
    pub name: String,
    /// Numbers of the pair's lanes.
    pub lanes: [u32; 2],
    /// The lane file of each.
    pub patterns: [String; 2],
    /// Games.
    pub games: u32,
    /// Games of others before, on the same oil.
    pub games_before: u32,
    /// Practice throws of each bowler on each lane.
    pub practice_shots: u32,
    /// When surfaces may be changed.
    pub surface_changes: SurfaceRule,
    /// The bowler's file.
    pub bowler: String,
    /// The bag's file.
    pub bag: String,
}

impl EventStart {
    /// Three games alone on a fresh pair, with five practice throws a lane.
    pub fn of(bowler: &str, bag: &str) -> Self {
        Self {
            name: "Practice".to_owned(),
            lanes: [1, 2],
            patterns: ["house".to_owned(), "house".to_owned()],
            games: 3,
            games_before: 0,
            practice_shots: 5,
            surface_changes: SurfaceRule::BeforePractice,
            bowler: bowler.to_owned(),
            bag: bag.to_owned(),
        }
    }

    /// The file.
    pub fn text(&self) -> String {
        let [left, right] = self.lanes;
        let [on_left, on_right] = self.patterns.each_ref().map(|pattern| quoted(pattern));
        let rule = match self.surface_changes {
            SurfaceRule::BeforePractice => "before-practice",
            SurfaceRule::UntilPracticeEnds => "until-practice-ends",
            SurfaceRule::BetweenGames => "between-games",
            SurfaceRule::AnyTime => "any-time",
        };
        format!(
            "name = {}\n\
             # Practice throws of each bowler on each lane, before the first frame.\n\
             practice_shots = {}\n\
             # When the rules let a bowler change a ball's surface: \"before-practice\", \"until-practice-ends\",\n\
             # \"between-games\" or \"any-time\". Ask the officials; they decide.\n\
             surface_changes = \"{rule}\"\n\n\
             # A pair for each place you bowl on, in order. `games_before`: games of others on the same oil before you.\n\
             [[pair]]\nlanes = [{left}, {right}]\npatterns = [{on_left}, {on_right}]\ngames = {}\ngames_before = {}\n\n\
             # Everybody on the pair in bowling order, you first. More bowlers make the forecast of the lanes better.\n\
             [[bowler]]\nfile = {}\nbag = {}\n",
            quoted(&self.name),
            self.practice_shots,
            self.games,
            self.games_before,
            quoted(&self.bowler),
            quoted(&self.bag)
        )
    }
}
