"""A body cut along seams until every part fits the printer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from moldgen.build.split_joint import below_seam
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid
from moldgen.job.job import PrintWishes
from moldgen.plan.split import Seam, no_joint, seam_span
from moldgen.plan.split_keep import Spot
from moldgen.plan.split_place import plan_place

GLUE_MM = 0.02  # how far the glue reaches into both parts, so that they join in more than a skin
MORE = 2  # parts beyond the fewest, where the fewest find no place for a joint
TRIES = 12  # places tried for a seam that leaves each side in one piece


@dataclass(frozen=True, eq=False)
class Share:
    """A part while it is cut: its body in the whole's print frame, and between which bodies.

    Attributes
    ----------
    body : Solid
    within : tuple of Mesh
        What it lies in beside the whole.
    without : tuple of Mesh
        What was taken from it.
    """

    body: Solid
    within: tuple[Mesh, ...] = ()
    without: tuple[Mesh, ...] = ()


@dataclass(frozen=True, eq=False)
class Slit:
    """A seam as it was cut.

    Attributes
    ----------
    seam : Seam
    gap_mm3 : float
        What its slit takes.
    glue : Solid
        What fills it, a little way into both sides.
    crossed : float
        Share of the section that it crosses [-].
    """

    seam: Seam
    gap_mm3: float
    glue: Solid
    crossed: float


def split_body(
    body: Solid, printing: PrintWishes, spots: Sequence[Spot] = ()
) -> tuple[list[Share], list[Slit]]:
    """A body in parts that fit the printer, along X, then along Y, then upward.

    Parameters
    ----------
    body : Solid
        In its print frame; its name is what an error calls it.
    printing : PrintWishes
    spots : sequence of Spot
        What seams keep off, in the same frame.

    Raises
    ------
    PlanError
        If a seam finds no place.
    """
    shares, slits = [Share(body)], []
    for axis, room in enumerate(printing.room_mm):
        cut: list[Share] = []
        for share in shares:
            parts, made = _along(share, axis, room, _Wanted(body, printing, spots))
            cut += parts
            slits += made
        shares = cut
    return shares, slits


@dataclass(frozen=True, eq=False)
class _Wanted:
    """What is split, and what its seams are to be like."""

    whole: Solid
    printing: PrintWishes
    spots: Sequence[Spot]


def _along(
    share: Share, axis: int, room_mm: float, wanted: _Wanted
) -> tuple[list[Share], list[Slit]]:
    """One share cut along an axis as often as the room asks for."""
    parts, slits, rest = [], [], share
    while _span(rest, axis, room_mm):
        spans = (_span(rest, axis, room_mm, more) for more in range(MORE + 1))
        tries = (_quietest(rest, axis, span, wanted) for span in spans if span)
        found = next((found for found in tries if found), None)
        if found is None:
            whole = wanted.whole
            size = (whole.bounds[1] - whole.bounds[0]).tolist()
            raise no_joint(whole.name, size, wanted.printing.room_mm)
        part, rest, slit = found
        parts.append(part)
        slits.append(slit)
    return [*parts, rest], slits


def _span(
    share: Share, axis: int, room_mm: float, more: int = 0
) -> tuple[float, float, float] | None:
    low, high = share.body.bounds[:, axis].tolist()
    return seam_span(low, high, room_mm, more)


def _quietest(
    share: Share, axis: int, span_mm: tuple[float, float, float], wanted: _Wanted
) -> tuple[Share, Share, Slit] | None:
    """The share cut where its section changes least and each side stays in one piece."""
    places = plan_place(share.body, axis, span_mm, wanted.printing.fit_mm, wanted.spots)
    for tried, (seam, crossed) in enumerate(places):
        if tried >= TRIES:
            return None
        lower, upper, slit = cut_along(share, seam, crossed)
        if all(len(s.body.components()) == 1 for s in (lower, upper)):
            return lower, upper, slit
    return None


def cut_along(share: Share, seam: Seam, crossed: float = 0.0) -> tuple[Share, Share, Slit]:
    """Both sides of a seam, and its slit.

    Parameters
    ----------
    share : Share
    seam : Seam
    crossed : float
        Share of the section that it crosses [-].
    """
    body, bounds = share.body, share.body.bounds
    levels = (0.0, seam.shift_mm, -GLUE_MM, seam.shift_mm + GLUE_MM)
    near, far, deep, high = (below_seam(seam, bounds, by) for by in levels)
    below = {id(m): Solid.from_mesh(m, "seam") for m in (near, far, deep, high)}
    lower = body & below[id(near)]
    upper = body - below[id(far)]
    glue = (body & below[id(high)]) - below[id(deep)]
    gap = (body & below[id(far)]).volume_mm3 - lower.volume_mm3
    return (
        Share(lower, (*share.within, near), share.without),
        Share(upper, share.within, (*share.without, far)),
        Slit(seam, gap, glue, crossed),
    )
