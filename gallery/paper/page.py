"""Pages drawn in cm with matplotlib, and their files."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from render.images.store.atomic_file import write_atomically
from scenes.errors import InputError

from .size import Paper

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

CM_PER_INCH: Final = 2.54
PNG_DPI: Final = 150
ENDINGS: Final = (".pdf", ".svg", ".png")
SETTINGS: Final[Any] = {
    "font.family": ["DejaVu Sans"],
    "pdf.fonttype": 42,  # text stays text, in the fonts themselves
    "svg.fonttype": "path",  # it looks the same where the font is missing
    "svg.hashsalt": "spruelight",  # equal pages are equal files
    "text.parse_math": False,  # a name may have a dollar sign
    "axes.unicode_minus": False,
    "image.composite_image": False,  # each picture of a page at its own pixels
}


@contextmanager
def drawing() -> Iterator[None]:
    """Draw and write pages with the settings of this project, whatever the person's own matplotlib has."""
    import matplotlib

    with matplotlib.rc_context():
        matplotlib.rcdefaults()
        matplotlib.rcParams.update(SETTINGS)
        yield


def new_page(paper: Paper) -> Axes:
    """Return axes over a whole blank page, in cm from its lower left corner, y up; `page_of(axes)` is the page."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(paper.width_cm / CM_PER_INCH, paper.height_cm / CM_PER_INCH), facecolor="white")
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(0.0, paper.width_cm)
    axes.set_ylim(0.0, paper.height_cm)
    axes.axis("off")
    return axes


def page_of(axes: Axes) -> Figure:
    """Return the page that axes lie on."""
    from matplotlib.figure import Figure

    if not isinstance(axes.figure, Figure):
        raise TypeError("axes of a part of a figure are no page")
    return axes.figure


def require_page_name(path: Path) -> None:
    """Refuse a file name of another ending than those of ENDINGS.

    Raises
    ------
    InputError
        With those that there are.
    """
    if path.suffix.lower() not in ENDINGS:
        raise InputError(f"--out {path}: a page is written as {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}")


def write_pages(path: Path, pages: Sequence[Figure], title: str) -> list[Path]:
    """Write pages in the format that the name ends in, and return the files; each whole or not at all.

    PDF has all pages in one file. SVG and PNG have a file each: of several, `plan.svg` then `plan-2.svg` and so on.

    Raises
    ------
    InputError
        For another ending.
    OSError
        Where it cannot be written.
    """
    require_page_name(path)
    if path.suffix.lower() == ".pdf":
        _write_bytes(path, _pdf(pages, title))
        return [path]
    paths = [path if i == 0 else path.with_stem(f"{path.stem}-{i + 1}") for i in range(len(pages))]
    for each, page in zip(paths, pages, strict=True):
        _write_bytes(each, _picture(page, path.suffix.lower().removeprefix("."), title))
    return paths


def _pdf(pages: Sequence[Figure], title: str) -> bytes:
    from matplotlib.backends.backend_pdf import PdfPages

    file = BytesIO()
    with PdfPages(file, metadata={"Title": title, "CreationDate": None}) as pdf:
        for page in pages:
            pdf.savefig(page)
    return file.getvalue()


def _picture(page: Figure, kind: str, title: str) -> bytes:
    file = BytesIO()
    metadata = {"Title": title} | ({"Date": None} if kind == "svg" else {})
    page.savefig(file, format=kind, dpi=PNG_DPI, metadata=metadata)
    return file.getvalue()


def _write_bytes(path: Path, content: bytes) -> None:
    write_atomically(path, lambda file: file.write(content))
