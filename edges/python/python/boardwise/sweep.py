"""Sweeps: work in shards, on one machine or many, which can be stopped at any time and goes on where it was.

One contract holds for every sweep. A `Spec` says what is worked out, in so many shards. `shard(spec, k)` gives the table of
one shard; it depends on the spec and on `k` alone, so that it comes out the same wherever and whenever it runs. `run` works
out what is missing in a folder, and writes a Parquet file for each shard and one for all of them:

    FOLDER/FINGERPRINT/spec.json        what was asked
    FOLDER/FINGERPRINT/00007.parquet    a shard
    FOLDER/FINGERPRINT/all.parquet      all shards, in order

The fingerprint stands for the spec: its inputs, the source of the function that works a shard out, and the version of the
package. Another question never mixes with an earlier one. A package built anew from changed sources keeps its version: then
take another folder. A file is there whole or not at all, so whatever was stopped or killed loses at most the shards that were
being worked out.

`run` works shard after shard. With a client of Dask distributed, workers do, on this machine or on others; should one die,
its shards go to another. The bits are the same. A worker with another version of the package is refused.

Engines use every core of a machine. Where a machine has several workers, start them with `RAYON_NUM_THREADS=1`.
"""

from __future__ import annotations

import hashlib
import inspect
import json
import os
import tempfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from . import _boardwise
from .tables import Columns, read_table, write_table

if TYPE_CHECKING:
    from distributed import Client, Future

__all__ = ["Spec", "gather", "missing", "run", "shard"]

# Shards that a worker has waiting: enough that it never idles.
_WAITING_A_WORKER = 2

# Names of files have five digits.
_MOST = 100_000


@dataclass(frozen=True)
class Spec:
    """What a sweep works out: `work(inputs, k)` for each shard `k` from 0 on, a table as a mapping of columns by name.

    `work` is a function that stands in a file; it may use nothing but `inputs` and `k`. `inputs` holds what JSON can hold:
    give the texts of lanes and bowlers, not the names of their files, since other machines have no such files.
    """

    work: Callable[[Mapping[str, Any], int], Mapping[str, npt.ArrayLike]]
    inputs: Mapping[str, Any]
    shards: int

    def __post_init__(self) -> None:
        if not 1 <= self.shards <= _MOST:
            raise ValueError(f"shards = {self.shards}: must be 1 to {_MOST}")
        self.text()

    def text(self) -> str:
        """The spec as JSON: always the same for the same spec."""
        try:
            source = inspect.getsource(self.work)
        except (OSError, TypeError) as why:
            raise ValueError(f"work = {self.work!r}: must be a function that stands in a file") from why
        said = {
            "boardwise": version("boardwise"),
            "work": self.work.__name__,
            "source": source,
            "inputs": self.inputs,
            "shards": self.shards,
        }
        return json.dumps(said, sort_keys=True, indent=1, allow_nan=False) + "\n"

    def fingerprint(self) -> str:
        """Sixteen letters that stand for this spec and no other."""
        return hashlib.sha256(self.text().encode()).hexdigest()[:16]


def shard(spec: Spec, k: int) -> Columns:
    """The table of one shard. It depends on the spec and on `k` alone."""
    if not 0 <= k < spec.shards:
        raise ValueError(f"shard {k}: must be 0 to {spec.shards - 1}")
    return Columns(spec.work(spec.inputs, k))


def _place(spec: Spec, folder: Path) -> Path:
    return folder / spec.fingerprint()


def _file(place: Path, k: int) -> Path:
    return place / f"{k:05}.parquet"


def _keep(path: Path, text: str) -> None:
    """Writes a text beside its place, then moves it there."""
    with tempfile.NamedTemporaryFile("w", encoding="utf-8", dir=path.parent, prefix=".partial-", delete=False) as beside:
        beside.write(text)
    os.replace(beside.name, path)


def missing(spec: Spec, folder: str | Path) -> list[int]:
    """The shards that are not in the folder yet."""
    place = _place(spec, Path(folder))
    return [k for k in range(spec.shards) if not _file(place, k).exists()]


def run(
    spec: Spec,
    folder: str | Path,
    *,
    client: Client | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Columns:
    """Works out what is missing, and gives the table of all shards.

    `client` is one of Dask distributed; without one, shards are worked out one after another in this process.
    `progress(done, of)` is called after each shard. An error in a shard ends the run; what was done until then stays.
    """
    place = _place(spec, Path(folder))
    place.mkdir(parents=True, exist_ok=True)
    _keep(place / "spec.json", spec.text())
    left = missing(spec, folder)
    done = spec.shards - len(left)
    tables = _one_after_another(spec, left) if client is None else _on_workers(spec, left, client)
    for k, table in tables:
        write_table(_file(place, k), table, replace=True)
        done += 1
        if progress is not None:
            progress(done, spec.shards)
    return gather(spec, folder)


def gather(spec: Spec, folder: str | Path) -> Columns:
    """The table of all shards, in their order, which is written to `all.parquet`, too."""
    if left := missing(spec, folder):
        raise ValueError(f"{len(left)} of {spec.shards} shards are missing, the first is {left[0]}: run the sweep")
    place = _place(spec, Path(folder))
    tables = [read_table(_file(place, k)) for k in range(spec.shards)]
    if any(list(table) != list(tables[0]) for table in tables):
        raise ValueError("shards have different columns: a work function must name the same columns in the same order")
    whole = Columns({name: np.concatenate([table[name] for table in tables]) for name in tables[0]})
    write_table(place / "all.parquet", whole, replace=True)
    return whole


def _one_after_another(spec: Spec, shards: list[int]) -> Iterator[tuple[int, Columns]]:
    for k in shards:
        yield k, shard(spec, k)


def _on_worker(spec: Spec, k: int, asked_by: str) -> Columns:
    if (here := version("boardwise")) != asked_by:
        raise RuntimeError(f"this worker has boardwise {here}, and {asked_by} asks: other versions give other bits")
    return shard(spec, k)


def _on_workers(spec: Spec, shards: list[int], client: Client) -> Iterator[tuple[int, Columns]]:
    from distributed import as_completed

    own, fingerprint = version("boardwise"), spec.fingerprint()
    waiting = iter(shards)
    which: dict[str, int] = {}

    def ask() -> list[Future]:
        k = next(waiting, None)
        if k is None:
            return []
        # Whoever asks again under the same key gets the same shard: a key stands for a result.
        future = client.submit(_on_worker, spec, k, own, key=f"boardwise-{fingerprint}-{k}")
        which[future.key] = k
        return [future]

    workers = sum(client.nthreads().values()) or 1
    asked = as_completed([future for _ in range(_WAITING_A_WORKER * workers) for future in ask()])
    for future in asked:
        table = future.result()
        yield which.pop(future.key), table
        future.release()
        for more in ask():
            asked.add(more)
