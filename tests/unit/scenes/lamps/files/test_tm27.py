"""Files of IES TM-27 are read however they are written; nothing that they name is opened."""

from __future__ import annotations

import socket
from contextlib import suppress
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.light.spectra import photometric_value
from scenes.errors import InputError
from scenes.lamps.files.spectrum import read_spectrum
from scenes.lamps.files.tm27 import QUANTITIES, tm27_rows

SAMPLES = "".join(f'<SpectralData wavelength="{nm}">{nm / 1000}</SpectralData>\n' for nm in range(380, 781, 10))
FILE = f"""<?xml version="1.0" encoding="UTF-8"?>
<IESTM2714 xmlns="http://www.ies.org/iestm2714" version="1.0">
<Header><Description>Panel A</Description></Header>
<SpectralDistribution>
<SpectralQuantity>flux</SpectralQuantity>
{SAMPLES}</SpectralDistribution>
</IESTM2714>
"""
PLAIN = tm27_rows(FILE.encode())
ENTITY = FILE.replace("<IESTM2714", '<!DOCTYPE IESTM2714 [<!ENTITY one "1">]>\n<IESTM2714').replace(">0.38<", ">&one;<")
NO_DOCTYPE = "it has a <!DOCTYPE>, which is not read: IES TM-27 needs none, so take that part out"


def refusal(content: bytes) -> str:
    with pytest.raises(InputError) as caught:
        tm27_rows(content)
    return str(caught.value)


def test_samples_are_read_as_written() -> None:
    assert [row[1:] for row in PLAIN] == [(f"{nm}", f"{nm / 1000}") for nm in range(380, 781, 10)]


@pytest.mark.parametrize("quantity", QUANTITIES)
def test_every_quantity_that_a_lamp_gives_is_read(quantity: str) -> None:
    assert tm27_rows(FILE.replace("flux", quantity).encode()) == PLAIN


def test_the_same_samples_in_either_kind_of_file_are_the_same_spectrum(tmp_path: Path) -> None:
    (tmp_path / "lamp.csv").write_text("".join(f"{nm},{value}\n" for _, nm, value in PLAIN))
    (tmp_path / "lamp.spdx").write_text(FILE)
    assert np.array_equal(read_spectrum(tmp_path / "lamp.csv"), read_spectrum(tmp_path / "lamp.spdx"))


@pytest.mark.parametrize(
    "text",
    [
        FILE.replace("http://www.ies.org/iestm2714", "iestm2714"),
        FILE.replace(' xmlns="http://www.ies.org/iestm2714"', ""),
        FILE.replace("IESTM2714", "IESTM2720"),
        FILE.replace("flux", " Flux "),
        FILE.replace(">0.38<", "> 0.<!-- cut -->3<?cut here?>8 <"),
        FILE.replace(">0.38<", "><![CDATA[0.38]]><"),
        FILE.replace('"380"', "' 380'"),
    ],
    ids=["short namespace", "no namespace", "2020", "capitals", "comments", "marked text", "other quotes"],
)
def test_other_ways_to_write_the_same_read_the_same(text: str) -> None:
    assert tm27_rows(text.encode()) == PLAIN


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "iso-8859-1"])
def test_the_encoding_is_that_which_the_file_states(encoding: str) -> None:
    text = FILE.replace("UTF-8", encoding.removesuffix("-sig")).replace("Panel A", "Fläche")
    assert tm27_rows(text.encode(encoding)) == PLAIN


def test_a_row_names_its_line() -> None:
    assert FILE.splitlines()[PLAIN[3][0] - 1] == '<SpectralData wavelength="410">0.41</SpectralData>'


REFUSED = {
    "nothing": ("", "it is no whole XML file (Document is empty, line 1, column 1): export or copy it again"),
    "columns": (
        "380,1\n",
        "it is no whole XML file (Start tag expected, '<' not found, line 1, column 1): export or copy it again",
    ),
    "another XML": (
        "<svg/>",
        "its outermost element is <svg>, which should be <IESTM2714> as in IES TM-27",
    ),
    "no spectrum": (
        "<IESTM2714/>",
        "<IESTM2714> holds no <SpectralDistribution>, which should be there once",
    ),
    "two spectra": (
        FILE.replace("</IESTM2714>", "<SpectralDistribution/></IESTM2714>"),
        "<IESTM2714> holds 2 <SpectralDistribution>, which should be there once",
    ),
    "no quantity": (
        FILE.replace("SpectralQuantity", "Quantity"),
        "<SpectralDistribution> holds no <SpectralQuantity>, which should be there once",
    ),
    "a filter": (
        FILE.replace("flux", "transmittance"),
        "<SpectralQuantity> is 'transmittance', which for a lamp should be flux, exitance, intensity, irradiance, "
        "radiance, relative or other",
    ),
    "a sample without its wavelength": (
        FILE.replace('wavelength="400"', 'nm="400"'),
        'line 8: <SpectralData> has no wavelength, should be as <SpectralData wavelength="550">',
    ),
    "an entity": (ENTITY, NO_DOCTYPE),
    "a file of entities": (FILE.replace("<IESTM2714", '<!DOCTYPE x SYSTEM "x.dtd">\n<IESTM2714'), NO_DOCTYPE),
}


