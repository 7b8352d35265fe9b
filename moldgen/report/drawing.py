"""Line drawings of bodies: rays find what is seen, jumps in what they find become lines.

Embree casts the rays, numpy shades; no display and no graphics driver is needed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from embreex.mesh_construction import TriangleMesh
from embreex.rtcore_scene import EmbreeScene
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.report.labels import Rect
from moldgen.report.view import View

Color = tuple[int, int, int]
Floats = NDArray[np.float32]
Ints = NDArray[np.int32]
Mask = NDArray[np.bool_]

PAPER: Color = (255, 255, 255)
INK: Color = (38, 38, 40)
FAINT: Color = (150, 150, 154)
GLASS: Color = (128, 128, 134)

CREASE_DEG = 32.0  # a sharper edge is drawn as a line and not shaded over
DEPTH_JUMP_SAMPLES = 4.0  # bend of the depth between neighbors, in sample widths, that makes a line
FAR = np.float32(1e9)
MARGIN = 6.0  # samples round the bodies, so that their outline is whole
_LIGHT = np.array([-0.46, 0.70, 0.55], dtype=np.float32)  # right, up, toward the eye
_SHADE = 0.42  # share of the fill lost on a face turned right away from the light


@dataclass(frozen=True, eq=False)
class Body:
    """A mesh on the drawing: its fill, and whether it is only outlined, seen through."""

    mesh: Mesh
    fill: Color = (246, 245, 242)
    glass: bool = False


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


@dataclass(frozen=True, eq=False)
class Drawing:
    """The drawn window: colors and what was seen, at the fineness it was cast at."""

    color: NDArray[np.uint8]
    seen: Seen
    left_px: int
    top_px: int
    view: View
    eye_mm: float = field(default=0.0)

    def visible(self, points: FloatArray, slack_mm: float = 0.5) -> Mask:
        """Whether each point, (n, 3), has no body in front of it by more than the slack [mm]."""
        paper = np.floor(self.view.on_paper(points)).astype(np.int64) - (self.left_px, self.top_px)
        depth = self.eye_mm - self.view.seen(points)[:, 2]
        h, w = self.seen.depth.shape
        inside: Mask = np.all((paper >= 0) & (paper < (w, h)), axis=1)
        x, y = np.where(inside[:, None], paper, 0).T
        clear: Mask = self.seen.depth[y, x] >= depth - slack_mm
        return ~inside | clear

    def spot(self, body: int) -> tuple[float, float] | None:
        """The seen paper point of a body nearest to the middle of what is seen of it [px]."""
        y, x = np.nonzero(self.seen.body == body)
        if not len(x):
            return None
        best = np.argmin((x - x.mean()) ** 2 + (y - y.mean()) ** 2)
        return float(x[best] + self.left_px), float(y[best] + self.top_px)


def draw(bodies: Sequence[Body], view: View, window: Rect) -> Drawing:
    """Draw bodies inside a window of the paper.

    Parameters
    ----------
    bodies : sequence of Body
    view : View
        Its pixels are the samples of the drawing.
    window : Rect
        What to draw at most, whole pixels [px].
    """
    window = _trimmed(bodies, view, window)
    left, top = int(window.left), int(window.top)
    shape = int(window.bottom) - top, int(window.right) - left
    eye_mm = _eye_distance(bodies, view)
    solid = [b for b in bodies if not b.glass]
    seen = cast([b.mesh for b in solid], view, (left, top), shape, eye_mm)
    fills = np.array([b.fill for b in solid] + [PAPER], dtype=np.float32)
    color = fills[seen.body] * shade(seen)[..., None]
    glass = [b.mesh for b in bodies if b.glass]
    if glass:
        panes = cast(glass, view, (left, top), shape, eye_mm)
        color = _inked(color, lines(panes, 1.0 / view.scale), GLASS, 2)
    color = _inked(color, lines(seen, 1.0 / view.scale), INK, 2)
    numbers = [i for i, b in enumerate(bodies) if not b.glass]
    own = np.array([*numbers, -1], dtype=np.int32)[seen.body]
    seen = Seen(own, seen.depth, seen.normal)
    return Drawing(np.rint(color).astype(np.uint8), seen, left, top, view, eye_mm)


def _trimmed(bodies: Sequence[Body], view: View, window: Rect) -> Rect:
    """The window without what no body reaches."""
    if not bodies:
        return window
    paper = np.concatenate([view.on_paper(b.mesh.vertices) for b in bodies])
    low, high = np.floor(paper.min(axis=0)) - MARGIN, np.ceil(paper.max(axis=0)) + MARGIN
    return Rect(
        *np.clip(low, (window.left, window.top), (window.right - 1, window.bottom - 1)).tolist(),
        *np.clip(high, (window.left + 1, window.top + 1), (window.right, window.bottom)).tolist(),
    )


def _eye_distance(bodies: Sequence[Body], view: View) -> float:
    return max((float(view.seen(b.mesh.vertices)[:, 2].max()) for b in bodies), default=0.0) + 1.0


def cast(
    meshes: Sequence[Mesh], view: View, corner: tuple[int, int], shape: tuple[int, int], eye: float
) -> Seen:
    """Cast one ray through the middle of each sample of a window, all toward the scene.

    Parameters
    ----------
    meshes : sequence of Mesh
    view : View
    corner : (2,) int
        Upper left sample of the window [px].
    shape : (2,) int
        Height and width of the window [px].
    eye : float
        Where the rays start, before everything, along the view's third axis [mm].
    """
    h, w = shape
    body = np.full(h * w, -1, dtype=np.int32)
    depth = np.full(h * w, FAR, dtype=np.float32)
    normal = np.zeros((h * w, 3), dtype=np.float32)
    full = [(i, m) for i, m in enumerate(meshes) if m.n_triangles]
    if full:
        scene, keep = EmbreeScene(), []
        for _, mesh in full:
            seen = view.seen(mesh.vertices).astype(np.float32)
            keep.append(TriangleMesh(scene, np.ascontiguousarray(seen[mesh.faces])))
        origins, directions = _rays(view, corner, shape, eye)
        hit = scene.run(origins, directions, output=1)
        met = hit["primID"] >= 0
        depth[met] = hit["tfar"][met]
        body[met] = np.array([i for i, _ in full], dtype=np.int32)[hit["geomID"][met]]
        normal[met] = _normals([m for _, m in full], view, {k: v[met] for k, v in hit.items()})
    return Seen(body.reshape(h, w), depth.reshape(h, w), normal.reshape(h, w, 3))


def _rays(
    view: View, corner: tuple[int, int], shape: tuple[int, int], eye: float
) -> tuple[Floats, Floats]:
    h, w = shape
    origins = np.empty((h, w, 3), dtype=np.float32)
    origins[..., 0] = (corner[0] + np.arange(w) + 0.5 - view.middle_px[0]) / view.scale
    origins[..., 1] = -((corner[1] + np.arange(h) + 0.5 - view.middle_px[1]) / view.scale)[:, None]
    origins[..., 2] = eye
    directions = np.zeros((h * w, 3), dtype=np.float32)
    directions[:, 2] = -1.0
    return origins.reshape(-1, 3), directions


def _normals(meshes: Sequence[Mesh], view: View, hit: dict[str, NDArray[np.generic]]) -> Floats:
    """Normals at the hits, blended over each triangle from its corners, in the view's axes."""
    starts = np.cumsum([0] + [m.n_triangles for m in meshes[:-1]])
    corners = np.concatenate([corner_normals(m, CREASE_DEG) for m in meshes])
    corners = (corners @ view.axes.T).astype(np.float32)
    triangle = corners[starts[hit["geomID"].astype(np.int64)] + hit["primID"].astype(np.int64)]
    u, v = (hit[k].astype(np.float32)[:, None] for k in ("u", "v"))
    normal = triangle[:, 0] * (1.0 - u - v) + triangle[:, 1] * u + triangle[:, 2] * v
    normal /= np.maximum(np.sqrt(np.einsum("ij,ij->i", normal, normal)), 1e-12)[:, None]
    return np.asarray(normal, dtype=np.float32)


