"""Where each file of the inbox belongs. Pure: facts in, a plan out.

A photo of a marker card opens a run: the photos that the same camera took after it, on the same day, up to its next
card, belong to the step, stage and zone the card names. Order is by the camera's own clock, its error taken off. A
photo outside any run goes to `during` of the one step that was open when it was taken, if there is exactly one.
Everything else stays, with the reason. Photos of cards are kept under documents/cards.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePosixPath

from buildbook.filing.inbox import INBOX, Waiting
from buildbook.records.card import FOLDER as CARDS
from buildbook.records.card import Card
from buildbook.records.job import Job, Step
from buildbook.records.photo import Photo
from buildbook.records.words import Stage
from buildbook.records.zones import zone
from buildbook.rules.captured import Captured, absurd, captured
from buildbook.rules.clocks import Body, body_of, cards_on
from buildbook.rules.moments import backwards, earliest, latest, zone_of


@dataclass(frozen=True, slots=True)
class Move:
    """A file to move. path: where it lies. folder: where to, relative to the job, ending in `/`. why: a clause."""

    path: str
    sha256: str
    folder: str
    why: str


@dataclass(frozen=True, slots=True)
class Left:
    """A file that stays in the inbox, and why."""

    path: str
    why: str


@dataclass(frozen=True, slots=True)
class Plan:
    """Photos first and cards last, so that a run cut short leaves the cards that the rest needs."""

    moves: tuple[Move, ...]
    left: tuple[Left, ...]


@dataclass(frozen=True, slots=True)
class _Run:
    """What a card, or something that only looks like one, says of the photos after it. why_not: "" if it counts."""

    photo: Photo
    when: Captured
    card: Card | None
    why_not: str


_Roll = tuple[Body, str]  # a camera, and the folder of the inbox its photos were dropped into


def plan_filing(job: Job, waiting: Sequence[Waiting], elsewhere: Mapping[str, str] | None = None) -> Plan:
    """The plan for what waits. elsewhere: SHA-256 -> where, of files known from other jobs."""
    photos = {w.entry.path: _photo(w) for w in waiting if w.facts is not None and not w.facts.problem}
    job = replace(job, photos=(*job.photos, *photos.values()))  # so that clock cards still in the inbox count
    there = {p.sha256: p.path for p in job.photos if not p.path.startswith(INBOX)}
    runs = _runs(job)
    found = [_decide(job, item, photos.get(item.entry.path), runs, there, elsewhere or {}) for item in waiting]
    found = _once(found)
    moves = [f for f in found if isinstance(f, Move)]
    moves.sort(key=lambda m: m.folder.startswith(CARDS))
    return Plan(tuple(moves), tuple(f for f in found if isinstance(f, Left)))


def _decide(
    job: Job,
    item: Waiting,
    photo: Photo | None,
    runs: Mapping[_Roll, list[_Run]],
    there: Mapping[str, str],
    elsewhere: Mapping[str, str],
) -> Move | Left:
    path, sha256 = item.entry.path, item.entry.sha256
    if item.unread:
        return Left(path, item.unread)
    if photo is None:
        return Left(path, _no_picture(item))
    if sha256 in elsewhere:
        return Left(path, f"the same bytes lie in another job, as {elsewhere[sha256]}: whose are they?")
    if photo.facts.cards:
        return _card_place(job, photo)
    place = _place(job, photo, runs)
    if isinstance(place, Move) and _elsewhere_here(there.get(sha256), place):
        return Left(path, f"the same bytes lie in the record already, as {there[sha256]}: this one may go")
    return place


def _photo(item: Waiting) -> Photo:
    assert item.facts is not None
    entry = item.entry
    return Photo(path=entry.path, size=entry.size, sha256=entry.sha256, facts=item.facts)


def _no_picture(item: Waiting) -> str:
    if item.facts is None:
        return "it is no picture; put it where it belongs by hand"
    return f"it cannot be shown: {item.facts.problem.rstrip('.')}"


def _elsewhere_here(path: str | None, move: Move) -> bool:
    """Whether the bytes lie in the record under another name or in another folder. If not, moving settles it."""
    if path is None:
        return False
    name = PurePosixPath(move.path)
    same = re.fullmatch(rf"{re.escape(name.stem)}(-[0-9]+)?{re.escape(name.suffix)}", PurePosixPath(path).name)
    return same is None or path.rpartition("/")[0] + "/" != move.folder


def _once(found: Sequence[Move | Left]) -> list[Move | Left]:
    """Of several files with the same bytes one goes; another goes only to the same place under the same name.

    It is the one with the shorter name: programs that copy a file add to its name.
    """
    first: dict[str, Move] = {}
    moves = (f for f in found if isinstance(f, Move))
    for move in sorted(moves, key=lambda m: len(PurePosixPath(m.path).name)):
        first.setdefault(move.sha256, move)
    made: list[Move | Left] = []
    for one in found:
        if isinstance(one, Move):
            other = first[one.sha256]
            if _target(other) != _target(one):
                one = Left(one.path, f"the same bytes lie in the inbox as {other.path} too: this one may go")
        made.append(one)
    return made


def _target(move: Move) -> str:
    return move.folder + PurePosixPath(move.path).name


def roll_of(photo: Photo) -> _Roll | None:
    """Whose photos it is one of; None where it names no camera: then its neighbours may be anybody's."""
    body = body_of(photo)
    for root in (INBOX, CARDS):
        if body is not None and photo.path.startswith(root):
            return body, photo.path.removeprefix(root).rpartition("/")[0]
    return None


