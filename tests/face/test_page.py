"""The page on Python: every example on it runs, one after the other, as a reader would type them."""

import re
from pathlib import Path

EXAMPLE = re.compile(r"```python\n(.*?)```", re.DOTALL)


def test_every_example_of_the_page_runs(capsys):
    examples = EXAMPLE.findall(Path("docs/python.md").read_text("utf-8"))
    names: dict[str, object] = {}
    for example in examples:
        exec(compile(example, "docs/python.md", "exec"), names)
    assert len(examples) == 7
    assert "19,000 ft/min" in capsys.readouterr().out
