"""The mixing screen: shows a desk's views and hands it what the number pad says."""

from collections.abc import Callable
from dataclasses import replace
from threading import Thread

from textual._time import get_time
from textual.app import App, ComposeResult
from textual.events import Key, Paste
from textual.message import Message
from textual.screen import Screen

from mixstation.screens import keys
from mixstation.screens.canvas import Canvas, CellCompositor, driver_class
from mixstation.screens.gloves import Gloves
from mixstation.screens.layout import board, opening
from mixstation.screens.reading import Page, page_at, turns
from mixstation.screens.rows import Row
from mixstation.station.view import Answer, Desk, Question, View
from mixstation.wording import front

POLLS_PER_S = 5
LEAVE_AGAIN_S = 5.0


class Opened(Message):
    """The desk has been opened, or could not be."""


class Changed(Message):
    """The desk has put out another view."""


class MixingScreen(Screen[None], inherit_bindings=False):
    """Everything the mixer sees."""

    def __init__(self, answered: Callable[[Answer], None], leave: Callable[[], None]) -> None:
        super().__init__()
        self._compositor = CellCompositor()
        self._answered, self._leave = answered, leave
        self.view: View | None = None
        self._gloves = Gloves()
        self._sent = ""
        self._read_count = 0
        self._page: Page | None = None
        self._canvas = Canvas(self._draw)

    def compose(self) -> ComposeResult:
        """One canvas and nothing else."""
        yield self._canvas

    def show(self, view: View) -> None:
        """Take in the newest view and repaint what it changes."""
        if view is self.view:
            return
        before, self.view = self.view, view
        if before is not None and view.bells > before.bells:
            self.app.bell()
        if before is None or view.serial != before.serial:
            self._sent = ""
        if before is None or (view.question.ident, view.question.detail) != (
            before.question.ident,
            before.question.detail,
        ):
            self._read_count = 0
        self._canvas.redraw()

    def say(self, code: str) -> None:
        """Show a sentence about the last key."""
        self._gloves.say(code)
        self._canvas.redraw()

    def _draw(self, columns: int, height: int) -> tuple[Row, ...]:
        if self.view is None:
            return opening(columns, height)
        # Keys are for what was drawn last, and count from then on.
        self._page = page_at(self.view.question, columns, height, self._read_count)
        self._gloves.show(self._page.question.ident, get_time())
        hands = self._gloves.hands
        hands = replace(hands, pressed=hands.pressed or self._sent, read_count=self._read_count)
        return board(self.view, hands, columns, height)

    def _question(self) -> Question | None:
        if self.view is None or self._page is None:
            return None
        question = self._page.question
        return replace(question, enter=question.enter or front.ENTER_CLOSES) if self.view.ended else question

    def on_key(self, event: Key) -> None:
        """A key went down."""
        event.stop()
        event.prevent_default()
        key = keys.key_of(event.key, event.character)
        if key == keys.LEAVE:
            self._leave()
            return
        if event.character == keys.NOISE:
            return
        question = self._question()
        if question is None:
            self._gloves.say("early")
        else:
            self._press(key, question, event.time)

    def on_paste(self, event: Paste) -> None:
        """Pasted text is typed text where text is asked for, and elsewhere a number or nothing."""
        question = self._question()
        if question is None:
            return
        if question.entry != "text":
            self._hand_in(self._gloves.due(event.time))
            self._gloves.paste(lambda key, typed: keys.stroke(key, question, typed), event.text, event.time)
            self._canvas.redraw()
            return
        for character in event.text:
            if character.isprintable():
                self._press(character, question, event.time)

    def _press(self, key: str, question: Question, at_s: float) -> None:
        settled = self._gloves.press(lambda typed: keys.stroke(key, question, typed), at_s)
        self._sent = ""
        self._hand_in(settled)
        if (due_s := self._gloves.due_s) is not None:
            self.set_timer(max(due_s - get_time(), 0.001), self.fetch_due)
        self._canvas.redraw()

    def fetch_due(self) -> None:
        """Hand in what has waited long enough; called in turn too, since a busy machine may pass a timer over."""
        self._hand_in(self._gloves.due(get_time()))

    def _hand_in(self, answer: Answer | None) -> None:
        if answer is None:
            return
        to_count = self._page.turned(answer) if self._page is not None else None
        if to_count is not None:
            self._read_count = to_count
        elif turns(answer):
            # The window changed its size meanwhile, and with it the page.
            self._gloves.say("early")
        else:
            self._sent = answer.pressed
            self._answered(answer)
        self._canvas.redraw()


class MixApp(App[int], inherit_bindings=False):
    """Opens the desk once the first picture is out, polls it, and leaves the batch so that it can go on."""

    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    AUTO_FOCUS = None
    CSS = "Screen { background: ansi_default; color: ansi_default; }"

    def __init__(self, open_desk: Callable[[], Desk]) -> None:
        super().__init__(driver_class=driver_class(), ansi_color=True)
        self.animation_level = "none"
        self.desk: Desk | None = None
        self.failure: Exception | None = None
        self._open_desk = open_desk
        self._mixing = MixingScreen(self._answered, self._leave)
        self._woken = False
        self._warned_s = float("-inf")
        self.opener = Thread(target=self._open, name="open-desk", daemon=True)

    @property
    def view(self) -> View | None:
        """The view on screen."""
        return self._mixing.view

    def get_default_screen(self) -> Screen[None]:
        """The only screen."""
        return self._mixing

    def on_mount(self) -> None:
        """Have the picture out before the work of opening begins."""
        self.call_after_refresh(self.opener.start)

    def _open(self) -> None:
        try:
            self.desk = self._open_desk()
        except Exception as error:
            self.failure = error
        self.post_message(Opened())

    def on_opened(self) -> None:
        """Begin to show the desk, or leave with what went wrong."""
        if self.desk is None:
            self.exit(1, return_code=1)
            return
        self.desk.watch(self._wake)
        self._poll()
        self.set_interval(1 / POLLS_PER_S, self._poll)

    def _wake(self) -> None:
        # One message at a time: a terminal that takes nothing must not fill the queue.
        if not self._woken:
            self._woken = True
            self.post_message(Changed())

    def on_changed(self) -> None:
        """Look at once."""
        self._woken = False
        self._poll()

    def _poll(self) -> None:
        if self.desk is None or self.failure is not None:
            return
        self._mixing.fetch_due()
        try:
            view = self.desk.view()
        except RuntimeError as error:
            self.failure = error
            self.exit(1, return_code=1)
        else:
            before = self.view
            self._mixing.show(view)
            if view.ended and before is not None and not before.ended:
                self._leave()

    def _answered(self, answer: Answer) -> None:
        """Pass the answer on; at the end of the batch Enter closes."""
        if self.desk is not None:
            self.desk.answer(answer)
        if self.view is not None and self.view.ended and answer.pressed == keys.ENTER:
            self.exit(0)

    def _leave(self) -> None:
        """Leave; where that would lose something, only when asked twice."""
        now_s = get_time()
        unsaved = self.view is not None and self.view.saved_grave
        if unsaved and now_s - self._warned_s > LEAVE_AGAIN_S:
            self._warned_s = now_s
            self._mixing.say("leave-unsaved")
        else:
            self.exit(0)
