"""Which of twelve candidate patterns treats four bowler styles and both hands most evenly, over a block of four games?

    pip install boardwise[sweep,example]
    python which_pattern.py results --workers 2 --picture which_pattern.png

Stop it whenever you like: it goes on where it was. Put your own patterns and bowlers in their place. docs/sweeps.md says what
is worked out and what came of it.
"""

import argparse
import time
from contextlib import nullcontext

import boardwise as bw
import numpy as np
from boardwise import sweep

LENGTHS_FT = (32, 36, 40, 44)
# How much of the oil lies in the middle alone.
SHAPES = {"flat": 0.12, "in between": 0.35, "walled": 0.58}
MICROLITRES = 24_000

BALLS = ("urethane-dull", "urethane-shiny", "strong-solid", "medium-solid", "medium-pearl", "weak-pearl")
# What the others on the pair throw.
FIELD_BALL = "medium-solid"

# Hand, speed in mph, rev rate in rpm, axis rotation and tilt in degrees. The last is the first from the other side.
STYLES = {
    "straighter": ("right", 18.0, 300, 35, 12),
    "many revs": ("right", 17.5, 430, 55, 14),
    "two-handed": ("right", 18.5, 480, 40, 8),
    "straighter, left": ("left", 18.0, 300, 35, 12),
}


def pattern(length_ft: int, middle: float) -> str:
    """The lane file of a pattern of this length, with this share of its oil in the middle alone. Invented."""
    strokes = [
        ([2, 38], [0, length_ft], 0.40 * (1.0 - middle), "out"),
        ([2, 38], [0, round(0.65 * length_ft)], 0.35 * (1.0 - middle), "out"),
        ([2, 38], [2, round(0.38 * length_ft)], 0.25 * (1.0 - middle), "back"),
        ([10, 30], [0, round(0.85 * length_ft)], middle, "out"),
    ]
    head = f'name = "candidate {length_ft} ft"\nsmear_ft = 3.0\n'
    return head + "".join(
        f'[[strokes]]\nboards = {boards}\nfeet = {feet}\nmicrolitres = {MICROLITRES * share:.0f}\ndirection = "{way}"\n'
        for boards, feet, share, way in strokes
    )


def bowler(name: str, hand: str, speed_mph: float, rev_rate_rpm: float, rotation_deg: float, tilt_deg: float) -> str:
    """The file of a bowler. All have the same spread, so that patterns are compared and not skills. Invented."""
    return f"""name = "{name}"
hand = "{hand}"
speed_mph = {speed_mph}
rev_rate_rpm = {rev_rate_rpm}
rotation_deg = {rotation_deg}
tilt_deg = {tilt_deg}
loft_ft = 1.0
[spread]
laydown_boards = 0.7
launch_deg = 0.25
speed_mph = 0.35
rev_rate_rpm = 12
rotation_deg = 3.5
tilt_deg = 1.5
[range]
speed_mph = [{speed_mph - 1.0}, {speed_mph + 1.0}]
rotation_deg = [{rotation_deg - 15}, {rotation_deg + 15}]
"""


def work(inputs, k):
    """A shard: one pattern and one style, with each of the balls. All four styles are on the pair and wear it."""
    import boardwise as bw
    import numpy as np

    one, ours = divmod(k, len(inputs["styles"]))
    lane = bw.Lane.parse(inputs["patterns"][one])
    bag = bw.Bag.demo()
    bowlers = [bw.Bowler.parse(text) for text in inputs["styles"]]
    others = [(them, bag[inputs["field_ball"]]) for them in bowlers[:ours] + bowlers[ours + 1 :]]
    tables = []
    for place, ball in enumerate(inputs["balls"]):
        block = bw.forecast(
            lane, bag[ball], bowlers[ours], others=others, games=inputs["games"], runs=inputs["runs"], seed=inputs["seed"]
        )
        rows = len(block.strike)
        whole = {"pattern": one, "style": ours, "ball": place}
        tables.append({**{name: np.full(rows, value) for name, value in whole.items()}, **block})
    return {name: np.concatenate([table[name] for table in tables]) for name in tables[0]}


def question(games: int, runs: int, seed: int = 1, balls: tuple[str, ...] = BALLS) -> sweep.Spec:
    """What is worked out: a shard for each pattern and style."""
    patterns = [pattern(length, middle) for length in LENGTHS_FT for middle in SHAPES.values()]
    inputs = {
        "patterns": patterns,
        "styles": [bowler(name, *style) for name, style in STYLES.items()],
        "balls": list(balls),
        "field_ball": FIELD_BALL,
        "games": games,
        "runs": runs,
        "seed": seed,
    }
    return sweep.Spec(work, inputs, shards=len(patterns) * len(STYLES))


