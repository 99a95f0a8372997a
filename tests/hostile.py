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
