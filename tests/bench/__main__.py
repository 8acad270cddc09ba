"""How fast relatedness is, against the machine's limit and a general-purpose library, in one run.

    python -m tests.bench [--quick] [--large PYTHON] [--compare PYTHON]

Prints a Markdown table. Every measurement is a process of its own. "C" is `indirect.c`, compiled
here with portable flags; all results are compared with its own.
"""

import argparse
import json
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.inbreeding import inbreeding
from studbook.genetics.pedigree import Pedigree
from tests.bench.shapes import SHAPES, bred

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
# what a hatch of this many flocks of the million adds is about 500 birds
FLOCKS_ADDED = 6


@dataclass(frozen=True)
class Measurement:
    """Seconds of processor time, the most memory the process held, and what the work added to it, in MB."""

    seconds: float
    peak: float
    work: float


@dataclass(frozen=True)
class Job:
    """One piece of work on one shape; `repeats` of the fast ways."""

    title: str
    task: str
    shape: str
    repeats: int


JOBS = (
    Job("F, {shape}", "inbreeding", "flock", 300),
    Job("F, {shape}", "inbreeding", "deep", 5),
    Job("F, {shape}", "inbreeding", "hundred", 5),
    Job("F, {shape}", "inbreeding", "million", 3),
    Job("kinship 500 × 500 in a {shape}", "kinship", "million", 7),
    Job("mean kinship of all with the living, {shape}", "mean", "million", 7),
    Job("adding 500 hatchlings to a {shape}", "adding", "million", 7),
    Job("10,000 gene drops, {shape}", "drop", "flock", 5),
)


def main() -> None:
    """Measure everything and print it."""
    asked = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__.split("\n")[0])
    asked.add_argument("--quick", action="store_true", help="a tenth of the size in place of the million")
    asked.add_argument("--large", metavar="PYTHON", help="an interpreter that has the extra `large`")
    asked.add_argument("--compare", metavar="PYTHON", help="an interpreter that has the extra `compare`")
    options = asked.parse_args()

    interpreters = {"numpy": sys.executable}
    for way, python, module in (
        ("numba", options.large or sys.executable, "numba"),
        ("sgkit", options.compare or sys.executable, "sgkit"),
    ):
        if subprocess.run([python, "-W", "ignore", "-c", f"import {module}"], capture_output=True).returncode:
            print(f"{module} cannot be imported by {python}: not measured.\n")
        else:
            interpreters[way] = python

    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(Path(folder), interpreters)
        print("| work | way | seconds | × C | peak MB | of it for the work | largest difference |")
        print("|---|---|---|---|---|---|---|")
        for job in _quick() if options.quick else JOBS:
            for line in bench.lines(job):
                print(line, flush=True)


def _quick() -> list[Job]:
    """The same on a society of a tenth of the size, each once."""
    shapes = {job: job.shape.replace("million", "hundred") for job in JOBS}
    return list({(job.task, shape): replace(job, shape=shape) for job, shape in shapes.items()}.values())


