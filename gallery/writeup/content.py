"""What a write-up says, as data for its templates: of each setup its pictures, table, places, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from gallery.captions.alternative_text import alternative_text
from gallery.captions.exposure import exposure_caption
from gallery.captions.facts import frame_facts
from gallery.diagram.care import care_notes
from gallery.diagram.items import marked_words
from gallery.diagram.lamp_table import lamp_table
from gallery.diagram.measures import reading_of
from gallery.diagram.notes import setup_notes, sights_heading
from gallery.diagram.readings import lamp_readings
from gallery.files.names import file_name
from gallery.frames.shots import AS_BUILT
from gallery.paper.page import CM_PER_INCH
from gallery.sheet.layout import Row
from gallery.sheet.rows import matrix_rows
from render.frame import Frame
from render.hero_light import HeroLight, hero_light
from render.images.tracing import Tracing
from scenes.setups.placement_words.facts import placement_facts, stage_lines

from .comparison import Comparison
from .pictures import PRINT_DPI


@dataclass(frozen=True, eq=False)
class PictureText:
    """A frame and its words; the names of its files are `stem` and an ending."""

    frame: Frame
    stem: str
    finish: str
    alternative_text: str
    caption: str

    @property
    def print_words(self) -> str:
        """How large it prints: `4.1 x 5.4 cm at 300 to the inch`."""
        height, width = self.frame.rgb.shape[:2]
        sides = [f"{CM_PER_INCH * pixels / PRINT_DPI:.1f}" for pixels in (width, height)]
        return f"{' x '.join(sides)} cm at {PRINT_DPI} to the inch"


@dataclass(frozen=True, eq=False)
class SetupText:
    """A setup of the write-up.

    Parameters
    ----------
    light
        The light at its hero.
    lamps
        The rows of the table of its lamps, a heading and then a value for each.
    places
        A sentence for each thing that is put up.
    look_for, sights_heading
        What the picture should show, and the heading of that.
    notes
        What the setup lacks, and its lamps of different whites.
    comparison
        The person's own photograph beside the first picture; None without one.
    """

    name: str
    stem: str
    reads_as: str
    pictures: tuple[PictureText, ...]
    light: HeroLight
    lamps: tuple[tuple[str, ...], ...]
    places: tuple[str, ...]
    look_for: tuple[str, ...]
    sights_heading: str
    notes: tuple[str, ...]
    care: tuple[str, ...]
    comparison: Comparison | None = None

    @property
    def topcoats(self) -> list[Row]:
        """The rows of the strip of topcoats; none of one finish."""
        return matrix_rows(self.frames)

    @property
    def topcoats_text(self) -> str:
        """The alternative text of the strip of topcoats."""
        return f"{self.name} in {len(self.pictures)} finishes side by side: " + ", ".join(
            picture.finish or "as built" for picture in self.pictures
        )

    @property
    def frames(self) -> list[Frame]:
        """The frames of its pictures."""
        return [picture.frame for picture in self.pictures]


def setup_texts(frames: Sequence[Frame], tracing: Tracing) -> list[SetupText]:
    """Return the setups of frames in words, in the order of the frames."""
    return [_setup_text(list(row), tracing) for _, row in groupby(frames, key=lambda frame: frame.setup.name)]


def _setup_text(frames: Sequence[Frame], tracing: Tracing) -> SetupText:
    frame, light = frames[0], hero_light(frames[0].shot, tracing)
    setup = frame.setup
    facts = placement_facts(setup, frame.shot.camera, reading_of(setup))
    return SetupText(
        name=setup.name,
        stem=file_name(setup.name, ending=""),
        reads_as=setup.reads_as,
        pictures=tuple(map(_picture_text, frames)),
        light=light,
        lamps=tuple(map(tuple, lamp_table(setup, lamp_readings(light)))),
        places=(*stage_lines(facts), *marked_words(setup, facts)),
        look_for=setup.look_for,
        sights_heading=sights_heading(setup),
        notes=setup_notes(setup),
        care=tuple(care_notes(setup)),
    )


def _picture_text(frame: Frame) -> PictureText:
    finish = "" if frame.shot.finish == AS_BUILT else frame.shot.finish
    detail = (frame.setup.detail,) if frame.setup.detail else ()
    name = ", ".join(part for part in (frame.setup.name, finish, *detail) if part)
    settings = exposure_caption(frame).replace("  ", ", ")
    caption = f"{name}: {settings}. A prediction, not a photograph."
    stem = file_name(frame.setup.name, frame.shot.finish, *detail, ending="")
    return PictureText(frame, stem, finish, alternative_text(frame_facts(frame)), caption)
