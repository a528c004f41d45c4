"""The low-pressure ports of a first stage: what leaves them, and the pressure that gauge and second stage meet. SI."""

from __future__ import annotations

import math

from steadyneedle.physics.passage import CRITICAL, REST, loaded_ratio, loaded_slope
from steadyneedle.physics.plain import CHOKED, R, flow
from steadyneedle.physics.plant import SENSED, Modes, Plant, Settings
from steadyneedle.physics.si import BAR

STEPS, CLOSE = 40, 1e-14
"""Steps of Newton's method at most, and how near in m2 is near enough."""

SOFT = 0.05 * BAR
"""Pa beyond its opening pressure over which a second stage's soft seat opens ever faster, then in proportion."""


class Ports:
    """What leaves the ports of a first stage between two snaps, and the pressure at them, behind the passage."""

    def __init__(self, plant: Plant, settings: Settings, modes: Modes) -> None:
        openings = plant.openings(settings, modes)
        area = sum(size for place, size in openings.items() if place not in SENSED)
        widest = area + plant.second.purge_area
        passage, bench = plant.stage.passage, plant.bench
        self.passage, self.ambient = CHOKED * passage, settings.ambient
        self.opens = plant.opening(settings) if modes.weeping else math.inf
        self.area, self.through = area, passage
        self.slope, self.fully = plant.second.opens, plant.second.purge_area
        self.loaded = CHOKED * area * loaded_ratio(area / passage)
        self.widest = CHOKED * widest * loaded_ratio(widest / passage)
        self.breath, self.breath_start = 2 * math.pi * bench.breath_rate, settings.breath_start
        # the height of half a sine that holds one breath: volume x frequency / 2
        height = 0.5 * self.breath * bench.breath_volume * settings.ambient / (R * plant.room)
        self.demand = settings.demand * height

    def flow(self, t: float, ip: float, root: float) -> float:
        """Mass flow out of all of them [kg/s]; `root` is that of the gas's temperature [K^0.5]."""
        out = flow(self.loaded / root, ip, self.ambient)
        if self.demand:
            wanted = self.demand * math.sin(self.breath * (t - self.breath_start))
            if wanted > 0.0:
                # where the hose stands below the surroundings there is nothing to breathe, and nothing breathed back
                out = min(out + wanted, max(out, flow(self.widest / root, ip, self.ambient)))
        if ip > self.opens and (more := self.opened(ip)):
            area = self.area + more
            out = max(out, CHOKED * area * loaded_ratio(area / self.through) / root * ip)
        return out

    def opened(self, ip: float) -> float:
        """How far the second stage stands open by itself [m2], with `ip` in the sensed chamber.

        The wider it opens, the more the passage loses, and the less opens it: one equation that rises throughout, so
        that Newton's steps are kept between what is too little and what is too much. Its seat is soft: it opens gently.
        """
        area, least, most = 0.0, 0.0, self.fully
        for _ in range(STEPS):
            widths = (self.area + area) / self.through
            ratio = loaded_ratio(widths)
            over = ip * ratio - self.opens
            if over <= 0.0:
                wanted = steeper = 0.0
            elif over < SOFT:
                wanted, steeper = self.slope * over * over / (2.0 * SOFT), self.slope * over / SOFT
            else:
                wanted, steeper = self.slope * (over - SOFT / 2.0), self.slope
            if wanted > self.fully:
                wanted, steeper = self.fully, 0.0
            missing = wanted - area
            if abs(missing) < CLOSE:
                break
            least, most = (area, most) if missing > 0.0 else (least, area)
            area += missing / (1.0 - steeper * ip * loaded_slope(widths, ratio) / self.through)
            if not least < area < most:
                area = 0.5 * (least + most)
        return area

    def pressure(self, t: float, ip: float, root: float) -> float:
        """Absolute pressure at the ports [Pa], for an absolute pressure `ip` in the sensed chamber."""
        part = self.flow(t, ip, root) * root / (self.passage * ip)
        if part < 0.0:
            return min(ip * _against(-part), self.ambient)
        return ip * (CRITICAL + REST * math.sqrt(1.0 - part * part)) if part < 1.0 else ip * CRITICAL


def _against(part: float) -> float:
    """How many times the chamber's pressure stands at ports through which the surroundings fill it.

    `part` is the flow inward, as a share of what chokes with the chamber's pressure before the passage. The passage's
    law, chamber / ports = C + (1 - C) sqrt(1 - (part / times)^2), solved for the ports.

    >>> _against(0.0), round(_against(0.5), 3), _against(3.0)
    (1.0, 1.059, 3.0)
    """
    under = CRITICAL**2 - (2 * CRITICAL - 1) * (1 + (REST * part) ** 2)
    times = (CRITICAL - math.sqrt(max(under, 0.0))) / (2 * CRITICAL - 1)
    return times if times * CRITICAL < 1.0 else part
