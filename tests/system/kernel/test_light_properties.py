"""What holds of any light and any finish, on scenes drawn by chance: sums, mirrors, units, energy and reciprocity."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import numpy as np
import pytest
import trimesh
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from materials.arrays import Array
from materials.light.spectra import blackbody
from materials.surface.conductor import FresnelDip
from materials.surface.energy import COSINES, directional_albedo, multiple_scattering_tint
from materials.surface.finish import Finish
from render.description.scene import Geometry, setup_geometry
from render.images.lamp_images import LampImage, LitLamp, lamp_xyz, scene_xyz
from render.kernel.backend import mitsuba
from render.kernel.meters import irradiance
from render.kernel.surfaces.bsdf import BsdfValue
from render.kernel.trace import Tracer
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.geometry import axes_facing
from scenes.lamps.emitter_shape import ROOM, EmitterShape
from scenes.setups.placed import AS_PLACED
from scenes.subject.part_finishes import PartFinishes
from tests.support.arrangements import place, subject_in
from tests.support.kernel.bsdfs import bsdf_of, dielectric_albedo, metal_facets
from tests.support.kernel.significance import Estimate, mean_ratio
from tests.support.light import CAMERA, board, lamp_image, meter
from tests.support.still_life import FINISHES, still_life

pytestmark = pytest.mark.slow

few = settings(
    max_examples=6, deadline=None, derandomize=True, database=None, suppress_health_check=[HealthCheck.too_slow]
)
more = settings(few, max_examples=25)
GRID: Final = 1024
LAMP: Final = {"name": "A", "size_cm": [20, 14], "at_cm": [-60, -80, 90], "aim_cm": [0, 0, 10]}

shares = st.floats(0.0, 1.0)
metres = st.floats(-0.3, 0.3)
kelvins = st.floats(2000, 10000)
roughnesses = st.floats(0.02, 1.0)
finishes = st.one_of(
    st.builds(Finish.board, shares),
    st.builds(lambda base, alpha, index: Finish("plastic", np.full(351, base), alpha, index), shares, roughnesses,
              st.floats(1.2, 2.5)),
    st.builds(Finish.metal, shares, roughnesses),
    st.builds(lambda base, alpha: Finish.metal(base, alpha, FresnelDip(9.0, -9.0)), st.floats(0.5, 1.0), roughnesses),
    st.builds(lambda base, alpha, share, inner: Finish("plastic", np.full(351, base), alpha, flake_fraction=share,
              flake_roughness=inner), shares, roughnesses, shares, roughnesses),
    st.builds(lambda rho, tau: Finish.diffuser(rho, (1 - rho) * tau), shares, shares),
)  # fmt: skip


@st.composite
def lamps(draw: st.DrawFn) -> EmitterShape:
    """Draw a lamp over the table that faces the middle, of any kind; some with a beam."""
    kind = draw(st.sampled_from(["panel", "disc", "ring", "bulb"]))
    at = np.array([draw(metres), draw(metres), draw(st.floats(0.2, 0.4))])
    radius = draw(st.floats(0.02, 0.1))
    half = (radius, {"panel": draw(st.floats(0.02, 0.1)), "ring": 0.6 * radius}.get(kind, radius))
    polar = np.radians(np.linspace(0, 180, 181))
    power = draw(st.sampled_from([None, 2.0, 8.0]))
    beam = None if power is None else np.maximum(np.cos(polar), 0.0)[:, None] ** power * (power + 1) / 2
    return EmitterShape(kind, at, axes_facing(-at), half, beam if kind != "bulb" else None)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def small() -> Tracer:
    return Tracer(still_life(FINISHES["satin plastic"], height_px=24, width_px=32))


def image_of(tracer: Tracer, *lit: EmitterShape) -> list[LampImage]:
    """Return two passes of lamps traced together."""
    passes = [tracer.images(lit, number) for number in range(2)]
    return [lamp_image(a, b) for a, b in zip(*passes, strict=True)]


# light adds


@few
@given(lamp=lamps(), kelvin=kelvins, dimmer=shares, halvings=st.integers(0, 20))
def test_the_light_of_a_lamp_is_as_its_dimmer_says(
    small: Tracer, lamp: EmitterShape, kelvin: float, dimmer: float, halvings: int
) -> None:
    """Exactly for halves, to rounding for any other."""
    (image,) = image_of(small, lamp)
    full = lamp_xyz(LitLamp(image, blackbody(kelvin)))
    assert full.any()
    halved = lamp_xyz(LitLamp(image, blackbody(kelvin) * 0.5**halvings))
    np.testing.assert_array_equal(halved, full * np.float32(0.5**halvings))
    dimmed = lamp_xyz(LitLamp(image, blackbody(kelvin) * dimmer))
    np.testing.assert_allclose(dimmed, full * dimmer, rtol=1e-5, atol=1e-30)


@pytest.mark.slow
@few
@given(lit=st.lists(lamps(), min_size=2, max_size=3), kelvin=kelvins, with_room=st.booleans())
def test_lamps_together_are_the_sum_of_each_alone_bit_for_bit(
    small: Tracer, lit: list[EmitterShape], kelvin: float, with_room: bool
) -> None:
    all_lamps = [*lit, ROOM] if with_room else lit
    together = [lamp_xyz(LitLamp(image, blackbody(kelvin))) for image in image_of(small, *all_lamps)]
    alone = [lamp_xyz(LitLamp(image_of(small, lamp)[0], blackbody(kelvin))) for lamp in all_lamps]
    np.testing.assert_array_equal(scene_xyz(together), np.add.reduce(alone))
    assert all(light.any() for light in alone)


@few
@given(at=st.tuples(metres, st.floats(-0.3, 0.05), st.floats(0.15, 0.4)), share=st.floats(0.2, 0.8), finish=finishes)
def test_two_parts_of_a_panel_give_the_light_of_the_whole(
    at: tuple[float, float, float], share: float, finish: Finish
) -> None:
    """Traced as lamps of their own, all of radiance 1, before the wall of the corner: one behind it lights nothing."""
    axes, (width, height) = axes_facing(-np.array(at)), (0.10, 0.07)
    whole = EmitterShape("panel", np.array(at), axes, (width, height))
    parts = [
        EmitterShape("panel", at + axes[:, 0] * width * (share - 1), axes, (share * width, height)),
        EmitterShape("panel", at + axes[:, 0] * width * share, axes, ((1 - share) * width, height)),
    ]
    read = irradiance(corner(finish), [whole, *parts], [meter((0.05, 0.02, 0.03), (0.3, -0.2, 1))], 1 << 15, 1)
    lux = read[..., 0, :].sum(axis=(2, 3))
    ratio = mean_ratio(Estimate.of(lux[1] + lux[2]), Estimate.of(lux[0]))
    assert ratio.half_width < 0.02
    assert ratio.contains(1.0)


# mirrors


@few
@given(lamp=lamps(), finish=finishes)
def test_a_symmetric_scene_and_its_mirror_image_are_lit_alike(lamp: EmitterShape, finish: Finish) -> None:
    """A lamp on the left gives a meter on the right what the lamp's mirror image gives the meter's."""
    flip = np.array([-1.0, 1.0, 1.0])
    mirrored = EmitterShape(lamp.kind, lamp.at * flip, axes_facing(lamp.axes[:, 2] * flip), lamp.half, lamp.intensity)
    place, facing = np.array([0.07, -0.03, 0.06]), np.array([0.5, -0.2, 1.0])
    meters = [meter(place, facing), meter(place * flip, facing * flip)]
    read = irradiance(valley(finish), [lamp, mirrored], meters, 1 << 15, 2).sum(axis=(2, 4))
    one, other = read[0, :, 0], read[1, :, 1]
    ratio = mean_ratio(Estimate.of(one), Estimate.of(other))
    assert ratio.half_width < 0.05
    assert ratio.contains(1.0)


def corner(finish: Finish) -> Tracer:
    """Return a floor and a wall behind it of one finish."""
    floor, wall = meter((0, 0, 0), (0, 0, 1), 0.6, 0.6), meter((0, 0.2, 0.1), (0, -1, 0), 0.6, 0.2)
    return Tracer(Geometry((board(floor, finish), board(wall, finish)), CAMERA))


def valley(finish: Finish) -> Tracer:
    """Return a grey floor between two slopes of one finish, the same left and right."""
    floor = board(meter((0, 0, 0), (0, 0, 1), 0.6, 0.6), Finish.board(0.5))
    slopes = (board(meter((x, 0, 0.08), (-x, 0, 0.1), 0.4, 0.15), finish) for x in (-0.15, 0.15))
    return Tracer(Geometry((floor, *slopes), CAMERA))


# units


@settings(few, max_examples=12)
@given(size=st.tuples(*[st.floats(0.5, 3.0)] * 3), height_cm=st.floats(3, 40), power=st.integers(-7, 7))
def test_a_mesh_in_any_unit_is_the_same_geometry_once_its_height_is_known(
    tmp_path_factory: pytest.TempPathFactory, size: tuple[float, float, float], height_cm: float, power: int
) -> None:
    """To the bit where the unit changes by a power of two, as rounding does not then; else to single precision."""
    folder = tmp_path_factory.mktemp("units")
    written = {factor: geometry_of(folder, size, factor, height_cm) for factor in (1.0, 2.0**power, 0.001, 25.4)}
    plain = written[1.0]
    assert written[2.0**power].fingerprint == plain.fingerprint
    for geometry in written.values():
        for one, other in zip(geometry.surfaces, plain.surfaces, strict=True):
            np.testing.assert_array_equal(one.faces, other.faces)
            np.testing.assert_allclose(one.vertices, other.vertices, atol=1e-6 * height_cm / 100 * max(size))


def geometry_of(folder: Path, size: tuple[float, float, float], factor: float, height_cm: float) -> Geometry:
    """Return the geometry of a capsule pressed to a size, written as numbers `factor` times as large."""
    mesh = trimesh.creation.capsule(height=2, radius=1, count=[8, 8])
    mesh.apply_transform(np.diag([*(factor * np.array(size, np.float32)), 1.0]))
    path = folder / f"pill_{factor:g}.stl"
    mesh.export(path)
    subject = subject_in(path, height_cm=height_cm)
    arrangement = fill_model({"subject": {"mesh": path.name}, "lamps": [LAMP]}, Arrangement, "test")
    return setup_geometry(place(AS_PLACED, arrangement, subject, 0.75), PartFinishes(), 30, 40)


# energy and reciprocity of the finishes, as the kernel has them


@more
@given(finish=finishes, cosine=st.floats(0.05, 1.0), turn=st.floats(0, 6.28))
def test_no_finish_sends_on_more_than_arrives_and_each_what_its_formula_says(
    finish: Finish, cosine: float, turn: float
) -> None:
    """The mean over sampled directions of the BSDF times cosine, over their density."""
    sent = albedo(finish, direction(cosine, turn))
    assert sent.max() < 1.002
    np.testing.assert_allclose(sent, formula(finish, cosine), rtol=0.004, atol=1e-6)


@more
@given(finish=finishes, seed=st.integers(0, 1000))
def test_a_finish_is_the_same_when_lamp_and_eye_change_places(finish: Finish, seed: int) -> None:
    """Helmholtz: what is sent one way over its cosine, for a thousand pairs of directions."""
    mi = mitsuba()
    ways = np.random.default_rng(seed).normal(size=(2, 1000, 3))
    ways /= np.linalg.norm(ways, axis=2, keepdims=True)
    ways[..., 2] = np.copysign(np.maximum(np.abs(ways[..., 2]), 0.02), ways[..., 2])
    ways /= np.linalg.norm(ways, axis=2, keepdims=True)
    ways[0, :, 2] = np.abs(ways[0, :, 2])
    outgoing, incident = ways
    side = np.where(incident[:, 2:] < 0, [1.0, 1.0, -1.0], 1.0)  # where light is transmitted, the sides are exchanged
    there, again = (
        (bsdf_of(finish, mi.Vector3f(a.T)).evaluate(mi.Vector3f(b.T)), np.abs(b[:, 2]))
        for a, b in ((outgoing, incident), (incident * side, outgoing * side))
    )
    for lobe in ("primary", "secondary", "achromatic"):
        one, other = (without_cosine(value, lobe, cosine) for value, cosine in (there, again))
        np.testing.assert_allclose(one, other, rtol=3e-4, atol=1e-6)


def without_cosine(value: BsdfValue, lobe: str, cosine: Array) -> Array:
    """Return one lobe of a BSDF."""
    return np.asarray(np.array(getattr(value, lobe), dtype=np.float64) / cosine)


def direction(cosine: float, turn: float) -> Array:
    """Return a local direction."""
    sine = np.sqrt(1 - cosine**2)
    return np.array([sine * np.cos(turn), sine * np.sin(turn), cosine])


def albedo(finish: Finish, outgoing: Array) -> Array:
    """Return the directional albedo at each of some wavelengths."""
    mi = mitsuba()  # before drjit is imported, which finds its LLVM then
    import drjit as dr

    place = dr.arange(mi.UInt32, GRID * GRID)
    bsdf = bsdf_of(finish, mi.Vector3f(np.repeat(outgoing[:, None], GRID * GRID, axis=1)))
    u, v = ((mi.Float(n) + 0.5) / GRID for n in (place % GRID, place // GRID))
    lobe = (np.random.default_rng(0).permutation(GRID * GRID) + 0.5) / (GRID * GRID)
    value = bsdf.evaluate(bsdf.sample(mi.Float(lobe.astype(np.float32)), u, v))
    weight = dr.select(value.pdf > 0, dr.rcp(value.pdf), 0.0)
    tints = zip(bsdf.primary_tint, bsdf.secondary_tint, strict=True)
    samples = [
        (first * value.primary + second * value.secondary + value.achromatic) * weight for first, second in tints
    ]
    return np.array([np.mean(np.array(sample, dtype=np.float64)) for sample in samples])


def formula(finish: Finish, cosine: float) -> float:
    """Return the directional albedo of a grey finish, from the tables of its facets."""
    base = float(finish.base[0])
    if finish.kind == "matt":
        return base
    if finish.kind == "diffuser":
        return base + float(finish.transmittance[0])
    if finish.kind == "plastic":
        passes = 1 - float(np.interp(cosine, COSINES, directional_albedo(finish.roughness, finish.index)))
        return dielectric_albedo(finish.roughness, finish.index, cosine) + base * passes
    facets = float(np.interp(cosine, COSINES, directional_albedo(finish.roughness)))
    late = float(multiple_scattering_tint(finish.base, finish.roughness, finish.dip)[0])
    return metal_facets(base, finish.roughness, cosine, finish.dip) + late * (1 - facets)
