"""Every address of the site by name, with real values in its places."""

from collections.abc import Iterator
from uuid import UUID

from django.urls import URLPattern, URLResolver, get_resolver, reverse

SOME_ID = UUID("11111111-1111-4111-8111-111111111111")


def names() -> list[str]:
    return sorted(_walk(get_resolver(), ""))


def _walk(resolver: URLResolver, space: str) -> Iterator[str]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLPattern):
            yield f"{space}{entry.name}"
        else:
            yield from _walk(entry, f"{entry.namespace}:" if entry.namespace else space)


def address(name: str, **known: object) -> str:
    """The address of that name; places are filled with what is known, else with what is not there."""
    values: dict[str, object] = {
        "key": SOME_ID, "record": SOME_ID, "number": 1, "version": 1, "code": "tach-1", "kind": "rule", "token": "none",
        "page": "jobs",
        **known
    }  # fmt: skip
    resolver = get_resolver()
    if ":" in name:
        space, short = name.split(":")
        resolver = next(
            entry for entry in resolver.url_patterns if getattr(entry, "namespace", None) == space
        )
    else:
        short = name
    places = resolver.reverse_dict.getlist(short)[0][0][0][1]
    return reverse(name, kwargs={place: values[place] for place in places})
