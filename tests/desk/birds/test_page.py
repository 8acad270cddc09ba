"""The bird page: edited in place, its parents, marks, notes, photos, line and life."""

import struct
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QColor, QDropEvent, QImage
from PySide6.QtWidgets import QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from studbook.book.records import Snapshot
from studbook.dates import PartialDate
from studbook.desk.app import settle
from studbook.desk.rooms.birds.page.life import Lane, life_of
from studbook.desk.rooms.birds.page.marks import TakeOffDialog
from studbook.desk.rooms.birds.page.notes import NoteDialog
from studbook.desk.rooms.birds.page.parents import ParentsDialog
from studbook.desk.rooms.birds.page.photos import NotAPicture, read_picture
from studbook.desk.rooms.birds.room import BirdsRoom
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.window import Window
from tests.desk.birds.conftest import named, opened, press, type_into
from tests.desk.conftest import Answers

Changes = Callable[[Callable[[], object]], None]
Book = Callable[[], Snapshot]


def open_page(window: Window, room: BirdsRoom, name: str) -> None:
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    room.show_bird(named(snapshot, name).id)
    settle(window)


def text_of(room: BirdsRoom, name: str) -> str:
    found = room.findChild(QLabel, name)
    assert found is not None
    return found.text()


def test_the_head_says_who_it_is_and_where(window: Window, room: BirdsRoom) -> None:
    open_page(window, room, "Hazel")
    assert text_of(room, "bird_name") == "Hazel"
    assert text_of(room, "bird_is") == "hen, 2 years, Andalusian"
    assert text_of(room, "bird_where") == "in the flock"
    room.show_bird(named(room.context.record.snapshot, "Tansy").id)  # type: ignore[arg-type]
    assert text_of(room, "bird_where") == "sold 1 Sep 2025"


def test_a_fact_is_edited_where_it_stands_and_taken_back(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book, changes: Changes
) -> None:
    open_page(window, room, "Hazel")
    fact = room.page.facts.facts["colour"]
    fact.value.setFocus()
    qtbot.keyClick(fact.value, Qt.Key.Key_Return)
    editor = room.findChild(QWidget, "colour")
    assert editor.hasFocus()
    qtbot.keyClicks(editor, "blue")
    changes(lambda: qtbot.keyClick(editor, Qt.Key.Key_Return))
    assert named(book(), "Hazel").colour == "blue"
    assert fact.value.text() == "blue"
    assert "blue" in text_of(room, "bird_is")
    changes(window.undo)
    assert named(book(), "Hazel").colour == ""
    assert fact.value.text() == "–"


def test_escape_leaves_a_fact_as_it_was(qtbot: QtBot, window: Window, room: BirdsRoom, book: Book) -> None:
    open_page(window, room, "Hazel")
    qtbot.mouseClick(room.page.facts.facts["name"].value, Qt.MouseButton.LeftButton)
    editor = room.findChild(QWidget, "name")
    qtbot.keyClicks(editor, "Ivy")
    qtbot.keyClick(editor, Qt.Key.Key_Escape)
    settle(window)
    assert named(book(), "Hazel").name == "Hazel"
    assert room.page.facts.facts["name"].value.text() == "Hazel"
    assert room.page.isVisible()


def test_a_hatch_date_the_record_refuses_stays_in_the_editor_with_the_reason(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book, changes: Changes
) -> None:
    open_page(window, room, "Severn")
    fact = room.page.facts.facts["hatched"]
    fact.edit()
    editor = room.findChild(QWidget, "hatched")
    type_into(qtbot, editor, "1 Jun 2024")
    qtbot.keyClick(editor.focusProxy(), Qt.Key.Key_Return)
    settle(window)
    assert "Hazel" in fact.problem_text or "W24-01" in fact.problem_text
    assert fact.is_edited
    assert named(book(), "Severn").hatched == PartialDate(2022, 4, 3)
    type_into(qtbot, editor, "2021")
    changes(lambda: qtbot.keyClick(editor.focusProxy(), Qt.Key.Key_Return))
    assert named(book(), "Severn").hatched == PartialDate(2021)


