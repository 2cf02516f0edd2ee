// Types of every answer that the app gives to its scripts. Written from crates/web/src/views.rs and the session's views by the
// test `keep_types_for_scripts`: BOARDWISE_BLESS=1 cargo nextest run -p boardwise-web keep_types

/** Which balls to take: what `bag` says. */
export type BagAnswer = {
  /** Every ball with every surface, best first. */
  balls: BagBall[];
  /** The bowler. */
  bowler: string;
  /** Name of the event. */
  event: string;
  /** Balls that may stay at home. */
  leave_at_home: string[];
  /** Form of this answer. */
  schema: Form;
  /** Time it took, seconds. */
  seconds: number;
  /** Mean score of a game with the set's best ball at every stage. */
  set_score: number;
  /** The ball for spares, which comes on top; null if the bag has none. */
  spare_ball: string | null;
  /** The set worth taking, the ball that adds most first. */
  take: TakenBall[];
  /** The same with the whole bag. */
  whole_bag_score: number;
  /** The ways in which the lane may turn out that the balls were weighed in. */
  worlds: BagWorld[];
};

/** A ball with one surface. */
export type BagBall = {
  /** The ball, by its id. */
  ball: string;
  /** Mean score of a game over all stages. */
  expected_score: number;
  /** On fresh lanes, then after each game. */
  stages: BagStage[];
  /** The other ball that costs least in its place; null if there is none. */
  stand_in: StandIn | null;
  /** Its surface in words. */
  surface: string;
};

/** A ball's best line at a stage, mean over the worlds. */
export type BagStage = {
  /** Board aimed at, at the arrows. */
  arrows_board: number;
  /** Score of a game. */
  expected_score: number;
  /** Games bowled before. */
  games: number;
  /** Board of laydown. */
  laydown: number;
  /** How far a shot can be off. */
  miss_room: MissRoomView;
  /** Percentage of shots in the pocket. */
  pocket_pct: number;
  /** Percentage of strikes. */
  strike_pct: number;
  /** Percentage of worlds in which the ball has a line at all. */
  worlds_pct: number;
};

/** A way in which a lane may turn out. */
export type BagWorld = {
  /** Friction, as a multiple of what is usual. */
  friction: number;
  /** Number of the lane. */
  lane: number;
  /** Oil, as a multiple of what the sheet says. */
  oil: number;
};

/** A ball of the bag. */
export type BallInBag = {
  /** Whether it is thrown at full racks. */
  for_racks: boolean;
  /** Its id. */
  id: string;
  /** What to call it on a screen. */
  name: string;
  /** Its surface now, in words. */
  surface: string;
  /** What it is, in words. */
  words: string;
  /** Whether its surface can be worked on: plastic is left as it is. */
  workable: boolean;
};

/** How many runs go on with a ball. */
export type BallShare = {
  /** The ball, by its id. */
  ball: string;
  /** Percentage of runs. */
  runs_pct: number;
};

/** What a ball strikes on its own best line. */
export type BallStrikes = {
  /** The ball, by its id. */
  ball: string;
  /** Its standard deviation from run to run, percent. */
  sd: number;
  /** Percentage of strikes, mean over the runs. */
  strike_pct: number;
};

/** How the lanes will change: what `block` says. */
export type BlockAnswer = {
  /** The gutter that boards count from. */
  boards_from: SideWord;
  /** The bowler. */
  bowler: string;
  /** Name of the event. */
  event: string;
  /** Pair by pair, in order. */
  pairs: BlockPair[];
  /** Times the block was run. */
  runs: number;
  /** Form of this answer. */
  schema: Form;
};

/** A lane from fresh to the end. */
export type BlockLane = {
  /** Games after which the first line falls behind, run by run; null where it pays to the end. */
  first_line_pays_games: (number | null)[];
  /** Name of its pattern. */
  lane: string;
  /** Its number. */
  number: number;
  /** Each look at it. */
  stages: BlockStage[];
};

/** A line of the first run. */
export type BlockLine = {
  /** Board aimed at, at the arrows. */
  arrows_board: number;
  /** The ball, by its id. */
  ball: string;
  /** Closest to the bowling-hand gutter. */
  breakpoint: PlaceView;
  /** At the pattern's end; null where there is no pattern. */
  exit: PlaceView | null;
  /** Launch angle, degrees, positive toward the bowling-hand gutter. */
  launch_deg: number;
  /** Board of laydown. */
  laydown: number;
  /** How far a shot can be off. */
  miss_room: MissRoomView;
  /** Percentage of shots in the pocket. */
  pocket_pct: number;
  /** Axis rotation meant, degrees. */
  rotation_deg: number;
  /** Speed meant, mph. */
  speed_mph: number;
  /** Percentage of strikes. */
  strike_pct: number;
};

/** A move, mean of the runs. */
export type BlockMoves = {
  /** Boards at the target, positive in. */
  eyes_boards: MeanSd;
  /** Boards at the feet, positive in, away from the bowling hand. */
  feet_boards: MeanSd;
  /** Percentage of runs that move here. */
  runs_pct: number;
};

/** A pair with its forecast. */
export type BlockPair = {
  /** Games bowled on it. */
  games: number;
  /** Games that others bowled on it before. */
  games_before: number;
  /** Its two lanes. */
  lanes: BlockLane[];
  /** Practice shots of each bowler on each lane. */
  practice_shots: number;
  /** Time it took, seconds. */
  seconds: number;
  /** Throws made in all. */
  throws: number;
};

/** A look at a lane. */
export type BlockStage = {
  /** Board aimed at, at the arrows. */
  arrows_board: MeanSd;
  /** Percentage of runs that go on with each ball, the commonest first. */
  ball: BallShare[];
  /** Each ball's strikes on its own best line; only where games end. */
  balls: BallStrikes[];
  /** What has become of the oil; null for a lane known by its friction. */
  film: WornFilm | null;
  /** On the line of the fresh lane. */
  first_line_strike_pct: MeanSd;
  /** Games that everybody has bowled. */
  games: number;
  /** Board of laydown. */
  laydown: MeanSd;
  /** The line of the first run. */
  line: BlockLine;
  /** Boards by which a shot may be off, both sides together. */
  miss_room_boards: MeanSd;
  /** The move from the look before. */
  moves: BlockMoves;
  /** Whether practice is over. */
  practised: boolean;
  /** On the line of the look before. */
  stay_strike_pct: MeanSd;
  /** Percentage of strikes on the line found. */
  strike_pct: MeanSd;
};

