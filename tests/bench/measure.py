"""One measurement in a process of its own: ``python -m tests.bench.measure WAY TASK INPUT OUTPUT REPEATS``.

Prints seconds and megabytes as JSON. The least processor time of all repeats counts, as a busy
machine can only add to it; the work's memory is what the process grew by at its largest.
"""

import json
import re
import sys
import time
import warnings
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from studbook.genetics import compiled
from studbook.genetics.gene_drop import gene_drop
from studbook.genetics.inbreeding import Diagonals, added_diagonals, inbreeding
from studbook.genetics.kinship import kinship, mean_kinship
from studbook.genetics.pedigree import Pedigree

Given = dict[str, NDArray[np.int32]]
Run = Callable[[], NDArray[np.float64]]


def main() -> None:
    """Measure what the command line asks for."""
    way, task, source, target, repeats = sys.argv[1:]
    given = dict(np.load(source))
    prepared = _sgkit(given) if way == "sgkit" else _studbook(way, task, given)
    least, peak, work, found = np.inf, 0.0, 0.0, np.zeros(0)
    for _ in range(int(repeats)):
        run = prepared()
        # from here on the peak is counted anew
        Path("/proc/self/clear_refs").write_text("5")
        before, begun = _peak_mb(), time.process_time()
        found = run()
        least = min(least, time.process_time() - begun)
        peak, work = max(peak, _peak_mb()), max(work, _peak_mb() - before)
    np.save(target, found)
    print(json.dumps({"seconds": least, "peak": peak, "work": work}))


def _peak_mb() -> float:
    # the other way to ask for it counts what the parent process held
    status = Path("/proc/self/status").read_text()
    return int(re.findall(r"VmHWM:\s*(\d+) kB", status)[0]) / 1024


def _studbook(way: str, task: str, given: Given) -> Callable[[], Run]:
    """Gives a fresh run of the task each time, with nothing kept from the one before."""
    if way == "numpy":
        compiled.LARGE = sys.maxsize
    elif task == "drop":
        # the program itself compiles for books of more birds only
        compiled.LARGE = -1
        pedigree = Pedigree.of_parents(given["sire"], given["dam"])
        gene_drop(pedigree, given["rows"], np.random.default_rng(1), 10)
    else:
        # as it is the second time: compiled, and loaded
        large, compiled.LARGE = compiled.LARGE, -1
        nobody = np.full(30, -1)
        small = Pedigree.of_parents(np.append(nobody, np.zeros(30)), np.append(nobody, np.ones(30)))
        known = added_diagonals(small, Diagonals(np.ones(30), np.ones(30)))
        whole = Diagonals(*(np.append(np.ones(30), each) for each in vars(known).values()))
        inbreeding(small)
        kinship(small, [2, 3], [40, 50], whole)
        mean_kinship(small, [2, 3], whole)
        compiled.LARGE = large

    def prepared() -> Run:
        pedigree = Pedigree.of_parents(given["sire"], given["dam"])
        if task == "inbreeding":
            return lambda: inbreeding(pedigree)
        if task == "drop":
            return lambda: gene_drop(pedigree, given["rows"], np.random.default_rng(1)).kept
        known = _diagonals(given)
        if task == "kinship":
            return lambda: kinship(pedigree, given["rows"], given["columns"], known)
        if task == "mean":
            every = np.arange(len(pedigree))
            return lambda: mean_kinship(pedigree, every, known, given["rows"])
        count = int(given["before"])
        first = Diagonals(known.self_relationship[:count], known.sampling_variance[:count])
        return lambda: added_diagonals(pedigree, first).self_relationship - 1

    return prepared


def _diagonals(given: Given) -> Diagonals:
    sire, dam, found = given["sire"], given["dam"], given["inbreeding"]
    # a quarter of each parent's own relationship is inherited from it, of an unknown parent nothing
    inherited = np.append((1 + found) / 4, 0.0)
    return Diagonals(1 + found, 1 - inherited[sire] - inherited[dam])


def _sgkit(given: Given) -> Callable[[], Run]:
    """Inbreeding by the library's own method, compiled beforehand."""
    with warnings.catch_warnings():
        # the library's own and each other's coming changes
        warnings.simplefilter("ignore")
        import sgkit
        import xarray

    def found(sire: NDArray[np.int32], dam: NDArray[np.int32]) -> NDArray[np.float64]:
        parents = np.column_stack([sire, dam]).astype(np.int64)
        dataset = xarray.Dataset({"parent": (("samples", "parents"), parents)})
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            result = sgkit.pedigree_inbreeding(dataset, allow_half_founders=True)
            return np.asarray(result.stat_pedigree_inbreeding.values)

    found(np.array([-1, -1, 0], np.int32), np.array([-1, -1, 1], np.int32))
    return lambda: lambda: found(given["sire"], given["dam"])


if __name__ == "__main__":
    main()
