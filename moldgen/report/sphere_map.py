"""The sphere of directions laid flat: where on two discs each direction lies, and what it needs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.ndimage import distance_transform_edt, label
from scipy.spatial import cKDTree

from moldgen.geometry.mesh import FloatArray
from moldgen.report.inking import Color, Mask
from moldgen.study.survey import Survey

Ints = NDArray[np.int64]

MOST_BANDS = 6
LIGHT: Color = (255, 255, 255)
DARK: Color = (40, 62, 80)
TONE_STEP = 0.34  # of the way from light to dark, at most, from one band to the next


@dataclass(frozen=True, eq=False)
class Disc:
    """One half of the sphere, flat, as the eye sees it from outside; its rim has radius 1.

    Lambert's azimuthal equal-area projection: J. P. Snyder, Map Projections: A Working Manual,
    USGS Professional Paper 1395 (1987), chapter 24, on the sphere, scaled by 1/√2.

    Attributes
    ----------
    axes : (3, 3) float
        Rows: the part's directions that point right, up and toward the eye.
    """

    axes: FloatArray

    def holds(self, directions: ArrayLike) -> Mask:
        """Whether each unit direction, (n, 3), lies on this half."""
        held: Mask = np.asarray(directions) @ self.axes[2] >= 0.0
        return held

    def flat(self, directions: ArrayLike) -> FloatArray:
        """Where unit directions, (n, 3), lie: right and up from the middle, (n, 2)."""
        seen = np.asarray(directions, dtype=np.float64) @ self.axes.T
        return np.asarray(seen[:, :2] / np.sqrt(1.0 + seen[:, 2:]))

    def directions(self, flat: ArrayLike) -> FloatArray:
        """The unit directions, (n, 3), that lie at places within the rim, (n, 2)."""
        place = np.asarray(flat, dtype=np.float64)
        square = np.einsum("ij,ij->i", place, place)[:, None]
        seen = np.hstack([place * np.sqrt(2.0 - square), 1.0 - square])
        return np.asarray(seen @ self.axes)


# Right, up, toward: the part's file seen from +Z and from -Z, with +Y up in both.
FROM_ABOVE = Disc(np.eye(3))
FROM_BELOW = Disc(np.diag([-1.0, 1.0, -1.0]))


def counts_at(tried: Survey, directions: ArrayLike) -> FloatArray:
    """Connections of the tried direction nearest to each direction, (n, 3) to (n,)."""
    _, nearest = cKDTree(tried.directions).query(np.asarray(directions))
    return tried.connections[nearest]


def disc_counts(tried: Survey, disc: Disc, n_px: int) -> FloatArray:
    """Connections at the middle of each pixel of a square round a disc, NaN beyond its rim.

    Parameters
    ----------
    tried : Survey
    disc : Disc
    n_px : int
        Pixels along the square's side.

    Returns
    -------
    (n_px, n_px) float
        Rows run down the paper.
    """
    steps = (np.arange(n_px) + 0.5) * (2.0 / n_px) - 1.0
    right, down = np.meshgrid(steps, steps)
    inside = right**2 + down**2 <= 1.0
    counts = np.full(inside.shape, np.nan)
    places = np.stack([right[inside], -down[inside]], axis=1)
    counts[inside] = counts_at(tried, disc.directions(places))
    return counts


@dataclass(frozen=True)
class Band:
    """Directions that share a tone: those from `fewest` to `most` connections.

    Attributes
    ----------
    share : float
        Of all directions, by area of the sphere.
    """

    fewest: int
    most: int
    tone: Color
    share: float

    @property
    def name(self) -> str:
        """As it stands on the map: "3", or "6+" where the band holds more counts than one."""
        return str(self.fewest) if self.most == self.fewest else f"{self.fewest}+"

    @property
    def ink(self) -> Color:
        """Black on light tones and white on dark ones."""
        return (255, 255, 255) if sum(self.tone) < 3 * 140 else (38, 38, 40)

    def holds(self, counts: FloatArray) -> Mask:
        """Which counts, (n,) or (n, n), belong here."""
        held: Mask = (counts >= self.fewest) & (counts <= self.most)
        return held


def bands(tried: Survey, counts: FloatArray) -> tuple[Band, ...]:
    """A band for each count that was met, fewest first; the last one gathers the rest.

    Parameters
    ----------
    tried : Survey
    counts : (n,) float
        Connections at places spread evenly over the sphere, which weigh the shares.
    """
    met = np.unique(tried.connections).astype(int).tolist()
    firsts, last = met[:MOST_BANDS], met[-1]
    ends = [*firsts[:-1], last]
    tones = _tones(len(firsts))
    shares = [
        float(((counts >= first) & (counts <= end)).mean())
        for first, end in zip(firsts, ends, strict=True)
    ]
    return tuple(map(Band, firsts, ends, tones, shares))


def _tones(n: int) -> list[Color]:
    """Tones from light to dark in even steps."""
    step = min(TONE_STEP, 1.0 / max(n - 1, 1))
    light, dark = np.array(LIGHT), np.array(DARK)
    rows = [np.rint(light + (dark - light) * step * i).astype(int).tolist() for i in range(n)]
    return [(r, g, b) for r, g, b in rows]


def places_for_names(within: Mask, radius_px: float, most: int = 6) -> list[tuple[float, float]]:
    """Middles of the widest spots of each patch of a band that a name fits in, widest first.

    Parameters
    ----------
    within : (h, w) bool
        Pixels of the band that are free for names.
    radius_px : float
        Room that a name needs round its middle [px].
    most : int
        Most names for the band.

    Returns
    -------
    list of (2,) float
        Right and down from the corner [px].
    """
    room = distance_transform_edt(np.pad(within, 1))[1:-1, 1:-1]
    patches, n = label(within)
    widest = [int(np.argmax(np.where(patches == i + 1, room, 0.0))) for i in range(n)]
    spots = sorted(((room.flat[k], k) for k in widest), key=lambda s: (-s[0], s[1]))
    width = within.shape[1]
    fit = [k for r, k in spots if r >= radius_px][:most]
    return [(k % width + 0.5, k // width + 0.5) for k in fit]
