"""The command line: the same functions as the window, one sentence for each failure, fixed exit codes."""

import subprocess
import sys
from pathlib import Path

import pytest

from studbook.commands import COMMANDS
from studbook.commands.main import ALL
from tests.commands.conftest import Command


def test_every_command_has_help_that_says_what_it_does(command: Command) -> None:
    assert tuple(entry.name for entry in ALL) == COMMANDS
    listed = command("--help")
    assert listed.code == 0
    for entry in ALL:
        assert entry.name in listed.out
        told = command(entry.name, "--help")
        assert (told.code, entry.summary in told.out.replace("\n", " ")) == (0, True)


def test_a_new_book_is_made_once(command: Command, tmp_path: Path) -> None:
    path = tmp_path / "flock.db"
    assert command("new", path, "--keeper", "Ada Thorn", "--breed", "Andalusian").code == 0
    again = command("new", path)
    assert (again.code, again.err) == (2, "flock.db exists already: choose another name.\n")


def test_a_list_is_imported_exported_and_imported_again(command: Command, tmp_path: Path) -> None:
    path, listed = tmp_path / "flock.db", tmp_path / "list.csv"
    listed.write_text(
        "mark;name;sex;hatched;sire;dam\nW25-01;;cock;2025-04-12;W23-01;W23-02\n"
        "W23-01;Severn;cock;2023;;\nW23-02;Sorrel;hen;2023;;\n",
        encoding="utf-8-sig",
    )
    command("new", path)
    dry = command("import", path, listed, "--dry-run")
    assert (dry.code, "Would add 3 birds" in dry.out) == (0, True)
    assert command("inbreeding", path, "--json").document == {"birds": []}
    assert command("import", path, listed, "--json").document["added"] == 3
    exported = tmp_path / "out.csv"
    assert command("export", path, exported).code == 0
    again = command("import", path, exported, "--json")
    assert (again.code, again.document["added"], again.document["updated"]) == (0, 0, 0)


def test_a_refused_list_names_each_line_and_exits_1(command: Command, flock: Path, tmp_path: Path) -> None:
    listed = tmp_path / "list.csv"
    listed.write_text("mark,sire\nW26-50,W23-02\nW26-51,W99-99\n")
    refused = command("import", flock, listed, "--json")
    assert refused.code == 1
    assert refused.document["added"] == 0
    assert [
        problem["line"] for problem in refused.document["problems"] if problem["severity"] == "error"
    ] == [2, 3]
    assert len(command("inbreeding", flock, "--json").document["birds"]) == 10


def test_an_ambiguous_date_is_a_problem_with_its_remedy(
    command: Command, flock: Path, tmp_path: Path
) -> None:
    listed = tmp_path / "list.csv"
    listed.write_text("mark,hatched\nW25-50,04/05/2025\n")
    asked = command("import", flock, listed)
    assert (asked.code, "--date-order" in asked.err) == (1, True)
    assert command("import", flock, listed, "--date-order", "DMY").code == 0
    exported = tmp_path / "out.csv"
    command("export", flock, exported)
    assert "2025-05-04" in exported.read_text(encoding="utf-8-sig")


def test_inbreeding_of_a_chick_of_full_sibs_is_a_quarter(
    command: Command, flock: Path, tmp_path: Path
) -> None:
    # Falconer & Mackay 1996, ch. 5: full sibs 1/4
    listed = tmp_path / "list.csv"
    listed.write_text("mark,hatched,sire,dam,sex\nX1,2027-02-01,W26-01,W26-02,hen\n")
    assert command("import", flock, listed, "--today", "2027-02-14").code == 0
    answer = command("inbreeding", flock, "X1", "--json")
    (chick,) = answer.document["birds"]
    assert (chick["mark"], chick["inbreeding"], chick["known_ancestors"]) == ("X1", 0.25, 4)
    assert chick["generations"] == 2.0
    assert "25.00 %" in command("inbreeding", flock, "X1").out


def test_kinship_and_its_explanation_agree(command: Command, flock: Path) -> None:
    kinship = command("kinship", flock, "--cocks", "W26-01,Severn", "--hens", "W26-02,Sorrel", "--json")
    assert kinship.document == {
        "cocks": ["W26-01", "W23-01"],
        "hens": ["W26-02", "W23-02"],
        "kinship": [[0.25, 0.25], [0.25, 0.0]],
    }
    explained = command("explain", flock, "W26-01", "W26-02", "--json").document
    assert explained["kinship"] == 0.25
    assert {row["mark"]: row["contribution"] for row in explained["ancestors"]} == {
        "W23-01": 0.125,
        "W23-02": 0.125,
    }
    assert sorted(path for row in explained["ancestors"] for path in row["paths"]) == [
        ["W26-01", "W23-01", "W26-02"],
        ["W26-01", "W23-02", "W26-02"],
    ]


