"""What the package promises: shapes, units, errors, and the same numbers as the program."""

import csv
import json
import os
import subprocess
import threading
import time
from pathlib import Path

import boardwise as bw
import numpy as np
import pytest


@pytest.fixture(scope="module")
def kit():
    lane = bw.Lane.demo("house-40-walled")
    ball = bw.Bag.demo()["strong-solid"]
    return lane, ball, bw.Bowler.demo("right-straighter")


def test_a_row_for_each_throw_and_nothing_where_there_is_no_value(kit):
    throws = bw.throw(*kit, laydown=np.linspace(8.0, 30.0, 50), arrows=10.0)
    assert {len(column) for column in throws.values()} == {50}
    lost = ~np.isnan(throws.gutter_feet)
    assert np.isnan(throws.entry_board[lost]).all() and (throws.strike[lost] == 0.0).all()
    assert ((throws.strike >= 0.0) & (throws.strike <= 1.0)).all()
    assert not lost.all()


def test_numbers_and_arrays_are_broadcast(kit):
    square = bw.throw(*kit, laydown=np.array([[16.0], [18.0]]), launch_deg=[1.0, 2.0, 3.0])
    assert len(square.laydown) == 6
    one = bw.throw(*kit, laydown=18.0, launch_deg=3.0)
    assert one.entry_board[0] == square.entry_board[5]


def test_a_throw_comes_out_the_same_whatever_is_thrown_with_it(kit):
    many = bw.throw(*kit, laydown=np.linspace(10.0, 25.0, 999), arrows=11.0)
    for k in (0, 500, 998):
        alone = bw.throw(*kit, laydown=many.laydown[k], arrows=11.0)
        assert all(np.array_equal(alone[name][0], many[name][k], equal_nan=True) for name in many)


def test_the_path_ends_where_the_throw_does(kit):
    ended = bw.throw(*kit, laydown=20.0, arrows=11.0)
    path = bw.path(*kit, laydown=20.0, arrows=11.0)
    assert path.feet[0] == 0.0 and path.feet[-1] == 60.0
    assert abs(path.board.min() - ended.breakpoint_board[0]) < 0.5


def test_values_that_cannot_be_say_which_and_what_is_allowed(kit):
    with pytest.raises(ValueError, match=r"laydown\[1\] = 90: must be 0.5 to 39.5"):
        bw.throw(*kit, laydown=[20.0, 90.0], arrows=10.0)
    with pytest.raises(ValueError, match="launch_deg and arrows"):
        bw.throw(*kit, laydown=20.0, arrows=10.0, launch_deg=1.0)
    with pytest.raises(ValueError, match="launch_deg, or arrows"):
        bw.throw(*kit, laydown=20.0)
    with pytest.raises(ValueError, match="house-40-walled"):
        bw.Lane.demo("house-40-waled")
    with pytest.raises(ValueError, match="mine.toml"):
        bw.Lane.parse("name = 3", "mine.toml")
    with pytest.raises(KeyError, match="strong-solid"):
        bw.Bag.demo()["none"]


def test_a_lane_says_what_lies_on_it():
    lane = bw.Lane.demo("house-40-walled")
    feet, film = lane.film(step_ft=2.0)
    assert film.shape == (len(feet), 39) and feet[-1] == lane.pattern_end_ft
    assert film[:, 19].max() > film[:, 1].max(), "a house pattern has its oil in the middle"
    assert 15.0 < lane.volume_ml < 32.0


def test_racks_and_the_table_made_of_such_racks_agree():
    racks = bw.throw_racks(17.0, 6.0, racks=4000)
    assert racks.shape == (4000, 10)
    share = (~racks.any(axis=1)).mean()
    error = np.sqrt(share * (1 - share) / 4000)
    # The table smooths over a quarter board and a degree (docs/pins.md); three points are left for that.
    assert abs(share - bw.strike_chance(17.0, 6.0)) < 3 * error + 0.03
    shares = bw.leaves(racks)
    assert shares["none"] == pytest.approx(share) and sum(shares.values()) == pytest.approx(1.0)


