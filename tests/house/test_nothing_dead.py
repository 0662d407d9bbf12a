"""Does the program call every function of the core, so that no published table tests a copy nobody uses?"""

import ast
from collections import Counter

from tests.house.sources import CORE, modules, short, tree

# Kept for the printed tables they read, though no page asks for those yet.
BY_NAME = {"groove_angle", "datum_width"}


def test_every_public_function_of_the_core_is_called_by_the_program():
    said = Counter[str]()
    for path in modules():
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Name):
                said[node.id] += 1
            elif isinstance(node, ast.Attribute):
                said[node.attr] += 1
    dead = {
        f"{short(path)}: {node.name}"
        for path in modules(*CORE)
        for node in tree(path).body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
        if not said[node.name] and node.name not in BY_NAME
    }
    assert dead == set()
