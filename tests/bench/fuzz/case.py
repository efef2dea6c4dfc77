"""One input: the files that it writes, and the words of the command that reads them; and how it is damaged."""

from __future__ import annotations

import random
from dataclasses import dataclass
from pathlib import Path
from typing import Final, TypeAlias

from .damage import damage
from .files import ODD_ARGUMENTS

Files: TypeAlias = dict[str, bytes]
"""Contents by name."""
STEADY: Final = "a.toml"
"""The file that is never damaged, where there is another."""


@dataclass(frozen=True)
class Case:
    """Files, and the command that reads them in the folder where they are written."""

    files: Files
    words: tuple[str, ...]

    def damaged(self, draw: random.Random) -> Case:
        """Return it with one of its files damaged, now and then with another file named in the command."""
        name = draw.choice([name for name in self.files if name != STEADY])
        if name in self.words and draw.random() < 0.01:
            odd = draw.choice(ODD_ARGUMENTS)
            return Case(self.files, tuple(odd if word == name else word for word in self.words))
        return Case(self.files | {name: damage(name, self.files[name], draw)}, self.words)

    def written(self, folder: Path) -> tuple[str, ...]:
        """Return the words of its command, its files now in a folder."""
        for name, content in self.files.items():
            (folder / name).write_bytes(content)
        return self.words