def test_the_same_seed_gives_the_same_lines(kit):
    first, again = (bw.find_lines(*kit, lines=2, throws_a_line=512) for _ in range(2))
    assert [(one.laydown, one.arrows, one.strike) for one in first] == [(one.laydown, one.arrows, one.strike) for one in again]
    assert 0.2 < first[0].strike < 0.9 and first[0].strike >= first[-1].strike - 0.1
    assert sum(first[0].leaves.values()) + first[0].strike == pytest.approx(1.0, abs=1e-6)


def test_a_belief_hears_of_shots(kit):
    lane, ball, bowler = kit
    belief = bw.Belief(lane, bw.Bag.demo(), bowler)
    line = bw.find_lines(*kit, lines=1, throws_a_line=512)[0]
    here = (0, ball.id, line.laydown, line.arrows)
    before, doubt = belief.comes_in(*here)
    for _ in range(4):
        belief.saw(*here, "4-9", hit="high")
    after, less = belief.comes_in(*here)
    assert after > before, "balls that hit high come in higher"
    assert less < doubt, "shots teach"
    verdict, choices = belief.advise(*here)
    assert verdict in {"stay", "change", "try", "too close"} and choices[0].ball
    with pytest.raises(ValueError, match="pocket, high, light"):
        belief.saw(*here, "4", hit="hi")


def test_other_threads_run_while_it_computes(kit):
    stop, counted = threading.Event(), [0]

    def count():
        while not stop.is_set():
            counted[0] += 1
            time.sleep(0.001)

    thread = threading.Thread(target=count)
    thread.start()
    counted[0] = 0
    bw.find_lines(*kit, lines=1)
    seen = counted[0]
    stop.set()
    thread.join()
    assert seen > 20, "a search takes a second; a thread that waits a millisecond at a time must run meanwhile"


@pytest.mark.skipif("BOARDWISE" not in os.environ, reason="BOARDWISE names no program to compare with")
def test_throws_are_those_of_the_program_to_the_bit(kit, tmp_path: Path):
    laydown = np.linspace(10.0, 28.0, 200)
    asked, answered = tmp_path / "asked.csv", tmp_path / "answered.csv"
    with asked.open("w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(["laydown", "arrows"])
        rows.writerows((repr(float(one)), "11") for one in laydown)
    lane, ball, bowler = kit
    program = [os.environ["BOARDWISE"], "throw", "--lane", "house-40-walled", "--ball", ball.id, "--bowler", "right-straighter"]
    subprocess.run([*program, "--batch", asked, "--out", answered], check=True)
    throws = bw.throw(lane, ball, bowler, laydown=laydown, arrows=11.0)
    with answered.open(newline="") as file:
        for k, row in enumerate(csv.DictReader(file)):
            assert float(row["breakpoint_board"]) == throws.breakpoint_board[k]
            assert float(row["strike_pct"]) == 100.0 * throws.strike[k]
            assert (float(row["entry_board"]) if row["entry_board"] else None) == (
                None if np.isnan(throws.entry_board[k]) else throws.entry_board[k]
            )
    line = json.loads(subprocess.run([*program[:1], "line", *program[2:], "--json"], check=True, capture_output=True).stdout)
    assert line["lines"][0]["laydown"] == bw.find_lines(lane, ball, bowler)[0].laydown


def test_a_forecast_has_a_row_for_each_run_moment_and_lane(kit):
    lane, ball, bowler = kit
    block = bw.forecast(lane, ball, bowler, games=2, runs=2, others=[(bw.Bowler.demo("two-handed"), ball)])
    assert len(block.run) == 2 * 3 * 2
    assert sorted(set(zip(block.run.tolist(), block.games.tolist(), block.lane.tolist()))) == [
        (run, games, side) for run in range(2) for games in range(3) for side in range(2)
    ]
    fresh = block.games == 0
    assert np.array_equal(block.strike[fresh], block.first_line[fresh]), "on fresh oil the first line is the best"
    later = block.games == 2
    assert block.strike[later].mean() > block.first_line[later].mean(), "looking anew is worth something"
    again = bw.forecast(lane, ball, bowler, games=2, runs=2, others=[(bw.Bowler.demo("two-handed"), ball)])
    assert all(np.array_equal(block[name], again[name]) for name in block)
    with pytest.raises(ValueError, match="games"):
        bw.forecast(lane, ball, bowler, games=0)
