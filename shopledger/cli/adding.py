"""People added on the way, while something else is being asked: each is stored when its own questions end."""

from __future__ import annotations

import contextlib

from shopledger.cli.context import Run
from shopledger.cli.goods import FrameOptions
from shopledger.cli.options import OptionSet, changes, inner, needed, questions
from shopledger.cli.params import text
from shopledger.cli.people import CustomerOptions, PrescriberOptions, WearerOptions
from shopledger.cli.prompts import agreed, tell
from shopledger.cli.questions import YES_NO, Answers, Question, fill, read_yes
from shopledger.errors import RefusedError
from shopledger.ledger.parties import Address

AT_ITS_END = "stored when its questions end; 'back' at the first leaves it."


class _NewCustomer(OptionSet):
    """Who a new customer is, and whether glasses are made for that customer too."""

    who: CustomerOptions = inner(CustomerOptions)
    wears: bool | None = None


_WEARS = Question(
    "wears",
    "--not-a-wearer",
    "Wears glasses from here too (y/n)",
    read_yes,
    lists=lambda _run, _before: YES_NO,
    usual="y",
)


def new_customer(run: Run, answers: Answers) -> str:
    """Ask who a new customer is, store that, and give the number."""
    from shopledger.desk.people import add_customer, like_customers

    within = "new customer: "
    tell(f"  A new customer, {AT_ITS_END}")
    said_yes: list[frozenset[str]] = []

    def check(new: _NewCustomer) -> None:
        said_yes[:] = [agreed(like_customers(run.desk(), *_who(new.who)))]

    asked = [*questions(CustomerOptions.with_only(), "who."), _WEARS]
    new = fill(run, _NewCustomer.with_only(), asked, check, answers=answers, within=within)
    added = add_customer(run.desk(), *_who(new.who), wears=needed(new.wears), accept=said_yes[0])
    answers.forget(within)
    tell(f"  Customer {added.number}, {added.name}, was added.")
    return str(added.number)


def _who(given: CustomerOptions) -> tuple[str, Address, str, str]:
    return needed(given.name), given.address.whole, given.phone or "", given.email or ""


def new_wearer(run: Run, customer: str, answers: Answers) -> str:
    """Ask who a customer's new wearer is, store that, and give the name, or the number where two are called so."""
    from shopledger.desk.known_people import customer_and_wearers
    from shopledger.desk.people import add_wearer, check_wearer

    within = "new wearer: "
    tell(f"  A new wearer, {AT_ITS_END}")

    def check(new: WearerOptions) -> None:
        check_wearer(run.desk(), customer, needed(new.name), needed(new.relationship), new.birth_date)

    already = {each.name for each in customer_and_wearers(run.desk(), customer)[1]}
    asked = [*questions(WearerOptions.with_only())]
    new = fill(run, WearerOptions.with_only(), asked, check, answers=answers, within=within)
    added = add_wearer(
        run.desk(),
        customer,
        needed(new.name),
        needed(new.relationship),
        new.birth_date,
        new.member_id or "",
        claim_within_days=changes(new).get("claim_within_days"),
    )
    answers.forget(within)
    tell(f"  {added.name} was added.")
    return str(added.number) if added.name in already else added.name


def new_prescriber(run: Run, answers: Answers) -> str:
    """Ask who a new prescriber is, store that, and give the number."""
    from shopledger.desk.people import add_prescriber

    within = "new prescriber: "
    tell(f"  A new prescriber, {AT_ITS_END}")
    asked = [*questions(PrescriberOptions.with_only())]
    new = fill(run, PrescriberOptions.with_only(), asked, answers=answers, within=within)
    added = add_prescriber(run.desk(), needed(new.name), new.phone or "", new.npi or "")
    answers.forget(within)
    tell(f"  Prescriber {added.number}, {added.name}, was added.")
    return str(added.number)


def new_supplier(run: Run, answers: Answers) -> str:
    """Ask who a new supplier is, store that, and give the number."""
    from shopledger.cli.bill import SupplierOptions
    from shopledger.desk.people import add_supplier
    from shopledger.ledger.books.suppliers import Supplier

    within = "new supplier: "
    tell(f"  A new supplier, {AT_ITS_END}")
    asked = [*questions(SupplierOptions.with_only())]
    new = fill(run, SupplierOptions.with_only(), asked, answers=answers, within=within)
    added = add_supplier(run.desk(), Supplier(**changes(new)))
    answers.forget(within)
    tell(f"  Supplier {added.number}, {added.name}, was added.")
    return str(added.number)


class _NewFrame(OptionSet):
    """A frame that a customer brought, and the code that it gets."""

    code: str | None = None
    frame: FrameOptions = inner(FrameOptions)


_CODE = Question(
    "code",
    "CODE",
    "A short code of your own for it",
    text("frame", 20),
    hint="A short code that no frame has yet, as in OWN-1.",
)


def new_own_frame(run: Run, customer: str, answers: Answers) -> str:
    """Ask what frame a customer brought, store it as the customer's own, and give its code."""
    from shopledger.desk.goods import FRAMES, add_frame
    from shopledger.errors import UnknownNameError
    from shopledger.ledger.catalogue import Frame
    from shopledger.ledger.stock import FirstGoods

    within = "new frame: "
    tell(f"  A frame that the customer has from elsewhere, {AT_ITS_END}")

    def free(typed: str) -> str:
        code: str = _CODE.read(typed)
        with contextlib.suppress(UnknownNameError):
            FRAMES.called(run.desk(), code)
            raise RefusedError("code", code, "another frame has it", "Type one that is free.")
        return code

    given = FrameOptions.with_only(price=0, cost=0)
    asked = [_CODE._replace(read=free), *questions(given, "frame.")]
    new = fill(run, _NewFrame.with_only(frame=given), asked, answers=answers, within=within)
    frame = Frame(needed(new.code), **changes(new.frame))
    added, _ = add_frame(run.desk(), frame, 0, customer, FirstGoods.OPENING)
    answers.forget(within)
    tell(f"  Frame {added.code} was added. It is traced with 'shopledger trace add {added.code} FILE'.")
    return added.code