/** Where to start, what a miss does, which balls to have, which moves to expect, what to practise, and the spares. */
export type BriefAnswer = {
  /** The moves to expect, lane by lane. */
  ahead: BriefLane[];
  /** The balls to have, the one to start with first. */
  balls: BriefBall[];
  /** The gutter that boards count from. */
  boards_from: SideWord;
  /** The bowler. */
  bowler: string;
  /** What to take care of. */
  cautions: string[];
  /** How sure that is. */
  doubt: string;
  /** Name of the event. */
  event: string;
  /** The practice throws, in order. */
  practice: BriefShot[];
  /** Why, sentence by sentence. */
  reasons: string[];
  /** Form of this answer. */
  schema: Form;
  /** Time it took, seconds. */
  seconds: number;
  /** The ball for spares, which comes on top; null if the bag has none. */
  spare_ball: string | null;
  /** How to make what the first line leaves most. */
  spares: BriefSpare[];
  /** Where to start, lane by lane. */
  starts: BriefStart[];
  /** What to do, in a sentence. */
  verdict: string;
};

/** A ball to have. */
export type BriefBall = {
  /** The ball, by its id. */
  ball: string;
  /** Where to start with it on each fresh lane; null where it finds no pocket there. */
  fresh: (BriefBallLine | null)[];
  /** Why, in words. */
  why: string;
  /** With its finish, in words. */
  words: string;
};

/** A ball on a fresh lane. */
export type BriefBallLine = {
  /** Number of the lane. */
  lane: number;
  /** The line. */
  line: LineMeantView;
  /** Board to look at, at the arrows. */
  look_board: number;
  /** Board to slide on, by the inner edge of the slide foot. */
  slide_board: number;
  /** Percentage of strikes. */
  strike_pct: MeanSd;
};

/** The moves to expect on a lane. */
export type BriefLane = {
  /** Number of the lane. */
  lane: number;
  /** Look by look. */
  stages: BriefStage[];
};

/** A miss and what it does. */
export type BriefMiss = {
  /** Board it comes in on. */
  comes_in_board: MeanSd;
  /** What was off, in words. */
  off: string;
  /** What it does, in words. */
  says: string;
  /** Percentage of strikes then. */
  strike_pct: MeanSd;
};

/** A throw of the practice. */
export type BriefShot = {
  /** The ball, by its id. */
  ball: string;
  /** Board it comes in on, over what the lanes may be like. */
  comes_in_board: MeanSd;
  /** The move it asks for if it comes in higher, in words. */
  if_high: string;
  /** The move it asks for if it comes in lighter, in words. */
  if_light: string;
  /** Number of the lane. */
  lane: number;
  /** The line. */
  line: LineMeantView;
  /** Board to look at, at the arrows. */
  look_board: number;
  /** Board to slide on, by the inner edge of the slide foot. */
  slide_board: number;
};

/** How to make a leave. */
export type BriefSpare = {
  /** Number of the lane; null for both. */
  lane: number | null;
  /** The line. */
  line: LineMeantView;
  /** Board to look at, at the arrows. */
  look_board: number;
  /** How often it is made, percent. */
  make_pct: number;
  /** Percentage of first balls that leave them. */
  pct: number;
  /** Numbers of the pins that stand. */
  pins: number[];
  /** Board to slide on, by the inner edge of the slide foot. */
  slide_board: number;
};

/** A look at a lane. */
export type BriefStage = {
  /** The ball, by its id. */
  ball: string;
  /** Games that everybody has bowled by then; 0 after practice. */
  games: number;
  /** The line. */
  line: LineMeantView;
  /** Board to look at, at the arrows. */
  look_board: number;
  /** The move from the line before. */
  moved: ShiftView;
  /** What to expect, in words. */
  says: string;
  /** Board to slide on, by the inner edge of the slide foot. */
  slide_board: number;
  /** Percentage of strikes for who stays where they were. */
  stay_strike_pct: MeanSd;
  /** Percentage of strikes there. */
  strike_pct: MeanSd;
};

/** Where to start on a lane. */
export type BriefStart = {
  /** The ball, by its id. */
  ball: string;
  /** Where it turns, of the throw as meant; null where the event states the line. */
  breakpoint: PlaceView | null;
  /** Board a good throw comes in on. */
  comes_in_board: MeanSd;
  /** Number of the lane. */
  lane: number;
  /** The line. */
  line: LineMeantView;
  /** Board to look at, at the arrows. */
  look_board: number;
  /** By how much a throw may be off; null where the event states the line. */
  miss_room: MissRoomView | null;
  /** What misses do. */
  misses: BriefMiss[];
  /** Its pattern. */
  pattern: string;
  /** Board to slide on, by the inner edge of the slide foot. */
  slide_board: number;
  /** Percentage of strikes, over what the lanes may be like. */
  strike_pct: MeanSd;
};

/** The card: what to do with the next ball at a full rack. */
export type CardAnswer = {
  /** The ball in hand, by its id. */
  ball: string;
  /** The block. */
  block: string;
  /** Whose it is. */
  bowler: string;
  /** What to mind where it can hurt, or where rules decide; null where there is nothing. Show it with the rest. */
  caution: string | null;
  /** Every choice, best first. */
  choices: ChoiceView[];
  /** Board on which the line in use is expected to come in. */
  comes_in_board: MeanSd;
  /** The same as a move from the line in use, or where that line is. */
  detail: string;
  /** Number of the lane. */
  lane: number;
  /** The line in use. */
  line: LineMeantView;
  /** Why. */
  reason: string;
  /** What to do. */
  say: string;
  /** Form of this answer. */
  schema: Form;
  /** First balls that this rests on. */
  shots_read: number;
  /** First balls that could not be read. */
  shots_unread: number;
  /** The verdict in a word. */
  verdict: VerdictWord;
  /** How sure it is. */
  worth: string;
};