def best_ball(table: bw.Columns) -> tuple[np.ndarray, np.ndarray]:
    """Strikes in 100 of each style on each pattern and lane, with the ball that strikes most there; and which ball that is.

    A figure is the mean over fresh oil and every game's end, and over all runs.
    """
    shape = (len(LENGTHS_FT) * len(SHAPES), len(STYLES), table.ball.max() + 1, 2)
    total, count = np.zeros(shape), np.zeros(shape)
    cell = (table.pattern, table.style, table.ball, table.lane)
    np.add.at(total, cell, 100.0 * table.strike)
    np.add.at(count, cell, 1)
    lanes = total / count
    best = lanes.mean(axis=-1).argmax(axis=-1)
    return np.take_along_axis(lanes, best[..., None, None], axis=2)[:, :, 0], best


def gap(strikes: np.ndarray) -> np.ndarray:
    """From the worst style to the best."""
    return strikes.max(axis=1) - strikes.min(axis=1)


def error(each_lane: np.ndarray) -> float:
    """The standard error of a mean over both lanes. They differ by luck and by what nobody knows of a lane, and by nothing else."""
    return float(np.sqrt(np.mean((each_lane[..., 0] - each_lane[..., 1]) ** 2)) / 2.0)


def gap_by_luck(lanes: np.ndarray) -> float:
    """The mean gap between styles that do equally well: the range of four normal values is 2.06 standard deviations."""
    apart = lanes - lanes.mean(axis=1, keepdims=True)
    return 2.06 * error(apart) * np.sqrt(4.0 / 3.0)


def draw(path: str, names: list[str], strikes: np.ndarray, order: np.ndarray, doubt: float) -> None:
    import matplotlib.pyplot as plt

    figure, axis = plt.subplots(figsize=(9, 5.5), layout="constrained")
    rows = np.arange(len(order))[::-1]
    axis.hlines(rows, strikes[order].min(axis=1), strikes[order].max(axis=1), color="0.75", lw=6, zorder=1)
    for (style, marker), colour in zip(zip(STYLES, "osD<"), plt.colormaps["cividis"](np.linspace(0.0, 0.9, 4))):
        column = list(STYLES).index(style)
        axis.scatter(strikes[order, column], rows, marker=marker, s=60, color=colour, ec="black", label=style, zorder=2)
    axis.set_yticks(rows, [names[one] for one in order])
    axis.set_xlabel(f"strikes in 100 with the best of six balls, over four games (standard error {doubt:.1f})")
    axis.set_title("Candidates, the most even one first: the bar reaches from the worst style to the best", fontsize=11)
    axis.legend(ncols=4, loc="upper center", bbox_to_anchor=(0.45, -0.1), frameon=False)
    axis.grid(axis="x", color="0.9")
    figure.savefig(path, dpi=110)


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("folder", help="where results go, and where an earlier run goes on")
    asked.add_argument("--workers", type=int, default=0, help="processes on this machine; 0 for none beside this one")
    asked.add_argument("--games", type=int, default=4)
    asked.add_argument("--runs", type=int, default=1, help="each block is run so many times with other throws")
    asked.add_argument("--small", action="store_true", help="one ball instead of six, to try it out")
    asked.add_argument("--picture", help="draw the answer into this file")
    asked = asked.parse_args()
    spec = question(asked.games, asked.runs, balls=("medium-solid",) if asked.small else BALLS)
    start, at_first = time.monotonic(), spec.shards - len(sweep.missing(spec, asked.folder))

    def progress(done: int, of: int) -> None:
        each = (time.monotonic() - start) / (done - at_first)
        print(f"{done} of {of} shards, {each * (of - done):.0f} s to go", flush=True)

    with local_workers(asked.workers) as client:
        began = time.monotonic()
        table = sweep.run(spec, asked.folder, client=client, progress=progress)
        print(f"{spec.shards - at_first} shards in {time.monotonic() - began:.1f} s")
    names = [f"{length} ft, {shape}" for length in LENGTHS_FT for shape in SHAPES]
    lanes, balls = best_ball(table)
    strikes = lanes.mean(axis=-1)
    hands = lanes[:, 3] - lanes[:, 0]
    order = np.argsort(gap(strikes), kind="stable")
    print(f"\n{'pattern':18}{''.join(f'{style:>18}' for style in STYLES)}{'gap':>7}{'left less right':>17}")
    for one in order:
        cells = "".join(f"{value:>18.1f}" for value in strikes[one])
        print(f"{names[one]:18}{cells}{gap(strikes)[one]:>7.1f}{hands[one].mean():>+17.1f}")
    print(f"\nStrikes in 100. Standard errors: a figure {error(lanes):.1f}, left less right {error(hands):.1f}.")
    print(f"A pattern that treats all alike would show a gap of {gap_by_luck(lanes):.1f} by luck.")
    used = sorted({spec.inputs["balls"][ball] for ball in balls[order[0]]})
    print(f"Most even: {names[order[0]]}, with {', '.join(used)}.")
    if asked.picture:
        draw(asked.picture, names, strikes, order, error(lanes))


def local_workers(workers: int):
    """A client with so many processes on this machine, each on one core; none for 0."""
    if workers == 0:
        return nullcontext()
    from distributed import Client, LocalCluster

    cluster = LocalCluster(
        n_workers=workers, threads_per_worker=1, env={"RAYON_NUM_THREADS": "1"}, dashboard_address="127.0.0.1:0"
    )
    return Client(cluster)


if __name__ == "__main__":
    main()
