"""How the stock stands: what is low, how long goods have lain there, what they are worth."""

from __future__ import annotations

from datetime import date
from typing import Final

from flask import render_template, request

from shopledger.counter.desks import desk, station
from shopledger.counter.pages.goods.part import pages, shelf_of
from shopledger.desk.books.shelf import OF_LATE, low_stock, stock_ageing, stock_value
from shopledger.ledger.books.stock_values import BANDS
from shopledger.typed.days import read_day
from shopledger.typed.numbers import read_whole

FEW: Final = "1"


@pages.get("/low")
def low() -> str:
    """Show what to buy again: few may still be sold; what sold most stands first."""
    below = read_whole(request.args.get("below") or FEW, "number")
    found = low_stock(desk(), below)
    return render_template("goods/low.html", found=found, below=below, days=OF_LATE, shelf_of=shelf_of)


@pages.get("/ageing")
def ageing() -> str:
    """Show how long goods have lain there."""
    found = stock_ageing(desk(), _day())
    together = [sum(costs) for costs in zip(*(each.costs for each in found), strict=True)]
    return render_template("goods/ageing.html", found=found, bands=BANDS, together=together, shelf_of=shelf_of)


@pages.get("/value")
def value() -> str:
    """Show what all goods on hand cost on a day."""
    worth = stock_value(desk(), _day())
    return render_template("goods/value.html", worth=worth, shelf_of=shelf_of)


def _day() -> date | None:
    typed = request.args.get("on", "").strip()
    return read_day(typed, today=station().today()) if typed else None
