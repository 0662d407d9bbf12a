"""Show an answer that stands on a machine's window: its arithmetic and its picture."""

from typing import Any

from snath.decisions.job.job import Job
from snath.decisions.window.window import Window
from snath.face.shown import Shown
from snath.quantities.message import Message


class Windowed(Shown):
    """What every answer can do besides that has a window."""

    _job: Job

    @property
    def _window(self) -> Window:
        raise NotImplementedError

    @property
    def working(self) -> str:
        """The arithmetic of every limit that counts, line by line."""
        blocks = (
            (by, *(f"  {step}" for step in self._said(bound.working)))
            for bound in self._window.bounds
            if bound.worst
            for by in self._said([Message("terminal.by-rule", member=bound.member, rule=bound.rule)])
        )
        return "\n".join(line for block in dict.fromkeys(blocks) for line in block)

    def _picture(self) -> str:
        from snath.shop.pictures.window import window_picture

        return window_picture(self._window, self._voice(self._job), **self._marked()).svg

    def _marked(self) -> dict[str, Any]:
        """What stands in its picture beside the window."""
        return {}
