"""Rules of identity: what the vehicle is, by the numbers stamped on it and the papers about it."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.records.said import row, said
from buildbook.records.words import Basis
from buildbook.rules.evidence import found_file, not_there
from buildbook.rules.grades import NOTE, QUERY, QUERY_LATER, STOP_AT_HANDOVER
from buildbook.rules.rule import Rule, rule
from buildbook.trade.vin import VinState, classify

_NORTH_AMERICA = "north-america"


@rule(
    "identity.no-name",
    asks="Are the marque and the model of the vehicle written down?",
    why="The dossier is about this vehicle; without its name nobody can file or find it.",
    fix="Write marque and model in job.toml under [vehicle].",
    **STOP_AT_HANDOVER,
)
def no_name(job: Job) -> Iterator[Raised]:
    missing = [f for f in ("marque", "model") if job.vehicle.lacks(f)]
    if missing:
        if len(missing) == 2:
            says = said("The vehicle has no marque and no model.")
        elif missing == ["marque"]:
            says = said("The vehicle has no marque.")
        else:
            says = said("The vehicle has no model.")
        yield Raised("identity.no-name", job.vehicle.place.at(missing[0]), says)


@rule(
    "identity.no-body",
    asks="Is the body form given?",
    why="The body form decides which zones the vehicle has and which plan of it is printed.",
    fix="Write body in job.toml under [vehicle]: saloon, estate, coupe, convertible, van or motorcycle.",
    **STOP_AT_HANDOVER,
)
def no_body(job: Job) -> Iterator[Raised]:
    if job.vehicle.lacks("body"):
        yield Raised("identity.no-body", job.vehicle.place.at("body"), said("The vehicle has no body form."))


@rule(
    "identity.no-chassis-number",
    asks="Is the chassis number recorded, as it is stamped?",
    why="It is what ties the dossier to this vehicle and no other; owner, insurer and registrar compare it.",
    fix="Read the number off the vehicle and write it in job.toml as vehicle.chassis_number exactly as stamped, with "
    "hyphens and leading zeros.",
    source="Guidance on appraisal of collectors' cars (PUB-C); common practice",
    **STOP_AT_HANDOVER,
)
def no_chassis_number(job: Job) -> Iterator[Raised]:
    if job.vehicle.lacks("chassis_number"):
        yield Raised(
            "identity.no-chassis-number", job.vehicle.place.at("chassis_number"),
            said("The vehicle has no chassis number."),
        )  # fmt: skip


@rule(
    "identity.no-chassis-photo",
    asks="Is there a photo of the chassis number as stamped?",
    why="A typed number can be misread; the photo of the stamping is the evidence.",
    fix="Photograph the stamping, put the photo in documents/ or in a step, and name it in job.toml as "
    "vehicle.chassis_number_photo.",
    **STOP_AT_HANDOVER,
)
def no_chassis_photo(job: Job) -> Iterator[Raised]:
    vehicle = job.vehicle
    if vehicle.chassis_number and vehicle.lacks("chassis_number_photo"):
        yield Raised(
            "identity.no-chassis-photo", vehicle.place.at("chassis_number_photo"),
            said("Chassis number {number} has no photo of its stamping.", number=vehicle.chassis_number),
        )  # fmt: skip


@rule(
    "identity.photo-missing",
    asks="Does each photo that is named for a number or for the odometer exist?",
    why="A named photo that is not there is a claim without its evidence.",
    fix="Put the photo where job.toml says, or write the path it really has, relative to the job folder.",
    **STOP_AT_HANDOVER,
)
def photo_missing(job: Job) -> Iterator[Raised]:
    named = [
        (job.vehicle, "chassis_number_photo", job.vehicle.chassis_number_photo),
        (job.vehicle, "engine_number_photo", job.vehicle.engine_number_photo),
        (job.odometer, "photo_in", job.odometer.photo_in),
        (job.odometer, "photo_out", job.odometer.photo_out),
    ]
    for record, field, name in named:
        if name and found_file(job, name) is None:
            yield Raised(
                "identity.photo-missing", record.place.at(field),
                said("{field} names {document}, {why}.", field=field, document=name, why=not_there(job, name)),
            )  # fmt: skip


@rule(
    "identity.no-engine-number",
    asks="Is the engine number recorded, as it is stamped?",
    why="Whether the engine is the one the vehicle was built with is a question of these two numbers.",
    fix="Write vehicle.engine_number in job.toml as stamped; if it cannot be read, write so, e.g. "
    '"not legible, corroded".',
    **QUERY_LATER,
)
def no_engine_number(job: Job) -> Iterator[Raised]:
    if job.vehicle.lacks("engine_number"):
        yield Raised(
            "identity.no-engine-number", job.vehicle.place.at("engine_number"),
            said("The vehicle has no engine number."),
        )  # fmt: skip


@rule(
    "identity.no-engine-photo",
    asks="Is there a photo of the engine number as stamped?",
    why="A statement that the numbers match needs both, read by whom, when, and with a photo.",
    fix="Photograph the stamping and name the photo in job.toml as vehicle.engine_number_photo.",
    **NOTE,
)
def no_engine_photo(job: Job) -> Iterator[Raised]:
    vehicle = job.vehicle
    if vehicle.engine_number and vehicle.lacks("engine_number_photo"):
        yield Raised(
            "identity.no-engine-photo", vehicle.place.at("engine_number_photo"),
            said("Engine number {number} has no photo of its stamping.", number=vehicle.engine_number),
        )  # fmt: skip


def _state(job: Job) -> VinState | None:
    """What the published rules say of the chassis number; None without one."""
    vehicle = job.vehicle
    if not vehicle.chassis_number:
        return None
    market = "US" if vehicle.market == _NORTH_AMERICA else None  # the rule is the same for US and Canada
    return classify(vehicle.chassis_number, market, vehicle.built).state


@rule(
    "identity.forbidden-letter",
    asks="Is a 17-character chassis number free of the letters I, O and Q?",
    why="These letters are never used in such numbers, so one of them is most likely a misread 1 or 0.",
    fix="Compare with the photo of the stamping and correct the number; never change what is really stamped.",
    source="ISO 3779: I, O and Q are not used (PUB-C). Vehicles built before 1981 are not asked",
    **STOP_AT_HANDOVER,
)
def forbidden_letter(job: Job) -> Iterator[Raised]:
    number = job.vehicle.chassis_number
    if _state(job) is VinState.FORBIDDEN_LETTER:
        letters = sorted({c for c in number.upper() if c in "IOQ"})
        yield Raised(
            "identity.forbidden-letter", job.vehicle.place.at("chassis_number"),
            said(
                "Chassis number {number} has 17 characters and holds {letters}; got {n} forbidden, expected none.",
                number=number, letters=row(letters), n=len(letters),
            ),
        )  # fmt: skip


@rule(
    "identity.odd-character",
    asks="Does a 17-character chassis number hold letters and digits only?",
    why="Anything else is a slip of the pen or of the keyboard.",
    fix="Compare with the photo of the stamping and correct the number.",
    source="ISO 3779 (PUB-C). Vehicles built before 1981 are not asked",
    **QUERY,
)
def odd_character(job: Job) -> Iterator[Raised]:
    number = job.vehicle.chassis_number
    if _state(job) is VinState.FORBIDDEN_CHARACTER:
        yield Raised(
            "identity.odd-character", job.vehicle.place.at("chassis_number"),
            said(
                "Chassis number {number} has 17 characters, of which one at least is neither a Latin letter "
                "nor a digit.",
                number=number,
            ),
        )  # fmt: skip


@rule(
    "identity.check-digit",
    asks="Does the check digit of a North American 17-character number agree?",
    why="One misread character makes it disagree. The rule holds for North America from model year 1981; elsewhere "
    "the dossier says that it does not apply.",
    fix="Compare each character with the photo of the stamping. If the number is right as written, leave it and say "
    "so in vehicle.notes.",
    source="49 CFR 565.15(c) (PUB-A)",
    **QUERY,
)
def check_digit(job: Job) -> Iterator[Raised]:
    number = job.vehicle.chassis_number
    if _state(job) is VinState.DOES_NOT_AGREE:
        found = classify(number, "US", job.vehicle.built)
        yield Raised(
            "identity.check-digit", job.vehicle.place.at("chassis_number"),
            said(
                "The check digit of {number} does not agree: got {found} in the ninth place, expected {expected}.",
                number=number, found=found.found, expected=found.expected,
            ),
        )  # fmt: skip


@rule(
    "identity.not-17",
    asks="Has the chassis number of a North American vehicle built since 1981 seventeen characters?",
    why="All such vehicles have 17; shorter numbers of other markets and earlier years are taken as they are.",
    fix="Compare with the photo of the stamping; if market or year are wrong, correct them in job.toml.",
    source="49 CFR 565.15 (PUB-A)",
    **QUERY,
)
def not_17(job: Job) -> Iterator[Raised]:
    vehicle = job.vehicle
    if _state(job) is VinState.WRONG_LENGTH:
        length = len(classify(vehicle.chassis_number, "US", vehicle.built).normalised)
        yield Raised(
            "identity.not-17",
            vehicle.place.at("chassis_number"),
            said(
                "Chassis number {number} of a North American vehicle of {year}: got {n} characters, expected 17.",
                number=vehicle.chassis_number, year=vehicle.built, n=length,
            ),
        )  # fmt: skip


@rule(
    "identity.registered-before-built",
    asks="Was the vehicle built in or before the year of its first registration?",
    why="A vehicle is registered once it exists; one of the two years is wrong.",
    fix="Correct vehicle.built or vehicle.first_registered in job.toml from the papers.",
    **QUERY,
)
def registered_before_built(job: Job) -> Iterator[Raised]:
    built, registered = job.vehicle.built, job.vehicle.first_registered
    if built is not None and registered is not None and registered.year < built:
        yield Raised(
            "identity.registered-before-built", job.vehicle.place.at("first_registered"),
            said("First registered on {day}, but built in {year}.", day=registered, year=built),
        )  # fmt: skip


@rule(
    "identity.built-after-arrival",
    asks="Was the vehicle built before it came in?",
    why="A year of manufacture after the day of arrival is a slip.",
    fix="Correct vehicle.built or job.received in job.toml.",
    **STOP_AT_HANDOVER,
)
def built_after_arrival(job: Job) -> Iterator[Raised]:
    built = job.vehicle.built
    if built is not None and job.received is not None and built > job.received.year:
        yield Raised(
            "identity.built-after-arrival", job.vehicle.place.at("built"),
            said("Built in {year}, but received on {day}.", year=built, day=job.received),
        )  # fmt: skip


@rule(
    "identity.history-no-basis",
    asks="Does each statement of history say what it rests on?",
    why="Seen, told by the owner and read in a document are three different things; a dossier keeps them apart.",
    fix='Write basis = "seen", "document" or "owner" in that [[history]] entry of job.toml.',
    source="Guidance on provenance (PUB-C): keep seen, document says and owner says apart",
    **QUERY_LATER,
)
def history_no_basis(job: Job) -> Iterator[Raised]:
    for entry in job.history:
        if entry.lacks("basis"):
            yield Raised(
                "identity.history-no-basis", entry.place.at("basis"),
                said('History "{entry}" does not say what it rests on.', entry=entry.what),
            )  # fmt: skip


@rule(
    "identity.history-no-document",
    asks="Does a statement of history that rests on a document name it, and is the document there?",
    why='"According to the papers" is worth as much as the papers that can be looked at.',
    fix="Put a scan in documents/ and name it as document in that [[history]] entry, or change its basis.",
    **QUERY_LATER,
)
def history_no_document(job: Job) -> Iterator[Raised]:
    for entry in job.history:
        if entry.document and found_file(job, entry.document) is None:
            yield Raised(
                "identity.history-no-document", entry.place.at("document"),
                said(
                    'History "{entry}" names {document}, {why}.',
                    entry=entry.what, document=entry.document, why=not_there(job, entry.document),
                ),
            )  # fmt: skip
        elif entry.basis is Basis.DOCUMENT and entry.lacks("document"):
            yield Raised(
                "identity.history-no-document", entry.place.at("document"),
                said('History "{entry}" rests on a document but names none.', entry=entry.what),
            )  # fmt: skip


IDENTITY: tuple[Rule, ...] = (
    no_name,
    no_body,
    no_chassis_number,
    no_chassis_photo,
    photo_missing,
    no_engine_number,
    no_engine_photo,
    forbidden_letter,
    odd_character,
    check_digit,
    not_17,
    registered_before_built,
    built_after_arrival,
    history_no_basis,
    history_no_document,
)
