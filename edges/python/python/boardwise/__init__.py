"""Ball motion, oil, pins, lines and belief of tenpin bowling, with numpy arrays in and out.

From question to answer:

1. `Lane`, `Bag` and `Bowler` come from the files that people write (`read`, `parse`) or from the demo kit (`demo`).
2. `throw` throws many balls at once and says where each ended; `path` follows one foot by foot.
3. `throw_racks` throws at ten pins; `strike_chance` looks chances up in the table made that way.
4. `find_lines` searches a lane for the lines that strike most often with a ball and a bowler.
5. `forecast` runs a block forward: how the oil goes, and what a ball still strikes after each game.
6. `Belief` hears of shots and advises on the next.
7. `write_table` and `read_table` keep results as Parquet or Arrow; `boardwise.sweep` works out many of them, on any number
   of machines.

Every number has its unit in its name. Boards count from the gutter on the bowling hand's side. Chances are 0 to 1. Where
there is no value (a ball in the gutter has no entry), an array holds NaN. The same seed gives the same bits, on any number
of threads. A value that cannot be is a `ValueError` which says what is allowed.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from . import _boardwise
from ._boardwise import Bag, Ball, Belief, Bowler, Lane, Line, NextShot, find_lines
from .tables import Columns, read_table, write_table

__all__ = [
    "Bag",
    "Ball",
    "Belief",
    "Bowler",
    "Columns",
    "Lane",
    "Line",
    "NextShot",
    "find_lines",
    "forecast",
    "leaves",
    "path",
    "read_table",
    "strike_chance",
    "throw",
    "throw_racks",
    "write_table",
]

Numbers = npt.ArrayLike
Array = npt.NDArray[np.float64]


# What a bowler has a usual value of, in the order in which throws take it.
_USUAL = ("speed_mph", "rev_rate_rpm", "rotation_deg", "tilt_deg", "loft_ft")


def _usual(bowler: Bowler, *given: Numbers | None) -> list[Any]:
    """What is thrown with: as given, and else the bowler's own."""
    return [getattr(bowler, name) if value is None else value for name, value in zip(_USUAL, given, strict=True)]


def _direction(launch_deg: Numbers | None, arrows: Numbers | None) -> tuple[Numbers, bool]:
    """The launch angles or the boards aimed at, and which of the two they are."""
    if launch_deg is not None and arrows is not None:
        raise ValueError("launch_deg and arrows are both given: a throw has one of them")
    if arrows is not None:
        return arrows, True
    if launch_deg is not None:
        return launch_deg, False
    raise ValueError("a throw needs launch_deg, or arrows: the board aimed at, 15 ft from the foul line")


def throw(
    lane: Lane,
    ball: Ball,
    bowler: Bowler,
    *,
    laydown: Numbers,
    launch_deg: Numbers | None = None,
    arrows: Numbers | None = None,
    speed_mph: Numbers | None = None,
    rev_rate_rpm: Numbers | None = None,
    rotation_deg: Numbers | None = None,
    tilt_deg: Numbers | None = None,
    loft_ft: Numbers | None = None,
) -> Columns:
    """Throws many balls at once, on all cores, and says where each ended.

    Each argument is a number or an array; they are broadcast against each other, and what is left out is the bowler's own.
    The answer has one row a throw, in the order of the flattened arrays: what was thrown, then `entry_board`,
    `entry_angle_deg`, `entry_speed_mph`, `first_pin`, `gutter_feet`, `gutter_side` (-1 the hand's side, 1 away from it),
    `breakpoint_board`, `breakpoint_feet`, `exit_board`, `exit_feet`, `arrows_board`, `time_s` and `strike`, the chance by the
    carry table. It is the engine behind the search: within some tenths of a board of `path`.
    """
    direction, aimed = _direction(launch_deg, arrows)
    usual = _usual(bowler, speed_mph, rev_rate_rpm, rotation_deg, tilt_deg, loft_ft)
    rows = np.broadcast_arrays(laydown, direction, *usual)
    laid, towards, *rest = [np.ascontiguousarray(row, dtype=np.float64).ravel() for row in rows]
    ended = _boardwise.throw(lane, ball, bowler, laid, towards, aimed, *rest)
    return Columns({"laydown": laid, **dict(zip(_USUAL, rest)), **ended})