def test_a_new_yard_is_added_with_the_bird_that_came_from_it(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book, changes: Changes
) -> None:
    open_page(window, room, "Sloe")
    press(qtbot, room, "all_fields")
    fact = room.page.facts.facts["origin"]
    fact.edit()
    editor = room.findChild(QWidget, "origin").focusProxy()
    qtbot.keyClicks(editor, "Alder Yard")
    changes(lambda: qtbot.keyClick(editor, Qt.Key.Key_Return))
    origin = book().origin(named(book(), "Sloe").origin)
    assert origin is not None
    assert origin.name == "Alder Yard"
    changes(window.undo)
    assert book().origins == ()


def test_parents_in_doubt_are_two_pairs_with_shares(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book, changes: Changes
) -> None:
    open_page(window, room, "Teasel")
    press(qtbot, room, "edit_parents")
    dialog = opened(window, ParentsDialog)
    dialog.parents.findChild(QWidget, "dam").focusProxy().setFocus()
    qtbot.keyClicks(dialog.parents.findChild(QWidget, "dam").focusProxy(), "sloe")
    press(qtbot, dialog, "another_pair")
    second = dialog.parents.findChild(QWidget, "sire_2").focusProxy()
    qtbot.keyClicks(second, "severn")
    qtbot.keyClick(second, Qt.Key.Key_Tab)
    type_into(qtbot, dialog.parents.findChild(QWidget, "share_1"), "70")
    press(qtbot, dialog, "save")
    settle(window)
    assert "must add up to 100" in dialog.form.fields["parents"].problem_text
    type_into(qtbot, dialog.parents.findChild(QWidget, "share_2"), "30")
    changes(lambda: press(qtbot, dialog, "save"))
    pairs = named(book(), "Teasel").pairs
    found = {book().bird(pair.sire).name: pair.weight for pair in pairs if pair.sire is not None}
    assert found == pytest.approx({"Dart": 0.7, "Severn": 0.3})
    assert {book().bird(pair.dam).name for pair in pairs if pair.dam is not None} == {"Sloe"}
    shown = [each.bird.name for each in room.page.parents.findChildren(BirdLink) if not each.isHidden()]
    assert shown == ["Dart", "Sloe", "Severn", "Sloe"]


def test_a_hen_as_sire_is_not_offered(qtbot: QtBot, window: Window, room: BirdsRoom) -> None:
    open_page(window, room, "Teasel")
    press(qtbot, room, "edit_parents")
    dialog = opened(window, ParentsDialog)
    dialog.parents.set_pairs(())
    sire = dialog.parents.findChild(QWidget, "sire").focusProxy()
    qtbot.keyClicks(sire, "sloe")
    qtbot.keyClick(sire, Qt.Key.Key_Tab)
    assert dialog.parents.pairs == ()
    press(qtbot, dialog, "cancel")


def test_inbreeding_is_said_by_convention_and_cautious_with_its_reasons(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book, changes: Changes
) -> None:
    from studbook.book.changes import SetParents
    from studbook.book.records import Pair

    pair = Pair(named(book(), "Dart").id, named(book(), "Hazel").id)
    changes(lambda: window.context.record.apply(SetParents(named(book(), "Teasel").id, (pair,))))
    open_page(window, room, "Teasel")
    # half sibs by one sire who is not inbred: F = (1/2)^3 = 12.5 % (Wright 1922)
    assert text_of(room, "inbreeding").startswith("F 12.5 % by convention")
    assert "2.0 generations known, 5 ancestors" in text_of(room, "inbreeding_basis")
    press(qtbot, room, "why_inbreeding")
    reasons = room.findChild(QWidget, "inbreeding_reasons")
    assert reasons.isVisible()
    assert [each.bird.name for each in reasons.findChildren(BirdLink)] == ["Severn"]
    words = [each.text() for each in reasons.findChildren(QLabel)]
    assert "12.50 %" in words
    assert "W24-02 Dart ← W22-01 Severn → W24-01 Hazel" in words


