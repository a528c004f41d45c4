"""Lesson 01, exercises on units, dials, gauge and absolute."""

from __future__ import annotations

from steadyneedle.bench.units import Q, absolute_to_gauge, gauge_to_absolute
from steadyneedle.questions.exercise import Mistake, QuantityExercise
from steadyneedle.questions.pressures import ATM_IN_BAR, BAR_IN_PSI, bar

PSI_TO_BAR = QuantityExercise(
    name="psi_to_bar",
    title="A reading in psi",
    version=1,
    objectives=(1,),
    draw=lambda draws: {"psi": draws.integer(120, 165)},
    ask=lambda g, t: (f"A colleague calls out an IP of {g['psi']} psi. What is that in bar?",),
    solve=lambda g: Q(g["psi"], "psi").to("bar"),
    mistakes=(
        Mistake(
            "psi read as bar",
            lambda g: bar(g["psi"]),
            "That is the psi number with bar behind it. 1 psi is only 0.0689 bar.",
        ),
        Mistake(
            "multiplied",
            lambda g: bar(g["psi"] * BAR_IN_PSI),
            "You multiplied by 14.5. A bar is the larger unit, so there are fewer: divide.",
        ),
        Mistake(
            "ten to one",
            lambda g: bar(g["psi"] / 10),
            "You took 10 psi for a bar. It takes 14.5 psi to make one.",
        ),
        Mistake(
            "atmospheres",
            lambda g: bar(g["psi"] / 14.696),
            "You divided by 14.7: that gives atmospheres. For bar divide by 14.504.",
        ),
    ),
    hints=lambda g, t: (
        "A bar is larger than a psi, so the number gets smaller.",
        f"1 bar = 14{t.mark}504 psi.",
    ),
    working=lambda g, t: (
        f"1 bar = 14{t.mark}504 psi",
        f"{g['psi']} psi ÷ 14{t.mark}504 psi/bar = {t.format(Q(g['psi'], 'psi').to('bar'), 2)}",
    ),
    unit="bar",
    why="half a percent is closer than a workshop gauge.",
)


MPA_TO_PSI = QuantityExercise(
    name="mpa_to_psi",
    title="A cylinder gauge in MPa",
    version=1,
    objectives=(1,),
    draw=lambda draws: {"mpa": draws.decimal("15.0", "30.0", "0.5")},
    ask=lambda g, t: (
        f"A cylinder gauge reads {t.number(g['mpa'], 1)} MPa. The fill station asks for psi. What do you say?",
    ),
    solve=lambda g: Q(g["mpa"], "MPa").to("psi"),
    mistakes=(
        Mistake(
            "MPa as bar",
            lambda g: Q(g["mpa"] * BAR_IN_PSI, "psi"),
            "You treated MPa as bar. 1 MPa is 10 bar.",
        ),
        Mistake(
            "MPa as 100 bar",
            lambda g: Q(g["mpa"] * 100 * BAR_IN_PSI, "psi"),
            "You took 1 MPa for 100 bar. It is 10 bar.",
        ),
        Mistake(
            "atmospheres",
            lambda g: Q(g["mpa"] * 10 * 14.696, "psi"),
            "You used 14.7 psi for a bar. That is an atmosphere; a bar is 14.504 psi.",
        ),
        Mistake(
            "answer in bar",
            lambda g: Q(g["mpa"] * 10, "psi"),
            "That is the number in bar. It still wants turning into psi: times 14.504.",
        ),
    ),
    hints=lambda g, t: ("Go by way of bar: 1 MPa = 10 bar.", f"Then 1 bar = 14{t.mark}504 psi."),
    working=lambda g, t: (
        f"{t.number(g['mpa'], 1)} MPa × 10 bar/MPa = {t.number(g['mpa'] * 10, 0)} bar",
        f"{t.number(g['mpa'] * 10, 0)} bar × 14{t.mark}504 psi/bar = {t.format(Q(g['mpa'], 'MPa').to('psi'), 0)}",
    ),
    unit="psi",
    why="half a percent is closer than a cylinder gauge.",
)


