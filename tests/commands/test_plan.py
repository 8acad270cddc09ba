"""``studbook plan`` through a real book and a real command line, on a flock whose answers are known by hand."""

from pathlib import Path

import pytest

from studbook.book.changes import Enter
from studbook.book.husbandry.choosing_rows import Ban
from studbook.book.ids import BanId
from studbook.book.naming import find_bird
from studbook.book.opening import open_book
from tests.commands.conftest import Command
from tests.flock import TODAY

# two families of two founders each: the best pens cross them
FAMILIES = (
    "mark,sex,hatched,sire,dam,status\n"
    "A1,cock,2023-04-01,,,died\nA2,hen,2023-04-01,,,died\nB1,cock,2023-04-01,,,died\nB2,hen,2023-04-01,,,died\n"
    "A3,cock,2025-04-01,A1,A2,\nA4,hen,2025-04-01,A1,A2,\nA5,hen,2025-04-01,A1,A2,\n"
    "B3,cock,2025-04-01,B1,B2,\nB4,hen,2025-04-01,B1,B2,\nB5,hen,2025-04-01,B1,B2,\n"
)
KEYS = {"pens", "reserve", "mean_inbreeding", "mean_kinship_next", "objective", "bound", "gap", "status"}


@pytest.fixture
def families(command: Command, tmp_path: Path) -> Path:
    path, listed = tmp_path / "families.db", tmp_path / "families.csv"
    listed.write_text(FAMILIES)
    assert command("new", path).code == 0
    assert command("import", path, listed).code == 0
    return path


def plan(command: Command, book: Path, *words: object) -> object:
    return command("plan", book, "--today", TODAY, *words)


def test_full_sibs_are_parted_and_the_families_crossed(command: Command, families: Path) -> None:
    """f of full sibs of unrelated parents is ¼; each bird with itself ½ (Wright 1922, American Naturalist 56)."""
    told = plan(command, families, "--pens", 2, "--hens-per-cock", 2, "--json")
    assert told.code == 0
    found = told.document
    assert set(found) >= KEYS
    assert {pen["cock"]: set(pen["hens"]) for pen in found["pens"]} == {
        "A3": {"B4", "B5"},
        "B3": {"A4", "A5"},
    }
    assert [pen["mean_inbreeding"] for pen in found["pens"]] == [0, 0]
    assert found["mean_inbreeding"] == 0
    # cocks give ¼ each, hens ⅛ each: Σ c² ½ + 2 Σ c c ¼ of each family of three
    family = (1 / 16 + 2 / 64) / 2 + 2 * (2 / 32 + 1 / 64) / 4
    assert found["mean_kinship_next"] == pytest.approx(2 * family)
    assert found["objective"] == pytest.approx(found["mean_kinship_next"] / 2)
    assert found["bound"] <= found["objective"]
    assert found["gap"] == pytest.approx(0, abs=1e-4)
    assert found["status"] == "optimal"


def test_a_cock_is_kept_in_reserve_for_the_line_the_pen_does_not_hold(
    command: Command, families: Path
) -> None:
    words = ("--pens", 2, "--hens-per-cock", 4, "--hens", "A4,A5", "--reserve", 1)
    told = plan(command, families, *words, "--json")
    assert [pen["cock"] for pen in told.document["pens"]] == ["B3"]
    assert told.document["reserve"] == ["A3"]
    said = plan(command, families, *words).out
    assert "Kept in reserve, for the lines that the pens hold least of: A3." in said.splitlines()


def test_the_text_names_the_birds_the_figures_and_the_proof(command: Command, families: Path) -> None:
    told = plan(command, families, "--pens", 2, "--hens-per-cock", 2)
    assert told.out.splitlines() == [
        "A3 with 2 hens, mean F 0.00 %:",
        "    B4, B5",
        "B3 with 2 hens, mean F 0.00 %:",
        "    A4, A5",
        "",
        "Mean F of the chicks: 0.00 %",
        "Mean kinship of the next generation: 17.19 %",
        "No better plan exists within these wishes: it is proven.",
    ]


