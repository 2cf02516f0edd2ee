// Which ball comes next, so that a whole block can be logged without the server. The server's own word wins as soon as it is heard.

/**
 * @typedef {object} Turn
 * @property {number} game
 * @property {number} frame
 * @property {number} ball
 * @property {number[]} pins those that stand before the ball
 * @property {number} lane which lane of the pair, 0 or 1
 * @property {boolean} struck whether the tenth frame began with a strike
 */

/** @typedef {{ counting: string, games: number | null }} Rules */

export const ALL = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];

/**
 * @param {Turn} turn
 * @param {number[] | "foul"} stands what stands after the ball
 * @param {Rules} rules
 * @returns {Turn | null} null once the block is complete
 */
export function after(turn, stands, rules) {
  if (rules.counting === "nothing") return turn;
  const left = stands === "foul" ? turn.pins : stands;
  const down = left.length === 0;
  const again = { ...turn, ball: turn.ball + 1, pins: left };
  if (turn.frame < 10 || rules.counting === "current-frame") {
    return turn.ball === 1 && !down ? again : nextFrame(turn, rules);
  }
  const fresh = { ...turn, ball: turn.ball + 1, pins: ALL };
  if (turn.ball === 1) return down ? { ...fresh, struck: true } : again;
  if (turn.ball === 2 && turn.struck) return down ? fresh : again;
  if (turn.ball === 2 && down) return fresh;
  return nextFrame(turn, rules);
}

/** @param {Turn} turn @param {Rules} rules @returns {Turn | null} */
function nextFrame(turn, rules) {
  const last = turn.frame === 10;
  if (last && rules.games !== null && turn.game >= rules.games) return null;
  const [game, frame] = last ? [turn.game + 1, 1] : [turn.game, turn.frame + 1];
  return { game, frame, ball: 1, pins: ALL, lane: 1 - turn.lane, struck: false };
}

/**
 * As the server has it.
 * @param {any} screen
 * @returns {Turn | null}
 */
export function told(screen) {
  const next = screen.sheet.next;
  if (!next) return null;
  const lane = screen.lanes.findIndex((/** @type {any} */ one) => one.lane === screen.lane);
  const tenth = screen.sheet.games.at(-1)?.frames[9]?.signs ?? "";
  const struck = next.frame === 10 && next.ball_of_frame > 1 && tenth.startsWith("X");
  return {
    game: next.game, frame: next.frame, ball: next.ball_of_frame, pins: next.pins ?? ALL, lane: Math.max(lane, 0), struck,
  };
}

/** How a ball is written on a sheet. @param {Turn} turn @param {number[] | "foul"} stands */
export function sign(turn, stands) {
  if (stands === "foul") return "F";
  if (stands.length === 0) return turn.pins.length === 10 && (turn.ball === 1 || turn.frame === 10 && turn.struck) ? "X" : "/";
  const down = turn.pins.length - stands.length;
  return down === 0 ? "-" : String(down);
}
