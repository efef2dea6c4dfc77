"""A frame relit from the facts of a page, as the page's script does it: the script is held against this."""

from __future__ import annotations

import base64
import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import imageio.v3 as imageio
import numpy as np
from numpy.typing import NDArray

from materials.arrays import Array, Image
from render.camera.dither import encode_dithered

Facts = dict[str, Any]


@dataclass(frozen=True)
class State:
    """The dimmer and the colour temperature of each lamp, the exposure in stops from that taken, the white balance."""

    dimmers: Sequence[float]
    kelvins: Sequence[float | None]
    stops: float
    white_balance: float | Literal["auto"]


def initial_state(facts: Facts) -> State:
    """Return the state of a frame as taken."""
    lamps = facts["lamps"]
    return State([lamp["dimmer"] for lamp in lamps], [lamp["kelvin"] for lamp in lamps], 0.0, facts["whiteBalance"])


def relit(facts: Facts, shared: Facts, state: State) -> NDArray[np.uint8]:
    """Return the frame in a state, (height, width, 3)."""
    return encode_dithered(linear_frame(facts, shared, state).astype(np.float32))


def linear_frame(facts: Facts, shared: Facts, state: State) -> Image:
    """Return the frame in a state in linear sRGB, (height, width, 3)."""
    colours = [_colour_at(lamp["colours"], kelvin) for lamp, kelvin in zip(facts["lamps"], state.kelvins, strict=True)]
    xyz = np.zeros((facts["height"], facts["width"], 3))
    for lamp, colour, dimmer in zip(facts["lamps"], colours, state.dimmers, strict=True):
        light = np.asarray(shared["lightOfCodes"])[_codes(shared, lamp["layers"][0])]
        for ratio in lamp["layers"][1:]:
            light = np.concatenate([light, light * np.asarray(shared["ratioOfCodes"])[_codes(shared, ratio)]], axis=-1)
        xyz += dimmer * light @ np.array(colour["toXyz"]).T
    return np.asarray(2.0**state.stops * xyz @ _to_srgb(_white(facts, shared, state, colours), shared).T)


def _codes(shared: Facts, number: int) -> NDArray[np.uint8]:
    return np.asarray(imageio.imread(io.BytesIO(base64.b64decode(shared["layers"][number]["webp"])), plugin="pillow"))


def _colour_at(colours: Sequence[Facts], kelvin: float | None) -> dict[str, Array]:
    """Return what is tabulated for a colour temperature, between two in mired."""
    if kelvin is None:
        return {key: np.asarray(value) for key, value in colours[0].items()}
    mired = [-1e6 / colour["kelvin"] for colour in colours]
    at = min(max(int(np.searchsorted(mired, -1e6 / kelvin)), 1), len(mired) - 1)
    share = np.clip((-1e6 / kelvin - mired[at - 1]) / (mired[at] - mired[at - 1]), 0.0, 1.0)
    warm, cool = colours[at - 1], colours[at]
    return {key: (1 - share) * np.asarray(warm[key]) + share * np.asarray(cool[key]) for key in warm}


def _white(facts: Facts, shared: Facts, state: State, colours: Sequence[dict[str, Array]]) -> Array:
    if state.white_balance != "auto":
        return _colour_at(shared["blackbodies"], state.white_balance)["white"]
    now = _mixture(colours, state.dimmers)
    if facts["automaticWhite"] is None:
        return now
    taken = initial_state(facts)
    initial = [_colour_at(lamp["colours"], kelvin) for lamp, kelvin in zip(facts["lamps"], taken.kelvins, strict=True)]
    return np.asarray(np.array(facts["automaticWhite"]) * now / _mixture(initial, taken.dimmers))


def _mixture(colours: Sequence[dict[str, Array]], dimmers: Sequence[float]) -> Array:
    given = np.array([dimmer * float(colour["subject"]) for colour, dimmer in zip(colours, dimmers, strict=True)])
    shares = given if given.any() else np.ones(len(given))
    return np.asarray(shares / shares.sum() @ np.array([colour["white"] for colour in colours]))


def _to_srgb(white: Array, shared: Facts) -> Array:
    to_cones = np.array(shared["xyzToCones"])
    gains = (to_cones @ shared["d65"]) / (to_cones @ (white / white[1]))
    return np.asarray(np.array(shared["conesToSrgb"]) @ (gains[:, None] * to_cones))
