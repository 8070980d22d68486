"""Where a page goes back to that was opened on the way of another: a path of ours, and nothing else."""

from __future__ import annotations

import re
from typing import Final

from flask import request

_OURS: Final = re.compile(r"/(?![/\\])[\w/?=&%.+~-]*")


def back_to(otherwise: str) -> str:
    """Give the page that this one was opened from, where it says so, or another."""
    asked = request.args.get("next", "")
    return asked if _OURS.fullmatch(asked) else otherwise
