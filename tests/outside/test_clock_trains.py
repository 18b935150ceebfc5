"""Going trains and motion work of clocks, from the turn of their shafts in seconds.

Wheels and pinions are in outside gearing, so every shaft turns against its neighbours; the first of
each train is taken to turn in the + sense.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.outside.hall import hall
from tests.outside.hall_audit import audited
from tests.outside.train_cases import (
    case,
    computed,
    train,
)
from tests.outside.trains import Mesh, Motor, solved
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Clock trains"
PUBLISHED = Evidence.PUBLISHED
BRAY = Source(
    PUBLISHED,
    "after S. Bray, Making Clocks; a thread of the NAWCC forum",
    "mb.nawcc.org/threads/...192122/#post-1574085",
)
BARREL = Source(
    PUBLISHED,
    "The Smoking Barrel, Let's get mathematical, part 6",
    "the-smoking-barrel.blogspot.com/2012/12/lets-get-mathematical-part-6.html",
)
TIMEX = Source(
    PUBLISHED,
    "notes on the Timex 61-series clock, p. 9",
    "manualsdump.com/en/manuals/timex-61model/230810/9",
)
GEARTRAINS = Source(PUBLISHED, "geartrains.com", "geartrains.com/gtwpmg.html")
BRITANNICA = Source(
    PUBLISHED,
    "Encyclopaedia Britannica, clock: the wheelwork",
    "britannica.com/EBchecked/topic/121951",
)
MOTION_WORK = Check(
    SUBJECT, "A21", "motion work between minute hand and hour hand", "12 to 1", BRITANNICA
)


def published(key: str, what: str, expected: str, source: Source) -> Check:
    return Check(SUBJECT, key, what, expected, source)


def once_in(seconds: int) -> Fraction:
    """Speed in rpm of a shaft that turns once in so many seconds."""
    return Fraction(60, seconds)


HOUR = 3600
#: Turns of the escape wheel by the hour: 30 teeth, each of which beats twice.
TIMEX_ESCAPES = Fraction(3600, 30 * 2)
TIMEX_TRAIN = train(
    Mesh("centre", "third", (80, 12)),
    Mesh("third", "escape", (72, 8)),
    centre=once_in(HOUR),
    third=-once_in(HOUR) * Fraction(80, 12),
    escape=once_in(HOUR) * TIMEX_ESCAPES,
)
TRAINS = [
    case(
        train(
            Mesh("great", "centre", (96, 12)),
            Mesh("centre", "third", (96, 12)),
            Mesh("third", "escape", (90, 12)),
            great=once_in(28800),
            centre=-once_in(3600),
            third=once_in(450),
            escape=-once_in(60),
        ),
        published(
            "A16",
            "going train of 96 on 12, 96 on 12, 90 on 12; its escape wheel turns once in 60 s",
            "third 450 s, centre 3600 s, great wheel 28 800 s",
            BRAY,
        ),
    ),
    case(
        train(
            Mesh("minutes", "between", (12, 48)),
            Mesh("between", "hours", (12, 36)),
            minutes=once_in(HOUR),
            between=-once_in(HOUR) / 4,
            hours=once_in(12 * HOUR),
        ),
        published(
            "A17", "motion work of 48 to 12 and 36 to 12", "12 to 1, in the same sense", BRAY
        ),
        computed(SUBJECT, "A17 between", "its shaft between the hands", "a quarter, the other way"),
        MOTION_WORK,
    ),
    case(
        train(
            Mesh("minutes", "between", (12, 40)),
            Mesh("between", "hours", (10, 36)),
            minutes=once_in(HOUR),
            between=-once_in(HOUR) * Fraction(12, 40),
            hours=once_in(12 * HOUR),
        ),
        published(
            "A18",
            "motion work: cannon pinion 12, minute wheel 40, minute pinion 10, hour wheel 36",
            "12 to 1",
            BARREL,
        ),
        computed(SUBJECT, "A18 between", "its shaft between the hands", "3/10, the other way"),
        MOTION_WORK,
    ),
    case(
        TIMEX_TRAIN,
        published(
            "A19",
            "80 on 12, 72 on 8, an escape wheel of 30 teeth that beats twice a tooth",
            "3600 beats an hour",
            TIMEX,
        ),
        computed(SUBJECT, "A19 between", "its third wheel", "20/3 turns an hour"),
    ),
    case(
        train(
            Mesh("hour", "second", (80, 13)),
            Mesh("second", "third", (78, 6)),
            Mesh("third", "escape", (72, 6)),
            hour=once_in(12 * HOUR),
            second=-once_in(7020),
            third=once_in(540),
            escape=-once_in(45),
        ),
        published(
            "A20",
            "80 on 13, 78 on 6, 72 on 6; an escape wheel of 45 teeth passes one a second",
            "the hour shaft turns once in 12 hours",
            GEARTRAINS,
        ),
        computed(SUBJECT, "A20 between", "the shafts between", "540 s and 7020 s a turn"),
    ),
]


@checked(
    published(
        "A16 to A18",
        "the going train with the motion work on its centre arbor, as one clock",
        "the hour hand turns once in 12 hours, as the minute hand",
        BRAY,
    )
)
@pytest.mark.parametrize("work", [(12, 48, 12, 36), (12, 40, 10, 36)])
def test_a_whole_clock_shows_the_hours(work: tuple[int, int, int, int]) -> None:
    cannon, wheel, pinion, hour = work
    clock = (
        Mesh("great", "centre", (96, 12)),
        Mesh("centre", "third", (96, 12)),
        Mesh("third", "escape", (90, 12)),
        Mesh("centre", "minute", (cannon, wheel), step=(0, 1)),
        Mesh("minute", "hour", (pinion, hour), step=(0, 1)),
        Motor("escape", 1),
    )
    built = hall(*clock)
    for turns in (solved(*clock), audited(built).turns(built)):
        assert turns["centre"] == once_in(HOUR)
        assert turns["hour"] == once_in(12 * HOUR)
        assert turns["great"] == -once_in(8 * HOUR)
