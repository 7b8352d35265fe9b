"""A folder appears whole or not at all, and nobody else's folder is lost."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from moldgen.errors import FileError, PlanError
from moldgen.files.folder import check_target, fresh_folder


def ours(folder: Path) -> bool:
    return (folder / "mark").exists()


def put(target: Path, text: str = "new", **wishes) -> None:
    with fresh_folder(target, ours, **wishes) as folder:
        (folder / "mark").write_text(text)


def tree(folder: Path) -> dict[str, str]:
    """Every file below a folder with its text, and every empty folder."""
    return {
        p.relative_to(folder).as_posix(): p.read_text() if p.is_file() else "/"
        for p in sorted(folder.rglob("*"))
        if p.is_file() or not any(p.iterdir())
    }


def test_a_new_folder_appears(tmp_path: Path) -> None:
    put(tmp_path / "set")
    assert tree(tmp_path) == {"set/mark": "new"}


def test_nothing_shows_before_the_end(tmp_path: Path) -> None:
    with fresh_folder(tmp_path / "set", ours) as folder:
        (folder / "mark").write_text("new")
        assert not (tmp_path / "set").exists()
        assert folder.stat().st_dev == tmp_path.stat().st_dev


def test_parents_are_made(tmp_path: Path) -> None:
    put(tmp_path / "a" / "b" / "set")
    assert tree(tmp_path) == {"a/b/set/mark": "new"}


def test_our_own_folder_is_replaced_as_a_whole(tmp_path: Path) -> None:
    put(tmp_path / "set", "old")
    (tmp_path / "set" / "left-over").write_text("old")
    put(tmp_path / "set")
    assert tree(tmp_path) == {"set/mark": "new"}


@pytest.mark.parametrize("content", [{}, {"letter": "dear"}], ids=["empty", "full"])
def test_a_foreign_folder_is_kept(tmp_path: Path, content: dict[str, str]) -> None:
    (tmp_path / "set").mkdir()
    for name, text in content.items():
        (tmp_path / "set" / name).write_text(text)
    before = tree(tmp_path)
    with pytest.raises(FileError, match="was not written by moldgen"):
        put(tmp_path / "set")
    assert tree(tmp_path) == before


def test_force_replaces_a_foreign_folder(tmp_path: Path) -> None:
    (tmp_path / "set").mkdir()
    (tmp_path / "set" / "letter").write_text("dear")
    put(tmp_path / "set", force=True)
    assert tree(tmp_path) == {"set/mark": "new"}


def test_a_file_is_never_replaced(tmp_path: Path) -> None:
    (tmp_path / "set").write_text("dear")
    with pytest.raises(FileError, match="is a file, not a folder"):
        put(tmp_path / "set", force=True)
    assert tree(tmp_path) == {"set": "dear"}


def test_a_folder_that_holds_the_part_is_kept(tmp_path: Path) -> None:
    put(tmp_path / "set", "old")
    part = tmp_path / "set" / "knob.stl"
    part.write_text("part")
    with pytest.raises(FileError, match=r"holds .*knob\.stl"):
        put(tmp_path / "set", force=True, keep=[part])
    assert tree(tmp_path) == {"set/mark": "old", "set/knob.stl": "part"}


def test_the_folder_one_works_in_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "set" / "inner").mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "set" / "inner")
    for target in (Path(), Path(".."), tmp_path, Path(tmp_path.anchor)):
        with pytest.raises(FileError, match="holds"):
            check_target(target, ours, force=True)


@pytest.mark.parametrize("error", [PlanError, KeyboardInterrupt, RuntimeError])
@pytest.mark.parametrize("old", [True, False], ids=["replacing", "new"])
def test_an_error_leaves_everything_as_it_was(
    tmp_path: Path, error: type[BaseException], old: bool
) -> None:
    if old:
        put(tmp_path / "a" / "set", "old")
    before = tree(tmp_path)
    with pytest.raises(error), fresh_folder(tmp_path / "a" / "set", ours) as folder:
        (folder / "mark").write_text("half")
        raise error
    assert tree(tmp_path) == before


def test_a_refused_rename_puts_the_old_folder_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(tmp_path / "set", "old")
    rename = Path.rename

    def refuse(self: Path, target: Path) -> Path:
        if self.name == "fresh":
            raise OSError(28, "No space left on device")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refuse)
    with pytest.raises(FileError, match=r"could not be written.*No space left"):
        put(tmp_path / "set")
    assert tree(tmp_path) == {"set/mark": "old"}


def test_a_disk_that_refuses_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(FileError, match="could not be written"):
        put(tmp_path / "file" / "set")
    assert tree(tmp_path) == {"file": ""}


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM], ids=["Ctrl-C", "SIGTERM"])
def test_a_stop_leaves_nothing_behind(tmp_path: Path, number: int) -> None:
    code = """
import sys, time
from pathlib import Path
from moldgen.apps.console import command
from moldgen.files.folder import fresh_folder
import typer
app = typer.Typer()
@app.command()
def run():
    with command("x"), fresh_folder(Path(sys.argv[1]), lambda _: True) as folder:
        (folder / "half").write_text("half")
        Path(sys.argv[1]).with_name("ready").write_text("")
        time.sleep(60)
app(sys.argv[2:])
"""
    put(tmp_path / "set", "old")
    child = subprocess.Popen(
        [sys.executable, "-c", code, str(tmp_path / "set")], stderr=subprocess.PIPE, text=True
    )
    while not (tmp_path / "ready").exists():
        assert child.poll() is None
        time.sleep(0.01)
    os.kill(child.pid, number)
    _, said = child.communicate(timeout=30)
    assert child.returncode == 128 + number
    assert said == "moldgen: stopped, nothing was written\n"
    assert tree(tmp_path) == {"set/mark": "old", "ready": ""}
