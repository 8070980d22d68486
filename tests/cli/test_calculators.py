"""The calculators show what the optics say, and ask for what they need."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Typed, done, read_json, type_in

POWER = ("--power", "-2.50 -1.25 x 090")


def test_a_power_is_typed_whole_or_in_parts() -> None:
    """Both ways give the same answer."""
    parts = ("--sphere", "-2.50", "--cylinder=-1.25", "--axis", "90")
    assert done(type_in("optics", "transpose", *POWER)).stdout == done(type_in("optics", "transpose", *parts)).stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("optics", "transpose"), "--power is missing"),
        (("optics", "transpose", "--power", "-2.50 add 2.00"), "only a power is wanted"),
        (("optics", "transpose", *POWER, "--axis", "90"), "as a whole and in parts"),
        (("optics", "transpose", "--axis", "90"), "--sphere is missing"),
        (("optics", "decentre", "--a", "52", "--dbl", "18"), "--pd is missing"),
        (("optics", "decentre", "--a", "52", "--dbl", "18", "--pd", "6.3"), "write 63"),
        (("optics", "blank"), "--trace is missing"),
        (("claim", "code", "--lens", "progressive"), "--power is missing"),
    ],
)
def test_what_a_calculator_needs_is_named(words: tuple[str, ...], said: str) -> None:
    """A refusal names the option or what to type."""
    result = type_in(*words)
    assert result.exit_code in {2, 20, 30}
    assert said in result.stderr


def test_figures_are_shown_for_reading() -> None:
    """With their units, and the way in words."""
    assert "-3.75 D" in done(type_in("optics", "meridian", *POWER, "--at", "180")).stdout
    prism = done(type_in("optics", "prism", *POWER, "--eye", "right", "--upward", "-10")).stdout
    # Prentice: 2.50 D along 90, 10 mm below the centre of a minus lens, is 2.50 base down.
    assert "2.50 BD" in prism
    assert "10.0 mm down" in prism
    moved = done(
        type_in("optics", "decentre", "--a", "52", "--dbl", "18", "--pd-right", "36", "--pd-left", "33")
    ).stdout
    assert "1.0 mm outward" in moved
    assert "2.0 mm inward" in moved
    assert "trust the trace" in done(type_in("optics", "blank", "--ed", "55", "--upward", "2")).stdout


def test_a_blank_from_a_trace_is_exact(typed: Typed, trace_file: Path) -> None:
    """An ellipse of 52 by 36 needs its width, twice the shift, and the allowance; no ledger is opened."""
    result = read_json(type_in("optics", "blank", "--trace", str(trace_file), "--inward", "3", "--json"))
    assert result["right"] == {"exact": 60.0, "rule_of_thumb": 60.0}
    assert "60.0" in done(typed("optics", "blank", "--trace", str(trace_file), "--inward", "3")).stdout


def test_a_power_between_the_bands_is_left_to_the_owner() -> None:
    """No power is rounded into a band; the codes to choose from are named, and the table's age is told."""
    result = done(
        type_in("claim", "code", "--lens", "single-vision", "--sphere", "-2.50", "--cylinder", "-2.05", "--axis", "90")
    )
    assert "none" in result.stdout
    assert "V2199" in result.stdout
    assert "plan's own rules" in result.stderr


def test_each_charge_of_a_lens_has_its_code() -> None:
    """A high add, a material and a coating are coded beside the lens."""
    words = ("--lens", "progressive", "--power", "-2.50 -1.25 x 090 add 3.50", "--material", "polycarbonate")
    result = read_json(type_in("claim", "code", *words, "--index", "1.586", "--extra", "anti-reflective", "--json"))
    codes = {pick["charge"]: pick["code"] for pick in result["picks"]}
    assert codes == {"lens": "V2203", "add": "V2220", "material": "V2784", "anti-reflective": "V2750"}


def test_a_power_moves_with_the_vertex_distance() -> None:
    """Minus ten found at 14 mm and worn at 12 mm is weaker: 10 over 1.02, by the thin-lens formula."""
    result = read_json(
        type_in("optics", "vertex", "--sphere", "-10.00", "--tested-at", "14", "--worn-at", "12", "--json")
    )
    assert result["sphere"] == pytest.approx(-10 / 1.02, abs=5e-5)
    assert "at 12 mm" in done(type_in("optics", "vertex", *POWER, "--tested-at", "14", "--worn-at", "12")).stdout
