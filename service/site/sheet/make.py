"""Making a sheet of verified fixings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from service.contract.names import mode_name, stop_name
from service.contract.sheet_codes import SheetLineCode
from service.contract.verification_codes import CAUTIONS
from service.rulebook import Rulebook
from service.rulebook.versions import order
from service.site.load_models.following import differing
from service.site.load_models.next_ones import left_out
from service.site.sheet import tightening
from service.site.sheet.built import as_built_of
from service.site.sheet.content import Fastener, Figure, FixingSheet, JobLines, Line, Proof, Resin, Sheet, total
from service.site.sheet.form import form_of, standing_open
from service.site.sheet.holds import holds
from service.site.sheet.materials import Part, materials, minutes_of
from service.site.sheet.resin import Temperatures
from service.site.sheet.said import said
from service.site.sheet.source import NoSheet, Source
from service.site.sheet.steps import Steps
from service.site.sheet.wording import Wording
from service.site.sheet.work import Work
from service.verification.refusal import Refusal, RefusedRequest
from service.words import Audience, Catalogue, catalogue

NOT_VERIFIED = "no sheet for a fixing that does not verify"
AT_THE_WALL = (
    "suspended",
    "superseded",
    "hollow_core_strands",
    "no_one_under_the_load",
    "sensitive_to_contact_stiffness",
    "plate_not_checked",
    "fixture_holes_wide",
    "one_fastener_takes_shear",
    "single_fastener",
    "site_test_reach",
    "fastener_in_compression",
    "arrangement_near_edge",
    "clearance_holes_near_edge",
)
"""Cautions that decide what the crew does, the gravest first: they stand before the first figure."""
MOST_REASONS = 20
ENGLISH_FOR_CREWS = catalogue(Audience.CREW)


@dataclass(frozen=True, slots=True)
class Job:
    """A fixing for a sheet.

    Attributes:
        request: Its request, day and version resolved.
        answer: The answer to it.
        rulebook: The rulebook of the answer.
        suspensions: What is suspended for new work today and touches it.
        count: How many are made; None where that is left open, which means one.
        pointer: Where it stands among what was asked for, for messages.
        side_names: The caller's words for its sides, by edge, as `x_plus`.
    """

    request: Mapping[str, Any]
    answer: Mapping[str, Any]
    rulebook: Rulebook
    suspensions: Sequence[Mapping[str, Any]]
    count: int | None
    pointer: str
    side_names: Mapping[str, str | None] = field(default_factory=dict)


@dataclass(frozen=True)
class Made:
    """A sheet, the work behind it, which the drawing needs, and the words it is said in."""

    sheet: Sheet
    works: tuple[Work, ...]
    words: Wording


def demonstration(words: Wording) -> tuple[str, str]:
    """Say that nobody may build from a sheet under a demonstration rulebook.

    Args:
        words: The words of the crew.

    Returns:
        The warning, and why.
    """
    return (
        words.say("DEMONSTRATION – DO NOT BUILD FROM THIS SHEET."),
        words.say(
            "Every fastener figure on it is invented; a company has to replace the rulebook's data with the figures of "
            "valid assessments first."
        ),
    )


def make(
    jobs: Sequence[Job],
    *,
    title: str | None = None,
    job: str | None = None,
    temperature_c: float | None = None,
    coldest_c: float | None = None,
    newest: str | None = None,
    words: Catalogue = ENGLISH_FOR_CREWS,
) -> Made:
    """Make the sheet of one or several fixings.

    Args:
        jobs: The fixings, at least one.
        title: Title of the sheet; None: a plain one.
        job: What the caller calls the job.
        temperature_c: Temperature of the concrete when the fasteners are set (°C), for resin; None: the whole table
            is shown.
        coldest_c: The coldest that the concrete gets until resin has cured (°C); None: as when they are set.
        newest: The version in force today; a sheet under a lower one says that it is superseded, by this one and by
            no other that the record may name. None: not known, and nothing is said of it.
        words: The words for crews in the language of the sheet.

    Returns:
        The sheet.

    Raises:
        NoSheet: A fixing does not verify, or the sheet would lack what the crew needs; each reason says which fixing.
        RefusedRequest: A temperature is given that no fixing of the sheet has any use for.
    """
    needless = tuple(_needless(jobs, {"concrete_temperature_c": temperature_c, "coldest_until_cured_c": coldest_c}))
    if needless:
        raise RefusedRequest(*needless)
    wording = Wording(words)
    reasons: list[Refusal] = []
    found: list[tuple[FixingSheet, Part]] = []
    for number, one in enumerate(jobs, start=1):
        try:
            found.append(_fixing(number, one, Temperatures(temperature_c, coldest_c), newest, wording))
        except NoSheet as none:
            reasons += [_placed(reason, one.pointer) for reason in none.reasons]
    digests = {one.rulebook.digest for one in jobs}
    if len(digests) > 1:
        versions = ", ".join(sorted({one.rulebook.version for one in jobs}))
        detail = f"the fixings stand under different rules ({versions}): make one sheet for each, or verify them anew"
        reasons.append(Refusal("#/fixings", "mixed_rulebooks", detail))
    if reasons:
        raise NoSheet(*reasons[:MOST_REASONS])
    parts = tuple(part for _, part in found)
    first = jobs[0]
    sheet = Sheet(
        language=words.language,
        title=title or wording.say("Installation sheet"),
        job=job,
        notice=" ".join(demonstration(wording)) if first.rulebook.status == "demonstration" else None,
        rulebook={**first.answer["rulebook"], "superseded_by": _higher(first.rulebook, newest)},
        fixings=tuple(fixing for fixing, _ in found),
        materials=materials(parts),
        working_time=total("working_time_minutes", "min", tuple(fixing.minutes for fixing, _ in found)),
    )
    return Made(sheet, tuple(part.work for part in parts), wording)


def _needless(jobs: Sequence[Job], temperatures: Mapping[str, float | None]) -> Iterator[Refusal]:
    """Refuse temperatures for resin where there is none: whoever gives them believes that they matter."""
    if any(one.answer["fastener"]["mechanism"] == "bonded" for one in jobs):
        return
    for name, given in temperatures.items():
        if given is not None:
            words = "no fixing of this sheet is set with resin, so it changes nothing: leave it out"
            yield Refusal(f"#/{name}", "conflict", words)


def not_verified(answer: Mapping[str, Any]) -> tuple[Refusal, ...]:
    """Say why a fixing does not verify.

    Args:
        answer: The answer of its verification.

    Returns:
        The checks that are over, the requirements that are not met and the limits of the method; none if it verifies.
    """
    if answer["verdict"] == "verified":
        return ()
    unmet = [_unmet(entry) for entry in answer["requirements"] if not entry["met"]]
    over = [_over(check) for check in answer["checks"] if check["utilisation"] > 1]
    # One mode may be over by as much at several edges.
    different = {reason.detail: reason for reason in (*unmet, *over)}
    return (*(_not_covered(limit) for limit in answer["scope_limits"]), *different.values())


def _not_covered(limit: Mapping[str, Any]) -> Refusal:
    words = f"no sheet: the method does not cover it: {limit['detail']}"
    return Refusal("", "outside_scope", words, {"limit": limit["code"]})


def _unmet(requirement: Mapping[str, Any]) -> Refusal:
    words = f"{stop_name(requirement['code'])}: {requirement['detail']}"
    return Refusal("", "not_verified", f"{NOT_VERIFIED}: {words}", {"requirement": requirement["code"]})


def _over(check: Mapping[str, Any]) -> Refusal:
    mode = mode_name(check["mode"])
    words = f"{mode} under {check['load_case']!r} is used to {check['utilisation']:.6g}, more than 1"
    figures = {name: check[name] for name in ("mode", "load_case", "utilisation")}
    return Refusal("", "not_verified", f"{NOT_VERIFIED}: {words}", figures)


def _placed(reason: Refusal, pointer: str) -> Refusal:
    """Say which fixing of the sheet a reason is about; one that is about the sheet itself says so already."""
    return reason if reason.pointer.startswith("#") else replace(reason, pointer=f"#{pointer}{reason.pointer}")


def _fixing(
    number: int, job: Job, temperatures: Temperatures, newest: str | None, words: Wording
) -> tuple[FixingSheet, Part]:
    reasons = not_verified(job.answer)
    if reasons:
        raise NoSheet(*reasons)
    source = Source(job.request, job.answer, job.rulebook, words)
    differ = (
        *differing(job.request, job.rulebook),
        *left_out(job.request, job.answer, [job.request["positions"]]),
    )
    if differ:
        raise NoSheet(*differ)
    work = Work(source, job.side_names)
    if work.progress.as_built and job.count is not None and job.count > 1:
        once = "must be 1: it stands as it was checked, and others of its kind are not known to; make a sheet of each"
        raise NoSheet(Refusal(f"#/counts/{number - 1}", "conflict", once))
    steps = Steps(work, temperatures)
    work.check()
    part = Part(number, work, _count(number, job), _working(steps.resin))
    fixing = FixingSheet(
        number=number,
        pointer=f"#{job.pointer}",
        reference=job.answer["fixing_reference"],
        as_built=as_built_of(work, standing_open(work)),
        job=JobLines(**asdict(source.fixing.job)),
        holds=tuple(holds(work)),
        count=part.count,
        proof=_proof(source),
        fastener=_fastener(source, work, part),
        fixture_thickness=work.fixture_thickness,
        clearance_hole=work.clearance_hole,
        hole_diameter=work.hole_diameter,
        hole_depth=work.hole_depth,
        sides=work.sides,
        places=work.places,
        distances=work.distances,
        before_work=tuple(_before_work(source, newest)),
        on_site=steps.on_site(),
        steps=steps.all(),
        resin=steps.resin if work.progress.to_set else None,
        protective_equipment=steps.holding("protective_equipment") if tightening.is_open(work) else (),
        to_fill_in=form_of(work),
        cautions=_cautions(source),
        suspensions=tuple(job.suspensions),
        site_test=job.answer.get("site_test"),
        minutes=minutes_of(part),
    )
    return fixing, part


def _working(resin: Resin | None) -> Figure | None:
    """The working time of the resin, the shortest of the table where no temperature is given."""
    if resin is None or resin.working is not None:
        return None if resin is None else resin.working
    return min((row.working for row in resin.rows), key=lambda figure: figure.number)


def _count(number: int, job: Job) -> Figure:
    if job.count is None:
        return Figure("count", 1, "count", expression="1")
    return Figure("count", job.count, "count", from_=f"#/counts/{number - 1}")


def _proof(source: Source) -> Proof:
    answer = source.answer
    governing = answer["governing"]
    used = None if governing is None else source.given("utilisation", "1", "#/answer/governing/utilisation")
    return Proof(
        record_id=answer["record"]["id"],
        engine=answer["record"]["engine"],
        assessed_on=answer["assessed_on"],
        utilisation=used,
        governing=None if governing is None else governing["mode"],
    )


def _fastener(source: Source, work: Work, part: Part) -> Fastener:
    chosen = source.answer["fastener"]
    return Fastener(
        family=chosen["family"],
        title=chosen["title"],
        mechanism=chosen["mechanism"],
        size=chosen["size"],
        setting="before_fixture" if work.tightened_below else source.selection.family["setting"],
        article_code=chosen["article_code"],
        length=work.length,
        embedment=work.embedment,
        per_fixing=part.fasteners,
    )


def _higher(rulebook: Rulebook, newest: str | None) -> str | None:
    return newest if newest is not None and order(newest) > order(rulebook.version) else None


def _before_work(source: Source, newest: str | None) -> Iterator[Line]:
    found = {caution.code: caution for caution in _cautions(source)}
    higher = _higher(source.rulebook, newest)
    if higher is not None:
        found["superseded"] = source.words.tell(
            "This sheet stands on version {version} of the rulebook, and {newest} is in force: figures may have been "
            "found wrong since. Before new work, have the fixing verified again under {newest}.",
            version=source.rulebook.version,
            newest=higher,
            code=SheetLineCode.SUPERSEDED,
        )
    for code in AT_THE_WALL:
        if code in found:
            yield found[code]
        if code == "sensitive_to_contact_stiffness" and code in found:
            yield source.words.tell(
                "This fixing holds only with a stiff fixture that bears over its whole face. If it "
                "rocks, stands on packers or lies on anything soft: stop and ask the engineer.",
                code=SheetLineCode.NEEDS_CONTACT,
            )


def _cautions(source: Source) -> tuple[Line, ...]:
    """The cautions of the record for crews; by which version it is superseded is a matter of today, not of its day."""
    return tuple(
        said(source, caution, CAUTIONS, f"#/answer/cautions/{index}")
        for index, caution in enumerate(source.answer["cautions"])
        if caution["code"] != "superseded"
    )
