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
    "undo_place": phrase("Taken back: the count is where it was before it was moved."),
    "undo_nothing": phrase("There is nothing to take back."),
    "menu": phrase("Menu"),
    "close": phrase("Close"),
    "save": phrase("Write it down"),
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
        "This sock was begun by another plan than this page has, since the first sock was changed. "
        "Load this page anew before you count on."
    ),
    # keeping
    "sync_done": phrase("All is kept in the workshop."),
    "sync_here": phrase("{n} kept on this device, not yet in the workshop."),
    "sync_off": phrase("No network: counting goes on and is kept on this device."),
    "away": phrase(
        "The workshop is not reached now, so its pages cannot be opened. Counting goes on here."
    ),
    "sync_refused": phrase("The workshop did not take it; it is kept here and tried again."),
    "sync_enter": phrase("The workshop asks for its pass-phrase again; all is kept here."),
    "sync_alone": phrase(
        "Kept on this device alone. Save the log when you are done, and bring it to the workshop: "
        "the page of the pair takes it."
    ),
    "enter_again": phrase("Give the pass-phrase"),
    "sync_short_enter": phrase("pass-phrase"),
    "sync_short_done": phrase("kept"),
    "sync_short_here": phrase("kept here"),
    "sync_short_off": phrase("no network"),
    "sync_short_alone": phrase("save log"),
    "sync_short_unkept": phrase("not saved"),
    "sync_short_left": phrase("not taken"),
    "refused": phrase("What the workshop did not take"),
    "refused_lead": phrase("All the rest is kept. Mend it and send it again, or drop it."),
    "refused_note": phrase("Note of {time}"),
    "refused_other": phrase("What was counted at {time}"),
    "refused_again": phrase("Send again"),
    "refused_drop": phrase("Drop"),
    "unkept_save": phrase("Save the log as a file"),
    "sync_now": phrase("Send it now"),
    "log_save": phrase("Save the log"),
    "log_text": phrase("The log as text, where saving does not work"),
    "log_copy": phrase("Copy the text"),
    "log_copied": phrase("The text is copied."),
    "log_selected": phrase("The text is selected: copy it."),
    "not_kept": phrase(
        "This browser keeps nothing: leave this page open, or the count on this device is lost."
    ),
    # menu
    "lost": phrase("I lost count"),
    "mishaps": phrase("Something went wrong"),
    "extra": phrase("I knitted more or fewer"),
    "note": phrase("Note"),
    "settings": phrase("Sound, speech, screen"),
    "keys": phrase("Keys"),
    "state": phrase("Where the count is kept"),
    "guide": phrase("How the steps speak"),
    # lost count
    "lost_lead": phrase("Tell what you can see; leave out what you cannot tell."),
    "lost_raised": phrase("Which needles are up?"),
    "lost_raised_hint": phrase(
        "Such as 31-60, or 1-4, 27-60; over the home gap 59-2. Or draw along the ring."
    ),
    "lost_raised_none": phrase("None is up"),
    "lost_gap": phrase("Past which needle does the carrier stand?"),
    "lost_gap_turning": phrase("Which needle has just passed the carrier?"),
    "lost_section": phrase("Which part are you in?"),
    "lost_any": phrase("I cannot tell"),
    "lost_length_cm": phrase(
        "How many centimetres long is this part so far, hanging on the machine?"
    ),
    "lost_length_in": phrase("How many inches long is this part so far, hanging on the machine?"),
    "lost_find": phrase("Find the places that fit"),
    "lost_fits": phrase("The places that fit, the likeliest first"),
    "lost_nothing": phrase(
        "No place of this sock fits that. Leave out what you are least sure of."
    ),
    "lost_bad": phrase("This cannot be read: {text}"),
    "fit_well": phrase("fits well"),
    "fit_fair": phrase("fits fairly"),
    "fit_poor": phrase("fits poorly"),
    "placed": phrase("The count is at this place now. Undo takes it back."),
    # more or fewer
    "extra_where": phrase("In which rounds?"),
    "extra_lead": phrase("What was really knitted is kept, and the second sock can follow it."),
    "extra_more": phrase("more than planned"),
    "extra_fewer": phrase("fewer than planned"),
    "extra_nothing": phrase("No rounds are begun yet that could be more or fewer."),
    "extra_too_many": phrase("There are {n} rounds: so many fewer cannot be."),
    "extra_told": phrase("{more} knitted, {n} more than planned"),
    "extra_rounds": phrase("{section}, step {n}: {count} rounds"),
    # notes
    "note_text": phrase("What happened, or what to remember"),
    "note_deviation": phrase("I did something otherwise than the program says"),
    "notes": phrase("Written down so far"),
    "note_remove": phrase("Remove"),
    "deviation": phrase("otherwise than planned"),
    # sound, speech, screen
    "sound": phrase("A sound for each count"),
    "speech": phrase("Say the next step aloud"),
    "speech_none": phrase("This browser cannot speak."),
    "awake": phrase("Keep the screen awake"),
    "awake_none": phrase(
        "This browser keeps the screen awake only on the workshop's own computer or over https. "
        "Set the device itself to leave its screen on."
    ),
    "awake_refused": phrase(
        "The device does not keep its screen awake now; its battery may be low."
    ),
    "debounce": phrase("Ignore a second press within, ms"),
    "debounce_bad": phrase(
        "Not “{text}”: a whole number of ms from 0 to {most}. What was set before still holds."
    ),
    "tick_hint": phrase("Tap what is in order"),
    "below": phrase("more below"),
    # keys
    "keys_lead": phrase(
        "Pedals, remotes and reed switches type a key. Press Set, then the key for it."
    ),
    "keys_one": phrase("Count one"),
    "keys_ten": phrase("Count up to ten"),
    "keys_undo": phrase("Undo"),
    "keys_set": phrase("Set"),
    "keys_press": phrase("Press the key now"),
    "keys_usual": phrase("The usual keys again"),
    "keys_usual_now": phrase("The usual keys count again."),
    "keys_now": phrase("{deed}: {key}."),
    "keys_taken": phrase("{deed}: {key}. It was for this before: {from}."),
    "keys_none": phrase(
        "No key counts one now. Set one, or take the usual keys again; the button counts always."
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
            "{n} entry was not taken by the workshop; it stands below. All else is kept.",
            "{n} entries were not taken by the workshop; they stand below. All else is kept.",
            0,
        ),
        "rounds_left": said_of("{n} round to go", "{n} rounds to go", 0),
        "rows_left": said_of("{n} row to go", "{n} rows to go", 0),
        "advice_in_rounds": said_of("{what} in {n} round", "{what} in {n} rounds", 0, what=""),
        "advice_in_rows": said_of("{what} in {n} row", "{what} in {n} rows", 0, what=""),
        "extra_note": said_of(
            "Written down: {n} round more than planned",
            "Written down: {n} rounds more than planned",
            0,
        ),
        "fewer_note": said_of(
            "Written down: {n} round fewer than planned",
            "Written down: {n} rounds fewer than planned",
            0,
        ),
        "undo_count": said_of("Taken back: {n} count.", "Taken back: {n} counts.", 0),
        "undo_more": said_of(
            "Taken back: {n} round more than planned.",
            "Taken back: {n} rounds more than planned.",
            0,
        ),
        "undo_fewer": said_of(
            "Taken back: {n} round fewer than planned.",
            "Taken back: {n} rounds fewer than planned.",
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
