"""The wearer's two eyes, and which way the nose lies when a lens is seen from the front."""

from __future__ import annotations

from enum import Enum


class Side(Enum):
    """An eye of the wearer; the right one always comes first."""

    RIGHT = "right"
    LEFT = "left"

    @property
    def other(self) -> Side:
        """The fellow eye."""
        return Side.LEFT if self is Side.RIGHT else Side.RIGHT

    @property
    def inward(self) -> int:
        """Give the sign of the way to the nose: +1 where the nose is to the right of who faces the wearer."""
        return 1 if self is Side.RIGHT else -1
