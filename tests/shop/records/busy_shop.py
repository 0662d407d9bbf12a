"""A shop at work, as a process of its own: python -m tests.shop.records.busy_shop FOLDER [COUNT].

Saves COUNT versions over a few jobs, or until it is stopped, and says each one that is kept.
"""

import itertools
import sys
from pathlib import Path

from snath.decisions.reading.compared import Comparison
from snath.shop.media.comparisons import keep_comparison
from snath.shop.site.data_folder import DataFolder
from snath.shop.site.serve import bring_up_to_date, start_django


def main(folder: str, count: str = "") -> None:
    start_django(DataFolder(Path(folder)))
    bring_up_to_date()
    from django.contrib.sessions.backends.db import SessionStore

    from snath.shop.records import store
    from snath.shop.records.attachments import keep_recording
    from snath.shop.records.people import Person
    from tests.shop.records.shop_of_our_own import customer, job_json, machine, result_json

    who = Person.objects.local_owner()
    session = SessionStore()
    session["phone"] = "at the lift"
    session.save()
    jobs = [store.open_job(who, machine=machine(customer(name=f"Orchard {n} Ø ½"))) for n in range(3)]
    for number in range(int(count)) if count else itertools.count():
        job = jobs[number % 3]
        text = job_json(f"é {number}", rule=f"rule {number % 5}")
        version = store.save_version(job, text, result_json(), job.version, who)
        if number % 10 == 0:
            keep_recording([b"sound %d" % number], "x.wav", who, job=job)
            keep_comparison(Path(folder), Comparison("sound", 55 + number / 1000, 0.1, 55.0, 0.02, "tach-1"))
        print(version.pk, version.hash, flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