class Bench:
    """The inputs, the C program and the interpreters of one run."""

    def __init__(self, folder: Path, interpreters: dict[str, str]) -> None:
        self._folder = folder
        self._interpreters = interpreters
        self._indirect: Path | None = None
        self._full_run: dict[tuple[str, str], float] = {}
        compiler = shutil.which("gcc")
        if compiler is None:
            print("gcc is not installed: no C program to compare with.\n")
        else:
            self._indirect = folder / "indirect"
            command = [compiler, "-O2", "-std=gnu11", "-o", str(self._indirect), str(HERE / "indirect.c")]
            subprocess.run(command, check=True)

    def lines(self, job: Job) -> list[str]:
        """The lines of the table for one job."""
        shape = job.shape
        given = self._given(job.task, shape)
        np.savez(self._folder / "given.npz", **given)
        title = job.title.format(shape=SHAPES[shape].title)
        lines, limit, expected = [], None, None
        if job.task == "adding":
            expected = given["inbreeding"][int(given["before"]) :]
        elif self._indirect is not None:
            limit = self._in_c(job.task, given, job.repeats)
            expected = np.fromfile(self._folder / "found.bin")
            lines.append(_line(title, "C", limit, "1", ""))
        for way, python in self._interpreters.items():
            if not _does(way, job.task, shape):
                continue
            long = job.task == "inbreeding" and (way == "sgkit" or shape == "million")
            measured = self._in_python(way, python, job.task, 1 if long and way != "numba" else job.repeats)
            found = np.load(self._folder / "found.npy").ravel()
            expected = found if expected is None else expected
            if job.task == "inbreeding":
                self._full_run[way, shape] = measured.seconds
            ratio = "" if limit is None else f"{measured.seconds / limit.seconds:.2g}"
            if job.task == "adding":
                ratio = f"{measured.seconds / self._full_run[way, shape]:.1%} of a full run"
            difference = f"{np.abs(found - expected).max(initial=0):.0e}"
            lines.append(_line(title, way, measured, ratio, difference))
        return lines

    def _given(self, task: str, shape: str) -> dict[str, NDArray[Any]]:
        birds = bred(SHAPES[shape], FLOCKS_ADDED if task == "adding" else 0)
        living = np.flatnonzero(birds.season >= birds.season.max() - 1).astype(np.int32)
        given: dict[str, NDArray[Any]] = {"sire": birds.sire, "dam": birds.dam}
        if task == "inbreeding":
            return given
        if task == "drop":
            return {**given, "rows": np.arange(len(birds.sire), dtype=np.int32)}
        given["inbreeding"] = self._inbreeding(given)
        if task == "adding":
            return {**given, "before": np.array(SHAPES[shape].birds)}
        if task == "mean":
            return {**given, "rows": living}
        chosen = np.random.default_rng(7).permutation(living)
        return {**given, "rows": chosen[:500], "columns": chosen[500:1000]}

    def _inbreeding(self, given: dict[str, NDArray[Any]]) -> NDArray[np.float64]:
        if self._indirect is None:
            return inbreeding(Pedigree.of_parents(given["sire"], given["dam"]))
        self._in_c("inbreeding", given, 1)
        return np.fromfile(self._folder / "found.bin")

    def _in_c(self, task: str, given: dict[str, NDArray[Any]], repeats: int) -> Measurement:
        nobody = np.zeros(0, dtype=np.int32)
        rows, columns = given.get("rows", nobody), given.get("columns", nobody)
        source, target = self._folder / "given.bin", self._folder / "found.bin"
        with source.open("wb") as file:
            np.array([len(given["sire"]), len(rows), len(columns)], dtype=np.int32).tofile(file)
            for array in (given["sire"], given["dam"], rows, columns, given.get("inbreeding", nobody)):
                array.tofile(file)
        printed = _run([str(self._indirect), task, str(repeats), str(source), str(target)])
        return Measurement(*(float(number) for number in printed.split()))

    def _in_python(self, way: str, python: str, task: str, repeats: int) -> Measurement:
        source, target = self._folder / "given.npz", self._folder / "found.npy"
        command = [python, "-m", "tests.bench.measure", way, task, str(source), str(target), str(repeats)]
        return Measurement(**json.loads(_run(command)))


def _does(way: str, task: str, shape: str) -> bool:
    """Whether a way has anything of its own for a piece of work."""
    if way == "sgkit":
        return task == "inbreeding"
    return way == "numpy" or shape != "flock" or task == "drop"


def _run(command: list[str]) -> str:
    return subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True).stdout


def _line(title: str, way: str, measured: Measurement, ratio: str, difference: str) -> str:
    seconds = f"{measured.seconds:.2g}" if measured.seconds < 1 else f"{measured.seconds:.1f}"
    return f"| {title} | {way} | {seconds} | {ratio} | {measured.peak:.0f} | {measured.work:.0f} | {difference} |"


if __name__ == "__main__":
    main()
