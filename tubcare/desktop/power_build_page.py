"""The build editor: walls, lid, machine and habits, on top of the tub's profile."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QLabel
from typing_extensions import override

from tubcare.desktop.power_build_form import BuildForm
from tubcare.desktop.table_export import TableExport
from tubcare.desktop.theme import worded
from tubcare.desktop.tub_part import EntryBox, TubPart
from tubcare.exchange.build_csv import build_csv
from tubcare.services.power_change import BuildShown, build_shown, change_build
from tubcare.words.numbers import number, percent
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.power import pull_down_told

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.screen import Context
    from tubcare.energy.from_profile import Described
    from tubcare.services.measures import TubPlace


class PowerBuildPage(TubPart):
    """One form; what is left as the profile has it follows the profile."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self._shown: BuildShown | None = None
        self.told = QLabel()
        self.told.setWordWrap(True)
        keep = self.add_page_action(say("Keep this build"), self.keep)
        self.reset_action = self.add_page_action(say("As the profile says"), self.reset)
        self.export = TableExport(
            self, say("Export the build as CSV…"), name="build", table=self._table
        )
        self.form = BuildForm(context)
        self.box = EntryBox(context, self.form, keep)
        self.box.rows.setContentsMargins(0, 0, 0, 0)
        self.form.submitted.connect(self._submit)
        self._page = page = self.add_tall_page()
        page.rows.addWidget(worded(QLabel(say("Build")), "group"))
        page.rows.addWidget(self.told)
        page.rows.addWidget(self.box)
        page.rows.addStretch(1)

    @override
    def read(self) -> None:
        """Read the build that holds for the tub."""
        if self.tub is not None:
            self.context.work.on_logbook(
                partial(build_shown, self.context.desk, self.tub.id),
                done=self._show,
                title=self.context.say("Reading the build"),
                replaces="power build",
            )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the wall."""
        self.form.wall.setFocus()

    @Slot()
    def keep(self) -> None:
        """Keep what is typed; the ledger's estimates follow."""
        if self._shown is None or not self.box.form.check():
            return
        try:
            described = self.form.described(self._shown)
        except ValueError as error:
            self.box.tell(error)
            return
        self._write(described)

    @Slot()
    def reset(self) -> None:
        """Let the build be what the profile stands for."""
        if self._shown is not None:
            self._write(self._shown.usual)

    def _table(self) -> Callable[[], str] | None:
        return None if self._shown is None else partial(build_csv, self._shown)

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.keep()

    def _write(self, described: Described) -> None:
        if self._shown is not None:
            self.box.write(
                partial(change_build, self.context.desk, self._shown.build.place.id, described),
                done=self._say_kept,
                title=self.context.say("Keeping the build"),
            )

    def _say_kept(self, _place: TubPlace) -> None:
        self.context.strip.say(self.context.say("Build kept."), undo=self.context.undo)

    def _show(self, shown: BuildShown) -> None:
        self._shown = shown
        self.form.fill(shown)
        self.reset_action.setEnabled(bool(shown.build.told))
        self.told.setText(self._told(shown))
        self._page.fit()

    def _told(self, shown: BuildShown) -> str:
        speech = self.context.speech
        told = [
            speech.say(
                "{volume} of water lose {leak} W for each degree of difference to the air; the"
                " lid's part is {share}.",
                volume=quantity(speech, shown.build.profile.volume_l, Unit.LITRE),
                leak=number(speech, shown.leak_w_k, 1),
                share=percent(speech, shown.lid_share),
            )
        ]
        if shown.build.told:
            told.append(speech.say("Some of it you told; the rest follows from the profile."))
        else:
            told.append(
                speech.say(
                    "All of it follows from the profile's liner, cladding and lid, as tubs of that"
                    " kind are usually built. Correct what you know better."
                )
            )
        told.append(
            pull_down_told(
                speech,
                shown.pull_down,
                cooling_w=shown.build.described.cooling_w,
                fill_c=shown.fill_c,
                air_c=shown.air_c,
            )
        )
        return " ".join(told).rstrip()
