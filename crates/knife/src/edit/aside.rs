//! Edits that set findings aside and take them up again.

use super::{Edit, check, in_range};
use crate::aside::ordered;
use crate::{Knife, NodeId, PartId, Refusal, SetAside, limits};
use std::collections::BTreeSet;

pub(super) fn change(edit: &Edit, knife: &mut Knife) -> Result<(), Refusal> {
    match edit {
        Edit::SetAside(aside) => set(knife, aside),
        Edit::TakeUp { rule, parts } => {
            knife.set_aside.retain(|aside| !aside.applies_to(rule, parts));
            Ok(())
        }
        _ => Ok(()),
    }
}

/// A second reason for the same finding takes the place of the first.
fn set(knife: &mut Knife, aside: &SetAside) -> Result<(), Refusal> {
    let reason = aside.reason.trim();
    if reason.is_empty() {
        return Err(Refusal::NoReason);
    }
    check::text("the reason", reason, limits::REASON_CHARS)?;
    if aside.rule.trim().is_empty() {
        return Err(Refusal::NoRule);
    }
    check::text("the rule", &aside.rule, limits::NAME_CHARS)?;
    for (what, mm) in [("a measure", aside.measured_mm), ("a limit", aside.limit_mm)] {
        mm.map_or(Ok(()), |mm| in_range(what, mm, &limits::COORDINATE_MM))?;
    }
    let parts = ordered(&aside.parts);
    let known = KnownParts::of(knife);
    if let Some(part) = parts.iter().find(|part| !known.has(**part)) {
        return Err(match part {
            PartId::Hole(id) => Refusal::NoSuchHole(*id),
            PartId::Node(id) | PartId::Stretch(id) => Refusal::NoSuchNode(*id),
            _ => Refusal::NoSuchPart,
        });
    }
    if parts.len() > *limits::PARTS.end() {
        return Err(Refusal::TooMany { what: "parts", max: *limits::PARTS.end() });
    }
    let new = SetAside { reason: reason.to_owned(), parts, ..aside.clone() };
    let known = knife.set_aside.iter_mut().find(|known| known.applies_to(&new.rule, &new.parts));
    if let Some(known) = known {
        *known = new;
        return Ok(());
    }
    let max = *limits::SET_ASIDE.end();
    if knife.set_aside.len() >= max {
        return Err(Refusal::TooMany { what: "findings set aside", max });
    }
    knife.set_aside.push(new);
    Ok(())
}

/// Lets go of what was set aside at parts that are there no longer, so that a later part of the
/// same name doesn't come by it.
pub(super) fn prune(knife: &mut Knife) {
    if knife.set_aside.is_empty() {
        return;
    }
    let mut asides = std::mem::take(&mut knife.set_aside);
    let known = KnownParts::of(knife);
    asides.retain(|aside| aside.parts.iter().all(|part| known.has(*part)));
    knife.set_aside = asides;
}

/// The parts that a knife has, to be asked of many: thousands of asides may each name hundreds.
pub(crate) struct KnownParts<'a> {
    knife: &'a Knife,
    nodes: BTreeSet<NodeId>,
}

impl<'a> KnownParts<'a> {
    /// Those of this knife.
    pub(crate) fn of(knife: &'a Knife) -> Self {
        Self { knife, nodes: knife.profile.nodes.iter().map(|node| node.id).collect() }
    }

    /// Whether this is one of them.
    pub(crate) fn has(&self, part: PartId) -> bool {
        match part {
            PartId::Hole(id) => self.knife.hole(id).is_some(),
            PartId::Node(id) | PartId::Stretch(id) => self.nodes.contains(&id),
            PartId::Plunge | PartId::GrindLine => self.knife.bevel.is_some(),
            PartId::Scales => self.knife.scales.is_some(),
            PartId::Sheath => self.knife.sheath.is_some(),
            PartId::Profile | PartId::Bar => true,
        }
    }
}
