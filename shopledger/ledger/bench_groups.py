"""What each open job waits for, as people at a bench go through them: one heap after the other."""

from __future__ import annotations

from enum import Enum

from shopledger.ledger.stages import JobFacts, Stage, stage_of


class Waiting(Enum):
    """What a job waits for, in the order of the work."""

    TRACE = "frame to trace"
    ORDER = "lenses to order"
    COMING = "lenses on their way"
    CUT = "to cut and inspect"
    AGAIN = "failed, to make again"
    SEND = "ready to send"


_ALWAYS = {
    Stage.LENSES_AWAITED: Waiting.COMING,
    Stage.FAILED: Waiting.AGAIN,
    Stage.INSPECTED: Waiting.SEND,
    Stage.CAME_BACK: Waiting.SEND,
}


def waits_for(facts: JobFacts) -> Waiting | None:
    """Give what an open job waits for; None where there is nothing left to do with it.

    A frame is traced before its lenses are ordered or cut; lenses that are on their way come first.
    """
    if not facts.is_open:
        return None
    stage = stage_of(facts).stage
    if stage in _ALWAYS:
        return _ALWAYS[stage]
    if facts.lenses_lost:
        return Waiting.ORDER
    if not facts.traced and not facts.made_again:
        return Waiting.TRACE
    return Waiting.ORDER if stage is Stage.ORDERED else Waiting.CUT
