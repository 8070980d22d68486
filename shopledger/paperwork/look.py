"""What an owner may choose about a paper's looks: three inks and a logo, held to what prints in black and white."""

from __future__ import annotations

import re
import struct
from collections.abc import Mapping
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Final

from shopledger.files.reading import NotReadError, read_outside
from shopledger.files.refusals import hint_of, reason_of
from shopledger.paperwork.marks import Pixels
from shopledger.paperwork.refusals import LookError
from shopledger.paperwork.typeset import Ink

_HEX: Final = re.compile(r"#([0-9a-fA-F]{2})([0-9a-fA-F]{2})([0-9a-fA-F]{2})")
_READABLE: Final = 7.0
"""Least contrast of text on its ground, as WCAG 2.1 asks for its level AAA (success criterion 1.4.6)."""

_LARGEST_FILE: Final = 2_000_000
_MOST_PIXELS: Final = 4_000_000
_LOWEST, _HIGHEST = 5.0, 40.0
_WIDEST_MM: Final = 80.0
_KINDS: Final = ("PNG", "JPEG")


@dataclass(frozen=True, slots=True)
class Look:
    """The inks and the logo of a paper."""

    strip: Ink = 0.9
    """Ground behind column heads and panel titles."""
    rule: Ink = 0.72
    """The rule under a table row."""
    accent: Ink = 0.0
    """The title, the shop's name and the strong rule below them."""
    logo: Pixels | None = None
    logo_height: float = 16.0
    """Height of the logo on the paper. [mm]"""

    @property
    def logo_width(self) -> float:
        """Width of the logo on the paper in mm, 0 without one."""
        return self.logo_height * self.logo.width / self.logo.height if self.logo else 0.0


PLAIN: Final = Look()
"""Black and greys, no logo."""


def read_look(entries: Mapping[str, object], folder: Path | None, kept: bytes | None = None) -> Look:
    """Give the look from a paper's entries; the logo lies in `folder`, unless its bytes were kept. Raises LookError."""
    strip = _ink("strip", entries)
    if _contrast(strip, 0.0) < _READABLE:
        raise LookError("look.strip", f"is {entries['look.strip']}, too dark for the black words on it", "Lighten it.")
    accent = _ink("accent", entries)
    if _contrast(1.0, accent) < _READABLE:
        raise LookError("look.accent", f"is {entries['look.accent']}, too pale to be read on paper", "Darken it.")
    name = str(entries["look.logo"])
    logo = _logo(name, folder) if kept is None else _pixels(name, kept)
    look = Look(strip, _ink("rule", entries), accent, logo, _height(entries))
    if look.logo_width > _WIDEST_MM:
        problem = f"would be {look.logo_width:.0f} mm wide on the paper; there is room for {_WIDEST_MM:.0f} mm"
        raise LookError("look.logo_height", problem, "Lower it, or cut the picture.")
    return look


def _ink(name: str, entries: Mapping[str, object]) -> Ink:
    """Read a colour; one without a tint becomes a plain grey."""
    key = f"look.{name}"
    found = _HEX.fullmatch(str(entries[key]))
    if found is None:
        raise LookError(key, f"is '{entries[key]}', and a colour is written like \"#E6E6E6\"", "Write it so.")
    red, green, blue = (int(part, 16) / 255 for part in found.groups())
    return red if red == green == blue else (red, green, blue)


def _contrast(lighter: Ink, darker: Ink) -> float:
    """Give the contrast of two inks, from 1 to 21 (WCAG 2.1, definition of contrast ratio)."""
    return (_luminance(lighter) + 0.05) / (_luminance(darker) + 0.05)


def _luminance(ink: Ink) -> float:
    """Give how bright an ink is, from 0 to 1 (WCAG 2.1, definition of relative luminance)."""
    parts = ink if isinstance(ink, tuple) else (ink, ink, ink)
    red, green, blue = (part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _height(entries: Mapping[str, object]) -> float:
    given = str(entries["look.logo_height"])
    height = float(given) if re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,2})?", given) else 0.0
    if not _LOWEST <= height <= _HIGHEST:
        problem = f"is '{given}'; it may be from {_LOWEST:.0f} to {_HIGHEST:.0f} mm"
        raise LookError("look.logo_height", problem, 'Write it like "16".')
    return height


def _logo(name: str, folder: Path | None) -> Pixels | None:
    """Read the logo; only a file inside the shop's own templates folder is opened."""
    if not name:
        return None
    if folder is None:
        raise LookError("look.logo", f"names '{name}', and the shop has no templates folder", "Leave it empty.")
    try:
        file = (folder / name).resolve()
        if not file.is_relative_to(folder.resolve()):
            raise LookError(
                "look.logo", f"names '{name}', which lies outside {folder}", "Copy the picture into that folder."
            )
        if not file.is_file():
            raise LookError("look.logo", f"names '{name}', and {folder} holds no such file", "Copy the picture there.")
        if file.stat().st_size > _LARGEST_FILE:
            size = file.stat().st_size / 1e6
            raise LookError(
                "look.logo", f"names '{name}', which has {size:.1f} MB; at most 2 MB are read", "Save it smaller."
            )
        return _pixels(name, read_outside(file, _LARGEST_FILE))
    except NotReadError as error:
        raise LookError("look.logo", f"names '{name}', which cannot be read ({error.reason})", error.hint) from error
    except OSError as error:
        problem = f"names '{name}', which cannot be looked for ({reason_of(error)})"
        raise LookError("look.logo", problem, hint_of(error, reading=True)) from error


def _pixels(name: str, content: bytes) -> Pixels:
    """Decode a picture, its see-through parts on white. Raises LookError for what is no whole PNG or JPEG."""
    from PIL import Image  # noqa: PLC0415 - only papers with a logo need it

    try:
        with Image.open(BytesIO(content), formats=_KINDS) as picture:
            _refuse_vast(name, picture.width, picture.height)
            seen = picture.convert("RGBA")
    except LookError:
        raise
    except (OSError, SyntaxError, ValueError, EOFError, struct.error, Image.DecompressionBombError) as error:
        problem = f"names '{name}', which is no whole PNG or JPEG picture"
        raise LookError("look.logo", problem, "Save it again as PNG.") from error
    ground = Image.new("RGBA", seen.size, "white")
    ground.alpha_composite(seen)
    return Pixels(ground.width, ground.height, ground.convert("RGB").tobytes())


def _refuse_vast(name: str, width: int, height: int) -> None:
    if width * height > _MOST_PIXELS:
        problem = f"names '{name}' with {width} x {height} pixels; at most 4 million are read"
        raise LookError("look.logo", problem, "Save it smaller.")
