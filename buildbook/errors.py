"""Failures that end a command: each has an exit code, a message with its place, and a remedy."""

from __future__ import annotations

from enum import IntEnum


class ExitCode(IntEnum):
    """Published exit codes of every command."""

    FINE = 0
    ANSWER_IS_NO = 1
    WRONG_USAGE = 2
    INPUT_UNREADABLE = 3
    OUR_FAULT = 4


class BuildbookError(Exception):
    """A failure whose message a person can act on.

    `says` names the place and what is wrong; `fix` says how to put it right.
    """

    exit_code: ExitCode = ExitCode.OUR_FAULT

    def __init__(self, says: str, fix: str = "") -> None:
        super().__init__(says)
        self.says = says
        self.fix = fix

    def __str__(self) -> str:
        return f"{self.says}\n  What to do: {self.fix}" if self.fix else self.says


class AnswerIsNo(BuildbookError):
    """The command ran and the answer is no: a `stop` finding, a failed verification."""

    exit_code = ExitCode.ANSWER_IS_NO


class WrongUsage(BuildbookError):
    """The command was called in a way that cannot work."""

    exit_code = ExitCode.WRONG_USAGE


class InputUnreadable(BuildbookError):
    """The input cannot be read at all."""

    exit_code = ExitCode.INPUT_UNREADABLE
