"""Orders: posted whole with their pairs, lines and charges, and read back equal, one or many by the same queries.

Beside them stand the drafts that orders were made of.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from sqlalchemy import and_

from shopledger.ledger.again import Again
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import (
    AcceptedWarning,
    Charge,
    Draft,
    Entered,
    Making,
    Order,
    OrderAccount,
    OrderLine,
    OwnLens,
    Pair,
)
from shopledger.ledger.parties import Address
from shopledger.ledger.sharing import LineSum, OrderSums
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.prescription import Prescription
from shopledger.optics.sides import Side
from shopledger.store.corrections import Corrections
from shopledger.store.eyes import KeptEye
from shopledger.store.joins import Joins
from shopledger.store.parcels import Parcels
from shopledger.store.payments import Cancellations, Payments, Refunds
from shopledger.store.records import Fields, Record
from shopledger.store.refusals import DuplicateError, NumberUnknownError
from shopledger.store.scales import day_text
from shopledger.store.tables import orders as tables
from shopledger.store.tables.corrections import added_line
from shopledger.store.tables.payments import draft_order, draft_recording
from shopledger.store.transaction import Area, Where

_AROUND: Final = """
SELECT sold.number FROM shop_order sold
WHERE sold.customer_number IN :customers AND sold.day BETWEEN :first AND :last
  AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = sold.number)
ORDER BY sold.number
"""
_OF_WEARER: Final = """
SELECT DISTINCT pair.order_number FROM order_pair pair WHERE pair.wearer_number = :wearer
ORDER BY pair.order_number DESC LIMIT :limit
"""
_MADE_AGAIN: Final = """
SELECT DISTINCT pair.order_number FROM job_again again JOIN order_pair pair ON pair.job_number = again.job_number
WHERE pair.order_number IN :orders ORDER BY pair.order_number
"""
_LAST_PAIR: Final = """
SELECT pair.order_number, pair.job_number FROM order_pair pair
WHERE pair.wearer_number = :wearer AND (:frame = '' OR pair.frame_code = :frame)
  AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = pair.order_number)
  AND NOT EXISTS (SELECT 1 FROM job_again WHERE job_again.in_place_of = pair.job_number)
  AND NOT EXISTS (SELECT 1 FROM job_taken_out WHERE job_taken_out.job_number = pair.job_number)
ORDER BY pair.job_number DESC LIMIT 1
"""


@dataclass(frozen=True, slots=True)
class KeptPairEye:
    """One eye of a pair: the power to make, and the wearer's measurements."""

    made: KeptEye
    mono_pd: float | None
    near_pd: float | None
    fitting_height: float | None

    @classmethod
    def of(cls, pair: Pair, side: Side) -> KeptPairEye:
        """Give an eye's columns."""
        made = KeptEye.of(pair.made.eye(side) if pair.made else None)
        if pair.measurements is None:
            return cls(made, None, None, None)
        place = pair.measurements.eye(side)
        return cls(made, place.mono_pd, place.near_pd, place.fitting_height)

    @property
    def place(self) -> EyeMeasurements:
        """The measurements, where the pair has any."""
        return EyeMeasurements(self.mono_pd or 0.0, self.near_pd, self.fitting_height)


@dataclass(frozen=True, slots=True)
class KeptOwnLens:
    """What one eye of a pair has of its own, as its row holds it."""

    making: Making
    lens_code: str | None
    extras: tuple[str, ...]

    @property
    def own(self) -> OwnLens:
        """The same as the order has it."""
        return OwnLens(self.making, self.lens_code or "", self.extras)


@dataclass(frozen=True, slots=True)
class KeptOwnExtra:
    """An extra on one lens."""

    extra_code: str


