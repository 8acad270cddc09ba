"""Starting the program, each time as a process of its own."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtGui import QImage

HEAVY = ("numpy", "scipy", "networkx", "matplotlib", "sqlalchemy", "typst", "pygraphviz", "openpyxl")


def studbook(*words: object, **environment: str) -> subprocess.CompletedProcess[str]:
    given = {key: value for key, value in os.environ.items() if key not in ("DISPLAY", "WAYLAND_DISPLAY")}
    return subprocess.run(
        [sys.executable, "-m", "studbook", *map(str, words)],
        env=given | environment,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def test_nothing_heavy_is_loaded_before_the_first_paint(flock_book: Path) -> None:
    script = f"""
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from studbook.desk import app, window

seen = []

class Watch(window.Window):
    def paintEvent(self, event):
        super().paintEvent(event)
        if not seen:
            seen.append([name for name in {HEAVY!r} if name in sys.modules])
            QTimer.singleShot(0, self.close)

app.Window = Watch
app.run(Path({str(flock_book)!r}))
print(seen)
"""
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, timeout=120, check=False
    )
    assert done.stdout.strip() == "[[]]", done.stderr


def test_without_a_display_one_sentence_says_so() -> None:
    done = studbook("no.db", QT_QPA_PLATFORM="")
    assert done.returncode == 2
    assert done.stderr == "There is no display to show the window on.\n"


def test_a_book_that_does_not_exist_is_told_in_one_sentence(tmp_path: Path) -> None:
    done = studbook(tmp_path / "none.db")
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "none.db" in done.stderr


def test_a_picture_of_the_window_is_painted(flock_book: Path, tmp_path: Path) -> None:
    out = tmp_path / "window.png"
    done = studbook(flock_book, "--today", "2027-02-14", "--picture", out)
    assert done.returncode == 0, done.stderr
    picture = QImage(str(out))
    assert picture.width() >= 800
    colours = {
        picture.pixel(x, y) for x in range(0, picture.width(), 7) for y in range(0, picture.height(), 7)
    }
    assert len(colours) > 10, "the picture is blank"


def test_a_picture_of_what_is_no_book_is_refused(tmp_path: Path) -> None:
    letter = tmp_path / "letter.db"
    letter.write_text("Dear Ann")
    done = studbook(letter, "--picture", tmp_path / "window.png")
    assert done.returncode == 2
    assert "letter.db" in done.stderr
    assert not (tmp_path / "window.png").exists()


@pytest.mark.parametrize("words", [("check",), ("--version",)])
def test_a_first_word_that_is_a_command_opens_no_window(words: tuple[str, ...]) -> None:
    done = studbook(*words, QT_QPA_PLATFORM="")
    assert "display" not in done.stderr
