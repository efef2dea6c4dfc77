"""The page put together: template, style, script, pictures and facts in one HTML file."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Final

from gallery.files.templates import templates_in

from .content import FrameText
from .steps import EXPOSURE, METER
from .stills import Still

ASSETS: Final = Path(__file__).parent / "assets"
STYLES: Final = ("styles/colours.css", "styles/page.css", "styles/views.css", "styles/print.css")
MODULES: Final = (
    "light/white_balance.js", "light/lamp_light.js", "light/dithering.js", "light/relight.js",
    "controls/words.js", "controls/elements.js", "controls/storage.js", "controls/slider.js", "controls/filter.js",
    "controls/picking.js", "controls/arrangement.js", "controls/light_controls.js",
    "views/compare.js", "views/relighting.js", "views/steps.js", "views/views.js", "views/appearance.js",
    "views/printing.js", "views/wake_lock.js", "views/start.js",
)  # fmt: skip
"""Each after those that it imports from."""


@dataclass(frozen=True)
class Heading:
    """What stands above all frames: the title, the model's size, how the frames were exposed."""

    title: str
    size: str
    exposure: str


@dataclass(frozen=True)
class PageFrame:
    """A frame on the page: in words, as a picture, and what the script needs to set its light."""

    text: FrameText
    still: Still
    live: dict[str, Any]


def page_html(
    heading: Heading, frames: Sequence[PageFrame], shared: dict[str, Any], left_out: Sequence[str] = ()
) -> str:
    """Return the page; `shared` is what the light of all frames needs, `left_out` a sentence a setup."""
    from markupsafe import Markup

    style, script = "".join(map(_asset, STYLES)), one_module([_asset(name) for name in MODULES])
    return (
        templates_in(ASSETS)
        .get_template("page.html")
        .render(
            heading=heading,
            frames=[(frame.text, frame.still) for frame in frames],
            setups=list(dict.fromkeys(frame.text.setup for frame in frames)),
            finishes=list(dict.fromkeys(frame.text.finish for frame in frames)),
            left_out=left_out,
            content={
                "title": heading.title,
                "exposure_step": EXPOSURE,
                "meter_step": METER,
                "frames": [asdict(frame.text) | frame.live for frame in frames],
                "relight": shared,
            },
            policy=content_security_policy(style, script),
            style=Markup(style),  # our own files
            script=Markup(script),
        )
    )


def one_module(modules: Sequence[str]) -> str:
    """Return JavaScript modules as one, each after those that it imports from.

    A file alone has no addresses to import from. The modules share no names, so without their imports and exports they
    are one.
    """
    return re.sub(r"^import [^;]*;\n|^export (?=\w)", "", "".join(modules), flags=re.MULTILINE)


def content_security_policy(style: str, script: str) -> str:
    """Return what a browser may load: this style, this script, and pictures that are in the page (W3C CSP, level 3)."""
    return "; ".join(
        [
            "default-src 'none'", "img-src data: blob:", f"style-src {_hash(style)}", f"script-src {_hash(script)}",
            "base-uri 'none'", "form-action 'none'",
        ]
    )  # fmt: skip


def _asset(name: str) -> str:
    return (ASSETS / name).read_text(encoding="utf-8")


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode('ascii')}'"
