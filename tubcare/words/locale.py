"""How a person is spoken to: language, formats, units and currency, chosen once and handed on."""

from __future__ import annotations

import gettext
import re
from dataclasses import dataclass, field, replace
from enum import StrEnum
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from tubcare.ledger.currency import Currency, currency

if TYPE_CHECKING:
    from collections.abc import Mapping

    from babel import Locale

DOMAIN = "tubcare"
SOURCE_LANGUAGE = "en"
NO_CURRENCY = Currency(code="XXX", exponent=2)
"""ISO 4217's code for "no currency", until a logbook says which one it is kept in."""

# Formats that go with a language where the person's own formats belong to another language: dates
# carry names of months, and a sentence should not mix two languages.
_WORDS_TAGS = {"en": "en_GB", "de": "de_DE", "fi": "fi_FI"}
_NO_LANGUAGE = frozenset({"", "C", "POSIX"})
_US_UNITS = frozenset({"US", "LR", "MM"})
_TWO_STOPS = re.compile(r"(?<!\.)\.\.(?!\.)")
_PACKAGE = Path(__file__).resolve().parent.parent


class Units(StrEnum):
    """The system of units that quantities are shown and typed in."""

    METRIC = "metric"
    US = "us"


@dataclass(frozen=True, slots=True, kw_only=True)
class Speech:
    """Everything that decides how a thing is told.

    `formats_tag` names the locale of numbers, money and numeric dates (``de_DE``), `language` the
    language of sentences, and `words_tag` the locale of dates and lists with words in them: it
    always belongs to `language`.
    """

    language: str
    formats_tag: str
    words_tag: str
    units: Units
    translations: gettext.NullTranslations
    currency: Currency = NO_CURRENCY
    _loaded: dict[str, Locale] = field(default_factory=dict, repr=False, compare=False)

    def say(self, message: str, **parts: object) -> str:
        """Return the message in the person's language, its ``{name}`` places filled."""
        return _filled(self.translations.gettext(message), parts)

    def say_count(self, one: str, many: str, n: int, **parts: object) -> str:
        """Return the message in the plural form of `n`, which fills ``{n}``."""
        from tubcare.words.numbers import number  # noqa: PLC0415  numbers builds on this module

        message = self.translations.ngettext(one, many, n)
        return _filled(message, {"n": number(self, n), **parts})

    def say_in(self, context: str, message: str, **parts: object) -> str:
        """Return a short message that means different things in different contexts."""
        return _filled(self.translations.pgettext(context, message), parts)

    def own(self, text: str) -> str:
        """Return the person's language for a text of the program's own, such as a caution.

        What a person typed is no such text and stays as it is; nothing in it is a place to fill.
        """
        return self.translations.gettext(text) if text else text

    def with_currency(self, code: str) -> Speech:
        """Return the same speech with amounts in the currency of a logbook.

        Raises
        ------
        InputError
            For an unknown code.
        """
        return replace(self, currency=currency(code))

    def with_units(self, units: Units) -> Speech:
        """Return the same speech with another system of units."""
        return replace(self, units=units)

    @property
    def formats(self) -> Locale:
        """The locale of numbers, money and numeric dates."""
        return self._locale(self.formats_tag)

    @property
    def words(self) -> Locale:
        """The locale of dates and lists with words in them."""
        return self._locale(self.words_tag)

    def _locale(self, tag: str) -> Locale:
        found = self._loaded.get(tag)
        if found is None:
            found = self._loaded[tag] = babel_locale(tag)
        return found


def speech_for(
    environment: Mapping[str, str],
    *,
    chosen: str = "",
    units: Units | None = None,
    currency_code: str = "",
) -> Speech:
    """Return the speech for a person.

    Parameters
    ----------
    environment
        The process environment. Formats come from ``LC_ALL``, ``LC_TIME`` or ``LANG``, the
        language from ``LANGUAGE``, ``LC_ALL``, ``LC_MESSAGES`` or ``LANG`` (POSIX.1-2017, 8.2).
    chosen
        A locale such as ``de_AT`` or ``de-AT`` that outranks the environment, "" for none.
    units
        None takes those of the locale's territory.
    currency_code
        ISO 4217 code of the logbook, "" while none is open.
    """
    formats_tag = known_tag(chosen or _first(environment, "LC_ALL", "LC_TIME", "LANG"))
    named = chosen or _first(environment, "LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG")
    language = known_tag(named.partition(":")[0]).partition("_")[0]
    translations = _translations(language)
    if translations is None:
        language, translations = SOURCE_LANGUAGE, gettext.NullTranslations()
    own = formats_tag.partition("_")[0] == language
    territory = formats_tag.rpartition("_")[2]
    speech = Speech(
        language=language,
        formats_tag=formats_tag,
        words_tag=formats_tag if own else _WORDS_TAGS.get(language, language),
        units=units or (Units.US if territory in _US_UNITS else Units.METRIC),
        translations=translations,
    )
    return speech.with_currency(currency_code) if currency_code else speech


def known_tag(name: str) -> str:
    """Return the locale that is known for a POSIX or BCP 47 name; international English if none.

    ``de_DE.UTF-8@euro`` and ``de-DE`` are ``de_DE``; ``C`` and unknown names are ``en_001``.
    """
    plain = name.partition(".")[0].partition("@")[0].replace("-", "_")
    if plain in _NO_LANGUAGE:
        return "en_001"
    if _has_data(plain):
        return plain
    from babel import UnknownLocaleError  # noqa: PLC0415  Babel costs 20 ms

    for tag in (plain, plain.partition("_")[0]):
        try:
            return str(babel_locale(tag))
        except (UnknownLocaleError, ValueError, TypeError):
            continue
    return "en_001"


def _has_data(tag: str) -> bool:
    # The usual case, language_TERRITORY, is answered without loading Babel: the window asks for
    # the language before its first paint.
    language, _, territory = tag.partition("_")
    if not (language.isalpha() and language.islower() and territory.isupper()):
        return False
    found = find_spec("babel")
    places = () if found is None else found.submodule_search_locations or ()
    return any((Path(place) / "locale-data" / f"{tag}.dat").is_file() for place in places)


def babel_locale(tag: str) -> Locale:
    """Return the locale data of a tag."""
    from babel import Locale  # noqa: PLC0415  Babel costs 20 ms

    return Locale.parse(tag)


def languages() -> tuple[str, ...]:
    """Return the languages there are sentences in, English first."""
    folder = _folder()
    found = sorted(path.parent.parent.name for path in folder.glob(f"*/LC_MESSAGES/{DOMAIN}.mo"))
    return (SOURCE_LANGUAGE, *found)


def _first(environment: Mapping[str, str], *names: str) -> str:
    return next((environment[name] for name in names if environment.get(name)), "")


def _translations(language: str) -> gettext.NullTranslations | None:
    if language == SOURCE_LANGUAGE:
        return gettext.NullTranslations()
    try:
        return gettext.translation(DOMAIN, localedir=_folder(), languages=[language])
    except OSError:
        return None


def _folder() -> Path:
    installed = _PACKAGE / "resources" / "translations"
    return installed if installed.is_dir() else _PACKAGE.parent / "resources" / "translations"


def _filled(message: str, parts: Mapping[str, object]) -> str:
    """Fill the places of a message; what ends with a stop of its own (26. Nov.) gets no other."""
    told = message.format(**parts)
    return _TWO_STOPS.sub(".", told) if "}." in message else told
