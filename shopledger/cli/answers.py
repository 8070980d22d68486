"""Reading the answers that several rounds of questions ask for: yes or no, a wearer, a use, one length or two."""

from __future__ import annotations

from shopledger.cli.params import Word, read_decimal
from shopledger.errors import RefusedError, listed
from shopledger.optics.prescription import LensUse

_USES = Word(LensUse)
_YES_NO = {"y": True, "yes": True, "n": False, "no": False}


def read_yes(text: str) -> bool:
    """Read a yes or a no."""
    answer = _YES_NO.get(text.strip().casefold())
    if answer is None:
        raise RefusedError("answer", f"'{text}'", "it is y or n", "Type y or n.")
    return answer


def read_wearer(names: list[str], text: str) -> str:
    """Find a wearer by any part of the name that fits one only."""
    fitting = [name for name in names if text.strip().casefold() in name.casefold()]
    if len(fitting) != 1 and text.strip() not in names:
        raise RefusedError("wearer", f"'{text}'", f"it is {listed(names)}", "Type the name, or enough of it.")
    return fitting[0] if len(fitting) == 1 else text.strip()


def read_use(text: str) -> LensUse:
    """Read what single vision lenses are made for."""
    use = _USES.read(text, "use")
    if use is LensUse.MULTIFOCAL:
        raise RefusedError(
            "use", "multifocal", "single vision is for distance, reading or a screen", "Type one of them."
        )
    return use


def read_lengths(text: str, name: str) -> tuple[float, ...]:
    """Read one length for both eyes, or one for the right and one for the left."""
    parts = text.replace("/", " ").split()
    if not 1 <= len(parts) <= 2:
        raise RefusedError(name, f"'{text}'", "it is one number, or right and left", "Type it like 63 or 31.5 32.")
    return tuple(read_decimal(part, name) for part in parts)
