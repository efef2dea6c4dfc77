"""The helmet: beaten shell, seams, neck ring, the fittings at the back, and its three windows."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.solids import cut, ellipsoid, union
from scenes.builtin.shapes.sweeps import Mesh, circle, joined, loft, moved, placed, revolved, rounded, spline, tube

from .fittings import dome, hex_nut, ring_of, rod, studs, wing_nut
from .pose import HELMET, HELMET_RADIUS
from .shaping.noise import fractal
from .shaping.solids import bump, cylinder
from .shaping.surfacing import normals_of, onto, surface

FRONT = np.array([0.0, -1.0, 0.0])
SIDES = {
    "left": np.array([np.sin(np.radians(78)), -np.cos(np.radians(78)), 0.06]),
    "right": np.array([-np.sin(np.radians(78)), -np.cos(np.radians(78)), 0.06]),
}
INLET = np.array([-0.42, 0.86, 0.1])
EXHAUST = np.array([-0.72, 0.62, -0.2])
SEAM_HALF_CM = 0.13


def shell(points: Array) -> Array:
    """Return the distance from the shell, with sockets for the windows and strapped seams."""
    local = points - HELMET
    ball = ellipsoid(points, HELMET, (HELMET_RADIUS, HELMET_RADIUS, 1.04 * HELMET_RADIUS))
    ball = ball + 0.007 * fractal(points, 0.8, 2, 3)
    neck = cylinder(points, (0, 0.05, 13.0), (0, 0.05, 14.3), 1.36, 0.05)
    seam = bump(local[:, 0], SEAM_HALF_CM) ** 0.4 * (local[:, 2] > 0)
    girth = bump(local[:, 2] + 1.02, SEAM_HALF_CM) ** 0.4
    body = union([ball - 0.028 * np.maximum(seam, girth), neck], 0.25)
    sockets = [cylinder(points, HELMET, HELMET + 1.74 * FRONT, 0.84, 0.04)]
    sockets += [cylinder(points, HELMET, HELMET + 1.66 * side, 0.66, 0.04) for side in SIDES.values()]
    sockets += [cylinder(points, HELMET, HELMET + 1.72 * way, 0.3, 0.03) for way in (INLET, EXHAUST)]
    body = union([body, union(sockets)], 0.16)
    wells = [cylinder(points, HELMET + 1.2 * FRONT, HELMET + 2.2 * FRONT, 0.6, 0.02)]
    wells += [cylinder(points, HELMET + 1.2 * side, HELMET + 2.2 * side, 0.45, 0.02) for side in SIDES.values()]
    return cut(body, union(wells), 0.04)


def helmet_parts() -> dict[str, Mesh]:
    """Return the helmet's named parts."""
    parts = {"helmet": surface(shell, (-2.05, -2.0, 12.95), (2.05, 2.1, 16.8), 0.066)}
    parts |= _window("front", FRONT, 0.6, 1.56, 2.34)
    for name, way in SIDES.items():
        parts |= _window(name, way, 0.45, 1.5, 1.86)
    parts["helmet window front rim"] = joined([parts["helmet window front rim"], _hood()])
    ring = [(1.2, 12.98), (1.62, 12.98), (1.62, 13.16), (1.54, 13.2), (1.54, 13.3), (1.66, 13.34)]
    ring += [(1.66, 13.5), (1.5, 13.58), (1.2, 13.58)]
    parts["helmet neck ring"] = moved(revolved(rounded(ring, 0.035, loop=True, steps=2), 110), (0, 0.05, 0))
    nuts = [ring_of(hex_nut(0.2, 0.12), 10, 1.55, 13.52, 18.0)]
    nuts += [_latch(turn) for turn in (-150.0, -30.0, 90.0)]
    parts["helmet neck nuts"] = moved(joined(nuts), (0, 0.05, 0))
    parts["helmet inlet"], parts["helmet valve"] = _inlet(), _valve()
    parts["helmet lug"] = _lug()
    parts["helmet rivets"] = _rivets()
    return parts


