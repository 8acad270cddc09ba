"""Graphviz in a process of its own: a long or crashing layout costs a sentence, not the program."""

import json
import multiprocessing
import os
from functools import cache
from multiprocessing.connection import Connection
from threading import Lock
from typing import Any

from studbook.drawing.errors import DrawingRefused
from studbook.words import _

PATIENCE_SECONDS = 10.0


class LayoutWorker:
    """A warm process that lays out DOT text; it is started again whenever it is found dead.

    `patience_seconds` is how long one layout may take before the process is killed.
    """

    def __init__(self, patience_seconds: float = PATIENCE_SECONDS) -> None:
        self._patience = patience_seconds
        self._lock = Lock()
        self._process: multiprocessing.process.BaseProcess | None = None
        self._connection: Connection | None = None

    @property
    def process_id(self) -> int | None:
        """The process at work, None before the first layout and after `close`."""
        return self._process.pid if self._process else None

    def lay_out(self, dot: str) -> dict[str, Any]:
        """The layout of `dot` as Graphviz writes it in its ``json0`` form.

        Raises
        ------
        DrawingRefused
            If Graphviz takes too long, refuses the graph or dies over it.
        """
        with self._lock:
            # one more try: the process may have been ended from outside since the last layout
            answer = self._ask(dot) or self._ask(dot)
        if not answer:
            raise DrawingRefused(_("The family tree could not be laid out. Choose fewer generations."))
        layout: dict[str, Any] = json.loads(answer)
        return layout

    def _ask(self, dot: str) -> bytes:
        """The answer, empty when the process died."""
        connection = self._open()
        try:
            connection.send(dot)
            if not connection.poll(self._patience):
                self._end()
                raise DrawingRefused(_("The family tree took too long to lay out. Choose fewer generations."))
            return connection.recv_bytes()
        except (EOFError, OSError):
            self._end()
            return b""

    def _open(self) -> Connection:
        if self._process and self._connection and self._process.is_alive():
            return self._connection
        self._end()
        spawn = multiprocessing.get_context("spawn")
        self._connection, theirs = spawn.Pipe()
        self._process = spawn.Process(target=_serve, args=(theirs,), name="studbook layout", daemon=True)
        self._process.start()
        theirs.close()
        return self._connection

    def _end(self) -> None:
        if self._connection:
            self._connection.close()
        if self._process:
            self._process.kill()
            self._process.join()
            self._process.close()
        self._process = self._connection = None

    def close(self) -> None:
        """End the process; the next layout starts another."""
        with self._lock:
            self._end()


@cache
def warm_worker() -> LayoutWorker:
    """The worker every drawing of this process shares; it ends with the program."""
    return LayoutWorker()


def _serve(connection: Connection) -> None:
    """Answer DOT texts with layouts until the other end closes; an empty answer is a refusal."""
    # Graphviz and its fontconfig warn on the error stream, which belongs to the program
    os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
    import pygraphviz  # only ever loaded in this process

    while True:
        try:
            dot = connection.recv()
        except EOFError:
            return
        try:
            answer = pygraphviz.AGraph(string=dot).draw(format="json0", prog="dot")
        except (pygraphviz.DotError, ValueError):
            answer = b""
        connection.send_bytes(answer)