ORDER: Final = Record(
    Order,
    tables.shop_order,
    {"ship_to": Fields(Address, tables.shop_order)},
    parts=("pairs", "lines", "accepted"),
    counter="order",
)
PAIR: Final = Record(
    Pair,
    tables.order_pair,
    {"use": tables.order_pair.c.lens_use},
    parts=("extras", "made", "measurements", "right", "left", "again", "taken_out_by"),
    also=("order_number",),
)
AGAIN: Final = Record(
    Again,
    tables.job_again,
    {"job": tables.job_again.c.in_place_of, "correction": tables.job_again.c.correction_number},
    also=("job_number",),
)
OWN_LENS: Final = Record(KeptOwnLens, tables.order_own_lens, parts=("extras",), also=("job_number", "side"))
OWN_EXTRA: Final = Record(KeptOwnExtra, tables.order_own_extra, also=("job_number", "side"))
PAIR_EYE: Final = Record(
    KeptPairEye,
    tables.order_pair_eye,
    {"made": Fields(KeptEye, tables.order_pair_eye)},
    also=("job_number", "side"),
)
_LINES: Final = tables.order_line.outerjoin(
    added_line,
    and_(
        added_line.c.order_number == tables.order_line.c.order_number,
        added_line.c.line == tables.order_line.c.position,
    ),
)
_ADDED: Final = {"added_by": added_line.c.correction_number}
LINE: Final = Record(OrderLine, tables.order_line, _ADDED, parts=("charges",), also=("order_number",), source=_LINES)
LINE_SUM: Final = Record(LineSum, tables.order_line, _ADDED, source=_LINES, only_read=True)
CHARGE: Final = Record(Charge, tables.order_charge, also=("order_number", "line"))
WARNING: Final = Record(AcceptedWarning, tables.order_warning, also=("order_number",))
DRAFT: Final = Record(
    Draft,
    draft_order,
    {"order_number": draft_recording.c.order_number},
    source=draft_order.outerjoin(draft_recording, draft_recording.c.draft_number == draft_order.c.number),
    counter="draft",
)


