"""How long the best pens take: 12 cocks, 120 hens, 6 pens, on flocks bred by chance, until optimal or for 10 seconds.

    python -m tests.bench.plan [--seeds N] [--seconds S]

Prints a Markdown table: wall time and processor time until a gap of 1 % and until the end, and the gap at the end. It
measures and judges nothing: no test rests on it. The birds are those of the last two hatches of a flock of a hundred
chicks a season, bred for 12 seasons from three cocks and eight hens taken on each season, a fifth of them from two
other flocks; eggs wanted, where they differ, are drawn from ½, 1, 1, 1, 2 and 3.
"""

import argparse
import time
from dataclasses import dataclass, field

import numpy as np

from studbook.planning.best_pens.solving import Standing, best_pens
from tests.planning.best_pens.problems import large_problem

COCKS, HENS, PENS = 12, 120, 6


@dataclass
class Heard:
    """When a gap of 1 % was reached, in seconds of wall and of processor time."""

    begun: float = field(default_factory=time.process_time)
    near: tuple[float, float] | None = None

    def __call__(self, standing: Standing) -> None:
        if self.near is None and standing.objective and standing.bound >= 0.99 * standing.objective:
            self.near = standing.seconds, time.process_time() - self.begun


def cases(seed: int) -> dict[str, dict[str, object]]:
    """The wishes measured."""
    rng = np.random.default_rng(seed)
    eggs = {f"H{hen}": float(wanted) for hen, wanted in enumerate(rng.choice([0.5, 1, 1, 1, 2, 3], HENS))}
    half = {"hens_placed": HENS // 2, "most_hens": 12}
    return {
        "weight ½": {},
        "weight 0": {"weight": 0.0},
        "weight 1": {"weight": 1.0},
        "full pens of 20": {"most_hens": 20},
        "15 to 30 hens a pen": {"least_hens": 15, "most_hens": 30},
        "eggs differ": {"eggs": eggs},
        "two hens apart, two together, a cock's share": {
            "never": (("H1", "H2"), ("C1", "H7")),
            "together": (("H20", "H21"),),
            "most_share": {"C0": 0.05},
        },
        "half of the hens, to be chosen": half,
    }


def main() -> None:
    """Measure and print."""
    asked = argparse.ArgumentParser(prog="python -m tests.bench.plan", description=__doc__.split("\n")[0])
    asked.add_argument("--seeds", type=int, default=5, help="how many flocks")
    asked.add_argument("--seconds", type=float, default=10.0, help="the time for each plan")
    options = asked.parse_args()
    print(
        "| wishes | flocks | proven | worst gap | to a gap of 1 %: s, processor s | to the end: s, processor s |"
    )
    print("|---|---|---|---|---|---|")
    for name in cases(0):
        rows = [measured(name, seed, options.seconds) for seed in range(1, options.seeds + 1)]
        proven = sum(row[0] for row in rows)
        cells = [max(column) for column in zip(*(row[1:] for row in rows), strict=True)]
        print(
            f"| {name} | {len(rows)} | {proven} | {cells[0]:.2%} | {cells[1]:.1f}, {cells[2]:.1f} "
            f"| {cells[3]:.1f}, {cells[4]:.1f} |",
            flush=True,
        )


def measured(name: str, seed: int, seconds: float) -> tuple[bool, float, float, float, float, float]:
    """Whether it was proven, the gap, wall and processor time to 1 % (inf when not reached) and to the end."""
    problem = large_problem(COCKS, HENS, seed, pens=PENS, **{"most_hens": 25, **cases(seed)[name]})
    heard, begun = Heard(), time.perf_counter()
    plan = best_pens(problem, seconds, told=heard)
    end = time.perf_counter() - begun, time.process_time() - heard.begun
    return plan.proof.value == "optimal", plan.gap, *(heard.near or (np.inf, np.inf)), *end


if __name__ == "__main__":
    main()
