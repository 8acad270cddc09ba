"""Tables as models, and as a keeper works them."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtGui import QGuiApplication
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from studbook.desk.tables import Column, RowRole, RowsModel, Table
from studbook.desk.theme import Choice, Theme


@dataclass(frozen=True)
class Hen:
    name: str
    eggs: int | None


HENS = (Hen("Bramble", 9), Hen("Øland", 10), Hen("Hazel", None), Hen("Aster", 100), Hen("=SUM(A1)", 2))
COLUMNS = (
    Column[Hen]("name", "Name", lambda hen: hen.name, width=12),
    Column[Hen](
        "eggs",
        "Eggs",
        lambda hen: "" if hen.eggs is None else str(hen.eggs),
        value=lambda hen: hen.eggs,
        right=True,
    ),
)


@pytest.fixture
def model() -> RowsModel[Hen]:
    made: RowsModel[Hen] = RowsModel(COLUMNS, identity=lambda hen: hen.name)
    made.set_rows(HENS)
    return made


@pytest.fixture
def table(qtbot: QtBot, theme: Theme, model: RowsModel[Hen]) -> Table:
    made = Table(model, "hens")
    qtbot.addWidget(made)
    made.show()
    return made


def shown(model: RowsModel[Any]) -> list[str]:
    return [model.index(row, 0).data() for row in range(model.rowCount())]


def test_the_model_keeps_the_rules_of_models(model: RowsModel[Hen], qtmodeltester: ModelTester) -> None:
    qtmodeltester.check(model)
    model.sort(1)
    model.set_filter(lambda hen: hen.eggs is not None)
    model.set_rows(HENS[:3])
    qtmodeltester.check(model)


def test_numbers_sort_as_numbers_and_the_unknown_comes_last(model: RowsModel[Hen]) -> None:
    model.sort(1, Qt.SortOrder.AscendingOrder)
    assert shown(model) == ["=SUM(A1)", "Bramble", "Øland", "Aster", "Hazel"]
    model.sort(1, Qt.SortOrder.DescendingOrder)
    assert shown(model) == ["Aster", "Øland", "Bramble", "=SUM(A1)", "Hazel"]


def test_names_sort_without_accents(model: RowsModel[Hen]) -> None:
    model.sort(0)
    assert shown(model) == ["=SUM(A1)", "Aster", "Bramble", "Hazel", "Øland"]


def test_a_filter_keeps_the_order(model: RowsModel[Hen]) -> None:
    model.sort(1)
    model.set_filter(lambda hen: (hen.eggs or 0) > 5)
    assert shown(model) == ["Bramble", "Øland", "Aster"]
    assert model.index(0, 0).data(RowRole) == HENS[0]


def test_the_selection_follows_its_rows(table: Table, model: RowsModel[Hen]) -> None:
    assert table.select("Øland")
    model.sort(1, Qt.SortOrder.DescendingOrder)
    assert table.selected == (HENS[1],)
    model.set_rows(tuple(reversed(HENS)))
    assert table.selected == (HENS[1],)


def test_copied_rows_paste_into_a_spreadsheet(qtbot: QtBot, table: Table) -> None:
    table.selectAll()
    qtbot.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[:2] == ["Name\tEggs", "Bramble\t9"]
    assert lines[-1] == "'=SUM(A1)\t2"


def test_what_is_seen_is_what_is_exported(table: Table, model: RowsModel[Hen], tmp_path: Path) -> None:
    table.horizontalHeader().moveSection(1, 0)
    model.set_filter(lambda hen: hen.eggs is not None and hen.eggs >= 10)
    table.export(tmp_path / "hens.csv")
    assert (tmp_path / "hens.csv").read_text(encoding="utf-8-sig") == "Eggs,Name\n10,Øland\n100,Aster\n"


def test_a_column_can_be_hidden_but_never_the_last(table: Table) -> None:
    name, eggs = table.column_menu().actions()
    eggs.trigger()
    assert table.shown_columns() == (0,)
    name = table.column_menu().actions()[0]
    assert not name.isEnabled()


def test_columns_come_back_as_they_were_left(
    qtbot: QtBot, table: Table, model: RowsModel[Hen], settings: QSettings
) -> None:
    table.setColumnHidden(1, True)
    table.save_state(settings)
    again = Table(model, "hens")
    qtbot.addWidget(again)
    again.restore_state(settings)
    assert again.shown_columns() == (0,)


def test_widths_of_one_text_size_are_not_kept_for_another(
    qtbot: QtBot, theme: Theme, table: Table, settings: QSettings
) -> None:
    theme.choose(Choice.LIGHT, 2.0)
    # the room is left, and what it holds is kept, when the other size is chosen already
    table.save_state(settings)
    larger = Table(RowsModel(COLUMNS, identity=lambda hen: hen.name), "hens")
    qtbot.addWidget(larger)
    wide = larger.columnWidth(0)
    assert wide > table.columnWidth(0)
    larger.restore_state(settings)
    assert larger.columnWidth(0) == wide


def test_enter_asks_for_the_row(qtbot: QtBot, table: Table) -> None:
    table.select("Hazel")
    with qtbot.waitSignal(table.row_asked) as asked:
        qtbot.keyClick(table, Qt.Key.Key_Return)
    assert asked.args == [HENS[2]]
