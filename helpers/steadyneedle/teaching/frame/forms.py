"""The widget that shows a form and carries what is typed to the session that answers it."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from typing import Any

import traitlets

from steadyneedle.teaching.frame.form import CheckField, ChoiceField, Form, FormSession, JoinedField
from steadyneedle.teaching.frame.publishing import (
    FrameWidget,
    Still,
    answer_with,
    module_of,
    publish,
    publish_picture,
    sendable,
    style,
)
from steadyneedle.teaching.frame.troubles import number_in, sentence_of

LONGEST = 200
"""Characters of a line that is typed."""
SAVED = "Saved"
UNHEARD = "Not saved yet: nothing answers. Load this page again, then type it once more."


class FormWidget(FrameWidget):
    """A form in the page; every key typed is saved at once, and the page says whether it was."""

    _esm = module_of("make.js", "parts.js", "going.js", "room.js", "form.js")
    _css = style()
    view = traitlets.Dict().tag(sync=True)
    picture = traitlets.Bytes().tag(sync=True)
    saved = traitlets.Dict().tag(sync=True)
    unheard = traitlets.Unicode(UNHEARD).tag(sync=True)

    def __init__(
        self,
        session: FormSession,
        trouble: str = "",
        after: Callable[[], None] | None = None,
        saying: Callable[[], str] = lambda: SAVED,
        unheard: str = UNHEARD,
    ) -> None:
        self._session = session
        self._after = after
        self._saying = saying
        super().__init__(**_traits(session.view()), saved={"number": 0, "words": trouble}, unheard=unheard)
        self.on_msg(self._heard)

    def refresh(self) -> None:
        """Show the form as it stands now: what it asks about has changed."""
        answer_with(self, _traits(self._session.view()))

    def say(self, words: str) -> None:
        """Say something else of saving: it has become true though nothing was typed here."""
        if self.saved["words"] != words:
            self.saved = {**self.saved, "words": words}

    def _heard(self, _widget: Any, message: dict[str, Any], _buffers: Any) -> None:
        words, other = "", False
        try:
            other = self._take(message)
        except Exception as error:
            words = sentence_of(error)
        if other or message.get("what") == "act":
            try:
                self.refresh()
                if self._after and message.get("what") == "act":
                    self._after()
            except Exception as error:
                words = sentence_of(error)
        self.saved = {"number": int(number_in(message, "number")), "words": words or self._saying()}

    def _take(self, message: dict[str, Any]) -> bool:
        """Keep what was typed and do what was asked; whether typing alone has changed the form."""
        sent = message.get("answers")
        items = sent.items() if isinstance(sent, dict) else ()
        longest = {one["name"]: one.get("longest", LONGEST) for one in self.view["fields"]}
        texts = {str(name): sendable(str(text)) for name, text in items}
        answers = {name: text[: longest.get(name, LONGEST)] for name, text in texts.items()}
        other = bool(self._session.typed(answers))
        if message.get("what") == "act":
            self._session.act(str(message.get("button")), answers)
        cut = [name for name in texts if texts[name] != answers[name]]
        if cut:
            raise ValueError(f"Saved up to character {len(answers[cut[0]]):,} only: the rest is too long to be taken.")
        return other


def _traits(form: Form) -> dict[str, Any]:
    return {"view": form.wire(), "picture": form.picture.png if form.picture else b""}


def show_form(
    session: FormSession,
    trouble: str = "",
    after: Callable[[], None] | None = None,
    saying: Callable[[], str] = lambda: SAVED,
    unheard: str = UNHEARD,
) -> FormWidget:
    """Show a form: live where there is a kernel, the words of the question, or its picture, where there is none.

    `trouble` is said of saving at first, `saying` gives what is said after each act that did not fail, and `unheard` is
    said where no kernel answers.
    """
    widget = FormWidget(session, trouble, after, saying, unheard)
    form = session.view()
    if form.picture:
        text = " ".join([*form.question, form.picture.text, *(one.label for one in form.fields)])
        still = Still(form.picture.png, text, form.picture.result)
        publish_picture(widget, form.title, lambda: still)
        return widget
    lines = [f"<h4>{escape(form.title)}</h4>", *(f"<p>{escape(line)}</p>" for line in form.question)]
    for one in form.fields:
        for part in one.parts if isinstance(one, JoinedField) else (one,):
            if isinstance(part, ChoiceField | CheckField):
                options = "".join(f"<li>{escape(words)}</li>" for _, words in part.options)
                lines.append(f"<p>{escape(part.label)}</p><ul>{options}</ul>")
            else:
                lines.append(f"<p>{escape(part.label)}: ____________</p>")
    plain = "\n".join([form.title, *form.question])
    publish(widget, {"text/html": "\n".join(lines), "text/plain": plain}, {})
    return widget
