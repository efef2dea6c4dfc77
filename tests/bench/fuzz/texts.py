"""Damage to bytes and to text of any format."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from typing import Final, TypeAlias

Way: TypeAlias = Callable[[bytes, random.Random], bytes]

NUMBER: Final = re.compile(rb"-?\d+(\.\d+)?")
WORD: Final = re.compile(rb"[\w.#-]+")
NUMBERS: Final = (
    b"0", b"-0", b"1", b"7", b"0.5", b"1e-30", b"1e30", b"1e300", b"1e400", b"-1", b"nan", b"inf", b"-inf", b"",
    b"x", b"4294967296", b"-2147483649", b"9223372036854775807", b"9" * 20, b"9" * 400, b"9" * 5000, b"1_0",
    b"0x7fffffff", b"1,5", b"2020-01-01", "\u0663".encode(), "\u00b2".encode(),
)  # fmt: skip
"""What a number is replaced by."""
ODD_TEXT: Final = (
    b"\0", b"\x1b[31m", b"\x07", b"\x7f", b"\x1a", b"\r", b"\x85", b"\xff", b"\xef\xbb\xbf", b"\xff\xfe",
    b"\xed\xa0\x80", "\u202e".encode(), "\u2028".encode(), "\u200b".encode(), "\u0301".encode(), "\U0001f600".encode(),
    "\u00df\u0130".encode(), b"\\u001b[2J", b"\\u202e", b"\\u0000", b"\n" * 3000, b" " * 3000, b"x" * 100_000,
    b"[" * 3000, b"{" * 300, b"a." * 3000, b'"', b"'", b"#", b"=", b",", b";", b"\t", b"\n", b"%s%n{0}",
)  # fmt: skip
"""What is put in between."""


def change_bytes(data: bytes, draw: random.Random) -> bytes:
    """Return data with some bytes replaced."""
    changed = bytearray(data)
    for _ in range(draw.choice([1, 1, 2, 8, 40])):
        changed[draw.randrange(len(changed))] = draw.choice([0, 255, 127, 128, draw.randrange(256)])
    return bytes(changed)


def cut(data: bytes, draw: random.Random) -> bytes:
    """Return data without its end."""
    return data[: draw.randrange(len(data))]


def copy(data: bytes, draw: random.Random) -> bytes:
    """Return data with a piece of it put in once more, elsewhere."""
    start, end = sorted(draw.randrange(len(data)) for _ in range(2))
    place = draw.randrange(len(data))
    return data[:place] + data[start:end] + data[place:]


def change_numbers(data: bytes, draw: random.Random) -> bytes:
    """Return text with some numbers replaced by odd ones."""
    places = list(NUMBER.finditer(data))
    for place in sorted(draw.sample(places, min(len(places), draw.choice([1, 1, 3]))), key=lambda m: -m.start()):
        data = data[: place.start()] + draw.choice(NUMBERS) + data[place.end() :]
    return data


def swap_numbers(data: bytes, draw: random.Random) -> bytes:
    """Return text with two numbers exchanged."""
    return _swap(NUMBER, data, draw)


def swap_words(data: bytes, draw: random.Random) -> bytes:
    """Return text with two words, numbers among them, exchanged."""
    return _swap(WORD, data, draw)


def insert_text(data: bytes, draw: random.Random) -> bytes:
    """Return text with something odd put in."""
    place = draw.randrange(len(data) + 1)
    return data[:place] + draw.choice(ODD_TEXT) + data[place:]


def change_lines(data: bytes, draw: random.Random) -> bytes:
    """Return text with a line left out, doubled, or moved."""
    lines = data.splitlines(keepends=True)
    line = lines.pop(draw.randrange(len(lines)))
    for _ in range(draw.choice([0, 1, 2, 1000])):
        lines.insert(draw.randrange(len(lines) + 1), line)
    return b"".join(lines)


def _swap(pattern: re.Pattern[bytes], data: bytes, draw: random.Random) -> bytes:
    places = list(pattern.finditer(data))
    if len(places) < 2:
        return data
    one, other = sorted(draw.sample(places, 2), key=lambda m: m.start())
    return data[: one.start()] + other[0] + data[one.end() : other.start()] + one[0] + data[other.end() :]


BINARY: Final[tuple[Way, ...]] = (change_bytes, cut, copy, change_numbers, change_numbers, swap_numbers)
"""Ways to damage data of any kind."""
WAYS: Final[tuple[Way, ...]] = (*BINARY, change_numbers, swap_words, insert_text, change_lines)
"""Ways to damage text."""


def change_text(data: bytes, draw: random.Random) -> bytes:
    """Return text damaged in one way, now and then in several."""
    for _ in range(draw.choice([1, 1, 1, 2, 4])):
        data = draw.choice(WAYS)(data, draw) if data else data
    return data
