"""Sample points: Owen-scrambled Sobol sequences, a pair of dimensions at a time.

Each pair is the first two Sobol dimensions, shuffled and scrambled by hashing (Burley, "Practical Hash-based Owen
Scrambling", JCGT 9(4), 2020), with the permutation of Laine and Karras in Vegdahl's form (constants from memory; any
even factors make an Owen scrambling). A sequence is defined by its seed, so any part of it can be generated again.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from render.kernel.backend import mitsuba

_PASCAL_STEPS = ((1, 0x55555555), (2, 0x33333333), (4, 0x0F0F0F0F), (8, 0x00FF00FF), (16, 0x0000FFFF))
"""Shift and mask of each step of the product with Pascal's triangle."""


@dataclass
class Sampler:
    """Point `index` of the sequence of a `seed`, with any number of dimensions; lanes of UInt32."""

    seed: Any
    index: Any

    def sample_2d(self, pair: Any) -> tuple[Any, Any]:
        """Return the point's coordinates in pair number `pair` of its dimensions, each in [0, 1)."""
        import drjit as dr

        seed = _hash(self.seed ^ (pair * 0x9E3779B9))
        index = dr.brev(_laine_karras(dr.brev(self.index), seed))
        x = dr.brev(_laine_karras(index, _hash(seed ^ 0xA511E9B3)))
        y = dr.brev(_laine_karras(_second_dimension(index), _hash(seed ^ 0x63D83595)))
        return _unit_float(x), _unit_float(y)


def sequence_seed(lane: Any, stream: Any) -> Any:
    """Return the seed of a lane's sequence; numbers of `stream` give independent ones. All are UInt32."""
    return mitsuba().sample_tea_32(lane, stream, 4)[0]


def _second_dimension(index: Any) -> Any:
    """Return the second Sobol dimension, bits reversed: its matrix is Pascal's triangle modulo 2."""
    for shift, mask in _PASCAL_STEPS:
        index = index ^ ((index >> shift) & mask)
    return index


def _laine_karras(value: Any, seed: Any) -> Any:
    """Return a permutation in which each bit depends on the lower ones only."""
    value = value ^ (value * 0x3D20ADEA)
    value = (value + seed) * ((seed >> 16) | 1)
    value = value ^ (value * 0x05526C56)
    return value ^ (value * 0x53A22864)


def _hash(value: Any) -> Any:
    """Return the finalizer of MurmurHash3."""
    value = (value ^ (value >> 16)) * 0x85EBCA6B
    value = (value ^ (value >> 13)) * 0xC2B2AE35
    return value ^ (value >> 16)


def _unit_float(value: Any) -> Any:
    return mitsuba().Float(value >> 8) * 2.0**-24
