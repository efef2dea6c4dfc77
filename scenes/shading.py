"""Triangles made fit to be shaded: cleaned, their normals split by angle, their one colour found."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Indices = NDArray[np.int32]

CREASE_DEG = 35.0
_UNTOUCHED = {102, 127, 128, 150, 153, 163, 178, 179, 191, 192, 204, 205, 255}  # greys nobody chose
_HASH_FACTORS = (0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9)
_SLIVER = 1e-8  # a face is degenerate below this multiple of its longest edge squared
_MOST_FACES_PAIRED = 4  # at an edge of more faces than this, only near neighbours in the list are compared


def merged_by_position(
    vertices: NDArray[np.floating[Any]], faces: NDArray[np.integer[Any]]
) -> tuple[Floats, NDArray[np.int64]]:
    """Return vertices (k, 3) without repetition and faces (m, 3) on them.

    Vertices merge where their float32 positions are equal; they keep the order in which faces first use
    them, whatever the unit. Vertices that no face uses are dropped.
    """
    corners = np.asarray(vertices, np.float32)[np.asarray(faces).reshape(-1)] + np.float32(0)  # no -0.0
    first, label = _first_rows(corners.view(np.uint32))
    return corners[first], label.reshape(-1, 3)


def fault(vertices: NDArray[np.floating[Any]], faces: NDArray[np.integer[Any]]) -> str | None:
    """Return in words what makes triangles unusable, none if they can be used."""
    bad = int((~np.isfinite(vertices).all(axis=1)).sum())
    if bad:
        return f"{bad} points that are not finite numbers"
    if len(faces) and not 0 <= faces.min() <= faces.max() < len(vertices):
        return "triangles on points that it does not have"
    return None


def cleaned(
    vertices: NDArray[np.floating[Any]], faces: NDArray[np.integer[Any]]
) -> tuple[Floats, NDArray[np.int64], list[str]]:
    """Return merged vertices, the faces worth keeping, looking outwards, and what was found, in words.

    Faces without area and second faces on the same three vertices are dropped. Closed triangles that
    enclose a negative volume are turned; open ones are left as they are.
    """
    points, merged = merged_by_position(vertices, faces)
    sound = _without_degenerate(points, merged)
    unique = _without_duplicates(sound)
    found = []
    if dropped := len(merged) - len(sound):
        found.append(f"had {dropped} triangles without area, which were removed")
    if doubled := len(sound) - len(unique):
        found.append(f"had {doubled} triangles twice, of which one was kept")
    open_edges, reversals = _edge_faults(unique)
    if open_edges:
        found.append(f"is not closed: {open_edges} edges do not join two triangles")
    elif reversals:
        found.append("has some triangles that look inwards")
    elif len(unique) and _enclosed_volume(points, unique) < 0:
        unique = unique[:, ::-1]
        found.append("was inside out and was turned")
    return points, unique, found


def split_normals(
    vertices: NDArray[np.floating[Any]], faces: NDArray[np.integer[Any]], angle_deg: float = CREASE_DEG
) -> tuple[Floats, Floats, Indices]:
    """Return vertices, unit normals and faces, the vertices split where the surface has a crease.

    Vertices are merged by position first. Two faces at a vertex share a normal where a chain of edges
    at that vertex joins them, each bent by less than ``angle_deg``; the normal is the mean of the faces'
    normals weighted by their angle at the vertex (Thürmer and Wüthrich 1998). Faces keep their order.
    Any number of faces may meet at an edge; faces without an area share with none.
    """
    points, merged = merged_by_position(vertices, faces)
    if not len(merged):
        return points, np.zeros((0, 3), np.float32), np.zeros((0, 3), np.int32)
    face_normals, angles = _normals_and_angles(points, merged)
    labels, count = _smooth_corners(merged, face_normals, np.cos(np.radians(angle_deg)))

    corner_normals = np.repeat(face_normals, 3, axis=0)
    weights = angles.reshape(-1)
    normals = np.stack([np.bincount(labels, weights * corner_normals[:, i], minlength=count) for i in range(3)], axis=1)
    some_corner = np.empty(count, np.int64)
    some_corner[labels] = np.arange(len(labels))
    length = np.linalg.norm(normals, axis=1)
    normals = np.where(length[:, None] > 1e-9, normals, corner_normals[some_corner])
    normals[~normals.any(axis=1)] = (0.0, 0.0, 1.0)
    normals = normals / np.linalg.norm(normals, axis=1, keepdims=True)
    positions = points[merged.reshape(-1)[some_corner]]
    return positions, normals.astype(np.float32), labels.reshape(-1, 3).astype(np.int32)


def plain_colour(rows: NDArray[Any], *, linear: bool) -> str | None:
    """Return "#rrggbb" if all rows (n, 3 or more) of bytes are one colour, and no grey that nobody chose.

    Linear bytes are encoded as sRGB (IEC 61966-2-1).
    """
    if not len(rows) or (rows[:, :3] != rows[0, :3]).any():
        return None
    red, green, blue = (int(value) for value in rows[0, :3])
    if red == green == blue and red in _UNTOUCHED:
        return None
    values = np.array([red, green, blue])
    if linear:
        light = values / 255
        encoded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
        values = np.rint(255 * encoded).astype(int)
    return "#" + "".join(f"{value:02x}" for value in values)


def _normals_and_angles(points: Floats, faces: NDArray[np.int64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return unit face normals (m, 3), zero for a face without area, and corner angles (m, 3) in radians."""
    corners = points.astype(np.float64)[faces]
    onward = np.roll(corners, -1, axis=1) - corners
    back = np.roll(corners, 1, axis=1) - corners
    cross = np.cross(onward, back)
    sine = np.linalg.norm(cross, axis=2)
    angles = np.arctan2(sine, (onward * back).sum(axis=2))
    normals = cross[:, 0]
    length = np.linalg.norm(normals, axis=1, keepdims=True)
    return np.divide(normals, length, out=np.zeros_like(normals), where=length > 0), angles


