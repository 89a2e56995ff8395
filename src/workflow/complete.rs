//! What the shop knows about a job's rectifiers, filled in where the sheet is silent.

use crate::model::chassis::{Job, RectifierKind};
use crate::model::shop::Shop;

/// Fills in the kind and the first-capacitor limit of every rectifier that the shop's table knows by its
/// type; what the sheet says wins. A kind that neither knows stays unknown, is treated as silicon, and
/// is added to what was assumed.
pub fn complete(job: &mut Job, shop: &Shop) {
    for supply in &mut job.chassis.supplies {
        let data = supply.designation.as_deref().and_then(|d| shop.rectifier(d));
        if supply.rectifier == RectifierKind::Unknown {
            supply.rectifier = data.and_then(|d| d.kind).unwrap_or(RectifierKind::Unknown);
        }
        supply.max_first = supply.max_first.or(data.and_then(|d| d.max_first));
        let silicon = format!("{}: kind of rectifier not known: treated as silicon", supply.name);
        let told = job.chassis.assumed.iter().any(|a| a.contains(&supply.name) && a.contains("silicon"));
        if supply.rectifier == RectifierKind::Unknown && !told {
            job.chassis.assumed.push(silicon);
        }
    }
}
