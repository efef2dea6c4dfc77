"""Sampling points: Owen-scrambled Sobol sequences, a pair of dimensions at a time.

Each pair is the first two Sobol dimensions, shuffled and scrambled by hashing (Burley, Practical Hash-based Owen
Scrambling, JCGT 9(4), 2020), with the permutation of Laine and Karras in Vegdahl's form (constants from memory; any
even factors make an Owen scrambling). A sequence is known by its seed, so any part of it can be drawn again.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from .backend import mitsuba

_SUBSETS = ((1, 0x55555555), (2, 0x33333333), (4, 0x0F0F0F0F), (8, 0x00FF00FF), (16, 0x0000FFFF))


@dataclass
class Points:
    """Point `index` of the sequence `seed`, in as many pairs of dimensions as are asked for; lanes of UInt32."""

    seed: Any
    index: Any

    def pair(self, dimension: Any) -> tuple[Any, Any]:
        """Return two numbers in [0, 1), well spread together over consecutive indices."""
        import drjit as dr

        seed = _mixed(self.seed ^ (dimension * 0x9E3779B9))
        place = dr.brev(_permuted(dr.brev(self.index), seed))
        x = dr.brev(_permuted(place, _mixed(seed ^ 0xA511E9B3)))
        y = dr.brev(_permuted(_second_dimension(place), _mixed(seed ^ 0x63D83595)))
        return _unit(x), _unit(y)


def stream(lane: Any, number: Any) -> Any:
    """Return the seed of a lane's sequence in the stream `number`, both UInt32."""
    return mitsuba().sample_tea_32(lane, number, 4)[0]


def _second_dimension(index: Any) -> Any:
    """Return the second Sobol dimension, bits reversed: its matrix is Pascal's triangle modulo 2."""
    for shift, zeros in _SUBSETS:
        index = index ^ ((index >> shift) & zeros)
    return index


def _permuted(value: Any, seed: Any) -> Any:
    """Return a permutation in which each bit depends on the lower ones only."""
    value = value ^ (value * 0x3D20ADEA)
    value = (value + seed) * ((seed >> 16) | 1)
    value = value ^ (value * 0x05526C56)
    return value ^ (value * 0x53A22864)


def _mixed(value: Any) -> Any:
    """Return a hash (the finalizer of MurmurHash3)."""
    value = (value ^ (value >> 16)) * 0x85EBCA6B
    value = (value ^ (value >> 13)) * 0xC2B2AE35
    return value ^ (value >> 16)


def _unit(value: Any) -> Any:
    return mitsuba().Float(value >> 8) * 2.0**-24
