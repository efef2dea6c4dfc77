"""A frame relit in the browser: every control changes it as the renderer does, and is kept as an arrangement."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final, TypeVar

import numpy as np
import pytest
from numpy.typing import NDArray
from playwright.sync_api import Locator, expect

from gallery.files.names import file_name
from gallery.files.pictures import read_picture
from gallery.page.page import ASSETS, one_module
from materials.light.colour_temperature import planckian_uv, xy_to_cct_duv
from render.camera.steps import shutter_name
from tests.browser.conftest import SIZE, Open
from tests.browser.harness.relit_view import RelitView, decoded
from tests.browser.harness.sheet_facts import frames_of
from tests.browser.harness.states import NO_CLIPBOARD
from tests.support.command import run
from tests.support.notes import note
from tests.support.relight.frame import State, initial_state, relit
from tests.support.relight.truth import shown_difference

SETUP, FINISH = "three-point", "gloss"
NAME: Final = f"{SETUP}, {FINISH}"
SECTION: Final = "a page's frame relit in the browser, from the renderer's: CIEDE2000, mean and 95 %"
MEAN, MOST = 1.0, 3.0
"""CIEDE2000 from the renderer's own frame: on average, and of 95 % of the pixels."""
CLIPBOARD: Final = {"permissions": ["clipboard-read", "clipboard-write"]}
CHOOSE_OTHERS: Final = """() => {
  const select = document.querySelector("#to-relight");
  document.querySelector("#relight input[type=range]").dispatchEvent(new Event("input"));
  for (const number of [1, 2, 3]) {
    select.value = number;
    select.dispatchEvent(new Event("change"));
  }
}"""

ALTERED: Final = """
const read = CanvasRenderingContext2D.prototype.getImageData;
CanvasRenderingContext2D.prototype.getImageData = function (...where) {
  const image = read.apply(this, where);
  image.data.forEach((_, i) => (image.data[i] ^= i % 4 === 3 ? 0 : 7));
  return image;
};
"""

T = TypeVar("T")
Pixels = NDArray[np.uint8]


@dataclass(frozen=True)
class Move:
    """A control by its name, set to a value; the state that makes of the one taken, and what the arrangement says."""

    control: str
    value: float
    state: Callable[[State], State]
    written: str


def _dimmed(lamp: int, dimmer: float) -> Callable[[State], State]:
    return lambda state: replace(state, dimmers=_with(state.dimmers, lamp, dimmer))


def _tinted(lamp: int, kelvin: float) -> Callable[[State], State]:
    return lambda state: replace(state, kelvins=_with(state.kelvins, lamp, kelvin))


def _with(values: Sequence[T], at: int, value: T) -> list[T]:
    return [*values[:at], value, *values[at + 1 :]]


def _exposed(stops: float) -> Callable[[State], State]:
    return lambda state: replace(state, stops=stops)


def _balanced(kelvin: float) -> Callable[[State], State]:
    return lambda state: replace(state, white_balance=kelvin)


MOVES: Final = {
    "key dimmed": Move("key, dimmer", 20, _dimmed(0, 0.2), "dimmer = 0.2\n"),
    "rim off": Move("rim, dimmer", 0, _dimmed(2, 0.0), "dimmer = 0\n"),
    "key warmer": Move("key, colour temperature", 3400, _tinted(0, 3400), "kelvin = 3400\n"),
    "fill cooler": Move("fill, colour temperature", 5400, _tinted(1, 5400), "kelvin = 5400\n"),
    "one stop over": Move("exposure", 1, _exposed(1), "shutter_s = "),
    "two stops under": Move("exposure", -2, _exposed(-2), "shutter_s = "),
    "white balance of daylight": Move("white balance", 5500, _balanced(5500), "white_balance = 5500\n"),
    "white balance of a bulb": Move("white balance", 2700, _balanced(2700), "white_balance = 2700\n"),
}


@pytest.fixture
def view(demo: Path, open_page: Open) -> RelitView:
    return RelitView.of(open_page(demo, **CLIPBOARD), NAME)


def _read(path: Path) -> Pixels:
    return read_picture(path).astype(np.uint8)


def _names(sheet: Path) -> list[str]:
    return [f"{frame['setup']}, {frame['finish']}" for frame in frames_of(sheet)]


def _frame(sheet: Path) -> Pixels:
    return _read(sheet / "frames" / file_name(SETUP, FINISH))


def _copied(view: RelitView) -> str:
    view.press("Copy as arrangement")
    expect(view.page.get_by_text("Copied.")).to_be_visible()
    text: str = view.page.evaluate("navigator.clipboard.readText()")
    return text


def _proof(text: str, folder: Path) -> Pixels:
    """Return the frame of an arrangement, which must trace nothing."""
    return _read(folder / _proof_lines(text, folder)[0])


