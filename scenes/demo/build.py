"""Make the demo model's file anew: ``python -m scenes.demo.build`` (needs scikit-image)."""

from __future__ import annotations

from . import HERE
from .diver_base import base_parts
from .diver_boots import boot_parts
from .diver_corselet import corselet_parts
from .diver_hands import hand_parts
from .diver_helmet import helmet_parts
from .diver_kit import kit_parts
from .diver_staff import staff_parts
from .diver_suit import suit
from .packing import pack
from .sweeps import Mesh


def built_parts() -> dict[str, Mesh]:
    """Return every part by name, in the order of the file."""
    parts = helmet_parts() | corselet_parts() | {"suit": suit()}
    return parts | hand_parts() | boot_parts() | kit_parts() | staff_parts() | base_parts()


def main() -> None:
    """Write the file beside this module."""
    pack(((name, *mesh) for name, mesh in built_parts().items()), HERE / "diver.npz")


if __name__ == "__main__":
    main()
