"""`snath key`: keys by which other programs may ask the bench."""

from datetime import date
from pathlib import Path
from typing import Any

import click

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.cli.answer import answer, answers_plainly
from snath.shop.cli.common import one_of
from snath.shop.cli.shop_data import data_option, shop


@click.command()
@click.argument("do", type=click.Choice(["make", "list", "withdraw"]))
@click.argument("name", required=False)
@click.option(
    "--person", help="Who works here and for whom it asks; the owner at this machine where left out."
)
@one_of(
    "--scope",
    "work",
    "read",
    "make",
    told="work: only work something out; read: also list jobs and machines; make: also open jobs.",
)
@click.option("--days", type=int, default=90, show_default=True, help="How long it holds.")
@data_option
@answers_plainly
def key(
    do: str, name: str | None, person: str | None, scope: str, days: int, data: Path | None, as_json: bool
) -> None:
    """Make a key NAME, shown once and kept as its hash; list keys; or withdraw the one named by its id."""
    with shop(data, alone=False):
        from snath.shop.records.api_keys import ApiKey, Scope  # these need a started framework
        from snath.shop.records.keys import make_key, withdraw_key
        from snath.shop.records.people import Person

        owner = Person.objects.local_owner()
        if do == "list":
            rows = [_row(one) for one in ApiKey.objects.select_related("person").order_by("made_at")]
            lines = [" ".join(str(part) for part in row.values()) for row in rows] or ["No key yet."]
            answer({"keys": rows}, "\n".join(lines), as_json=as_json)
        if not name:
            raise InputError("name", "nothing", Message("records.key-name-needed"))
        if do == "withdraw":
            found = [one for one in ApiKey.objects.select_related("person") if str(one.pk) == name]
            if not found:
                raise InputError("name", name, Message("records.key-id"))
            withdraw_key(found[0], owner)
            answer(_row(found[0]), "Withdrawn.", as_json=as_json)
        who = Person.objects.filter(name=person).first() if person else owner
        if who is None:
            raise InputError("person", person, Message("records.somebody-here"))
        made, text = make_key(who, name, Scope(scope), days, owner)
        told = f"{text}\nIt is shown only now. It holds until {made.ends_at.date()}; its id is {made.pk}."
        answer({**_row(made), "key": text}, told, as_json=as_json)


def _row(one: Any) -> dict[str, Any]:
    def day(moment: Any) -> str | None:
        return None if moment is None else date.isoformat(moment.date())

    return {
        "id": str(one.pk),
        "name": one.name,
        "person": one.person.name,
        "scope": one.scope,
        "holds": one.holds,
        "ends": day(one.ends_at),
        "used": day(one.used_at),
        "withdrawn": day(one.withdrawn_at),
    }