@pytest.mark.parametrize(("text", "sentence"), REFUSED.values(), ids=REFUSED)
def test_what_is_no_spectrum_of_a_lamp_says_what_would_be_right(text: str, sentence: str) -> None:
    assert refusal(text.encode()) == sentence


def test_a_file_cut_short_says_where(tmp_path: Path) -> None:
    path = tmp_path / "lamp.spdx"
    path.write_text(FILE[:450])
    with pytest.raises(InputError, match=r"lamp.spdx: it is no whole XML file \(.* line 10, column \d+\): export"):
        read_spectrum(path)


def test_a_value_that_is_no_number_names_its_line(tmp_path: Path) -> None:
    path = tmp_path / "lamp.xml"
    path.write_text(FILE.replace(">0.41<", ">0,41<"))
    with pytest.raises(InputError, match=r"lamp.xml: line 9: the value is '0,41', should be a number"):
        read_spectrum(path)


@pytest.mark.parametrize("encoding", ["utf-16", "utf-32", "utf-7"])
def test_no_encoding_hides_an_entity(encoding: str) -> None:
    hidden = ENTITY.replace("UTF-8", encoding).encode(encoding)
    assert refusal(hidden.replace(b"<!DOCTYPE", b"+ADwAIQ-DOCTYPE")) == NO_DOCTYPE


def test_entities_of_entities_cost_nothing() -> None:
    levels = "".join(f'<!ENTITY e{level} "{f"&e{level - 1};" * 10}">' for level in range(1, 12))
    bomb = ENTITY.replace('<!ENTITY one "1">', f'<!ENTITY e0 "1">{levels}').replace("&one;", "&e11;")
    assert refusal(bomb.encode()) == NO_DOCTYPE


@pytest.mark.parametrize("address", ["secret.txt", "file://{}/secret.txt", "http://127.0.0.1:9/secret.txt"])
@pytest.mark.parametrize("written_as", ["utf-8", "utf-7"])
def test_no_file_or_address_that_is_named_is_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, address: str, written_as: str
) -> None:
    monkeypatch.setattr(socket, "socket", None)
    (tmp_path / "secret.txt").write_text("0.5")
    named = ENTITY.replace('one "1"', f'one SYSTEM "{address.format(tmp_path)}"').replace("UTF-8", written_as)
    path = tmp_path / "lamp.spdx"
    path.write_bytes(named.replace("<!DOCTYPE", "+ADwAIQ-DOCTYPE" if written_as == "utf-7" else "<!DOCTYPE").encode())
    with pytest.raises(InputError, match=NO_DOCTYPE):
        read_spectrum(path)


@settings(deadline=None)
@given(st.binary() | st.text("<>/ !?&;[]\"'=IESTM27x").map(str.encode))
def test_bytes_too_few_to_hold_a_spectrum_are_refused(content: bytes) -> None:
    assert "\n" not in refusal(content)


@settings(deadline=None)
@given(
    st.integers(0, len(FILE)),
    st.integers(0, 40),
    st.binary(max_size=8) | st.sampled_from([b"&#0;", b"&x;", b"<a>", b"<!--", b"<![CDATA[", b"]]>", b"\xff\xfe"]),
)
def test_a_damaged_file_is_a_spectrum_or_refused(
    tmp_path_factory: pytest.TempPathFactory, at: int, lost: int, added: bytes
) -> None:
    path = tmp_path_factory.getbasetemp() / "damaged.spdx"
    path.write_bytes(FILE.encode()[:at] + added + FILE.encode()[at + lost :])
    with suppress(InputError):
        assert photometric_value(np.abs(read_spectrum(path))) == pytest.approx(1)
