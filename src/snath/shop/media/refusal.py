"""Say why the decoder will not go on, for the person who chose the file."""

from snath.quantities.message import Message


class RefusedError(Exception):
    """Ends the sentence "this file ...": "holds no sound that can be decoded"."""

    def __init__(self, why: Message) -> None:
        super().__init__(repr(why))
        self.why = why
