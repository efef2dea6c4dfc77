"""`spruelight page`: a finished sheet as one HTML file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gallery.terminal import print_lines

from .opening import require_writable_file


def page(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="folder of a finished sheet")],
    out: Annotated[Path | None, typer.Option("--out", help="file to write; else page.html in DIR")] = None,
) -> None:
    """Write one self-contained HTML file of a finished sheet: compare its frames, set them up, without network."""
    import json

    import numpy as np

    from gallery.files.names import file_name
    from gallery.files.pictures import read_picture
    from gallery.page.content import frame_texts
    from gallery.page.page import page_html
    from gallery.page.stills import still_of
    from render.images.store.atomic_file import write_atomically

    path = out or folder / "page.html"
    require_writable_file(path)
    facts = json.loads((folder / "sheet.json").read_text(encoding="utf-8"))
    stills = []
    for frame in facts["frames"]:
        detail = (frame["detail"]["part"],) if "detail" in frame else ()
        picture = read_picture(folder / "frames" / file_name(frame["setup"], frame["finish"], *detail))
        stills.append(still_of(picture.astype(np.uint8)))
    left_out = [f"{setup['setup']} is left out: it {setup['why']}" for setup in facts["left_out"]]
    html = page_html(facts["title"], "", frame_texts(facts["frames"]), stills, left_out)
    write_atomically(path, lambda file: file.write(html.encode()))
    print_lines(str(path))
