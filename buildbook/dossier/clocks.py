"""The cameras' clocks: what is stated, what photos of clock cards show, and how far that may be out."""

from __future__ import annotations

from buildbook.dossier.drawings.numbers import in_locale
from buildbook.dossier.model import Column, Run, Table, TableRow, Text, text
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, given, lines, phrase, plural
from buildbook.records.head import Camera
from buildbook.records.photo import Photo
from buildbook.rules.clocks import Body, bodies_of, body_of, camera_of, estimate
from buildbook.rules.photos_cards import span


def clocks_table(view: View) -> Table | None:
    """One row for each camera that is described, or whose clock photos of clock cards tell; None if there is none."""
    photos: dict[Body, list[Photo]] = {}
    for photo in view.job.photos:
        if (body := body_of(photo)) is not None:
            photos.setdefault(body, []).append(photo)
    rows, spoken = [], []
    for body in bodies_of(view.job):
        stated = camera_of(view.job, photos[body][0])
        if stated is not None:
            spoken.append(stated)
        if stated is not None or estimate(view.job, body) is not None:
            rows.append(_row(view, body, stated, len(photos[body])))
    unused = [camera for camera in view.job.cameras if not any(camera is s for s in spoken)]
    rows += [_row(view, Body(camera.model, camera.serial), camera, 0) for camera in unused]
    columns = (
        Column(title=_("Camera"), width=2.2),
        Column(title=_("Its clock"), width=2.2),
        Column(title=_("Set to"), width=1.6),
        Column(title=_("How that is known"), width=4),
    )
    return Table(columns=columns, rows=tuple(rows), caption=_("Cameras and their clocks")) if rows else None


def _row(view: View, body: Body, stated: Camera | None, photos: int) -> TableRow:
    found = estimate(view.job, body)
    measured: Text = ()
    if found is not None:
        shots = plural("{n} photo of a clock card", "{n} photos of clock cards", found.shots)
        apart = _("they differ by {span}").format(span=span(found.spread)) if found.shots > 1 else _("no spread known")
        error = clock_error(found.ahead.total_seconds())
        measured = phrase(_("{shots}: {error}; {apart}"), shots=shots, error=error, apart=apart)
    if stated is not None and stated.ahead_s is not None:
        clock, how = text(clock_error(stated.ahead_s)), _("as stated")
    elif found is not None and found.set_between:
        clock, how = text(_("set in between")), _("nothing taken off")
    elif found is not None:
        clock, how = text(clock_error(found.ahead.total_seconds())), _("estimated, the median")
    else:
        clock, how = (), ""
    why = given(stated.why) if stated is not None and (stated.why or not measured) else ()
    return TableRow(
        cells=(
            lines(
                text(body.camera or _("not recorded")),
                (Run(_("serial {number}").format(number=body.serial), "quiet"),) if body.serial else (),
                (Run(plural("{n} photo", "{n} photos", photos), "quiet"),),
            ),
            lines(clock, (Run(how, "quiet"),)) if clock else given(""),
            given(stated.timezone if stated is not None else ""),
            lines(why, measured),
        )
    )


def clock_error(seconds: float) -> str:
    """How far a clock is out, to the second: `1 h 40 s ahead`."""
    if not round(seconds):
        return _("agrees with true time")
    minutes, s = divmod(abs(round(seconds)), 60)
    hours, min_ = divmod(minutes, 60)
    days, h = divmod(hours, 24)
    parts = ((days, "d"), (h, "h"), (min_, "min"), (s, "s"))  # accepted for use with the SI: the same in each language
    said = " ".join(f"{in_locale(f'{n:,}')}\u00a0{unit}" for n, unit in parts if n)
    return (_("{time} ahead") if seconds > 0 else _("{time} behind")).format(time=said)
