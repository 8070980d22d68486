"""A drawn shape is true in proportion, closed, and fits the terminal."""

from __future__ import annotations

import math

import pytest

from shopledger.cli.views.drawing import WIDTH, Point, draw, draw_pair

BLANK = 0x2800


def circle(radius: float = 25.0, count: int = 360) -> list[Point]:
    """Give a round lens."""
    angles = (2 * math.pi * place / count for place in range(count))
    return [(radius * math.cos(angle), radius * math.sin(angle)) for angle in angles]


def dots(lines: list[str]) -> set[tuple[int, int]]:
    """Give the places of all dots, across and down."""
    bits = {
        0x01: (0, 0),
        0x02: (0, 1),
        0x04: (0, 2),
        0x40: (0, 3),
        0x08: (1, 0),
        0x10: (1, 1),
        0x20: (1, 2),
        0x80: (1, 3),
    }
    return {
        (2 * column + across, 4 * row + down)
        for row, line in enumerate(lines)
        for column, letter in enumerate(line)
        if letter != " "
        for bit, (across, down) in bits.items()
        if (ord(letter) - BLANK) & bit
    }


@pytest.mark.parametrize("columns", [20, 40, 76])
def test_a_circle_is_as_high_as_it_is_wide(columns: int) -> None:
    """A dot is as high as it is wide, so a round lens is round."""
    drawn = dots(draw([circle()], columns))
    across, down = {x for x, _ in drawn}, {y for _, y in drawn}
    assert max(across) - min(across) == 2 * columns - 1
    assert abs((max(down) - min(down)) - (max(across) - min(across))) <= 1


def test_an_outline_has_no_holes() -> None:
    """Every dot has a neighbour on either side, even where the corners are far apart."""
    drawn = dots(draw([circle(count=36)], 40))
    for x, y in drawn:
        assert len({(x + i, y + j) for i in (-1, 0, 1) for j in (-1, 0, 1)} & drawn) >= 3


def test_the_right_lens_stands_at_the_left_with_the_bridge_between() -> None:
    """The frame lies before one as it is worn by somebody opposite."""
    small, large = circle(10.0), circle(20.0)
    *lines, which = draw_pair(small, large, dbl=20.0)
    assert "R is the wearer's right lens" in which
    assert max(map(len, lines)) <= WIDTH
    middle = lines[len(lines) // 2].ljust(WIDTH)
    # 20 + 20 + 40 mm over 76 columns: the small lens ends at 19, the large one begins at 38.
    assert middle[20:37].strip() == ""
    assert middle[38:].strip()
    assert not lines[0][:37].strip()


def test_no_line_ends_in_blanks() -> None:
    """Copied into a message, the drawing brings nothing along."""
    assert [line for line in draw([circle()], 30) if line != line.rstrip()] == []


def test_each_lens_has_its_letter_in_its_middle() -> None:
    """R stands in the lens at the left, which is the wearer's right one; L in the other."""
    *lines, _ = draw_pair(circle(20.0), circle(20.0), dbl=20.0)
    (lettered,) = [line for line in lines if "R" in line or "L" in line]
    # 40 + 20 + 40 mm over 76 columns: the middles lie at 20 and 80 mm.
    assert (lettered.index("R"), lettered.index("L")) == (15, 60)
    assert lines.index(lettered) == len(lines) // 2
