"""Points as a path of a drawing: in mm, and down on the page where they go up."""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup


def path_of(look: str, points: Iterable[tuple[float, float]], *, closed: bool = False) -> Markup:
    """Draw a line through points in one of the looks that the pages know."""
    along = " ".join(f"{x:.2f} {-y:.2f}" for x, y in points)
    return Markup(f'<path class="{look}" d="M{along}{"Z" if closed else ""}"/>')  # noqa: S704 - numbers of ours
