"""The answers of a planning talk so far, the questions that follow from them, and the step on or back.

No answer is lost by going back: each question then stands with its answer as what Enter takes.
"""

from collections.abc import Mapping
from dataclasses import field, replace
from fractions import Fraction
from typing import Final

from mixstation.frozen import Frozen
from mixstation.plan.faults_of_pieces import PieceFault
from mixstation.plan.pieces import piece_faults
from mixstation.plan.shape_table import FACE_COAT_SIZE
from mixstation.planning.around import Around
from mixstation.planning.ask import Ask, Given
from mixstation.planning.shape_asks import ShapeAsks
from mixstation.recipe.file import LoadedRecipe
from mixstation.recipe.model import Material, Role, SplitStep
from mixstation.station.view import EntryKind
from mixstation.units.plausible import RANGES
from mixstation.units.show import show_percent
from mixstation.wording import planning as words

RESULT: Final = "result"
MOST_KINDS_COUNT: Final = 9
"""Kinds of pieces at the screen; a pieces file takes more. Source: Choice."""


class Draft(Frozen):
    """Where a planning talk stands.

    Attributes:
        at: Key of the question asked now, or "result".
        first: Which line of a long choice stands first.
    """

    given: Mapping[str, Given] = field(default_factory=dict)
    at: str = "1/shape"
    kinds_count: int = 1
    first: int = 0
    page: int = 0


def asks_of(draft: Draft, around: Around) -> tuple[Ask, ...]:
    """Every question that the answers so far lead to, in order; at least one."""
    shape = draft.given.get("1/shape", "slab")
    asks = [_choice("1/shape", words.SHAPE_ASK, words.SHAPES, shape)]
    if shape == "other":
        lines = {key: line for key, line in words.OTHER.items() if key != "stock" or around.stock is not None}
        other = draft.given.get("other", "water fill")
        asks.append(_choice("other", words.OTHER_ASK, lines, other))
        if other != "water fill":
            return (*asks, *_after(draft, around, _amount_asks(draft, str(other), around)))
    for number in range(1, draft.kinds_count + 1):
        if number > 1:
            key, lines = f"{number}/shape", {key: words.SHAPES[key] for key in words.SHAPES if key != "other"}
            asks.append(_choice(key, words.KIND_ASK, lines, draft.given.get(key, "slab")))
        asks += shape_asks(draft, number, around).asks
        asks.append(_number(f"{number}/count", "whole", draft, 1, "piece count"))
    return (*asks, *_after(draft, around, ()))


def ask_at(draft: Draft, around: Around) -> tuple[int, int, Ask]:
    """The question asked now: its number from 1, how many there are, and the question."""
    asks = asks_of(draft, around)
    at = next((at for at, each in enumerate(asks) if each.key == draft.at), 0)
    return at + 1, len(asks), asks[at]


def shape_asks(draft: Draft, number: int, around: Around) -> ShapeAsks:
    """The questions of one kind of piece; a kind not chosen yet is a slab."""
    key = f"{number}/shape"
    return ShapeAsks(f"{number}/", {key: "slab", **draft.given}, around.units)


def recipe_of(draft: Draft, around: Around) -> LoadedRecipe | None:
    """The recipe chosen, else the one Enter would take; None on an empty shelf."""
    chosen = draft.given.get("recipe")
    key = chosen if isinstance(chosen, str) and chosen in around.recipes else _usual_recipe(draft, around)
    return around.recipes.get(key)


def is_of_pieces(draft: Draft) -> bool:
    """Whether pieces are planned for, not bags, a mass, a volume or the stock."""
    return draft.given.get("1/shape") != "other" or draft.given.get("other", "water fill") == "water fill"


def answered(draft: Draft, value: Given, around: Around) -> Draft | tuple[PieceFault, ...]:
    """The draft at the next question after an answer; or why the piece cannot be, and the talk stays."""
    now = replace(draft, given={**draft.given, draft.at: value}, first=0, page=0)
    if faults := _faults_of_piece(now, around):
        return faults
    return replace(now, at=_next(now, around, 1))


def gone_back(draft: Draft, around: Around) -> Draft:
    """The question before this one; the same where it is the first."""
    if draft.at == f"{draft.kinds_count}/shape" and draft.kinds_count > 1:
        # A kind that was asked for by mistake goes away again.
        return replace(draft, kinds_count=draft.kinds_count - 1, at=RESULT, first=0, page=0)
    return replace(draft, at=_next(draft, around, -1), first=0, page=0)


def with_another_kind(draft: Draft) -> Draft:
    """The talk at the first question of one more kind of piece; the same where there are enough."""
    if draft.kinds_count >= MOST_KINDS_COUNT or not is_of_pieces(draft):
        return draft
    number = draft.kinds_count + 1
    return replace(draft, kinds_count=number, at=f"{number}/shape", first=0, page=0)


def by_pan(draft: Draft, sand: str, *, pan: bool, around: Around) -> Draft:
    """The talk at the moisture of a sand, by pan test or by figure."""
    given = {**draft.given, f"pan/{sand}": "yes" if pan else None}
    now = replace(draft, given=given, at=f"pan_wet/{sand}" if pan else f"moisture/{sand}")
    return now if any(ask.key == now.at for ask in asks_of(now, around)) else draft


