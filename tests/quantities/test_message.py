"""A message is a fact: it compares by code and values, survives being kept, and never becomes text by itself."""

import pickle
from dataclasses import asdict

import pytest
from pydantic import TypeAdapter

from snath.quantities.errors import InputError
from snath.quantities.message import Amount, Message, term

LOWER = Message("settle.lower", by=Amount(0.5, "rotation"), who=("deck", Message("name.engine")), times=3)


def test_it_equals_the_same_fact_and_no_text():
    again = Message("settle.lower", by=Amount(0.5, "rotation"), who=("deck", Message("name.engine")), times=3)
    assert again == LOWER
    assert hash(again) == hash(LOWER)
    assert Message("settle.lower", by=Amount(0.6, "rotation")) != LOWER
    assert LOWER not in ("settle.lower", repr(LOWER))


@pytest.mark.parametrize("printed", [str, "{}".format, lambda message: f"why: {message}"])
def test_printing_one_is_a_fault_of_ours_that_shows(printed):
    with pytest.raises(TypeError, match=r"settle\.lower"):
        printed(LOWER)


def test_it_is_kept_as_code_and_values_and_comes_back_the_same():
    kept = TypeAdapter(Message).dump_json(LOWER)
    assert TypeAdapter(Message | str).validate_json(kept) == LOWER
    assert pickle.loads(pickle.dumps(LOWER)) == LOWER
    assert asdict(LOWER)["values"]["by"] == {"value": 0.5, "kind": "rotation"}


def test_a_fault_names_its_code_where_nobody_says_it():
    assert str(InputError("sheet", "x", Message("fault.at-line", fault="y", line=2))) == (
        "sheet = x: fault.at-line(fault='y', line=2)"
    )


def test_a_term_is_a_message_of_its_group():
    assert term("name", "engine maker") == Message("name.engine-maker")
