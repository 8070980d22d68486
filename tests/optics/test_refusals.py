"""Refusals carry their fields, say one sentence and survive being sent elsewhere."""

from __future__ import annotations

import math
import pickle
from collections.abc import Callable

import pytest

from shopledger.errors import OpticsError
from shopledger.optics.refusals import (
    BlankTooSmallError,
    ImpossibleLensError,
    IncompleteError,
    NotationError,
    OutOfRangeError,
    TraceError,
    within,
)

REFUSALS: tuple[tuple[Callable[[], OpticsError], str], ...] = (
    (
        lambda: OutOfRangeError("cylinder", -25.0, -20, 20, "D"),
        "cylinder is -25 D; allowed is -20 to 20 D. Check the digits, the sign and the decimal point.",
    ),
    (
        lambda: OutOfRangeError("index", 2.5, 1.3, 2.2, "", "Look it up."),
        "index is 2.5; allowed is 1.3 to 2.2. Look it up.",
    ),
    (
        lambda: OutOfRangeError("columns", 3, 11, 200, "columns", "Ask for more."),
        "columns is 3 columns; allowed is 11 to 200 columns. Ask for more.",
    ),
    (
        lambda: OutOfRangeError("PD", 61.23456789, 45, 60, "mm", "Measure."),
        "PD is 61.2346 mm; allowed is 45 to 60 mm. Measure.",
    ),
    (
        lambda: NotationError("abc", "it is no power", "Write -2.50."),
        "'abc' cannot be read: it is no power. Write -2.50.",
    ),
    (lambda: IncompleteError("add", "it is missing", "Enter it."), "add: it is missing. Enter it."),
    (lambda: TraceError("it is open", "Trace again."), "the trace cannot be used: it is open. Trace again."),
    (
        lambda: BlankTooSmallError(60.0, 64.94, 158.4),
        (
            "a blank of 60.0 mm is too small: the shape needs 64.9 mm, most at 158 degrees. "
            "Order a larger blank, a decentred one, or choose a smaller frame."
        ),
    ),
    (
        lambda: ImpossibleLensError("its edge is thin", 30.2, -0.456, 3.2),
        (
            "this lens cannot be made: its edge is thin at 30 degrees (edge -0.46 mm). "
            "A centre thickness of 3.20 mm would do."
        ),
    ),
    (
        lambda: ImpossibleLensError("a side is too steep", 30.2, math.nan, math.nan),
        (
            "this lens cannot be made: a side is too steep at 30 degrees. "
            "Choose a flatter curve, a higher index or a smaller shape."
        ),
    ),
    (
        lambda: ImpossibleLensError("a side is too steep", 30.2, math.nan, math.nan, "Ask the maker."),
        "this lens cannot be made: a side is too steep at 30 degrees. Ask the maker.",
    ),
)


@pytest.mark.parametrize(("make", "sentence"), REFUSALS)
def test_a_refusal_says_what_was_given_what_is_allowed_and_what_to_do(
    make: Callable[[], OpticsError], sentence: str
) -> None:
    """The sentence is this and no other, and the exit code is that of optics."""
    refusal = make()
    assert str(refusal) == sentence
    assert refusal.exit_code == 20
    assert isinstance(refusal, ValueError)


@pytest.mark.parametrize(("make", "sentence"), REFUSALS)
def test_a_refusal_survives_being_sent_elsewhere(make: Callable[[], OpticsError], sentence: str) -> None:
    """A pickled refusal has its fields and its sentence."""
    refusal = make()
    again = pickle.loads(pickle.dumps(refusal))  # noqa: S301 - made in the line itself
    assert str(again) == sentence
    assert {name: str(value) for name, value in vars(again).items()} == {
        name: str(value) for name, value in vars(refusal).items()
    }


@pytest.mark.parametrize("value", ["2.5", None, True])
def test_what_is_no_number_is_refused(value: object) -> None:
    """A text, nothing and a truth are no numbers, and the refusal shows them as they are."""
    with pytest.raises(OutOfRangeError, match=f"count is {value}"):
        within("count", value, 0, 5, "")  # type: ignore[arg-type]


def test_a_number_within_comes_back_as_it_is() -> None:
    """Both ends count, whole numbers become floats, and zero has no sign."""
    assert [within("count", each, 0, 5, "") for each in (0, 5, 2.5)] == [0.0, 5.0, 2.5]
    assert isinstance(within("count", 3, 0, 5, ""), float)
    assert math.copysign(1, within("count", -0.0, 0, 5, "")) == 1