def corner_normals(mesh: Mesh, crease_deg: float) -> FloatArray:
    """A normal for each corner of each triangle, averaged across edges softer than the crease.

    Corners at one vertex are linked across soft edges; each group takes its triangles' normals
    weighted by their angle at the vertex (G. Thürmer and C. A. Wüthrich, J. Graphics Tools 3(1),
    1998, from memory), so that the way a face is cut into triangles does not show.

    Parameters
    ----------
    mesh : Mesh
    crease_deg : float
        Edges turning by less are soft [deg].

    Returns
    -------
    (m, 3, 3) float
        Unit normals.
    """
    area = mesh.area_vectors
    unit = area / np.maximum(np.linalg.norm(area, axis=1), 1e-30)[:, None]
    a, b = _soft_links(mesh, unit, float(np.cos(np.radians(crease_deg))))
    n = 3 * mesh.n_triangles
    links = coo_array((np.ones(len(a), dtype=np.int8), (a, b)), shape=(n, n))
    count, group = connected_components(links, directed=False)
    each = np.repeat(unit, 3, axis=0) * _corner_angles(mesh).reshape(-1, 1)
    sums = [np.bincount(group, each[:, k], minlength=count).astype(np.float64) for k in range(3)]
    normals = np.stack(sums, axis=1)
    normals = normals / np.maximum(np.linalg.norm(normals, axis=1), 1e-30)[:, None]
    return np.asarray(normals[group].reshape(-1, 3, 3))


def _corner_angles(mesh: Mesh) -> FloatArray:
    """The angle of each triangle at each of its corners, (m, 3) [rad]."""
    one = np.roll(mesh.corners, -1, axis=1) - mesh.corners
    two = np.roll(mesh.corners, 1, axis=1) - mesh.corners
    across = np.linalg.norm(np.cross(one, two), axis=2)
    return np.asarray(np.arctan2(across, np.einsum("ijk,ijk->ij", one, two)))


def _soft_links(
    mesh: Mesh, unit: FloatArray, cos_crease: float
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pairs of corners (3 x triangle + place) that meet at both ends of each soft edge."""
    tail = np.arange(3 * mesh.n_triangles)
    head = tail - tail % 3 + (tail + 1) % 3
    flat = mesh.faces.reshape(-1).astype(np.int64)
    low, high = np.minimum(flat[tail], flat[head]), np.maximum(flat[tail], flat[head])
    order = np.lexsort((high, low))
    one, two = order[:-1], order[1:]
    same = (low[one] == low[two]) & (high[one] == high[two])
    soft = np.einsum("ij,ij->i", unit[one // 3], unit[two // 3]) > cos_crease
    one, two = one[same & soft], two[same & soft]
    ends = np.where(flat[tail[one]] == flat[tail[two]], tail[two], head[two])
    others = np.where(flat[tail[one]] == flat[tail[two]], head[two], tail[two])
    return np.concatenate([tail[one], head[one]]), np.concatenate([ends, others])


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


def _inked(color: Floats, masks: tuple[Mask, Mask], ink: Color, heavy_px: int) -> Floats:
    """The colors with the lines inked in, softened by one sample."""
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
