"""Goods: what lies on the shelf, what can be ordered, and what comes and goes without a sale."""

from __future__ import annotations

from shopledger.counter.pages.goods import accessories, extras, frames, lenses, moving, shelf, standing
from shopledger.counter.pages.goods.part import pages

__all__ = ["accessories", "extras", "frames", "lenses", "moving", "pages", "shelf", "standing"]
