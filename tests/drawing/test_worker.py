"""The layout process: it answers, survives being ended, and gives up in words."""

import os
import signal

import pytest

from studbook.drawing.errors import DrawingRefused
from studbook.drawing.worker import LayoutWorker

DOT = 'graph { rankdir=RL b0 [label="" width=1 height=1 fixedsize=true] b1 [label=""] b0 -- b1 }'


def test_it_stays_warm_and_answers_again_after_being_killed() -> None:
    worker = LayoutWorker()
    assert worker.process_id is None
    first = worker.lay_out(DOT)
    assert [node["name"] for node in first["objects"]] == ["b0", "b1"]
    warm = worker.process_id
    assert warm is not None
    assert worker.lay_out(DOT) == first
    assert worker.process_id == warm
    os.kill(warm, signal.SIGTERM)
    assert worker.lay_out(DOT) == first
    assert worker.process_id != warm
    worker.close()
    assert worker.process_id is None


def test_a_layout_that_takes_too_long_costs_a_sentence() -> None:
    worker = LayoutWorker(patience_seconds=0)
    with pytest.raises(DrawingRefused, match=r"took too long to lay out\. Choose fewer generations\."):
        worker.lay_out(DOT)
    assert worker.process_id is None


def test_what_graphviz_refuses_costs_a_sentence_and_leaves_it_at_work() -> None:
    worker = LayoutWorker()
    with pytest.raises(DrawingRefused, match="could not be laid out"):
        worker.lay_out("graph {{{ nothing")
    assert worker.lay_out(DOT)["objects"]
    worker.close()
