"""A reference model of the bench: what each job waits for, and what may not happen, in plain Python.

It knows nothing of the program's tables, stages or rules, so that whatever it agrees with was worked out twice.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from datetime import date

FRAMES = {"WREN-52": 3, "LARK-48": 2}
"""What lies on the shelf at first."""
TRACED = "WREN-52"
BOTH_LENSES = frozenset({"right", "left"})
LOST = {"both": BOTH_LENSES, "right": frozenset({"right"}), "left": frozenset({"left"}), "none": frozenset[str]()}

Facts = tuple[str, int, date | None]
"""What a certificate states that can change: the shop's name, how many proofs there are, the day the job left."""


@dataclass
class PlainCertificate:
    """A certificate as it was issued."""

    number: int
    facts: Facts
    paper: str


@dataclass
class PlainInspection:
    """One inspection, and the certificates that were issued of it, oldest first."""

    number: int
    passed: bool
    certificates: list[PlainCertificate] = field(default_factory=list)


@dataclass
class PlainJob:
    """One pair on its way."""

    number: int
    order: int
    frame: str
    lens_orders: list[int] = field(default_factory=list)
    arrived: set[int] = field(default_factory=set)
    lost: frozenset[str] = frozenset()
    """Lenses that were thrown away and not ordered anew."""
    inspections: list[PlainInspection] = field(default_factory=list)
    redone: bool = False
    """Whether it was made again and nobody has inspected it since."""
    proofs: int = 0

    @property
    def verdict(self) -> bool | None:
        """Whether it is good as it lies there; None where nobody knows."""
        return None if self.redone or not self.inspections else self.inspections[-1].passed

    @property
    def settled(self) -> bool:
        """Whether it needs no lenses."""
        return not self.lost and (bool(self.lens_orders) or self.verdict is True)

    @property
    def stage(self) -> str:
        """What the board says of it while it is open."""
        if self.verdict is not None:
            return "inspected" if self.verdict else "failed inspection"
        if self.lost:
            return "being made again"
        if self.lens_orders:
            return "ready to cut" if self.lens_orders[-1] in self.arrived else "lenses awaited"
        return "being made again" if self.redone else "ordered"


@dataclass
class PlainDraft:
    """A drafted reorder: for which frame, whether its prescription ran out was said yes to, and what became of it."""

    frame: str
    good_until: date | None
    said_yes: bool
    order: int | None = None


@dataclass
class PlainBench:
    """Everything on the reference model."""

    shop: str = "Pebble Optics"
    paper: str = "letter"
    shelf: Counter[str] = field(default_factory=lambda: Counter(FRAMES))
    traced: set[str] = field(default_factory=lambda: {TRACED})
    jobs: dict[int, PlainJob] = field(default_factory=dict)
    shipped: dict[int, date] = field(default_factory=dict)
    drafts: dict[int, PlainDraft] = field(default_factory=dict)
    good_until: date | None = None
    """The day on which the newest prescription runs out."""
    counted: Counter[str] = field(default_factory=lambda: Counter({"prescription": 2, "trace": 1}))
    printed: dict[tuple[str, int], list[bytes]] = field(default_factory=dict)
    """Every paper that must come out the same for ever, as it first came out."""

    def next(self, kind: str) -> int:
        """Count one more of a kind."""
        self.counted[kind] += 1
        return self.counted[kind]

    def sell(self, frames: list[str]) -> list[PlainJob]:
        """Write an order with a pair in each of these frames."""
        order = self.next("order")
        jobs = [PlainJob(self.next("job"), order, frame) for frame in frames]
        self.jobs |= {job.number: job for job in jobs}
        return jobs

    def of_order(self, order: int) -> list[PlainJob]:
        """Give the jobs of an order."""
        return [job for job in self.jobs.values() if job.order == order]

    def open(self) -> list[PlainJob]:
        """Give the jobs that have not left."""
        return [job for job in self.jobs.values() if job.order not in self.shipped]

    def facts(self, job: PlainJob) -> Facts:
        """Give what a certificate of the job states today, as far as it can change."""
        return self.shop, job.proofs, self.shipped.get(job.order)

    def ran_out(self, today: date) -> bool:
        """Tell whether the newest prescription has run out."""
        return self.good_until is not None and today > self.good_until
