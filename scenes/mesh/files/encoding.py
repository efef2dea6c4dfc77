"""The encoding of mesh files that are text."""

from __future__ import annotations

import codecs


def in_utf8(data: bytes) -> bytes:
    """Return text in UTF-8 without a byte-order mark; what is not UTF-8 is taken to be Windows-1252."""
    try:
        data.decode()
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace").encode()
    return data.removeprefix(codecs.BOM_UTF8)
