"""Every word that the page at the machine says by itself; the page fills in the fields."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sockwright.i18n import N_, Locale, ngettext, pgettext

WORDS: Mapping[str, str] = {
    # the count
    "step_of": N_("step {n} of {of}"),
    "of": N_("of {of}"),
    "rounds_done": N_("rounds done"),
    "rows_done": N_("rows done"),
    "next": N_("Next: {what}"),
    "last_step": N_("This is the last step."),
    "finished": N_("This sock is off the machine and done."),
    "finished_next": N_("Write down what it measures once it is washed and dry."),
    # places
    "carrier_at": N_("Carrier past needle {n}."),
    "carrier_home": N_("Carrier at the home gap, past needle {n}."),
    "needle_at": N_("Needle {n} has passed the carrier."),
    "needle_home": N_("The home gap is at the carrier: needle {n} has passed it."),
    "then_carrier": N_("Then past needle {n}."),
    "then_needle": N_("Then needle {n} passes it."),
    "row_carrier": N_(
        "This row began with the carrier past needle {start} and ends past needle {n}."
    ),
    "round_carrier": N_(
        "This round began with the carrier past needle {start} and ends past needle {n}."
    ),
    "row_needle": N_(
        "This row began when needle {start} had passed the carrier, and ends when needle {n} has."
    ),
    "round_needle": N_(
        "This round began when needle {start} had passed the carrier, and ends when needle {n} has."
    ),
    "none": N_("none"),
    "range": N_("{first} to {last}"),
    "and": N_("{some} and {last}"),
    # buttons
    "count_one": N_("+1"),
    "count_round": N_("Round done"),
    "count_row": N_("Row done"),
    "count_do": N_("Done"),
    "count_more": N_("+{n}"),
    "undo": N_("Undo"),
    "undo_place": N_("Undone: the count is back where it was."),
    "undo_nothing": N_("Nothing to undo."),
    "menu": N_("Menu"),
    "close": N_("Close"),
    "save": N_("Add note"),
    "go_there": N_("Go there"),
    # what hangs, and when it changes
    "standing": N_("On the machine now"),
    "main_on_now": pgettext("state", "main weight on"),
    "main_off_now": pgettext("state", "main weight off"),
    "heel_on_now": pgettext("state", "heel weights on"),
    "heel_off_now": pgettext("state", "heel weights off"),
    "spring_on_now": N_("heel spring in use"),
    "spring_off_now": N_("heel spring out"),
    "ribber_on_now": N_("ribber connected"),
    "ribber_off_now": N_("ribber disconnected"),
    "advice.main_on": N_("main weight on"),
    "advice.main_higher": N_("main weight higher"),
    "advice.main_off": N_("main weight off"),
    "advice.heel_on": N_("heel weights on"),
    "advice.heel_higher": N_("heel weights higher"),
    "advice.heel_off": N_("heel weights off"),
    "advice.spring_on": N_("yarn into the heel spring"),
    "advice.spring_off": N_("yarn out of the heel spring"),
    "advice.ribber_on": N_("connect the ribber"),
    "advice.ribber_off": N_("disconnect the ribber"),
    "advice.cam_to": N_("set the stitch cam to {setting}"),
    "advice.cam_swatch": N_("set the stitch cam as for the swatch"),
    "advice.cam_looser": N_("loosen the stitch cam"),
    "advice.cam_firmer": N_("tighten the stitch cam"),
    "advice_now": N_("now: {what}"),
    "advice_soon": N_("{what} before the next round or row"),
    # yarn and time
    "yarn": N_("{name}: {need} g to go for the pair"),
    "yarn_left": N_("{name}: about {left} g left, {need} g to go for the pair"),
    "yarn_short": N_("{name} will not reach: about {left} g left, {need} g to go for the pair"),
    "time_left": N_("about {time} to go"),
    "hours": N_("{h} h {min} min"),
    "minutes": N_("{min} min"),
    # the other sock
    "other_plan": N_(
        "This page shows an old plan: the first sock was changed. Reload it before you go on "
        "counting."
    ),
    # keeping
    "sync_done": N_("Everything is saved in the workshop."),
    "sync_here": N_("{n} saved on this device, not yet in the workshop."),
    "sync_off": N_("No network: keep counting; the count is saved on this device."),
    "away": N_("No connection to the workshop. Keep counting here; its other pages will not open."),
    "sync_refused": N_(
        "The workshop did not accept this count. It is saved here and will be sent again."
    ),
    "sync_enter": N_("The workshop asks for its passphrase again; everything is saved here."),
    "sync_alone": N_(
        "Saved on this device only. When you finish, save the log and import it on the pair's page."
    ),
    "enter_again": N_("Enter the passphrase"),
    "sync_short_enter": N_("passphrase"),
    "sync_short_done": N_("saved"),
    "sync_short_here": N_("only here"),
    "sync_short_off": N_("no network"),
    "sync_short_alone": N_("save log"),
    "sync_short_unkept": N_("not saved"),
    "sync_short_left": N_("not taken"),
    "refused": N_("Not accepted by the workshop"),
    "refused_lead": N_(
        "Everything else is saved. Correct this entry and send it again, or discard it."
    ),
    "refused_note": N_("Note of {time}"),
    "refused_other": N_("Counted at {time}"),
    "refused_again": N_("Send again"),
    "refused_drop": N_("Discard"),
    "unkept_save": N_("Save the log as a file"),
    "sync_now": N_("Send it now"),
    "log_save": N_("Save the log"),
    "log_text": N_("The log as text, where saving does not work"),
    "log_copy": N_("Copy the text"),
    "log_copied": N_("The text is copied."),
    "log_selected": N_("The text is selected: copy it."),
    "not_kept": N_(
        "This browser saves nothing: leave this page open, or the count on this device is lost."
    ),
    # menu
    "lost": N_("I lost count"),
    "mishaps": N_("Something went wrong"),
    "extra": N_("I knitted more or fewer rounds"),
    "note": N_("Note"),
    "settings": N_("Sound, speech, screen"),
    "keys": N_("Keys"),
    "state": N_("Where the count is saved"),
    "guide": N_("How to read the steps"),
    # lost count
    "lost_lead": N_("Enter what you see. Skip what you are not sure of."),
    "lost_raised": N_("Which needles are up?"),
    "lost_raised_hint": N_(
        "Such as 31-60, or 1-4, 27-60; over the home gap 59-2. Or draw along the ring."
    ),
    "lost_raised_none": N_("None is up"),
    "lost_gap": N_("Past which needle does the carrier stand?"),
    "lost_gap_turning": N_("Which needle has just passed the carrier?"),
    "lost_section": N_("Which part are you in?"),
    "lost_any": N_("I am not sure"),
    "lost_length_cm": N_("How many centimetres long is this part so far, hanging on the machine?"),
    "lost_length_in": N_("How many inches long is this part so far, hanging on the machine?"),
    "lost_find": N_("Find matching places"),
    "lost_fits": N_("Matching places, the likeliest first"),
    "lost_nothing": N_("No place in this sock matches. Skip what you are least sure of."),
    "lost_bad": N_("This cannot be read: {text}"),
    "fit_well": N_("fits well"),
    "fit_fair": N_("fits fairly"),
    "fit_poor": N_("fits poorly"),
    "placed": N_("The count goes on from here now. Undo takes you back."),
    # more or fewer
    "extra_where": N_("In which rounds?"),
    "extra_lead": N_("What you really knitted is saved, and the second sock can follow it."),
    "extra_more": N_("more than planned"),
    "extra_fewer": N_("fewer than planned"),
    "extra_nothing": N_("You have not begun a part whose rounds could change."),
    "extra_too_many": N_("There are only {n} rounds, so that many fewer is not possible."),
    "extra_told": N_("{more} knitted, {n} more than planned"),
    "extra_rounds": N_("{section}, step {n}: {count} rounds"),
    # notes
    "note_text": N_("What happened, or what to remember"),
    "note_deviation": N_("I did something different"),
    "notes": N_("Notes so far"),
    "note_remove": N_("Remove"),
    "deviation": N_("different from the plan"),
    # sound, speech, screen
    "sound": N_("A sound for each count"),
    "speech": N_("Read the next step aloud"),
    "speech_none": N_("This browser cannot speak."),
    "awake": N_("Keep the screen awake"),
    "awake_none": N_(
        "This browser keeps the screen awake only on the workshop's own computer or over https. "
        "Set the device itself to leave its screen on."
    ),
    "awake_refused": N_("The device does not keep its screen awake now; its battery may be low."),
    "debounce": N_("Ignore a repeat press within (ms)"),
    "debounce_bad": N_(
        "Not “{text}”: a whole number of ms from 0 to {most}. What was set before still holds."
    ),
    "tick_hint": N_("Tap what is in order"),
    "below": N_("more below"),
    # keys
    "keys_lead": N_(
        "Pedals, remotes and reed switches send a key. Press Set, then press that key."
    ),
    "keys_one": N_("Count one"),
    "keys_ten": N_("Count up to ten"),
    "keys_undo": N_("Undo"),
    "keys_set": N_("Set"),
    "keys_press": N_("Press the key now"),
    "keys_usual": N_("Reset keys"),
    "keys_usual_now": N_("Keys reset."),
    "keys_now": N_("{deed}: {key}."),
    "keys_taken": N_("{deed}: {key}. It was for this before: {from}."),
    "keys_none": N_("No key is set for +1. Set one or reset the keys. The +1 button always works."),
    "key.Space": N_("space bar"),
    "key.Enter": N_("Enter key"),
    "key.PageDown": N_("Page Down"),
    "key.PageUp": N_("Page Up"),
    "key.ArrowRight": N_("arrow right"),
    "key.ArrowLeft": N_("arrow left"),
    "key.Backspace": N_("Backspace"),
}


PLURALS: Mapping[str, tuple[str, str]] = {
    key: (text.template, text.many or text.template)
    for key, text in {
        "unkept": ngettext(
            "{n} count is not saved: this device is full. Save the log before you close this page.",
            "{n} counts are not saved: this device is full. Save the log before you close this "
            "page.",
            0,
        ),
        "sync_left": ngettext(
            "The workshop did not accept {n} entry; see below. Everything else is saved.",
            "The workshop did not accept {n} entries; see below. Everything else is saved.",
            0,
        ),
        "rounds_left": ngettext("{n} round to go", "{n} rounds to go", 0),
        "rows_left": ngettext("{n} row to go", "{n} rows to go", 0),
        "advice_in_rounds": ngettext("{what} in {n} round", "{what} in {n} rounds", 0, what=""),
        "advice_in_rows": ngettext("{what} in {n} row", "{what} in {n} rows", 0, what=""),
        "extra_note": ngettext(
            "Noted: {n} round more than planned",
            "Noted: {n} rounds more than planned",
            0,
        ),
        "fewer_note": ngettext(
            "Noted: {n} round fewer than planned",
            "Noted: {n} rounds fewer than planned",
            0,
        ),
        "undo_count": ngettext("Undone: {n} count.", "Undone: {n} counts.", 0),
        "undo_more": ngettext(
            "Undone: {n} round more than planned.",
            "Undone: {n} rounds more than planned.",
            0,
        ),
        "undo_fewer": ngettext(
            "Undone: {n} round fewer than planned.",
            "Undone: {n} rounds fewer than planned.",
            0,
        ),
    }.items()
}


def page_words(locale: Locale) -> dict[str, Any]:
    """The words in a language; for those that depend on a number a pair, for one and for many."""
    words: dict[str, Any] = {key: locale.render(text) for key, text in WORDS.items()}
    for key, (one, many) in PLURALS.items():
        words[key] = [locale.ngettext(one, many, 1), locale.ngettext(one, many, 2)]
    return words
