"""The usual cautions, by hazard: what can hurt, what to do, and whose word goes before ours."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from netsolve.problems import Finding


@dataclass(frozen=True)
class Caution:
    """One hazard: its title, a short sentence beside findings, and all that there is to say; `ask` is whom to ask."""

    title: str
    short: str
    full: str
    ask: str


CAUTIONS: Mapping[str, Caution] = MappingProxyType(
    {
        "flooding": Caution(
            "Flooding",
            "close the seacock before you open a hose, and tag the starter",
            "Close the seacock before opening a hose, and tag the starter or the key. A check valve is "
            "neither a seacock nor a siphon break. Have a wooden plug at hand, never leave a hose open below "
            "the waterline, and do not work afloat on a seacock that you do not trust: a 3/4 in hose off at "
            "0.6 m lets in some 35 to 60 L/min.",
            "a boatyard or surveyor; haul the boat out",
        ),
        "engine_flooding": Caution(
            "Water in the engine",
            "water in the exhaust runs back into the cylinders: do not crank on with the seacock open",
            "Sea water that siphons or is pushed into the exhaust runs back into the cylinders. Close the "
            "seacock while you crank an engine that will not start, and drain the silencer; after water has "
            "been in it, do not turn the engine before it has been looked at.",
            "the engine's dealer",
        ),
        "hot": Caution(
            "Hot water and hot oil",
            "hot water and oil scald in seconds: let them cool, and take the pressure off",
            "Water of 60 degC scalds in seconds, and oil at its alarm is hotter. Let it cool, take the "
            "pressure off, wear gloves and goggles before you open a cap, a cooler or a hose.",
            "the maker's instructions",
        ),
        "oil": Caution(
            "Oil under pressure",
            "oil under pressure goes through skin: release it first, and never feel for a leak by hand",
            "Oil penetrates skin from about 7 bar, and looks trivial when it does: it is a surgical "
            "emergency, so say 'injection' at the hospital. Release the pressure, of accumulators too, and "
            "look for leaks with cardboard, not with a hand.",
            "a hydraulic specialist",
        ),
        "acid": Caution(
            "Acid",
            "acid for descaling: goggles, gloves, air, acid into water, never with bleach",
            "For descaling: goggles, gloves and fresh air; acid into water, never water into acid; "
            "bicarbonate at hand. It gives off gas, makes chlorine with bleach and hydrogen with zinc and "
            "aluminium, and eats aluminium, zinc and some stainless. Never leave the loop alone.",
            "the supplier's safety sheet; the cooler's maker",
        ),
        "exhaust": Caution(
            "Carbon monoxide and dry exhaust",
            "a rubber exhaust without water leaks within minutes: watch the stream, stop the engine when it stops",
            "A rubber exhaust that loses its water becomes a leak within minutes; diesels make carbon "
            "monoxide too. Watch the stream and the alarms, stop the engine when the water stops, and look at"
            " the hose's inner wall after it has been hot.",
            "the engine's dealer; codes on exhausts and carbon monoxide alarms",
        ),
        "fire": Caution(
            "Fire",
            "oil mist on a hot riser burns: have an extinguisher at hand",
            "Overheated hose, and oil mist on a hot riser, burn. Have an extinguisher at hand and shield hot parts.",
            "local fire codes",
        ),
        "rotating": Caution(
            "Rotating belts and shafts",
            "keep hands, clothes and buckets away from belts and shafts while the engine runs",
            "Pumps hang on belts, and shafts turn beside hoses. Keep the guards on, wear nothing loose, and "
            "make no bucket test beside a belt or a shaft.",
            "the engine's manual",
        ),
        "electric": Caution(
            "Electricity near water",
            "isolate the pump's supply before you work in a wet bilge",
            "Isolate the supply before you work on a pump in a wet bilge, and the battery beside a starter. "
            "Use a residual-current device, and in petrol spaces nothing that can spark.",
            "a marine electrician",
        ),
        "pressure_test": Caution(
            "Pressure tests",
            "test with water, not with air, and no higher than the maker allows",
            "Compressed air in a cooler is stored energy: test with water, at no more than the maker allows, "
            "and blow through with no more than 0.3 bar.",
            "a cooler workshop",
        ),
        "environment": Caution(
            "Oil and acid overboard",
            "let no oil, antifreeze or spent acid overboard",
            "Oily water, antifreeze and spent acid, which carries copper, belong ashore: catch them, "
            "neutralise the acid, and report a sheen where the law asks for it.",
            "the harbour authority; the waste carrier",
        ),
        "warranty": Caution(
            "Warranty, class and insurance",
            "ask the engine's maker in writing before you lead its water elsewhere",
            "Some makers void their warranty for what is teed off ahead of the engine's coolers. Have their "
            "word, and that of class and insurer, in writing first.",
            "the engine's maker; the class surveyor",
        ),
    }
)
"""The cautions by hazard, as rules name them."""


def cautions_of(findings: Iterable[Finding]) -> dict[str, Caution]:
    """The cautions that some findings call for, each once; those of mere notes are left out."""
    return named(hazard for each in findings if each.severity != "note" for hazard in each.cautions)


def named(hazards: Iterable[str]) -> dict[str, Caution]:
    """The cautions of some hazards, each once."""
    wanted = set(hazards)
    return {hazard: caution for hazard, caution in CAUTIONS.items() if hazard in wanted}


def readme() -> str:
    """The cautions in full, as the README lists them."""
    lines = (f"- **{each.title}.** {each.full} Ask: {each.ask}." for each in CAUTIONS.values())
    return "\n".join(lines)