def hose_start() -> tuple[Array, Array]:
    """Return where the air hose leaves the inlet, and its direction there."""
    return _BEND[-1], (_BEND[-1] - _BEND[-2]) / np.linalg.norm(_BEND[-1] - _BEND[-2])


_DROP = np.array([0.0, 0.0, 0.08])
_ROOT = HELMET + 1.6 * INLET
_BEND = spline([_ROOT, _ROOT + 0.3 * INLET, _ROOT + 0.62 * INLET - _DROP, _ROOT + np.array([-0.36, 0.66, -0.62])], 24)


def _window(name: str, way: Array, bore: float, base: float, face: float) -> dict[str, Mesh]:
    """Return rim, glass, guard and bolts of a round window; ``base`` and ``face`` lie along its axis."""
    wide = 1.34 * bore + 0.16
    sleeve = bore + 0.2
    rim = [(bore, base), (sleeve, base), (sleeve, face - 0.26), (wide, face - 0.22), (wide, face - 0.06)]
    rim += [(wide - 0.06, face), (bore + 0.1, face), (bore + 0.06, face - 0.06), (bore, face - 0.1)]
    step = base + 0.36 * (face - base)
    bead = [(sleeve - 0.02, step - 0.06), (sleeve + 0.07, step), (sleeve - 0.02, step + 0.06)]
    turned = [revolved(rounded(outline, 0.03, loop=True, steps=2), 80) for outline in (rim, bead)]
    rise = np.linspace(0, 1, 8)
    glass = [(0.0, base - 0.2), (bore + 0.03, base - 0.2)]
    glass += [(max((bore + 0.03) * (1 - t), 0.0), face - 0.3 + 0.1 * (1 - (1 - t) ** 2)) for t in rise]
    bars = [_bar(bore + 0.1, face, offset, across) for offset, across in _guard(bore)]
    bolts = ring_of(hex_nut(0.15, 0.07), 8, (bore + wide) / 2 + 0.05, face - 0.012, 22.5)
    made = {"rim": joined(turned), "glass": revolved(glass, 64), "guard": joined(bars), "bolts": bolts}
    return {f"helmet window {name} {key}": placed(mesh, HELMET, way, (0, 0, 1)) for key, mesh in made.items()}


def _guard(bore: float) -> list[tuple[float, bool]]:
    return [(-0.33 * bore, True), (0.33 * bore, True), (-0.33 * bore, False), (0.33 * bore, False)]


def _bar(reach: float, face: float, offset: float, across: bool) -> Mesh:
    """Return one guard bar: bowed outwards, its feet on the rim; bars the other way pass just inside."""
    t = np.linspace(-1, 1, 21)
    half = np.sqrt(reach**2 - offset**2)
    bow = face + (0.13 if across else 0.075) * (1 - t**4) - 0.02
    line = np.stack([half * t, np.full(21, offset)], axis=1)
    return tube(np.column_stack([line if across else line[:, ::-1], bow]), 0.042, 10)


def _hood() -> Mesh:
    """Return the visor lip over the front window: it makes the nose whose shadow tells the lamps apart."""
    turn = np.linspace(-78, 78, 61)
    rings = []
    for angle in turn:
        reach = 0.08 + 0.34 * np.cos(np.radians(angle * 0.98)) ** 0.8
        out = np.array([np.sin(np.radians(angle)), 0.0, np.cos(np.radians(angle))])
        section = rounded([(0.88, 2.2), (0.97, 2.2), (0.985, 2.3 + reach), (0.925, 2.3 + reach)], 0.03, True)
        section[:, 0] += 0.06 * (section[:, 1] - 2.2)  # flared
        rings.append(HELMET + section[:, :1] * out + section[:, 1:] * FRONT)
    return loft(np.stack(rings))