GAUGE_TO_ABSOLUTE = QuantityExercise(
    name="gauge_to_absolute",
    title="From gauge to absolute",
    version=1,
    objectives=(2,),
    draw=lambda draws: {"gauge": draws.decimal("8.5", "10.5", "0.1"), "ambient": draws.integer(76, 92) * 10},
    ask=lambda g, t: (
        f"A workshop in the mountains. The barometer says {g['ambient']} mbar. An IP gauge reads {t.number(g['gauge'], 1)} bar.",
        "What is the intermediate pressure in bar absolute?",
    ),
    solve=lambda g: gauge_to_absolute(bar(g["gauge"]), Q(g["ambient"], "mbar")),
    mistakes=(
        Mistake(
            "nothing added",
            lambda g: bar(g["gauge"]),
            "You added nothing for the air above: that is the gauge reading. Absolute is gauge plus ambient.",
        ),
        Mistake(
            "sea-level air",
            lambda g: bar(g["gauge"] + ATM_IN_BAR),
            "You added the air of sea level. Up here the barometer says less: add what it says.",
        ),
        Mistake(
            "subtracted",
            lambda g: bar(g["gauge"] - g["ambient"] / 1000),
            "You took the ambient pressure away. That leads from absolute to gauge; here you add it.",
        ),
        Mistake(
            "mbar as bar",
            lambda g: bar(g["gauge"] + g["ambient"]),
            "You added mbar as if they were bar. 1000 mbar make 1 bar.",
        ),
    ),
    hints=lambda g, t: (
        "A gauge reads 0 in open air. Absolute pressure counts that air too.",
        "Absolute = gauge + ambient, both in bar. 1000 mbar = 1 bar.",
    ),
    working=lambda g, t: (
        f"Ambient: {g['ambient']} mbar = {t.format(Q(g['ambient'], 'mbar').to('bar'), 2)}",
        f"Absolute: {t.number(g['gauge'], 1)} bar + {t.format(Q(g['ambient'], 'mbar').to('bar'), 2)} = {t.format(gauge_to_absolute(bar(g['gauge']), Q(g['ambient'], 'mbar')), 2)}",
    ),
    kind="absolute pressure",
    unit="bar",
    relative=0.0,
    absolute=0.03,
    why="the gauge is read to a tenth of a bar.",
    figures=3,
)


ABSOLUTE_AT_DEPTH = QuantityExercise(
    name="absolute_at_depth",
    title="Absolute IP at depth",
    version=1,
    objectives=(1, 2),
    draw=lambda draws: {"ip": draws.decimal("8.5", "10.5", "0.1"), "depth": draws.integer(6, 50)},
    ask=lambda g, t: (
        f"A first stage holds {t.number(g['ip'], 1)} bar over ambient. It hangs at {g['depth']} m in sea water; the air above the sea is at {t.number(ATM_IN_BAR, 2)} bar.",
        "What is the intermediate pressure there in bar absolute? Count a metre of sea water as a tenth of a bar.",
    ),
    solve=lambda g: gauge_to_absolute(bar(g["ip"]), bar(ATM_IN_BAR + g["depth"] / 10)),
    mistakes=(
        Mistake(
            "water only",
            lambda g: bar(g["ip"] + g["depth"] / 10),
            "You counted the water, not the air on top of it. Add the air's pressure too.",
        ),
        Mistake(
            "air only",
            lambda g: bar(g["ip"] + ATM_IN_BAR),
            "You added the air, not the water. Every 10 m of sea water is one bar more.",
        ),
        Mistake(
            "nothing added",
            lambda g: bar(g["ip"]),
            "That is IP over ambient: what a gauge down there would read. Absolute adds water and air.",
        ),
        Mistake(
            "a bar a metre",
            lambda g: bar(g["ip"] + ATM_IN_BAR + g["depth"]),
            "You counted a whole bar for each metre. It is a tenth of a bar.",
        ),
    ),
    hints=lambda g, t: (
        "Ambient at depth is air plus water.",
        "Absolute IP = IP over ambient + air + depth in m ÷ 10, in bar.",
    ),
    working=lambda g, t: (
        f"Water: {g['depth']} m × 0{t.mark}1 bar/m = {t.format(bar(g['depth'] / 10), 1)}",
        f"Ambient: {t.number(ATM_IN_BAR, 2)} bar + {t.format(bar(g['depth'] / 10), 1)} = {t.format(bar(ATM_IN_BAR + g['depth'] / 10), 2)}",
        f"Absolute IP: {t.number(g['ip'], 1)} bar + {t.format(bar(ATM_IN_BAR + g['depth'] / 10), 2)} = {t.format(bar(g['ip'] + ATM_IN_BAR + g['depth'] / 10), 1)}",
    ),
    kind="absolute pressure",
    unit="bar",
    relative=0.0,
    absolute=0.06,
    why="IP is read to a tenth of a bar.",
)


