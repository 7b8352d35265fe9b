"""Wishes for a mold in two halves."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class KeyShape(Enum):
    """The shape of the keys by which two halves hold each other."""

    CONE = "cone"
    DOME = "dome"
    PYRAMID = "pyramid"


@dataclass(frozen=True)
class TwoPartWishes:
    """A mold in two halves.

    Attributes
    ----------
    pull : (3,) float or None
        Direction in the part file's frame along which the halves are drawn apart; None lets
        moldgen choose [-].
    key : KeyShape
    """

    pull: tuple[float, float, float] | None = None
    key: KeyShape = KeyShape.CONE
