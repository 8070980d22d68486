"""Bars for amounts of money, drawn of numbers alone; the same numbers stand in a table beside them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from markupsafe import Markup

from shopledger.counter.showing import money
from shopledger.money.amount import Cents

WIDE: Final = 46
"""How wide one bar with its gap is."""
GAP: Final = 12
HIGH: Final = 160
"""How high the tallest bar is, above and below nothing together."""
BELOW: Final = 18
"""The room for words under the bars."""


def bars(values: Sequence[tuple[str, Cents]], title: str) -> Markup:
    """Draw amounts beside one another, each with its name under it; below zero a bar hangs down in another color."""
    top, bottom = max([0, *(each for _, each in values)]), min([0, *(each for _, each in values)])
    scale = HIGH / ((top - bottom) or 1)
    base = top * scale
    drawing = Markup(
        '<svg class="drawing bars" role="img" preserveAspectRatio="xMinYMax meet" viewBox="0 0 {} {}"><title>{}</title>'
    )
    parts = [drawing.format(max(1, len(values)) * WIDE, HIGH + BELOW, title)]
    for place, (name, amount) in enumerate(values):
        x, height = place * WIDE + GAP / 2, abs(amount) * scale
        y = base - height if amount >= 0 else base
        shape = Markup('<rect class="bar{}" x="{:.1f}" y="{:.1f}" width="{}" height="{:.1f}"><title>{}</title></rect>')
        said = f"{name}: {money(amount)}"
        parts.append(shape.format(" less" if amount < 0 else "", x, y, WIDE - GAP, height, said))
        label = Markup('<text x="{:.1f}" y="{}" text-anchor="middle">{}</text>')
        parts.append(label.format(x + (WIDE - GAP) / 2, HIGH + BELOW - 4, name))
    parts.append(Markup('<path class="base" d="M0 {:.1f} H{}"/></svg>').format(base, max(1, len(values)) * WIDE))
    return Markup("").join(parts)
