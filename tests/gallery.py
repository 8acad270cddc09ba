"""Pictures of every room and every paper, made without a screen from the demo flock, to be looked at.

``python -m tests.gallery OUT [--dark] [--width 1280 --height 800] [--text 1.0] [--only pairing]``
"""

import argparse
import os
import tempfile
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication, QWidget

from studbook import places
from studbook.book.naming import find_bird
from studbook.book.opening import SAMPLE_TODAY, create_book
from studbook.book.records import BirdId, BookDetails, Sex, Snapshot
from studbook.book.relatedness import Relatedness
from studbook.desk.app import build_window, settle
from studbook.desk.theme import Choice
from studbook.desk.window import Window
from studbook.drawing.export import write_drawing
from studbook.drawing.tree import draw_pair, draw_tree
from studbook.drawing.worker import warm_worker
from studbook.papers.certificate import CertificateOptions, certificate_content, preview_certificate

Shot = tuple[str, Callable[[Window], QWidget]]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--dark", action="store_true")
    parser.add_argument("--width", type=int, default=1280)
    parser.add_argument("--height", type=int, default=800)
    parser.add_argument("--text", type=float, default=1.0, help="size of the text, 2.0 for 200 %%")
    parser.add_argument(
        "--only", default="", help="only the rooms whose pictures are named so at the beginning"
    )
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as home:
        for name in ("DATA", "CONFIG", "CACHE"):
            os.environ[f"XDG_{name}_HOME"] = home
        shots = [shot for shot in rooms() if shot[0].startswith(options.only)]
        picture_window(options, places.demo_flock(), SAMPLE_TODAY, shots)
        if options.only:
            warm_worker().close()
            return
        empty = Path(home) / "empty.studbook"
        create_book(empty, BookDetails(id="", keeper="Hester Fenwyn", yard="Withybrook")).close()
        picture_window(
            options,
            empty,
            SAMPLE_TODAY,
            [(f"empty-{key}", go(key)) for key in ("yard", "birds", "pairing", "bloodlines")],
        )
        picture_window(options, None, SAMPLE_TODAY, [("first-start", lambda window: window)])
        if not options.dark:
            picture_papers(options.out, places.data_folder() / places.demo_flock().name)
    warm_worker().close()


def go(key: str) -> Callable[[Window], QWidget]:
    """The step that goes to a room."""

    def enter(window: Window) -> QWidget:
        window.go(key)
        return window

    return enter


def rooms() -> Iterator[Shot]:
    """Every picture of the window on the demo flock: its name and how to get there."""
    yield "yard", go("yard")
    yield "birds", go("birds")
    yield "bird-page", lambda window: on_bird(window, "birds", living(window, Sex.HEN))
    yield "bird-page-cock", lambda window: on_bird(window, "birds", living(window, Sex.COCK))
    yield "hatch", register_hatch
    yield "certificate", certificate_of_hen
    yield "pens", go("pens")
    yield "pens-past", past_pens
    yield "pens-whose", whose_egg
    yield "pairing", go("pairing")
    yield "pairing-pair", open_pair
    for name in ("who", "pens", "chicks", "rotation", "ahead", "back"):
        yield f"pairing-{name}", pairing_page(name)
    yield "pairing-planned", best_pens
    yield "bloodlines", go("bloodlines")
    yield "bloodlines-founder", bloodlines_page("bloodlines_founders")
    yield "bloodlines-living", bloodlines_page("bloodlines_living")
    yield "bloodlines-calling", bloodlines_page("bloodlines_calling")
    yield "sittings", sittings_page
    yield "sittings-reference", incubation_table
    yield "care", go("care")
    yield "care-trials", trials_page
    yield "tree", lambda window: on_bird(window, "tree", living(window, Sex.HEN))
    for name in ("details", "people", "lists", "practice", "problems", "journal"):
        yield f"book-{name}", book_tab(name)


def snapshot_of(window: Window) -> Snapshot:
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    return snapshot


def living(window: Window, sex: Sex) -> BirdId:
    """The youngest living adult chicken of a sex."""
    flock = [bird for bird in snapshot_of(window).living if bird.species == "chicken" and bird.sex is sex]
    return max((bird for bird in flock if str(bird.hatched) < "2026"), key=lambda bird: str(bird.hatched)).id


def on_bird(window: Window, room: str, bird: BirdId) -> QWidget:
    window.go(room).show_bird(bird)
    return window


def register_hatch(window: Window) -> QWidget:
    window.go("birds").register_hatch(living(window, Sex.HEN))  # type: ignore[attr-defined]
    settle(window)
    return dialog_or(window)


def certificate_of_hen(window: Window) -> QWidget:
    window.go("birds").show_certificate(living(window, Sex.HEN))  # type: ignore[attr-defined]
    settle(window)
    return dialog_or(window)


def past_pens(window: Window) -> QWidget:
    """The board of a day in the breeding season."""
    room = window.go("pens")
    settle(window)
    room.show_day(date(2026, 4, 20))  # type: ignore[attr-defined]
    return window


