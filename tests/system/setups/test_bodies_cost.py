"""What is lost by tracing lamps as light only: the oracle with their bodies in place against the oracle without."""

from __future__ import annotations

import numpy as np
import pytest

from materials.arrays import Mask
from render.camera.lamp_bodies import visible_body
from render.description.lit_emitter import lit_emitters
from render.images.bands import xyz_weights
from tests.support.kernel.oracle import FLAT, Oracle
from tests.support.kernel.oracle_finishes import plain_bsdf
from tests.support.kernel.significance import Ratio, mean_of
from tests.support.measured import Measured
from tests.support.notes import note

pytestmark = pytest.mark.slow
SECTION = "lamp bodies in place (black back, face .6) over light only, mean luminance, stops"
LUMINANCE = xyz_weights(FLAT)[1]
BATCHES = 8
SAMPLES = dict.fromkeys(("butterfly-close", "butterfly-card", "broad", "clamshell", "low-key"), 2)
SAMPLES |= {"rim-fill": 16, "three-point": 16, "high-key": 16}
"""Of each pixel in a batch; small bright lamps that metal mirrors need more. The other setups of the sheet have their
lamps where these have them, or farther away.
"""
SUBJECT_WITHIN = 1 / 30
"""In stops: a tenth of the step that cameras and dimmers are set in."""

Changes = dict[str, dict[str, Ratio]]


@pytest.fixture(scope="module")
def changes(demo: dict[str, Measured]) -> Changes:
    """Return what bodies change on subject and backdrop of the setups whose lamps stand nearest, in stops."""
    oracles: dict[str, Oracle] = {}
    found: Changes = {}
    for name in SAMPLES:
        geometry = demo[name].frame.shot.geometry
        if geometry.fingerprint not in oracles:
            oracles[geometry.fingerprint] = Oracle(geometry, plain_bsdf)  # what bodies change, not what finishes are
        found[name] = _changes(demo[name], oracles[geometry.fingerprint])
        note(SECTION, f"{name}: " + ", ".join(f"{zone} {_shown(change)}" for zone, change in found[name].items()))
    return found


def test_the_bodies_of_lamps_change_the_subject_by_less_than_a_thirtieth_of_a_stop(changes: Changes) -> None:
    assert changes.keys() == SAMPLES.keys()
    for name, change in changes.items():
        subject = change["subject"]
        assert abs(subject.value) + subject.half_width < SUBJECT_WITHIN, name


@pytest.mark.parametrize("name", ["butterfly-close", "butterfly-card", "clamshell", "three-point"])
def test_the_white_faces_of_lamps_near_the_subject_send_light_back_to_it(changes: Changes, name: str) -> None:
    subject = changes[name]["subject"]
    assert subject.value > subject.half_width


def _changes(measured: Measured, oracle: Oracle) -> dict[str, Ratio]:
    """Return how many stops the bodies of the lamps add, zone by zone; where a body is seen belongs to none.

    Both pictures are traced from the same seeds, so that paths that meet no body are the same and their noise cancels.
    """
    shot, samples = measured.frame.shot, SAMPLES[measured.frame.setup.name]
    radiance = [light.dimmed_radiance for light in lit_emitters(measured.frame.setup, shot.room)]
    without, within = (
        np.tensordot(
            oracle.images(shot.emitter_shapes, samples, range(BATCHES), radiance, bodies=bodies), LUMINANCE, (1, 0)
        )
        for bodies in (False, True)
    )
    hidden = [visible_body(lamp, shot.geometry.camera, measured.features.depth)[0] for lamp in shot.emitter_shapes]
    clear: Mask = ~np.any(hidden, axis=0)
    zones = {"subject": measured.subject & clear, "backdrop": (measured.features.backdrop > 0.99) & clear}
    return {
        # of a small share, the logarithm is the share
        zone: mean_of((within - without)[:, seen].mean(axis=1) / without[:, seen].mean() / np.log(2))
        for zone, seen in zones.items()
    }


def _shown(change: Ratio) -> str:
    return f"{change.value:+.4f} ± {change.half_width:.4f}"
