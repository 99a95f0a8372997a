"""A feed or a draw whose flow is known."""

from netsolve.plugin import Array, Joint, quantity


class FixedFlow(Joint):
    """A metered feed or draw: its flow enters the circuit (or leaves, if negative) whatever the pressure."""

    flow: float = quantity("flow", "flow into the circuit; out of it is negative", shown="L/min")

    sources = ("conservation of mass: the flow is imposed, as by a metering pump or a flow meter's reading",)

    def inflow(self) -> Array | float:
        """The flow fed in, m3/s."""
        return self.flow
