"""One of many found by a part of it: what is not clear is refused with what is near."""

from __future__ import annotations

import pytest

from shopledger.counter.forms.picking import Known, key_of, shown_of
from shopledger.errors import RefusedError

FRAMES = [
    Known("WREN-52", "WREN-52, Harrow Row Wren, moss", "$180.00"),
    Known("WREN-52-INK", "WREN-52-INK, Harrow Row Wren, ink", "$180.00"),
    Known("LARK-48", "LARK-48, Harrow Row Lark, brick", "$120.00"),
]


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("lark-48", "LARK-48"),
        ("wren-52", "WREN-52"),
        ("WREN-52, Harrow Row Wren,  moss", "WREN-52"),
        ("ink wren", "WREN-52-INK"),
        ("brick", "LARK-48"),
        ("120", "LARK-48"),
    ],
)
def test_a_part_that_only_one_has_is_enough(typed: str, key: str) -> None:
    """The whole key or text goes first, so that a longer key does not stand in the way."""
    assert key_of(typed, "frame", FRAMES) == key


@pytest.mark.parametrize(("typed", "said"), [("harrow", "3 have that"), ("heron", "nothing in the list")])
def test_what_fits_several_or_none_is_refused(typed: str, said: str) -> None:
    """Those that it fits are named."""
    with pytest.raises(RefusedError, match=said):
        key_of(typed, "frame", FRAMES)


def test_a_key_is_shown_with_its_words() -> None:
    """One that is not in the list stands as it is."""
    assert shown_of("LARK-48", FRAMES) == "LARK-48, Harrow Row Lark, brick"
    assert shown_of("HERON", FRAMES) == "HERON"