DEPTH_FROM_PRESSURE = QuantityExercise(
    name="depth_from_pressure",
    title="How deep is the pot?",
    version=1,
    objectives=(1, 2),
    draw=lambda draws: {"absolute": draws.decimal("2.2", "6.8", "0.1")},
    ask=lambda g, t: (
        f"A pressure pot stands at {t.number(g['absolute'], 1)} bar absolute; the air outside is at {t.number(ATM_IN_BAR, 2)} bar. To which depth of sea water does that correspond?",
        "Type metres. Count a metre of sea water as a tenth of a bar.",
    ),
    solve=lambda g: Q(absolute_to_gauge(bar(g["absolute"]), bar(ATM_IN_BAR)).magnitude * 10, "m"),
    mistakes=(
        Mistake(
            "air counted as water",
            lambda g: Q(g["absolute"] * 10, "m"),
            "You counted the air as water. At the surface the pot already stands at one atmosphere: take that away first.",
        ),
        Mistake(
            "forgot the ten",
            lambda g: Q(g["absolute"] - ATM_IN_BAR, "m"),
            "That is the pressure of the water in bar. Each bar is 10 m.",
        ),
        Mistake(
            "air added",
            lambda g: Q((g["absolute"] + ATM_IN_BAR) * 10, "m"),
            "You added the air. The pot's pressure includes it already: take it away.",
        ),
    ),
    hints=lambda g, t: ("How much of that pressure is water?", "Depth = (absolute − air) × 10 m per bar."),
    working=lambda g, t: (
        f"Water: {t.number(g['absolute'], 1)} bar − {t.number(ATM_IN_BAR, 2)} bar = {t.format(bar(g['absolute'] - ATM_IN_BAR), 2)}",
        f"Depth: {t.format(bar(g['absolute'] - ATM_IN_BAR), 2)} × 10 m/bar = {t.format(Q((g['absolute'] - ATM_IN_BAR) * 10, 'm'), 0)}",
    ),
    kind="length",
    unit="m",
    relative=0.0,
    absolute=0.6,
    why="the pot's gauge is read to a twentieth of a bar.",
    figures=2,
)


