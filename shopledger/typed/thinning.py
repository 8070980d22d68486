"""Equal thinning prism as a maker states it."""

from __future__ import annotations

from shopledger.errors import RefusedError


def read_thinning_prism(text: str, field: str) -> float:
    """Read prism that lies alike before both eyes, such as `1.5 BD`; base up is plus."""
    from shopledger.optics.notation import read_prism
    from shopledger.optics.prism import Base

    prism = read_prism(text)
    if prism.base.horizontal:
        raise RefusedError(field, f"'{text}'", "thinning prism stands up or down", "Type it like 1.5 BD.")
    return prism.amount if prism.base is Base.UP else -prism.amount
