"""Damage to a file by its format: TOML, XML and what is packed in others are changed from within too."""

from __future__ import annotations

import io
import json
import random
import tomllib
import zipfile
from collections.abc import Mapping
from typing import Final

from . import texts
from .texts import Way, change_text
from .trees import GltfVocabulary, alter_tree, damage_tree, toml
from .vocabulary import vocabulary

ODD_XML: Final = (
    b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>', b"&b;", b"&amp;", b"&#0;",
    b'<!DOCTYPE x SYSTEM "/etc/passwd">', b'<!DOCTYPE x [<!ENTITY a SYSTEM "/dev/zero">]>', b"<!-- -->", b"&#27;",
    b"<![CDATA[1]]>", b"<a>" * 3000, b'<?xml version="1.0" encoding="utf-16"?>', b'xmlns="x"', b"<?x y?>",
    b'<?xml version="1.0" encoding="cp037"?>', b"<SpectralDistribution>", b"</SpectralDistribution>", b"\xe2\x80\xae",
    b'wavelength="nan"',
    b"<SpectralQuantity>flux</SpectralQuantity>", b'<SpectralData wavelength="555">1e300</SpectralData>',
    b'<SpectralData>1</SpectralData>', b'<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="/etc/passwd"/>',
)  # fmt: skip
"""What is put in between, in XML."""


def damage(name: str, data: bytes, draw: random.Random) -> bytes:
    """Return the content of a file damaged in one way, now and then in several."""
    way = WITHIN.get(name.rpartition(".")[2])
    if way is not None and draw.random() < 0.7:
        return way(data, draw)
    return change_text(data, draw)


def change_toml(data: bytes, draw: random.Random) -> bytes:
    """Return TOML with keys and values changed."""
    tree = tomllib.loads(data.decode())
    way = draw.choice([alter_tree, damage_tree])
    for _ in range(draw.choice([1, 1, 1, 2, 5])):
        tree = way(tree, draw, vocabulary())
    data = toml(tree)
    return change_text(data, draw) if draw.random() < 0.05 else data


def change_json(data: bytes, draw: random.Random) -> bytes:
    """Return JSON with keys and values changed."""
    return json.dumps(damage_tree(json.loads(data), draw, GltfVocabulary())).encode()


def change_xml(data: bytes, draw: random.Random) -> bytes:
    """Return XML with something odd in between, or in another encoding."""
    if draw.random() < 0.1:
        return data.decode("latin-1").encode(draw.choice(["utf-16", "utf-16-be", "utf-7", "utf-32"]))
    place = draw.choice([at.start() for at in texts.WORD.finditer(data)])
    place = data.rfind(b"<", 0, place) if draw.random() < 0.6 else place
    return data[:place] + draw.choice(ODD_XML) + data[place:]


def change_glb(data: bytes, draw: random.Random) -> bytes:
    """Return GLB with one of its pieces changed, put together again."""
    length = int.from_bytes(data[12:16], "little")
    text, rest = data[20 : 20 + length], data[20 + length :]
    if draw.random() < 0.7:
        text = change_json(text, draw)
    else:
        rest = rest[:8] + draw.choice(texts.BINARY)(rest[8:], draw)
        rest = (len(rest) - 8).to_bytes(4, "little") + rest[4:]
    text += b" " * (-len(text) % 4)
    total = 20 + len(text) + len(rest)
    return data[:8] + total.to_bytes(4, "little") + len(text).to_bytes(4, "little") + data[16:20] + text + rest


def change_zip(data: bytes, draw: random.Random) -> bytes:
    """Return 3MF with one of its models changed, packed again."""
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as before, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as after:
        hit = draw.choice([member for member in before.namelist() if member.endswith(".model")])
        for member in before.namelist():
            content = before.read(member)
            after.writestr(member, change_text(content, draw) if member == hit else content)
    return packed.getvalue()


WITHIN: Final[Mapping[str, Way]] = {
    "toml": change_toml, "spdx": change_xml, "gltf": change_json, "glb": change_glb, "3mf": change_zip,
}  # fmt: skip
"""How the content of a file is changed, by the ending of its name."""