def test_the_line_leads_to_every_ancestor(qtbot: QtBot, window: Window, room: BirdsRoom, book: Book) -> None:
    open_page(window, room, "Hazel")
    drawing = room.page.line.drawing
    assert drawing is not None
    assert {book().bird(box.bird).name for box in drawing.boxes} == {"Hazel", "Severn", "Bramble"}
    line = room.page.line
    assert line.go_to(named(book(), "Bramble").id)
    line.setFocus()
    qtbot.keyClick(line, Qt.Key.Key_Return)
    settle(window)
    assert text_of(room, "bird_name") == "Bramble"


def test_offspring_lead_to_their_pages(qtbot: QtBot, window: Window, room: BirdsRoom) -> None:
    open_page(window, room, "Severn")
    links = {each.bird.name: each for each in room.page.offspring.findChildren(BirdLink)}
    assert set(links) == {"Hazel", "Dart", "Tansy"}
    links["Tansy"].setFocus()
    qtbot.keyClick(links["Tansy"], Qt.Key.Key_Return)
    settle(window)
    assert text_of(room, "bird_name") == "Tansy"


def test_the_life_line_tells_what_happened_in_time(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book
) -> None:
    events = life_of(book(), named(book(), "Severn"))
    assert [(str(event.on), event.lane) for event in events] == [
        ("2022-04-03", Lane.LIFE),
        ("2023-05-02", Lane.CHICKS),
        ("2024-05-02", Lane.CHICKS),
    ]
    open_page(window, room, "Severn")
    room.page.life.setFocus()
    qtbot.keyClick(room.page.life, Qt.Key.Key_End)
    assert text_of(room, "life_words") == "2 May 2024: 2 chicks hatched"


def test_notes_are_added_corrected_and_removed(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book, changes: Changes
) -> None:
    open_page(window, room, "Dart")
    press(qtbot, room, "add_note")
    dialog = opened(window, NoteDialog)
    type_into(qtbot, dialog.text, "First crow.")
    changes(lambda: press(qtbot, dialog, "save"))
    assert [note.text for note in book().notes] == ["First crow."]
    assert "First crow." in [each.text() for each in room.page.notes.findChildren(QLabel)]
    press(qtbot, room, "edit_note_0")
    dialog = opened(window, NoteDialog)
    type_into(qtbot, dialog.text, "Crows hoarsely.")
    changes(lambda: press(qtbot, dialog, "save"))
    assert [note.text for note in book().notes] == ["Crows hoarsely."]
    changes(lambda: press(qtbot, room, "remove_note_0"))
    assert book().notes == ()


def test_a_ring_is_taken_off_and_stays_in_the_history(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book, changes: Changes
) -> None:
    open_page(window, room, "Dart")
    press(qtbot, room, "take_off_0")
    dialog = opened(window, TakeOffDialog)
    type_into(qtbot, dialog.until, "1 Feb 2027")
    changes(lambda: press(qtbot, dialog, "save"))
    mark = named(book(), "Dart").marks[0]
    assert (mark.code, mark.until) == ("W24-02", PartialDate(2027, 2, 1))
    assert any("until 1 Feb 2027" in each.text() for each in room.page.marks.findChildren(QLabel))


