"""The small styles that the papers share; inks that an owner may choose are in `look`."""

from __future__ import annotations

from typing import Final

from shopledger.paperwork.typeset import Style

NOTE: Final = Style(9)
SHOP: Final = Style(13, bold=True)
NUMBER: Final = Style(11, bold=True)
OUTCOME: Final = Style(12, bold=True)
OUTCOME_WHITE: Final = Style(12, bold=True, ink=1.0)
STAMP: Final = Style(10, bold=True)