def _next(draft: Draft, around: Around, step: int) -> str:
    keys = [*(ask.key for ask in asks_of(draft, around)), RESULT]
    at = keys.index(draft.at) if draft.at in keys else len(keys) - 1
    return keys[min(max(at + step, 0), len(keys) - 1)]


def _faults_of_piece(draft: Draft, around: Around) -> tuple[PieceFault, ...]:
    """What is wrong with a piece once its last size has been answered."""
    number, _, _ = draft.at.partition("/")
    if not number.isdecimal():
        return ()
    of_piece = shape_asks(draft, int(number), around)
    if not of_piece.asks or of_piece.asks[-1].key != draft.at:
        return ()
    piece = of_piece.piece()
    return () if piece is None else piece_faults(piece)


def _after(draft: Draft, around: Around, amount: tuple[Ask, ...]) -> tuple[Ask, ...]:
    """What is asked once it is known what is cast."""
    asks: list[Ask] = []
    lines = {key: loaded.recipe.name for key, loaded in around.recipes.items()}
    loaded = recipe_of(draft, around)
    chosen = next((key for key, each in around.recipes.items() if each is loaded), "")
    asks.append(_choice("recipe", words.ASKS["recipe"], lines, chosen))
    asks += amount
    for material in loaded.recipe.materials if loaded is not None else ():
        if material.role is Role.SAND:
            asks += _moisture_asks(draft, material)
    bucket = around.shop.bucket
    asks.append(
        _number(
            "bucket",
            "volume",
            draft,
            Fraction(round(bucket.volume_l * 1000)),
            "bucket volume",
            easy=show_percent(bucket.easy_fraction, 0),
            limit=show_percent(bucket.limit_fraction, 0),
        )
    )
    if is_of_pieces(draft) or draft.given.get("other") == "volume":
        asks.append(_number("waste", "percent", draft, around.shop.waste_fraction, "waste"))
    shop_c = None if around.shop_c is None else Fraction(str(around.shop_c))
    asks.append(_number("shop", "temperature", draft, shop_c, "shop temperature", none_words=words.NOT_KNOWN))
    return tuple(asks)


def _amount_asks(draft: Draft, other: str, around: Around) -> tuple[Ask, ...]:
    """How much, where no piece says it."""
    if other == "mass":
        return (_number("mass", "mass", draft, None, "job mass"),)
    if other == "volume":
        return (_number("volume", "volume", draft, None, "job volume"),)
    loaded = recipe_of(draft, around)
    if other != "bags" or loaded is None:
        return ()
    packs = {m.key: m.name for m in loaded.recipe.materials if m.pack_mg}
    bagged = next(
        (m.key for m in loaded.recipe.materials if m.is_powder and m.pack_mg), next(iter(packs), "")
    )
    chosen = draft.given.get("bag_material")
    return (
        _choice("bag_material", words.ASKS["bag_material"], packs, chosen if chosen in packs else bagged),
        _number("bag_count", "whole", draft, 1, "whole bag count"),
    )


def _moisture_asks(draft: Draft, sand: Material) -> list[Ask]:
    if draft.given.get(f"pan/{sand.key}"):
        return [
            _number(f"{which}/{sand.key}", "mass", draft, None, "pan mass", sand=sand.name)
            for which in ("pan_wet", "pan_dry")
        ]
    return [
        _number(
            f"moisture/{sand.key}",
            "percent",
            draft,
            sand.moisture_fraction,
            "moisture",
            sand=sand.name,
            recipe=show_percent(sand.moisture_fraction, 2),
        )
    ]


def _choice(key: str, ask: str, lines: Mapping[str, str], default: Given) -> Ask:
    return Ask(key=key, ask=ask, entry="whole", lines=lines, default=default)


def _number(
    key: str,
    entry: EntryKind,
    draft: Draft,
    usual: Given,
    limits: str,
    *,
    none_words: str = "",
    **said: str,
) -> Ask:
    """A typed quantity; its words go by its key without the number of a piece or the name of a sand."""
    name = next(part for part in key.split("/") if not part.isdecimal())
    default = draft.given.get(key, usual)
    detail = words.DETAILS.get(name)
    return Ask(
        key=key,
        ask=words.ASKS[name].format(**said),
        entry=entry,
        detail=(detail.format(**said),) if detail else (),
        default=default,
        needed=default is None and not none_words,
        least=RANGES[limits].least,
        most=RANGES[limits].most,
        none_words=none_words,
    )


def _usual_recipe(draft: Draft, around: Around) -> str:
    """The first recipe that takes a face coat out if a piece has one, that does not if none has."""
    faced = any(value for key, value in draft.given.items() if key.endswith(f"/{FACE_COAT_SIZE.name}"))
    for key, loaded in around.recipes.items():
        if any(isinstance(step, SplitStep) for step in loaded.recipe.steps) == faced:
            return key
    return next(iter(around.recipes), "")
