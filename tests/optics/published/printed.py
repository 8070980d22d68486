"""A value as printed somewhere, with its place, its decimals and how it is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal


@dataclass(frozen=True)
class Printed:
    """One printed value: what was given, what is expected, and with how many decimals it was printed.

    `known` is how the value came here: read in print, derived (worked out by hand or by exact mathematics, not by the
    code under test), or from memory. `cut` says that the print cut the digits off instead of rounding them.
    """

    source: str
    where: str
    given: tuple[Any, ...]
    expect: float
    places: int
    known: Literal["read", "derived", "memory"] = "read"
    remark: str = ""
    cut: bool = False

    @property
    def within(self) -> float:
        """Half a unit in the last printed place (a whole one where it was cut), and a grain for rounding."""
        return (1.0 if self.cut else 0.5) * 10.0**-self.places + 1e-9

    def __str__(self) -> str:
        """Name the case by its source and its place there."""
        return f"{self.source} {self.where}"
