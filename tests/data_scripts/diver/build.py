"""Make the demo model's file anew: ``python -m tests.data_scripts.diver.build`` (needs scikit-image)."""

from __future__ import annotations

from scenes.builtin.demo import HERE
from scenes.builtin.shapes.sweeps import Mesh

from .base import base_parts
from .boots import boot_parts
from .corselet import corselet_parts
from .hands import hand_parts
from .helmet import helmet_parts
from .kit import kit_parts
from .packing import pack
from .staff import staff_parts
from .suit import suit


def built_parts() -> dict[str, Mesh]:
    """Return every part by name, in the order of the file."""
    parts = helmet_parts() | corselet_parts() | {"suit": suit()}
    return parts | hand_parts() | boot_parts() | kit_parts() | staff_parts() | base_parts()


def main() -> None:
    """Write the file of the built-in model."""
    pack(((name, *mesh) for name, mesh in built_parts().items()), HERE / "diver.npz")


if __name__ == "__main__":
    main()
