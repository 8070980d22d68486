"""A frame's measured shape as the ledger keeps it: both eyes, and where the numbers came from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shopledger.ledger.text import clean_text
from shopledger.optics.trace import FrameTrace


@dataclass(frozen=True, slots=True)
class TraceOrigin:
    """Where a trace came from, so that it can be believed years later."""

    file_name: str
    file_sha256: str
    traced_on: date
    device: str = ""
    """The tracer as the owner typed it."""

    def __post_init__(self) -> None:
        """Hold the text to its rules."""
        object.__setattr__(self, "file_name", clean_text("file name", self.file_name))
        object.__setattr__(self, "device", clean_text("device", self.device, required=False))


@dataclass(frozen=True, slots=True)
class StatedFigures:
    """What a trace file itself says of the shape; None where it says nothing; all in mm."""

    a: tuple[float | None, float | None] = (None, None)
    """Boxed width, right and left."""
    b: tuple[float | None, float | None] = (None, None)
    dbl: float | None = None
    ed: tuple[float | None, float | None] = (None, None)
    circumference: tuple[float | None, float | None] = (None, None)


@dataclass(frozen=True, slots=True)
class StoredTrace:
    """A frame's trace with its origin and what the file stated."""

    frame_code: str
    shape: FrameTrace
    origin: TraceOrigin
    stated: StatedFigures = StatedFigures()
    other_records: tuple[str, ...] = ()
    """Further records of the file that describe the frame or its device, kept word for word."""
    number: int | None = None
