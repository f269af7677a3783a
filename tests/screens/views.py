"""Views made by hand, one of every kind. All figures are invented."""

from dataclasses import replace

from mixstation.station.view import (
    Act,
    Choice,
    ClockShown,
    Countdown,
    Figure,
    FlagShown,
    Line,
    Pour,
    Question,
    ScaleShown,
    View,
)
from mixstation.wording.safety import BEFORE_THE_FIRST_BAG, LIMITS_OF_USE
from tests.screens.view_parts import (
    ACTS,
    GOOD,
    IN,
    LIVE,
    NO_SCALE,
    NO_WATER,
    RATIO,
    SCRAPE,
    SLOW_SAND,
    TAKE_BACK,
    TO_COME,
    TOO_WET,
)

SAFETY = View(
    serial=1,
    title="Hearth plate · fibred white mix · bucket 1 of 2",
    place="before step 1 of 14",
    question=Question(
        ident="safety",
        ask="Read this and put the gear on.",
        detail=(*BEFORE_THE_FIRST_BAG, *LIMITS_OF_USE),
        enter="gear is on",
        to_the_end=True,
    ),
    figure=None,
    pour=None,
    countdown=None,
    ratio=None,
    flags=(),
    went_in=(),
    to_come=(
        Line(name="water, first share", amount="3.46 kg", mark="next"),
        *(replace(line, mark="") for line in TO_COME),
    ),
    clock=NO_WATER,
    scale=ScaleShown(state="steady", text="0.00 kg", fresh=True),
    saved="saved",
    saved_grave=False,
    notice="",
    bells=0,
    ended=False,
)

POUR_LIVE = replace(
    SAFETY,
    serial=10,
    place="step 5 of 14",
    question=Question(
        ident="pour-cement",
        ask="Pour white cement into the bucket.",
        detail=("Pour low and slowly: less dust.",),
        entry="mass",
        unit_word="kilograms",
        enter="take 3.14 kg as all of it",
        acts=ACTS,
    ),
    figure=Figure(
        label="still to pour", number="2.06", unit_word="kilograms", plain="still to pour: 2.06 kilograms"
    ),
    pour=Pour(
        target="5.20 kg",
        right="5.10 to 5.30 kg",
        actual="3.14 kg",
        fraction=3.14 / 5.20,
        low_fraction=0.98,
        high_fraction=1.02,
        place="under",
        cue="pour",
        cue_words="Pour on.",
    ),
    ratio=RATIO,
    flags=(SLOW_SAND,),
    went_in=IN,
    to_come=TO_COME,
    clock=GOOD,
    scale=LIVE,
    notice="Sand taken at 4.52 kg.",
)


def _pouring(serial: int, poured: str, left: str, fraction: float, **changes: object) -> View:
    assert POUR_LIVE.pour is not None
    pour = replace(POUR_LIVE.pour, actual=f"{poured} kg", fraction=fraction, **changes)  # type: ignore[arg-type]
    figure = Figure(
        label="still to pour", number=left, unit_word="kilograms", plain=f"still to pour: {left} kilograms"
    )
    scale = ScaleShown(state="moving", text=f"{poured} kg", fresh=True)
    question = replace(POUR_LIVE.question, enter=f"take {poured} kg as all of it")
    return replace(POUR_LIVE, serial=serial, pour=pour, figure=figure, scale=scale, question=question)