def test_a_hen_among_the_cocks_and_a_bird_nobody_knows_are_named(command: Command, flock: Path) -> None:
    wrong = command("kinship", flock, "--cocks", "Sorrel", "--hens", "W26-02")
    assert (wrong.code, "W23-02 is a hen" in wrong.err) == (2, True)
    unknown = command("explain", flock, "W99", "Sorrel")
    assert (unknown.code, unknown.err.count("\n"), "W99" in unknown.err) == (2, 1, True)


def test_a_sound_book_checks_well_and_a_broken_one_does_not(command: Command, flock: Path) -> None:
    assert command("check", flock, "--json", "--today", "2027-02-14").document == {"ok": True, "problems": []}
    import sqlite3

    with sqlite3.connect(flock) as connection:
        connection.execute("UPDATE bird SET sex = 'hen' WHERE name = 'Severn'")
    connection.close()
    broken = command("check", flock, "--json", "--today", "2027-02-14")
    assert broken.code == 1
    assert broken.document["ok"] is False
    assert {problem["kind"] for problem in broken.document["problems"]} == {"sex"}


@pytest.mark.parametrize("suffix", ["svg", "pdf", "png"])
def test_a_tree_is_drawn_to_a_file(command: Command, flock: Path, tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"tree.{suffix}"
    assert command("tree", flock, "W26-01", "-o", path, "--up", "2").code == 0
    content = path.read_bytes()
    start = {"svg": b"<", "pdf": b"%PDF", "png": b"\x89PNG"}[suffix]
    assert content.startswith(start)
    if suffix == "svg":
        assert all(name in content for name in (b"W26-01", b"Severn", b"Sorrel"))


def test_a_tree_of_an_unknown_kind_of_file_is_refused(command: Command, flock: Path, tmp_path: Path) -> None:
    refused = command("tree", flock, "W26-01", "-o", tmp_path / "tree.doc")
    assert (refused.code, ".svg, .pdf or .png" in refused.err) == (2, True)


def test_a_certificate_is_written_and_recorded(command: Command, flock: Path, tmp_path: Path) -> None:
    from studbook.book.opening import open_book

    path = tmp_path / "certificate.pdf"
    words = ("certificate", flock, "W26-01", "--owner", "Ida Fell", "--today", "2027-02-14")
    assert command(*words, "-o", path).code == 0
    assert path.read_bytes().startswith(b"%PDF")
    assert command(*words, "-o", path, "--generations", "3", "--paper", "Letter").code == 0
    with open_book(flock, read_only=True) as book:
        issued = book.snapshot().certificates
    assert [(found.number, found.owner, found.generations, found.paper) for found in issued] == [
        ("2027-001", "Ida Fell", 4, "A4"),
        ("2027-002", "Ida Fell", 3, "Letter"),
    ]


def test_a_certificate_that_cannot_be_written_is_not_recorded(
    command: Command, flock: Path, tmp_path: Path
) -> None:
    from studbook.book.opening import open_book

    refused = command("certificate", flock, "W26-01", "-o", tmp_path / "nowhere" / "certificate.pdf")
    assert (refused.code, refused.err.count("\n")) == (2, 1)
    with open_book(flock, read_only=True) as book:
        assert book.snapshot().certificates == ()


@pytest.mark.parametrize("name", [name for name in COMMANDS if name not in ("new", "kinship")])
def test_a_file_that_is_no_book_exits_2_in_one_sentence(command: Command, tmp_path: Path, name: str) -> None:
    path = tmp_path / "holiday.db"
    path.write_text("not a book")
    more = {
        "import": [tmp_path / "list.csv"],
        "export": [tmp_path / "out.csv"],
        "explain": ["A", "B"],
        "tree": ["A", "-o", tmp_path / "tree.svg"],
        "certificate": ["A", "-o", tmp_path / "certificate.pdf"],
        "plan": ["--pens", 2, "--hens-per-cock", 6],
        "sheet": ["egg-tally", "-o", tmp_path / "tally.pdf"],
    }
    said = command(name, path, *more.get(name, []))
    assert (said.code, said.out, said.err) == (2, "", "holiday.db is not a studbook.\n")


def test_the_program_runs_as_a_module_and_without_a_screen_says_so(tmp_path: Path) -> None:
    path = tmp_path / "flock.db"
    made = subprocess.run(
        [sys.executable, "-m", "studbook", "new", path], capture_output=True, text=True, check=True
    )
    assert "Made the empty book" in made.stdout
    import os

    bare = {
        name: value
        for name, value in os.environ.items()
        if name not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    }
    window = subprocess.run(
        [sys.executable, "-m", "studbook", path], capture_output=True, text=True, env=bare, check=False
    )
    assert (window.returncode, window.stdout, window.stderr.count("\n")) == (2, "", 1)
