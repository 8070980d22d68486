"""One eye as it is typed part by part: put together to the line that a prescriber writes, and read as such a line."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from shopledger.errors import OpticsError
from shopledger.typed.refusals import EyePartError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from shopledger.optics.prescription import EyePrescription
    from shopledger.optics.sides import Side


class EyeParts(NamedTuple):
    """What was typed for one eye; a part that is not written stays empty."""

    sphere: str = ""
    """The sphere, or the whole line where somebody typed it there."""
    cylinder: str = ""
    axis: str = ""
    add: str = ""
    prism: str = ""
    balance: bool = False

    @property
    def line(self) -> str:
        """The line that a prescriber would write."""
        marks = ("", "", "x ", "add ", "prism ")
        parts = (each.strip() for each in self[:5])
        written = [f"{mark}{part}" for mark, part in zip(marks, parts, strict=True) if part]
        return " ".join(["balance", *written] if self.balance else written)


def parts_of(eye: EyePrescription) -> EyeParts:
    """Give what would be typed for an eye that is known."""
    from shopledger.optics.notation import write_dioptres, write_prisms

    power = eye.power
    return EyeParts(
        "" if eye.lacks_power else write_dioptres(power.sphere),
        write_dioptres(power.cylinder) if power.cylinder else "",
        f"{round(power.axis):03d}" if power.cylinder and power.axis is not None else "",
        "" if eye.add is None else write_dioptres(eye.add).lstrip("+"),
        write_prisms(eye.prism),
        eye.balance,
    )


def read_parts(parts: EyeParts, side: Side) -> EyePrescription:
    """Read one eye. Raises EyePartError, which names the first part that cannot be read alone, or else the sphere."""
    from shopledger.optics.notation import read_eye

    if not parts.sphere.strip() and not parts.balance:
        said = f"the {side.value} sphere is empty; it is needed. A plano lens is 0.00."
        raise EyePartError(f"{side.value}.sphere", said)
    try:
        return read_eye(parts.line, side)
    except OpticsError as error:
        for wrong in _guilty(parts, side):
            raise wrong from None
        raise EyePartError(f"{side.value}.{_named(error)}", str(error)) from None


def wrong_parts(parts: EyeParts, side: Side) -> list[EyePartError]:
    """Give all that is wrong with one eye, part by part; nothing where it can be read."""
    try:
        read_parts(parts, side)
    except EyePartError as error:
        more = [each for each in _guilty(parts, side) if each.field != error.field]
        return [error, *more]
    return []


def _guilty(parts: EyeParts, side: Side) -> Iterator[EyePartError]:
    """Give the parts that cannot be read by themselves, each with why."""
    from shopledger.optics.notation import read_axis, read_dioptres

    def signed(text: str) -> float:
        return read_dioptres(text, signed=True)

    readers: dict[str, Callable[[str], object]] = {
        "sphere": signed,
        "cylinder": signed,
        "axis": read_axis,
        "add": read_dioptres,
        "prism": _read_prisms,
    }
    for name, reader in readers.items():
        typed = getattr(parts, name).strip()
        if typed:
            try:
                reader(typed)
            except OpticsError as error:
                yield EyePartError(f"{side.value}.{name}", str(error))


def _read_prisms(text: str) -> object:
    """Read all prism of an eye, as its line would have it behind a power."""
    from shopledger.optics.notation import read_eye, read_prism
    from shopledger.optics.refusals import NotationError

    try:
        return read_eye(f"plano prism {text}")
    except NotationError:
        return read_prism(text)


def _named(error: OpticsError) -> str:
    """Give the part that an error about the whole names."""
    name = str(getattr(error, "field", "") or getattr(error, "name", ""))
    return name if name in EyeParts._fields else "sphere"
