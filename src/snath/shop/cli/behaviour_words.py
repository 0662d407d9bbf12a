"""What the machine does beside its speed, in lines for the terminal, for a whole job."""

from collections.abc import Iterator

from snath.decisions.behaviour.behaviour import BehaviourResult
from snath.decisions.behaviour.checklist import Checked
from snath.decisions.behaviour.stop import StopResult
from snath.quantities.message import Amount, Message, term
from snath.shop.cli.answer import said
from snath.shop.cli.governor_words import governor_text, setting_lines


def behaviour_text(found: BehaviourResult) -> Iterator[str]:
    """One block for each question that was asked."""
    for name, governor in (
        (Message("terminal.governor-found"), found.governor_found),
        (Message("terminal.governor-left"), found.governor_left),
    ):
        if governor is not None:
            wish = found.wanted if governor is (found.governor_left or found.governor_found) else None
            yield "\n".join([said(name), *governor_text(governor, wish, None)])
    if found.setting is not None:
        yield "\n".join(setting_lines(found.setting))
    if found.stop is not None:
        yield "\n".join(_stop(found.stop))
    if found.balance is not None:
        force = Amount(found.balance.force, "force")
        head = Message("terminal.balance", force=force, times=found.balance.beside_blade)
        yield "\n".join([said(head), *map(said, found.balance.notes)])
    if found.throw is not None:
        energies = [
            Message(
                "terminal.energy", thing=one.thing, stage=one.stage, energy=Amount(one.energy_low, "energy")
            )
            for one in found.throw.carried
        ]
        yield "\n".join(map(said, (*energies, *found.throw.notes)))
    if found.checklist is not None:
        checked = found.checklist
        blocking = [Message("terminal.fault", fault=fault) for fault in checked.blocking]
        righted = [_put_right(item) for item in checked.items if item.state == "fault" and not item.blocks]
        waiting = [Message("terminal.open", check=text) for text in checked.open_before_setting]
        stages = tuple(term("stage", stage) for stage in checked.answered)
        before = Message("terminal.checked", stages=stages) if stages else Message("terminal.not-checked")
        done = Message("terminal.checks-done") if checked.may_set else Message("terminal.checks")
        lines = (before, checked.outcome or done, *blocking, *righted, *waiting, *checked.notes)
        yield "\n".join(map(said, lines))


def _put_right(item: Checked) -> Message:
    note = item.note or Message("terminal.a-fault")
    return Message("terminal.put-right", check=item.check.name, note=note, done=item.put_right, by=item.by)


def _stop(found: StopResult) -> Iterator[str]:
    yield said(Message("terminal.blade-stop", word=term("verdict-word", found.word)))
    yield from map(said, found.reasons)
    yield from (f"-> {said(step)}" for step in found.settle)
    yield from map(said, found.cautions)