def test_only_the_birds_named_are_placed(command: Command, families: Path) -> None:
    words = (
        "--pens",
        1,
        "--hens-per-cock",
        3,
        "--cocks",
        "A3",
        "--hens",
        "A4,B4,A4",
        "--weight",
        1,
        "--json",
    )
    found = plan(command, families, *words).document
    (pen,) = found["pens"]
    assert (pen["cock"], set(pen["hens"])) == ("A3", {"A4", "B4"})
    assert found["mean_inbreeding"] == pytest.approx(0.125)
    assert found["objective"] == pytest.approx(0.125)


def test_wishes_that_collide_are_named_and_exit_1(command: Command, families: Path) -> None:
    words = ("--pens", 1, "--hens-per-cock", 4, "--max-f", 0.1, "--json")
    told = plan(command, families, *words)
    assert (told.code, told.out) == (1, "")
    assert told.err.splitlines() == [
        "These wishes collide: all 4 hens are placed; at most 1 pen; no F over 10.00 % for A4 and B4.",
        "Any one of these would help: placing 2 hens; 2 pens; a limit of 25.00 %.",
    ]


def test_pairs_the_keeper_does_not_want_are_kept_apart_and_told(command: Command, families: Path) -> None:
    with open_book(families, today=TODAY) as book:
        snapshot = book.snapshot()
        cock, hen = find_bird(snapshot, "A3"), find_bird(snapshot, "B4")
        book.apply(Enter((Ban(BanId(""), cock, hen, TODAY, "he fights her"),)))
    told = plan(command, families, "--pens", 2, "--hens-per-cock", 4)
    assert told.code == 0
    of_a3 = told.out.splitlines()[1]
    assert "B4" not in of_a3
    assert "Kept apart, as the book has it that you do not want the pair: A3 and B4." in told.out


def test_cautious_figures_take_an_unknown_parent_for_the_flock(command: Command, families: Path) -> None:
    words = ("--pens", 2, "--hens-per-cock", 3, "--json")
    by_convention = plan(command, families, *words).document
    cautious = plan(command, families, *words, "--unknown", "flock").document
    assert cautious["mean_kinship_next"] >= by_convention["mean_kinship_next"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--pens", "0", "--hens-per-cock", "3"), "0 is not a number such as 3"),
        (("--pens", "2", "--hens-per-cock", "x"), "x is not a number such as 3"),
        (("--pens", "2", "--hens-per-cock", "3", "--weight", "2"), "2 is not a share from 0 to 1"),
        (("--pens", "2", "--hens-per-cock", "3", "--max-f", "nan"), "nan is not a share from 0 to 1"),
        (("--pens", "2", "--hens-per-cock", "3", "--seconds", "0"), "0 is not a number of seconds"),
        (
            ("--pens", "2", "--hens-per-cock", "3", "--cocks", "A4"),
            "A4 is a hen: name it with the other option.",
        ),
        (
            ("--pens", "2", "--hens-per-cock", "3", "--hens", "Z9"),
            "No bird of the book has the mark or name Z9",
        ),
        (("--pens", "2"), "--hens-per-cock"),
    ],
)
def test_a_wrong_call_is_refused_in_a_sentence(
    command: Command, families: Path, words: tuple[str, ...], said: str
) -> None:
    told = plan(command, families, *words)
    assert (told.code, told.out) == (2, "")
    assert said in told.err


def test_an_empty_book_has_no_cock_to_choose(command: Command, tmp_path: Path) -> None:
    path = tmp_path / "empty.db"
    assert command("new", path).code == 0
    told = plan(command, path, "--pens", 2, "--hens-per-cock", 5)
    assert (told.code, told.err) == (1, "There is no cock to choose: name one, or add one to the book.\n")
