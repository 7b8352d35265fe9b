"""The map of directions on paper: one disc for each half, toned, lettered, pinned."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.pose.pose import Pose
from moldgen.report.drawing import INK, PAPER
from moldgen.report.inking import Mask
from moldgen.report.labels import Point, Rect
from moldgen.report.paper import FINENESS, Paper, text_size
from moldgen.report.pins import FLAG_RADIUS_PX, SPOT_RADIUS_PX, Pin, place_pins
from moldgen.report.small_view import see_part, stand_part
from moldgen.report.sphere_map import Band, Disc, places_for_names
from moldgen.study.ranking import RankedPose

WIDTH_PX, HEIGHT_PX = 800, 860
MIDDLE: Point = (400.0, 400.0)
RADIUS_PX = 252
TEXT_PX = 27
NAME_PX = 30
NAME_ROOM_PX = 20.0
# Where the part stands with an axis up, beside that axis' place on the rim: right, up, left, down.
SMALL = (
    Rect(664.0, 340.0, 786.0, 440.0),
    Rect(330.0, 14.0, 470.0, 102.0),
    Rect(14.0, 340.0, 136.0, 440.0),
    Rect(330.0, 696.0, 470.0, 800.0),
)
SIDE_VIEW = Rect(20.0, 640.0, 200.0, 770.0)
MIDDLE_VIEW = Rect(600.0, 640.0, 780.0, 770.0)


def map_view(
    disc: Disc,
    counts: FloatArray,
    layers: Sequence[Band],
    poses: Sequence[RankedPose],
    mesh: Mesh,
) -> Paper:
    """One half of the map.

    Parameters
    ----------
    disc : Disc
    counts : (n, n) float
        From `disc_counts`, with n twice `RADIUS_PX`.
    layers : sequence of Band
    poses : sequence of RankedPose
        All of them in order; those on this half are marked.
    mesh : Mesh
        The part in its file's frame, for the small pictures.
    """
    paper = Paper(WIDTH_PX, HEIGHT_PX)
    _tone(paper, counts, layers)
    _draw_sides(paper, disc, mesh)
    shown = [i for i, p in enumerate(poses) if disc.holds([p.pose.up])[0]]
    spots = [_on_paper(disc.flat([poses[i].pose.up])[0]) for i in shown]
    taken = [*paper.places, *SMALL, SIDE_VIEW, MIDDLE_VIEW]
    light = layers[0].holds(counts)
    pins = place_pins(
        spots, MIDDLE, paper.whole.shrunk(6, 6, 6, 6), taken, lambda at: _is_on(light, at)
    )
    _mark_middle(paper, disc, [*spots, *(p.flag for p in pins)])
    _name_bands(paper, counts, layers, pins)
    for i, pin in zip(shown, pins, strict=True):
        _set_pin(paper, pin, str(i + 1))
    return paper


def axis_name(direction: FloatArray) -> str:
    """The name of an axis of the part's file, (3,): "+X" to "-Z"."""
    axis = int(np.argmax(np.abs(direction)))
    return ("+" if direction[axis] > 0.0 else "-") + "XYZ"[axis]


def _on_paper(flat: FloatArray) -> Point:
    return MIDDLE[0] + float(flat[0]) * RADIUS_PX, MIDDLE[1] - float(flat[1]) * RADIUS_PX


def _is_on(mask: Mask, at: Point) -> bool:
    """Whether a point of the paper lies on a mask of the disc's square."""
    column, row = (int(v - m + RADIUS_PX) for v, m in zip(at, MIDDLE, strict=True))
    height, width = mask.shape
    return 0 <= row < height and 0 <= column < width and bool(mask[row, column])


def _tone(paper: Paper, counts: FloatArray, layers: Sequence[Band]) -> None:
    """Each band in its tone, a line where two bands meet, and the rim."""
    for layer in layers:
        paper.paint(_full_size(layer.holds(counts)), layer.tone)
    number = np.select([b.holds(counts) for b in layers], list(range(len(layers))), -1)
    paper.paint(_full_size(_borders(number)), (110, 110, 114))
    around = np.linspace(0.0, 2.0 * np.pi, 181)
    rim = np.stack([np.cos(around), np.sin(around)], axis=1) * RADIUS_PX + MIDDLE
    paper.line(rim, INK, 2.5)


def _borders(number: FloatArray) -> Mask:
    edge = np.zeros(number.shape, dtype=bool)
    edge[:, 1:] |= (number[:, 1:] != number[:, :-1]) & (number[:, 1:] >= 0)
    edge[1:, :] |= (number[1:, :] != number[:-1, :]) & (number[1:, :] >= 0)
    return edge


