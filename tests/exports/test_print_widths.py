"""How wide columns are on a page of Letter paper: numbers keep their width, text gives way, nothing is too small."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.exports.print_widths import Wanted, printed_widths, widest
from shopledger.exports.refusals import SheetError
from shopledger.exports.reports import SHEETS, YEAR_SHEETS
from shopledger.exports.sheets import Kind, Sheet

WANTED = st.builds(Wanted, st.sampled_from(["Amount", "Description", "Tax category"]), st.floats(7, 40), st.booleans())


def test_the_widest_sheet_prints_eight_points_of_ten() -> None:
    """10.4 inches across and 7.9 upright, at four fifths, of 7.5/96 inch a figure (worked out by hand)."""
    assert widest(landscape=True) == pytest.approx(10.4 / 0.8 * 96 / 7.5)
    assert widest(landscape=False) == pytest.approx(7.9 / 0.8 * 96 / 7.5)


@given(wanted=st.lists(WANTED, min_size=1, max_size=16), landscape=st.booleans())
def test_only_text_gives_way_and_never_below_its_heading(wanted: list[Wanted], landscape: bool) -> None:
    """A sheet that fits stays as it is; one that cannot be made to fit is refused."""
    most = widest(landscape=landscape)
    if sum(each.least for each in wanted) > most:
        with pytest.raises(SheetError, match="split its columns"):
            printed_widths("Wide", wanted, landscape=landscape)
        return
    widths = printed_widths("Wide", wanted, landscape=landscape)
    assert sum(widths) <= max(most, 0) + 1e-6
    for each, width in zip(wanted, widths, strict=True):
        assert each.least - 1e-9 <= width <= each.width
        assert each.gives_way or width == each.width
    if sum(each.width for each in wanted) <= most:
        assert widths == [each.width for each in wanted]


@pytest.mark.parametrize("sheet", [*SHEETS, *YEAR_SHEETS], ids=lambda sheet: f"{sheet.title} {sheet.table}")
def test_every_sheet_fits_its_page(sheet: Sheet[Any]) -> None:
    """A column more on any sheet is held to it, and so is every heading's longest word."""
    wanted = [Wanted(column.header, column.width, column.kind is Kind.TEXT) for column in sheet.columns]
    widths = printed_widths(sheet.title, wanted, landscape=sheet.landscape)
    assert sum(widths) <= widest(landscape=sheet.landscape) + 1e-6
    for column, width in zip(sheet.columns, widths, strict=True):
        assert width >= max(map(len, column.header.split())) + 2, column.header