def whose_egg(window: Window) -> QWidget:
    """The question whose an egg is."""
    room = window.go("pens")
    room.show_day(SAMPLE_TODAY)  # type: ignore[attr-defined]
    room.ask_whose()  # type: ignore[attr-defined]
    return window


def open_pair(window: Window) -> QWidget:
    room = window.go("pairing")
    settle(window)
    room.pairs.open_pair((living(window, Sex.COCK), living(window, Sex.HEN)))  # type: ignore[attr-defined]
    return window


def pairing_page(name: str) -> Callable[[Window], QWidget]:
    def show(window: Window) -> QWidget:
        room = window.go("pairing")
        room.turn_to(name)  # type: ignore[attr-defined]
        return window

    return show


def best_pens(window: Window) -> QWidget:
    """The pens that suit best, planned by the press of the button."""
    pairing_page("pens")(window)
    settle(window)
    room = window.go("pairing")
    room.pens.plan()  # type: ignore[attr-defined]
    settle(window)
    return window


def bloodlines_page(name: str) -> Callable[[Window], QWidget]:
    def show(window: Window) -> QWidget:
        from PySide6.QtWidgets import QTabWidget

        room = window.go("bloodlines")
        settle(window)
        tabs = room.findChild(QTabWidget)
        page = room.findChild(QWidget, name)
        assert tabs is not None
        assert page is not None
        tabs.setCurrentWidget(page)
        return window

    return show


def sittings_page(window: Window) -> QWidget:
    room = window.go("eggs")
    settle(window)
    room.tabs.setCurrentWidget(room.sittings)  # type: ignore[attr-defined]
    return window


def trials_page(window: Window) -> QWidget:
    room = window.go("care")
    settle(window)
    room.tabs.setCurrentWidget(room.trials)  # type: ignore[attr-defined]
    return window


def incubation_table(window: Window) -> QWidget:
    sittings_page(window)
    settle(window)
    window.go("eggs").sittings.show_reference()  # type: ignore[attr-defined]
    return window


def book_tab(name: str) -> Callable[[Window], QWidget]:
    def show(window: Window) -> QWidget:
        from PySide6.QtWidgets import QTabBar

        bar = window.go("book").findChild(QTabBar)
        assert bar is not None
        places_of = {"details": 0, "people": 1, "lists": 3, "practice": 4, "problems": 5, "journal": 6}
        bar.setCurrentIndex(places_of[name])
        return window

    return show


def dialog_or(window: Window) -> QWidget:
    """The dialog that stands before the window, else the window."""
    return QApplication.activeModalWidget() or window


def picture_window(options: argparse.Namespace, book: Path | None, today: date, shots: list[Shot]) -> None:
    """Picture the window on a book, each shot in its turn."""
    window = build_window(book, today, dark=options.dark)
    window.context.theme.choose(Choice.DARK if options.dark else Choice.LIGHT, options.text)
    window.resize(options.width, options.height)
    suffix = "-dark" if options.dark else ""
    for name, step in shots:
        shown = step(window)
        settle(window)
        settle(window)
        shown.grab().save(str(options.out / f"{name}{suffix}.png"))
        if shown is not window:
            shown.close()
    window.close()
    # a window that is closed but not gone would still follow the look of the next one
    window.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def picture_papers(out: Path, book: Path) -> None:
    """Certificates and trees of one hen, as the breeder would print them."""
    from studbook.book.opening import open_book

    with open_book(book, read_only=True) as opened:
        snapshot = opened.snapshot()
        relatedness = Relatedness(snapshot)
        chickens = [bird for bird in snapshot.living if bird.species == "chicken"]
        hen = max((bird for bird in chickens if bird.sex is Sex.HEN), key=lambda bird: bird.mark)
        cock = max((bird for bird in chickens if bird.sex is Sex.COCK), key=lambda bird: bird.mark)
        for generations, paper in ((3, "A4"), (4, "A4"), (5, "Letter")):
            chosen = CertificateOptions(generations=generations, paper=paper)
            content = certificate_content(
                snapshot, relatedness, hen.id, chosen, SAMPLE_TODAY, "2027-001", "Ida Fell"
            )
            photo = opened.photo(content.photo) if content.photo else None
            page = preview_certificate(content, chosen, photo, "png")
            (out / f"paper-certificate-{generations}-{paper}.png").write_bytes(page)
    figures = relatedness.inbreeding
    for name, drawing in (
        ("ancestors", draw_tree(snapshot, hen.id, up=4, inbreeding=figures)),
        ("descendants", draw_tree(snapshot, find_bird(snapshot, "Severn"), up=0, down=2, inbreeding=figures)),
        ("pair", draw_pair(snapshot, cock.id, hen.id, up=3, inbreeding=figures)),
    ):
        write_drawing(drawing, out / f"paper-tree-{name}.png", on=SAMPLE_TODAY)


if __name__ == "__main__":
    main()