class Orders(Area):
    """The orders of the ledger; none is ever changed."""

    def add(self, order: Order) -> Order:
        """Post an order; gives it back with its number and a job number on each pair."""
        number = self.transaction.next_number("order")
        numbered = (replace(pair, job_number=self.transaction.next_number("job")) for pair in order.pairs)
        posted = replace(order, number=number, pairs=tuple(numbered))
        self._put(number, posted)
        return posted

    def add_lines(self, order: Order, correction_number: int, lines: Sequence[OrderLine]) -> tuple[OrderLine, ...]:
        """Add lines to an order after those it has, and say which correction did; gives them back as they stand."""
        number, first = number_of(order), len(order.lines) + 1
        added = tuple(replace(line, added_by=correction_number) for line in lines)
        self._put_lines(number, added, first)
        rows = (
            {"order_number": number, "line": place, "correction_number": correction_number}
            for place in range(first, first + len(added))
        )
        self.transaction.add(added_line, *rows)
        return added

    def add_job(self, order_number: int, pair: Pair) -> Pair:
        """Post a pair that is added to an order, or made in the place of another; gives it back with its job number."""
        position = 1 + max((each.position for each in self.get(order_number).pairs), default=0)
        posted = replace(pair, position=position, job_number=self.transaction.next_number("job"))
        self._put_pair(order_number, posted)
        return posted

    def take_out(self, job_number: int, correction_number: int) -> None:
        """Write down that a job was taken out of its order with nothing in its place."""
        self.transaction.add(tables.job_taken_out, {"job_number": job_number, "correction_number": correction_number})

    def get(self, number: int) -> Order:
        """Give the order with that number."""
        return self.many([number])[number]

    def many(self, numbers: Iterable[int]) -> Mapping[int, Order]:
        """Give the orders with these numbers."""
        return {number: order for number, (order, _) in self._numbered(numbers).items()}

    def account(self, number: int) -> OrderAccount:
        """Give the order with all that happened to it, and who recorded it when."""
        return self.accounts([number])[number]

    def accounts(self, numbers: Iterable[int]) -> Mapping[int, OrderAccount]:
        """Give the orders with these numbers, each with all that happened to it."""
        return self._accounts(self._numbered(numbers))

    def newest_accounts(self, customer_number: int | None = None, limit: int = 20) -> tuple[OrderAccount, ...]:
        """Give the newest orders, of one customer or of all, newest first, each with all that happened to it.

        A customer who was joined to another has the orders of both.
        """
        whose = tables.shop_order.c.customer_number
        where: Where = {} if customer_number is None else {whose: Joins(self.transaction).group(customer_number)}
        return tuple(self._accounts(self._whole(where, newest=True, limit=limit)).values())

    def newest_of_wearer(self, wearer_number: int, limit: int = 20) -> tuple[OrderAccount, ...]:
        """Give the newest orders with a pair for a wearer, newest first, whoever paid for them."""
        rows = self.transaction.asked(_OF_WEARER, wearer=wearer_number, limit=limit)
        found = self.accounts([int(row.order_number) for row in rows])
        return tuple(found[number] for number in sorted(found, reverse=True))

    def sums(self, numbers: Iterable[int]) -> Mapping[int, OrderSums]:
        """Give the money of the orders with these numbers, and the whole of those of which a job was made again."""
        line, wanted = tables.order_line.c, list(numbers)
        lines = self.transaction.groups(LINE_SUM, line.order_number, {line.order_number: wanted}, (line.position,))
        paid = Payments(self.transaction).sums_of_orders(wanted)
        refunds = Refunds(self.transaction).of_orders(wanted)
        corrections = Corrections(self.transaction).of_orders(wanted)
        changed = [int(row.order_number) for row in self.transaction.asked(_MADE_AGAIN, orders=wanted)]
        again = self.many(changed) if changed else {}
        return {
            number: OrderSums(lines[number], paid[number], refunds[number], corrections[number], again.get(number))
            for number in wanted
        }

    def _accounts(self, found: Mapping[int, tuple[Order, Entered | None]]) -> Mapping[int, OrderAccount]:
        wanted = list(found)
        payments = Payments(self.transaction).of_orders(wanted)
        parcels = Parcels(self.transaction).of_orders(wanted)
        addresses = Parcels(self.transaction).addresses_of_orders(wanted)
        refunds = Refunds(self.transaction).of_orders(wanted)
        cancellations = Cancellations(self.transaction).of_orders(wanted)
        corrections = Corrections(self.transaction).of_orders(wanted)
        return {
            number: OrderAccount(
                order,
                payments[number],
                parcels[number],
                refunds[number],
                cancellations.get(number),
                corrections[number],
                addresses[number],
                entered,
            )
            for number, (order, entered) in found.items()
        }

    def entered(self, number: int) -> Entered:
        """Give who recorded an order, and when."""
        return self._numbered([number])[number][1]

    def around(self, customer_number: int, first: date, last: date) -> tuple[Order, ...]:
        """Give the orders of a customer in a span of days that were not cancelled, oldest first."""
        customers = Joins(self.transaction).group(customer_number)
        rows = self.transaction.asked(_AROUND, customers=customers, first=day_text(first), last=day_text(last))
        return tuple(self.many([int(row.number) for row in rows]).values())

    def of_customer(self, customer_number: int, limit: int = 20) -> tuple[Order, ...]:
        """Give a customer's newest orders, newest first."""
        return self._newest({tables.shop_order.c.customer_number: customer_number}, limit)

    def recent(self, limit: int = 20) -> tuple[Order, ...]:
        """Give the newest orders, newest first."""
        return self._newest({}, limit)

    def pair(self, job_number: int) -> tuple[Order, Pair]:
        """Give the pair with that job number, and its order."""
        pair = tables.order_pair.c
        orders = self.transaction.lists(pair.order_number, pair.job_number, {pair.job_number: job_number})
        if not orders:
            raise NumberUnknownError("job", job_number)
        return self._with_pair(orders[job_number][0], job_number)

    def last_pair(self, wearer_number: int, frame_code: str | None = None) -> tuple[Order, Pair] | None:
        """Give the wearer's newest pair, in that frame if one is named, and its order; None if there is none.

        A pair of a cancelled order was never made.
        """
        rows = self.transaction.asked(_LAST_PAIR, wearer=wearer_number, frame=frame_code or "")
        return self._with_pair(rows[0].order_number, rows[0].job_number) if rows else None

    def _put(self, number: int, order: Order) -> None:
        put = self.transaction.put
        put(ORDER, order)
        for pair in order.pairs:
            self._put_pair(number, pair)
        self._put_lines(number, order.lines)
        put(WARNING, *order.accepted, order_number=number)

    def _put_lines(self, number: int, lines: Sequence[OrderLine], first: int = 1) -> None:
        """Store lines with their charges, from a position on."""
        for place, line in enumerate(lines, start=first):
            self.transaction.add(LINE.table, LINE.row(line, order_number=number, position=place))
            self.transaction.add(tables.order_charge, *CHARGE.rows(line.charges, order_number=number, line=place))

    def _put_pair(self, number: int, pair: Pair) -> None:
        put, add = self.transaction.put, self.transaction.add
        given = pair.measurements.pd_given if pair.measurements else None
        put(PAIR, pair, order_number=number, pd_given=given)
        extras = enumerate(pair.extras, start=1)
        job: dict[str, object] = {"job_number": pair.job_number}
        add(tables.order_pair_extra, *({**job, "position": place, "extra_code": code} for place, code in extras))
        self._put_own(pair)
        add(tables.order_pair_eye, *(PAIR_EYE.row(KeptPairEye.of(pair, side), **job, side=side) for side in Side))
        if pair.again is not None:
            put(AGAIN, pair.again, **job)

    def _put_own(self, pair: Pair) -> None:
        """Store what one eye has of its own; of a pair of two equal lenses nothing."""
        for side in Side:
            own = pair.own(side)
            if own:
                where: dict[str, object] = {"job_number": pair.job_number, "side": side}
                row = {**where, "making": own.making, "lens_code": own.lens_code or None}
                self.transaction.add(tables.order_own_lens, row)
                extras = enumerate(own.extras, start=1)
                rows = ({**where, "position": place, "extra_code": code} for place, code in extras)
                self.transaction.add(tables.order_own_extra, *rows)

    def _with_pair(self, number: int, job_number: int) -> tuple[Order, Pair]:
        order = self.get(number)
        return order, next(pair for pair in order.pairs if pair.job_number == job_number)

    def _newest(self, where: Where, limit: int) -> tuple[Order, ...]:
        return tuple(order for order, _ in self._whole(where, newest=True, limit=limit).values())

    def _numbered(self, numbers: Iterable[int]) -> Mapping[int, tuple[Order, Entered]]:
        wanted = list(numbers)
        found = self._whole({tables.shop_order.c.number: wanted})
        for number in wanted:
            if number not in found:
                raise NumberUnknownError("order", number)
        return found

    def _whole(
        self, where: Where, *, newest: bool = False, limit: int | None = None
    ) -> dict[int, tuple[Order, Entered]]:
        """Give orders by their numbers, each table asked once for them all."""
        order = tables.shop_order.c
        told = (order.number, order.operator, order.recorded_at)
        heads = list(self.transaction.unfinished(ORDER, told, where, (order.number,), newest=newest, limit=limit))
        numbers = [number for (number, _, _), _ in heads]
        if not numbers:
            return {}
        pairs, lines = self._pairs(numbers), self._lines(numbers)
        warning = tables.order_warning.c
        accepted = self.transaction.groups(
            WARNING, warning.order_number, {warning.order_number: numbers}, (warning.position,)
        )
        return {
            number: (
                made(pairs=tuple(pairs[number]), lines=tuple(lines[number]), accepted=accepted[number]),
                Entered(operator, recorded_at),
            )
            for (number, operator, recorded_at), made in heads
        }

    def _pairs(self, numbers: list[int]) -> Mapping[int, list[Pair]]:
        pair, extra, eye = tables.order_pair.c, tables.order_pair_extra.c, tables.order_pair_eye.c
        again = tables.job_again.c
        told = (pair.order_number, pair.job_number, pair.pd_given)
        heads = list(self.transaction.unfinished(PAIR, told, {pair.order_number: numbers}, (pair.position,)))
        jobs = [job for (_, job, _), _ in heads]
        found: dict[int, list[Pair]] = defaultdict(list)
        if not jobs:
            return found
        extras = self.transaction.lists(extra.extra_code, extra.job_number, {extra.job_number: jobs}, (extra.position,))
        both = self.transaction.unfinished(PAIR_EYE, (eye.job_number, eye.side), {eye.job_number: jobs})
        eyes = {(job, side): made() for (job, side), made in both}
        own = self._own(jobs)
        made_again = self.transaction.unfinished(AGAIN, (again.job_number,), {again.job_number: jobs})
        taken = {job: made() for (job,), made in made_again}
        gone = self._taken_out(jobs)
        for (number, job, given), made in heads:
            right, left = eyes[job, Side.RIGHT], eyes[job, Side.LEFT]
            powers = right.made.eye, left.made.eye
            found[number].append(
                made(
                    extras=extras[job],
                    made=Prescription(powers[0], powers[1]) if powers[0] and powers[1] else None,
                    measurements=Measurements(right.place, left.place, given) if given else None,
                    right=own.get((job, Side.RIGHT), OwnLens()),
                    left=own.get((job, Side.LEFT), OwnLens()),
                    again=taken.get(job),
                    taken_out_by=gone.get(job),
                )
            )
        return found

    def _taken_out(self, jobs: list[int]) -> Mapping[int, int]:
        """Give the jobs that were taken out of their order, each with the correction that did it."""
        gone = tables.job_taken_out.c
        found = self.transaction.lists(gone.correction_number, gone.job_number, {gone.job_number: jobs})
        return {job: corrections[0] for job, corrections in found.items()}

    def _own(self, jobs: list[int]) -> Mapping[tuple[int, Side], OwnLens]:
        """Give what eyes of these jobs have of their own."""
        lens, extra = tables.order_own_lens.c, tables.order_own_extra.c
        found = list(self.transaction.unfinished(OWN_LENS, (lens.job_number, lens.side), {lens.job_number: jobs}))
        if not found:
            return {}
        extras: dict[tuple[int, Side], list[str]] = defaultdict(list)
        told = (extra.job_number, extra.side)
        order = (extra.job_number, extra.side, extra.position)
        for key, made in self.transaction.unfinished(OWN_EXTRA, told, {extra.job_number: jobs}, order):
            extras[key].append(made().extra_code)
        return {key: made(extras=tuple(extras[key])).own for key, made in found}

    def _lines(self, numbers: list[int]) -> Mapping[int, list[OrderLine]]:
        line, charge = tables.order_line.c, tables.order_charge.c
        charges: dict[tuple[int, int], list[Charge]] = defaultdict(list)
        told = (charge.order_number, charge.line)
        for key, made in self.transaction.unfinished(
            CHARGE, told, {charge.order_number: numbers}, (charge.order_number, charge.line, charge.position)
        ):
            charges[key].append(made())
        found: dict[int, list[OrderLine]] = defaultdict(list)
        for (number, place), whole in self.transaction.unfinished(
            LINE, (line.order_number, line.position), {line.order_number: numbers}, (line.order_number, line.position)
        ):
            found[number].append(whole(charges=tuple(charges[number, place])))
        return found


class Drafts(Area):
    """The drafted orders of the ledger."""

    def add(self, customer_number: int, day: date, reason: str, body: str) -> int:
        """Store a draft; gives its number."""
        number = self.transaction.next_number(DRAFT.counter)
        self.transaction.put(DRAFT, Draft(number, customer_number, day, reason, body))
        return number

    def get(self, number: int) -> Draft:
        """Give the draft with that number."""
        return self.transaction.get(DRAFT, number)

    def open(self) -> tuple[Draft, ...]:
        """Give the drafts that have not become orders, oldest first."""
        return self.transaction.all(DRAFT, {draft_recording.c.order_number: None}, (draft_order.c.number,))

    def mark_recorded(self, number: int, order_number: int) -> None:
        """Write down that a draft became an order; a draft becomes one order."""
        if self.get(number).order_number is not None:
            raise DuplicateError("recorded order", f"draft {number}")
        self.transaction.add(draft_recording, {"draft_number": number, "order_number": order_number})
