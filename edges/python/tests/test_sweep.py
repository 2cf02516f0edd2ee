"""What sweeps promise: the same bits on any workers, and whatever was killed loses nothing."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import boardwise as bw
import numpy as np
import pytest
from boardwise import sweep

SHARDS = 12


def work(inputs, k):
    """Throws at one lane, a little elsewhere in each shard. Slow enough to be killed in the middle."""
    import time

    import boardwise as bw
    import numpy as np

    if inputs["broken"] == k:
        raise ArithmeticError("shard five fails")
    time.sleep(inputs["wait_s"])
    lane, ball, bowler = bw.Lane.parse(inputs["lane"]), bw.Bag.demo()["strong-solid"], bw.Bowler.demo()
    thrown = bw.throw(lane, ball, bowler, laydown=np.linspace(10.0 + k, 12.0 + k, 50), arrows=10.0)
    return {"k": np.full(50, k), "entry_board": thrown.entry_board, "strike": thrown.strike, "ball": [ball.id] * 50}


LANE = """name = "invented"
[[strokes]]
boards = [2, 38]
feet = [0, 38]
microlitres = 20000
direction = "out"
"""


def spec(wait_s: float = 0.0, broken: int = -1) -> sweep.Spec:
    return sweep.Spec(work, {"lane": LANE, "wait_s": wait_s, "broken": broken}, SHARDS)


def files(folder: Path) -> dict[str, bytes]:
    """What lies in the one place of a sweep."""
    (place,) = folder.iterdir()
    return {one.name: one.read_bytes() for one in place.iterdir()}


def cluster(workers: int):
    from distributed import LocalCluster

    return LocalCluster(
        n_workers=workers, threads_per_worker=1, env={"RAYON_NUM_THREADS": "1"}, dashboard_address="127.0.0.1:0"
    )


def test_a_run_writes_every_shard_and_the_whole(tmp_path: Path):
    seen = []
    table = sweep.run(spec(), tmp_path, progress=lambda done, of: seen.append((done, of)))
    assert seen == [(k + 1, SHARDS) for k in range(SHARDS)]
    assert np.array_equal(table.k, np.repeat(np.arange(SHARDS), 50)) and set(table.ball) == {"strong-solid"}
    names = {"spec.json", "all.parquet", *(f"{k:05}.parquet" for k in range(SHARDS))}
    assert set(files(tmp_path)) == names, "nothing else is left behind"
    again = sweep.run(spec(), tmp_path, progress=lambda done, of: pytest.fail("nothing was missing"))
    assert np.array_equal(again.strike, table.strike)


def test_another_question_has_another_place():
    one, other = spec(), spec(wait_s=1.0)
    assert one.fingerprint() == spec().fingerprint() and one.fingerprint() != other.fingerprint()
    assert sweep.Spec(work, one.inputs, 3).fingerprint() != one.fingerprint()


def test_an_error_in_a_shard_ends_the_run_and_what_was_done_stays(tmp_path: Path):
    with pytest.raises(ArithmeticError, match="shard five fails"):
        sweep.run(spec(broken=5), tmp_path)
    assert sweep.missing(spec(broken=5), tmp_path) == list(range(5, SHARDS))
    with pytest.raises(ValueError, match="7 of 12 shards are missing, the first is 5"):
        sweep.gather(spec(broken=5), tmp_path)


def test_specs_that_cannot_be_say_what_is_allowed():
    with pytest.raises(ValueError, match="shards = 0: must be 1 to"):
        sweep.Spec(work, {}, 0)
    with pytest.raises(ValueError, match="a function that stands in a file"):
        sweep.Spec(len, {}, 1)
    with pytest.raises(ValueError, match="shard 12: must be 0 to 11"):
        sweep.shard(spec(), 12)
    with pytest.raises(TypeError):
        sweep.Spec(work, {"lane": bw.Lane.demo()}, 1)


def test_a_run_that_was_killed_goes_on_where_it_was(tmp_path: Path):
    whole, killed = tmp_path / "whole", tmp_path / "killed"
    sweep.run(spec(wait_s=0.1), whole)
    code = "import sys, test_sweep; test_sweep.sweep.run(test_sweep.spec(wait_s=0.1), sys.argv[1])"
    process = subprocess.Popen([sys.executable, "-c", code, str(killed)], cwd=Path(__file__).parent)
    until = time.monotonic() + 60.0
    while len(done := set(range(SHARDS)) - set(sweep.missing(spec(wait_s=0.1), killed))) < 3:
        assert process.poll() is None and time.monotonic() < until
        time.sleep(0.01)
    process.kill()
    process.wait()
    stopped = {one.name: one.stat().st_mtime_ns for one in next(killed.iterdir()).glob("0*.parquet")}
    assert 3 <= len(stopped) < SHARDS and len(done) <= len(stopped), "it was killed in the middle"
    worked_out = []
    sweep.run(spec(wait_s=0.1), killed, progress=lambda done, of: worked_out.append(done))
    assert len(worked_out) == SHARDS - len(stopped), "what was done is not done again"
    for name, then in stopped.items():
        assert next(killed.glob(f"*/{name}")).stat().st_mtime_ns == then
    left = {name: text for name, text in files(killed).items() if not name.startswith(".")}
    assert left == files(whole), "not a bit differs"


@pytest.mark.skipif(os.name != "posix", reason="kills a process by its number")
def test_a_worker_that_is_killed_loses_nothing_and_changes_no_bit(tmp_path: Path):
    distributed = pytest.importorskip("distributed")
    alone, together = tmp_path / "alone", tmp_path / "together"
    sweep.run(spec(wait_s=0.3), alone)
    with cluster(2) as workers, distributed.Client(workers) as client:
        pids = client.run(os.getpid)
        killed = []

        def kill_one(done: int, of: int) -> None:
            if done == 3:
                victim = sorted(pids)[0]
                os.kill(pids[victim], signal.SIGKILL)
                killed.append(pids[victim])

        sweep.run(spec(wait_s=0.3), together, client=client, progress=kill_one)
        assert killed and killed[0] not in client.run(os.getpid).values(), "one of the two is gone"
    assert files(together) == files(alone)


def test_a_worker_with_another_version_is_refused():
    with pytest.raises(RuntimeError, match="other versions give other bits"):
        sweep._on_worker(spec(), 0, "0.0.0")
