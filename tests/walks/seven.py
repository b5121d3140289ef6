"""The story of a batch of seven: to the kill, and from there to its close; and its minutes, added up by hand."""

BEFORE_THE_KILL = """
open shop
press Patterns
press Copy a route
press Stock removal
type Creek paring
press Back
press Back
press Tools
press oven
press What it holds at once
press Clear
press 7
press OK
press clamps
press What it holds at once
press Clear
press 1
press 4
press OK
press Back
press Patterns
press Creek paring
press New batch
press 7
press Go

press hacksaw
press Start: Saw out
press Adjust
press Set-up
work 6.000001
press Adjust
press Now running
work 35.000001
press Next: Profile
work 12
press Undo
press Undo
work 20
press Yes, still at it
press Next: Profile
work 2
press Adjust
press Since
work 58.25
press Stop
work 1000
press Carry on: Profile
work 9

press Next: Drill holes
press drill jig
press Adjust
press Set-up
work 10
press Adjust
press Now running
work 14
press Done: A
work 6
press Done: B
work 12
press Adjust
press Take off 5 min

press Next: Grind bevels
press jig
press Adjust
press Set-up
work 5
press Done: A
press Undo
press Adjust
press Now running
work 15
press Done: A
work 14
press Done: B
press freehand
work 13
press Done: C
work 9
press Not right
press E
press Lost
press cracked
work 8
press Stop

press Shop work
press Sweeping
work 11.5
press Stop

open shop
press Patterns
press Copy a route
press Kitchen knife
type Tidewater cook
press New batch
press 3
press Go
press Start: Saw out
work 18.5
press 26-01
press Grind bevels
work 13
press Next: Harden
work 11
press Done: A
work 26.5
press Next: Temper 1
work 10
press Start: Saw scales
"""
"""The shop has an oven for seven and fourteen clamps. Undo after twelve minutes asks first, so it is pressed twice.
Where two methods and seven letters stand on the plate, setting up stands in Adjust.
Sawing out takes so long that the window asks after it. The second batch goes on until a step is started."""

AFTER_THE_KILL = """
work 20
press Next: Fit scales
work 9
press Done: A
work 30
press Done: B
work 40
press Stop
work 25.5
press All through
press Seen
press Start: Temper 2
work 840
press Take out

press Start: Finish grind
press Adjust
press Set-up
work 5
press Adjust
press Now running
work 41
press Pieces
press A
press Back
work 20
press Pieces
press The others
press Back
work 12
press Stop
press Pieces
press All
press Back
work 0.1
press Carry on: Finish grind
work 3
press Not right
press B
press Rework, and why
press Grind bevels
press Finish grind
work 7.75
press Done: B
work 1
press Stop
press Finish grind
work 4
press Next: Mark
work 10
press Next: Glue up
work 6
press Done: A
work 20
press Next: Cure

press 26-02
press Start: Saw out
work 8
press Next: Profile
work 25
press Stop
work 1350
press 26-01
work 51
press Take out
press Start: Shape handle
work 25
press Take out
press Done: A
press Stop
press Start: Shape handle
work 70
press Done: B
work 41
press Not right
press C
press Second
press Next: Sand handle
work 80
press Next: Sharpen
work 25
press Done: A
work 20
press Next: Check and pack
work 15
press All through

open batches
press 26-01
press Close
press G
press Kept
press Next time
type Bevels on the jig from the start
press Close 26-01
"""

RUN_MIN = {
    "Saw out": 35.000001 + 12 + 20 - 3,
    "Profile": 5 + 58.25 + 9,
    "Drill holes": 14 + 6 + 12 - 5,
    "Grind bevels": 15 + 14 + 13 + 9 + 8 + 13,
    "Harden": 11 + 26.5,
    "Saw scales": 20,
    "Fit scales": 9 + 30 + 40,
    "Finish grind": 41 + 20 + 12 + 3 + 4,
    "Mark": 10,
    "Glue up": 6 + 20,
    "Shape handle": 25 + 70 + 41,
    "Sand handle": 80,
    "Sharpen": 25 + 20,
    "Check and pack": 15,
}
"""Since 5 min, pressed two minutes after Profile was, takes three from Saw out. Five were taken off at the drill."""
SETUP_MIN = {"Saw out": 6.000001, "Drill holes": 10, "Grind bevels": 5, "Finish grind": 5}
REWORK_MIN = {"Grind bevels": 7.75 + 1}
SWEEPING_MIN = 11.5
SECOND_BATCH_MIN = 18.5 + 8 + 25
LOST_E_MIN = (6.000001 + 64.000001 + 72.25 + 10 + 5) / 7 + (12 - 5) / 5 + 9
"""A seventh of what all shared, a fifth of the rest at the drill after A and B, a quarter at the bevels after C."""
