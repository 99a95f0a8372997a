"""The ends of runs: which port of which joint each one takes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from netsolve.circuit import End, Run
from netsolve.component import Joint
from netsolve.reading.complaints import Complaints
from netsolve.reading.naming import Names, did_you_mean, fold, tidy
from netsolve.reading.written import Written
from netsolve.source import Node, Text, cut_short

_OTHER_JOINT = "lead one of its ends to another joint"


@dataclass
class Ends:
    """Reads the ends of runs; every use of a port is kept, to see which is taken twice."""

    names: Names
    joints: Mapping[str, Written]
    complaints: Complaints
    uses: list[tuple[End, str, Text]] = field(default_factory=list)

    def end(self, node: Node | None, key: str, run: Text) -> End | None:
        """The end of a run, or None after telling why there is none."""
        name = tidy(run.value)
        if node is None:
            message = f"run '{name}' has no '{key}'"
            self.complaints.error("missing-parameter", message, f"add {key}: and a joint", run.span)
            return None
        if not isinstance(node, Text) or not node.value.strip():
            message = f"'{key}' of run '{name}' is the name of a joint"
            self.complaints.error("not-a-name", message, f"write {key}: joint, or {key}: joint.port", node.span)
            return None
        end = self._resolved(node, name)
        if end is not None:
            self.uses.append((end, name, node))
        return end

    def _resolved(self, node: Text, run: str) -> End | None:
        written, _, port = (piece.strip() for piece in node.value.partition("."))
        found = self.names.find(written)
        if found is None and self.names.is_refused(node.value):
            return None
        if found is None or found.what != "joint":
            self._tell_no_joint(node, written, found.what if found else "")
            return None
        joint = self.joints.get(found.name)
        if joint is None or joint.model is None or not issubclass(joint.model, Joint):
            return End(found.name, port or run)  # what is wrong with it has been told
        return self._port(node, joint, joint.model.ports, port=port, run=run)

    def _tell_no_joint(self, node: Text, written: str, what: str) -> None:
        help = did_you_mean(written, self.names.of("joint"), "write it under joints")
        message = f"there is no joint '{written}'"
        if what:
            message, help = (
                f"'{written}' is a {what}, and a run ends at joints",
                "name the joint that it leads to",
            )
        if cut_off := cut_short(node):
            help = f"' #' begins a comment, so '{cut_off}' is cut off"
        self.complaints.error("unknown-joint", message, help, node.span)

    def _port(self, node: Text, joint: Written, ports: tuple[str, ...], *, port: str, run: str) -> End | None:
        named = {fold(each): each for each in ports}
        if not ports and fold(port) in ("", fold(run)):
            return End(joint.name, run)
        if not ports:
            help = f"write {joint.name}"
            message = f"'{joint.name}' takes any number of runs and has no port '{port}'"
        elif not port and len(ports) == 1:
            return End(joint.name, ports[0])
        elif fold(port) in named:
            return End(joint.name, named[fold(port)])
        elif not port:
            help = f"write {' or '.join(f'{joint.name}.{each}' for each in ports)}"
            message = f"'{joint.name}' has several ports: say which one"
        else:
            message = f"'{joint.name}' has no port '{port}'"
            help = did_you_mean(port, ports, f"its ports are {', '.join(ports)}")
        self.complaints.error("unknown-port", message, help, node.span)
        return None

    def check_ports(self, runs: Mapping[str, Run]) -> None:
        """Tell of every port taken twice by runs that are not blanked."""
        first: dict[End, tuple[str, Text]] = {}
        for end, run, node in self.uses:
            if run in runs and runs[run].blanked:
                continue
            before, place = first.setdefault(end, (run, node))
            if place is node:
                continue
            if before == run:
                message = f"run '{run}' begins and ends at the same port, {end}"
                self.complaints.error("port-twice", message, _OTHER_JOINT, node.span, place.span)
                continue
            message = f"runs '{before}' and '{run}' take the same port, {end}"
            self.complaints.error("port-twice", message, self._way_out(end), node.span, place.span)

    def _way_out(self, end: End) -> str:
        """What to do where a port is wanted twice; a joint with one port has no other to offer."""
        model = self.joints[end.joint].model
        ports = model.ports if model is not None and issubclass(model, Joint) else ()
        first = "branch at a tee or manifold" if len(ports) == 1 else "give each run its own port"
        return f"{first}; an alternative route is blanked: yes"


def clash(runs: Iterable[Run]) -> tuple[End, str, str] | None:
    """A port that two open runs share, with their names, or None."""
    taken: dict[End, str] = {}
    for run in runs:
        for end in () if run.blanked else (run.source, run.target):
            if end in taken:
                return end, taken[end], run.name
            taken[end] = run.name
    return None