def _smooth_corners(
    faces: NDArray[np.int64], face_normals: NDArray[np.float64], least_cosine: float
) -> tuple[NDArray[np.int64], int]:
    """Return for each of the 3 m corners the number of its smooth fan, and how many fans there are."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    corner = np.arange(faces.size)
    next_corner = corner - corner % 3 + (corner + 1) % 3
    start, end = faces.reshape(-1), faces.reshape(-1)[next_corner]
    low, high = np.where(start < end, corner, next_corner), np.where(start < end, next_corner, corner)
    key = _edge_keys(start, end)
    order = np.argsort(key, kind="stable")
    key = key[order]

    links = []
    for step in range(1, _MOST_FACES_PAIRED):
        same = np.flatnonzero(key[step:] == key[:-step])
        if not len(same):
            break
        one, other = order[same], order[same + step]
        smooth = np.einsum("ij,ij->i", face_normals[one // 3], face_normals[other // 3]) > least_cosine
        one, other = one[smooth], other[smooth]
        links += [(low[one], low[other]), (high[one], high[other])]
    if not links:
        return corner, faces.size
    rows, columns = (np.concatenate(ends) for ends in zip(*links, strict=True))
    graph = coo_array((np.ones(len(rows), bool), (rows, columns)), shape=(faces.size, faces.size))
    count, labels = connected_components(graph, directed=False)
    return labels.astype(np.int64), int(count)


def _edge_keys(start: NDArray[np.int64], end: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return one number an edge, the same whichever way it runs."""
    return (np.minimum(start, end) << 32) | np.maximum(start, end)


def _first_rows(rows: NDArray[Any]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return where each distinct row of integers (n, 3) first stands, and each row's number among those.

    Rows are sorted by a hash, which is several times faster than by three columns; should two different
    rows ever share it, they are sorted by columns.
    """
    wide = rows.astype(np.uint64)
    keys = np.zeros(len(wide), np.uint64)
    for column, factor in enumerate(_HASH_FACTORS):
        keys = (keys ^ wide[:, column]) * np.uint64(factor)
        keys ^= keys >> np.uint64(29)
    _, first, label = np.unique(keys, return_index=True, return_inverse=True)
    if not np.array_equal(rows[first[label]], rows):
        _, first, label = np.unique(rows, axis=0, return_index=True, return_inverse=True)
    rank = np.empty(len(first), np.int64)
    order = np.argsort(first)
    rank[order] = np.arange(len(first))
    return first[order], rank[label.reshape(-1)]


def _without_degenerate(vertices: Floats, faces: NDArray[np.int64]) -> NDArray[np.int64]:
    points = vertices.astype(np.float64)[faces]
    edges = np.roll(points, -1, axis=1) - points
    twice_area = np.linalg.norm(np.cross(edges[:, 0], edges[:, 1]), axis=1)
    kept: NDArray[np.int64] = faces[twice_area > _SLIVER * (edges**2).sum(axis=2).max(axis=1)]
    return kept


def _without_duplicates(faces: NDArray[np.int64]) -> NDArray[np.int64]:
    first, _ = _first_rows(np.sort(faces, axis=1))
    return faces[first]


def _edge_faults(faces: NDArray[np.int64]) -> tuple[int, int]:
    """Return how many edges do not join two faces, and how many join one looking out to one looking in."""
    if not len(faces):
        return 0, 0
    start, end = faces.reshape(-1), np.roll(faces, -1, axis=1).reshape(-1)
    _, edge, count = np.unique(_edge_keys(start, end), return_inverse=True, return_counts=True)
    balance = np.bincount(edge, weights=np.where(start < end, 1.0, -1.0))
    return int((count != 2).sum()), int(((count == 2) & (balance != 0)).sum())


def _enclosed_volume(vertices: Floats, faces: NDArray[np.int64]) -> float:
    """Return the signed volume of closed faces, positive where they look outwards: divergence theorem."""
    points = vertices.astype(np.float64)
    a, b, c = (points - points.mean(axis=0))[faces].transpose(1, 0, 2)
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)
