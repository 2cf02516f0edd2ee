//! Views: what a command prints with `--json` and what the app's pages receive, as plain values.
//!
//! A view is made from an answer and says nothing about text, flags or pages. It serialises to JSON through serde, and its
//! JSON Schema comes from the same type, so that the two cannot differ. Field names carry their unit: `_deg`, `_mph`, `_rpm`,
//! `_pct` (0 to 100), `_ml`, `_s`. Boards count from the gutter on the bowling-hand side, feet from the foul line. Numbers are
//! never rounded.

mod at_lanes;
mod before;
mod brief;
mod keep;
mod lab;
mod line;
mod shared;
mod sheet;
mod story;
mod throw;
mod watch;

pub use at_lanes::{
    BallInBag, CardAnswer, ChoiceKind, ChoiceView, ExportAnswer, FrameRules, FrameStep, GameShots, ImportAnswer,
    MoveAnswer, NewestView, NextAnswer, NextSaid, RangeView, ScreenView, ShotMeant, SpareAnswer, SpareWay, StartAnswer,
    StepEnd, SurfaceWork, ThrowingView, VerdictWord,
};
pub use before::{
    BagAnswer, BagBall, BagStage, BagWorld, BallShare, BallStrikes, BlockAnswer, BlockLane, BlockLine, BlockMoves,
    BlockPair, BlockStage, PracticeAnswer, PracticeShotView, ShiftView, StandIn, TakenBall, WornFilm,
};
pub use brief::{
    BriefAnswer, BriefBall, BriefBallLine, BriefLane, BriefMiss, BriefShot, BriefSpare, BriefStage, BriefStart,
    StandAndLook,
};
pub use keep::{BackupAnswer, CheckAnswer};
pub use lab::{
    LabBall, LabFile, LabLane, LabLanes, LabLine, LabLines, LabParcel, LabParcelFile, LabRails, LabThrows,
    LanePictured, LookRails,
};
pub use line::{
    CarryAnswer, CarrySource, EntryAsked, EntrySpread, LeaveAnswer, LeaveEntry, LeaveLine, LineAnswer, LineView,
    MissShares,
};
pub use shared::{
    Form, LaneLine, LeaveView, LineMeantView, MeanSd, MissRoomView, PinsShare, PlaceView, SideWord, pin_numbers,
};
pub use sheet::{
    CutView, DoneAnswer, FrameView, GameView, MarkWord, NarrowedView, NeedView, NeedWord, NextBall, OutlookView,
    ScoreView, SheetAnswer, ShotView, TargetView,
};
pub use story::{
    AccountView, AfterAnswer, BlockListed, DrillView, FiguresView, FindingView, GameTerms, MovedLine, NoteView,
    PractiseView, PractiseWait, SpareCount, StrayView, TermView, TermsView,
};
pub use throw::{
    EntryView, FilmTable, FrictionTable, GutterSide, GutterView, OneThrow, PathPoint, ReadAnswer, ReleaseView,
    ThrowAnswer, ThrowEnds, Thrown,
};
pub use watch::{EstimateView, LaneSeen, WatchAnswer};

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};

/// The JSON Schema of a view, as it is written.
pub fn schema_of<T: JsonSchema>() -> Schema {
    SchemaSettings::draft2020_12().for_serialize().into_generator().into_root_schema_for::<T>()
}
