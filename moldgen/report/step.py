"""A step of the work, and a stage of steps."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Step:
    """One thing to do, and the figures to read at arm's length while doing it."""

    text: str
    amounts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Stage:
    """Steps that belong together."""

    title: str
    steps: tuple[Step, ...]
