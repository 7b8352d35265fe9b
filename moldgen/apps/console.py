"""How the command line speaks: data on stdout, everything else on stderr, errors as exit codes."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any, TypeAlias

import typer

from moldgen.errors import MoldError

Progress: TypeAlias = Callable[[str, float], None]

STOPPED = 128  # plus the signal's number: what a shell expects of a process that was stopped


class Stopped(KeyboardInterrupt):
    """The user or the system asked us to stop.

    Attributes
    ----------
    signal_number : int
        Which signal asked; dimensionless.
    """

    def __init__(self, signal_number: int) -> None:
        super().__init__(signal_number)
        self.signal_number = signal_number


@contextmanager
def command(title: str) -> Iterator[Progress]:
    """Run a command: yields its progress callback, turns what goes wrong into an exit code.

    While it runs, whatever a kernel prints on stdout goes to stderr.
    """
    try:
        with _stoppable(), _quiet_stdout(), _progress_bar(title) as progress:
            yield progress
    except MoldError as error:
        complain(str(error))
        raise typer.Exit(error.exit_code) from None
    except KeyboardInterrupt as error:
        number = error.signal_number if isinstance(error, Stopped) else signal.SIGINT
        complain("stopped, nothing was written")
        raise typer.Exit(STOPPED + number) from None


def answer(document: dict[str, Any], as_json: bool, show: Callable[[dict[str, Any]], None]) -> None:
    """Put a document on stdout, as JSON or as people read it."""
    if not as_json:
        show(document)
        return
    from moldgen.files.document import json_text

    sys.stdout.write(json_text(document))
    sys.stdout.flush()


def complain(sentence: str) -> None:
    """One sentence on stderr, on one line."""
    print("moldgen:", " ".join(sentence.split()), file=sys.stderr, flush=True)  # noqa: T201


@contextmanager
def _stoppable() -> Iterator[None]:
    """Ctrl-C and SIGTERM raise Stopped once; further ones are ignored while things are undone."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = {s: signal.signal(s, _stop) for s in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler or signal.SIG_DFL)


def _stop(number: int, _frame: FrameType | None) -> None:
    for each in (signal.SIGINT, signal.SIGTERM):
        signal.signal(each, signal.SIG_IGN)
    raise Stopped(number)


@contextmanager
def _quiet_stdout() -> Iterator[None]:
    """Send file descriptor 1 to stderr: the exact kernel prints there behind Python's back."""
    sys.stdout.flush()
    kept = os.dup(1)
    os.dup2(2, 1)
    try:
        yield
    finally:
        sys.stdout.flush()
        os.dup2(kept, 1)
        os.close(kept)


@contextmanager
def _progress_bar(title: str) -> Iterator[Progress]:
    """A bar on stderr where that is a terminal, else silence."""
    if not sys.stderr.isatty():
        yield lambda _label, _share: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(title, total=1.0)
        yield lambda label, share: bar.update(task, description=label, completed=share)