def _latch(turn_deg: float) -> Mesh:
    turn = np.radians(turn_deg)
    way = np.array([np.cos(turn), np.sin(turn), 0.0])
    hinge = rod(1.66 * way + (0, 0, 13.1), 1.66 * way + (0, 0, 13.56), 0.07)
    return joined([hinge, placed(wing_nut(0.42), 1.7 * way + (0, 0, 13.42), way, np.cross(way, (0, 0, 1)))])


def _inlet() -> Mesh:
    """Return the air elbow at the back, with its union nut."""
    elbow = tube(_BEND, np.linspace(0.19, 0.17, len(_BEND)), 24)
    collar = [(0, 0), (0.33, 0), (0.33, 0.12), (0.24, 0.16), (0.24, 0.24), (0, 0.24)]
    place, way = hose_start()
    union_nut = placed(hex_nut(0.56, 0.26), place - 0.3 * way, way)
    return joined([elbow, union_nut, placed(revolved(rounded(collar, 0.02), 40), _ROOT, INLET)])


def _valve() -> Mesh:
    """Return the exhaust valve: a stub with a fluted hand wheel."""
    stub = [(0, 0), (0.26, 0), (0.26, 0.14), (0.16, 0.2), (0.16, 0.34), (0, 0.34)]
    turn = 2 * np.pi * np.arange(72) / 72
    fluted = (0.3 + 0.022 * np.cos(9 * turn))[:, None] * circle(1.0, 72)
    levels = ((0.9, 0.3), (1, 0.33), (1, 0.43), (0.88, 0.47))
    rings = [np.column_stack([fluted * s, np.full(72, z)]) for s, z in levels]
    wheel = joined([loft(np.stack(rings)), revolved(rounded(stub, 0.02), 32), moved(dome(0.1, 0.06), (0, 0, 0.47))])
    return placed(wheel, HELMET + 1.62 * EXHAUST, EXHAUST)


def _lug() -> Mesh:
    """Return the lifting eye on the crown."""
    turn = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    path = np.stack([0 * turn, 0.17 * np.cos(turn), 0.17 * np.sin(turn) + 0.27], axis=1)
    outs = np.stack([0 * turn, np.cos(turn), np.sin(turn)], axis=1)
    section = circle(1.0, 12)
    rings = path[:, None] + 0.055 * (section[:, :1] * outs[:, None] + section[:, 1:] * (1.0, 0, 0))
    foot = revolved(rounded([(0, -0.06), (0.24, -0.06), (0.24, 0.03), (0.1, 0.12), (0, 0.12)], 0.03), 32)
    eye = joined([loft(rings, loop=True), foot])
    return moved(eye, HELMET + np.array([0.0, 0.0, 1.04 * HELMET_RADIUS]))


def _rivets() -> Mesh:
    """Return the rivet rows along both seams, left out where the windows stand."""
    places = []
    for angle in np.radians(np.arange(44, 157, 9.0)):
        for side in (-1, 1):
            places.append((side * 0.2, -np.cos(angle) * 1.64, np.sin(angle) * 1.7))
    for angle in np.radians(np.arange(4, 360, 9.0)):
        places += [(1.25 * np.cos(angle), 1.25 * np.sin(angle), -0.82)]
    points = np.array(places, float) + HELMET
    ways = np.stack([FRONT, *SIDES.values(), INLET, EXHAUST])
    unit = (points - HELMET) / np.linalg.norm(points - HELMET, axis=1, keepdims=True)
    clear = (unit @ ways.T < np.cos(np.radians([40, 34, 34, 24, 24]))).all(axis=1)
    points = points[clear]
    for _ in range(4):
        points = onto(shell, points, 0.2)
    ups = normals_of(shell, points)
    return studs(dome(0.05, 0.03, 10), points, ups, np.tile([1.0, 0.2, 0.1], (len(points), 1)))
