"""Acts, lines, flags and states the hand-made views are put together from. All figures are invented."""

from mixstation.station.view import Act, ClockShown, FlagShown, Line, RatioShown, ScaleShown

TAKE_BACK = Act(name="take-back", pad="-", letter="b", words="take back")
TROUBLE = Act(name="trouble", pad="*", letter="t", words="went wrong")
EXTRA = Act(name="extra", pad="+", letter="e", words="extra went in")
PAUSE = Act(name="pause", pad="/", letter="p", words="pause")
ACTS = (PAUSE, TROUBLE, TAKE_BACK, EXTRA)

LIVE = ScaleShown(state="moving", text="3.14 kg", fresh=True)
NO_SCALE = ScaleShown(state="no scale: type the weights", text="", fresh=False)
NO_WATER = ClockShown(since_water="", left="", place="before")
GOOD = ClockShown(since_water="6:10", left="14 to 22 min left", place="good")

IN = (
    Line(name="water, first share", amount="3.46 kg", mark="in"),
    Line(name="plasticiser", amount="62 g", mark="in", note="typed"),
    Line(name="fine quartz sand", amount="4.52 kg", mark="in", note="over by 20 g"),
)
TO_COME = (
    Line(name="white cement", amount="5.20 kg", mark="now"),
    Line(name="scrape sides and bottom", amount="", mark="next"),
    Line(name="metakaolin", amount="0.58 kg", mark="next"),
    Line(name="acrylic polymer emulsion", amount="0.62 kg", mark="next"),
    Line(name="water, held back", amount="0.41 kg", mark="next"),
    Line(name="rest, then mix again", amount="", mark="next"),
    Line(name="glass fibre 13 mm", amount="0.37 kg", mark="next"),
)
RATIO = RatioShown(
    label="all water / binder",
    value="0.334 ± 0.003",
    target="0.330",
    low="0.300",
    high="0.360",
    ceiling="0.390",
    position=0.57,
    target_position=0.5,
    ceiling_position=1.5,
    half_width=0.05,
    verdict="inside",
    place="inside",
)
SLOW_SAND = FlagShown(
    gravity="note", word="NOTE", symbol="i", sentence="20 g more sand than planned; still in band."
)
SCRAPE = FlagShown(
    gravity="warn",
    word="WARN",
    symbol="!",
    sentence="The sides were not scraped after the sand: dry sand falls in late.",
)
TOO_WET = FlagShown(
    gravity="stop",
    word="STOP",
    symbol="#",
    sentence="With this water the batch ends at 0.372, over 0.360: weaker and paler.",
)
