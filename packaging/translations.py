"""Keeps the translations in step with the source.

    python packaging/translations.py          take new messages into every catalogue, then compile
    python packaging/translations.py check    say what is stale or missing, change nothing

Needs tubcare itself, and Babel, which it needs anyway.
"""

from __future__ import annotations

import argparse
import io
import sys
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from tubcare.care.template_words import in_words
from tubcare.care.templates import load_templates
from tubcare.care.templates_read import CAUTIONS_FILE
from tubcare.energy.build_data import read_cautions
from tubcare.resource_files import read_text, read_texts
from tubcare.water.cautions import parse_cautions
from tubcare.water.ranges import parse_ranges

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "resources" / "translations"
DOMAIN = "tubcare"
LANGUAGES = ("de", "fi")
LONG_AGO = datetime(2000, 1, 1, tzinfo=UTC)
# How the source marks messages: plain, with plural, in a context, for later, and what is wrong
# with a field, which is told by `reason_told`.
KEYWORDS: dict[str, tuple[int | tuple[int, str], ...] | None] = {
    "say": None,
    "say_count": (1, 2),
    "say_in": ((1, "c"), 2),
    "term": ((1, "c"), 2),
    "InputError": (2,),
}


def extracted() -> Catalog:
    """Return the catalogue of all messages in the source and in the program's own data files."""
    catalog = new_catalog(None)
    found = extract_from_dir(
        ROOT / "tubcare", [("**.py", "python")], keywords=KEYWORDS, strip_comment_tags=True
    )
    for filename, _line, message, comments, context in sorted(found, key=_order):
        # Without line numbers a catalogue changes only when a message does.
        catalog.add(
            message,
            locations=[(f"tubcare/{Path(filename).as_posix()}", 0)],
            auto_comments=comments,
            context=context,
        )
    for name, text in own_texts():
        catalog.add(text, locations=[(f"resources/{name}", 0)])
    return catalog


def own_texts() -> Iterator[tuple[str, str]]:
    """Yield each text of the data files that a person sees, with the file that it stands in."""
    plans = read_texts("care_plans", ".toml")
    cautions = plans.pop(CAUTIONS_FILE)
    asked: list[str] = []

    def ask(text: str) -> str:
        asked.append(text)
        return text

    # What a plan asks for when it is put in words is what there is to translate.
    for each in load_templates({CAUTIONS_FILE: cautions}).cautions.values():
        yield f"care_plans/{CAUTIONS_FILE}", each.text
    for name, content in plans.items():
        asked.clear()
        templates = load_templates({name: content, CAUTIONS_FILE: cautions})
        in_words(replace(templates, cautions={}), ask)
        yield from ((f"care_plans/{name}", text) for text in asked)
    of_water = parse_cautions(read_text("water/cautions.toml"))
    groups = (*of_water.by_compound.values(), of_water.stock)
    yield from (("water/cautions.toml", each.text) for group in groups for each in group)
    book = parse_ranges(read_text("water/ranges.toml"))
    for ranges in (*book.defaults.values(), *book.liners.values()):
        for limits in ranges.values():
            yield from (("water/ranges.toml", text) for text in (limits.document, limits.section))
    for caution in read_cautions(read_text("energy/cautions.toml")):
        yield from (("energy/cautions.toml", text) for text in (caution.text, caution.source))


def new_catalog(language: str | None) -> Catalog:
    """Return an empty catalogue; its header holds no dates, so that a rebuild changes nothing."""
    return Catalog(
        locale=language,
        domain=DOMAIN,
        project=DOMAIN,
        version="1",
        header_comment="# Sentences of tubcare; written by packaging/translations.py.",
        msgid_bugs_address="none",
        last_translator="none",
        language_team="none",
        fuzzy=False,
    )


def updated(language: str, template: Catalog) -> Catalog:
    """Return a language's catalogue with the template's messages and its own translations."""
    catalog = read(language)
    catalog.update(template, no_fuzzy_matching=True)
    fresh = new_catalog(language)
    for name in ("header_comment", "project", "version", "msgid_bugs_address"):
        setattr(catalog, name, getattr(fresh, name))
    catalog.last_translator, catalog.language_team = fresh.last_translator, fresh.language_team
    # What the source no longer says is dropped; version control remembers it.
    catalog.obsolete.clear()
    return catalog


def read(language: str) -> Catalog:
    """Return a language's catalogue as it is kept."""
    path = po_path(language)
    if not path.exists():
        return new_catalog(language)
    with path.open("rb") as file:
        return read_po(file, locale=language, domain=DOMAIN)


def po_text(catalog: Catalog) -> bytes:
    """Return a catalogue as its file holds it."""
    out = io.BytesIO()
    write_po(
        out,
        catalog,
        width=99,
        omit_header=catalog.locale is None,
        include_lineno=False,
    )
    lines = out.getvalue().splitlines(keepends=True)
    dated = (b'"POT-Creation-Date', b'"PO-Revision-Date', b'"Generated-By')
    return b"".join(line for line in lines if not line.startswith(dated))


def mo_bytes(catalog: Catalog) -> bytes:
    """Return a catalogue compiled for gettext."""
    # The header of a compiled catalogue holds dates; a rebuild shall not change it.
    catalog.creation_date = catalog.revision_date = LONG_AGO
    out = io.BytesIO()
    write_mo(out, catalog)
    return out.getvalue()


def po_path(language: str) -> Path:
    """Return where a language's catalogue lies."""
    return FOLDER / language / "LC_MESSAGES" / f"{DOMAIN}.po"


def files() -> Iterator[tuple[Path, bytes]]:
    """Yield every file as it should be."""
    template = extracted()
    yield FOLDER / f"{DOMAIN}.pot", po_text(template)
    for language in LANGUAGES:
        text = po_text(updated(language, template))
        yield po_path(language), text
        catalog = read_po(io.BytesIO(text), locale=language, domain=DOMAIN)
        yield po_path(language).with_suffix(".mo"), mo_bytes(catalog)


def missing(language: str) -> list[str]:
    """Return the messages that a language does not say yet."""
    return [str(message.id) for message in read(language) if message.id and not _is_told(message)]


def main() -> int:
    """Write the files, or check them; return 1 when a check finds something."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("action", nargs="?", choices=("write", "check"), default="write")
    action = parser.parse_args().action
    stale = [path for path, data in files() if not path.exists() or path.read_bytes() != data]
    if action == "write":
        for path, data in files():
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
    for path in stale:
        print("written:" if action == "write" else "stale:", path.relative_to(ROOT))
    for language in LANGUAGES:
        print(f"{language}: {len(missing(language))} messages without a translation")
    return 1 if stale and action == "check" else 0


def _is_told(message: Message) -> bool:
    # What is in doubt ("fuzzy") is left out of the compiled catalogue.
    told = "" if message.fuzzy else message.string
    return bool(told) if isinstance(told, str) else told is not None and all(told)


def _order(found: tuple[str, int, object, object, object]) -> tuple[str, int]:
    return found[0], found[1]


if __name__ == "__main__":
    sys.exit(main())
