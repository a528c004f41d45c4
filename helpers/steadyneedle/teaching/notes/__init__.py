"""What a lesson says with computed numbers, and what its instructor says to a class: one module of each a lesson.

`on_<lesson>` offers `notes`: a name to a function that gives lines. A line is a paragraph; one that begins with `- ` is
a bullet, one that begins with `> ` a formula; `**` marks what is bold. `class_<lesson>` offers `cut` and `questions`.
"""
