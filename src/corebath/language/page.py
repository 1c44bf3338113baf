"""A page in another language: each block of text is one sentence or more, its inline elements kept as places.

Only pages of our own go through it: every `<` in their text and attributes is escaped. An element with
`translate="no"` (HTML standard, the translate attribute) holds what a cook typed, and stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import escape, unescape

from .choice import ENGLISH
from .text import Translator, translator

_TAG = re.compile(r"(<[^>]*>)")
_NAME = re.compile(r"</?([a-zA-Z][\w-]*)")
_ATTRIBUTE = re.compile(r'(\s(?:aria-label|title|placeholder|alt|data-say[\w-]*)=")([^"]*)(")')
_MARK = re.compile(r"(</?\d+/?>)")
_INLINE = frozenset(
    "a abbr b bdi cite code em i kbd output s select small span strong sub sup time tspan u var".split()  # noqa: SIM905
)
_ALONE = frozenset(("input", "img", "wbr"))  # inline, with no end
_SEALED = frozenset(("script", "style", "code", "pre", "textarea", "kbd", "samp"))
_SAID = ' class="chart '  # a chart was drawn in the reader's language
_CITE = "cite"  # the title of a source is not translated (HTML standard, the cite element)
_WHOLE = "select"  # stands in a sentence as one place; its options are translated by themselves


def html(text: str, language: str) -> str:
    """A page of our own, or a part of one, in another language; `lang` of the page is set."""
    if language == ENGLISH:
        return text
    return page(text, translator(language)).replace('<html lang="en"', f'<html lang="{language}"', 1)


def page(text: str, speaker: Translator) -> str:
    """A page said by a translator."""
    out: list[str] = []
    block: list[str] = []
    for token, breaks in _tokens(text):
        if breaks:
            out.append(_block(block, speaker))
            block = []
            out.append(_attributes(token, speaker))
        else:
            block.append(token)
    out.append(_block(block, speaker))
    return "".join(out)


def _tokens(text: str) -> Iterator[tuple[str, bool]]:
    """Pieces of a page: text and inline elements, or (True) what no sentence runs across."""
    sealed, depth, held = "", 0, []
    for token in _TAG.split(text):
        if not token:
            continue
        name = _name(token)
        if sealed:
            held.append(token)
            if name == sealed:
                depth += -1 if token.startswith("</") else 0 if token.endswith("/>") else 1
            if depth == 0:
                yield "".join(held), sealed not in _INLINE
                sealed, held = "", []
            continue
        if (
            name
            and not token.startswith("</")
            and not token.endswith("/>")
            and name not in _ALONE
            and (name in _SEALED or name in (_WHOLE, _CITE) or 'translate="no"' in token or _SAID in token)
        ):
            sealed, depth, held = name, 1, [token]
            continue
        yield token, bool(name or token.startswith("<!")) and name not in _INLINE and name not in _ALONE


def _name(token: str) -> str:
    match = _NAME.match(token)
    return match[1].lower() if match else ""


def _attributes(tag: str, speaker: Translator) -> str:
    """The labels of an element; what a sealed element holds stays."""
    head, end, rest = tag.partition(">")
    if '="' not in head or 'translate="no"' in head:
        return tag
    said = _ATTRIBUTE.sub(lambda m: f"{m[1]}{escape(speaker.said(unescape(m[2])), quote=True)}{m[3]}", head)
    return f"{said}{end}{rest}"


def _block(tokens: list[str], speaker: Translator) -> str:
    """A run of text and inline elements, translated as one where the catalogue has it, else piece by piece."""
    if not any(not t.startswith("<") and not t.isspace() for t in tokens):
        return "".join(_kept(t, speaker) for t in tokens)
    words, kept = skeleton(tokens)
    # What a cook typed may look like a place of ours: such a block is never taken as one.
    plain = not any("&lt;" in t for t in tokens if not t.startswith("<"))
    said = speaker.whole(" ".join(words.split())) if kept and plain else None
    if said is None:
        return "".join(_kept(t, speaker) if t.startswith("<") else _words(t, speaker) for t in tokens)
    lead, trail = words[: len(words) - len(words.lstrip())], words[len(words.rstrip()) :]
    parts = _MARK.split(said)
    body = (_kept(kept.get(p, ""), speaker) if i % 2 else escape(p, quote=False) for i, p in enumerate(parts))
    return f"{lead}{''.join(body)}{trail}"


def _words(text: str, speaker: Translator) -> str:
    plain = unescape(text)
    lead, trail = plain[: len(plain) - len(plain.lstrip())], plain[len(plain.rstrip()) :]
    said = speaker.said(" ".join(plain.split()))
    return f"{lead}{escape(said, quote=False)}{trail}" if said else text


def _kept(token: str, speaker: Translator) -> str:
    """An element of a sentence: its labels are translated, and the options of a choice."""
    if token.startswith(f"<{_WHOLE}"):
        inside, end = token.index(">") + 1, token.rindex("<")
        return f"{_attributes(token[:inside], speaker)}{page(token[inside:end], speaker)}{token[end:]}"
    if token.startswith(f"<{_CITE}") and "translate=" not in token:
        inside, end = token.index(">") + 1, token.rindex("<")
        return f"{token[:inside]}{escape(speaker.cited(unescape(token[inside:end])), quote=False)}{token[end:]}"
    return _attributes(token, speaker)


def skeleton(tokens: list[str]) -> tuple[str, dict[str, str]]:
    """A block as the catalogue writes it, its inline elements as <0>..</0> or <1/>, and what each stands for."""
    words: list[str] = []
    kept: dict[str, str] = {}
    open_: list[tuple[str, int]] = []
    number = 0
    for token in tokens:
        if not token.startswith("<"):
            words.append(unescape(token))
            continue
        name = _name(token)
        whole = token.count("<") > 1 or name in _ALONE or token.endswith("/>")
        if whole:
            mark = f"<{number}/>"
            number += 1
        elif token.startswith("</"):
            match = next((i for i in range(len(open_) - 1, -1, -1) if open_[i][0] == name), None)
            mark = f"</{open_.pop(match)[1]}>" if match is not None else ""
        else:
            open_.append((name, number))
            mark = f"<{number}>"
            number += 1
        kept[mark] = token
        words.append(mark)
    return "".join(words), kept
