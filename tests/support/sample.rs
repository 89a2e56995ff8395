//! The sample shop and its jobs, read and planned as the program does it.

use std::fs;
use std::path::{Path, PathBuf};

use capjob::input::{Catalog, NamedBytes, ShopFiles, read_job, read_shop};
use capjob::model::chassis::Job;
use capjob::model::plan::Plan;
use capjob::model::shop::{Offer, Shop};
use capjob::workflow::{self, Choices, PlanError};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog-sample")
}

fn bytes(path: &Path) -> Vec<u8> {
    fs::read(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// One job of the sample.
pub(crate) fn job(name: &str) -> Job {
    let folder = root().join("jobs").join(name);
    let (chassis, parts) = (bytes(&folder.join("chassis.toml")), bytes(&folder.join("parts.csv")));
    let named = |name, bytes| NamedBytes { name, bytes };
    read_job(name, named("chassis.toml", &chassis), named("parts.csv", &parts)).unwrap_or_else(|f| panic!("{f}")).value
}

/// The sample shop.
pub(crate) fn shop() -> Shop {
    let file = |name: &str| bytes(&root().join(name));
    let texts =
        [file("shop.toml"), file("suppliers.csv"), file("shelf.csv"), file("equivalents.csv"), file("rectifiers.csv")];
    let keys = workflow::margin_keys();
    let files = ShopFiles {
        settings: NamedBytes { name: "shop.toml", bytes: &texts[0] },
        suppliers: NamedBytes { name: "suppliers.csv", bytes: &texts[1] },
        shelf: Some(NamedBytes { name: "shelf.csv", bytes: &texts[2] }),
        equivalents: Some(NamedBytes { name: "equivalents.csv", bytes: &texts[3] }),
        rectifiers: Some(NamedBytes { name: "rectifiers.csv", bytes: &texts[4] }),
        margin_keys: &keys,
    };
    read_shop(&files).unwrap_or_else(|f| panic!("{f}")).value.shop
}

/// Plans these jobs from the sample catalog.
pub(crate) fn plan(jobs: &[Job], shop: &Shop) -> Plan {
    let mut names: Vec<PathBuf> =
        fs::read_dir(root().join("catalog")).expect("a catalog").flatten().map(|e| e.path()).collect();
    names.sort();
    let mut offers: Vec<Offer> = Vec::new();
    for name in names {
        let text = bytes(&name);
        let mut read = Catalog::open("catalog", text.as_slice(), &shop.suppliers, None).expect("a catalog");
        while let Some(offer) = read.next_offer() {
            offers.push(offer);
        }
    }
    let feed = |take: &mut dyn FnMut(&Offer)| -> Result<usize, PlanError> {
        offers.iter().for_each(take);
        Ok(0)
    };
    workflow::plan(jobs, shop, &Choices::default(), feed).expect("a plan")
}

/// The file of the readings after the work on a job of the sample.
pub(crate) fn after(name: &str) -> Vec<u8> {
    bytes(&root().join("jobs").join(name).join("after.csv"))
}
