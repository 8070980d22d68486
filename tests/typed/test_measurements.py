"""Measurements typed as one number or as right and left, and written back as they were typed."""

from __future__ import annotations

import pytest

from shopledger.errors import RefusedError
from shopledger.typed.measurements import heights_as_typed, measurements_of, near_pd_as_typed, pd_as_typed
from shopledger.typed.numbers import read_lengths


@pytest.mark.parametrize(
    ("pd", "near", "heights"),
    [("63", "", ""), ("63", "60", ""), ("31.5 31", "", "19 18.5"), ("31.5 31", "29.5 29", ""), ("62", "", "20 20")],
)
def test_what_is_put_together_is_typed_the_same_again(pd: str, near: str, heights: str) -> None:
    """So that a form can start with it and nothing of it changes."""
    tall = read_lengths(heights, "heights") if heights else (None, None)
    made = measurements_of(read_lengths(pd, "PD"), read_lengths(near, "near PD") if near else (), (tall[0], tall[-1]))
    assert (pd_as_typed(made), near_pd_as_typed(made), heights_as_typed(made)) == (pd, near, heights)


def test_a_near_pd_of_each_eye_needs_the_distance_pd_of_each() -> None:
    """One of both cannot be shared between them."""
    with pytest.raises(RefusedError, match="distance PD of each eye"):
        measurements_of((63.0,), (30.0, 30.0), (None, None))
