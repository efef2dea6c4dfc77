"""The colours of glTF 2.0 materials (ISO/IEC 12113:2022, 3.9): factors and points are linear, pictures are sRGB."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.colour.srgb import hex_colour, srgb_encode
from scenes.mesh.colour_map import ColourMap, plain_colour
from scenes.mesh.colouring import BAKED, NO_COORDINATES, NORMAL_MAP, Colouring, texture_coordinates
from scenes.mesh.files.opacity import effective
from scenes.mesh.pictures import LARGEST_PICTURE_BYTES, Album, Pixels
from scenes.mesh.triangles import areas

from .alpha import alpha_map
from .data import Gltf, normalized

Reader = Callable[[str], NDArray[Any] | None]
"""From the name of a vertex attribute to its values (n, 1 to 4), or None."""
GLASS = "a material of glass (transmission) stays opaque: clear = true under [[subject.parts]] makes it clear plastic"
_OLD = "KHR_materials_pbrSpecularGlossiness"


class Materials:
    """The materials of a file, and the pictures that they use."""

    def __init__(self, gltf: Gltf) -> None:
        self._gltf = gltf
        self._album = Album()
        named = [gltf.tree.get(key, []) for key in ("extensionsUsed", "extensionsRequired")]
        self._is_quantized = any("KHR_mesh_quantization" in names for names in named)

    def name(self, number: Any) -> str | None:
        """Return the name of a material, none where it has none."""
        name = None if number is None else self._gltf.entry("materials", number).get("name")
        return name if isinstance(name, str) else None

    def colouring(self, number: Any, read: Reader, faces: NDArray[np.int64]) -> Colouring:
        """Return the colouring of faces (m, 3) by a material and the colours at their points."""
        material = {} if number is None else self._gltf.entry("materials", number)
        old = material.get("extensions", {}).get(_OLD)
        model = material.get("pbrMetallicRoughness", {}) if old is None else old
        factor, picture = (model.get(key) for key in _keys(old is not None))
        factors = np.ones(4) if factor is None else np.clip(np.array(factor, np.float64).reshape(-1)[:4], 0, 1)
        tint = factors[:3]
        notes = (*((NORMAL_MAP,) if "normalTexture" in material else ()), *((GLASS,) if _is_glass(material) else ()))
        colours = read("COLOR_0")
        if colours is not None and len(colours):
            colours = np.clip(normalized(colours)[:, :3], 0, 1)
            if (colours == colours[0]).all():
                tint, colours = tint * colours[0], None
        corners, pixels = None, Pixels(None)
        if picture is not None:
            corners, pixels = self._textured(picture, read, faces, tint)
        told: tuple[str, ...] = ()
        opacity_map = alpha_map(material, float(factors[-1]), read("COLOR_0"), faces)
        if opacity_map is not None:
            if corners is not None and pixels.opacity is not None:
                opacity_map = opacity_map.with_picture(corners, pixels.opacity)
            opacity_map, told = effective(opacity_map, areas(np.asarray(read("POSITION"), np.float64), faces))
        if corners is not None and pixels.pixels is not None:
            ignored = () if colours is None else ("the colours at its points are not laid over its picture",)
            shown = pixels.pixels
            if opacity_map is not None and opacity_map.picture is not None:
                shown = self._album.without_fringe(shown, opacity_map.picture)
            notes = (*notes, *pixels.notes, *ignored, BAKED, *told)
            return Colouring(colour_map=ColourMap(corners, shown), notes=notes, opacity_map=opacity_map)
        notes = (*notes, *pixels.notes, *told)
        if colours is not None:
            colour_map = ColourMap((colours * tint)[faces].astype(np.float32))
            return Colouring(colour_map=colour_map, notes=notes, opacity_map=opacity_map)
        return Colouring(_as_seen(tint), notes=notes, opacity_map=opacity_map)

    def _textured(
        self, texture: dict[str, Any], read: Reader, faces: NDArray[np.int64], tint: NDArray[np.float64]
    ) -> tuple[NDArray[np.float32] | None, Pixels]:
        """Return texture coordinates (m, 3, 2), v from the bottom up, and the pixels of their picture."""
        change = texture.get("extensions", {}).get("KHR_texture_transform", {})
        uv = read(f"TEXCOORD_{change.get('texCoord', texture.get('texCoord', 0))}")
        if uv is None:
            return None, Pixels(None, (NO_COORDINATES,))
        if not self._is_quantized:  # with it, integers that are not normalized are coordinates as they are
            uv = normalized(uv)
        uv = _transformed(uv.astype(np.float64), change)
        corners = texture_coordinates(np.stack([uv[:, 0], 1 - uv[:, 1]], axis=1), faces)
        return corners, Pixels(None, (NO_COORDINATES,)) if corners is None else self._pixels(texture["index"], tint)

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


def _is_glass(material: dict[str, Any]) -> bool:
    return bool(material.get("extensions", {}).get("KHR_materials_transmission", {}).get("transmissionFactor", 0))


def _keys(is_old: bool) -> tuple[str, str]:
    return ("diffuseFactor", "diffuseTexture") if is_old else ("baseColorFactor", "baseColorTexture")


def _transformed(uv: NDArray[np.float64], change: dict[str, Any]) -> NDArray[np.float64]:
    """Return texture coordinates (n, 2) scaled, rotated and moved by KHR_texture_transform."""
    turn = float(change.get("rotation", 0.0))
    cosine, sine = np.cos(turn), np.sin(turn)
    u, v = (uv * np.array(change.get("scale", (1.0, 1.0)), np.float64)).T
    offset = np.array(change.get("offset", (0.0, 0.0)), np.float64)
    return np.stack([cosine * u + sine * v, cosine * v - sine * u], axis=1) + offset


def _as_seen(linear: NDArray[np.float64]) -> str | None:
    """Return "#rrggbb" of a linear colour, or None of a program's default."""
    if plain_colour(np.rint(255 * linear)[None], linear=True) is None:
        return None
    return hex_colour(srgb_encode(linear))
