"""Frames as a page shows them: drawn where their shape is kept, and said in words where it is not."""

from __future__ import annotations

from markupsafe import Markup

from shopledger.counter.desks import desk
from shopledger.counter.pictures.frames import frame_picture
from shopledger.desk.tracing import stored_trace
from shopledger.ledger.catalogue import Frame


def picture_of(frame: Frame, *, traced: bool, wide: float = 0.45) -> Markup:
    """Draw a frame as one faces the wearer."""
    if not traced:
        return Markup('<p class="quiet-text">Its shape was not traced yet.</p>')
    shape = stored_trace(desk(), frame.code).stored.shape
    return frame_picture(shape, f"{frame.description}, as one faces the wearer", wide=wide)
