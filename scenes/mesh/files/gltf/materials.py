"""The colours of glTF 2.0 materials (ISO/IEC 12113:2022, 3.9): factors and points are linear, pictures are sRGB."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.colour.srgb import hex_colour, srgb_encode
from scenes.mesh.paint import Paint, plain_colour
from scenes.mesh.pictures import LARGEST_PICTURE_BYTES, SEE_THROUGH, Album, Pixels
from scenes.mesh.piece_paint import BAKED, NO_PLACES, NORMAL_MAP, Painted, places

from .data import Gltf, fractions

Reader = Callable[[str], NDArray[Any] | None]
"""Gives the values of a piece's points by the attribute's name, none where it has none."""
_OLD = "KHR_materials_pbrSpecularGlossiness"


class Materials:
    """What the materials of a file paint pieces with."""

    def __init__(self, gltf: Gltf) -> None:
        self._gltf = gltf
        self._album = Album()
        named = [gltf.tree.get(key, []) for key in ("extensionsUsed", "extensionsRequired")]
        self._is_quantized = any("KHR_mesh_quantization" in names for names in named)

    def name(self, number: Any) -> str | None:
        """Return the name of a material, none where it has none."""
        name = None if number is None else self._gltf.entry("materials", number).get("name")
        return name if isinstance(name, str) else None

    def painted(self, number: Any, read: Reader, faces: NDArray[np.int64]) -> Painted:
        """Return what a material and its points' own colours paint a piece's faces with."""
        material = {} if number is None else self._gltf.entry("materials", number)
        old = material.get("extensions", {}).get(_OLD)
        told = material.get("pbrMetallicRoughness", {}) if old is None else old
        factor, picture = (told.get(key) for key in _keys(old is not None))
        tint = np.ones(3) if factor is None else np.clip(np.array(factor, np.float64).reshape(-1)[:3], 0, 1)
        doubts = (NORMAL_MAP,) if "normalTexture" in material else ()
        colours = read("COLOR_0")
        if colours is not None and len(colours):
            colours = np.clip(fractions(colours)[:, :3], 0, 1)
            if (colours == colours[0]).all():
                tint, colours = tint * colours[0], None
        if picture is not None:
            corners, pixels = self._laid(picture, read, faces, tint)
            if corners is not None and pixels.pixels is not None:
                if pixels.is_see_through and material.get("alphaMode", "OPAQUE") != "OPAQUE":
                    doubts = (*doubts, SEE_THROUGH)
                left = () if colours is None else ("the colours at its points are not laid over its picture",)
                return Painted(paint=Paint(corners, pixels.pixels), doubts=(*doubts, *pixels.doubts, *left, BAKED))
            doubts = (*doubts, *pixels.doubts)
        if colours is not None:
            return Painted(paint=Paint((colours * tint)[faces].astype(np.float32)), doubts=doubts)
        return Painted(_as_seen(tint), doubts=doubts)

    def _laid(
        self, told: dict[str, Any], read: Reader, faces: NDArray[np.int64], tint: NDArray[np.float64]
    ) -> tuple[NDArray[np.float32] | None, Pixels]:
        """Return a picture and the places in it, in our sense: from the bottom up."""
        change = told.get("extensions", {}).get("KHR_texture_transform", {})
        uv = read(f"TEXCOORD_{change.get('texCoord', told.get('texCoord', 0))}")
        if uv is None:
            return None, Pixels(None, (NO_PLACES,))
        if not self._is_quantized:  # else whole numbers that are not normalized stand for themselves
            uv = fractions(uv)
        uv = _transformed(uv.astype(np.float64), change)
        corners = places(np.stack([uv[:, 0], 1 - uv[:, 1]], axis=1), faces)
        return corners, Pixels(None, (NO_PLACES,)) if corners is None else self._pixels(told["index"], tint)

    def _pixels(self, number: Any, tint: NDArray[np.float64]) -> Pixels:
        texture = self._gltf.entry("textures", number)
        webp = texture.get("extensions", {}).get("EXT_texture_webp", {}).get("source")
        source = texture.get("source") if webp is None else webp
        if source is None:
            return Pixels(None, ("its picture is of a kind that is not read here: save it as PNG or JPEG",))
        image = self._gltf.entry("images", source)

        def content() -> bytes:
            if "bufferView" in image:
                return bytes(self._gltf.view(image["bufferView"]))
            return self._gltf.content(image["uri"], LARGEST_PICTURE_BYTES)

        name = str(image.get("name") or f"image {source}")
        return self._album.pixels(source, content, name, None if (tint == 1).all() else tint)


def _keys(is_old: bool) -> tuple[str, str]:
    return ("diffuseFactor", "diffuseTexture") if is_old else ("baseColorFactor", "baseColorTexture")


def _transformed(uv: NDArray[np.float64], change: dict[str, Any]) -> NDArray[np.float64]:
    """Return places by KHR_texture_transform: scaled, turned counter-clockwise as one looks at it, moved."""
    turn = float(change.get("rotation", 0.0))
    cosine, sine = np.cos(turn), np.sin(turn)
    u, v = (uv * np.array(change.get("scale", (1.0, 1.0)), np.float64)).T
    offset = np.array(change.get("offset", (0.0, 0.0)), np.float64)
    return np.stack([cosine * u + sine * v, cosine * v - sine * u], axis=1) + offset


def _as_seen(linear: NDArray[np.float64]) -> str | None:
    """Return "#rrggbb" of a linear colour that somebody chose."""
    if plain_colour(np.rint(255 * linear)[None], linear=True) is None:
        return None
    return hex_colour(srgb_encode(linear))
