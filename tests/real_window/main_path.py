"""From a new person to a decision in a real window, with synthetic mouse and keys.

    ./run.sh PROGRAM PICTURES

The person is invented; the board is simulated, at its true speed. Ends with an error and a picture
named "missing" at the first thing that is not as it should be.
"""

import json
import subprocess
import sys
import tempfile

from window import Window

CODE = "P-31"
HOLD_S = 35
# Frames a second of the simulated board at its default rate; each one of a hold must be kept.
FRAMES_PER_S = 250


def added(window):
    window.picture("start")
    window.show("People")
    window.write("New person's code", CODE)
    window.key("Return")
    window.waits_for(f"Course of {CODE}")
    window.picture("people")
    window.click(f"Course of {CODE}")


def planned(window):
    window.show("Plan")
    window.waits_for("No plan yet. Below is one to begin with")
    window.write("Made by", "clinician-1")
    window.go_to_by_keys("Store as version 1")
    window.key("space")
    window.waits_for(f"Plan of {CODE}, version 1")
    window.picture("plan")


def stood(window):
    window.show("Stand")
    for question in ["Anything new: ", "A fall", "Leg pain further down", "New numbness"]:
        window.click(question, "No")
    window.click("Pain now, 0 to 10 2")
    window.click("Begin the session")
    window.waits_for("Session since")
    for eyes in ["eyes open", "eyes closed"]:
        window.choose("Condition", f"foam, hip width, {eyes}")
        window.choose("Board", "simulated")
        window.write("Seconds", str(HOLD_S))
        window.write("Settle first, s", "1")
        window.key("F5")
        window.waits_for("s left")
        window.picture(f"standing, {eyes}")
        window.waits_for(f"kept, {HOLD_S * FRAMES_PER_S} samples")
        window.waits_for(f"foam, hip width, {eyes}, measured")
        window.click("How hard was it, 0 very easy to 10 cannot? 3")
        window.click("Touched anything? No")
        window.waits_for("Answers stored")
        window.picture(f"stood, {eyes}")
    window.click("At the end of the session")
    window.click("Worst pain while standing, 0 to 10 3")
    window.click("Pain at the end, 0 to 10 2")
    window.picture("end of the session")
    window.click("End the session")
    window.waits_for("Before the first stand, ask")


def compared(window):
    window.show("Trials")
    window.click("Set A: foam, hip width, eyes open")
    window.click("Set B: foam, hip width, eyes closed")
    window.picture("trials")
    window.click("Compare A with B")
    window.waits_for("Mean velocity")
    for drawing in ["Path", "Over time", "Frequency"]:
        window.click(drawing)
        window.picture(f"compare, {drawing}")


def decided(window):
    window.show("Course")
    window.waits_for("difficulty 3; pain 2 at start, 3 worst")
    window.write("Decided by", "clinician-1")
    window.click("Decide", roles=("push button",))
    window.click("Store this decision")
    window.waits_for("clinician-1: foam, hip width, eyes open")
    window.picture("course")


def stored(program, data):
    """What the records say afterwards, asked on the command line."""
    def asked(*words):
        answer = subprocess.run([program, "--data", data, *words], capture_output=True, text=True, check=True)
        return json.loads(answer.stdout)
    sessions = asked("sessions", "list", CODE, "--json")
    assert len(sessions) == 1, sessions
    answers = sessions[0]
    wanted = {"pain_at_start": 2, "worst_pain_during": 3, "pain_after": 2, "anything_new": False}
    for question, answer in wanted.items():
        assert answers[question] == answer, (question, answers[question])
    step = asked("next-step", CODE, "--json")
    assert step["plan_version"] == 1 and step["verdict"] == "not enough data", step


def main(program, pictures):
    with tempfile.TemporaryDirectory() as data:
        window = Window([program, "--data", data, "open"], pictures)
        try:
            for step in [added, planned, stood, compared, decided]:
                step(window)
                print("done:", step.__name__, flush=True)
            stored(program, data)
        finally:
            window.close()
    print("The whole path was gone through; pictures in", pictures)


if __name__ == "__main__":
    main(*sys.argv[1:])