/** A record that is whole: what `check` says. */
export type CheckAnswer = {
  /** The latest backup beside it; null where there is none. */
  backup: string | null;
  /** The digest of all that is in it, the one that an export ends with. */
  digest: string;
  /** Facts in it. */
  facts: number;
  /** The time of the last fact; null where there is none. */
  last: string | null;
  /** Why it can be read and not written; null where it can be written. */
  read_only: string | null;
  /** The record's file. */
  record: string;
  /** Form of this answer. */
  schema: Form;
  /** Sheets in it. */
  sheets: number;
};

/** What sort of choice. */
export type ChoiceKind = "stay" | "move" | "usual-hand" | "ball" | "surface" | "hand";

/** A choice of the card. */
export type ChoiceView = {
  /** The ball, by its id. */
  ball: string;
  /** Percentage of what may be in which it is better than staying. */
  better_pct: number;
  /** What to mind with it; null where there is nothing. */
  caution: string | null;
  /** Strikes gained against staying, in a hundred. */
  gain_pct: MeanSd;
  /** Pins a game gained against staying. */
  gain_pins: MeanSd;
  /** Pins a game gained at least: eight in ten of what may be gain more. */
  gain_pins_at_least: number;
  /** What sort of choice. */
  kind: ChoiceKind;
  /** The line it comes to. */
  line: LineMeantView;
  /** Board to look at, at the arrows. */
  look_board: number;
  /** Pins a game gained, less what a change costs. */
  net_pins: number;
  /** Its place on the card: 1 is what the card says, 2 and 3 are the choices beside it; null where the card does not show it. */
  on_card: number | null;
  /** Axis rotation, degrees. */
  rotation_deg: number;
  /** The choice in words. */
  say: string;
  /** Board under the inner edge of the slide foot. */
  slide_board: number;
  /** Speed, mph. */
  speed_mph: number;
  /** Percentage of strikes. */
  strike_pct: MeanSd;
  /** What is done to its surface; null where it stays. */
  surface: SurfaceWork | null;
  /** Roughness that the surface is brought to, Ra in micrometres; null where it stays. */
  surface_ra_um: number | null;
};

/** The cut of an event. */
export type CutView = {
  /** Games after which it is made. */
  after_games: number;
  /** Pins that each game still to come must average; null once those games are over. */
  average_needed: number | null;
  /** Pins expected to make it. */
  expected_pins: number;
};

/** What was done to a block, and how it stands then. */
export type Did = {
  /** The balls of the bag. */
  balls: BallInBag[];
  /** The block. */
  block: string;
  /** The bowler. */
  bowler: string;
  /** The number under which pages hear of it; null for a block that is not the present one. */
  changes: number | null;
  /** How balls are counted: traditional, current-frame or nothing. */
  counting: string;
  /** What was done, in words. */
  did: string;
  /** Name of its event. */
  event: string;
  /** Games of the block; null where nothing is counted. */
  games: number | null;
  /** The bowling hand. */
  hand: SideWord;
  /** The ball in hand, by its id; null where that is not known. */
  in_hand: string | null;
  /** Number of the lane whose turn it is. */
  lane: number;
  /** The line on each lane. */
  lanes: LaneLine[];
  /** What an undo takes back now; null where there is nothing. */
  newest: NewestView | null;
  /** How far the bowler can go on purpose. */
  range: RangeView;
  /** The rules of a frame, so that a device can log on without the server; null where nothing is counted. */
  rules: FrameRules | null;
  /** Form of this answer. */
  schema: Form;
  /** The sheet. */
  sheet: SheetAnswer;
  /** What is certain of the last game, in words; null where nothing is. */
  so_far: string | null;
  /** The ball for spares, by its id; null if the bag has none. */
  spare_ball: string | null;
  /** The step of the next ball in the rules of its frame. */
  step: number;
  /** What is thrown on each lane, in the order of the lines. */
  throwing: ThrowingView[];
};

/** How a line comes to the pins: as meant, and over the spread. */
export type EntrySpread = {
  /** Angle of the throw as meant, degrees. */
  angle_deg: number | null;
  /** Board of the throw as meant. */
  board: number;
  /** Mean angle, degrees. */
  mean_angle_deg: number;
  /** Mean board. */
  mean_board: number;
  /** Standard deviation of the angle, degrees. */
  sd_angle_deg: number;
  /** Standard deviation of the board. */
  sd_boards: number;
  /** Speed of the throw as meant, mph. */
  speed_mph: number | null;
};

/** How a ball comes to the pins. */
export type EntryView = {
  /** Angle, degrees, positive from the hand side toward the pocket. */
  angle_deg: number;
  /** Board at which its line of entry crosses the head pin's row. */
  board: number;
  /** Distance of the head pin's row, feet. */
  feet: number;
  /** Number of the pin touched first. */
  first_pin: number;
  /** Speed at first contact, mph. */
  speed_mph: number;
};

/** What is wrong with a text. */
export type FaultView = {
  /** What to do about it; null where nothing is known. */
  help: string | null;
  /** Its line in the text, from 1; null where it stands in no line of it. */
  line: number | null;
  /** What that line says. */
  says: string | null;
  /** In words. */
  words: string;
};

/** A device is let in no more. */
export type Forgotten = {
  /** Whether there was such a device. */
  forgotten: boolean;
  /** Form of this answer. */
  schema: Form;
};

export type Form = 1;

/** The rules of a frame as steps: the ball thrown first is step 0. */
export type FrameRules = {
  /** The tenth. */
  last: FrameStep[];
  /** Frames 1 to 9. */
  usual: FrameStep[];
};

/** A ball of a frame. */
export type FrameStep = {
  /** Which ball of the frame, from 1. */
  ball: number;
  /** Where it takes all that stands. */
  down: StepEnd;
  /** Whether a full rack is set for it; else it is thrown at what the ball before it left. */
  full: boolean;
  /** Where it leaves something. */
  left: StepEnd;
};

