"""Sizing, verification of the best choice, sheet, as-built check and replay by the client of openapi-python-client.

`python walk.py ADDRESS SIZING_REQUEST`, beside the generated package and the models of datamodel-code-generator. It
prints what was chosen and what is assumed of a request of required fields alone, as both kinds of models send it.
"""

import json
import sys
from pathlib import Path
from typing import Any, TypeVar

import httpx
import models
from anchor_rulebook_client import Client
from anchor_rulebook_client.api.sizing import size_fixing
from anchor_rulebook_client.api.the_work_on_site import check_as_built, make_installation_sheet
from anchor_rulebook_client.api.verification import replay_record, verify_fixing
from anchor_rulebook_client.models import (
    AsBuilt,
    AsBuiltAnswer,
    AsBuiltRequest,
    Fastener,
    Fixture,
    InstallationSheet,
    InstallationSheetRequest,
    LoadCase,
    Member,
    Position,
    RecordedRequest,
    ReplayAnswer,
    ReplayRequest,
    ReplayRequestAnswer,
    SizingAnswer,
    SizingRequest,
    VerificationAnswer,
    VerificationRequest,
)

Answer = TypeVar("Answer")


def answered(answer: object, kind: type[Answer]) -> Answer:
    """Take an answer of the kind that was asked for.

    Args:
        answer: What came back.
        kind: Its type.

    Returns:
        The answer.

    Raises:
        SystemExit: It is a problem, or none that the client knows.
    """
    if not isinstance(answer, kind):
        raise SystemExit(f"not {kind.__name__}: {answer}")
    return answer


def same(found: object, expected: object) -> None:
    """Hold a value against what it has to be.

    Args:
        found: The value.
        expected: What it has to be.

    Raises:
        SystemExit: It is another.
    """
    if found != expected:
        raise SystemExit(f"{found!r} in place of {expected!r}")


def walk(client: Client, asked: dict[str, Any]) -> str:
    """Go from a sizing to the replay of its record.

    Args:
        client: The client.
        asked: The sizing request.

    Returns:
        What was chosen.
    """
    best = answered(size_fixing.sync(client=client, body=SizingRequest.from_dict(asked)), SizingAnswer).choices[0]
    request = VerificationRequest.from_dict(best.request.to_dict())
    same(request.to_dict(), best.request.to_dict())
    answer = answered(verify_fixing.sync(client=client, body=request), VerificationAnswer)
    same((answer.verdict, answer.governing), ("verified", best.governing))
    record = ReplayRequest(
        request=RecordedRequest.from_dict(request.to_dict()), answer=ReplayRequestAnswer.from_dict(answer.to_dict())
    )
    sheet = answered(
        make_installation_sheet.sync(client=client, body=InstallationSheetRequest(fixings=[record])), InstallationSheet
    )
    same(sheet.fixings[0].proof.record_id, answer.record.id)
    done = AsBuilt(moved=[], torque_nm=best.torque_nm)
    built = answered(
        check_as_built.sync(client=client, body=AsBuiltRequest(record=record, as_built=done)), AsBuiltAnswer
    )
    same((built.came_from_record, built.verdict_before), (answer.record.id, "verified"))
    replayed = answered(replay_record.sync(client=client, body=record), ReplayAnswer)
    same(replayed.outcome, "identical")
    return f"{best.fastener.family} {best.fastener.size}, {replayed.outcome}"


def required_only() -> VerificationRequest:
    """Make a request of required fields alone, as far as it may be without any load.

    Returns:
        The request.
    """
    return VerificationRequest(
        fastener=Fastener(family="screw-zinc", size="8", embedment_mm=55),
        member=Member(thickness_mm=200),
        fixture=Fixture(width_mm=180, depth_mm=80),
        positions=[Position(x_mm=0, y_mm=0)],
        load_cases=[LoadCase(name="pull", normal_kn=1)],
    )


def required_only_of_pydantic() -> str:
    """Make the same with the models of datamodel-code-generator, which write null where nothing is said.

    Returns:
        The request as JSON.
    """
    request = models.VerificationRequest(
        fastener=models.Fastener(family="screw-zinc", size="8", embedment_mm=55),
        member=models.Member(thickness_mm=200),
        fixture=models.Fixture(width_mm=180, depth_mm=80),
        positions=[models.Position(x_mm=0, y_mm=0)],
        load_cases=[models.LoadCase(name="pull", normal_kn=1)],
    )
    return request.model_dump_json()


def main() -> None:
    """Walk, and print what was found as JSON."""
    address, file = sys.argv[1:]
    with Client(base_url=address, timeout=httpx.Timeout(60), raise_on_unexpected_status=True) as client:
        chosen = walk(client, json.loads(Path(file).read_text("utf-8")))
        bare = answered(verify_fixing.sync(client=client, body=required_only()), VerificationAnswer)
        body = required_only_of_pydantic()
        reply = client.get_httpx_client().post(
            "/v1/verifications", content=body, headers={"Content-Type": "application/json"}
        )
        models.VerificationAnswer.model_validate_json(reply.raise_for_status().content)
    assumed = [assumption.to_dict() for assumption in bare.assumptions]
    found = {"chosen": chosen, "assumed": assumed, "assumed_of_pydantic": reply.json()["assumptions"]}
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    main()
