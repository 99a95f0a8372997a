"""The report: one page of HTML that needs nothing but itself, to be kept, sent and printed."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from netsolve.cautions import CAUTIONS
from netsolve.circuit import AS_FOUND
from netsolve.problems import Finding, printable
from netsolve.progress import counted
from netsolve.result import Result, RowResult
from netsolve.study.comparison import UNSETTLED, compare
from netsolve.study.margin import Margins
from netsolve.study.outlook import Outlook
from netsolve.study.warm_up import warm_ups
from netsolve.views import effects, headline, method, parts_list, wording
from netsolve.views.chart_svg import charts_svg
from netsolve.views.gathered import lacking, severest
from netsolve.views.heat import LEFT_OUT, sentence
from netsolve.views.heat_chart import heat_charts
from netsolve.views.lines import pressure_lines
from netsolve.views.margin_table import margin_items
from netsolve.views.markup import tied
from netsolve.views.palette import verdict_looks
from netsolve.views.picture import svg
from netsolve.views.provenance import assumed_lines
from netsolve.views.readings import expected
from netsolve.views.scene import as_found, scene, written_row
from netsolve.views.sheet import Section

MOST_PICTURES = 300_000
"""Characters of pictures after which changes are no longer drawn, so that the page stays one that can be sent."""


@dataclass(frozen=True, slots=True)
class Gets:
    """What a part gets in one condition: flow and verdict in words, and the verdict itself for its look."""

    condition: str
    flow: str
    need: str
    verdict: str | None


def report(
    result: Result,
    *,
    system: str = "metric",
    made_from: str = "",
    margins: Margins | None = None,
    outlooks: Sequence[Sequence[Outlook]] = (),
    more: Sequence[Section] = (),
) -> str:
    """The page as HTML. `made_from` says which file, and which state of it, the answer is of.

    `margins` are those as found, `outlooks` what becomes of the oils in each row, where these are wanted;
    `more` are further sections.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined

    page = Environment(
        loader=PackageLoader("netsolve.views", "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_harmless,
    )
    page.filters |= {"word": wording.word, "said": wording.said, "sentence": wording.sentence}
    charts = heat_charts(warm_ups(result))
    style = page.get_template("report.css").render(looks=verdict_looks())
    hashed = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return page.get_template("report.html").render(
        style=style,
        style_hash=hashed,
        margins=margin_items(margins, system) if margins else [],
        missed=[each.need for each in margins.missed] if margins else [],
        oils=[
            (wording.situation(row), sentence(each, row, system))
            for row, oils in zip(result, outlooks, strict=False)
            for each in oils
        ],
        left_out=LEFT_OUT,
        more=list(zip(_places(more), more, strict=True)),
        more_links=list(_first_of_each(more)),
        warm_up=charts_svg(charts, "Temperature over time", system, name="heat") if charts else "",
        **_sections(result, system, made_from),
    )


def _places(more: Sequence[Section]) -> list[str]:
    """The ids of further sections."""
    return [f"more{number}" for number in range(len(more))]


def _first_of_each(more: Sequence[Section]) -> Iterator[tuple[str, str]]:
    """Where each topic of the further sections begins, and its name: what stands before the colon."""
    seen: set[str] = set()
    for place, section in zip(_places(more), more, strict=True):
        topic = section.title.partition(":")[0]
        if topic not in seen:
            seen.add(topic)
            yield place, topic


def _harmless(value: Any) -> Any:
    """Text without control characters, numbers tied to their units; what is already HTML stays as it is."""
    return tied(printable(value)) if type(value) is str else value


def _sections(result: Result, system: str, made_from: str) -> dict[str, Any]:
    """What each section of the page says, by the name that the template calls it."""
    found = [row for row in result if row.change == AS_FOUND]
    worst = min(found or result.rows, key=wording.worst)
    drawn = found or result.rows
    pictures = [
        _pictured(result, row, system, f"c{place}") for place, row in counted(enumerate(drawn), "pictures", len(drawn))
    ]
    changes = list(_changes(result, system, MOST_PICTURES - sum(each.size for each in pictures)))
    return {
        "circuit": result.circuit,
        "made_from": made_from,
        "count": wording.trouble(result),
        "worst": worst,
        "finding": headline.of_row(worst, system=system),
        "blame": headline.to_blame(worst),
        "needs": _needs(found or result.rows, system),
        "conditions": [row.condition for row in found or result.rows],
        "changes": changes,
        "pictures": pictures,
        "findings": _findings(result),
        "parts": parts_list.fitted_parts(result.states[0], system),
        "assumed": [wording.sentence(line) for line in assumed_lines(result, system)],
        "lacking": [f"{parameter} of {', '.join(things)}" for parameter, things in lacking(result).items()],
        "cautions": list(CAUTIONS.values()),
        "silenced": [code for code, limit in result.circuit.limits.items() if limit == "off"],
        "versions": method.versions(),
        "balances": method.balances(result, system),
        "water": method.water(result.states[0], system),
        "sources": method.sources(result),
        "readings": expected(found or result.rows, system),
        "unsettled": [(row, wording.not_settled(row, system)) for row in result if not row.settled],
    }


@dataclass(frozen=True, slots=True)
class Pictured:
    """A row as a picture and as pressure lines."""

    condition: str
    picture: str
    lines: Sequence[str]

    @property
    def size(self) -> int:
        """How many characters they are."""
        return len(self.picture) + sum(map(len, self.lines))


def _pictured(result: Result, row: RowResult, system: str, name: str) -> Pictured:
    shown = scene(result, condition=row.condition, change=row.change, system=system)
    lines = pressure_lines(result, row, system=system, name=f"{name}-line")
    return Pictured(row.condition, svg(shown, name=name), lines)


def _needs(rows: Sequence[RowResult], system: str) -> list[tuple[str, list[Gets]]]:
    """For each part with a need what it gets in each condition; `not settled` where there is no answer."""
    names = dict.fromkeys(part.name for row in rows for part in wording.needy(row))
    return [(name, [_gets(row, name, system) for row in rows]) for name in names]


def _gets(row: RowResult, name: str, system: str) -> Gets:
    part = row.parts.get(name)
    if not row.settled or part is None:
        return Gets(row.condition, "no answer", "", UNSETTLED)
    return Gets(row.condition, wording.flow(part.flow, system), wording.need(part, system), part.verdict)


@dataclass(frozen=True, slots=True)
class ChangeShown:
    """A change on the page: its finding, what to do, its effect on every need, its pictures or none."""

    name: str
    finding: str
    to_do: Sequence[parts_list.Item]
    lines: Sequence[effects.Line]
    pictured: Pictured | None


def _changes(result: Result, system: str, room: int) -> Iterator[ChangeShown]:
    every = compare(result)
    for place, change in enumerate(dict.fromkeys(row.change for row in result if row.change != AS_FOUND)):
        rows = [row for row in result if row.change == change]
        row = min(rows, key=wording.worst)
        before = as_found(result, row)
        if before is None:
            continue
        pictured = _pictured(result, row, system, f"x{place}")
        room -= pictured.size
        yield ChangeShown(
            change,
            headline.of_change(before, row, every, system=system),
            _to_do(result, before, row, system),
            [effects.line(each, system) for each in every if each.change == change],
            pictured if room > 0 else None,
        )


def _to_do(result: Result, before: RowResult, row: RowResult, system: str) -> list[parts_list.Item]:
    first, last = written_row(result.circuit, before), written_row(result.circuit, row)
    return parts_list.to_do(first, last, system) if first and last else []


@dataclass(frozen=True, slots=True)
class Found:
    """A finding with the other rows in which the same is found."""

    finding: Finding
    first: str
    also: Sequence[str]


def _findings(result: Result) -> list[Found]:
    """Each finding once, as it is where it is worst; the worst first."""
    groups: dict[tuple[str, str], list[tuple[Finding, str]]] = {}
    for row in result:
        for finding in row.findings:
            if not finding.lacks:
                groups.setdefault((finding.code, finding.about), []).append((finding, wording.situation(row)))
    found = [_worst_first(each) for each in groups.values()]
    return sorted(found, key=lambda each: wording.SEVERITIES.index(each.finding.severity))


def _worst_first(found: Sequence[tuple[Finding, str]]) -> Found:
    """Like findings as one: the first of those that are worst, then where else it is found."""
    worst = min(found, key=lambda pair: severest(pair[0]))
    return Found(worst[0], worst[1], [where for finding, where in found if finding is not worst[0]])
