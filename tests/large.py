"""The text of a circuit with very many parts, each with values of its own."""

from __future__ import annotations

HEAD = """format: 1
circuit: a very large circuit
water: {{kind: sea, temperature: 14 degC, salinity: 34 g/kg}}
joints:
  sea: {{type: tank, level: 2 m}}
  bilge: {{type: tank, level: 0 m}}
runs:
"""

PER_RUN = 100


def large(parts: int) -> str:
    """A circuit of so many parts, a hundred to a run; every fourth has a need, every tenth is a strainer."""
    lines = [HEAD.replace("{{", "{").replace("}}", "}").rstrip("\n")]
    for number in range(parts):
        if number % PER_RUN == 0:
            lines += [f"  run {number // PER_RUN}:", "    from: sea", "    to: bilge", "    parts:"]
        lines.append(f"      - {part(number)}")
    lines += ["conditions:", "  winter: {water.temperature: 4 degC}", "  summer: {water.temperature: 20 degC}"]
    return "\n".join(lines) + "\n"


def part(number: int) -> str:
    """The text of one part."""
    if number % 10 == 9:
        return f"strainer {number}: {{type: strainer, cv: {4 + number % 50}, bore: {13 + number % 30} mm}}"
    need = f", min_flow: {1 + number % 7} L/min" if number % 4 == 0 else ""
    length = f"{0.5 + 0.001 * (number % 3000):.3f} m"
    return f"hose {number}: {{type: hose, bore: {13 + number % 30} mm, length: {length}{need}}}"