POUR_SLOW = _pouring(11, "4.86", "0.34", 4.86 / 5.2, cue="slow", cue_words="Slow now: a thin stream.")
POUR_STOP = _pouring(
    12, "5.16", "0.04", 5.16 / 5.2, place="inside", cue="stop", cue_words="Stop: the rest is still falling."
)
POUR_OVER = replace(
    _pouring(
        13,
        "5.61",
        "-0.41",
        5.61 / 5.2,
        place="over",
        cue="over",
        cue_words="Over by 0.41 kg: put the bag down.",
    ),
    flags=(SCRAPE, SLOW_SAND),
)
SCALE_SILENT = replace(
    POUR_LIVE,
    serial=14,
    pour=replace(POUR_LIVE.pour, actual="—", fraction=None, place="unsure", cue="", cue_words=""),  # type: ignore[type-var]
    figure=Figure(
        label="to pour in all", number="5.20", unit_word="kilograms", plain="to pour in all: 5.20 kilograms"
    ),
    question=replace(
        POUR_LIVE.question, enter="", detail=("The scale is silent: weigh by eye on it and type it.",)
    ),
    scale=ScaleShown(state="silent for 4 s", text="3.14 kg", fresh=False),
    flags=(
        FlagShown(
            gravity="warn",
            word="WARN",
            symbol="!",
            sentence="No reading for 4 s: check the plug, or type it.",
        ),
    ),
)
TYPED_ONLY = replace(
    POUR_LIVE,
    serial=15,
    pour=replace(POUR_LIVE.pour, actual="—", fraction=None, place="unsure", cue="", cue_words=""),  # type: ignore[type-var]
    figure=Figure(label="weigh in", number="5.20", unit_word="kilograms", plain="weigh in: 5.20 kilograms"),
    question=replace(
        POUR_LIVE.question,
        ident="type-cement",
        ask="Weigh white cement, pour it in, type what went in.",
        enter="",
    ),
    scale=NO_SCALE,
)
TUB = replace(
    POUR_LIVE,
    serial=16,
    question=replace(
        POUR_LIVE.question,
        ident="tub-back",
        ask="Tip the tub into the bucket, then put the empty tub back on the scale.",
        detail=("What clings to its wall is taken off.",),
        enter="take the tub as it stands",
    ),
    figure=Figure(
        label="in the tub", number="5.21", unit_word="kilograms", plain="in the tub: 5.21 kilograms"
    ),
    pour=None,
    scale=ScaleShown(state="steady", text="5.21 kg", fresh=True),
)
MIX = replace(
    POUR_LIVE,
    serial=20,
    place="step 7 of 14",
    question=Question(
        ident="mix-slurry",
        ask="Mix fast, paddle to the bottom.",
        detail=("Until no dry crumbs are left.",),
        enter="mixed",
        acts=ACTS,
    ),
    figure=Figure(
        label="mix for", number="0:35", unit_word="minutes and seconds", plain="mix 35 seconds more at least"
    ),
    pour=None,
    countdown=Countdown(
        elapsed="0:55", least="1:30", most="2:30", fraction=55 / 150, least_fraction=0.6, words="Keep on."
    ),
)
REST = replace(
    MIX,
    serial=21,
    question=Question(ident="rest", ask="Let it stand; do not touch it.", enter="rest is over", acts=ACTS),
    figure=Figure(
        label="rest for", number="1:20", unit_word="minutes and seconds", plain="rest 1 minute 20 more"
    ),
    countdown=Countdown(
        elapsed="1:40", least="3:00", most="5:00", fraction=0.33, least_fraction=0.6, words="Keep off."
    ),
)
SCRAPE_STEP = replace(
    MIX,
    serial=22,
    question=Question(
        ident="scrape",
        ask="Stop the drill. Scrape sides and bottom.",
        detail=("Dry powder on the wall falls in late and leaves weak, pale spots.",),
        enter="scraped",
        acts=ACTS,
    ),
    figure=None,
    countdown=None,
    flags=(SCRAPE,),
)
CONSISTENCY = replace(
    SCRAPE_STEP,
    serial=23,
    question=Question(
        ident="consistency",
        ask="Judge the mix.",
        detail=("Lift some on a trowel and look how it comes off.",),
        choices=(
            Choice(number=1, words="too stiff", detail=("It holds a lump.",)),
            Choice(number=2, words="right", detail=("It slides off and leaves a thin even coat.",)),
            Choice(number=3, words="too loose", detail=("It runs off clean, or water stands on it.",)),
            Choice(number=4, words="stiff and warm", detail=("It does not loosen on mixing.",)),
        ),
        acts=ACTS,
    ),
    flags=(),
)
TEMPERATURE = replace(
    SCRAPE_STEP,
    serial=24,
    question=Question(
        ident="temperature",
        ask="Take the temperature of the mix.",
        entry="temperature",
        unit_word="degrees Celsius",
        acts=(TAKE_BACK,),
    ),
    flags=(),
)
WAYS_OUT = replace(
    POUR_OVER,
    serial=30,
    question=Question(
        ident="ways-1",
        ask="Too much water for the band. Choose a way out.",
        choices=(
            Choice(
                number=1,
                words="Make the batch larger: 1.9 % more of all else",
                detail=(
                    "cement +0.10 kg, sand +0.09 kg, polymer +12 g",
                    "ends at 0.330 · 10.9 l · 0.20 dearer",
                ),
            ),
            Choice(
                number=2,
                words="Only sand and powder, up to the upper limit",
                detail=("cement +0.06 kg, sand +0.05 kg", "ends at 0.358 ± 0.003 · a little paler"),
            ),
            Choice(
                number=3, words="Leave it as it is", detail=("ends at 0.372, over the band: weaker, paler",)
            ),
            Choice(number=4, words="Discard the bucket", detail=("loses 9.4 kg of material",)),
        ),
        acts=(TAKE_BACK,),
        grave=True,
    ),
    pour=None,
    figure=None,
    flags=(TOO_WET, SCRAPE),
    ratio=replace(RATIO, value="0.372 ± 0.003", position=1.2, verdict="outside", place="over"),
    notice="",
)
CONFIRM = replace(
    POUR_LIVE,
    serial=31,
    question=Question(
        ident="confirm-7",
        ask="You typed 52 kilograms; 5.2 was asked for. Is it really 52?",
        detail=("A decimal mark may be missing.",),
        enter="no, let me type it again",
        acts=(Act(name="yes", pad="+", letter="y", words="yes, 52 kilograms went in"),),
        grave=True,
    ),
    pour=None,
    figure=Figure(label="typed", number="52", unit_word="kilograms", plain="typed: 52 kilograms"),
)
REASON = replace(
    SCRAPE_STEP,
    serial=32,
    question=Question(
        ident="reason",
        ask="Say why scraping is left out.",
        entry="text",
        enter="leave it out",
        acts=(TAKE_BACK,),
    ),
    flags=(),
)
STORAGE_AWAY = replace(
    POUR_LIVE,
    serial=33,
    saved="NOT SAVED: the disk is full; 3 entries are held and go in when there is room",
    saved_grave=True,
)
PAST_TIME = replace(
    SCRAPE_STEP,
    serial=34,
    clock=ClockShown(since_water="38:20", left="working time is past", place="past"),
    flags=(TOO_WET, SCRAPE, SLOW_SAND),
)
CANNOT_TELL = replace(
    MIX,
    serial=35,
    ratio=replace(
        RATIO,
        value="0.357 ± 0.006",
        position=0.95,
        half_width=0.1,
        verdict="can't tell on this scale",
        place="unsure",
    ),
)
FINISHED = replace(
    SCRAPE_STEP,
    serial=40,
    place="14 of 14 done",
    question=Question(
        ident="finished",
        ask="Bucket 1 is ready: cast it now.",
        detail=("Record 2024-0031 is kept.", "Cover the piece with foil at once."),
        enter="close",
    ),
    flags=(),
    went_in=(*IN, Line(name="white cement", amount="5.21 kg", mark="in")),
    to_come=(),
    ended=True,
)
HOSTILE = replace(
    POUR_LIVE,
    serial=41,
    title="[b]bold[/b] [@click=app.bell]x[/] \x1b[31mred\x07 \u202eesrever",
    notice="[/] 砂の名前が長い場合でも列は崩れない " + "long" * 40,
)

ALL: dict[str, View] = {
    "safety": SAFETY,
    "pour-live": POUR_LIVE,
    "pour-slow": POUR_SLOW,
    "pour-stop": POUR_STOP,
    "pour-over": POUR_OVER,
    "scale-silent": SCALE_SILENT,
    "typed-only": TYPED_ONLY,
    "tub": TUB,
    "mix": MIX,
    "rest": REST,
    "scrape": SCRAPE_STEP,
    "consistency": CONSISTENCY,
    "temperature": TEMPERATURE,
    "ways-out": WAYS_OUT,
    "confirm": CONFIRM,
    "reason": REASON,
    "storage-away": STORAGE_AWAY,
    "past-time": PAST_TIME,
    "cannot-tell": CANNOT_TELL,
    "finished": FINISHED,
    "hostile": HOSTILE,
}