def _proof_kelvin(text: str, folder: Path) -> float:
    """Return the white balance of the frame of an arrangement, K."""
    kelvin = re.search(r"ISO \d+  (\d+) K", "\n".join(_proof_lines(text, folder)))
    assert kelvin
    return float(kelvin[1])


def _proof_lines(text: str, folder: Path) -> list[str]:
    (folder / "again.toml").write_text(text, encoding="utf-8")
    ran = run(folder, "proof", "as-placed", "again.toml", "--size", f"{SIZE[0]}x{SIZE[1]}")
    assert ran.returncode == 0, ran.stderr
    return ran.stdout.splitlines()


def _white_beside(kelvin: float, duv: float) -> NDArray[np.float64]:
    """Return (x, y, z) of a light above or below a blackbody in CIE 1960 (u, v)."""
    u, v = planckian_uv(kelvin)
    du, dv = planckian_uv(kelvin * 1.001) - planckian_uv(kelvin * 0.999)
    u, v = np.array([u, v]) + duv * np.array([-dv, du]) / np.hypot(du, dv)
    x, y = np.array([3 * u, 2 * v]) / (2 * u - 8 * v + 4)
    return np.array([x, y, 1 - x - y])


def _assert_alike(case: str, shown: Pixels, taken: Pixels) -> None:
    apart = shown_difference(shown, taken)
    mean, most = apart.mean(), np.percentile(apart, 95)
    note(SECTION, f"{case:28} {mean:5.2f} {most:5.2f}")
    assert mean < MEAN
    assert most < MOST


def _levels(shown: Pixels, other: Pixels) -> NDArray[np.int64]:
    return np.asarray(np.abs(shown.astype(np.int64) - other))


def test_as_opened_it_is_the_frame(sheet: Path, view: RelitView) -> None:
    _assert_alike("as taken", view.pixels(), _frame(sheet))


@pytest.mark.parametrize("move", MOVES.values(), ids=MOVES)
def test_a_control_changes_the_picture_as_the_renderer_does(move: Move, view: RelitView, tmp_path: Path) -> None:
    taken, content = view.pixels(), view.content
    facts = view.facts(NAME)["relight"]
    view.set(move.control, move.value)
    moved, expected = view.pixels(), relit(facts, content["relight"], move.state(initial_state(facts)))
    assert _levels(moved, expected).max() <= 1
    assert _levels(moved, taken).mean() > 0.5
    text = _copied(view)
    assert move.written in text
    _assert_alike(f"{move.control} {move.value:g}", moved, _proof(text, tmp_path))


def test_what_is_copied_after_many_moves_gives_the_same_picture(view: RelitView, tmp_path: Path) -> None:
    for move in ("key dimmed", "fill cooler", "one stop over", "white balance of daylight"):
        view.set(MOVES[move].control, MOVES[move].value)
    _assert_alike("all at once", view.pixels(), _proof(_copied(view), tmp_path))


def test_reset_and_a_look_back_give_the_frame_as_opened_to_a_level(view: RelitView) -> None:
    opened = view.pixels()
    for move in MOVES.values():
        view.set(move.control, move.value)
    moved = view.pixels()
    assert _levels(moved, opened).mean() > 1
    view.page.get_by_label("show it as taken").check()
    assert _levels(view.pixels(), opened).max() <= 1
    view.page.get_by_label("show it as taken").uncheck()
    assert np.array_equal(view.pixels(), moved)
    view.press("Back to as taken")
    assert _levels(view.pixels(), opened).max() <= 1


def test_slider_field_and_buttons_are_one_quantity_said_in_words(view: RelitView) -> None:
    slider = view.slider("key, dimmer")
    group = view.page.get_by_role("group", name="key, dimmer", exact=True)
    for value, words in (("100", "full"), ("25", "25 percent, two stops under full"), ("0", "off")):
        view.set("key, dimmer", float(value))
        expect(slider).to_have_value(value)
        expect(slider).to_have_attribute("aria-valuetext", words)
        expect(group.get_by_text(words, exact=True)).to_be_visible()
    group.get_by_role("button", name="more").click()
    expect(slider).to_have_value("1")
    slider.press("ArrowRight")
    expect(group.get_by_role("spinbutton")).to_have_value("2")
    view.set("key, dimmer", 900)
    expect(slider).to_have_value("100")


def test_the_picture_says_what_was_changed_to_those_who_do_not_see_it(view: RelitView) -> None:
    picture = view.page.get_by_role("img", name=SETUP)
    taken = picture.get_attribute("aria-label") or ""
    view.set("key, dimmer", 25)
    view.set("exposure", 1)
    changes = "key 25 percent, two stops under full; camera, by hand 1/"
    expect(picture).to_have_accessible_name(re.compile(re.escape(f"{taken} Relit since: {changes}")))
    view.page.get_by_label("show it as taken").check()
    expect(picture).to_have_accessible_name(taken)