READ_THE_DIVISIONS = QuantityExercise(
    name="read_the_divisions",
    title="Counting marks",
    version=1,
    objectives=(3,),
    draw=lambda draws: {
        "number": draws.integer(3, 6) * 2,
        "marks": draws.integer(1, 4),
        "parts": draws.one_of((5, 8)),
    },
    ask=lambda g, t: (
        f"The bar scale of a dial is numbered 0, 2, 4, 6 and so on. From one number to the next there are {g['parts']} equal steps.",
        f"The needle stands on mark number {g['marks']} after the {g['number']}. What is the reading in bar?",
    ),
    solve=lambda g: bar(g["number"] + g["marks"] * 2 / g["parts"]),
    mistakes=(
        Mistake(
            "a tenth a mark",
            lambda g: bar(g["number"] + g["marks"] * 0.1),
            "You took each mark for 0.1 bar. Divide the 2 bar between the numbers by the steps there are.",
        ),
        Mistake(
            "steps of one bar",
            lambda g: bar(g["number"] + g["marks"] / g["parts"]),
            "You divided 1 bar by the steps. The numbers stand 2 bar apart.",
        ),
        Mistake(
            "a bar a mark",
            lambda g: bar(g["number"] + g["marks"]),
            "You took each mark for a whole bar. Divide the 2 bar between the numbers by the steps there are.",
        ),
        Mistake(
            "counted backwards",
            lambda g: bar(g["number"] + 2 - g["marks"] * 2 / g["parts"]),
            "You counted back from the next number. The marks were counted from the lower one.",
        ),
    ),
    hints=lambda g, t: (
        "First find what one step is worth.",
        f"One step = 2 bar ÷ {g['parts']} = {t.format(bar(2 / g['parts']), 2)}.",
    ),
    working=lambda g, t: (
        f"One step: 2 bar ÷ {g['parts']} = {t.format(bar(2 / g['parts']), 2)}",
        f"{g['number']} bar + {g['marks']} × {t.format(bar(2 / g['parts']), 2)} = {t.format(bar(g['number'] + g['marks'] * 2 / g['parts']), 2)}",
    ),
    kind="gauge pressure",
    unit="bar",
    relative=0.0,
    absolute=0.02,
    why="a needle on a mark is read as that mark.",
)


THE_OTHER_SCALE = QuantityExercise(
    name="the_other_scale",
    title="The other scale",
    version=1,
    objectives=(3, 1),
    draw=lambda draws: {"hundreds": draws.integer(1, 2) * 50 + 50, "marks": draws.integer(1, 8)},
    ask=lambda g, t: (
        "A dial has psi outside, numbered every 50 psi with ten steps between the numbers, and bar inside.",
        f"The needle stands {g['marks']} steps past {g['hundreds']} psi. The bar scale is worn away there. What would it say, in bar?",
    ),
    solve=lambda g: Q(g["hundreds"] + g["marks"] * 5, "psi").to("bar"),
    mistakes=(
        Mistake(
            "a psi a step",
            lambda g: Q(g["hundreds"] + g["marks"], "psi").to("bar"),
            "You took each step for 1 psi. 50 psi in ten steps is 5 psi a step.",
        ),
        Mistake(
            "ten psi a step",
            lambda g: Q(g["hundreds"] + g["marks"] * 10, "psi").to("bar"),
            "You took each step for 10 psi. 50 psi in ten steps is 5 psi a step.",
        ),
        Mistake(
            "psi read as bar",
            lambda g: bar(g["hundreds"] + g["marks"] * 5),
            "That is the psi reading with bar behind it. Divide by 14.504.",
        ),
        Mistake(
            "ten to one",
            lambda g: bar((g["hundreds"] + g["marks"] * 5) / 10),
            "You took 10 psi for a bar. It takes 14.504 psi to make one.",
        ),
    ),
    hints=lambda g, t: (
        "First read the psi scale: what is one step worth?",
        f"Then divide by 14{t.mark}504 psi/bar.",
    ),
    working=lambda g, t: (
        f"Psi scale: {g['hundreds']} psi + {g['marks']} × 5 psi = {g['hundreds'] + g['marks'] * 5} psi",
        f"{g['hundreds'] + g['marks'] * 5} psi ÷ 14{t.mark}504 psi/bar = {t.format(Q(g['hundreds'] + g['marks'] * 5, 'psi').to('bar'), 2)}",
    ),
    kind="gauge pressure",
    unit="bar",
    why="half a percent is closer than the dial.",
)
