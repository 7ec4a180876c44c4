"""The one kind of failure of the trade computations: a refused input, in words, with a remedy."""

from __future__ import annotations

from buildbook.records.said import sentences


class TradeError(ValueError):
    """An input the computation refuses.

    ``says`` states what is wrong, ``fix`` how to put it right. Both are plain text; the text a person
    wrote is quoted in them as it stood, so escape before printing into any mark-up. ``whole`` is both, to be
    said in another language.
    """

    def __init__(self, says: str, fix: str) -> None:
        super().__init__(f"{says} {fix}")
        self.says = says
        self.fix = fix

    @property
    def whole(self) -> str:
        return sentences(self.says, self.fix)


class UnitError(TradeError):
    """A unit that is not known, or not of the right dimension."""


class KindError(TradeError):
    """A kind of reading that is not known, or whose description is incomplete."""
