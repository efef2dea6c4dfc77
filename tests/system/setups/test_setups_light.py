"""Each setup is what its name says: facts of the trade (common practice, no source) on the demo model's light."""

from __future__ import annotations

from pathlib import Path

import pytest
import trimesh

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from render.camera.lamp_bodies import visible_body
from render.frame import take_frame
from render.hero_light import hero_light
from render.images.store.store import Store
from render.images.tracing import Tracing
from scenes.units import stops
from tests.support.measured import Measured
from tests.support.outline import OF_WHITE

pytestmark = pytest.mark.slow
Demo = dict[str, Measured]
Fact = list[str]
DOWNWARD = -0.4
"""The upward part of an underside's normal."""


def _backdrop(demo: Demo, name: str) -> float:
    value = demo[name].readings.backdrop_stops
    assert value is not None
    return value


def _contrast(measured: Measured) -> float:
    return stops(measured.percentile(90) / measured.percentile(10))


def _undersides_stops(measured: Measured) -> float:
    """Return the mean of what faces downward over that of the subject, stops."""
    return measured.relative_stops(measured.subject & (measured.features.normal[..., 2] < DOWNWARD))


def test_no_lamp_is_seen_in_any_setup(demo: Demo) -> None:
    for name, measured in demo.items():
        shot = measured.frame.shot
        for lamp in shot.emitter_shapes:
            seen, _ = visible_body(lamp, shot.geometry.camera, measured.features.depth)
            assert not seen.any(), name


def test_butterfly_close_has_more_contrast_and_a_darker_backdrop_than_butterfly(demo: Demo, fact: Fact) -> None:
    contrast = [_contrast(demo[name]) for name in ("butterfly", "butterfly-close")]
    backdrop = [_backdrop(demo, name) for name in ("butterfly", "butterfly-close")]
    fact.append(f"contrast (90th over 10th percentile): butterfly {contrast[0]:.2f}, close {contrast[1]:.2f} stops")
    fact.append(f"backdrop: butterfly {backdrop[0]:+.2f}, close {backdrop[1]:+.2f} stops")
    assert contrast[1] > contrast[0] + 0.4
    assert backdrop[1] < backdrop[0] - 0.3


def test_butterfly_card_opens_the_shadows_and_the_undersides_of_butterfly_close(demo: Demo, fact: Fact) -> None:
    close, card = demo["butterfly-close"], demo["butterfly-card"]
    contrast = _contrast(card) - _contrast(close)
    undersides = _undersides_stops(card) - _undersides_stops(close)
    fact.append(f"butterfly-card over close: contrast {contrast:+.2f}, undersides {undersides:+.2f} stops")
    assert contrast < -0.5
    assert undersides > 0.3


def test_loop_brightens_the_backdrop_over_butterfly_close(demo: Demo, fact: Fact) -> None:
    loop, close = _backdrop(demo, "loop"), _backdrop(demo, "butterfly-close")
    fact.append(f"backdrop: loop {loop:+.2f}, close {close:+.2f} stops")
    assert loop > close + 0.3


def test_clamshell_steep_leaves_the_backdrop_darker_than_every_other_frontal_setup(demo: Demo, fact: Fact) -> None:
    frontal = ("butterfly", "butterfly-close", "loop", "rembrandt", "broad", "short", "three-point", "pair")
    clamshell = _backdrop(demo, "clamshell-steep")
    fact.append(f"backdrop: clamshell-steep {clamshell:+.2f} stops, broad {_backdrop(demo, 'broad'):+.2f}")
    assert clamshell < min(_backdrop(demo, name) for name in frontal) - 0.3


def test_clamshell_steep_lights_the_head_more_than_the_waist(demo: Demo, fact: Fact) -> None:
    steep = demo["clamshell-steep"]
    head, waist = (steep.relative_stops(steep.parts(p)) for p in ("helmet*", "weights"))
    fact.append(f"clamshell-steep, over the subject's mean: head {head:+.2f}, waist {waist:+.2f} stops")
    assert head > waist + 0.7


def test_rembrandt_catches_thin_parts_on_the_dark_side_more_than_butterfly_and_loop(demo: Demo, fact: Fact) -> None:
    def staff_over_far_side(name: str) -> float:
        m = demo[name]
        far = m.parts("suit", 1) | m.parts("helmet", 1) | m.parts("corselet", 1)
        return stops(m.mean(m.parts("staff")) / m.mean(far))

    caught = {name: staff_over_far_side(name) for name in ("butterfly", "loop", "rembrandt")}
    fact.append("staff over the far side: " + ", ".join(f"{k} {v:+.2f}" for k, v in caught.items()) + " stops")
    assert caught["rembrandt"] > caught["loop"] + 0.1 > caught["butterfly"] + 0.2


def test_the_side_that_the_key_stands_on_is_bright_and_the_other_darker_setup_by_setup(demo: Demo, fact: Fact) -> None:
    names = ("butterfly", "loop", "rembrandt", "split", "short")
    suit = {name: demo[name].left_over_right_stops("suit") for name in names}
    helmet = {name: demo[name].left_over_right_stops("helmet") for name in names}
    fact.append("suit, left over right: " + ", ".join(f"{k} {v:+.2f}" for k, v in suit.items()) + " stops")
    assert abs(suit["butterfly"]) < 0.35
    assert suit["butterfly"] + 0.2 < suit["loop"] < suit["rembrandt"] - 0.2
    assert suit["rembrandt"] + 1.0 < suit["split"]
    assert suit["short"] < -0.3
    assert helmet["split"] > 4.0


