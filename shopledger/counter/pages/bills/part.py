"""The part of the counter that bills and suppliers are."""

from __future__ import annotations

from typing import Final

from flask import Blueprint

pages: Final = Blueprint("bills", __name__)
BOTH: Final = ("GET", "POST")
