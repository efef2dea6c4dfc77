"""Damaged files of measured light and colours: IES, EULUMDAT, columns of a spectrum, TM-27, columns of a reflectance."""

from __future__ import annotations

import random
from typing import Final

from . import texts
from .case import Case
from .files import whole_files

LAMP: Final = 'format = 1\n[[lamps]]\nname = "a"\n{keys}at_cm = [0, -40, 40]\naim_cm = [0, 0, 0]\n'
PAINTED: Final = '[subject]\nmesh = "box.stl"\nheight_cm = 10\n[[subject.parts]]\nbase = "bad.csv"\n'
ODD_XML: Final = (
    b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>', b"&b;", b"&amp;", b"&#0;", b"&#27;",
    b'<!DOCTYPE x SYSTEM "/etc/passwd">', b'<!DOCTYPE x [<!ENTITY a SYSTEM "/dev/zero">]>', b"<!-- -->", b"<?x y?>",
    b"<![CDATA[1]]>", b"<a>" * 3000, b'<?xml version="1.0" encoding="utf-16"?>', b'<?xml version="1.0" encoding="cp037"?>',
    b"<SpectralDistribution>", b"</SpectralDistribution>", b"<SpectralQuantity>flux</SpectralQuantity>", b'xmlns="x"',
    b'<SpectralData wavelength="555">1e300</SpectralData>', b"<SpectralData>1</SpectralData>", b'wavelength="nan"',
    b'<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="/etc/passwd"/>', b"\xe2\x80\xae",
)  # fmt: skip
"""What is put in between, in XML."""


def photometry(draw: random.Random) -> Case:
    """Draw a photometric file, damaged, of a lamp that stands where it is put."""
    return _of_lamp("photometry", draw.choice(["lamp.ies", "downlight.ies", "lamp.ldt", "lamp.ldt"]), draw)


def spectrum(draw: random.Random) -> Case:
    """Draw a file of a spectrum, damaged, of a lamp that stands where it is put."""
    name = draw.choice(["lamp.csv", "lamp.txt", "lamp.spdx", "lamp.spdx"])
    ways = (*texts.TEXT, _insert_xml, _insert_xml, _as_utf16) if name == "lamp.spdx" else texts.TEXT
    return _of_lamp("spectrum", name, draw, ways)


def reflectance(draw: random.Random) -> Case:
    """Draw a file of a reflectance, damaged, of a part's paint."""
    whole = whole_files()[draw.choice(["paint.csv", "lamp.csv"])]
    return Case({"bad.csv": texts.damage(whole, draw), "a.toml": PAINTED.encode()}, ("proof", "rim", "a.toml"))


def _of_lamp(key: str, name: str, draw: random.Random, ways: tuple[texts.Way, ...] = texts.TEXT) -> Case:
    bad = f"bad.{name.partition('.')[2]}"
    size = "" if key == "photometry" else "size_cm = [10, 10]\n"
    declared = LAMP.format(keys=f'{key} = "{bad}"\n{size}')
    files = {bad: texts.damage(whole_files()[name], draw, ways), "a.toml": declared.encode()}
    return Case(files, draw.choice([("proof", "as-placed", "a.toml"), ("check", "a.toml")]))


def _insert_xml(data: bytes, draw: random.Random) -> bytes:
    place = draw.choice([at.start() for at in texts.WORD.finditer(data)] or [0])
    place = data.rfind(b"<", 0, place) if draw.random() < 0.6 else place
    return data[:place] + draw.choice(ODD_XML) + data[place:]


def _as_utf16(data: bytes, draw: random.Random) -> bytes:
    return data.decode("latin-1").encode(draw.choice(["utf-16", "utf-16-be", "utf-7", "utf-32"]))
