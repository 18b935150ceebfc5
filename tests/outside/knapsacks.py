"""Knapsack instances that others published: weights, profits, capacity and greatest profit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class Knapsack:
    """Items of which each is packed or not."""

    weights: tuple[Fraction, ...]
    profits: tuple[Fraction, ...]
    capacity: int
    optimum: Fraction
    packed: str | None = None


def _numbers(text: str) -> tuple[Fraction, ...]:
    return tuple(map(Fraction, text.split()))


def _of(
    weights: str, profits: str, capacity: int, optimum: str, packed: str | None = None
) -> Knapsack:
    return Knapsack(_numbers(weights), _numbers(profits), capacity, Fraction(optimum), packed)


#: J. Burkardt, Data for the 01 Knapsack Problem.
BURKARDT = {
    "E1": _of(
        "23 31 29 44 53 38 63 85 89 82", "92 57 49 68 60 43 67 84 87 72", 165, "309", "1111010000"
    ),
    "E2": _of("12 7 11 8 9", "24 13 23 15 16", 26, "51", "01110"),
    "E3": _of("56 59 80 64 75 17", "50 50 64 46 50 5", 190, "150", "110010"),
    "E4": _of("31 10 20 19 4 3 6", "70 20 39 37 7 5 10", 50, "107", "1001000"),
    "E5": _of("25 35 45 5 25 3 2 2", "350 400 450 20 70 8 5 5", 104, "900", "10111011"),
    "E6": _of("41 50 49 59 55 57 60", "442 525 511 593 546 564 617", 170, "1735", "0101001"),
    "E7": _of(
        "70 73 77 80 82 87 90 94 98 106 110 113 115 118 120",
        "135 139 149 150 156 163 173 184 192 201 210 214 221 229 240",
        750,
        "1458",
    ),
    "E8": _of(
        "382745 799601 909247 729069 467902 44328 34610 698150 823460 903959 853665 551830 610856 "
        "670702 488960 951111 323046 446298 931161 31385 496951 264724 224916 169684",
        "825594 1677009 1676628 1523970 943972 97426 69666 1296457 1679693 1902996 1844992 1049289 "
        "1252836 1319836 953277 2067538 675367 853655 1826027 65731 901489 577243 466257 369261",
        6_404_180,
        "13549094",
    ),
}

#: Ten small instances, as (weights, profits, capacity, greatest profit).
LOW = {
    "f1": _of("95 4 60 32 23 72 80 62 65 46", "55 10 47 5 4 50 8 61 85 87", 269, "295"),
    "f2": _of(
        "92 4 43 83 84 68 92 82 6 44 32 18 56 83 25 96 70 48 14 58",
        "44 46 90 72 91 40 75 35 8 54 78 40 77 15 61 17 75 29 75 63",
        878,
        "1024",
    ),
    "f3": _of("6 5 9 7", "9 11 13 15", 20, "35"),
    "f4": _of("2 4 6 7", "6 10 12 13", 11, "23"),
    "f5": _of(
        "56.358531 80.874050 47.987304 89.596240 74.660482 85.894345 51.353496 1.498459 36.445204 "
        "16.589862 44.569231 0.466933 37.788018 57.118442 60.716575",
        "0.125126 19.330424 58.500931 35.029145 82.284005 17.410810 71.050142 30.399487 9.140294 "
        "14.731285 98.852504 11.908322 0.891140 53.166295 60.176397",
        375,
        "481.0694",
    ),
    "f6": _of("30 25 20 18 17 11 5 2 1 1", "20 18 17 15 15 10 5 3 1 1", 60, "52"),
    "f7": _of("31 10 20 19 4 3 6", "70 20 39 37 7 5 10", 50, "107"),
    "f8": _of(
        "983 982 981 980 979 978 488 976 972 486 486 972 972 485 485 969 966 483 964 963 961 958 "
        "959",
        "981 980 979 978 977 976 487 974 970 485 485 970 970 484 484 976 974 482 962 961 959 958 "
        "857",
        10_000,
        "9767",
    ),
    "f9": _of("15 20 17 8 31", "33 24 36 37 12", 80, "130"),
    "f10": _of(
        "84 83 43 4 44 6 82 92 25 83 56 18 58 14 48 70 96 32 68 92",
        "91 72 90 46 55 8 35 75 61 15 77 40 63 75 29 75 17 78 40 44",
        879,
        "1025",
    ),
}

#: A hundred items without relation between the two, as profit and weight.
_UNRELATED = """
94 485 506 326 416 248 992 421 649 322 237 795 457 43 815 845 446 955 422 252 791 9 359 901 667 122
598 94 7 738 544 574 334 715 766 882 994 367 893 984 633 299 131 433 428 682 700 72 617 874 874 138
720 856 419 145 794 995 196 529 997 199 116 277 908 97 539 719 707 242 569 107 537 122 931 70
726 98 487 600 772 645 513 267 81 972 943 895 58 213 303 748 764 487 536 923 724 29 789 674 479 540
142 554 339 467 641 46 196 710 494 553 66 191 824 724 208 730 711 988 800 90 314 340 289 549
401 196 466 865 689 678 833 570 225 936 244 722 849 651 113 123 379 431 361 508 65 585 486 853
686 642 286 992 889 725 24 286 491 812 891 859 90 663 181 88 214 179 17 187 472 619 418 261 419 846
356 192 682 261 306 514 201 886 385 530 952 849 500 294 194 799 737 391 324 330 992 298 224 790
"""
#: A hundred items whose profit lies near the weight, as profit and weight.
_NEAR = """
482 485 257 326 286 248 517 421 404 322 713 795 45 43 924 845 873 955 160 252 1 9 838 901 40 122
58 94 676 738 627 574 766 715 862 882 405 367 923 984 379 299 461 433 612 682 133 72 813 874 97 138
908 856 165 145 996 995 623 529 220 199 298 277 157 97 723 719 144 242 48 107 129 122 148 70 35 98
644 600 632 645 272 267 1040 972 977 895 312 213 778 748 567 487 965 923 1 29 616 674 569 540
628 554 493 467 76 46 733 710 575 553 288 191 775 724 723 730 912 988 64 90 354 340 565 549 210 196
922 865 775 678 566 570 934 936 626 722 742 651 194 123 485 431 483 508 617 585 876 853 653 642
896 992 652 725 220 286 727 812 900 859 563 663 56 88 157 179 280 187 537 619 284 261 920 846
124 192 239 261 459 514 931 886 504 530 910 849 382 294 795 799 485 391 351 330 289 298 865 790
"""


def _in_pairs(text: str, capacity: int, optimum: str) -> Knapsack:
    numbers = _numbers(text)
    return Knapsack(numbers[1::2], numbers[::2], capacity, Fraction(optimum))


def _plus_a_hundred(count: int, capacity: int, optimum: str) -> Knapsack:
    """Items whose profit is the weight and a hundred: the generator draws the same numbers."""
    drawn = [Fraction(number) for number in _drawn()[:count]]
    return Knapsack(tuple(drawn), tuple(one + 100 for one in drawn), capacity, Fraction(optimum))


def _drawn() -> Sequence[int]:
    """Return the numbers drawn, weight before profit, of which the unrelated items are made."""
    numbers = [int(number) for number in _UNRELATED.split()]
    return [number for pair in zip(numbers[1::2], numbers[::2], strict=True) for number in pair]


#: Pisinger's families: unrelated, near, and the weight plus a hundred.
PISINGER = {
    "E14-100": _in_pairs(_UNRELATED, 995, "9147"),
    "E15-100": _in_pairs(_NEAR, 995, "1514"),
    "E16-100": _plus_a_hundred(100, 997, "2397"),
    "E16-200": _plus_a_hundred(200, 997, "2697"),
}
