"""Which pages of the manual the bench shows, in which order, and which of them belongs to the task at hand."""

CONTENTS = "contents"
PAGES = (
    "mechanic",
    "quick-ask",
    "today",
    "jobs",
    "measure",
    "shelf",
    "teach",
)  # as docs/tasks and docs/de name them
OF_TASK = {
    "bench:ask": "quick-ask",
    "bench:today": "today",
    "bench:jobs": "jobs",
    "bench:measure": "measure",
    "bench:shelf": "shelf",
    "bench:teach": "teach",
}
