"""Scars: which gate and vents land on a show face in the end, and why."""

from __future__ import annotations

from dataclasses import replace

from moldgen.errors import Finding, Grade
from moldgen.plan.channel_notes import outlet_name, point_text
from moldgen.plan.channels import ChannelPlan
from moldgen.plan.nouns import Channel
from moldgen.study.scars import ShowFaces


def with_scars(channels: ChannelPlan, show: ShowFaces | None) -> ChannelPlan:
    """The channels with a mark on each pocket whose channel stands on a show face, and findings.

    The foot of the channel decides, which may lie beside the pocket's own place.
    """
    if show is None:
        return channels
    ways = (channels.gate.channel, *channels.vents)
    scarred = [w for w, on in zip(ways, show.lands([w.points[0] for w in ways]), strict=True) if on]
    pockets = {id(way.pocket) for way in scarred}
    return replace(
        channels,
        fates=tuple(replace(f, on_show_face=id(f.pocket) in pockets) for f in channels.fates),
        findings=(*channels.findings, *(_finding(channels, way, len(scarred)) for way in scarred)),
    )


def _finding(channels: ChannelPlan, way: Channel, n_scarred: int) -> Finding:
    is_gate = way is channels.gate.channel
    name = "gate" if is_gate else outlet_name(way)
    wide_mm = 2.0 * way.radii_mm[0]
    if not is_gate:
        why = "the air of its pocket has no other way out"
    elif n_scarred == len(channels.fates):
        why = "every high place of this pose lies on one"
    else:
        why = "no gate fits at the places beside them"
    return Finding(
        Grade.CAUTION,
        f"the {name} at {point_text(way.points[0])} leaves a scar "
        f"{wide_mm:.1f} mm wide on a show face, for {why}: take another pose or dress the scar",
        wide_mm,
        0.0,
    )
