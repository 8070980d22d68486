"""The shop itself, as one part of the counter; its pages stand in the modules beside this one."""

from __future__ import annotations

from typing import Final

from flask import Blueprint

pages: Final = Blueprint("shop", __name__, url_prefix="/shop")
BOTH: Final = ("GET", "POST")
SHOP: Final = ("/shop", "The shop")
"""The way back from each of its pages."""
