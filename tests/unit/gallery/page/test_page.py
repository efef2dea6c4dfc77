"""The page is whole in one file, asks for nothing, and keeps what comes from files as text."""

from __future__ import annotations

import base64
import hashlib
import json
import posixpath
import re
from dataclasses import replace
from html.parser import HTMLParser
from typing import Any

import numpy as np
import pytest

from gallery.page.content import FrameText, frame_texts
from gallery.page.page import ASSETS, MODULES, STYLES, Heading, PageFrame, one_module, page_html
from gallery.page.stills import still_of
from tests.support.sheets.frames import even_light, unlit_frame

HOSTILE = "</script><script>alert(1)</script><img src=x onerror=alert(2)>\u2028'\"&amp;"
STILL = still_of(np.zeros((4, 3, 3), np.uint8))

Attributes = dict[str, str | None]


class Elements(HTMLParser):
    """What stands in a document: its elements, and the text in each kind of them."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, Attributes]] = []
        self.texts: dict[str, str] = {}
        self.open: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        self.open.append(tag)

    def handle_data(self, data: str) -> None:
        if self.open:
            self.texts[self.open[-1]] = self.texts.get(self.open[-1], "") + data

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop() != tag:
            pass

    def of(self, tag: str) -> list[Attributes]:
        """Return the attributes of the elements of a kind."""
        return [attributes for name, attributes in self.elements if name == tag]


def texts(**changed: Any) -> list[FrameText]:
    frames = [unlit_frame(setup, finish) for setup in ("rim", "loop") for finish in ("gloss", "matt")]
    return [replace(text, **changed) for text in frame_texts(frames, [even_light(frame) for frame in frames])]


def html(title: str = "Diver", **changed: Any) -> str:
    frames = [PageFrame(text, STILL, {"shutter_s": 0.5}) for text in texts(**changed)]
    heading = Heading(title, "18 cm tall", "each frame has its own exposure")
    return page_html(heading, frames, {"layers": []}, ["low-key is left out: it has no room"])


def content(page: str) -> dict[str, Any]:
    (data,) = re.findall(r'<script type="application/json" id="content">(.*?)</script>', page, re.DOTALL)
    found: dict[str, Any] = json.loads(data)
    return found


def test_every_frame_is_there_with_alternative_text_placement_and_readings() -> None:
    page = html()
    pictures = [image for image in Elements(page).of("img") if image.get("src")]
    assert [image["alt"] for image in pictures] == [text.alternative_text for text in texts()]
    names = ["rim, gloss", "rim, matt", "loop, gloss", "loop, matt"]
    assert [frame["name"] for frame in content(page)["frames"]] == names
    for text in texts():
        assert all(f'<li dir="auto">{line}</li>' in page for line in text.placement)
        assert all(f"<dt>{label}</dt><dd>{value}</dd>" in page for label, value in text.readings)


def test_nothing_is_asked_of_the_network() -> None:
    for tag, attributes in Elements(html()).elements:
        assert tag not in {"link", "iframe", "object", "embed", "base"}
        for name in ("src", "href", "srcset", "action", "formaction", "poster"):
            assert not attributes.get(name) or str(attributes[name]).startswith(("data:image/", "#"))
    assert not re.search(r"\burl\(|@import|fetch\(|XMLHttpRequest|https?:", "".join(map(source, (*STYLES, *MODULES))))


def test_the_policy_names_the_style_and_the_script_that_stand_in_the_page_and_nothing_else_of_the_kind() -> None:
    page = html()
    (policy,) = (meta["content"] for meta in Elements(page).of("meta") if "http-equiv" in meta)
    assert policy is not None
    rules = {rule.split()[0]: rule.split()[1:] for rule in policy.split("; ")}
    assert rules["default-src"] == ["'none'"]
    for kind, element in (
        ("style-src", r"<style>(.*?)</style>"),
        ("script-src", r'<script type="module">(.*?)</script>'),
    ):
        (text,) = re.findall(element, page, re.DOTALL)
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert rules[kind] == [f"'sha256-{digest}'"]
    assert not any(name.startswith("on") or name == "style" for _, own in Elements(page).elements for name in own)


@pytest.mark.parametrize("key", ["setup", "finish", "reads_as"])
def test_names_from_files_stay_text(key: str) -> None:
    page, tame = html(HOSTILE, **{key: HOSTILE}), html(**{key: "tame"})
    assert [tag for tag, _ in Elements(page).elements] == [tag for tag, _ in Elements(tame).elements]
    assert Elements(page).texts["h1"] == HOSTILE
    assert content(page)["title"] == HOSTILE
    assert content(page)["frames"][0][key] == HOSTILE


def test_modules_are_one_without_imports_and_exports_and_no_name_twice() -> None:
    script = one_module([source(name) for name in MODULES])
    assert not re.search(r"^\s*(import|export)\b", script, re.MULTILINE)
    names = re.findall(r"^(?:async )?(?:const|let|function|class) (\w+)", script, re.MULTILINE)
    assert len(names) == len(set(names))


@pytest.mark.parametrize("name", MODULES)
def test_a_module_imports_only_what_stands_before_it(name: str) -> None:
    imported = re.findall(r'^import .* from "(.*)";$', source(name), re.MULTILINE)
    paths = {posixpath.normpath(posixpath.join(posixpath.dirname(name), path)) for path in imported}
    assert paths <= set(MODULES[: MODULES.index(name)])


def test_every_asset_is_used() -> None:
    files = {path.relative_to(ASSETS).as_posix() for path in ASSETS.rglob("*") if path.is_file()}
    assert files == {"page.html", *STYLES, *MODULES}


def source(name: str) -> str:
    return (ASSETS / name).read_text(encoding="utf-8")
