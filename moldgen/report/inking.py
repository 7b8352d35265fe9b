"""What rays found, as light and lines: shading, and ink where depth or normal jumps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Color = tuple[int, int, int]
Floats = NDArray[np.float32]
Ints = NDArray[np.int32]
Mask = NDArray[np.bool_]

CREASE_DEG = 32.0  # a sharper edge is drawn as a line and not shaded over
DEPTH_JUMP_SAMPLES = 4.0  # bend of the depth between neighbors, in sample widths, that makes a line
FAR = np.float32(1e9)
_LIGHT = np.array([-0.46, 0.70, 0.55], dtype=np.float32)  # right, up, toward the eye
_SHADE = 0.42  # share of the fill lost on a face turned right away from the light


@dataclass(frozen=True, eq=False)
class Seen:
    """What each sample of a window met.

    Attributes
    ----------
    body : (h, w) int
        Number of the body, -1 where the ray met nothing.
    depth : (h, w) float
        Distance from the eye's plane, `FAR` where nothing was met [mm].
    normal : (h, w, 3) float
        Smoothed normal in the view's axes.
    """

    body: Ints
    depth: Floats
    normal: Floats


def shade(seen: Seen) -> Floats:
    """Brightness of each sample, 1 where it faces the light or is paper, (h, w)."""
    light = seen.normal @ (_LIGHT / np.linalg.norm(_LIGHT))
    tone = 1.0 - _SHADE * np.maximum(0.5 - 0.5 * light, 0.0) ** 1.2
    return np.where(seen.body >= 0, np.minimum(tone, 1.0), 1.0).astype(np.float32)


def lines(seen: Seen, sample_mm: float) -> tuple[Mask, Mask]:
    """Where lines go: (heavy, light) masks, (h, w) each.

    Heavy where the body changes or the depth bends by more than `DEPTH_JUMP_SAMPLES` sample
    widths, light where the normal turns by more than the crease within one body.
    """
    heavy = np.zeros(seen.body.shape, dtype=bool)
    light = np.zeros(seen.body.shape, dtype=bool)
    limit = np.float32(DEPTH_JUMP_SAMPLES * sample_mm)
    cos_crease = np.float32(np.cos(np.radians(CREASE_DEG * 0.75)))
    for axis in (0, 1):
        one, two = _neighbors(axis)
        change = seen.body[one] != seen.body[two]
        turn = np.einsum("ijk,ijk->ij", seen.normal[one], seen.normal[two]) < cos_crease
        heavy[one] |= change
        light[one] |= turn & ~change & (seen.body[one] >= 0)
        bend = np.abs(np.diff(seen.depth, 2, axis=axis)) > limit
        inner = tuple(slice(1, -1) if k == axis else slice(None) for k in (0, 1))
        heavy[inner] |= bend
    return heavy, light & ~heavy


def _neighbors(axis: int) -> tuple[tuple[slice, ...], tuple[slice, ...]]:
    one = tuple(slice(None, -1) if k == axis else slice(None) for k in (0, 1))
    two = tuple(slice(1, None) if k == axis else slice(None) for k in (0, 1))
    return one, two


def inked(color: Floats, masks: tuple[Mask, Mask], ink: Color, heavy_px: int) -> Floats:
    """The colors, (h, w, 3), with the lines inked in, softened by one sample."""
    heavy, light = masks
    for _ in range(heavy_px - 1):
        heavy = _thicker(heavy)
    cover = _soft(np.maximum(heavy, light * np.float32(0.85)).astype(np.float32))[..., None]
    return np.asarray(color + (np.array(ink, dtype=np.float32) - color) * cover)


def _thicker(mask: Mask) -> Mask:
    out = mask.copy()
    for axis in (0, 1):
        one, two = _neighbors(axis)
        out[one] |= mask[two]
        out[two] |= mask[one]
    return out


def _soft(cover: Floats) -> Floats:
    """A small blur (1, 2, 1) both ways, so that stair steps of the samples do not show."""
    for axis in (0, 1):
        one, two = _neighbors(axis)
        sides = np.zeros_like(cover)
        sides[one] += cover[two]
        sides[two] += cover[one]
        cover = np.minimum(1.0, 0.5 * cover + 0.25 * sides)
    return np.asarray(np.minimum(1.0, cover * np.float32(1.35)))
