"""A half that is routed: its blank, and what the cutters leave of it."""

from __future__ import annotations

from dataclasses import dataclass

from moldgen.plan.reach_nouns import Reach
from moldgen.plan.stock import Blank


@dataclass(frozen=True, eq=False)
class RoutedHalf:
    """One half on the router.

    Attributes
    ----------
    blank : Blank
    reach : Reach
        In the blank's frame.
    """

    blank: Blank
    reach: Reach

    @property
    def name(self) -> str:
        """Name of the half."""
        return self.blank.name
