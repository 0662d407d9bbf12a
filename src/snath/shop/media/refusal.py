"""Why the decoder will not go on, in words for the person who chose the file."""


class RefusedError(Exception):
    """Ends the sentence "this file ...": "holds no sound that can be decoded"."""
