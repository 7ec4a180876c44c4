"""Columns of rows that run beside each other, each at its own pace."""

from __future__ import annotations

from collections.abc import Sequence

from buildbook.render.pdf.flow import SLACK, Flow
from buildbook.render.pdf.pen import Pen
from buildbook.render.pdf.rows import Row


def halfway(heights: Sequence[float]) -> int:
    """How many of the rows belong in the first of two columns so that the taller is as low as can be; at least half
    of them where it makes no difference.
    """
    total = sum(heights)
    best, least = len(heights), total
    used = 0.0
    for count, height in enumerate(heights, 1):
        used += height
        tallest = max(used, total - used)
        if tallest < least - SLACK or (tallest <= least + SLACK and count <= -(-len(heights) // 2)):
            best, least = count, tallest
    return best


class Stacks(Flow):
    """Stacks of rows side by side; pitch: distance between their left edges."""

    def __init__(self, stacks: Sequence[Sequence[Row]], pitch: float) -> None:
        self.stacks = tuple(tuple(stack) for stack in stacks)
        self.pitch = pitch

    def height(self) -> float:
        return max((sum(row.height() for row in stack) for stack in self.stacks), default=0.0)

    def least(self) -> float:
        return max((stack[0].least() for stack in self.stacks if stack), default=0.0)

    def split(self, room: float) -> tuple[Flow, Flow] | None:
        parts = [_cut(stack, room) for stack in self.stacks]
        heads, tails = [head for head, _ in parts], [tail for _, tail in parts]
        if not any(heads) or not any(tails):
            return None
        head = Stacks(heads, self.pitch)
        head.before, head.anchor = self.before, self.anchor
        return head, Stacks(tails, self.pitch)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        for index, stack in enumerate(self.stacks):
            below = y
            for row in stack:
                row.draw(pen, x + index * self.pitch, below)
                below += row.height()


class Beside(Flow):
    """Flows below each other with another beside them at `x`; not parted."""

    def __init__(self, flows: Sequence[Flow], other: Flow, x: float) -> None:
        self.flows = tuple(flows)
        self.other = other
        self.x = x

    def _left(self) -> float:
        return sum((flow.before if index else 0.0) + flow.height() for index, flow in enumerate(self.flows))

    def height(self) -> float:
        return max(self._left(), self.other.height())

    def draw(self, pen: Pen, x: float, y: float) -> None:
        below = y
        for index, flow in enumerate(self.flows):
            below += flow.before if index else 0.0
            flow.draw(pen, x, below)
            below += flow.height()
        self.other.draw(pen, x + self.x, y)


def _cut(stack: Sequence[Row], room: float) -> tuple[list[Row], list[Row]]:
    head: list[Row] = []
    for index, row in enumerate(stack):
        if row.height() > room + SLACK:
            parts = row.split(room)
            if parts is None:
                return head, list(stack[index:])
            first, second = parts
            return [*head, first], [second, *stack[index + 1 :]]
        head.append(row)
        room -= row.height()
    return head, []
