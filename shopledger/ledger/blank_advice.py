"""What would do where no uncut lens of the maker covers a shape: which diameter, which PD, which frame, which lens."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from shopledger.errors import listed
from shopledger.ledger.layout import EyeLayout, PairLayout
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.fitting import covered_decentrations
from shopledger.optics.lengths import at_least
from shopledger.optics.trace import FrameTrace

CODE: Final = "BLANK-SMALL"
"""The finding's code, as `optics.pair_checks` has it."""


def blank_findings(
    chosen: PairLayout, others: Sequence[PairLayout], shape: FrameTrace, allowance: float
) -> Iterator[Finding]:
    """Find each eye that no blank of the chosen lens covers, with everything that would do instead."""
    for eye in chosen.eyes:
        least = at_least(eye.blank_needed)
        field, needed = f"{eye.side.value}.blank", f"at least {least:.1f} mm"
        if not chosen.lens.blank_diameters:
            sentence = (
                f"The catalogue does not say in which diameters {chosen.lens.name} comes; "
                f"the {eye.side.value} lens needs {least:.1f} mm. Ask the maker before you order."
            )
            yield Finding(Severity.NOTE, "BLANK-UNKNOWN", field, "none", needed, "definition", sentence)
        elif eye.blank is None:
            largest = chosen.lens.blank_diameters[-1]
            sentence = (
                f"The {eye.side.value} blank is {largest:g} mm but the shape needs {least:.1f} mm: "
                f"{chosen.lens.name} comes in no larger one. {_instead(eye, others, shape, largest, allowance)}"
            )
            yield Finding(Severity.ERROR, CODE, field, f"{largest:g}", needed, "definition", sentence)


def _instead(eye: EyeLayout, others: Sequence[PairLayout], shape: FrameTrace, largest: float, allowance: float) -> str:
    """Say what would do: a PD, a frame, another lens."""
    reach = largest - allowance
    middle = eye.blank_middle
    shift = 2 * (middle.inward**2 + middle.upward**2) ** 0.5
    other_frame = (
        f"a frame whose effective diameter and twice the way from its boxed centre to the middle of the blank make "
        f"{reach:.1f} mm at most (here {eye.boxed.ed:.1f} and {shift:.1f})"
    )
    ways = [*_with_other_pd(eye, shape, largest, allowance), other_frame, *_in_other_lens(eye, others)]
    return f"What would do: {'; or '.join(ways)}."


def _with_other_pd(eye: EyeLayout, shape: FrameTrace, largest: float, allowance: float) -> Iterator[str]:
    middle, fitted = eye.blank_middle, eye.fitted
    room = covered_decentrations(shape.eye(eye.side), middle.upward, largest, allowance)
    # The PD moves the point that is fitted, and the middle of the blank goes with it.
    apart = fitted.inward - middle.inward
    called = "near PD" if eye.lined else "PD"
    half = (eye.boxed.a + shape.dbl) / 2
    if room is None:
        yield "no PD in this frame at this height"
    else:
        yield (
            f"a {eye.side.value} {called} from {half - apart - room[1]:.1f} to {half - apart - room[0]:.1f} mm "
            f"(it is {half - fitted.inward:.1f}), so measure it again"
        )


def _in_other_lens(eye: EyeLayout, others: Sequence[PairLayout]) -> Iterator[str]:
    fitting = {other.lens.name: other.eye(eye.side).blank for other in others}
    names = [f"{name} in {blank:g} mm" for name, blank in fitting.items() if blank is not None]
    if names:
        yield f"{listed(names)}"
