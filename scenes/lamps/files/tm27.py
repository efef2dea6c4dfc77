"""The samples of an IES TM-27 file, the standard XML for spectra; its other elements are not read."""

from __future__ import annotations

from typing import Any, Final

from scenes.errors import InputError

QUANTITIES: Final = ("flux", "exitance", "intensity", "irradiance", "radiance", "relative", "other")
"""Of the quantities that IES TM-27-14 knows, those that a lamp gives; the rest belong to surfaces and filters."""

_NO_DOCTYPE: Final = "it has a <!DOCTYPE>, which is not read: IES TM-27 needs none, so take that part out"


def tm27_rows(content: bytes) -> list[tuple[int, str, str]]:
    """Return the samples of an IES TM-27 file as written: line, wavelength in nm, value.

    Any namespace will do, since writers disagree on it, and so will any year of the standard. A stated bandwidth is
    left alone: whether to correct for it is up to who measured.

    Raises
    ------
    InputError
        Where the file is no such XML, without the file's name: one sentence of element, what was found, what is right.
    """
    root = _root(content)
    name = _name(root)
    if not name.startswith("IESTM27"):
        raise InputError(f"its outermost element is <{name[:40]}>, which should be <IESTM2714> as in IES TM-27")
    distribution = _only(root, "SpectralDistribution")
    quantity = _text(_only(distribution, "SpectralQuantity"))
    if quantity.lower() not in QUANTITIES:
        raise InputError(f"<SpectralQuantity> is {quantity[:40]!r}, which for a lamp should be {_either(QUANTITIES)}")
    return [_row(element) for element in distribution.iterfind("{*}SpectralData")]


def _root(content: bytes) -> Any:
    """Return the root element; no external file is opened and no entity is expanded."""
    from lxml import etree  # type: ignore[import-untyped]  # ships no type information

    if b"<!DOCTYPE" in content.replace(b"\0", b""):  # also in UTF-16, before an entity can cost anything
        raise InputError(_NO_DOCTYPE)
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False)
    try:
        root = etree.fromstring(content, parser)
    except etree.XMLSyntaxError as error:
        reason = " ".join(str(error.msg).split())[:100]
        raise InputError(f"it is no whole XML file ({reason}): export or copy it again") from None
    if root.getroottree().docinfo.internalDTD is not None:  # in an encoding that hides it, such as UTF-7
        raise InputError(_NO_DOCTYPE)
    return root


def _row(element: Any) -> tuple[int, str, str]:
    wavelength = element.get("wavelength")
    if wavelength is None:
        raise InputError(
            f'line {element.sourceline}: <SpectralData> has no wavelength, should be as <SpectralData wavelength="550">'
        )
    return element.sourceline, wavelength.strip(), _text(element)


def _only(parent: Any, name: str) -> Any:
    found = parent.findall(f"{{*}}{name}")
    if len(found) != 1:
        raise InputError(f"<{_name(parent)}> holds {len(found) or 'no'} <{name}>, which should be there once")
    return found[0]


def _name(element: Any) -> str:
    """Return the name of an element without its namespace."""
    return str(element.tag).rpartition("}")[2]


def _text(element: Any) -> str:
    return "".join(element.itertext()).strip()


def _either(words: tuple[str, ...]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}"
