"""Soil, part and method: what works, what harms, what a plan leaves, and the best plan."""

from __future__ import annotations

from steadyneedle.bench.cleaning.baths import BathCourse, bath_course
from steadyneedle.bench.cleaning.best import BestPlan, best_plan
from steadyneedle.bench.cleaning.best_method import GridCell, cell
from steadyneedle.bench.cleaning.catalogue import methods, parts, soils
from steadyneedle.bench.cleaning.cautions import oxygen_service, ultrasonic_times
from steadyneedle.bench.cleaning.harm_rules import Rules
from steadyneedle.bench.cleaning.judged import OUTCOMES, PlanVerdict, judge_plan
from steadyneedle.bench.cleaning.own_rules import CleaningRulesError, read_rules
from steadyneedle.bench.cleaning.scratching import Scratching, hardnesses, scratch
from steadyneedle.bench.cleaning.steps import CleaningStep as Step

__all__ = [
    "OUTCOMES",
    "BathCourse",
    "BestPlan",
    "CleaningRulesError",
    "GridCell",
    "PlanVerdict",
    "Rules",
    "Scratching",
    "Step",
    "bath_course",
    "best_plan",
    "cell",
    "hardnesses",
    "judge_plan",
    "methods",
    "oxygen_service",
    "parts",
    "read_rules",
    "scratch",
    "soils",
    "ultrasonic_times",
]
