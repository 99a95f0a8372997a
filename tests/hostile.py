"""Names that try to be more than text, and a circuit in which every text is one of them."""

from __future__ import annotations

HOSTILE = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "</title></style><injected>",
    "]]> --> <!--",
    "a ' onmouseover='alert(1)",
    "javascript;alert(1)//",
    "&lt;already&gt; &amp;",
    "red [/red] [bold]",
    "feed -> return; } digraph { x",
    "back\\N slash\\G \\l end\\",
    "{{ 7 * 7 }} {% raw %}",
]

_NOT_IN_NAMES = ".,:=#[]{}"


def as_name(words: str) -> str:
    """The words as a name may hold them."""
    kept = " ".join("".join(char for char in words if char not in _NOT_IN_NAMES).split())
    return kept.lstrip("-?*&!%@|>'\"` ")


def hostile_circuit(words: str) -> str:
    """A circuit whose every name, note and free text holds the words."""
    free, name = _quoted(words), as_name(words)
    names = {role: _quoted(f"{role} {name}") for role in ("sea", "tee", "out", "over", "feed", "main", "branch")}
    parts = {role: _quoted(f"{role} {name}") for role in ("pump", "screen", "cooler", "coil")}
    return f"""format: 1
circuit: {free}
about: {{asked: {free}}}
joints:
  {names["sea"]}: {{type: tank, level: 3 m, note: {free}}}
  {names["tee"]}: {{type: manifold, height: 0 m}}
  {names["out"]}: {{type: tank, level: 0 m}}
  {names["over"]}: {{type: tank, level: 0 m}}
runs:
  {names["feed"]}:
    from: {names["sea"]}
    to: {names["tee"]}
    parts:
      - {parts["pump"]}: {{type: loss, k: 2, bore: 20 mm, note: {free}}}
      - {parts["screen"]}: {{type: loss, k: 4, bore: 20 mm, fitted: no, note: {free}}}
  {names["main"]}:
    from: {names["tee"]}
    to: {names["out"]}
    parts:
      - {parts["cooler"]}: {{type: loss, k: 5, bore: 16 mm, min_flow: 60 L/min}}
  {names["branch"]}:
    from: {names["tee"]}
    to: {names["over"]}
    parts:
      - {parts["coil"]}: {{type: loss, k: 9, bore: 16 mm, min_flow: 90 L/min}}
conditions:
  {_quoted("idle " + name)}: {{}}
  {_quoted("full " + name)}: {{}}
changes:
  {_quoted("change " + name)}: {{fit: {parts["screen"]}}}
"""


def _quoted(words: str) -> str:
    return "'" + words.replace("'", "''") + "'"


AWKWARD = [
    "Smith & \"Sons\" 'n' <b>",
    "Kapitaensmuetzenabzeichenverleihungsurkunde" * 4,
    "crab \N{CRAB} boat \N{SAILBOAT}",
    "\N{RIGHT-TO-LEFT OVERRIDE}pump\N{POP DIRECTIONAL FORMATTING} \N{RIGHT-TO-LEFT MARK}end",
]
"""Names that are hard to show: marks of HTML, a word wider than any page, pictures as letters, marks that turn text."""


def hostile_boat(words: str) -> str:
    """A circuit with engine, oil, cooler and strainers whose every name and note holds the words."""
    free, name = _quoted(words), as_name(words)

    def called(role: str, end: str = "") -> str:
        return _quoted(f"{role} {name}{end}")

    heat = f"volume: 60 L, heat: 3 kW, alarm: 71 degC, metal: 40 kg, start: 20 degC, air: 30 degC, note: {free}"
    coil = f"bore: 13.8 mm, length: 8 m, coil_diameter: 250 mm, min_flow: 18 L/min, ua: 90 W/K, note: {free}"
    return f"""format: 1
circuit: {free}
about: {{asked: {free}}}
engines: {{{called("main")}: {{speed: 2000 rpm, rated_speed: 2000 rpm}}}}
oils: {{{called("oil")}: {{{heat}}}}}
joints:
  {called("sea")}: {{type: sea_inlet, height: -0.5 m, bore: 38 mm, note: {free}}}
  {called("tee")}: {{type: tee, bore: 32 mm, branch_bore: 16 mm, height: 0.1 m}}
  {called("exhaust")}: {{type: exhaust_injection, height: 0.35 m, bore: 32 mm}}
  {called("over")}: {{type: discharge, height: 0.2 m, bore: 16 mm}}
runs:
  {called("suction")}:
    from: {called("sea")}
    to: {called("tee", ".common")}
    parts:
      - {called("strainer")}: {{type: strainer, cv: 40, bore: 38 mm, note: {free}}}
      - {called("pump")}: {{type: impeller_pump, rated_flow: 150 L/min, rated_speed: 2000 rpm, height: 0 m}}
  {called("engine")}:
    from: {called("tee", ".straight")}
    to: {called("exhaust")}
    parts:
      - {called("engine cooler")}: {{type: heat_exchanger, drop: 20 kPa, at: 100 L/min, min_flow: 30 L/min}}
  {called("branch")}:
    from: {called("tee", ".branch")}
    to: {called("over")}
    parts:
      - {called("screen")}: {{type: strainer, cv: 8, bore: 16 mm, fitted: no}}
      - {called("coil")}: {{type: cooling_coil, cools: {called("oil")}, {coil}}}
conditions:
  {called("idle")}: {{{called("main", ".speed")}: 800 rpm}}
  {called("full")}: {{}}
changes:
  {called("change")}: {{fit: {called("screen")}}}
"""


def hostile_readings(words: str) -> str:
    """What was read on that boat."""
    free, name = _quoted(words), as_name(words)
    full = f"condition: {_quoted(f'full {name}')}"
    return f"""readings:
  - {{bucket: {_quoted(f"branch {name}")}, {full}, volume: 10 L, took: 90 s, note: {free}}}
  - {{contents: {_quoted(f"strainer {name}")}, {full}, found: half}}
  - {{temperature: {_quoted(f"oil {name}")}, {full}, value: 60 degC}}
"""