def test_broad_lights_the_near_side_that_short_leaves_in_shadow(demo: Demo, fact: Fact) -> None:
    near = {name: demo[name].left_over_right_stops("helmet") for name in ("broad", "short")}
    fact.append(f"helmet, near side over far: broad {near['broad']:+.2f}, short {near['short']:+.2f} stops")
    assert near["broad"] > 0.4
    assert near["short"] < -0.6


def test_rim_outlines_the_figure_and_flattens_its_front(demo: Demo, fact: Fact) -> None:
    def outline_over_front(name: str) -> float:
        m = demo[name]
        figure = m.parts("suit") | m.parts("helmet") | m.parts("corselet") | m.parts("gloves")
        return stops(m.mean(figure & m.outline) / m.mean(figure & m.interior))

    rim, butterfly = outline_over_front("rim"), outline_over_front("butterfly")
    fact.append(f"outline over front: rim {rim:+.2f}, butterfly {butterfly:+.2f} stops")
    assert rim > 1.5
    assert butterfly < 0.0


def test_rim_fill_brings_the_front_back_and_leaves_the_outline_to_its_rims(demo: Demo, fact: Fact) -> None:
    """Its rims are those of rim, so that what it has more of is the fill's own light."""
    rim, filled = demo["rim"], demo["rim-fill"]
    of_fill = filled.luminance - rim.luminance
    lit = rim.outline & (rim.luminance > OF_WHITE * rim.frame.exposure.white_cd_m2)
    front = rim.parts("corselet") & rim.interior
    back, over = stops(filled.mean(front) / rim.mean(front)), stops(rim.mean(lit) / of_fill[lit].mean())
    fact.append(f"rim-fill: front {back:+.2f} stops over rim's; on the lit outline the rims {over:.2f} over the fill")
    assert of_fill.min() >= 0
    assert back > 2.0
    assert over > 2.0


def test_clamshell_lights_undersides_more_than_butterfly(demo: Demo, fact: Fact) -> None:
    clamshell, butterfly = (_undersides_stops(demo[name]) for name in ("clamshell", "butterfly"))
    fact.append(f"undersides, over the subject's mean: clamshell {clamshell:+.2f}, butterfly {butterfly:+.2f} stops")
    assert clamshell > butterfly + 1.0


def test_high_key_surrounds_with_white_and_low_key_with_black(demo: Demo, fact: Fact) -> None:
    high, low = _backdrop(demo, "high-key"), _backdrop(demo, "low-key")
    fact.append(f"backdrop: high-key {high:+.2f}, low-key {low:+.2f} stops")
    assert high > 2.0
    assert low < -3.0
    assert _contrast(demo["high-key"]) < _contrast(demo["butterfly"]) - 0.5


def test_low_key_leaves_most_of_the_subject_black(demo: Demo, fact: Fact) -> None:
    low = demo["low-key"]
    dark = float((low.luminance[low.subject] < 0.1 * low.percentile(95)).mean())
    fact.append(f"low-key: {100 * dark:.0f} % of the subject under a tenth of its bright part")
    assert dark > 0.6


def test_three_point_fills_two_stops_under_its_key_each_on_a_meter_that_faces_it(demo: Demo, fact: Fact) -> None:
    light = hero_light(demo["three-point"].frame.shot, Tracing(Store()))
    key, fill, _ = (float(lux) * lamp.dimmer for lux, lamp in zip(light.facing_lux, light.setup.lamps, strict=True))
    fact.append(f"three-point: fill {stops(key / fill):.2f} stops under the key, each facing its meter")
    assert stops(key / fill) == pytest.approx(2, abs=0.01)


def test_a_smaller_lamp_gives_a_thinner_rim(tmp_path: Path, fact: Fact) -> None:
    trimesh.creation.icosphere(subdivisions=5, radius=4.0).export(tmp_path / "ball.stl")

    def rim_width_px(size_cm: float) -> int:
        (tmp_path / "rim.toml").write_text(
            '[subject]\nmesh = "ball.stl"\nheight_cm = 8\n[backdrop]\nkind = "none"\n'
            f'[[lamps]]\nname = "rim"\nsize_cm = [{size_cm}, {size_cm}]\nat_cm = [0, 14, 4]\naim_cm = [0, 0, 4]\n'
        )
        (shot,) = shots_of(open_input(tmp_path / "rim.toml", {}), ["as-placed"], (), (200, 200))
        tracing = Tracing(Store(tmp_path / "store"))
        measured = Measured(take_frame(shot, tracing, 4), tracing, 4)
        across = measured.luminance[100][measured.subject[100]]
        return int((across > 0.05 * across.max()).sum())

    small, large = rim_width_px(16.0), rim_width_px(32.0)
    fact.append(f"rim on a ball of 8 cm, both sides together: lamp 16 cm {small} px, 32 cm {large} px")
    assert 0 < small < 0.7 * large
