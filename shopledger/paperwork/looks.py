"""The greys and small styles that the papers share; all of them stay apart on a black-and-white printer."""

from __future__ import annotations

from typing import Final

from shopledger.paperwork.typeset import Style

STRIP: Final = 0.9
"""Grey of the strips behind column heads and panel titles."""

ROW_RULE: Final = 0.72
"""Grey of the rule under a table row."""

NOTE: Final = Style(9)
SHOP: Final = Style(13, bold=True)
NUMBER: Final = Style(11, bold=True)
OUTCOME: Final = Style(12, bold=True)
OUTCOME_WHITE: Final = Style(12, bold=True, grey=1.0)
STAMP: Final = Style(10, bold=True)
