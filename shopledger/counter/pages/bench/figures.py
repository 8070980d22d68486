"""Figures of verdicts as pages write them: powers with their sign, angles whole, lengths in hundredths."""

from __future__ import annotations

from shopledger.counter.pages.bench.room import pages
from shopledger.optics.inspection import Verdict
from shopledger.optics.notation import write_dioptres

_WORDS = {"D": " D", "degrees": "°", "prism dioptres": " Δ"}


@pages.app_template_filter("figure")
def figure(amount: float, unit: str) -> str:
    """Write a figure as its kind is written."""
    if unit == "D":
        return write_dioptres(amount)
    return f"{amount:.0f}" if unit == "degrees" else f"{amount:.2f}"


@pages.app_template_filter("allowed")
def allowed(verdict: Verdict) -> str:
    """Write a limit with its unit; one such as an eighth of a dioptre has more places than a lensmeter."""
    unit = _WORDS.get(verdict.unit, f" {verdict.unit}")
    return f"{verdict.limit:.3g}{unit}"
