"""What can hurt someone with an aid, whatever its pattern, and who must approve."""

from __future__ import annotations

from floorwright.basis.proposal import Caution
from floorwright.propose.aid.aid import Aid


def cautions(aid: Aid) -> tuple[Caution, ...]:
    """Cautions of every aid, then those of its wheels, its place and its people."""
    found = [
        Caution(
            signal="WARNING",
            text="These checks are no certificate. Local codes come first, and a licensed engineer where a person "
            "could be hurt; load-test it before first use.",
            approval="safety lead",
        ),
        Caution(
            signal="CAUTION",
            text="Deburr cut ends, cap open tubes at hand and shin height, round corners that can be walked into.",
        ),
    ]
    if aid.layout.wheels:
        found.append(
            Caution(
                signal="CAUTION",
                text="Push, do not pull; keep feet clear of the wheels; two hands on the handle; brakes on before "
                "loading.",
            )
        )
    place = aid.spec.place
    if place.booth:
        found.append(
            Caution(
                signal="DANGER",
                text="In the coating booth frame, hooks and wheels must be bonded to earth and measured: powder "
                "burns at a spark. Local fire code decides.",
                approval="safety lead",
            )
        )
    if place.wash:
        found.append(
            Caution(
                signal="WARNING", text="Wash chemicals burn skin and eyes: gloves, goggles, the safety data sheet."
            )
        )
    if place.weld_cell:
        found.append(
            Caution(
                signal="WARNING",
                text="Clamp the return lead to the work, never to the aid: welding current through bearings welds "
                "them and can burn through slings.",
            )
        )
    if any(wheel.sprung for wheel in aid.layout.wheels):
        found.append(
            Caution(
                signal="WARNING",
                text="Springs hold energy. Never open a guide with the spring pressed; wear eye protection; stops "
                "must hold the wheel when it hangs free.",
                approval="safety lead",
            )
        )
    if aid.spec.people.ride:
        found.append(
            Caution(signal="DANGER", text="Nobody stands or rides on it: equipment for people is not rated here.")
        )
    return tuple(found)
