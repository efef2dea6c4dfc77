"""The lamps and cards owned: a kit beside the arrangement, and what lamps' files say of them."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from scenes.arrangement.folder import Folder
from scenes.arrangement.lamp_model import CompleteLamp
from scenes.arrangement.resolving import ResolvedArrangement, read_arrangement, resolve_values
from scenes.errors import InputError
from scenes.lamps.files.spectrum import read_spectrum
from scenes.lamps.lamp import Lamp
from tests.unit.scenes.lamps.files.test_ies import ies

PANEL = '[[lamps]]\nname = "panel"\nsize_cm = [20, 14]\nlumens = 900\n'
DISC = '[[lamps]]\nname = "disc"\nkind = "disc"\ndiameter_cm = 12\n'
OF_A_FILE = '[[lamps]]\nname = "measured"\nphotometry = "lamp.ies"\n'
FLAT = "".join(f"{nm},1\n" for nm in range(380, 781, 10))
# a cosine by 1 degree, 1000 cd: pi times as many lumens (Lambert)
COSINE = {
    "vertical": " ".join(map(str, range(91))),
    "candela": " ".join(f"{1000 * np.cos(np.radians(d)):.9f}" for d in range(91)),
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "lamps").mkdir()
    (tmp_path / "flat.csv").write_text(FLAT)
    (tmp_path / "lamps" / "flat.csv").write_text(FLAT.replace("780,1", "780,9"))
    (tmp_path / "lamp.ies").write_text(ies(opening=".2 .3 0", **COSINE))
    return tmp_path


def lamps(folder: Path, own: str, kit: str | None = None, at: str = "my-lamps.toml") -> tuple[CompleteLamp, ...]:
    return tuple(lamp.model for lamp in owned(folder, own, kit, at))


def owned(folder: Path, own: str, kit: str | None = None, at: str = "my-lamps.toml") -> tuple[Lamp, ...]:
    if kit is not None:
        (folder / at).write_text(kit)
        own = f'kit = "{at}"\n{own}'
    return values(folder, own).lamps


def values(folder: Path, own: str) -> ResolvedArrangement:
    path = folder / "a.toml"
    path.write_text(own)
    return resolve_values(read_arrangement(path), Folder(folder, str(path)))


def refusal(folder: Path, own: str, kit: str | None = None, at: str = "my-lamps.toml") -> str:
    with pytest.raises(InputError) as caught:
        lamps(folder, own, kit, at)
    return str(caught.value).replace(f"{folder}/", "")


def test_the_lamps_of_a_kit_are_those_of_the_arrangement(folder: Path) -> None:
    assert lamps(folder, "", PANEL + DISC) == lamps(folder, PANEL + DISC)


def test_a_lamp_of_the_kit_is_gone_on_from_by_its_name_and_stands_first(folder: Path) -> None:
    placed = '[[lamps]]\nname = "disc"\nat_cm = [0, -30, 20]\naim_cm = [0, 0, 5]\n'
    first, second = lamps(folder, placed, PANEL + DISC)
    assert (first.name, first.kind, first.diameter_cm, first.at_cm) == ("disc", "disc", 12, (0, -30, 20))
    assert (second.name, second.lumens) == ("panel", 900)


def test_what_the_arrangement_says_stands_over_its_kit(folder: Path) -> None:
    (lamp,) = lamps(folder, '[[lamps]]\nname = "panel"\nlumens = 20\n', PANEL)
    assert (lamp.size_cm, lamp.lumens) == ((20, 14), 20)


@pytest.mark.parametrize(
    ("own", "kit", "cm"),
    [
        ("nearest_cm = 30", "", 30),
        ("", "nearest_cm = 40", 40),
        ("nearest_cm = 30", "nearest_cm = 40", 30),
        ("", "", None),
    ],
)
def test_the_least_distance_of_a_label_is_completed_from_the_kit(
    folder: Path, own: str, kit: str, cm: float | None
) -> None:
    (lamp,) = lamps(folder, f'[[lamps]]\nname = "panel"\n{own}\n', PANEL + kit)
    assert lamp.nearest_cm == cm


def test_a_meters_reading_stands_over_the_lumens_of_the_kit(folder: Path) -> None:
    (lamp,) = lamps(folder, '[[lamps]]\nname = "panel"\nlux_at = { lux = 500, cm = 50 }\n', PANEL)
    assert lamp.lumens is None


def test_the_cards_of_a_kit_follow_those_of_the_arrangement(folder: Path) -> None:
    (folder / "kit.toml").write_text('cards = ["A4 white paper", "A4 white paper", "black foam board"]\n')
    placed_card = '[[cards]]\nname = "flag"\nsize_cm = [9, 9]\nat_cm = [9, 0, 9]\nfacing = [1, 0, 0]\n'
    arrangement = values(folder, 'kit = "kit.toml"\n' + placed_card)
    assert [card.name for card in arrangement.cards] == ["flag", "A4 white paper", "A4 white paper", "black foam board"]
    assert [card.name for card in arrangement.placed_cards] == ["flag"]
    assert arrangement.owned_cards == arrangement.cards[1:]


def test_a_card_that_the_arrangement_names_stands_for_one_of_the_kit(folder: Path) -> None:
    (folder / "kit.toml").write_text('cards = ["A4 white paper", "A4 white paper", {size_cm = "A3"}]\n')
    own = 'kit = "kit.toml"\ncards = [{name = "A4 white paper", size_cm = "A4", at_cm = [9, 0, 9], facing = [1, 0, 0]}'
    arrangement = values(folder, own + ', {size_cm = "A2"}]\n')
    assert [(card.name, card.size_cm, card.at_cm is None) for card in arrangement.cards] == [
        ("A4 white paper", (21, 29.7), False),
        ("card", (42, 59.4), True),
        ("A4 white paper", (21, 29.7), True),
        ("card", (29.7, 42), True),
    ]


def test_two_lamps_of_one_name_in_a_kit_are_told(folder: Path) -> None:
    assert "two lamps are called 'panel'" in refusal(folder, "", PANEL + PANEL)


def test_a_name_that_is_no_text_is_told(folder: Path) -> None:
    assert refusal(folder, '[[lamps]]\nname = ["panel"]\n', PANEL).startswith("a.toml: lamps[1].name")


def test_a_lamp_of_ones_own_needs_a_name_beside_a_kit_too(folder: Path) -> None:
    assert refusal(folder, "[[lamps]]\nsize_cm = [9, 9]\n", PANEL) == "a.toml: key 'lamps[1].name' is missing"


@pytest.mark.parametrize(
    ("kit", "told"),
    [
        (PANEL + "size = [1, 2]\n", "lamps[1] \"panel\": unknown key 'size' (did you mean 'size_cm'?)"),
        (PANEL + DISC + "lumens = -1\n", 'lamps[2] "disc": lumens = -1: should be greater than 0'),
        ("", "a kit has [[lamps]] or [[cards]]; this one has neither"),
        ("lamps = []\n", "a kit has [[lamps]] or [[cards]]; this one has neither"),
        ('cards = ["A4 white papr"]\n', "cards[1] = \"A4 white papr\": no board or paper is called 'white papr' "),
        ("lamps = 3\n", "lamps = 3: should be a list in square brackets"),
        (PANEL.replace("[[lamps]]", "[lamps]"), "lamps: write [[lamps]], in double brackets, above each of them"),
        (PANEL + "lumens = \n", "line 5 is not valid TOML: lumens =: after = stands a value"),
        (PANEL + 'photometry = "gone.ies"\n', 'lamps[1].photometry = "gone.ies": there is no such file; '),
        (
            PANEL + 'photometry = "../lamp.ies"\n',
            'lamps[1].photometry = "../lamp.ies" leaves the arrangement\'s folder',
        ),
    ],
)
def test_what_is_wrong_in_a_kit_is_told_with_its_own_file(folder: Path, kit: str, told: str) -> None:
    assert refusal(folder, "", kit).startswith(f"my-lamps.toml: {told}")


def test_a_kit_that_is_not_there_is_told(folder: Path) -> None:
    assert refusal(folder, 'kit = "gone.toml"\n') == (
        'a.toml: kit = "gone.toml": there is no such file; it should lie beside a.toml'
    )


@pytest.mark.parametrize("said", ["../my-lamps.toml", "/etc/my-lamps.toml", "lamps/../../x.toml", "C:\\\\x.toml"])
def test_a_kit_outside_the_folder_is_refused(folder: Path, said: str) -> None:
    told = f'a.toml: kit = "{said}" leaves the arrangement\'s folder'.replace("\\\\", "\\")
    assert refusal(folder, f'kit = "{said}"\n').startswith(told)


@pytest.mark.parametrize("said", ["../lamp.ies", "/etc/passwd", "link.ies"])
def test_photometry_outside_the_folder_is_refused(folder: Path, said: str) -> None:
    inner = folder / "lamps"
    (inner / "link.ies").symlink_to(folder / "lamp.ies")
    told = refusal(inner, OF_A_FILE.replace("lamp.ies", said))
    assert re.search(rf'lamps\[1\].photometry = "{re.escape(said)}" leaves the arrangement\'s folder', told)


@pytest.mark.parametrize("at", ["my-lamps.toml", "lamps/mine.toml"])
def test_the_files_of_a_kit_lie_beside_the_kit(folder: Path, at: str) -> None:
    (lamp,) = owned(folder, "", PANEL + 'spectrum = "flat.csv"\n', at)
    np.testing.assert_array_equal(lamp.spectrum, read_spectrum((folder / at).parent / "flat.csv"))


def test_a_file_that_is_not_there_is_told(folder: Path) -> None:
    told = 'a.toml: lamps[1].spectrum = "gone.csv": there is no such file; it should lie beside a.toml'
    assert refusal(folder, PANEL + 'spectrum = "gone.csv"\n') == told


def test_a_file_that_is_wrong_is_told_by_its_own_name(folder: Path) -> None:
    (folder / "lamp.ies").write_text(ies(vertical="90 0"))
    assert refusal(folder, OF_A_FILE).startswith("lamp.ies: ")


@pytest.mark.parametrize(
    ("file", "told"),
    [
        (ies(opening=".2 30 0", **COSINE), "lamp.ies: size_cm[1] = 3000.0: should be 2000 or less"),
        (ies(candela="1e6 0"), "lamp.ies: lumens = 2283185.3"),
    ],
)
def test_a_size_or_brightness_out_of_reach_is_told_of_the_file_that_states_it(
    folder: Path, file: str, told: str
) -> None:
    (folder / "lamp.ies").write_text(file)
    assert refusal(folder, OF_A_FILE).startswith(told)


def test_a_name_of_a_spectrum_is_no_file(folder: Path) -> None:
    assert lamps(folder, PANEL + 'spectrum = "D65"\n')[0].spectrum == "D65"


def test_an_unknown_size_and_brightness_are_taken_from_the_photometric_file(folder: Path) -> None:
    """The length of an opening, .3 m, lies along the plane of 0, which is the lamp's width (LM-63-2002)."""
    (lamp,) = lamps(folder, OF_A_FILE)
    assert (lamp.kind, lamp.size_cm) == ("panel", (30, 20))
    assert lamp.lumens == pytest.approx(1000 * np.pi, rel=1e-4)


