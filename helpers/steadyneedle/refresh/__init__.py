"""Lessons and computed datasets afresh, in the repository. `computed` is for the datasets; it loads the whole rig."""

from steadyneedle.refresh.lessons import KERNEL_WARNINGS, difference, refresh, run

__all__ = ["KERNEL_WARNINGS", "difference", "refresh", "run"]
