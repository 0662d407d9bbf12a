"""Everything a job says of what the machine does, as data for its sheet, and the pictures that go with it."""

from typing import Any

from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.shop.paper import governor_block, stop_block
from snath.shop.paper.bench_blocks import balance_rows, check_rows, setting_rows
from snath.shop.paper.thrown_block import thrown_rows
from snath.shop.pictures.voice import Voice


def running(job: Job, result: Result, voice: Voice) -> tuple[dict[str, Any], dict[str, str]]:
    """Data by part, empty where a part was not asked for, and its pictures by name."""
    asked, found = job.behaviour, result.behaviour
    governors = governor_block.governor_blocks(job, result, voice)
    stop = stop_block.stop_block(job, result, voice)
    pictures = {f"governor-{block.key}": block.picture.svg for block in governors if block.picture}
    if stop is not None:
        pictures["stop"] = stop.picture.svg
    data: dict[str, Any] = {
        "governors": [governor_block.placed(block) for block in governors],
        "setting": [setting_rows(found.setting, asked.setting.kind, voice)]
        if found.setting and asked.setting
        else [],
        "stop": [stop_block.placed(stop)] if stop else [],
        "thrown": [thrown_rows(found.throw, voice)] if found.throw else [],
        "balance": [balance_rows(found.balance, voice)] if found.balance else [],
        "checks": [check_rows(asked.checklist, found.checklist, voice, left_set=result.stands.left_set)]
        if asked.checklist and found.checklist
        else [],
    }
    return data, pictures
