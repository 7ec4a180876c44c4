"""Filing the inbox: which photo belongs to which step and stage, by the marker cards before it, and moving it there."""

from buildbook.filing.inbox import Waiting, already_elsewhere, read_inbox
from buildbook.filing.move import Done, Filed, carry_out, foresee, remove_leftovers
from buildbook.filing.plan import Left, Move, Plan, plan_filing
from buildbook.filing.table import cut_off_text, done_text, plan_text

__all__ = [
    "Done",
    "Filed",
    "Left",
    "Move",
    "Plan",
    "Waiting",
    "already_elsewhere",
    "carry_out",
    "cut_off_text",
    "done_text",
    "foresee",
    "plan_filing",
    "plan_text",
    "read_inbox",
    "remove_leftovers",
]