/** A frame. */
export type FrameView = {
  /** The score up to and with it, once that is certain. */
  cumulative: number | null;
  /** Its number, 1 to 10. */
  frame: number;
  /** How it ended; null while it is not over. */
  mark: MarkWord | null;
  /** What it counts, once that is certain. */
  points: number | null;
  /** Its balls as a sheet shows them. */
  signs: string;
};

/** The shots of a game, each with what was meant: what a frame opens. */
export type GameShots = {
  /** The block. */
  block: string;
  /** The game, from 1; 0 where nothing is counted. */
  game: number;
  /** Games so far. */
  games: number;
  /** Form of this answer. */
  schema: Form;
  /** Its shots, oldest first; where nothing is counted, the last ones. */
  shots: ShotMeant[];
};

/** A game. */
export type GameView = {
  /** Whether it is over. */
  complete: boolean;
  /** Its ten frames. */
  frames: FrameView[];
  /** Score after its last certain frame. */
  score: number;
};

/** A gutter, as seen from the bowling hand. */
export type GutterSide = "hand" | "away";

/** A ball that drops into a gutter. */
export type GutterView = {
  /** Where, feet. */
  feet: number;
  /** Which one, as seen from the bowling hand. */
  side: GutterSide;
};

/** A file was kept. */
export type Kept = {
  /** Address of its page. */
  page: string;
  /** Form of this answer. */
  schema: Form;
  /** What is possible but outside the rules, in words. */
  warnings: string[];
};

/** A ball's throw as meant, and what the bowler's shots at it come to. */
export type LabBall = {
  /** At the arrows, 15 ft; null if it does not get there. */
  arrows: PlaceView | null;
  /** The ball, by its id. */
  ball: string;
  /** Percentage of shots that come in beyond the carry table, whose edge answers. */
  beyond_table_pct: number;
  /** Closest to the bowling-hand gutter. */
  breakpoint: PlaceView;
  /** How it comes to the pins; null if it reaches none. */
  entry: EntryView | null;
  /** At the pattern's end; null where there is no pattern. */
  exit: PlaceView | null;
  /** Its finish in words. */
  finish: string | null;
  /** Where it drops into a gutter; null if it stays on the lane. */
  gutter: GutterView | null;
  /** What the shots leave, commonest first. */
  leaves: LeaveView[];
  /** The likeliest leaves in words. */
  likely: string;
  /** Feet at which it begins to roll; null if it never does. */
  roll_feet: number | null;
  /** Shots behind these numbers. */
  shots: number;
  /** Percentage of splits. */
  split_pct: number;
  /** Percentage of strikes. */
  strike_pct: number;
  /** Its standard error. */
  strike_se_pct: number;
  /** Time until it ends, seconds. */
  time_s: number;
};

/** The throws of a question in full, as a file to keep. */
export type LabFile = {
  /** Lane by lane. */
  lanes: ThrowAnswer[];
  /** Form of this answer. */
  schema: Form;
};

/** What is thrown on a lane. */
export type LabLane = {
  /** Ball by ball. */
  balls: LabBall[];
  /** Name of the lane. */
  lane: string;
  /** What moves in its picture, SVG. */
  overlay: string;
};

/** The lanes of a question without any throw. */
export type LabLanes = {
  /** Lane by lane. */
  lanes: LanePictured[];
  /** Form of this answer. */
  schema: Form;
};

/** A line with what puts it into the lab. */
export type LabLine = {
  /** Board aimed at, at the arrows. */
  arrows_board: number;
  /** Percentage of shots that come in beyond the carry table, whose edge answers. */
  beyond_table_pct: number | null;
  /** Closest to the bowling-hand gutter, of the throw as meant. */
  breakpoint: PlaceView;
  /** Percentage of its leaves that the bowler makes. */
  conversion_pct: number | null;
  /** How it comes to the pins; null if the throw as meant reaches none. */
  entry: EntrySpread | null;
  /** At the pattern's end; null where there is no pattern. */
  exit: PlaceView | null;
  /** Mean score of a game on this line. */
  expected_score: number | null;
  /** Its standard error. */
  expected_score_se: number | null;
  /** Launch angle, degrees, positive toward the bowling-hand gutter. */
  launch_deg: number;
  /** Board of laydown. */
  laydown: number;
  /** What its shots leave, commonest first. */
  leaves: LeaveView[] | null;
  /** Pins of a first ball, on average. */
  mean_pins: number | null;
  /** How far a shot can be off. */
  miss_room: MissRoomView;
  /** What becomes of the shots that miss. */
  misses: MissShares;
  /** The commonest misses in words. */
  misses_words: string;
  /** Its standard error. */
  pocket_error_pct: number;
  /** Percentage of shots in the pocket. */
  pocket_pct: number;
  /** Place among the lines, from 1; lines within each other's error share one. */
  rank: number;
  /** Axis rotation meant, degrees. */
  rotation_deg: number;
  /** Standard deviation of the score from game to game. */
  score_sd: number | null;
  /** Board under the inner edge of the slide foot. */
  slide_board: number;
  /** Speed meant, mph. */
  speed_mph: number;
  /** Percentage of splits. */
  split_pct: number | null;
  /** Percentage of strikes; null where the pins were not asked, as are all that follow of them. */
  strike_pct: number | null;
  /** Standard deviation of the strikes over what is not known of lane, covers and day. */
  strike_sd_over_worlds_pct: number;
  /** Its standard error. */
  strike_se_pct: number | null;
  /** Board pointed at, at the arrows. */
  target: number;
  /** Throws behind these numbers. */
  throws: number;
};