def _runs(job: Job) -> dict[_Roll, list[_Run]]:
    """For each camera what its photos of cards say, in the order they were taken."""
    runs: dict[_Roll, list[_Run]] = defaultdict(list)
    for photo in job.card_photos:
        roll, when = roll_of(photo), captured(job, photo)
        if roll is None or when is None:
            continue
        cards, refused = cards_on(job, photo)
        steps = {c for c in cards if not c.is_clock}
        named = {(c.step, c.stage, c.zone) for c in steps}
        if cards and not steps and not refused:
            continue  # a clock card: the run goes on
        card = next(iter(steps)) if len(named) == 1 and not refused else None
        why = "" if card else "it shows cards that say different things" if cards else refused[0]
        runs[roll].append(_Run(photo, when, card, why))
    for run in runs.values():
        run.sort(key=lambda r: _order(r.photo, r.when))
    return runs


def _order(photo: Photo, when: Captured) -> tuple[object, ...]:
    """By time; photos of the same second by their name, numbers in it by value."""
    name = photo.path.rpartition("/")[2]
    natural = [(0, int(part), "") if part.isdigit() else (1, 0, part) for part in re.findall(r"[0-9]+|[^0-9]+", name)]
    return when.moment, natural


def _card_place(job: Job, photo: Photo) -> Move | Left:
    cards, refused = cards_on(job, photo)
    if refused:
        return Left(photo.path, f"a card in it is refused: {refused[0]}")
    if len({(c.step, c.stage, c.zone) for c in cards}) > 1:
        return Left(photo.path, "it shows cards that say different things: which one counts?")
    why = "shows a clock card" if cards[0].is_clock else f"shows the card of {_named(cards[0])}"
    below = photo.path.removeprefix(INBOX).rpartition("/")[0]
    return Move(photo.path, photo.sha256, f"{CARDS}{below}/" if below else CARDS, why)


def _named(card: Card) -> str:
    where = f", {card.zone}" if card.zone else ""
    return f"step {card.step:03d}, {card.stage.value if card.stage else ''}{where}"


def _place(job: Job, photo: Photo, runs: Mapping[_Roll, list[_Run]]) -> Move | Left:
    if says := absurd(job, photo):
        return Left(photo.path, says[0].lower() + says[1:].rstrip("."))
    when = captured(job, photo)
    if when is None:
        why = "it carries no capture time, so neither a card nor a step's dates can place it; do it by hand"
        return Left(photo.path, why)
    roll = roll_of(photo)
    before = [r for r in runs.get(roll, ()) if _order(r.photo, r.when) < _order(photo, when)] if roll else []
    last = before[-1] if before else None
    if last is not None and last.when.moment.date() == when.moment.date():
        name = PurePosixPath(last.photo.path).name
        if last.card is None:
            return Left(photo.path, f"the card before it, {name}, cannot be followed: {last.why_not}")
        return _by_card(job, photo, last.card, name)
    return _by_time(job, photo, when)


def _by_card(job: Job, photo: Photo, card: Card, name: str) -> Move | Left:
    steps = [s for s in job.steps if s.number == card.step]
    if len(steps) != 1:
        what = "no step" if not steps else "more than one step"
        return Left(photo.path, f"the card before it, {name}, names step {card.step:03d}: {what} has that number")
    if card.zone and zone(card.zone) is None:
        return Left(photo.path, f"the card before it, {name}, names the zone {card.zone}, which there is none of")
    assert card.stage is not None
    return Move(photo.path, photo.sha256, _folder(steps[0], card.stage, card.zone), f"after the card {name}")


def _folder(step: Step, stage: Stage, place: str = "") -> str:
    return f"steps/{step.id}/{stage.value}/{place}/" if place else f"steps/{step.id}/{stage.value}/"


def _by_time(job: Job, photo: Photo, when: Captured) -> Move | Left:
    touched, within = [], []
    tz = zone_of(job)
    for step in job.steps:
        if step.started is None or backwards(step, tz) or {"started", "finished"} & step.bad:
            continue
        first = earliest(step.started, tz)
        last = latest(step.finished if step.finished is not None else job.as_of, tz)
        if when.moment + when.slack >= first and when.moment - when.slack <= last:
            touched.append(step)
            if when.moment - when.slack >= first and when.moment + when.slack <= last:
                within.append(step)
    said = f"{when.moment:%Y-%m-%d %H:%M}"
    if len(touched) == 1 and within:
        return Move(photo.path, photo.sha256, _folder(within[0], Stage.DURING), f"the one step open on {said}")
    if len(touched) > 1:
        names = " and ".join([", ".join(s.id for s in touched[:-1]), touched[-1].id])
        return Left(photo.path, f"no card before it that day, and {len(touched)} steps were open on {said}: {names}")
    if touched:
        why = f"no card before it that day, and its camera's clock is not known well enough on {said}"
        return Left(photo.path, why)
    return Left(photo.path, f"no card before it that day, and no step was open on {said}")
