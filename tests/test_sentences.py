"""Every sentence a person reads is made in `mixstation/wording/`: looked up in the syntax trees of all the rest.

What may stand elsewhere, by rule: docstrings; the help of a command and of its options, beside the option; sources,
beside the number they are of; names of the tables of shapes, ranges and units; SQL; the screen's style sheets; what an
error says that is a slip in the program.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import mixstation
from mixstation.units.plausible import RANGES
from mixstation.units.tables import UNITS_BY_KEY
from mixstation.wording.planning import SHAPE_NAMES

ROOT = Path(mixstation.__path__[0])
MODULES = sorted(path for path in ROOT.rglob("*.py") if "wording" not in path.relative_to(ROOT).parts)
# These may import the words: here also a phrase counts, and all that is printed.
ABOVE_THE_WORDS = {"account", "cli", "lines", "planning", "screens", "station"}

OF_THE_PARSER = {"help", "description", "epilog", "metavar", "prog", "usage", "add_argument_group"}
# Fields and constants that hold who says so, why a bound is where it is, and an example of a line of a file.
OF_A_NUMBER = re.compile(r"(?i)source|why|example|practice")
OF_THE_PROGRAM = {
    "AssertionError",
    "AttributeError",
    "FrozenInstanceError",
    "KeyError",
    "LookupError",
    "NotImplementedError",
    "OSError",
    "RuntimeError",
    "TypeError",
    "ValueError",
}
PRINTS = {"print", "input", "exit", "error", "SystemExit", "ArgumentTypeError"}
NAMES = {*SHAPE_NAMES, *RANGES, *UNITS_BY_KEY}
SQL = re.compile(r"\s*(?:ALTER|BEGIN|CREATE|DELETE|INSERT|PRAGMA|SELECT|UPDATE)\b")
STYLE = re.compile(r"\s*[A-Z]\w+ \{[^}]*:")

SENTENCE = re.compile(r"\s*(?:[A-Z][a-z’']+|A) [\w“(]|[\w”»]+ .*\w[”)]?[.:?!]\s*$", re.DOTALL)
PHRASE = re.compile(r"[A-Za-z’']+(?:,? [A-Za-z’']+){2}")
WORD = re.compile(r"[A-Za-z]{2}")


def text_of(node: ast.AST, thing: str = "it") -> str | None:
    """A literal's text, with a word for each thing put into it; None for what is no text."""
    if isinstance(node, ast.Constant):
        return node.value if isinstance(node.value, str) else None
    if isinstance(node, ast.JoinedStr):
        parts = (part.value if isinstance(part, ast.Constant) else thing for part in node.values)
        return "".join(map(str, parts))
    return None


def reads(node: ast.AST, *, above: bool, printed: bool) -> bool:
    """Whether a literal reads like a sentence, a heading or, where the words can be had, a phrase."""
    said, own = text_of(node) or "", text_of(node, " ") or ""
    if not WORD.search(own) or SQL.match(said) or STYLE.match(said) or said in NAMES:
        return False
    return bool(SENTENCE.match(said) or (above and (printed or PHRASE.search(said))))


def name_of(node: ast.AST | None) -> str:
    """The last name of a call, an attribute, or a name."""
    match node:
        case ast.Name(id=name) | ast.Attribute(attr=name):
            return name
        case ast.Call(func=func):
            return name_of(func)
        case _:
            return ""


def help_names(tree: ast.Module) -> set[str]:
    """Names of the module whose texts are handed to the parser as help."""
    kept = (
        node.value for node in ast.walk(tree) if isinstance(node, ast.keyword) and node.arg in OF_THE_PARSER
    )
    return {name.id for value in kept for name in ast.walk(value) if isinstance(name, ast.Name)}


def excluded(node: ast.AST, helps: set[str]) -> bool:
    """Whether what stands below is not read by a person, or may stand here by the rules above."""
    match node:
        case ast.Assert() | ast.Expr(value=ast.Constant()) | ast.Subscript(value=ast.Name(id="Literal")):
            return True
        case ast.Raise(exc=error):
            return name_of(error) in OF_THE_PROGRAM
        case ast.keyword(arg=str(name)):
            return name in OF_THE_PARSER or bool(OF_A_NUMBER.search(name))
        case ast.Call(func=func):
            return name_of(func) in OF_THE_PARSER
        case ast.Assign(targets=[target]) | ast.AnnAssign(target=target):
            return name_of(target) in helps or bool(OF_A_NUMBER.search(name_of(target)))
        case _:
            return False


def sentences(text: str, *, above: bool) -> Iterator[str]:
    """Every literal that reads like a sentence or a heading, with its line.

    Args:
        text: A module.
        above: It may import the words.
    """
    tree = ast.parse(text)
    helps = help_names(tree)

    def below(node: ast.AST, *, printed: bool) -> Iterator[str]:
        if reads(node, above=above, printed=printed):
            yield f"{getattr(node, 'lineno', 0)}: {(text_of(node) or '').strip()[:70]}"
        for child in ast.iter_child_nodes(node):
            # The pieces of a literal were read as one.
            if not excluded(child, helps) and not isinstance(node, ast.JoinedStr):
                is_text = isinstance(child, ast.Constant | ast.JoinedStr | ast.BinOp | ast.IfExp)
                prints = name_of(node) in PRINTS if isinstance(node, ast.Call) else printed
                yield from below(child, printed=prints and is_text)
            elif isinstance(child, ast.FormattedValue):
                yield from below(child.value, printed=False)

    yield from below(tree, printed=False)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_sentence_stands_outside_the_words(path: Path) -> None:
    above = path.relative_to(ROOT).parts[0] in ABOVE_THE_WORDS
    assert list(sentences(path.read_text(encoding="utf-8"), above=above)) == []


@pytest.mark.parametrize(
    "text",
    [
        'print(f"No port {port}.")',
        'HEADS = ("Went in", "Off by")',
        'parser.error("say how much")',
        'raise SystemExit(f"{name}: no text")',
        'WORDS = "Not a mass:"',
        'lines.append(f"link {state} for a while")',
    ],
)
def test_a_sentence_is_found(text: str) -> None:
    assert list(sentences(text, above=True))


@pytest.mark.parametrize(
    "text",
    [
        '"""A docstring of the module."""',
        'parser.add_argument("--all", help="List all of them.")',
        'EPILOG = "Some words here."\nParser(epilog=EPILOG)',
        'SOURCE = "ACI 211.1, from memory."',
        'raise ValueError("No such kind of step.")',
        'connection.execute("SELECT count(*) FROM event")',
        'print(f"{name}  {title}")',
        'open(path, "utf-8")',
        'read_plausible("mass in the bucket", text)',
        'DEFAULT_CSS = "Canvas { width: 1fr; height: 1fr; }"',
    ],
)
def test_what_may_stand_is_passed_over(text: str) -> None:
    assert list(sentences(text, above=True)) == []