/** Lines for a ball on a lane, with what puts each into the lab. */
export type LabLines = {
  /** The ball, by its id. */
  ball: string;
  /** The gutter that boards count from. */
  boards_from: SideWord;
  /** The bowler. */
  bowler: string;
  /** Its finish in words. */
  finish: string | null;
  /** Name of the lane. */
  lane: string;
  /** The lines, best first. */
  lines: LabLine[];
  /** The map of strikes over laydown and launch, SVG. */
  map: string;
  /** Lines with another speed or rotation that strike clearly more often. */
  other_hands: LineView[];
  /** Form of this answer. */
  schema: Form;
  /** Time it took, seconds. */
  seconds: number;
  /** The ball that spares are thrown with; null if the bag has none. */
  spare_ball: string | null;
  /** Throws made in all. */
  throws: number;
};

/** A throw with everything that it needs, to be opened on another machine. */
export type LabParcel = {
  /** The files that it names. */
  files: LabParcelFile[];
  /** The question as the parts of a link. */
  question: ([string, string])[];
  /** The number of its form: 1. */
  schema: number;
};

/** A file of a parcel. */
export type LabParcelFile = {
  /** Its name. */
  id: string;
  /** The shelf it stands on: lane, bowler or bag. */
  shelf: string;
  /** What it says. */
  text: string;
};

/** Where boards 1 and 39 lie in a lane's picture, in its units: x, then y. */
export type LabRails = {
  /** At the foul line. */
  laydown: [[number, number], [number, number]];
  /** At the head pin's row. */
  pins: [[number, number], [number, number]];
  /** At the arrows. */
  target: [[number, number], [number, number]];
};

/** The throws of a question. */
export type LabThrows = {
  /** The gutter that boards count from. */
  boards_from: SideWord;
  /** The bowler. */
  bowler: string;
  /** Lane by lane. */
  lanes: LabLane[];
  /** Launch angle, degrees, positive toward the bowling-hand gutter. */
  launch_deg: number;
  /** The question as the parts of a link, with nothing left to the bowler's own. */
  question: ([string, string])[];
  /** Form of this answer. */
  schema: Form;
};

/** The line on a lane. */
export type LaneLine = {
  /** Board aimed at, 15 ft down. */
  arrows: number;
  /** Number of the lane; 0 where its name has none. */
  lane: number;
  /** Board of laydown. */
  laydown: number;
  /** Axis rotation, degrees. */
  rotation_deg: number;
  /** Speed at release, mph. */
  speed_mph: number;
};

/** A lane's picture, and where on it a hand drags. */
export type LanePictured = {
  /** Name of the lane. */
  lane: string;
  /** Where a hand drags. */
  rails: LabRails;
  /** Form of this answer. */
  schema: Form;
  /** The picture, SVG. */
  svg: string;
};

/** How the present block stands. */
export type LanesState = {
  /** The balls of the bag. */
  balls: BallInBag[];
  /** The block. */
  block: string;
  /** The bowler. */
  bowler: string;
  /** The number under which pages hear of it; null for a block that is not the present one. */
  changes: number | null;
  /** How balls are counted: traditional, current-frame or nothing. */
  counting: string;
  /** Name of its event. */
  event: string;
  /** Games of the block; null where nothing is counted. */
  games: number | null;
  /** The bowling hand. */
  hand: SideWord;
  /** The ball in hand, by its id; null where that is not known. */
  in_hand: string | null;
  /** Number of the lane whose turn it is. */
  lane: number;
  /** The line on each lane. */
  lanes: LaneLine[];
  /** What an undo takes back now; null where there is nothing. */
  newest: NewestView | null;
  /** How far the bowler can go on purpose. */
  range: RangeView;
  /** The rules of a frame, so that a device can log on without the server; null where nothing is counted. */
  rules: FrameRules | null;
  /** Form of this answer. */
  schema: Form;
  /** The sheet. */
  sheet: SheetAnswer;
  /** What is certain of the last game, in words; null where nothing is. */
  so_far: string | null;
  /** The ball for spares, by its id; null if the bag has none. */
  spare_ball: string | null;
  /** The step of the next ball in the rules of its frame. */
  step: number;
  /** What is thrown on each lane, in the order of the lines. */
  throwing: ThrowingView[];
};

/** A leave and how often it comes. */
export type LeaveView = {
  /** How often the bowler makes it; left out where that was not asked. */
  make_pct?: number | null;
  /** Percentage of first balls that leave it. */
  pct: number;
  /** Numbers of the pins that stand. */
  pins: number[];
  /** Whether it is a split. */
  split: boolean;
};

/** A line that a bowler means. */
export type LineMeantView = {
  /** Board aimed at, 15 ft down. */
  arrows: number;
  /** Board of laydown. */
  laydown: number;
  /** Axis rotation, degrees. */
  rotation_deg: number;
  /** Speed at release, mph. */
  speed_mph: number;
};

/** A line: what to do, and what comes of it with this bowler's spread. */
export type LineView = {
  /** Board aimed at, at the arrows. */
  arrows_board: number;
  /** Percentage of shots that come in beyond the carry table, whose edge answers. */
  beyond_table_pct: number | null;
  /** Closest to the bowling-hand gutter, of the throw as meant. */
  breakpoint: PlaceView;
  /** Percentage of its leaves that the bowler makes. */
  conversion_pct: number | null;
  /** How it comes to the pins; null if the throw as meant reaches none. */
  entry: EntrySpread | null;
  /** At the pattern's end; null where there is no pattern. */
  exit: PlaceView | null;
  /** Mean score of a game on this line. */
  expected_score: number | null;
  /** Its standard error. */
  expected_score_se: number | null;
  /** Launch angle, degrees, positive toward the bowling-hand gutter. */
  launch_deg: number;
  /** Board of laydown. */
  laydown: number;
  /** What its shots leave, commonest first. */
  leaves: LeaveView[] | null;
  /** Pins of a first ball, on average. */
  mean_pins: number | null;
  /** How far a shot can be off. */
  miss_room: MissRoomView;
  /** What becomes of the shots that miss. */
  misses: MissShares;
  /** Its standard error. */
  pocket_error_pct: number;
  /** Percentage of shots in the pocket. */
  pocket_pct: number;
  /** Place among the lines, from 1; lines within each other's error share one. */
  rank: number;
  /** Axis rotation meant, degrees. */
  rotation_deg: number;
  /** Standard deviation of the score from game to game. */
  score_sd: number | null;
  /** Board under the inner edge of the slide foot. */
  slide_board: number;
  /** Speed meant, mph. */
  speed_mph: number;
  /** Percentage of splits. */
  split_pct: number | null;
  /** Percentage of strikes; null where the pins were not asked, as are all that follow of them. */
  strike_pct: number | null;
  /** Standard deviation of the strikes over what is not known of lane, covers and day. */
  strike_sd_over_worlds_pct: number;
  /** Its standard error. */
  strike_se_pct: number | null;
  /** Throws behind these numbers. */
  throws: number;
};

