"""Every word that the page at the machine says by itself; the page fills in the fields."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sockwright.words import Tongue, phrase, said_as, said_of

WORDS: Mapping[str, str] = {
    # the count
    "step_of": phrase("step {n} of {of}"),
    "of": phrase("of {of}"),
    "rounds_done": phrase("rounds done"),
    "rows_done": phrase("rows done"),
    "next": phrase("Next: {what}"),
    "last_step": phrase("This is the last step."),
    "finished": phrase("This sock is off the machine and done."),
    "finished_next": phrase("Write down what it measures once it is washed and dry."),
    # places
    "carrier_at": phrase("Carrier past needle {n}."),
    "carrier_home": phrase("Carrier at the home gap, past needle {n}."),
    "needle_at": phrase("Needle {n} has passed the carrier."),
    "needle_home": phrase("The home gap is at the carrier: needle {n} has passed it."),
    "then_carrier": phrase("Then past needle {n}."),
    "then_needle": phrase("Then needle {n} passes it."),
    "row_carrier": phrase(
        "This row began with the carrier past needle {start} and ends past needle {n}."
    ),
    "round_carrier": phrase(
        "This round began with the carrier past needle {start} and ends past needle {n}."
    ),
    "row_needle": phrase(
        "This row began when needle {start} had passed the carrier, and ends when needle {n} has."
    ),
    "round_needle": phrase(
        "This round began when needle {start} had passed the carrier, and ends when needle {n} has."
    ),
    "none": phrase("none"),
    "range": phrase("{first} to {last}"),
    "and": phrase("{some} and {last}"),
    # buttons
    "count_one": phrase("+1"),
    "count_round": phrase("Round done"),
    "count_row": phrase("Row done"),
    "count_do": phrase("Done"),
    "count_more": phrase("+{n}"),
    "undo": phrase("Undo"),
    "undo_place": phrase("Undone: the count is back where it was."),
    "undo_nothing": phrase("Nothing to undo."),
    "menu": phrase("Menu"),
    "close": phrase("Close"),
    "save": phrase("Add note"),
    "go_there": phrase("Go there"),
    # what hangs, and when it changes
    "standing": phrase("On the machine now"),
    "main_on_now": said_as("state", "main weight on"),
    "main_off_now": said_as("state", "main weight off"),
    "heel_on_now": said_as("state", "heel weights on"),
    "heel_off_now": said_as("state", "heel weights off"),
    "spring_on_now": phrase("heel spring in use"),
    "spring_off_now": phrase("heel spring out"),
    "ribber_on_now": phrase("ribber connected"),
    "ribber_off_now": phrase("ribber disconnected"),
    "advice.main_on": phrase("main weight on"),
    "advice.main_higher": phrase("main weight higher"),
    "advice.main_off": phrase("main weight off"),
    "advice.heel_on": phrase("heel weights on"),
    "advice.heel_higher": phrase("heel weights higher"),
    "advice.heel_off": phrase("heel weights off"),
    "advice.spring_on": phrase("yarn into the heel spring"),
    "advice.spring_off": phrase("yarn out of the heel spring"),
    "advice.ribber_on": phrase("connect the ribber"),
    "advice.ribber_off": phrase("disconnect the ribber"),
    "advice.cam_to": phrase("set the stitch cam to {setting}"),
    "advice.cam_swatch": phrase("set the stitch cam as for the swatch"),
    "advice.cam_looser": phrase("loosen the stitch cam"),
    "advice.cam_firmer": phrase("tighten the stitch cam"),
    "advice_now": phrase("now: {what}"),
    "advice_soon": phrase("{what} before the next round or row"),
    # yarn and time
    "yarn": phrase("{name}: {need} g to go for the pair"),
    "yarn_left": phrase("{name}: about {left} g left, {need} g to go for the pair"),
    "yarn_short": phrase("{name} will not reach: about {left} g left, {need} g to go for the pair"),
    "time_left": phrase("about {time} to go"),
    "hours": phrase("{h} h {min} min"),
    "minutes": phrase("{min} min"),
    # the other sock
    "other_plan": phrase(
        "This page shows an old plan: the first sock was changed. Reload it before you go on "
        "counting."
    ),
    # keeping
    "sync_done": phrase("Everything is saved in the workshop."),
    "sync_here": phrase("{n} saved on this device, not yet in the workshop."),
    "sync_off": phrase("No network: keep counting; the count is saved on this device."),
    "away": phrase(
        "No connection to the workshop. Keep counting here; its other pages will not open."
    ),
    "sync_refused": phrase(
        "The workshop did not accept this count. It is saved here and will be sent again."
    ),
    "sync_enter": phrase("The workshop asks for its passphrase again; everything is saved here."),
    "sync_alone": phrase(
        "Saved on this device only. When you finish, save the log and import it on the pair's page."
    ),
    "enter_again": phrase("Enter the passphrase"),
    "sync_short_enter": phrase("passphrase"),
    "sync_short_done": phrase("saved"),
    "sync_short_here": phrase("only here"),
    "sync_short_off": phrase("no network"),
    "sync_short_alone": phrase("save log"),
    "sync_short_unkept": phrase("not saved"),
    "sync_short_left": phrase("not taken"),
    "refused": phrase("Not accepted by the workshop"),
    "refused_lead": phrase(
        "Everything else is saved. Correct this entry and send it again, or discard it."
    ),
    "refused_note": phrase("Note of {time}"),
    "refused_other": phrase("Counted at {time}"),
    "refused_again": phrase("Send again"),
    "refused_drop": phrase("Discard"),
    "unkept_save": phrase("Save the log as a file"),
    "sync_now": phrase("Send it now"),
    "log_save": phrase("Save the log"),
    "log_text": phrase("The log as text, where saving does not work"),
    "log_copy": phrase("Copy the text"),
    "log_copied": phrase("The text is copied."),
    "log_selected": phrase("The text is selected: copy it."),
    "not_kept": phrase(
        "This browser saves nothing: leave this page open, or the count on this device is lost."
    ),
    # menu
    "lost": phrase("I lost count"),
    "mishaps": phrase("Something went wrong"),
    "extra": phrase("I knitted more or fewer rounds"),
    "note": phrase("Note"),
    "settings": phrase("Sound, speech, screen"),
    "keys": phrase("Keys"),
    "state": phrase("Where the count is saved"),
    "guide": phrase("How to read the steps"),
    # lost count
    "lost_lead": phrase("Enter what you see. Skip what you are not sure of."),
    "lost_raised": phrase("Which needles are up?"),
    "lost_raised_hint": phrase(
        "Such as 31-60, or 1-4, 27-60; over the home gap 59-2. Or draw along the ring."
    ),
    "lost_raised_none": phrase("None is up"),
    "lost_gap": phrase("Past which needle does the carrier stand?"),
    "lost_gap_turning": phrase("Which needle has just passed the carrier?"),
    "lost_section": phrase("Which part are you in?"),
    "lost_any": phrase("I am not sure"),
    "lost_length_cm": phrase(
        "How many centimetres long is this part so far, hanging on the machine?"
    ),
    "lost_length_in": phrase("How many inches long is this part so far, hanging on the machine?"),
    "lost_find": phrase("Find matching places"),
    "lost_fits": phrase("Matching places, the likeliest first"),
    "lost_nothing": phrase("No place in this sock matches. Skip what you are least sure of."),
    "lost_bad": phrase("This cannot be read: {text}"),
    "fit_well": phrase("fits well"),
    "fit_fair": phrase("fits fairly"),
    "fit_poor": phrase("fits poorly"),
    "placed": phrase("The count goes on from here now. Undo takes you back."),
    # more or fewer
    "extra_where": phrase("In which rounds?"),
    "extra_lead": phrase("What you really knitted is saved, and the second sock can follow it."),
    "extra_more": phrase("more than planned"),
    "extra_fewer": phrase("fewer than planned"),
    "extra_nothing": phrase("You have not begun a part whose rounds could change."),
    "extra_too_many": phrase("There are only {n} rounds, so that many fewer is not possible."),
    "extra_told": phrase("{more} knitted, {n} more than planned"),
    "extra_rounds": phrase("{section}, step {n}: {count} rounds"),
    # notes
    "note_text": phrase("What happened, or what to remember"),
    "note_deviation": phrase("I did something different"),
    "notes": phrase("Notes so far"),
    "note_remove": phrase("Remove"),
    "deviation": phrase("different from the plan"),
    # sound, speech, screen
    "sound": phrase("A sound for each count"),
    "speech": phrase("Read the next step aloud"),
    "speech_none": phrase("This browser cannot speak."),
    "awake": phrase("Keep the screen awake"),
    "awake_none": phrase(
        "This browser keeps the screen awake only on the workshop's own computer or over https. "
        "Set the device itself to leave its screen on."
    ),
    "awake_refused": phrase(
        "The device does not keep its screen awake now; its battery may be low."
    ),
    "debounce": phrase("Ignore a repeat press within (ms)"),
    "debounce_bad": phrase(
        "Not “{text}”: a whole number of ms from 0 to {most}. What was set before still holds."
    ),
    "tick_hint": phrase("Tap what is in order"),
    "below": phrase("more below"),
    # keys
    "keys_lead": phrase(
        "Pedals, remotes and reed switches send a key. Press Set, then press that key."
    ),
    "keys_one": phrase("Count one"),
    "keys_ten": phrase("Count up to ten"),
    "keys_undo": phrase("Undo"),
    "keys_set": phrase("Set"),
    "keys_press": phrase("Press the key now"),
    "keys_usual": phrase("Reset keys"),
    "keys_usual_now": phrase("Keys reset."),
    "keys_now": phrase("{deed}: {key}."),
    "keys_taken": phrase("{deed}: {key}. It was for this before: {from}."),
    "keys_none": phrase(
        "No key is set for +1. Set one or reset the keys. The +1 button always works."
    ),
    "key.Space": phrase("space bar"),
    "key.Enter": phrase("Enter key"),
    "key.PageDown": phrase("Page Down"),
    "key.PageUp": phrase("Page Up"),
    "key.ArrowRight": phrase("arrow right"),
    "key.ArrowLeft": phrase("arrow left"),
    "key.Backspace": phrase("Backspace"),
}


PLURALS: Mapping[str, tuple[str, str]] = {
    key: (text.template, text.many or text.template)
    for key, text in {
        "unkept": said_of(
            "{n} count is not saved: this device is full. Save the log before you close this page.",
            "{n} counts are not saved: this device is full. Save the log before you close this "
            "page.",
            0,
        ),
        "sync_left": said_of(
            "The workshop did not accept {n} entry; see below. Everything else is saved.",
            "The workshop did not accept {n} entries; see below. Everything else is saved.",
            0,
        ),
        "rounds_left": said_of("{n} round to go", "{n} rounds to go", 0),
        "rows_left": said_of("{n} row to go", "{n} rows to go", 0),
        "advice_in_rounds": said_of("{what} in {n} round", "{what} in {n} rounds", 0, what=""),
        "advice_in_rows": said_of("{what} in {n} row", "{what} in {n} rows", 0, what=""),
        "extra_note": said_of(
            "Noted: {n} round more than planned",
            "Noted: {n} rounds more than planned",
            0,
        ),
        "fewer_note": said_of(
            "Noted: {n} round fewer than planned",
            "Noted: {n} rounds fewer than planned",
            0,
        ),
        "undo_count": said_of("Undone: {n} count.", "Undone: {n} counts.", 0),
        "undo_more": said_of(
            "Undone: {n} round more than planned.",
            "Undone: {n} rounds more than planned.",
            0,
        ),
        "undo_fewer": said_of(
            "Undone: {n} round fewer than planned.",
            "Undone: {n} rounds fewer than planned.",
            0,
        ),
    }.items()
}


def page_words(tongue: Tongue) -> dict[str, Any]:
    """The words in a language; for those that depend on a number a pair, for one and for many."""
    words: dict[str, Any] = {key: tongue.tell(text) for key, text in WORDS.items()}
    for key, (one, many) in PLURALS.items():
        words[key] = [tongue.ngettext(one, many, 1), tongue.ngettext(one, many, 2)]
    return words
