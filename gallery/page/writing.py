"""The page of a finished sheet, written."""

from __future__ import annotations

from pathlib import Path

from gallery.captions.exposure import shared_exposure_words
from gallery.inputs import size_line
from gallery.sheet.finished import FinishedSheet
from render.hero_light import hero_light
from render.images.store.atomic_file import write_atomically
from render.images.tracing import Tracing

from .content import frame_texts
from .live import live_facts
from .page import Heading, PageFrame, page_html
from .stills import still_of


def write_page(path: Path, sheet: FinishedSheet, tracing: Tracing) -> None:
    """Write the page of a sheet, whole or not at all; its frames are taken again from what is stored.

    Raises
    ------
    OSError
        Where it cannot be written.
    """
    frames = sheet.take_frames(tracing)
    texts = frame_texts(frames, [hero_light(frame.shot, tracing) for frame in frames])
    stills = [still_of(frame.rgb) for frame in frames]
    live, shared = live_facts(sheet, frames, tracing)
    arrangement = sheet.arrangement
    html = page_html(
        Heading(arrangement.title, size_line(arrangement), shared_exposure_words(frames)),
        [PageFrame(*parts) for parts in zip(texts, stills, live, strict=True)],
        shared,
        [setup.sentence for setup in sheet.left_out],
    )
    write_atomically(path, lambda file: file.write(html.encode()))