def test_they_are_taken_from_the_file_of_a_lamp_of_the_kit_too(folder: Path) -> None:
    (lamp,) = lamps(folder, "", OF_A_FILE)
    assert (lamp.kind, lamp.size_cm) == ("panel", (30, 20))


@pytest.mark.parametrize(
    ("opening", "light", "kind", "diameter_cm"),
    [
        ("-.2 -.2 0", COSINE, "disc", 20),
        ("0 0 0", COSINE, "bulb", 2),
        (".2 .2 0", {"vertical": "0 180", "candela": "9 9"}, "bulb", 20),
        ("-.1 -.1 0", {"vertical": "0 180", "candela": "9 9"}, "bulb", 10),
    ],
    ids=["round", "a point", "shines behind itself", "round and shines behind itself"],
)
def test_what_is_round_a_point_or_shines_behind_itself_is_no_panel(
    folder: Path, opening: str, light: dict[str, str], kind: str, diameter_cm: float
) -> None:
    (folder / "lamp.ies").write_text(ies(opening=opening, **light))
    (lamp,) = lamps(folder, OF_A_FILE)
    assert lamp.kind == kind
    assert lamp.diameter_cm == pytest.approx(diameter_cm)


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("size_cm = [9, 8]\n", {"size_cm": (9, 8)}),
        ('kind = "disc"\ndiameter_cm = 7\n', {"diameter_cm": 7, "size_cm": None}),
        ("lumens = 5\n", {"lumens": 5, "size_cm": (30, 20)}),
        ("watts = 5\n", {"lumens": None, "watts": 5}),
        ("lux_at = { lux = 9, cm = 90 }\n", {"lumens": None}),
    ],
)
def test_what_is_said_stands_over_the_photometric_file(folder: Path, said: str, told: dict[str, object]) -> None:
    (lamp,) = lamps(folder, OF_A_FILE + said)
    assert {key: getattr(lamp, key) for key in told} == told


def test_a_preset_says_size_and_brightness_and_the_file_where_the_light_goes(folder: Path) -> None:
    (lamp,) = lamps(folder, OF_A_FILE + 'preset = "desk panel"\n')
    assert (lamp.size_cm, lamp.lumens) == ((20, 14), 900)
    assert lamp.photometry == "lamp.ies"


def test_another_file_tells_the_lumens_and_the_size_anew(folder: Path) -> None:
    (folder / "other.ies").write_text((folder / "lamp.ies").read_text().replace("100", "200"))
    (first,) = lamps(folder, "", OF_A_FILE)
    (other,) = lamps(folder, f'[[lamps]]\nname = "{first.name}"\nphotometry = "other.ies"\n', OF_A_FILE)
    assert other.lumens != first.lumens


def test_all_lamps_that_are_not_complete_are_said_at_once(folder: Path) -> None:
    with pytest.raises(InputError) as caught:
        lamps(folder, '[[lamps]]\nname = "a"\n[[lamps]]\nname = "b"\nkind = "disc"\n')
    assert [sentence.partition(".toml: ")[2] for sentence in caught.value.sentences] == [
        'lamps[1] "a": a panel takes size_cm = [width, height]',
        'lamps[2] "b": a disc takes diameter_cm',
    ]
