//! Space and mounting, and parts that must match.

use super::context::{NeedContext, because};
use crate::model::finding::How;
use crate::model::kind::{PartKind, Style};
use crate::model::need::{Need, PointKind};
use crate::sources::SourceId;

/// Styles and sizes that the place allows.
pub(super) fn fill(context: &NeedContext<'_>, need: &mut Need) {
    let part = context.part;
    need.styles = styles(context);
    need.max_diameter = part.space.diameter;
    need.max_length = part.space.length;
    if let Some(length) = need.max_length.or(need.max_diameter) {
        let diameter = need.max_diameter.map_or_else(String::new, |d| format!("{} × ", d.get()));
        let says = format!("space {diameter}{length}");
        because(need, PointKind::Size, "space", SourceId::LeadStyles, says);
    }
    if part.kind.is_capacitor() && !need.styles.contains(&Style::SnapIn) {
        let says = "tag-strip wiring: leads, and no snap-in part unless the line or the shop allows it".to_owned();
        because(need, PointKind::Style, "lead-style", SourceId::LeadStyles, says);
    }
}

/// A can may serve this section only where its negative is where the others' are.
pub(super) fn can(context: &NeedContext<'_>, need: &mut Need) {
    if let Some(letter) = &context.part.can {
        let says = format!("section of can {letter}: a common negative only where all its negatives are one node");
        because(need, PointKind::Polarity, "can-negatives", SourceId::CanNegatives, says);
    }
}

/// What the line says, else leads; cans and motor parts may be cans, restuffing asks for radial parts.
fn styles(context: &NeedContext<'_>) -> Vec<Style> {
    let part = context.part;
    let of_can = part.space.styles == [Style::Can];
    let single = matches!(context.judgement.how, Some(How::BesideDeadCan | How::Restuff));
    let mut styles = if of_can && single {
        // The line says how the can stands; the new parts go beside or inside it.
        vec![Style::Axial, Style::Radial]
    } else if part.space.styles.contains(&Style::Any) {
        vec![Style::Axial, Style::Radial, Style::SnapIn, Style::Can, Style::Stud]
    } else if !part.space.styles.is_empty() {
        part.space.styles.clone()
    } else if !part.kind.is_capacitor() {
        return Vec::new();
    } else {
        vec![Style::Axial, Style::Radial]
    };
    let given = !part.space.styles.is_empty();
    if !given && (part.can.is_some() || part.kind == PartKind::MotorRun) && !single {
        styles.push(Style::Can);
    }
    if context.shop.choose.snap_in && part.kind.is_capacitor() && !styles.contains(&Style::SnapIn) {
        styles.push(Style::SnapIn);
    }
    styles
}

/// How many pieces must match.
pub(super) fn pair(context: &NeedContext<'_>, need: &mut Need) {
    let part = context.part;
    let Some(pair) = &part.pair else {
        return;
    };
    let mates = context.job.parts.iter().filter(|p| p.pair.as_ref() == Some(pair) && p.kind == part.kind).count();
    need.matched = u32::try_from(mates).unwrap_or(1).max(1);
    if need.matched > 1 {
        let says = format!("pair {pair}: {mates} from one source, selected to match");
        because(need, PointKind::Value, "matched", SourceId::MatchedPairs, says);
    }
}