/** The answer to a long question. */
export type LongAnswer = BagAnswer | BlockAnswer | PracticeAnswer | BriefAnswer;

/** How far a long question is. */
export type LongState = {
  /** Form of this answer. */
  schema: Form;
} & ({
  state: "none";
} | {
  state: "waiting";
} | {
  /** Share that is done, 0 to 1; 0 where the work does not say. */
  done: number;
  /** Seconds since it began. */
  seconds: number;
  state: "running";
} | {
  state: "stopped";
} | {
  /** Why, in words. */
  error: string;
  state: "failed";
} | {
  /** The answer. */
  answer: LongAnswer;
  state: "done";
});

/** Where the edges of a lane lie in its picture from above, in its units. */
export type LookRails = {
  /** Boards 1 and 39 as the lane's file counts them: x. */
  boards: [number, number];
  /** 0 and 60 ft: y. */
  feet: [number, number];
};

/** A file looked at: its fields, and what it is or what is wrong with it. */
export type Looked = {
  /** What is wrong with it; left out where it is whole, and then the rest is there. */
  fault?: FaultView | null;
  /** Its fields, HTML; null where the text cannot be read as a form. */
  fields: string | null;
  /** Its numbers, HTML. */
  look?: string | null;
  /** The picture of a lane, SVG. */
  picture?: string | null;
  /** Where a hand takes hold of that picture; left out unless it is seen from above. */
  rails?: LookRails | null;
  /** Form of this answer. */
  schema: Form;
  /** The text with the changes made. */
  text: string;
  /** What is possible but outside the rules, in words. */
  warnings?: string[] | null;
};

/** How a frame ended. */
export type MarkWord = "strike" | "spare" | "open";

/** A mean with its standard deviation, both in the unit of the key. */
export type MeanSd = {
  /** Mean. */
  mean: number;
  /** Standard deviation. */
  sd: number;
};

/** How far a shot can be off at the arrows and still be worth half of the best. */
export type MissRoomView = {
  /** Boards away from it. */
  away_boards: number;
  /** Boards toward the bowling hand. */
  hand_boards: number;
};

/** Percentages of shots that miss. */
export type MissShares = {
  /** In a gutter. */
  gutter_pct: number;
  /** Past the pocket on the head pin. */
  high_pct: number;
  /** Short of the pocket. */
  light_pct: number;
  /** Past the head pin's middle. */
  other_side_pct: number;
};

/** What a target needs: so many strikes in a row from here, or a word. */
export type NeedView = number | NeedWord;

/** A target that is reached already, or cannot be reached any more. */
export type NeedWord = "reached" | "out-of-reach";

/** What an undo takes back. */
export type NewestView = {
  /** The key that it was logged under. */
  key: string;
  /** What it is, in words. */
  words: string;
};

/** The next ball. */
export type NextBall = {
  /** Ball of the frame, from 1; 0 where nothing is counted. */
  ball_of_frame: number;
  /** Frame, from 1; 0 where nothing is counted. */
  frame: number;
  /** Game, from 1; 0 where nothing is counted. */
  game: number;
  /** The lane as the record calls it; null where that is not known. */
  lane: string | null;
  /** Numbers of the pins that stand; null where only their count is known. */
  pins: number[] | null;
};

/** What is said before a ball: the card at a full rack, the spare where something stands. */
export type NextSaid = CardAnswer | SpareAnswer;

/** A remark. */
export type NoteView = {
  /** When it was written, universal time (RFC 3339). */
  at: string;
  /** What it says. */
  text: string;
};

/** Remarks on a block. */
export type Notes = {
  /** Oldest first. */
  notes: NoteView[];
  /** Form of this answer. */
  schema: Form;
};

/** A throw with its path foot by foot and what it leaves. */
export type OneThrow = {
  /** At the arrows, 15 ft; null if it does not get there. */
  arrows: PlaceView | null;
  /** The ball, by its id. */
  ball: string;
  /** Closest to the bowling-hand gutter. */
  breakpoint: PlaceView;
  /** How it comes to the pins; null if it reaches none. */
  entry: EntryView | null;
  /** At the pattern's end; null where there is no pattern. */
  exit: PlaceView | null;
  /** Its finish in words. */
  finish: string | null;
  /** Where it drops into a gutter; null if it stays on the lane. */
  gutter: GutterView | null;
  /** What it leaves, commonest first. */
  leaves: LeaveView[];
  /** A row for each foot from 0 to 60, as if no pin stood. */
  path: PathPoint[];
  /** Feet at which it begins to roll; null if it never does. */
  roll_feet: number | null;
  /** Percentage of strikes of the throw as meant, by the carry table. */
  strike_pct: number;
  /** Time until it ends, seconds. */
  time_s: number;
};

/** What a game may come to for a bowler who strikes and makes spares as on this sheet. */
export type OutlookView = {
  /** Percentage of games that come to each score, from 0 on. */
  chances_pct: number[];
  /** One game in ten comes to more. */
  high: number;
  /** One game in ten comes to less. */
  low: number;
  /** Mean score. */
  mean: number;
  /** Half of the games come to less. */
  median: number;
  /** Standard deviation of the score. */
  sd: number;
  /** Percentage of spares made taken for it. */
  spare_pct: number;
  /** Percentage of strikes taken for it: this sheet, and a guess where it is short. */
  strike_pct: number;
  /** What a target needs; null where none was asked for. */
  target: TargetView | null;
};

