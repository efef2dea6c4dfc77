"""Frames: with the lamp images in the store, a frame under other lamps is arithmetic."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from materials.colour.srgb import srgb_decode
from render.allocation.rounds import Rounds
from render.description.scene import setup_geometry
from render.frame import take_frame
from render.images import shown_light
from render.images.bands import band_basis
from render.images.jobs import metered_exposures, take_frames
from render.images.passes.pass_sums import PassSums
from render.images.passes.sealing import seal
from render.images.small_results import RECEPTOR_SAMPLES
from render.images.store.descriptions import Descriptions
from render.images.store.feature_entries import FeatureEntries
from render.images.store.image_entries import ImageEntries
from render.images.store.keys import result_key
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.kernel.features import Features
from render.shot import Shot
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.setups.place_setup import place_setup
from scenes.setups.placed import AS_PLACED
from scenes.subject.from_meshes import subject_from_parts
from tests.support.arrangements import resolved
from tests.unit.scenes.setups.test_setup import FIGURE

LAMPS: list[dict[str, Any]] = [
    {"name": "A", "size_cm": [20, 14], "at_cm": [-30, -40, 40], "aim_cm": [0, 0, 10]},
    {"name": "B", "kind": "bulb", "diameter_cm": 6, "at_cm": [45, -30, 20]},
]
WIDTH, HEIGHT = 24, 32


def shot(*changes: dict[str, Any], **keys: Any) -> Shot:
    """Return a shot of a figure under two lamps fixed by hand, each of them changed."""
    lamps = [{**lamp, **change} for lamp, change in zip(LAMPS, changes or ({}, {}), strict=True)]
    declared = fill_model({"subject": {"mesh": "x"}, "lamps": lamps, **keys}, Arrangement, "test")
    arrangement = resolved(declared, subject_from_parts("figure", FIGURE))
    setup = place_setup(AS_PLACED, arrangement, WIDTH / HEIGHT)
    geometry = setup_geometry(setup, arrangement.finishes, WIDTH, HEIGHT)
    return Shot(setup, "as-built", geometry, declared.camera, arrangement.room)


def grey_image(seed: int) -> NDArray[np.float32]:
    """Return the planes of a flat lamp on a grey scene: a tenth of the light is specular, three tenths indirect."""
    level = np.random.default_rng(seed).uniform(0.01, 0.1, (HEIGHT, WIDTH))
    return np.asarray(np.append(band_basis().sum(axis=1), [0.1, 0.3])[:, None, None] * level, dtype=np.float32)


def remember(store: Store, traced: Shot) -> None:
    """Put into the store what the kernel would have traced for a shot."""
    entries = ImageEntries(store, Descriptions())
    where = np.zeros((HEIGHT, WIDTH), np.float32)
    where[8:24, 6:18] = 1.0
    plain = np.full((HEIGHT, WIDTH, 3), 0.5, np.float32)
    depth = where + 0.5
    seen = Features(albedo=plain, normal=plain, depth=depth, subject=where, backdrop=1 - where, body_depth=depth)
    FeatureEntries(store, Descriptions()).save(traced.geometry, seen)
    for number, lamp in enumerate(traced.emitter_shapes):
        half = grey_image(number)
        entries.save_sealed(traced.geometry, lamp, seal(PassSums(half, half, 1, 1)))
        for receptor in traced.receptors:
            key = result_key(f"meter-{RECEPTOR_SAMPLES}", traced.bare_geometry, lamp, receptor)
            flat = band_basis().sum(axis=1) * [[0.2], [0.05]] * (1 + number)
            store.save(key, irradiance=np.broadcast_to(flat, (16, *flat.shape)).copy())


@pytest.fixture
def tracing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tracing:
    """Return the tracing of a full store, that fails where anything would be rendered."""

    def refuse(*_: object) -> None:
        pytest.fail("this is rendered anew")

    store = Store(tmp_path)
    remember(store, shot())
    remember(store, shot(room={"lux": 40}))
    monkeypatch.setattr(Tracing, "_tracer_of", refuse)
    monkeypatch.setattr(shown_light, "denoise", lambda linear, *_: linear)
    return Tracing(store)


FIXED = {"shutter_s": 0.01, "iso": 100}
RELIT: dict[str, tuple[Any, ...]] = {
    "as traced": ({}, {}, {}),
    "one lamp dimmed": ({"dimmer": 0.3}, {}, {}),
    "one lamp off": ({"dimmer": 0}, {}, {}),
    "both lamps off": ({"dimmer": 0}, {"dimmer": 0}, {}),
    "other bulbs": ({"kelvin": 2000}, {"kelvin": 6500, "lumens": 80}, {}),
    "a fixed exposure": ({}, {}, {"camera": FIXED}),
    "another camera": ({}, {}, {"camera": {"kind": "camera"}}),
    "a fixed white balance": ({}, {}, {"camera": {"white_balance": 5500}}),
    "a lit room": ({}, {}, {"room": {"lux": 200, "kelvin": 2700}}),
}


@pytest.mark.parametrize("how", RELIT)
def test_relighting_what_is_stored_renders_nothing(tracing: Tracing, how: str) -> None:
    a, b, keys = RELIT[how]
    frame = take_frame(shot(a, b, **keys), tracing, 2)
    assert frame.rgb.shape == (HEIGHT, WIDTH, 3)
    assert not tracing.statistics.traced
    assert np.isfinite([frame.exposure.ev100, frame.white_balance_kelvin or np.nan]).all()


def test_frames_taken_in_threads_are_those_taken_one_by_one(tracing: Tracing) -> None:
    shots = [shot({"dimmer": 0.1 * n}, {"kelvin": 2500 + 100 * n}) for n in range(1, 6)]
    frames = dict(take_frames(shots, tracing, 2))
    assert list(frames) == list(range(5))
    metered = metered_exposures(shots, tracing, 2)
    for i, each in enumerate(shots):
        alone = take_frame(each, Tracing(tracing.store), 2)
        np.testing.assert_array_equal(frames[i].rgb, alone.rgb)
        assert frames[i].readings == alone.readings
        assert frames[i].exposure == alone.exposure == metered[i].exposure
    assert not tracing.statistics.traced


def test_nothing_is_missing_of_what_is_stored_and_all_of_what_is_not(tracing: Tracing) -> None:
    assert Rounds([shot(), shot({"dimmer": 0.5}, {"kelvin": 2700})], tracing).number == 1
    moved = Rounds([shot({"at_cm": [-30, -40, 41]}, {}), shot()], tracing)
    assert moved.number == 0
    (work,) = moved.next_work()
    assert len(work.lamps) == 1


@pytest.mark.parametrize("change", [{"at_cm": [-30, -40, 41]}, {"aim_cm": [0, 0, 9]}, {"size_cm": [20, 15]}])
def test_a_lamp_moved_or_reshaped_is_a_lamp_to_trace(tracing: Tracing, change: dict[str, Any]) -> None:
    with pytest.raises(pytest.fail.Exception, match="rendered anew"):
        take_frame(shot(change, {}), tracing, 2)


def test_with_a_fixed_exposure_half_the_dimmers_are_half_the_light(tracing: Tracing) -> None:
    automatic = take_frame(shot(), tracing, 2).exposure
    fixed = {"shutter_s": automatic.shutter_s, "iso": automatic.iso}
    full, half = (take_frame(shot({"dimmer": d}, {"dimmer": d}, camera=fixed), tracing, 2) for d in (1.0, 0.5))
    assert (full.readings.subject_lux, half.readings.subject_lux) != (None, None)
    assert 2 * (half.readings.subject_lux or 0) == pytest.approx(full.readings.subject_lux)
    np.testing.assert_allclose(srgb_decode(half.rgb / 255) * 2, srgb_decode(full.rgb / 255), atol=0.012)
    assert half.rgb.mean() > 20  # there is light in it to compare


def test_under_automatic_exposure_dimming_every_lamp_by_stops_changes_the_shutter_alone(tracing: Tracing) -> None:
    full, dim = (take_frame(shot({"dimmer": d}, {"dimmer": d}), tracing, 2) for d in (1.0, 0.25))
    np.testing.assert_array_equal(full.rgb, dim.rgb)
    assert dim.exposure.shutter_s == pytest.approx(4 * full.exposure.shutter_s)


@pytest.mark.parametrize("kelvin", [2000, 4000, 6500])
def test_a_grey_scene_is_neutral_under_the_automatic_white_balance_of_any_lamp(tracing: Tracing, kelvin: float) -> None:
    frame = take_frame(shot({"kelvin": kelvin}, {"kelvin": kelvin}), tracing, 2)
    assert frame.white_balance_kelvin == pytest.approx(kelvin, abs=2)
    assert np.ptp(frame.rgb.astype(int), axis=-1).max() <= 1


def test_between_a_warm_and_a_cold_lamp_the_white_balance_lies_between(tracing: Tracing) -> None:
    frame = take_frame(shot({"kelvin": 2700}, {"kelvin": 6500}), tracing, 2)
    assert 2700 < (frame.white_balance_kelvin or 0) < 6500
    off = take_frame(shot({"kelvin": 2700}, {"kelvin": 6500, "dimmer": 0}), tracing, 2)
    assert off.white_balance_kelvin == pytest.approx(2700, abs=2)


def test_a_warm_lamp_is_warm_under_a_cold_white_balance(tracing: Tracing) -> None:
    frame = take_frame(shot({"kelvin": 2700}, {"kelvin": 2700}, camera={"white_balance": 5500}), tracing, 2)
    red, green, blue = frame.rgb.reshape(-1, 3).mean(axis=0)
    assert red > green > blue


def test_with_every_lamp_off_the_frame_is_black(tracing: Tracing) -> None:
    frame = take_frame(shot({"dimmer": 0}, {"dimmer": 0}), tracing, 2)
    assert not frame.rgb.any()
    assert frame.readings.subject_lux == 0
    assert frame.readings.backdrop_stops is None
    assert frame.readings.key_to_fill_stops is None


ALONE = """
import sys
sys.modules["mitsuba"] = sys.modules["mitsuba_oidn"] = None  # importing them fails
from pathlib import Path
from render.frame import take_frame
from render.images.store.store import Store
from render.images.tracing import Tracing
from tests.unit.render.test_frame import shot
frame = take_frame(shot({"dimmer": 0.4}, {"kelvin": 2700}), Tracing(Store(Path(sys.argv[1]))), 2)
assert frame.rgb.any()
"""


def test_relighting_works_where_there_is_neither_renderer_nor_denoiser(tmp_path: Path) -> None:
    remember(Store(tmp_path), shot())
    take_frame(shot(), Tracing(Store(tmp_path)), 2)
    done = subprocess.run([sys.executable, "-c", ALONE, str(tmp_path)], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_frame_does_not_depend_on_what_was_denoised_before(tmp_path: Path) -> None:
    remember(Store(tmp_path), shot())
    warm, cold = shot({"kelvin": 2700}, {"dimmer": 0.3}), shot({"kelvin": 6500}, {})
    first = take_frame(warm, running := Tracing(Store(tmp_path)), 2)
    take_frame(cold, running, 2)
    for tracing in (running, Tracing(Store(tmp_path))):
        np.testing.assert_array_equal(take_frame(warm, tracing, 2).rgb, first.rgb)
    remember(Store(tmp_path / "anew"), shot())
    np.testing.assert_array_equal(take_frame(warm, Tracing(Store(tmp_path / "anew")), 2).rgb, first.rgb)


def test_a_lamp_in_frame_shows_its_own_luminance_and_nothing_of_what_is_behind_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    camera = shot().geometry.camera
    at, aim = ((100 * v).tolist() for v in (camera.at + 0.2 * camera.axes[:, 2], camera.at))
    fixed = {"shutter_s": 1 / 2000, "iso": 8}
    seen = shot({"at_cm": at, "aim_cm": aim, "lumens": 200}, {"lumens": 5000}, camera=fixed)
    remember(Store(tmp_path), seen)
    monkeypatch.setattr(shown_light, "denoise", lambda linear, *_: linear)
    frame = take_frame(seen, Tracing(Store(tmp_path)), 2)
    luminance = 200 / (np.pi * 0.20 * 0.14)  # flux / (pi area)
    middle = frame.rgb[HEIGHT // 2 - 2 : HEIGHT // 2 + 3, WIDTH // 2 - 2 : WIDTH // 2 + 3]
    shown = srgb_decode(middle / 255).mean(axis=(0, 1)) * frame.exposure.white_cd_m2
    np.testing.assert_allclose(shown, luminance, rtol=0.02)
