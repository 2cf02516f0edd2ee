// Which ball comes next, so that a whole block can be logged without the server. The rules of a frame come from the server as steps;
// here they are only walked. The server's own word wins as soon as it is heard.

/** @typedef {import("./answers").LanesState} Screen */
/** @typedef {import("./answers").FrameStep} FrameStep */

/**
 * @typedef {object} Turn
 * @property {number} game
 * @property {number} frame
 * @property {number} ball
 * @property {number[]} pins those that stand before the ball
 * @property {number} lane which lane of the pair, 0 or 1
 * @property {number} step its place in the rules of the frame
 */

/** @typedef {Pick<Screen, "rules" | "games">} Rules */

export const ALL = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];

/** The rules of a turn's frame; none where nothing is counted. @param {Turn} turn @param {Rules} rules @returns {FrameStep[] | undefined} */
const stepsOf = (turn, { rules }) => (turn.frame === 10 ? rules?.last : rules?.usual);

/**
 * @param {Turn} turn
 * @param {number[] | "foul"} stands what stands after the ball
 * @param {Rules} rules
 * @returns {Turn | null} null once the block is complete
 */
export function after(turn, stands, rules) {
  const steps = stepsOf(turn, rules);
  if (!steps) return turn;
  const left = stands === "foul" ? turn.pins : stands;
  const { then } = left.length === 0 ? steps[turn.step].down : steps[turn.step].left;
  if (then === null) return nextFrame(turn, rules);
  const next = steps[then];
  return { ...turn, ball: next.ball, step: then, pins: next.full ? ALL : left };
}

/** @param {Turn} turn @param {Rules} rules @returns {Turn | null} */
function nextFrame(turn, rules) {
  const last = turn.frame === 10;
  if (last && rules.games !== null && turn.game >= rules.games) return null;
  const [game, frame] = last ? [turn.game + 1, 1] : [turn.game, turn.frame + 1];
  return { game, frame, ball: 1, pins: ALL, lane: 1 - turn.lane, step: 0 };
}

/**
 * As the server has it.
 * @param {Screen} screen
 * @returns {Turn | null}
 */
export function told(screen) {
  const { next } = screen.sheet;
  if (!next) return null;
  const lane = screen.lanes.findIndex((one) => one.lane === screen.lane);
  const { game, frame, ball_of_frame: ball, pins } = next;
  return { game, frame, ball, pins: pins ?? ALL, lane: Math.max(lane, 0), step: screen.step };
}

/** How a ball is written on a sheet. @param {Turn} turn @param {number[] | "foul"} stands @param {Rules} rules */
export function sign(turn, stands, rules) {
  if (stands === "foul") return "F";
  if (stands.length === 0) return stepsOf(turn, rules)?.[turn.step].down.sign ?? "";
  const down = turn.pins.length - stands.length;
  return down === 0 ? "-" : String(down);
}