def turned_jpeg(path: Path) -> Path:
    """A picture 60 × 40, red at its left, with the EXIF note that the camera was held upright (6)."""
    image = QImage(60, 40, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    for x in range(20):
        for y in range(40):
            image.setPixelColor(x, y, QColor("red"))
    image.save(str(path), "JPEG", 95)  # type: ignore[call-overload]
    content = path.read_bytes()
    # TIFF header, one entry: tag 0x0112 orientation, SHORT, one value, 6 (EXIF 2.3)
    tiff = b"MM\x00*\x00\x00\x00\x08\x00\x01" + struct.pack(">HHIHH", 0x0112, 3, 1, 6, 0) + b"\x00" * 4
    note = b"Exif\x00\x00" + tiff
    path.write_bytes(content[:2] + b"\xff\xe1" + struct.pack(">H", len(note) + 2) + note + content[2:])
    return path


def test_a_photo_is_kept_upright_as_the_camera_was_held(
    qtbot: QtBot,
    window: Window,
    room: BirdsRoom,
    book: Book,
    changes: Changes,
    answers: Answers,
    tmp_path: Path,
) -> None:
    open_page(window, room, "Dart")
    answers.files.append(turned_jpeg(tmp_path / "dart.jpg"))
    changes(lambda: qtbot.mouseClick(room.page.head.picture, Qt.MouseButton.LeftButton))
    photo = book().photos[0]
    assert (photo.width, photo.height) == (40, 60)
    shown = room.page.head.picture.image
    assert shown is not None
    assert shown.height() > shown.width()
    # turned a quarter clockwise, what was at the left is above
    top = shown.pixelColor(shown.width() // 2, shown.height() // 10)
    assert top.red() > 200
    assert top.green() < 80
    changes(lambda: press(qtbot, room, "remove_photo"))
    assert book().photos == ()


def test_a_picture_dropped_on_the_page_is_taken(
    window: Window, room: BirdsRoom, book: Book, changes: Changes, tmp_path: Path
) -> None:
    open_page(window, room, "Dart")
    dropped = QMimeData()
    dropped.setUrls([QUrl.fromLocalFile(str(turned_jpeg(tmp_path / "dart.jpg")))])
    event = QDropEvent(
        QPointF(9, 9),
        Qt.DropAction.CopyAction,
        dropped,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    changes(lambda: room.page.dropEvent(event))
    assert len(book().photos) == 1


def test_what_is_no_picture_is_refused_in_words(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book, answers: Answers, tmp_path: Path
) -> None:
    open_page(window, room, "Dart")
    wrong = tmp_path / "dart.jpg"
    wrong.write_bytes(b"cock-a-doodle-doo")
    answers.files.append(wrong)
    qtbot.mouseClick(room.page.head.picture, Qt.MouseButton.LeftButton)
    settle(window)
    assert "no picture" in text_of(room, "page_problem")
    assert book().photos == ()


def test_a_large_picture_is_shrunk(tmp_path: Path) -> None:
    path = tmp_path / "large.png"
    image = QImage(3200, 1000, QImage.Format.Format_RGB32)
    image.fill(QColor("grey"))
    image.save(str(path))
    picture = read_picture(path.read_bytes())
    assert (picture.width, picture.height) == (1600, 500)
    assert QImage.fromData(picture.thumbnail).width() == 320
    with pytest.raises(NotAPicture):
        read_picture(path.read_bytes()[:40])


def test_the_page_asks_for_tree_pairs_and_hatch_of_its_bird(
    qtbot: QtBot, window: Window, room: BirdsRoom, book: Book
) -> None:
    open_page(window, room, "Hazel")
    hazel = named(book(), "Hazel").id
    for signal, name in ((room.tree_asked, "ask_tree"), (room.pairing_asked, "ask_pairing")):
        with qtbot.waitSignal(signal) as asked:
            press(qtbot, room, name)
        assert asked.args == [hazel]
        settle(window)
        assert window.room is not room
        assert window.go("birds") is room
    press(qtbot, room, "ask_hatch")
    assert room.findChild(QPushButton, "save_hatch").isVisible()
    assert room.findChild(QWidget, "hatch_form").change().pairs[0].dam == hazel
