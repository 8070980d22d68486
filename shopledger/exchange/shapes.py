"""A frame's shape as a file gives it: both eyes, and whether its two sides are the sides that they say they are.

A shape alone does not tell its side. Two things do: a frame's lenses are mirror images, so a left shape that is the
right one over again was traced twice or taken for the other side; and sizes stated for right and left that fit the
shapes crosswise are those of the other eyes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from shopledger.errors import OpticsError
from shopledger.exchange.refusals import FileRefusedError
from shopledger.ledger.traces import StatedFigures
from shopledger.optics.boxing import box
from shopledger.optics.likeness import copy_difference, mirror_difference
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace

_ALIKE: Final = 0.3
"""What two tracings of one lens may differ by (common practice, no source). [mm]"""
_UNLIKE: Final = 0.8
"""A shape that leaves its mirror image by less is too symmetrical to tell. [mm]"""
_FITS: Final = 0.1
"""How well a stated size must fit the radii (common practice, no source). [mm]"""
_ANY_BRIDGE: Final = 18.0
"""The bridge has no part in how the two shapes compare. [mm]"""


@dataclass(frozen=True, slots=True)
class ReadTrace:
    """What a trace file says: both shapes, the distance between them where stated, and all else word for word."""

    right: Trace
    left: Trace
    dbl: float | None
    """Distance between lenses, or None where the file does not say. [mm]"""
    stated: StatedFigures
    other_records: tuple[str, ...]
    sha256: str
    """Hash of the file's bytes."""
    mirrored: bool = False
    """Whether only one eye was in the file, and the other one is its mirror image."""


def mirrored_to_both(file: str, shapes: Mapping[Side, Trace]) -> tuple[Trace, Trace]:
    """Give right and left; where one eye is missing, it is the mirror image of the one that is there."""
    right = shapes.get(Side.RIGHT) or _other_eye(file, shapes[Side.LEFT])
    left = shapes.get(Side.LEFT) or _other_eye(file, shapes[Side.RIGHT])
    return right, left


def traced_twice(right: Trace, left: Trace) -> str:
    """Say what is wrong when the left shape is the right one again and no mirror image; empty when it is not."""
    both = FrameTrace(right, left, _ANY_BRIDGE)
    copied = copy_difference(both)
    if copied > _ALIKE or mirror_difference(both) < _UNLIKE:
        return ""
    return f"the left shape is the right one again (within {copied:.2f} mm), not its mirror image"


def stated_crosswise(right: Trace, left: Trace, stated: StatedFigures) -> str:
    """Say what is wrong when the sizes stated for each eye fit the other one; empty when they do not."""
    one, other = box(right), box(left)
    rows = (("width", stated.a, (one.a, other.a)), ("height", stated.b, (one.b, other.b)))
    telling = [(name, said, measured) for name, said, measured in rows if _tells(*said)]
    if telling and all(_crossed(said, measured) for _, said, measured in telling):
        return f"the {telling[0][0]} stated for each eye is that of the other: the sides are swapped"
    return ""


def _other_eye(file: str, shape: Trace) -> Trace:
    """Mirror the one eye that is there."""
    try:
        return shape.mirrored()
    except OpticsError as error:
        reason = f"only the {shape.side.value} eye is there, and an odd count of radii cannot be mirrored"
        raise FileRefusedError(file, None, reason, "Export both eyes, or an even count of radii.") from error


def _tells(right: float | None, left: float | None) -> bool:
    """Tell whether a stated size differs from eye to eye by enough to say which is which."""
    return right is not None and left is not None and abs(right - left) > 2 * _FITS


def _crossed(said: tuple[float | None, float | None], measured: tuple[float, float]) -> bool:
    """Tell whether each stated size is that of the other eye."""
    return all(each is not None and abs(each - size) <= _FITS for each, size in zip(said, measured[::-1], strict=True))
