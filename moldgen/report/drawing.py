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

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.report.inking import CREASE_DEG, FAR, Color, Floats, Mask, Seen, inked, lines, shade
from moldgen.report.labels import Rect
from moldgen.report.smooth import corner_normals
from moldgen.report.view import View

PAPER: Color = (255, 255, 255)
INK: Color = (38, 38, 40)
FAINT: Color = (150, 150, 154)
GLASS: Color = (128, 128, 134)

MARGIN = 6.0  # samples round the bodies, so that their outline is whole


@dataclass(frozen=True, eq=False)
class Body:
    """A mesh on the drawing: its fill, and whether it is only outlined, seen through."""

    mesh: Mesh
    fill: Color = (246, 245, 242)
    glass: bool = False


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
        color = inked(color, lines(panes, 1.0 / view.scale), GLASS, 2)
    color = inked(color, lines(seen, 1.0 / view.scale), INK, 2)
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
