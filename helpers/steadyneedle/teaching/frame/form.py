"""A form as data: a title, a question, fields, buttons, a message. Who answers it gives a new one after each act."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, field
from typing import Any, ClassVar, Protocol


@dataclass(frozen=True)
class TextField:
    """A line to type in; a `short` one stands beside others."""

    kind: ClassVar[str] = "text"
    name: str
    label: str
    value: str = ""
    short: bool = False


@dataclass(frozen=True)
class AreaField:
    """Some lines to type in; `longest` is the most characters that it takes."""

    kind: ClassVar[str] = "area"
    name: str
    label: str
    value: str = ""
    lines: int = 6
    longest: int = 2000


@dataclass(frozen=True)
class ChoiceField:
    """One of several options, each a key and its words; `fixed` once it may not be changed any more.

    `layout`: "rows", one below the other; "columns" for many short ones; "line" for a few in one line; "list" for more
    than fit on a page.
    """

    kind: ClassVar[str] = "one"
    name: str
    label: str
    options: tuple[tuple[str, str], ...]
    value: str = ""
    fixed: bool = False
    layout: str = "rows"


@dataclass(frozen=True)
class CheckField:
    """Several of several options to tick; its value is the keys ticked, in the order of `options`, with `between`."""

    kind: ClassVar[str] = "many"
    name: str
    label: str
    options: tuple[tuple[str, str], ...]
    value: str = ""
    between: str = " + "
    longest: int = 400


@dataclass(frozen=True)
class JoinedField:
    """Choices that make one answer; its value is theirs with `between`, `open` for what is not chosen yet."""

    kind: ClassVar[str] = "joined"
    name: str
    label: str
    parts: tuple[ChoiceField, ...]
    value: str = ""
    between: str = " > "
    open: str = "-"
    longest: int = 400


Field = TextField | AreaField | ChoiceField | CheckField | JoinedField


@dataclass(frozen=True)
class Button:
    """A button. It keeps its place: where there is nothing for it to do it is `off`, not gone.

    `apart` sets it, and those after it, at the far end of the row. Where a press of a `mild` one is lost with its
    kernel, nothing is said: the form that comes back stands as it wanted.
    """

    name: str
    label: str
    off: bool = False
    apart: bool = False
    mild: bool = False


@dataclass(frozen=True)
class Message:
    """What is said about the answer: a word first, then sentences.

    `about` is the answer it was said about, field by field; once the fields hold another, the page greys it.
    """

    word: str = ""
    lines: tuple[str, ...] = ()
    about: tuple[tuple[str, str], ...] = field(default=(), compare=False)


@dataclass(frozen=True)
class Cover:
    """Which cells a form covers, those tagged `after:NAME` in a lesson, and whether they are open now.

    Of a series, `asked` names the one that is asked now, and `answered` tells whether its answer is out.
    """

    lesson: str
    name: str
    open: bool
    asked: str = ""
    answered: bool = False


@dataclass(frozen=True)
class Picture:
    """What a form asks about: a PNG, the text that says the same, and the result that both were made from."""

    png: bytes
    text: str
    result: Any


@dataclass(frozen=True)
class ShownTable:
    """A table in a form: what stands above it, the heads of its columns, its rows."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Form:
    """What a form shows. `enter` names the button that the Enter key presses.

    `leaving` names what is done, as if it were a button, when a field that was changed is left. Such a form never
    changes what stands in its fields.

    `note` stands under the buttons: what pressing one costs. `anchor` is what a link to the form names.
    `version` changes where the page has to draw the form anew though its words are the same. The bytes of `picture` do
    not go with the words: the widget carries them. `tables` stand last. With `beside` they stand under the question,
    and what is asked to the right of all that, where there is room. Where the page draws the form anew and the button
    that was pressed is gone, the keyboard goes to the field that `focus` names.

    Where a kernel ends before it has answered a press, the page says so, unless the press was carried out: then the
    form that a new kernel shows is another one. `stands` names what it changes, where the rest of the form does not.
    """

    title: str
    fields: tuple[Field, ...]
    buttons: tuple[Button, ...]
    enter: str
    question: tuple[str, ...] = ()
    message: Message = Message()
    hints: tuple[str, ...] = ()
    solution: tuple[str, ...] = ()
    solution_title: str = "Worked solution"
    note: str = ""
    anchor: str = ""
    leaving: str = ""
    version: int = 0
    cover: Cover | None = None
    picture: Picture | None = None
    tables: tuple[ShownTable, ...] = ()
    beside: bool = False
    focus: str = ""
    stands: str = ""

    def wire(self) -> dict[str, Any]:
        """The form as it goes to the page.

        >>> Form("Yours", (TextField("answer", "Reading"),), (Button("go", "Go"),), "go").wire()["fields"]
        [{'name': 'answer', 'label': 'Reading', 'value': '', 'short': False, 'kind': 'text'}]
        """
        fields = [{**dataclasses.asdict(one), "kind": one.kind} for one in self.fields]
        picture = self.picture.text if self.picture else ""
        return {**dataclasses.asdict(dataclasses.replace(self, picture=None)), "fields": fields, "picture": picture}


class FormSession(Protocol):
    """What a form needs of the thing that answers it."""

    def view(self) -> Form:
        """The form as it stands."""

    def typed(self, answers: dict[str, str]) -> bool | None:
        """Keep what was typed; True where the form shows something else now. Raises StoreError where that fails."""

    def act(self, button: str, answers: dict[str, str]) -> None:
        """A button was pressed."""
