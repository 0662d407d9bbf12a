"""Tell whether two shafts can only turn together, so that one's standstill is the other's."""

from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Machine
from snath.quantities.errors import InputError
from snath.quantities.message import Message

SOLID = ("direct", "gear", "chain")  # kinds that cannot slip; a ratio counted by hand hides a belt


def turns_with(machine: Machine, shaft: str, other: str) -> bool:
    """Whether two shafts can only stop together: no belt, clutch or unknown joint between them.

    Raises
    ------
    InputError
        If the machine has no such shaft.
    """
    for name in (shaft, other):
        if name not in machine.shafts:
            raise InputError("shaft", name, Message("fault.shaft-of-sheet", known=tuple(machine.shafts)))
    if shaft == other:
        return True
    if machine.engine.clutch and CRANKSHAFT in (shaft, other):
        return False
    joints = {coupling.driven: coupling for coupling in machine.couplings}
    ours, theirs = _upwards(joints, shaft), _upwards(joints, other)
    # what both pass on the way to the crankshaft does not lie between them
    between = [joint for joint in ours if joint not in theirs] + [
        joint for joint in theirs if joint not in ours
    ]
    return all(joint.kind in SOLID for joint in between)


def _upwards(joints: dict[str, Coupling], shaft: str) -> list[Coupling]:
    """Couplings from a shaft up to the crankshaft."""
    found: list[Coupling] = []
    while shaft in joints and joints[shaft] not in found:
        found.append(joints[shaft])
        shaft = joints[shaft].driver
    return found
