"""A long series in as few points as a picture can show, with none of its peaks lost."""


def decimated(xs: tuple[float, ...], ys: tuple[float, ...], buckets: int) -> list[tuple[float, float]]:
    """A long series as at most four points a bucket (first, lowest, highest, last): no peak is lost."""
    if len(xs) <= 4 * buckets:
        return list(zip(xs, ys, strict=True))
    kept: list[int] = []
    for bucket in range(buckets):
        members = range(bucket * len(xs) // buckets, (bucket + 1) * len(xs) // buckets)
        extremes = {
            members[0],
            members[-1],
            min(members, key=ys.__getitem__),
            max(members, key=ys.__getitem__),
        }
        kept.extend(sorted(extremes))
    return [(xs[i], ys[i]) for i in kept]
