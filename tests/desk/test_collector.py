"""The cycle collector waits while numbers are worked out, and always runs again."""

import gc
import threading

from PySide6.QtTest import QSignalSpy
from pytestqt.qtbot import QtBot

from studbook.desk.work import Progress, Workers


def test_no_pass_interrupts_a_job_and_the_collector_runs_again_after_the_last(qtbot: QtBot) -> None:
    workers = Workers(2, "numbers")
    seen: list[bool] = []
    gate = threading.Event()

    def long(_progress: Progress) -> None:
        assert gate.wait(10)
        seen.append(gc.isenabled())

    def short(_progress: Progress) -> None:
        seen.append(gc.isenabled())

    workers.run(long)
    with qtbot.waitSignal(workers.busy_changed, check_params_cb=lambda busy: not busy):
        workers.run(short, lambda _nothing: gate.set())
    assert seen == [False, False]
    assert gc.isenabled()
    workers.close()


def test_a_cancelled_or_closed_job_holds_nothing_back(qtbot: QtBot) -> None:
    workers = Workers(1, "numbers")
    gate = threading.Event()
    workers.run(lambda _progress: gate.wait(10))
    ended = QSignalSpy(workers.busy_changed)
    workers.cancel(workers.run(lambda _progress: None))
    gate.set()
    qtbot.waitUntil(lambda: ended.count() > 0)
    assert gc.isenabled()
    workers.run(lambda _progress: None)
    workers.close()
    assert gc.isenabled()
