"""Find the jobs that a wrong instrument or rule touches."""

from django.db.models import QuerySet

from snath.shop.records.facts import TouchKind
from snath.shop.records.jobs import JobRecord


def jobs_touched(kind: TouchKind, key: str) -> QuerySet[JobRecord]:
    """Every job of which some version used that rule (its id) or instrument (its code), the newest first."""
    return (
        JobRecord.objects.filter(touches__kind=kind, touches__key=key)
        .select_related("machine", "customer")
        .order_by("-changed_at")
    )
