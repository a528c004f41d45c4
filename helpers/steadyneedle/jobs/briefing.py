"""What is known of a job before the first test, in sentences: the customer, the past, the regulator, the gauge."""

from __future__ import annotations

from steadyneedle.jobs.mystery import Job
from steadyneedle.physics.si import BAR


def what_is_known(one: Job) -> tuple[str, ...]:
    """All that is known before the first test.

    >>> from steadyneedle.jobs.mystery import job
    >>> what_is_known(job(1))[1]
    'Juniper, balanced diaphragm. The gauge reads to 0.05 bar, class 0.6. All of it is invented.'
    """
    from steadyneedle.bench import regulators
    from steadyneedle.bench.diagnosis.gauge_kinds import gauge_kind

    gauge = gauge_kind(one.gauge)
    return (
        f"The customer says: “{one.complaint}” {one.history}",
        f"{one.design}, {regulators.in_words(one.design)}. The gauge reads to {gauge.division / BAR:g} bar, "
        f"class {gauge.class_percent:g}. All of it is invented.",
    )
