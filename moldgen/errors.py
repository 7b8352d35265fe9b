"""What can go wrong, as one tree, and what is worth knowing, as findings.

    MoldError
    ├── PartError     the part file cannot be used                 (exit code 3)
    ├── JobError      the wishes contradict themselves             (exit code 2)
    ├── PlanError     no feasible mold for this part and job       (exit code 4)
    ├── SolidError    a geometry kernel refused a body             (exit code 5)
    ├── CheckError    the finished set breaks a promise            (exit code 5)
    └── FileError     a file or folder could not be written        (exit code 2)

Every message says what, where, how much and what to do, in one sentence.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class MoldError(Exception):
    """Root of every error that moldgen raises on purpose."""

    exit_code = 1


class PartError(MoldError):
    """The part file cannot be used as it is."""

    exit_code = 3


class JobError(MoldError):
    """The options or the job file are wrong or contradict each other."""

    exit_code = 2


class PlanError(MoldError):
    """No feasible mold exists for this part, pose and job."""

    exit_code = 4


class SolidError(MoldError):
    """A geometry kernel refused to make a body."""

    exit_code = 5


class CheckError(MoldError):
    """The finished set breaks one of its promises."""

    exit_code = 5


class FileError(MoldError):
    """A file or folder could not be written."""

    exit_code = 2


class Grade(Enum):
    """How much a finding matters: for information, with care, or a reason not to go on."""

    NOTE = "note"
    CAUTION = "caution"
    STOP = "stop"


@dataclass(frozen=True)
class Finding:
    """Something allowed but worth knowing; the job sheet prints it.

    Attributes
    ----------
    grade : Grade
    text : str
        One sentence: what, where, how much, what to do.
    measured, limit : float or None
        The figure found and the figure it was held against [unit the text names].
    """

    grade: Grade
    text: str
    measured: float | None = None
    limit: float | None = None
