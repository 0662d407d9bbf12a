"""Times are benchmarks, states are tests: every benchmark loads, and no test asserts a time by the clock."""

import ast

from benchmarks.__main__ import names
from tests.house.sources import ROOT, tree

CLOCKS = {"perf_counter", "perf_counter_ns", "monotonic", "monotonic_ns", "process_time"}


def test_every_benchmark_loads_with_the_program_as_it_is():
    assert {"sound", "recordings", "web"} <= set(names())  # a module that no longer fits it fails on import


def test_no_test_asserts_a_time_by_the_clock():
    found = [
        f"{path.relative_to(ROOT)}:{node.lineno}"
        for path in sorted((ROOT / "tests").rglob("test_*.py"))
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Assert)
        and any(isinstance(part, ast.Attribute) and part.attr in CLOCKS for part in ast.walk(node))
    ]
    assert found == []
