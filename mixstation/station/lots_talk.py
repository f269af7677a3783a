"""Which lot a material is weighed from: asked when several are on hand, said from the menu for a new bag."""

from mixstation.batch.commands import OpenLot
from mixstation.batch.lots import on_hand
from mixstation.batch.refusal import Plain
from mixstation.frozen import Frozen
from mixstation.recipe.model import Role
from mixstation.station.scene import Scene
from mixstation.station.talk import BACK, Back, Do, Lines, Menu, Open, Outcome, Refuse, chosen, numbered
from mixstation.station.view import Answer, Choice, Question
from mixstation.wording import menu_lines as words

# One line of a page is for a lot that is not on file.
_MOST_LOTS = 8


def new_bag() -> Menu:
    """Of which material a new bag is opened."""

    def lines(scene: Scene) -> Lines:
        return tuple(
            (material.name, Open(talk=pick_lot(scene, material.key)))
            for material in scene.run.recipe.materials
            if material.role not in (Role.WATER, Role.ICE)
        )

    return Menu(ident="new-bag", ask=words.WHICH_BAG, lines=lines)


def pick_lot(scene: Scene, material: str) -> Menu:
    """One of the lots on hand, or another."""
    name = scene.run.recipe.material(material).name
    ask = words.WHICH_LOT.format(name=name)
    return Menu(ident=f"pick-lot/{material}", ask=ask, lines=lambda now: _lines(now, material))


def lot_choices(scene: Scene, material: str) -> tuple[Choice, ...]:
    """The lots on hand, and another, as the main question shows them."""
    return numbered(tuple(line for line, _ in _lines(scene, material)))


def lot_answer(answer: Answer, scene: Scene, material: str) -> Outcome:
    """The lot picked; Enter alone leaves it unknown."""
    if not answer.typed.strip():
        return Do(command=OpenLot(material=material))
    number = chosen(answer, lot_choices(scene, material))
    return Refuse(why=Plain.NOT_A_CHOICE) if number is None else _lines(scene, material)[number - 1][1]


def _lines(scene: Scene, material: str) -> tuple[tuple[str, Outcome], ...]:
    lots = on_hand(scene.run.start, material)[:_MOST_LOTS]
    picked = tuple((lot, Do(command=OpenLot(material=material, lot=lot))) for lot in lots)
    return (*picked, (words.OTHER_LOT_LINE, Open(talk=TypeLot(material=material))))


class TypeLot(Frozen):
    """The mark on a bag."""

    material: str

    def question(self, scene: Scene) -> Question:
        """Free text."""
        return Question(
            ident=f"lot/{self.material}",
            ask=words.TYPE_LOT.format(name=scene.run.recipe.material(self.material).name),
            entry="text",
            enter=words.LOT_ENTER,
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """Weighed from it now; an empty line goes back."""
        lot = answer.typed.strip()
        return Do(command=OpenLot(material=self.material, lot=lot)) if lot else Back()