/** A page to go to. */
export type PageReady = {
  /** Its address. */
  page: string;
  /** Form of this answer. */
  schema: Form;
};

/** A device was let in. */
export type Paired = {
  /** Always true; who is not let in is refused. */
  paired: boolean;
  /** Form of this answer. */
  schema: Form;
};

/** A ball on its way. */
export type PathPoint = {
  /** Direction, degrees, positive away from the hand side. */
  angle_deg: number;
  /** Board. */
  board: number;
  /** Feet from the foul line. */
  feet: number;
  /** Coefficient of friction under it. */
  friction: number;
  /** Rev rate, rpm. */
  rev_rate_rpm: number;
  /** Speed at which its foot slips on the lane, metres per second. */
  slip_mps: number;
  /** Speed, mph. */
  speed_mph: number;
};

/** A place on the lane. */
export type PlaceView = {
  /** Board, from the gutter on the bowling-hand side. */
  board: number;
  /** Feet from the foul line. */
  feet: number;
};

/** What to throw in practice: what `practice` says. */
export type PracticeAnswer = {
  /** The gutter that boards count from. */
  boards_from: SideWord;
  /** The bowler. */
  bowler: string;
  /** Name of the event. */
  event: string;
  /** Form of this answer. */
  schema: Form;
  /** Time it took, seconds. */
  seconds: number;
  /** The throws, in the order that teaches most first. */
  shots: PracticeShotView[];
};

/** The practice of the present block's pair. */
export type PracticeAtLanes = {
  /** The block. */
  block: string;
  /** Form of this answer. */
  schema: Form;
  /** The throws, in order. */
  shots: BriefShot[];
};

/** A throw of the practice. */
export type PracticeShotView = {
  /** Board aimed at, at the arrows. */
  arrows_board: number;
  /** The ball, by its id. */
  ball: string;
  /** Board it comes in on, over what the lanes may be like. */
  comes_in_board: MeanSd;
  /** The move it asks for if it comes in higher; null where no line is found. */
  if_high: ShiftView | null;
  /** The move it asks for if it comes in lighter. */
  if_light: ShiftView | null;
  /** Number of the lane. */
  lane: number;
  /** Launch angle, degrees, positive toward the bowling-hand gutter. */
  launch_deg: number;
  /** Board of laydown. */
  laydown: number;
  /** What it teaches beyond those before it, nats. */
  teaches_nats: number;
};

/** How far a bowler can go on purpose. */
export type RangeView = {
  /** Least and most axis rotation, degrees. */
  rotation_deg: [number, number];
  /** Slowest and fastest, mph. */
  speed_mph: [number, number];
};

/** A refused request. */
export type Refused = {
  /** What was wrong, in words. */
  error: string;
  /** What comes next on the sheet, where a shot was told for another place; null once the block is complete. */
  next?: Turn | null;
  /** Form of this answer. */
  schema: Form;
};

/** A release. */
export type ReleaseView = {
  /** Launch angle, degrees, positive toward the bowling-hand gutter. */
  launch_deg: number;
  /** Board of laydown. */
  laydown: number;
  /** Loft, feet. */
  loft_ft: number;
  /** Rev rate, rpm. */
  rev_rate_rpm: number;
  /** Axis rotation, degrees. */
  rotation_deg: number;
  /** Speed, mph. */
  speed_mph: number;
  /** Axis tilt, degrees. */
  tilt_deg: number;
};

/** The whole sheet: what `sheet` says. */
export type SheetAnswer = {
  /** The block. */
  block: string;
  /** Whose sheet it is. */
  bowler: string;
  /** The cut of the event; null where there is none. */
  cut: CutView | null;
  /** Every shot, in order. */
  deliveries: ShotView[];
  /** What the last game may come to; null where nothing is counted. */
  forecast: OutlookView | null;
  /** Games so far, the last of them perhaps not over. */
  games: GameView[];
  /** The most that the last game can still come to. */
  maximum: number | null;
  /** The least. */
  minimum: number | null;
  /** The next ball; null once the block is complete. */
  next: NextBall | null;
  /** Ten times the mean of the certain frames of the last game; null before the first of them. */
  pace: number | null;
  /** Form of this answer. */
  schema: Form;
  /** Score of the last game after its last certain frame; null before any game. */
  score: number | null;
  /** Shots logged. */
  shots: number;
  /** Pins of all games. */
  total: number;
};

/** A sheet that is being typed: what it comes to, or what is wrong with it. */
export type SheetLooked = {
  /** What is possible and most likely a slip. */
  doubts: string[];
  /** Its length, feet. */
  length_ft: number | null;
  /** Its oil by board, SVG. */
  picture: string | null;
  /** Form of this answer. */
  schema: Form;
  /** Its oil in all, millilitres. */
  volume_ml: number | null;
  /** What is wrong with it, and in which row; null where it is whole, and then the rest is there. */
  wrong: string | null;
};

/** A move. */
export type ShiftView = {
  /** Boards at the target, positive in. */
  eyes_boards: number;
  /** Boards at the feet, positive in, away from the bowling hand. */
  feet_boards: number;
};

/** A shot with what was meant. */
export type ShotMeant = {
  /** Board at the arrows that was seen. */
  arrows_board: number | null;
  /** When it was made, universal time (RFC 3339). */
  at: string;
  /** The ball as the record calls it; null where that is not known. */
  ball: string | null;
  /** The ball, by its id in the bag; null where that is not known. */
  ball_id: string | null;
  /** Ball of the frame; null where nothing is counted. */
  ball_of_frame: number | null;
  /** Numbers of the pins that stood before it; null where only their count is known. */
  before: number[] | null;
  /** Board at the breakpoint that was seen. */
  breakpoint_board: number | null;
  /** Pins that fell; null where nothing is counted. */
  down: number | null;
  /** How it felt: good, fast, slow, in, out, hand-late. */
  felt: string | null;
  /** Whether it was a first ball at a full rack: only that has a line meant. */
  first: boolean;
  /** Whether it was a foul. */
  foul: boolean;
  /** Its frame; null where nothing is counted. */
  frame: number | null;
  /** Its game, from 1; 0 where nothing is counted. */
  game: number;
  /** How it came to the pins: pocket, high, light, nose, other-side. */
  hit: string | null;
  /** Its key in the record. */
  key: string;
  /** The lane as the record calls it; null where that is not known. */
  lane: string | null;
  /** The line that was meant, in words; null where the lane is not known. */
  meant: string | null;
  /** Numbers of the pins left standing; null after a foul, or where pins were only counted. */
  pins: number[] | null;
  /** Its number on the sheet, from 1. */
  shot: number;
};

