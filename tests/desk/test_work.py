"""Work off the GUI thread."""

import threading
from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from studbook.desk.work import Progress, Workers


@pytest.fixture
def workers(qtbot: QtBot) -> Iterator[Workers]:
    made = Workers(2, "test")
    yield made
    made.close()


def test_the_answer_comes_on_the_gui_thread_and_the_work_is_done_on_another(
    qtbot: QtBot, workers: Workers
) -> None:
    threads: list[int] = []

    def job(_progress: Progress) -> int:
        return threading.get_ident()

    def done(worked: int) -> None:
        threads.extend((worked, threading.get_ident()))

    workers.run(job, done)
    qtbot.waitUntil(lambda: bool(threads))
    worked, answered = threads
    assert answered == threading.get_ident() != worked


def test_the_newest_job_of_a_key_wins(qtbot: QtBot, workers: Workers) -> None:
    answers: list[str] = []
    go_on = threading.Event()

    def slow(_progress: Progress) -> str:
        go_on.wait(10)
        return "old"

    workers.run(slow, answers.append, key="matrix")
    workers.run(lambda _progress: "new", answers.append, key="matrix")
    qtbot.waitUntil(lambda: answers == ["new"])
    go_on.set()
    qtbot.waitUntil(lambda: not workers.is_busy)
    assert answers == ["new"]


def test_a_cancelled_job_is_told_so_and_answers_nothing(qtbot: QtBot, workers: Workers) -> None:
    answers: list[bool] = []
    begun, seen = threading.Event(), threading.Event()

    def job(progress: Progress) -> bool:
        begun.set()
        while not progress.cancelled:
            threading.Event().wait(0.001)
        seen.set()
        return True

    ticket = workers.run(job, answers.append)
    assert begun.wait(10)
    workers.cancel(ticket)
    assert seen.wait(10)
    qtbot.waitUntil(lambda: not workers.is_busy)
    assert answers == []


def test_progress_is_reported(qtbot: QtBot, workers: Workers) -> None:
    shares: list[float] = []

    def job(progress: Progress) -> None:
        progress.report(0.5)

    with qtbot.waitSignal(workers.busy_changed, check_params_cb=lambda busy: not busy):
        workers.run(job, progressed=shares.append)
    assert shares == [0.5]


def test_an_exception_comes_back_as_a_value(qtbot: QtBot, workers: Workers) -> None:
    def job(_progress: Progress) -> None:
        raise ValueError("no such row")

    told: list[Exception] = []
    workers.run(job, failed=told.append)
    qtbot.waitUntil(lambda: bool(told))
    assert str(told[0]) == "no such row"
    with qtbot.waitSignal(workers.broke) as broken:
        workers.run(job)
    assert str(broken.args[0]) == "no such row"


def test_many_quick_jobs_all_answer(qtbot: QtBot, workers: Workers) -> None:
    answers: list[int] = []
    for number in range(500):
        workers.run(lambda _progress, number=number: number, answers.append)
    qtbot.waitUntil(lambda: len(answers) == 500)
    assert sorted(answers) == list(range(500))
