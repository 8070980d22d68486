"""What is asked about lenses, alike for a sale and for new lenses: use, extras, measurements, claim codes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Final

from shopledger.cli.listings import claim_codes, extras
from shopledger.cli.lists import words_of
from shopledger.cli.params import Word
from shopledger.cli.prompts import BACK, tell
from shopledger.cli.questions import AgainError, Answers, MendError
from shopledger.errors import RefusedError, ShopledgerError
from shopledger.ledger.catalogue import Extra, Lens
from shopledger.ledger.claims.charges import UnsettledCodeError
from shopledger.ledger.stock import OutOfStockError
from shopledger.money.amount import write_amount
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from shopledger.typed.measurements import measurements_of
from shopledger.typed.numbers import read_lengths

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.optics.findings import Finding
    from shopledger.optics.measurements import Measurements

SINGLE_VISION: Final = (LensUse.DISTANCE, LensUse.READING, LensUse.SCREEN)
_USES = Word(LensUse, SINGLE_VISION)
_LENGTHS = "Millimetres, for both eyes as in 63, or for right and left as in 31.5 32."
MENDED_BY: Final = {
    "stock": ("ask_frame", "ask_frames", "ask_accessories"),
    "frame": ("ask_frame",),
    "lens": ("ask_lens",),
    "use": ("ask_use", "ask_lens"),
    "extra": ("ask_extras",),
    "extras": ("ask_extras",),
    "prescription": ("ask_prescription",),
    "expires_on": ("ask_prescription",),
    "written_on": ("ask_prescription",),
    "claim code": ("ask_code",),
    "PD": ("ask_pd", "ask_measurements"),
    "near PD": ("ask_near", "ask_pd", "ask_measurements"),
    "fitting_height": ("ask_heights", "ask_measurements"),
    "near_pd": ("ask_near", "ask_pd", "ask_measurements"),
    "mono_pd": ("ask_pd",),
    "add": ("ask_prescription", "ask_lens"),
    "sphere": ("ask_prescription",),
    "blank": ("ask_lens", "ask_frame"),
    "decentration": ("ask_pd",),
    "payment": ("ask_payment",),
    "shipping": ("ask_shipping",),
    "quantity": ("ask_accessories",),
}
"""Which question can mend what a refusal or a finding names."""


def ask_use(answers: Answers, name: str, usual: LensUse) -> LensUse:
    """Ask what single vision lenses are made for."""
    return answers.ask(
        name,
        "Made for (distance, reading, screen)",
        lambda text: _USES.read(text, "use"),
        usual.value,
        of=words_of("use", SINGLE_VISION),
    )


def ask_extras(desk: Desk, answers: Answers, name: str, usual: Iterable[str] = ()) -> tuple[Extra, ...]:
    """Ask for upgrades and coatings of both lenses, and tell the price of each."""
    found = _asked_extras(desk, answers, name, "Extras, codes with spaces between", usual)
    return tuple(extra for extra, _ in found)


def ask_extras_of_each(
    desk: Desk, answers: Answers, name: str
) -> tuple[tuple[Extra, ...], dict[Side, tuple[Extra, ...]]]:
    """Ask for upgrades and coatings of both lenses, and of one alone where that is said behind the code."""
    words = "Extras, codes with spaces between (AR=left for one lens)"
    found = _asked_extras(desk, answers, name, words, one_eye=True)
    alone = {side: tuple(extra for extra, on in found if on is side) for side in Side}
    return tuple(extra for extra, on in found if on is None), alone


def _asked_extras(
    desk: Desk, answers: Answers, name: str, words: str, usual: Iterable[str] = (), *, one_eye: bool = False
) -> tuple[tuple[Extra, Side | None], ...]:
    from shopledger.desk.goods import EXTRAS

    sides = {side.value: side for side in Side}

    def read_one(typed: str) -> tuple[Extra, Side | None]:
        code, sign, side = typed.partition("=")
        if sign and not (one_eye and side.casefold() in sides):
            allowed = "it is a code, with =left or =right behind it for one lens" if one_eye else "it is a code"
            raise RefusedError("extra", f"'{typed}'", allowed, "Type it like AR.")
        return EXTRAS.called(desk, code), sides.get(side.casefold())

    def read(text: str) -> tuple[tuple[Extra, Side | None], ...]:
        return tuple(read_one(each) for each in text.replace(",", " ").split())

    found = answers.ask(name, words, read, " ".join(usual), of=extras(desk), optional=True)
    for extra, side in found:
        price = extra.price if side is None else extra.each
        tell(f"  {extra.name}{f', {side.value}' if side else ''}: {write_amount(price)}")
    return found


def ask_pd(answers: Answers, name: str, last: Measurements | None) -> tuple[float, ...]:
    """Ask for the PD of both eyes or of each, which must be possible; as it was measured last is usual."""

    def read(text: str) -> tuple[float, ...]:
        pd = read_lengths(text, "PD")
        put_together(pd, (), (None, None))
        return pd

    usual = None if last is None else _both(last, last.right.mono_pd, last.left.mono_pd)
    return answers.ask(name, "PD, for both eyes, or right and left with a space", read, usual, hint=_LENGTHS)


def ask_near_pd(answers: Answers, name: str, pd: tuple[float, ...]) -> tuple[float, ...]:
    """Ask for the near PD of a pair that is used near, which must go with its PD."""

    def read(text: str) -> tuple[float, ...]:
        near = read_lengths(text, "near PD") if text.strip() else ()
        put_together(pd, near, (None, None))
        return near

    return answers.ask(name, "Near PD, for both eyes or right and left", read, hint=_LENGTHS, optional=True)


def ask_heights(
    answers: Answers, name: str, pd: tuple[float, ...], near: tuple[float, ...], last: Measurements | None
) -> Measurements | None:
    """Ask for the fitting heights, and give them with the PD; those of the same frame are usual."""

    def read(text: str) -> Measurements | None:
        given = read_lengths(text, "fitting height") if text.strip() else (None,)
        return put_together(pd, near, (given[0], given[-1]))

    right, left = (None, None) if last is None else (last.right.fitting_height, last.left.fitting_height)
    usual = "" if right is None or left is None else f"{right:g}" if right == left else f"{right:g} {left:g}"
    return answers.ask(name, "Fitting height, for both or right and left", read, usual, hint=_LENGTHS, optional=True)


def _both(last: Measurements, right: float, left: float) -> str:
    """Write a PD as it was given: one number for both eyes, or one for each."""
    return f"{right + left:g}" if last.pd_given == "binocular" else f"{right:g} {left:g}"


def put_together(
    pd: tuple[float, ...], near: tuple[float, ...], heights: tuple[float | None, float | None]
) -> Measurements | None:
    """Put measurements together, or refuse what cannot be."""
    return measurements_of(pd, near, heights)


def ask_code(desk: Desk, answers: Answers, name: str, open_code: UnsettledCodeError, lens: Lens) -> str:
    """Let the owner choose the claim code that the published bands leave open for one lens."""
    from shopledger.desk.shop import shop_and_settings
    from shopledger.ledger.claims.code_picker import codes_to_choose

    side = open_code.side.value
    tell(f"  No one code fits the {side} lens: {open_code.reason}.")
    others = codes_to_choose(lens.design, shop_and_settings(desk)[1].progressive_base)
    codes = dict.fromkeys((*open_code.candidates, *(row.code for row in others)))
    known = claim_codes(codes)
    for row in known.rows(""):
        if row.code in open_code.candidates:
            tell(f"  {row.code}  {row.said}")

    def read(text: str) -> str:
        if text.strip().upper() not in codes:
            raise RefusedError(
                "claim code",
                f"'{text.strip()}'",
                f"it cannot stand for a {lens.design.value} lens by itself",
                "Type '?' for those that can.",
            )
        return text.strip().upper()

    usual = open_code.candidates[0] if len(open_code.candidates) == 1 else None
    return answers.ask(name, f"Claim code of the {side} lens; you choose it, and it is kept", read, usual, of=known)


def refused(error: ShopledgerError) -> None:
    """Say what was refused and go back to the question that can mend it, else ask the same again."""
    tell(f"Error: {error} Type '{BACK}' to change what was answered before.")
    about = "stock" if isinstance(error, OutOfStockError) else getattr(error, "field", "")
    names = MENDED_BY.get(about, ())
    if names:
        raise MendError(*names) from error
    raise AgainError from error


def stop_at(findings: Iterable[Finding], meant: Callable[[Finding], bool] = lambda _finding: True) -> None:
    """Say what stops an order, and go back to the question that can mend it."""
    stopping = [finding for finding in findings if finding.stops and meant(finding)]
    for finding in stopping:
        tell(f"Error: {finding.sentence} [{finding.code}] Type '{BACK}' to change what was answered before.")
    if stopping:
        field = stopping[0].field
        names = MENDED_BY.get(field) or MENDED_BY.get(field.rpartition(".")[2], ())
        if names:
            raise MendError(*names)
        raise AgainError
