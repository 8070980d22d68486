"""The options that describe one pair of glasses."""

from __future__ import annotations

from shopledger.cli.lens_options import CodeOptions, EachLensOptions, MeasurementOptions
from shopledger.cli.options import OptionSet, inner, needed, option
from shopledger.cli.params import Word
from shopledger.cli.prompts import lacking
from shopledger.ledger.orders import PairRequest
from shopledger.optics.prescription import LensUse


class PairOptions(OptionSet):
    """One pair of glasses."""

    wearer: str | None = option("--wearer", metavar="NAME", help="Whose glasses they are.")
    frame: str | None = option("--frame", metavar="CODE", help="The frame.")
    own_frame: bool = option("--own-frame", is_flag=True, help="The wearer has this frame already; it is not charged.")
    lens: str | None = option("--lens", metavar="CODE", help="The lens.")
    use: LensUse | None = option(
        "--use", type=Word(LensUse), help="What single vision lenses are made for. Otherwise distance."
    )
    extras: tuple[str, ...] = option(
        "--extra", metavar="CODE", multiple=True, help="An upgrade or coating; may be given again."
    )
    prescription: int | None = option(
        "--prescription", type=int, help="Number of the prescription. Otherwise the wearer's newest."
    )
    without_prescription: bool = option("--without-prescription", is_flag=True, help="The pair has no power.")
    measured: MeasurementOptions = inner(MeasurementOptions)
    each: EachLensOptions = inner(EachLensOptions)
    codes: CodeOptions = inner(CodeOptions)

    def request(self, *, beside: bool) -> PairRequest | None:
        """Give the pair that the options describe; none is wanted where something is sold beside and no pair named."""
        measurements = self.measured.measurements
        if not (self.frame or self.lens) and beside:
            return None
        right, left = self.each.eyes()
        for name, value in (("--wearer", self.wearer), ("--frame", self.frame), ("--lens", self.lens)):
            if not value:
                lacking(name)
        return PairRequest(
            wearer=needed(self.wearer),
            frame=needed(self.frame),
            lens=needed(self.lens),
            use=self.use,
            prescription=self.prescription,
            without_prescription=self.without_prescription,
            extras=self.extras,
            measurements=measurements,
            frame_owned=self.own_frame,
            right_code=self.codes.right_code,
            left_code=self.codes.left_code,
            right=right,
            left=left,
            off_step=self.each.off_step,
        )