def path(
    lane: Lane,
    ball: Ball,
    bowler: Bowler,
    *,
    laydown: float,
    launch_deg: float | None = None,
    arrows: float | None = None,
    speed_mph: float | None = None,
    rev_rate_rpm: float | None = None,
    rotation_deg: float | None = None,
    tilt_deg: float | None = None,
    loft_ft: float | None = None,
) -> Columns:
    """One throw, followed as finely as it can be: a row for each foot from the foul line to the pins, as if none stood.

    Columns: `feet`, `board`, `angle_deg`, `speed_mph`, `rev_rate_rpm`, `slip_m_s`, `friction`, `time_s`.
    """
    direction, aimed = _direction(launch_deg, arrows)
    rest = _usual(bowler, speed_mph, rev_rate_rpm, rotation_deg, tilt_deg, loft_ft)
    return Columns(_boardwise.path(lane, ball, bowler, laydown, direction, aimed, *rest))  # type: ignore[arg-type]


def throw_racks(
    board: float,
    angle_deg: float,
    speed_mph: float = 14.0,
    weight_lb: float = 15.0,
    *,
    racks: int = 1000,
    seed: int = 1,
) -> npt.NDArray[np.bool_]:
    """Throws a ball that comes in so at ten pins, `racks` times: which pins stand after each, one row a rack, pin 1 first.

    The board is that of the head pin's row, the speed that at the pins. The racks are spread evenly over the sets of the
    pins' constants that all give what is published.
    """
    standing = _boardwise.throw_racks(board, angle_deg, speed_mph, weight_lb, racks, seed)
    return (standing[:, None] >> np.arange(10) & 1).astype(bool)


def leaves(standing: npt.NDArray[np.bool_]) -> dict[str, float]:
    """How often each set of pins stands among these racks, 0 to 1, commonest first. A strike is "none"."""
    sets, counts = np.unique(standing, axis=0, return_counts=True)
    names = ["-".join(str(pin + 1) for pin in np.flatnonzero(pins)) or "none" for pins in sets]
    shares = sorted(zip(names, counts / len(standing)), key=lambda one: -one[1])
    return {name: float(share) for name, share in shares}


def strike_chance(board: Numbers, angle_deg: Numbers, speed_mph: Numbers = 14.0, weight_lb: float = 15.0) -> Array:
    """The chance of a strike for each approach, by the carry table; arrays are broadcast and keep their shape."""
    rows = np.broadcast_arrays(board, angle_deg, speed_mph)
    boards, angles, speeds = [np.ascontiguousarray(row, dtype=np.float64).ravel() for row in rows]
    return _boardwise.strike_chance(boards, angles, speeds, weight_lb).reshape(rows[0].shape)


def forecast(
    lane: Lane,
    ball: Ball,
    bowler: Bowler,
    *,
    right_lane: Lane | None = None,
    others: Sequence[tuple[Bowler, Ball]] = (),
    spare_ball: Ball | None = None,
    games: int = 3,
    practice_shots: int = 2,
    runs: int = 4,
    seed: int = 1,
) -> Columns:
    """Runs a block on a pair of lanes forward, `runs` times: how the oil goes, and what this ball still strikes.

    The pair has one pattern, or another on `right_lane`. `others` bowl on the pair too, after us, and wear it. Where a
    `spare_ball` is given, all throw it at what stands. The line is looked for anew after each game (docs/block.md).

    The answer has a row for each run, moment and lane. `games` is 0 for fresh oil, then the games that are over; `lane` is 0
    for the left lane. `strike` is the chance on the best line, `stay` on the line of the game before, `first_line` on that of
    the fresh lane; then `pocket`, `laydown`, `arrows`, `miss_room_hand_boards` and `miss_room_away_boards` of the best line.
    """
    pair = (lane, lane if right_lane is None else right_lane)
    return Columns(
        _boardwise.forecast(*pair, ball, bowler, list(others), spare_ball, games, practice_shots, runs, seed)
    )