def _full_size(square: Mask) -> Mask:
    """A mask of the disc's square as one of the whole paper, at its fineness."""
    whole = np.zeros((HEIGHT_PX * FINENESS, WIDTH_PX * FINENESS), dtype=bool)
    fine = np.kron(square, np.ones((FINENESS, FINENESS), dtype=bool))
    left, top = ((int(m) - RADIUS_PX) * FINENESS for m in MIDDLE)
    whole[top : top + fine.shape[0], left : left + fine.shape[1]] = fine
    return whole


def _draw_sides(paper: Paper, disc: Disc, mesh: Mesh) -> None:
    """The part as the eye sees it, and as it stands with each axis of this half up."""
    right, up, toward = disc.axes
    see_part(paper, mesh, disc.axes, SIDE_VIEW)
    _letter(paper, SIDE_VIEW, f"the part, seen\nfrom {axis_name(toward)}")
    for direction, window in zip((right, up, -right, -up), SMALL, strict=True):
        _stand(paper, mesh, direction, window)
        _letter(paper, window, f"{axis_name(direction)} up")
        way = np.array([direction @ right, -direction @ up])
        tick = np.array(MIDDLE) + np.outer([RADIUS_PX - 12.0, RADIUS_PX + 10.0], way)
        paper.line(tick, INK, 3.0)
    _stand(paper, mesh, toward, MIDDLE_VIEW)
    _letter(paper, MIDDLE_VIEW, f"middle of the disc:\n{axis_name(toward)} up")


def _stand(paper: Paper, mesh: Mesh, up: FloatArray, window: Rect) -> None:
    x, y, z = up.tolist()
    stand_part(paper, mesh, Pose.from_up((x, y, z)), window)


def _letter(paper: Paper, window: Rect, text: str) -> None:
    """A text below a window, kept on the paper."""
    wide, tall = text_size(text, TEXT_PX)
    x = min(max(window.middle[0], wide / 2.0 + 8.0), WIDTH_PX - wide / 2.0 - 8.0)
    place = Rect(x - wide / 2.0, window.bottom + 4.0, x + wide / 2.0, window.bottom + 4.0 + tall)
    paper.text(place, text, INK, TEXT_PX)


def _mark_middle(paper: Paper, disc: Disc, spots: Sequence[Point]) -> None:
    """A cross in the middle, unless a pin stands there."""
    x, y = MIDDLE
    if min((np.hypot(a - x, b - y) for a, b in spots), default=np.inf) < FLAG_RADIUS_PX + 12.0:
        return
    for ink, width in ((PAPER, 7.0), (INK, 3.0)):
        paper.line([(x - 11.0, y), (x + 11.0, y)], ink, width)
        paper.line([(x, y - 11.0), (x, y + 11.0)], ink, width)


def _name_bands(
    paper: Paper, counts: FloatArray, layers: Sequence[Band], pins: Sequence[Pin]
) -> None:
    """Each patch's count, where it has room beside the pins."""
    free = np.ones(counts.shape, dtype=bool)
    corner = np.array(MIDDLE) - RADIUS_PX
    down, right = np.indices(counts.shape) + 0.5
    for pin in pins:
        for t in np.linspace(0.0, 1.0, 12):
            x, y = np.array(pin.spot) * (1.0 - t) + np.array(pin.flag) * t - corner
            free &= np.hypot(right - x, down - y) > (FLAG_RADIUS_PX + 4.0 if t == 1.0 else 8.0)
    free &= np.hypot(right - RADIUS_PX, down - RADIUS_PX) > 16.0
    for layer in layers:
        for x, y in places_for_names(layer.holds(counts) & free, NAME_ROOM_PX):
            wide, tall = text_size(layer.name, NAME_PX)
            at = x + corner[0], y + corner[1]
            place = Rect(at[0] - wide / 2, at[1] - tall / 2, at[0] + wide / 2, at[1] + tall / 2)
            paper.text(place, layer.name, layer.ink, NAME_PX)


def _set_pin(paper: Paper, pin: Pin, name: str) -> None:
    paper.line([pin.spot, pin.flag], PAPER, 7.0)
    paper.line([pin.spot, pin.flag], INK, 2.5)
    paper.dot(pin.spot, SPOT_RADIUS_PX, INK, PAPER)
    paper.dot(pin.flag, FLAG_RADIUS_PX, INK, PAPER)
    tall = text_size(name, NAME_PX)[1]
    low, high = pin.place.top, pin.place.bottom
    inner = (high - low - tall) / 2.0
    paper.text(pin.place.shrunk(0.0, inner, 0.0, inner), name, PAPER, NAME_PX)
