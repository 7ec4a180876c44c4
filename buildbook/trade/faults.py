"""The one kind of failure of the trade computations: a refused input, in words, with a remedy."""

from __future__ import annotations


class TradeError(ValueError):
    """An input the computation refuses.

    ``says`` states what is wrong, ``fix`` how to put it right. Both are plain text; the text a person
    wrote is quoted in them as it stood, so escape before printing into any mark-up.
    """

    def __init__(self, says: str, fix: str) -> None:
        super().__init__(f"{says} {fix}")
        self.says = says
        self.fix = fix


class UnitError(TradeError):
    """A unit that is not known, or not of the right dimension."""


class KindError(TradeError):
    """A kind of reading that is not known, or whose description is incomplete."""
