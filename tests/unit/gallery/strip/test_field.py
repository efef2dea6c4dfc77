"""Fields of an arrangement varied by their paths: what is read, what is refused, what is shared and what is held."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from gallery.inputs import reopened
from gallery.strip.field import Field, format_value, read_field, vary
from gallery.strip.strip import lock_exposures
from gallery.strip.variation import Strip, StripRequest, strip_of, with_dimmers
from render import recesses
from render.camera.exposure import Exposure
from render.camera.locked_exposure import LockedExposure, White
from scenes.arrangement import resolving
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.arrangement.subject_model import SubjectModel
from scenes.errors import InputError
from scenes.geometry import unit
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.seating import Tick
from scenes.subject.subject import Subject
from tests.support.arrangements import resolved

LAMPS = [
    {"name": "large", "size_cm": [20, 14], "kelvin": 4000},
    {"name": "low", "size_cm": [8, 8], "lux_at": {"lux": 900, "cm": 50}},
    {"name": "small", "size_cm": [5, 3], "dimmable": False},
]
SUBJECT: dict[str, Any] = {"mesh": "figure.stl", "height_cm": 12, "parts": [{"match": "*", "base": "#c0b8a8"}]}
WHITE = White(np.ones(3), 4000.0)


def arranged(**keys: Any) -> Arrangement:
    return fill_model({"subject": SUBJECT, "lamps": LAMPS, **keys}, Arrangement, "test")


def opened(folder: Path = Path(), /, **keys: Any) -> ResolvedArrangement:
    body, head = trimesh.creation.box((4, 3, 8)), trimesh.creation.box((2, 2, 4))
    body.apply_translation([0, 0, 4])
    head.apply_translation([0, 0, 10])
    parts = [(name, mesh.vertices, mesh.faces) for name, mesh in (("body", body), ("head", head))]
    return resolved(arranged(**keys), subject_from_parts("figure", parts), folder)


def strip(said: str, setup: str = "loop", folder: Path = Path(), **keys: Any) -> Strip:
    return strip_of(StripRequest(opened(folder, **keys), setup, (60, 80)), read_field(said))


def test_a_field_is_a_path_and_values_as_numbers_or_words() -> None:
    assert read_field("lamps.key.kelvin=3000, 4500.5") == Field(
        "lamps.key.kelvin", ("lamps", "key", "kelvin"), (3000, 4500.5)
    )
    assert read_field("backdrop.reflectance=white paper,0.18").values == ("white paper", 0.18)
    assert read_field("lamps.key.dimmable=true,false").values == (True, False)
    assert read_field("finish=matt,20").steps == read_field("finish.gloss=5,20").steps == ("subject", "topcoat")


@pytest.mark.parametrize("said", ["finish", "finish=", "finish=matt", "=matt,gloss", "camera..iso=1,2"])
def test_a_field_without_a_path_or_with_fewer_than_two_values_is_told_how_to_write_it(said: str) -> None:
    with pytest.raises(InputError, match="write FIELD=VALUE,VALUE"):
        read_field(said)


def test_a_strip_takes_twelve_values_at_most() -> None:
    with pytest.raises(InputError, match="13 values: a strip takes 12 at most"):
        read_field("camera.iso=" + ",".join(str(100 + i) for i in range(13)))


@pytest.mark.parametrize(
    ("said", "told"),
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
def test_a_wrong_field_or_value_is_one_sentence_with_what_would_be_right(said: str, told: str) -> None:
    with pytest.raises(InputError) as error:
        strip(said)
    assert told in str(error.value)
    assert "\n" not in str(error.value)


def test_a_lamp_whose_spectrum_is_fixed_has_no_kelvin_to_vary() -> None:
    lamps = [{"name": "tube", "size_cm": [20, 5], "spectrum": "FL2"}]
    with pytest.raises(InputError, match="kelvin changes nothing"):
        strip("lamps.key.kelvin=3000,5000", lamps=lamps)


def test_a_lamp_that_does_not_dim_is_not_dimmed() -> None:
    with pytest.raises(InputError, match="small cannot be dimmed"):
        strip("lamps.small.dimmer=1,0.5", "three-point")


@pytest.mark.parametrize(
    ("said", "key", "values"),
    [
        ("camera.f_number=4,8", "f_number", [4, 8]),
        ("camera.white_balance=3000,5000", "white_balance", [3000, 5000]),
    ],
)
def test_a_key_is_varied_by_its_path(said: str, key: str, values: list[float]) -> None:
    field = read_field(said)
    assert [getattr(vary(arranged(), field, value).camera, key) for value in field.values] == values


def test_a_member_of_a_list_is_named_by_its_match_or_by_its_number() -> None:
    for path in ("subject.parts.*.gloss", "subject.parts.1.gloss"):
        field = read_field(f"{path}=5,50")
        subject = vary(arranged(), field, 50).subject
        assert subject is not None
        assert subject.parts[0].gloss == 50


def test_iso_and_shutter_are_checked_and_left_to_the_strip() -> None:
    assert vary(arranged(), read_field("camera.iso=50,100"), 100) == arranged()


def test_another_reflectance_takes_the_place_of_a_colour() -> None:
    arrangement = arranged(backdrop={"colour": "#24508c"})
    backdrop = vary(arrangement, read_field("backdrop.reflectance=0.1,0.5"), 0.5).backdrop
    assert (backdrop.reflectance, backdrop.colour) == (0.5, None)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("finish=matt,20", ["matt", "20 GU"]), ("camera.f_number=8,11", ["f/8", "f/11"]),
        ("camera.shutter_s=0.5,0.01", ["0.5 s", "1/100 s"]), ("lamps.key.dimmer=1,0.25", ["100 %", "25 %"]),
        ("lamps.key.rise_deg=20,40", ["rise 20 degrees", "rise 40 degrees"]), ("room.lux=0,40", ["0 lx", "40 lx"]),
        ("backdrop.reflectance=white paper,0.18", ["reflectance white paper", "reflectance 0.18"]),
        ("subject.height_cm=10,12.5", ["height 10 cm", "height 12.5 cm"]),
    ],
)  # fmt: skip
def test_a_value_is_said_with_its_unit(said: str, words: list[str]) -> None:
    field = read_field(said)
    assert [format_value(field, value) for value in field.values] == words


LIGHT = (
    "lamps.key.dimmer=1,0.5", "lamps.key.kelvin=3000,5000", "lamps.low.lumens=500,900",
    "lamps.fill.stops_under_key=1,2", "camera.f_number=4,8", "camera.iso=50,100", "camera.white_balance=3000,5000",
    "room.lux=10,40", "room.kelvin=2700,5000",
)  # fmt: skip


@pytest.mark.parametrize("said", LIGHT)
def test_light_and_camera_are_varied_over_one_geometry_and_the_same_lamps(said: str) -> None:
    taken = strip(said, "three-point", room={"lux": 20})
    assert all(shot.geometry is taken.base.geometry for shot in taken.shots)
    assert len({shot.emitters for shot in (taken.base, *taken.shots)}) == 1


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


def loads(folder: Path, monkeypatch: pytest.MonkeyPatch) -> list[SubjectModel]:
    """Return what is appended to where the mesh in a folder is loaded."""
    (folder / SUBJECT["mesh"]).touch()
    loaded: list[SubjectModel] = []

    def load(paths: Sequence[Path], declared: SubjectModel, *, tick: Tick) -> Subject | None:
        tick("reading")
        assert paths == [folder / SUBJECT["mesh"]]
        loaded.append(declared)
        return opened().subject

    monkeypatch.setattr(resolving, "load_subject", load)
    return loaded


def test_a_mesh_is_loaded_anew_only_where_it_is_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    loaded = loads(tmp_path, monkeypatch)
    for said in ("subject.faces_deg=-20,20", "subject.hero=head,body", "finish=matt,gloss", "camera.fill_frame=.4,.6"):
        strip(said, folder=tmp_path)
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


def test_dimmers_of_ratios_are_held_as_they_are_solved_for_the_arrangement_and_a_varied_ratio_is_not() -> None:
    taken = with_dimmers(strip("lamps.key.dimmer=1,0.5", "three-point"), [1000.0, 500.0, 100.0])
    assert [[lamp.dimmer for lamp in shot.setup.lamps[:2]] for shot in taken.shots] == [[1.0, 0.5], [0.5, 0.5]]
    assert all(lamp.stops_under_key is None for shot in taken.shots for lamp in shot.setup.lamps)
    free = with_dimmers(strip("lamps.fill.stops_under_key=1,3", "three-point"), [1000.0, 500.0, 100.0])
    assert [shot.setup.lamps[1].stops_under_key for shot in free.shots] == [1, 3]


def test_the_exposure_of_the_frame_that_needs_least_and_one_white_balance_are_held() -> None:
    taken = strip("lamps.key.dimmer=1,0.5")
    exposures = [Exposure(1 / 60, 50, 1.8), Exposure(1 / 30, 50, 1.8)]
    wanted = [
        LockedExposure(exposure, White(np.ones(3), kelvin))
        for exposure, kelvin in zip(exposures, (3000, 5000), strict=True)
    ]
    kept = lock_exposures(taken, wanted, WHITE)
    assert [each.exposure for each in kept] == [exposures[0]] * 2
    assert all(each.white is WHITE for each in kept)
    own = lock_exposures(replace(taken, field=read_field("camera.white_balance=3000,5000")), wanted, WHITE)
    assert [each.white.kelvin for each in own] == [3000, 5000]


def test_a_setting_that_is_varied_moves_and_the_others_are_held() -> None:
    taken = strip("camera.iso=100,400")
    wanted = [LockedExposure(Exposure(1 / 30, 50, 1.8), WHITE)] * 2
    exposures = [each.exposure for each in lock_exposures(taken, wanted, WHITE)]
    assert [exposure.iso for exposure in exposures] == [100, 400]
    assert exposures[0].shutter_s == exposures[1].shutter_s == pytest.approx(1 / 240)


def test_an_exposure_that_the_arrangement_fixes_is_the_one_that_is_held() -> None:
    taken = strip("camera.f_number=4,8", camera={"shutter_s": 0.5, "iso": 100})
    wanted = [LockedExposure(Exposure(0.5, 100, shot.camera.f_number or 0), WHITE) for shot in taken.shots]
    assert [each.exposure for each in lock_exposures(taken, wanted, WHITE)] == [
        Exposure(0.5, 100, 4),
        Exposure(0.5, 100, 8),
    ]


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
