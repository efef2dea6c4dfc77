"""The shots of a strip: what is refused, what is shared, what moves."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gallery.inputs import reopened
from gallery.strip.arrangement_fields import vary
from gallery.strip.field import read_field
from render import recesses
from scenes.errors import InputError
from scenes.geometry import unit
from scenes.subject.subject import Subject
from tests.support.sheets.strips import loads, opened, strip


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("camra.iso=1,2", "did you mean 'camera'"),
        ("camera.f_numbr=2,4", "did you mean 'f_number'"),
        ("camera.iso=3,100", "camera.iso = 3: should be 6 or more"),
        ("camera.f_number=fast,4", 'camera.f_number = "fast": should be a number'),
        ("finish=glos,matt", "did you mean 'gloss'"),
        ("finish.gloss=1,99", "subject.topcoat = 99: should be 89 or less"),
        ("room.lux=dark,lit rom", "did you mean 'lit room'"),
        ("backdrop.reflectance=white papr,0.2", "did you mean 'white paper'"),
        ("subject.parts.hed.gloss=5,20", "there is no 'hed'"),
        ("lamps.ky.dimmer=1,0.5", "did you mean 'key'"),
        ("lamps.key=1,2", "name a lamp of loop by its role or its name"),
        ("lamps.key.dimer=1,0.5", "did you mean 'dimmer'"),
        ("lamps.key.dims=true,false", "'lamps.key.dims': dims is now called dimmable"),
        ("lamps.key.sheet=a,b", "'lamps.key.sheet': sheet is now called diffuser"),
        ("subject.mask=a,b", "subject.mask is now called no_topcoat"),
        ("lamps.key.dimmer=1,2", "dimmer = 2: should be 1 or less"),
        ("lamps.key.round_deg=45,400", "round_deg = 400: should be 180 or less"),
        ("lamps.key.lumens=800,-1", "lumens = -1: should be greater than 0"),
        ("cards.bounce.distance=1,2", "name a card of loop"),
        ("title=a,b", "title changes nothing in setup 'loop'"),
        ("subject.mesh.x=1,2", "'mesh' is one value"),
    ],
)
def test_a_wrong_field_or_value_is_one_sentence_with_what_would_be_right(text: str, message: str) -> None:
    with pytest.raises(InputError) as error:
        strip(text)
    assert message in str(error.value)
    assert "\n" not in str(error.value)


def test_a_lamp_whose_spectrum_is_fixed_has_no_kelvin_to_vary() -> None:
    lamps = [{"name": "tube", "size_cm": [20, 5], "spectrum": "FL2"}]
    with pytest.raises(InputError, match="kelvin changes nothing"):
        strip("lamps.key.kelvin=3000,5000", lamps=lamps)


def test_a_lamp_that_does_not_dim_is_not_dimmed() -> None:
    with pytest.raises(InputError, match="small cannot be dimmed"):
        strip("lamps.small.dimmer=1,0.5", "three-point")


LIGHT = (
    "lamps.key.dimmer=1,0.5", "lamps.key.kelvin=3000,5000", "lamps.low.lumens=500,900",
    "lamps.fill.stops_under_key=1,2", "camera.f_number=4,8", "camera.iso=50,100", "camera.white_balance=3000,5000",
    "room.lux=10,40", "room.kelvin=2700,5000",
)  # fmt: skip


@pytest.mark.parametrize("text", LIGHT)
def test_light_and_camera_are_varied_over_one_geometry_and_the_same_lamps(text: str) -> None:
    taken = strip(text, "three-point", camera={"kind": "camera"}, room={"lux": 20})
    assert all(shot.geometry is taken.base.geometry for shot in taken.shots)
    assert len({shot.emitter_shapes for shot in (taken.base, *taken.shots)}) == 1


def test_a_lamp_is_moved_as_its_setup_counts_places_and_nothing_else_moves() -> None:
    taken = strip("lamps.key.round_deg=-30,-60", "three-point")
    keys = [shot.setup.lamps[0].place.at_cm for shot in taken.shots]
    assert keys[0][0] > keys[1][0]
    assert all(shot.setup.lamps[1:] == taken.base.setup.lamps[1:] for shot in taken.shots)
    assert all(shot.geometry is taken.base.geometry for shot in taken.shots)


def test_a_finish_is_varied_over_the_same_triangles() -> None:
    taken = strip("finish=matt,gloss")
    assert taken.shots[0].geometry.surfaces[0].vertices is taken.shots[1].geometry.surfaces[0].vertices
    assert taken.shots[0].geometry.fingerprint != taken.shots[1].geometry.fingerprint
    assert [shot.finish for shot in taken.shots] == ["matt", "gloss"]


def test_as_built_is_one_of_the_finishes() -> None:
    taken = strip("finish=as-built,matt")
    assert taken.shots[0].geometry.fingerprint == taken.base.geometry.fingerprint


def test_a_mesh_is_loaded_anew_only_where_it_is_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    loaded = loads(tmp_path, monkeypatch)
    for text in ("subject.faces_deg=-20,20", "subject.hero=head,body", "finish=matt,gloss", "camera.fill_frame=.4,.6"):
        strip(text, folder=tmp_path)
    assert not loaded
    here = opened(tmp_path)
    there = reopened(here, vary(here.declared, read_field("subject.height_cm=10,20"), 20))
    assert there.subject is not here.subject
    assert len(loaded) == 1


def test_a_turned_subject_is_turned_by_what_it_differs() -> None:
    turned = strip("subject.faces_deg=0,30").shots[1].setup.subject
    assert turned is not None
    flat = turned.parts[0].normals
    assert np.abs(flat @ unit([0.5, -(3**0.5) / 2, 0])).max() == pytest.approx(1, abs=1e-6)


def test_for_a_wash_that_is_not_declared_recesses_are_measured_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    loaded, measured = loads(tmp_path, monkeypatch), []

    def with_recesses(subject: Subject, width_mm: float, _: object) -> Subject:
        measured.append(width_mm)
        parts = [replace(part, recess=np.ones(part.faces.shape, np.float32)) for part in subject.parts]
        return replace(subject, parts=tuple(parts))

    monkeypatch.setattr(recesses, "with_recesses", with_recesses)
    shots = strip("subject.wash.strength=0.2,0.5,0.9", folder=tmp_path).shots
    assert (len(loaded), measured) == (1, [0.3])
    assert len({shot.geometry.fingerprint for shot in shots}) == 3
