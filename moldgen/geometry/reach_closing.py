"""Closing of a height field by a round tool: what stays standing where the tool does not reach.

The tip comes to stand at T(p), the lowest it can over p without cutting into the surface; what
the tool leaves over q is the lowest it gets there from anywhere. This is the gray closing of
mathematical morphology (J. Serra, Image Analysis and Mathematical Morphology, 1982, from memory).
"""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

from moldgen.geometry.reach_tool import Footprint

Heights = NDArray[np.float32]


def tip_heights(surface: Heights, foot: Footprint, margin: int) -> Heights:
    """Where the tip of a tool comes to stand over each cell, and over a margin all round.

    Parameters
    ----------
    surface : (n, m) float32
        -inf where there is nothing to touch [mm].
    foot : Footprint
    margin : int
        Cells beyond the surface on each side.

    Returns
    -------
    (n + 2 margin, m + 2 margin) float32
        Max over the footprint of the surface less the tool's height over its tip [mm].
    """
    return _dilated(surface, foot, margin)


def left_under(tips: Heights, foot: Footprint) -> Heights:
    """The lowest that a tool gets over each cell when its tip stands as given.

    Parameters
    ----------
    tips : (n + 2 k, m + 2 k) float32
        With a margin of the footprint's reach, k [mm].
    foot : Footprint

    Returns
    -------
    (n, m) float32
        Min over the footprint of the tip and the tool's height over it [mm].
    """
    return -_dilated(-tips, foot, -foot.reach)


def length_needed(tips: Heights, needed: Heights, left: Heights, foot: Footprint) -> Heights:
    """The least of what is needed at those tips that get a tool as low as it gets.

    Parameters
    ----------
    tips : (n + 2 k, m + 2 k) float32
        With a margin of the footprint's reach, k [mm].
    needed : (n + 2 k, m + 2 k) float32
        At each tip [mm].
    left : (n, m) float32
        How low the tool must get [mm].
    foot : Footprint

    Returns
    -------
    (n, m) float32
        inf where no tip gets so low [mm].
    """
    out = np.full(left.shape, np.inf, np.float32)
    _least_need(tips, needed, left, foot.chords, foot.over_tip_mm, out)
    return out


def _dilated(surface: Heights, foot: Footprint, margin: int) -> Heights:
    """The max over a footprint, for each cell and a margin; inside a margin where that is < 0."""
    n, m = (size + 2 * margin for size in surface.shape)
    out = np.full((n, m), -np.inf, np.float32)
    wide = _widened(surface, foot.reach + margin)
    if foot.is_flat:
        _spread_flat(wide, foot.chords, margin, out)
    else:
        _spread_round(wide, foot.chords, foot.over_tip_mm, margin, out)
    return out


def _widened(surface: Heights, by: int) -> Heights:
    """Each row with so many empty cells on both sides, or without so many."""
    if by <= 0:
        return np.ascontiguousarray(surface[:, -by : surface.shape[1] + by])
    return np.pad(surface, ((0, 0), (by, by)), constant_values=-np.inf)


@njit(cache=True)
def _spread_flat(wide, chords, margin, out):  # type: ignore[no-untyped-def]
    """Each row's running maxima, grown chord by chord, laid on the rows they reach."""
    reach = len(chords) - 1
    n, width = len(wide), wide.shape[1]
    row, other = np.empty(width, np.float32), np.empty(width, np.float32)
    for k in range(n):
        row[:] = wide[k]
        chord = 0
        for away in range(reach, -1, -1):
            while chord < chords[away]:
                step = min(chords[away] - chord, 2 * chord + 1)
                _grow(row, step, other)
                row, other = other, row
                chord += step
            _lay(row, reach, k + margin - away, out)
            if away:
                _lay(row, reach, k + margin + away, out)


@njit(cache=True)
def _grow(row, step, grown):  # type: ignore[no-untyped-def]
    """Running maxima over as many more cells on both sides; the ends, never asked, are kept."""
    inner = len(row) - 2 * step
    grown[:] = row
    before, here, after = row[:inner], row[step : step + inner], row[2 * step :]
    into = grown[step : step + inner]
    for j in range(inner):
        v = before[j] if before[j] > here[j] else here[j]
        into[j] = v if v > after[j] else after[j]


@njit(cache=True)
def _lay(row, start, k, out):  # type: ignore[no-untyped-def]
    if k < 0 or k >= len(out):
        return
    into, m = out[k], out.shape[1]
    laid = row[start : start + m]
    for j in range(m):
        into[j] = laid[j] if laid[j] > into[j] else into[j]


@njit(cache=True)
def _spread_round(wide, chords, over, margin, out):  # type: ignore[no-untyped-def]
    """Each cell from the four mirrored cells at every distance, less the height over the tip."""
    reach = len(chords) - 1
    n = len(wide)
    pair = np.empty(wide.shape[1], np.float32)
    for i in range(len(out)):
        for away in range(reach + 1):
            a, b = i - margin - away, i - margin + away
            if (a < 0 or a >= n) and (b < 0 or b >= n):
                continue
            pair[:] = wide[a] if 0 <= a < n else wide[b]
            if 0 <= a < n and 0 <= b < n:
                _lay(wide[b], 0, 0, pair.reshape(1, -1))
            for side in range(chords[away] + 1):
                _press(pair, reach, side, over[away, side], out[i])


@njit(cache=True)
def _press(pair, reach, side, over, into):  # type: ignore[no-untyped-def]
    m = len(into)
    left, right = pair[reach - side : reach - side + m], pair[reach + side : reach + side + m]
    for j in range(m):
        v = (left[j] if left[j] > right[j] else right[j]) - over
        into[j] = v if v > into[j] else into[j]


@njit(cache=True)
def _least_need(tips, needed, left, chords, over, out):  # type: ignore[no-untyped-def]
    reach = len(chords) - 1
    for i in range(len(out)):
        for away in range(-reach, reach + 1):
            row = i + reach + away
            for side in range(-chords[abs(away)], chords[abs(away)] + 1):
                lift = over[abs(away), abs(side)]
                _keep_least(tips[row], needed[row], reach + side, lift, left[i], out[i])


@njit(cache=True)
def _keep_least(tips, needed, start, lift, left, into):  # type: ignore[no-untyped-def]
    m = len(into)
    tip, need = tips[start : start + m], needed[start : start + m]
    for j in range(m):
        wanted = need[j] if tip[j] + lift <= left[j] else np.float32(np.inf)
        into[j] = wanted if wanted < into[j] else into[j]