/** A shot that was logged. */
export type ShotView = {
  /** Board at the arrows that was seen. */
  arrows_board: number | null;
  /** When it was made, universal time (RFC 3339). */
  at: string;
  /** The ball as the record calls it; null where that is not known. */
  ball: string | null;
  /** Ball of the frame; null where nothing is counted. */
  ball_of_frame: number | null;
  /** Board at the breakpoint that was seen. */
  breakpoint_board: number | null;
  /** Pins that fell; null where nothing is counted. */
  down: number | null;
  /** How it felt: good, fast, slow, in, out, hand-late. */
  felt: string | null;
  /** Whether it was a foul. */
  foul: boolean;
  /** Its frame; null where nothing is counted. */
  frame: number | null;
  /** Its game, from 1; 0 where nothing is counted. */
  game: number;
  /** How it came to the pins: pocket, high, light, nose, other-side. */
  hit: string | null;
  /** Its key in the record. */
  key: string;
  /** The lane as the record calls it; null where that is not known. */
  lane: string | null;
  /** Numbers of the pins left standing; null after a foul, or where pins were only counted. */
  pins: number[] | null;
  /** Its number on the sheet, from 1. */
  shot: number;
};

/** A side: the gutter that boards count from, or a hand. */
export type SideWord = "right" | "left";

/** How to make what stands. */
export type SpareAnswer = {
  /** The ball, by its id. */
  ball: string;
  /** The block. */
  block: string;
  /** Whose it is. */
  bowler: string;
  /** What sort of leave, in words. */
  kind: string;
  /** Number of the lane. */
  lane: number;
  /** Numbers of the pins that stand. */
  pins: number[];
  /** What to do. */
  say: string;
  /** Form of this answer. */
  schema: Form;
  /** What to throw, best first. */
  spares: SpareWay[];
  /** Whether the first way takes what is sure, because that is worth more pins than trying for all. */
  takes_sure: boolean;
};

/** A way to make what stands. */
export type SpareWay = {
  /** The line. */
  line: LineMeantView;
  /** Board to look at, at the arrows. */
  look_board: number;
  /** Percentage made. */
  make_pct: number;
  /** Its standard error. */
  make_se_pct: number;
  /** Pins on average. */
  mean_pins: number;
  /** Board under the inner edge of the slide foot. */
  slide_board: number;
};

/** A ball that could stand in for another. */
export type StandIn = {
  /** The ball, by its id. */
  ball: string;
  /** Pins a game lost where the one is better. */
  costs_pins: number;
  /** Its surface in words. */
  surface: string;
};

/** What comes of a ball. */
export type StepEnd = {
  /** How a sheet shows it; empty where that is the count of pins. */
  sign: string;
  /** The step that follows in the frame; null where the frame is over. */
  then: number | null;
};

/** Work was stopped. */
export type Stopped = {
  /** Form of this answer. */
  schema: Form;
};

/** A surface that a ball is given: exactly one of the three is there. */
export type SurfaceWork = {
  /** Grit of the last pad. */
  grit?: number | null;
  /** Polished: then it is true. */
  polished?: boolean | null;
  /** Measured roughness Ra, micrometres. */
  ra_um?: number | null;
};

/** A ball of the set. */
export type TakenBall = {
  /** Pins a game that the set would lose without it. */
  adds_pins: number;
  /** Standard error of that; null with one world. */
  adds_pins_se: number | null;
  /** The ball, by its id. */
  ball: string;
  /** Percentage of worlds in which it is the set's best: on fresh lanes, then after each game. */
  best_pct_by_game: number[];
  /** Its surface in words. */
  surface: string;
};

/** What a target needs. */
export type TargetView = {
  /** Percentage of games that reach it. */
  chance_pct: number;
  /** The target, a score of the game. */
  score: number;
  /** What it needs if nothing but nines follows. */
  strikes_then_opens: NeedView;
  /** What it needs if nothing but nine-spares follows. */
  strikes_then_spares: NeedView;
};

/** One release, thrown with one ball or several. */
export type ThrowAnswer = {
  /** The gutter that boards count from. */
  boards_from: SideWord;
  /** The bowler. */
  bowler: string;
  /** Name of the lane. */
  lane: string;
  /** The release. */
  release: ReleaseView;
  /** Form of this answer. */
  schema: Form;
} & (OneThrow | {
  /** Ball by ball, in the order asked. */
  throws: OneThrow[];
});

/** What is thrown on a lane, as people say it. */
export type ThrowingView = {
  /** Board to look at, at the arrows. */
  look_board: number;
  /** Board under the inner edge of the slide foot. */
  slide_board: number;
  /** Whether speed and rotation are the bowler's usual ones. */
  usual_hand: boolean;
};

/** A place on a sheet: which ball of which frame of which game, each from 1 on. */
export type Turn = {
  /** Ball of the frame. */
  ball: number;
  /** Frame. */
  frame: number;
  /** Game. */
  game: number;
};

/** The verdict of the card. */
export type VerdictWord = "stay" | "change" | "try" | "too-close";

/** Oil worn off and carried down, two boards to each side of the first line. */
export type WornFilm = {
  /** Oil carried beyond the pattern, millilitres. */
  carried_down_ml: number;
  /** Percentage gone in all. */
  gone_pct: number;
  /** Percentage gone from the heads. */
  heads_gone_pct: number;
  /** Percentage gone from the rest of the pattern. */
  middle_gone_pct: number;
};
