"""Does one reader make what each question on a machine's behaviour asks, wherever it was typed?"""

import ast

from tests.house.sources import modules, short, tree

READER = "src/snath/decisions/behaviour/from_tables.py"
MADE = {
    "GovernorInput",
    "Alternator",
    "SettingInput",
    "SettingPoint",
    "StopInput",
    "ThrowInput",
    "BalanceInput",
}
INVENTED = "src/snath/shop/bench/demo/"  # what the demo shop has looked at was typed by nobody


def test_no_second_reader_makes_the_input_of_a_decision():
    made = {
        f"{short(path)}: {node.func.id}"
        for path in modules()
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in MADE
        if short(path) != READER and not short(path).startswith(INVENTED)
    }
    assert made == set()
