"""Keep the catalogues of other languages: collect the English sentences, and list what a page leaves in English.

python -m tools.catalogue update          collect from the code and the data, into every catalogue
python -m tools.catalogue left LANGUAGE   what the screens and commands of the corpus still say in English
python -m tools.catalogue add LANGUAGE FILE   take over translations: a JSON object of English and translation
"""

from __future__ import annotations

import ast
import csv
import json
import re
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po

from corebath.language import LANGUAGES
from corebath.language.choice import ENGLISH

SOURCE = Path(__file__).parent.parent / "src" / "corebath"
CATALOGUES = SOURCE / "language" / "catalogues"
# Rooms and files whose strings are programs' own, names of sources, or other languages' words.
_SILENT = (
    "language", "log/migrations", "log/data/csv_words.toml", "food/data/synonyms.csv", "food/data/sources.toml",
    "food/data/opened_words.csv", "outcome/data/result_words.csv", "ask/data/when.toml", "ask/data/degrees.toml",
    "safety/data/sources.toml", "food/data/yields_sources.toml", "food/data/composition.csv",
)  # fmt: skip
_MARK = re.compile(r"\{[^{}|]+\|(?:C|K|s|m|kg|L)\}")
_PLACE = re.compile(r"\{\d+\}|</?\d+/?>")
_SENTENCE = re.compile(r"[A-Za-z]{2,}[,.:;]? +(?:\{\d+\}|[A-Za-z\d(“])|\} [a-z]{3,}")
_CODE = re.compile(r"[<>=_|\\]|^[a-z-]+/|://|^\W*$|^[\w.-]+\(|SELECT |PRAGMA ")
_NOT_TEXT = frozenset(
    ("source", "key", "how", "texture", "kind", "note", "label", "word")
)  # columns and keys that no reader sees as a sentence


def collected() -> dict[str, str]:
    """Every English sentence of the code and the data, with the file it comes from."""
    found: dict[str, str] = {}
    for file in sorted(SOURCE.rglob("*")):
        name = file.relative_to(SOURCE).as_posix()
        if name.startswith(_SILENT):
            continue
        if file.suffix == ".py":
            strings: Iterator[str] = _of_code(ast.parse(file.read_text(encoding="utf-8")))
        elif file.suffix == ".toml":
            strings = _of_table(tomllib.loads(file.read_text(encoding="utf-8")))
        elif file.suffix == ".csv":
            strings = _of_rows(file)
        else:
            continue
        for text in strings:
            found.setdefault(text, name)
    return found


def _of_code(tree: ast.Module) -> Iterator[str]:
    skip: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, (ast.Module, ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)):
            first = node.body[0] if node.body else None
            # A docstring is no reader's text, but that of a command is its help.
            if isinstance(first, ast.Expr) and not _is_command(node):
                skip.add(id(first.value))
        if isinstance(node, ast.JoinedStr):
            skip |= {id(v) for v in node.values if isinstance(v, ast.Constant)}
            skip |= {id(v.format_spec) for v in node.values if isinstance(v, ast.FormattedValue)}
    for node in ast.walk(tree):
        if id(node) in skip:
            continue
        text = ""
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = node.value
        elif isinstance(node, ast.JoinedStr):
            text = "".join(v.value if isinstance(v, ast.Constant) else "\0" for v in node.values)  # type: ignore[misc]
        yield from _sentences(text)


def _is_command(node: ast.AST) -> bool:
    return isinstance(node, ast.FunctionDef) and any(
        re.search(r"click\.(command|group)|\.(command|group)\(", ast.unparse(d)) for d in node.decorator_list
    )


def _of_table(table: object, key: str = "") -> Iterator[str]:
    if isinstance(table, dict):
        for name, value in table.items():
            yield from _of_table(value, str(name))
    elif isinstance(table, list):
        for value in table:
            yield from _of_table(value, key)
    elif isinstance(table, str) and key not in _NOT_TEXT:
        yield from _sentences(table)


def _of_rows(file: Path) -> Iterator[str]:
    with file.open(encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            for name, value in row.items():
                if name not in _NOT_TEXT and isinstance(value, str):
                    yield from _sentences(value)


def _sentences(text: str) -> Iterator[str]:
    """A string as the catalogue writes it, each of its lines, when it looks like words for a reader."""
    for paragraph in text.split("\n\n"):
        line = " ".join(_MARK.sub("\0", paragraph).split())
        if "{" in line or "}" in line:
            line = re.sub(r"\{[^{}]*\}", "\0", line)
        parts = line.split("\0")
        numbered = parts[0] + "".join(f"{{{i}}}{part}" for i, part in enumerate(parts[1:]))
        letters = sum(c.isalpha() for c in line)
        if letters >= 5 and _SENTENCE.search(numbered) and not _CODE.search(numbered):
            yield numbered


def update() -> None:
    """Bring every catalogue up to date with the code: new sentences stand untranslated, gone ones are dropped."""
    english = collected()
    for language in LANGUAGES:
        if language == ENGLISH:
            continue
        path = CATALOGUES / f"{language}.po"
        old = read_catalogue(path, language)
        new = Catalog(locale=language, project="corebath", charset="utf-8", fuzzy=False)
        for text, name in english.items():
            message = old.get(text)
            new.add(text, "" if message is None else message.string, locations=[(name, 0)])
        for message in old:
            # Sentences of templates and scripts were added by hand.
            if message.id and message.id not in english and message.auto_comments:
                new.add(message.id, message.string, auto_comments=message.auto_comments)
        _write(path, new)
        missing = sum(1 for m in new if m.id and not m.string)
        print(f"{language}: {len(new)} sentences, {missing} not translated")


def add(language: str, file: Path) -> None:
    """Take over translations from a JSON object of English and translation; those not of the code are kept by hand."""
    path = CATALOGUES / f"{language}.po"
    old = read_catalogue(path, language)
    for english, said in json.loads(file.read_text(encoding="utf-8")).items():
        if set(_PLACE.findall(said)) - set(_PLACE.findall(english)):
            raise SystemExit(f"a place that the English lacks: {english!r}")
        message = old.get(english)
        if message is None:
            old.add(english, said, auto_comments=["on a screen"])
        else:
            message.string = said
    _write(path, old)


def todo(language: str) -> None:
    """Print the sentences without a translation as a JSON list."""
    catalog = read_catalogue(CATALOGUES / f"{language}.po", language)
    print(json.dumps([m.id for m in catalog if m.id and not m.string], ensure_ascii=False, indent=0))


def left(language: str) -> None:
    """List what the corpus still says in English, most frequent first."""
    from tests.unit.language.corpus import left_in_english  # the corpus is a test's, and slow to make

    for text, times in left_in_english(language).most_common():
        print(times, text)


def read_catalogue(path: Path, language: str) -> Catalog:
    """A catalogue as it stands in its file; an empty one when there is none."""
    if not path.exists():
        return Catalog(locale=language)
    with path.open("rb") as stream:
        return read_po(stream, locale=language)


def _write(path: Path, catalog: Catalog) -> None:
    with path.open("wb") as stream:
        write_po(stream, catalog, width=0, omit_header=False, sort_output=True, include_lineno=False)


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["update"]:
            update()
        case ["todo", language]:
            todo(language)
        case ["left", language]:
            left(language)
        case ["add", language, file]:
            add(language, Path(file))
        case _:
            raise SystemExit(__doc__)
