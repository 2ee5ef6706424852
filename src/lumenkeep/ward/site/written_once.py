"""What is written once and never changed: the base of its tables, and how it is written.

Whoever writes is named with the instant. What came by a form is written once, however
often it is sent; a mistake is put right by a later row that names it. That no row is
changed or taken out is seen to by `guarding`.

The key of what was sent has two parts. By the first a form that is sent twice is known
again; by the second, whether it still says the same: only then is what was written its
answer.
"""

from __future__ import annotations

import json
from contextlib import contextmanager
from hashlib import sha256
from typing import TYPE_CHECKING, ClassVar

from django.db import DatabaseError, IntegrityError, models, transaction

from lumenkeep.errors import StoreError

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
    from typing import Self

    from lumenkeep.errors import Fault

SEPARATOR, AFTER_SEPARATOR = "/", "0"
"""The second is the next sign in order, so that a range holds one form's keys."""
LENGTH = 32


class WrittenOnce(models.Model):
    """A row that stays as it was written.

    Attributes
    ----------
    stays
        What the guards say to who would change one; empty: that the table is
        append-only.
    more_guards
        Name of each further guard of the table, and the rest of its
        ``CREATE TRIGGER``.
    """

    stays: ClassVar[str] = ""
    more_guards: ClassVar[Mapping[str, str]] = {}

    class Meta:
        """The base of tables, none itself."""

        abstract = True


class Signed(WrittenOnce):
    """A row that says who wrote it, and when."""

    by = models.CharField(max_length=40)
    written_at = models.DateTimeField()

    class Meta:
        """The base of tables, none itself."""

        abstract = True


class FromForm(Signed):
    """A row that came by a form; a correction names the row that it puts right."""

    corrects = models.OneToOneField(
        "self", models.PROTECT, related_name="corrected_by", null=True
    )
    submission = models.CharField(max_length=80, unique=True)

    class Meta:
        """The base of tables, none itself."""

        abstract = True

    @classmethod
    def standing(cls) -> models.QuerySet[Self]:
        """Return the rows that no later one puts right."""
        return cls._default_manager.filter(corrected_by=None)

    @classmethod
    def corrections_of(cls, numbers: Collection[int]) -> models.QuerySet[Self]:
        """Return the rows that put one of these right, in the order of writing."""
        return cls._default_manager.filter(corrects__in=numbers).order_by("pk")

    @classmethod
    def of_form(cls, submission: str) -> models.QuerySet[Self]:
        """Return what was written for a form's key."""
        return cls._default_manager.filter(submission=submission)

    @classmethod
    def refuse_another_telling(
        cls, submission: str, fault: Callable[[Self], Fault]
    ) -> None:
        """Refuse a form that was written already and now says something else.

        To answer with what was written would tell a person that her change is kept.

        Raises
        ------
        StoreError
            ``fault`` of the first row that the form wrote.
        """
        span = keys_of_the_form(submission)
        if span is None:
            return
        rows = cls._default_manager.filter(
            submission__gt=span[0], submission__lt=span[1]
        )
        if (first := rows.order_by("pk").first()) is not None:
            raise StoreError(fault(first))


@contextmanager
def all_or_nothing(
    failed: Fault, refused: Callable[[IntegrityError], Fault] | None = None
) -> Iterator[None]:
    """Write all that a block writes, or nothing; it takes the write lock at once.

    Parameters
    ----------
    failed
        What to say when the database failed.
    refused
        What to say when its constraints or guards refused; None: as when it failed.

    Raises
    ------
    StoreError
        Nothing was written.
    """
    try:
        with transaction.atomic():
            yield
    except IntegrityError as error:
        raise StoreError(failed if refused is None else refused(error)) from error
    except DatabaseError as error:
        raise StoreError(failed) from error


def form_key(form: str, address: str, told: Mapping[str, Sequence[str]]) -> str:
    """Return the key under which what was sent is written.

    Parameters
    ----------
    form
        The form's own key.
    address
        Where it was sent to, which names child, line and kind.
    told
        Every value, by the name of its field.
    """
    said = json.dumps([address, sorted((k, list(v)) for k, v in told.items())])
    return f"{_digest(form)}{SEPARATOR}{_digest(said)}"


def keys_of_the_form(key: str) -> tuple[str, str] | None:
    """Return between which two keys lies all that was sent of the same form.

    None for a key that says nothing of what was sent, as that of a guide's run.
    """
    form, separator, _ = key.partition(SEPARATOR)
    return (form + SEPARATOR, form + AFTER_SEPARATOR) if separator else None


def _digest(text: str) -> str:
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:LENGTH]
