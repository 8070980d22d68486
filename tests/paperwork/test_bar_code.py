"""The job number as bars: read back by the symbology, bar by bar."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.paperwork.job_sheet import QUIET, bar_code, modules_of
from shopledger.paperwork.marks import Box

# Code 128 (ISO/IEC 15417): widths of three bars and three spaces for the values 0 to 105, then the stop; from memory.
_TABLE = """
212222 222122 222221 121223 121322 131222 122213 122312 132212 221213 221312 231212 112232 122132 122231 113222
123122 123221 223211 221132 221231 213212 223112 312131 311222 321122 321221 312212 322112 322211 212123 212321
232121 111323 131123 131321 112313 132113 132311 211313 231113 231311 112133 112331 132131 113123 113321 133121
313121 211331 231131 213113 213311 213131 311123 311321 331121 312113 312311 332111 314111 221411 431111 111224
111422 121124 121421 141122 141221 112214 112412 122114 122411 142112 142211 241211 221114 413111 241112 134111
111242 121142 121241 114212 124112 124211 411212 421112 421211 212141 214121 412121 111143 111341 131141 114113
114311 411113 411311 113141 114131 311141 411131 211412 211214 211232
"""
PATTERNS = _TABLE.split()
STOP = "2331112"
START_B, START_C, TO_C, TO_B = 104, 105, 99, 100


def values_in(widths: str) -> list[int]:
    """Take the symbol's values apart: the stop is left out."""
    assert widths.endswith(STOP)
    body = widths.removesuffix(STOP)
    assert len(body) % 6 == 0
    return [PATTERNS.index(body[at : at + 6]) for at in range(0, len(body), 6)]


def read_back(widths: tuple[int, ...]) -> str:
    """Read a symbol of digits as a scanner does: start, check by weights modulo 103, then pairs or single digits."""
    start, *content, check = values_in("".join(map(str, widths)))
    assert check == (start + sum(place * value for place, value in enumerate(content, start=1))) % 103
    pairs = {START_B: False, START_C: True}[start]
    text = ""
    for value in content:
        if value == (TO_B if pairs else TO_C):
            pairs = not pairs
        else:
            text += f"{value:02d}" if pairs else chr(value + 32)
    return text


@pytest.mark.parametrize("number", [1, 7, 57, 123, 4096, 10_000, 999_999])
def test_a_number_is_read_back_from_its_bars(number: int) -> None:
    """Odd and even counts of digits alike."""
    assert read_back(modules_of(str(number))) == str(number)


@given(st.integers(min_value=1, max_value=9_999_999))
def test_every_job_number_can_be_scanned(number: int) -> None:
    """Whatever number a job gets."""
    assert read_back(modules_of(str(number))) == str(number)


@given(st.integers(min_value=1, max_value=9_999_999), st.floats(120, 300))
def test_the_bars_are_drawn_as_wide_as_their_modules(number: int, width: float) -> None:
    """Bars and the gaps between them are whole modules, and both margins stay white for ten of them."""
    bars = [mark for mark in bar_code(str(number), 20, 5, width, 40) if isinstance(mark, Box)]
    assert all(bar.fill == 0 and bar.line == 0 and bar.height == 40 for bar in bars)
    module = sum(bar.width for bar in bars) / sum(modules_of(str(number))[::2])
    edges = [edge for bar in bars for edge in (bar.x, bar.x + bar.width)]
    drawn = [(after - before) / module for before, after in pairwise(edges)]
    assert drawn == pytest.approx(list(modules_of(str(number))), abs=1e-6)
    assert bars[0].x - 20 >= QUIET * module - 1e-6
    assert 20 + width - edges[-1] >= QUIET * module - 1e-6
