// The device's own idea of which ball comes next agrees with the sheet's, ball by ball, whatever is thrown.

import assert from "node:assert/strict";
import { after, test } from "node:test";
import { after as next, sign, told } from "../../src/assets/turn.js";
import { ask, begin, serve } from "./app.mjs";

const app = await serve();
after(() => app.clear());

/** The same numbers every time (Numerical Recipes' linear congruence). */
function* numbers(seed) {
  for (;;) {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    yield seed / 2 ** 32;
  }
}

for (const counting of ["traditional", "current-frame"]) {
  test(`law: a block counted ${counting} goes the same way on device and server`, async () => {
    let screen = await begin(app.url, { counting });
    let turn = told(screen);
    const random = numbers(7);
    const draw = () => random.next().value;
    for (let k = 0; turn && k < 80; k++) {
      const kind = draw();
      const stands = kind < 0.35 ? [] : kind < 0.4 ? "foul" : turn.pins.filter(() => draw() < 0.3);
      const pins = stands === "foul" ? "foul" : stands.length === 0 ? "none"
        : stands.length === turn.pins.length ? "all" : stands.join("-");
      const place = { game: turn.game, frame: turn.frame, ball: turn.ball };
      const { status, said } = await ask(app.url, "/lanes/shot", { key: `${counting}-${k}`, turn: place, pins });
      assert.equal(status, 200, JSON.stringify(said));
      const written = sign(turn, stands, screen);
      assert.equal(said.sheet.games[turn.game - 1].frames[turn.frame - 1].signs.at(-1), written, `ball ${k + 1}: ${pins}`);
      turn = next(turn, stands, screen);
      screen = said;
      assert.deepEqual(turn, told(screen), `after ball ${k + 1}: ${pins}`);
    }
  });
}
