"""The part of the counter that months and years are."""

from __future__ import annotations

from typing import Final

from flask import Blueprint

pages: Final = Blueprint("months", __name__, url_prefix="/months")
BOTH: Final = ("GET", "POST")
