"""Set a hospital up from its file: wards, people, and their first passwords."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from lumenkeep.errors import Fault, InputError
from lumenkeep.ward.site.hospital_file import HospitalFile, hospital_from_text

if TYPE_CHECKING:
    from lumenkeep.ward.site.people import StaffRecord

OK, FAULTY = 0, 2
PASSWORD_BYTES = 12


def set_up_run(path: str) -> int:
    """Bring wards and people up to date with a file; return the exit status.

    New people get a password that is printed once; those who are there keep theirs.
    Nobody and no ward is taken away: what the chart names must stay.
    """
    try:
        hospital = hospital_from_text(_read(path), Path(path).name)
        _check_policies(hospital, Path(path).name)
    except InputError as error:
        sys.stderr.write(f"{error}\n")
        return FAULTY
    from lumenkeep.web.run import migrate

    migrate()
    try:
        _check_people(hospital, Path(path).name)
    except InputError as error:
        sys.stderr.write(f"{error}\n")
        return FAULTY
    _make_wards(hospital)
    for sign_in, person in hospital.people:
        password = _make_person(sign_in, person)
        said = f"password {password}" if password else "as before"
        sys.stdout.write(f"{sign_in}: {person.role}, {said}\n")
    sys.stdout.write(
        f"{_counted(len(hospital.wards), 'ward', 'wards')}, "
        f"{_counted(len(hospital.people), 'person', 'people')}. "
        "A password is shown this once; let each person change it at /password/.\n"
    )
    return OK


def _read(path: str) -> str:
    try:
        return Path(path).read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(
            [
                Fault(
                    "hospital-not-read",
                    f"This file cannot be read: {type(error).__name__}.",
                    Path(path).name,
                    "name a text file that is there, in UTF-8",
                )
            ]
        ) from error


def _check_policies(hospital: HospitalFile, name: str) -> None:
    from lumenkeep.core.policy import load_policy
    from lumenkeep.errors import PolicyError

    faults = []
    for ward in hospital.wards:
        try:
            load_policy(ward.policy_set)
        except PolicyError as error:
            faults.append(
                Fault(
                    "hospital-no-policy",
                    f"The policy set '{ward.policy_set}' of ward '{ward.key}' cannot "
                    f"be used: {error.faults[0].what}",
                    f"{name}: ward.policy",
                    "name a shipped set, or the folder of your own; "
                    "'lumenkeep policy check' says more",
                )
            )
    if faults:
        raise InputError(faults)


def _check_people(hospital: HospitalFile, name: str) -> None:
    """Refuse a new key for somebody whom the chart knows by another one already."""
    from lumenkeep.ward.chart.models import StaffProfile

    names = [sign_in for sign_in, _ in hospital.people]
    known = dict(
        StaffProfile.objects.filter(user__username__in=names).values_list(
            "user__username", "key"
        )
    )
    faults = [
        Fault(
            "hospital-other-key",
            f"'{sign_in}' is on record with the key '{known[sign_in]}' already.",
            f"{name}: person.key",
            "leave the key as it was: the chart names people by it; for another person "
            "choose another sign_in",
        )
        for sign_in, person in hospital.people
        if known.get(sign_in, person.key) != person.key
    ]
    if faults:
        raise InputError(faults)


def _counted(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def _make_wards(hospital: HospitalFile) -> None:
    from lumenkeep.ward.chart.models import Ward

    for order, ward in enumerate(hospital.wards):
        Ward.objects.update_or_create(
            key=ward.key,
            defaults={
                "name": ward.name,
                "zone": str(ward.zone),
                "unit": ward.unit,
                "policy_set": ward.policy_set,
                "order": order,
            },
        )


def _make_person(sign_in: str, person: StaffRecord) -> str | None:
    """Make or update a person; return the password of a new one."""
    from secrets import token_urlsafe

    from django.contrib.auth.models import User
    from django.db import transaction

    from lumenkeep.ward.chart.models import StaffProfile

    password = None
    with transaction.atomic():
        user, is_new = User.objects.get_or_create(username=sign_in)
        if is_new:
            password = token_urlsafe(PASSWORD_BYTES)
            user.set_password(password)
            user.save()
        StaffProfile.objects.update_or_create(
            key=person.key,
            defaults={
                "user": user,
                "display_name": person.name,
                "role": person.role,
                "ward_id": person.ward,
                "glove": person.glove or "",
            },
        )
    return password
