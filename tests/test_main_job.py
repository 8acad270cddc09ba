"""The main job from the command line: a list never seen before becomes numbers, a tree and a certificate."""

import itertools
import re
import shutil
import subprocess
from fractions import Fraction
from pathlib import Path

import pytest

from studbook.drawing.worker import warm_worker
from tests.commands.conftest import Command, command
from tests.lists import (
    ListedBird,
    bred_flock,
    shuffled,
    with_duplicate_mark,
    with_hen_as_sire,
    with_loop,
    write_list,
)

__all__ = ["command"]


def kinships(birds: list[ListedBird]) -> dict[tuple[str, str], Fraction]:
    """The kinship of every two birds by the tabular method, in exact fractions.

    Emik & Terrill 1949 (Journal of Heredity 40:51-55): f(x, y) is half f(sire of x, y) plus half f(dam of x, y)
    for the younger bird x; f(x, x) = (1 + f(sire, dam)) / 2.
    """
    table: dict[tuple[str, str], Fraction] = {}

    def kinship(one: str, other: str) -> Fraction:
        return table[one, other] if one and other else Fraction(0)

    for place, bird in enumerate(birds):
        for older in birds[:place]:
            value = (kinship(bird.sire, older.mark) + kinship(bird.dam, older.mark)) / 2
            table[bird.mark, older.mark] = table[older.mark, bird.mark] = value
        table[bird.mark, bird.mark] = (1 + kinship(bird.sire, bird.dam)) / 2
    return table


@pytest.fixture(scope="module")
def flock() -> list[ListedBird]:
    return bred_flock(400, seed=20270214)


@pytest.fixture
def book(command: Command, flock: list[ListedBird], tmp_path: Path) -> Path:
    path = tmp_path / "flock.db"
    command("new", path, "--keeper", "Ada Thorn", "--breed", "Andalusian")
    done = command("import", path, write_list(tmp_path / "list.csv", shuffled(flock, 7)), "--json")
    assert (done.code, done.document["added"], done.document["problems"]) == (0, 400, [])
    return path


def test_every_f_and_every_kinship_agree_with_an_exact_calculation(
    command: Command, book: Path, flock: list[ListedBird]
) -> None:
    exact = kinships(flock)
    inbreeding = {
        bird["mark"]: bird["inbreeding"] for bird in command("inbreeding", book, "--json").document["birds"]
    }
    assert len(inbreeding) == 400
    for bird in flock:
        assert abs(inbreeding[bird.mark] - float(2 * exact[bird.mark, bird.mark] - 1)) < 1e-12
    assert max(inbreeding.values()) > 0.05, "the flock is inbred enough to tell"
    cocks = [bird.mark for bird in flock if bird.sex == "cock"]
    hens = [bird.mark for bird in flock if bird.sex == "hen"]
    answer = command("kinship", book, "--cocks", ",".join(cocks), "--hens", ",".join(hens), "--json").document
    assert (answer["cocks"], answer["hens"]) == (cocks, hens)
    for row, cock in zip(answer["kinship"], cocks, strict=True):
        for value, hen in zip(row, hens, strict=True):
            assert abs(value - float(exact[cock, hen])) < 1e-12


def test_the_explanation_of_a_pair_adds_up_to_its_kinship(
    command: Command, book: Path, flock: list[ListedBird]
) -> None:
    cock = [bird for bird in flock if bird.sex == "cock"][-1].mark
    for hen in [bird.mark for bird in flock if bird.sex == "hen"][-5:]:
        document = command("explain", book, cock, hen, "--json").document
        assert abs(sum(row["contribution"] for row in document["ancestors"]) - document["kinship"]) < 1e-12
        for row in document["ancestors"]:
            for path in row["paths"]:
                assert (path[0], path[-1], row["mark"] in path) == (cock, hen, True)
                assert len(set(path)) == len(path), "no bird is used twice on a path"


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="poppler-utils is not installed")
def test_a_certificate_and_a_tree_name_the_true_ancestors(
    command: Command, book: Path, flock: list[ListedBird], tmp_path: Path
) -> None:
    by_mark = {bird.mark: bird for bird in flock}
    bird = flock[-1]

    def ancestors(mark: str, generations: int) -> set[str]:
        if not generations:
            return set()
        parents = {parent for parent in (by_mark[mark].sire, by_mark[mark].dam) if parent}
        return parents.union(*(ancestors(parent, generations - 1) for parent in parents))

    expected = ancestors(bird.mark, 4)
    certificate, tree = tmp_path / "certificate.pdf", tmp_path / "tree.svg"
    assert command("certificate", book, bird.mark, "-o", certificate, "--generations", "4").code == 0
    assert command("tree", book, bird.mark, "-o", tree, "--up", "4").code == 0
    printed = subprocess.run(
        ["pdftotext", "-layout", certificate, "-"], capture_output=True, text=True, check=True
    )
    for text in (printed.stdout, tree.read_text(encoding="utf-8")):
        found = set(re.findall(r"\b[FW]\d\d-\d+\b", text)) - {bird.mark}
        assert found == expected
        assert bird.name in text
    warm_worker().close()


def test_planted_faults_are_refused_with_one_sentence_each(
    command: Command, flock: list[ListedBird], tmp_path: Path
) -> None:
    path = tmp_path / "flock.db"
    command("new", path)
    faults = (with_loop, with_hen_as_sire, with_duplicate_mark)
    for number, chosen in enumerate(
        itertools.chain.from_iterable(itertools.combinations(faults, size) for size in (1, 2, 3))
    ):
        birds = flock
        for plant in chosen:
            birds = plant(birds)
        listed = write_list(tmp_path / f"list{number}.csv", shuffled(birds, number))
        before = path.read_bytes()
        refused = command("import", path, listed, "--json")
        errors = [problem for problem in refused.document["problems"] if problem["severity"] == "error"]
        assert (refused.code, refused.document["added"]) == (1, 0)
        assert len(errors) == len(chosen), [problem["message"] for problem in errors]
        assert path.read_bytes() == before
