"""A folder that appears whole or not at all.

Everything is written into a hidden folder beside the target and renamed into place at the end;
until then, and after any error or Ctrl-C, the target is as it was.
"""

from __future__ import annotations

import os
import shutil
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeAlias

from moldgen.errors import FileError

Owns: TypeAlias = Callable[[Path], bool]


def check_target(target: Path, owns: Owns, force: bool = False, keep: Sequence[Path] = ()) -> None:
    """Refuse a target folder that must not be replaced.

    Parameters
    ----------
    target : Path
    owns : callable
        Whether a folder that is there already is one of ours.
    force : bool
        Replace a folder that is not ours.
    keep : sequence of Path
        Files that must not be lost: the part, the job file. The folder one works in is always kept.

    Raises
    ------
    FileError
        If the target is a file, is not ours, holds something that must be kept, or lies where
        nothing may be written.
    """
    target = target.resolve()
    above = next((folder for folder in target.parents if folder.exists()), target)
    if not (above.is_dir() and os.access(above, os.W_OK)):
        raise FileError(f"{target} could not be written: {above} is no folder open to writing")
    if not target.exists():
        return
    if not target.is_dir():
        raise FileError(f"{target} is a file, not a folder: choose another --out")
    for kept in (Path.cwd(), Path(os.environ.get("HOME", "/")), *keep):
        if kept.resolve().is_relative_to(target):
            raise FileError(
                f"{target} holds {kept.resolve()}, which replacing the folder would delete:"
                " choose another --out"
            )
    if not (force or owns(target)):
        raise FileError(
            f"{target} exists and was not written by moldgen: choose another --out or add --force"
        )


@contextmanager
def fresh_folder(
    target: Path, owns: Owns, force: bool = False, keep: Sequence[Path] = ()
) -> Iterator[Path]:
    """An empty folder to fill, renamed to `target` when the block ends without an error.

    Raises
    ------
    FileError
        If the target must not be replaced (see `check_target`) or the disk refuses.
    """
    target = target.resolve()
    check_target(target, owns, force, keep)
    try:
        with (
            _parents(target.parent),
            TemporaryDirectory(
                prefix=f".{target.name}-", dir=target.parent, ignore_cleanup_errors=True
            ) as room,
        ):
            fresh = Path(room) / "fresh"
            fresh.mkdir()
            yield fresh
            aside = Path(room) / "aside"
            with _undisturbed():
                _swap(fresh, target, aside)
                shutil.rmtree(aside, ignore_errors=True)
    except OSError as error:
        raise FileError(f"{target} could not be written: {error}") from error


@contextmanager
def _parents(folder: Path) -> Iterator[None]:
    """The folders above the target, taken away again if they were made for nothing."""
    made = [f for f in (folder, *folder.parents) if not f.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    try:
        yield
    finally:
        for empty in (f for f in made if not any(f.iterdir())):
            empty.rmdir()


def _swap(fresh: Path, target: Path, aside: Path) -> None:
    """Put the fresh folder in the target's place, or leave the target where it was."""
    if not target.exists():
        fresh.rename(target)
        return
    target.rename(aside)
    try:
        fresh.rename(target)
    except OSError:
        aside.rename(target)
        raise


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Ctrl-C and SIGTERM come too late while the finished folder changes names."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = {s: signal.signal(s, signal.SIG_IGN) for s in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler or signal.SIG_DFL)