def test_another_frame_may_be_chosen_while_one_is_drawn(view: RelitView) -> None:
    opened = view.pixels()
    view.page.evaluate(CHOOSE_OTHERS)
    view.press("Copy as arrangement")
    view.slider("exposure").wait_for()
    assert np.array_equal(RelitView.of(view.page, NAME).pixels(), opened)


def test_where_nothing_can_be_copied_the_text_is_shown_and_can_be_saved(
    demo: Path, open_page: Open, tmp_path: Path
) -> None:
    view = RelitView.of(open_page(demo), NAME)
    view.page.evaluate(NO_CLIPBOARD)
    view.press("Copy as arrangement")
    shown = view.page.get_by_role("textbox", name="Arrangement").input_value()
    with view.page.expect_download() as download:
        view.press("Save as a file")
    download.value.save_as(tmp_path / "again.toml")
    assert (tmp_path / "again.toml").read_text(encoding="utf-8") == shown
    assert shown.startswith("#")


def _steps(view: RelitView) -> Locator:
    view.page.get_by_role("link", name="Set it up", exact=True).last.click()
    view.page.get_by_label("all steps").check()
    return view.page.locator("#steps > li")


def test_the_steps_say_what_was_changed_on_lamp_and_meter_and_show_the_picture_relit(view: RelitView) -> None:
    view.set("key, dimmer", 100)
    view.set("key, dimmer", 25)
    moved = view.pixels()
    steps = _steps(view)
    meter = steps.filter(has_text="light meter").first
    taken = re.search(r"1 key \S+ cm, (\d+) lx", meter.inner_text().replace("\n", " "))
    dimmed = re.search(r"relit here: 1 key (\d+) lx", meter.inner_text().replace("\n", " "))
    assert taken
    assert dimmed
    dimmer = view.facts(NAME)["relight"]["lamps"][0]["dimmer"]
    assert float(dimmed[1]) == pytest.approx(float(taken[1]) * 0.25 / dimmer, rel=0.01)
    expect(steps.filter(has_text="key: ").or_(steps.filter(has_text="25 percent")).first).to_be_visible()
    expect(view.page.get_by_text("As relit here.")).to_be_visible()
    shown = view.page.locator("#goal img").get_attribute("src") or ""
    assert np.array_equal(decoded(shown), moved)


def test_white_balance_by_the_light_is_said_anew_and_is_that_of_the_arrangement(
    view: RelitView, tmp_path: Path
) -> None:
    view.set("key, dimmer", 25)
    view.set("key, colour temperature", 3400)
    field = view.page.get_by_role("group", name="white balance", exact=True).get_by_role("spinbutton")
    kelvin = float(field.input_value())
    assert kelvin == pytest.approx(_proof_kelvin(_copied(view), tmp_path), rel=0.002)
    near = f"near {round(kelvin, -2):.0f} kelvin"
    expect(view.page.get_by_text(f"by the light: {near}")).to_be_visible()
    expect(_steps(view).filter(has_text="camera, by hand")).to_contain_text(f"relit here: white balance {near}")


@pytest.mark.parametrize("kelvin", [2000, 2722, 4000, 5480, 9100])
@pytest.mark.parametrize("duv", [-0.02, 0.0, 0.02])
def test_the_nearest_blackbody_is_the_one_that_we_find(kelvin: float, duv: float, view: RelitView) -> None:
    x, y, _ = white = _white_beside(kelvin, duv)
    module = (ASSETS / "light/white_balance.js").read_text(encoding="utf-8")
    script = f"([white, table]) => {{ {one_module([module])}; return correlatedKelvin(white, table); }}"
    found = view.page.evaluate(script, [list(white), view.content["relight"]["blackbodies"]])
    assert found == pytest.approx(xy_to_cct_duv(x, y)[0], rel=5e-4)


def test_an_exposure_that_is_typed_is_a_third_of_a_stop_by_the_name_that_is_kept(view: RelitView) -> None:
    view.set("exposure", 0.5)
    group = view.page.get_by_role("group", name="exposure", exact=True)
    stops = float(group.get_by_role("spinbutton").input_value())
    assert stops == pytest.approx(2 / 3, abs=0.01)
    kept = re.search(r"shutter_s = (\S+)", _copied(view))
    assert kept
    expect(group.get_by_text(shutter_name(float(kept[1])))).to_be_visible()


def test_a_browser_that_alters_what_is_read_shows_the_frame_as_taken_and_says_why(
    sheet: Path, demo: Path, open_page: Open
) -> None:
    page = open_page(demo)
    page.add_init_script(ALTERED)
    page.goto(f"{demo.as_uri()}#/relight/{1 + _names(sheet).index(NAME)}")
    page.reload()
    expect(page.get_by_text("This browser changes the pixels")).to_be_visible()
    assert np.abs(RelitView(page).pixels().astype(float) - _frame(sheet)).mean() < 2.0
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save as a file").click()
    assert saved.value.suggested_filename.endswith(".toml")
