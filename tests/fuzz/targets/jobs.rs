//! A whole job folder with its shop from one input: read, judged, planned, bought and written.
#![no_main]

use capjob::input::{NamedBytes, read_after, read_job};
use capjob::workflow;
use capjob_fuzz::{Folder, after_rows, check_faults, check_job, check_notes, offers, read_shop_of};
use libfuzzer_sys::fuzz_target;

const CHASSIS: &str = "[chassis]\nname = \"x\"\n";
const PARTS: &str = "ref,part,marked,place,plus,minus\nC1,paper,.05uF 500V,coupling,A,B\n";
const CATALOG: &str = "number,supplier,part,value,rated_v,prices\nF1,A,film,47nF,630,1:0.42;10:0.36\n";

fuzz_target!(|input: &[u8]| {
    if input.len() > 8192 {
        return;
    }
    let folder = Folder::new(input);
    let (chassis, parts) = (folder.or("chassis.toml", CHASSIS), folder.or("parts.csv", PARTS));
    let files = [("chassis.toml", chassis), ("parts.csv", parts)];
    let named = |at: usize| NamedBytes { name: files[at].0, bytes: files[at].1 };
    let job = match read_job("job", named(0), named(1)) {
        Ok(noted) => {
            check_notes(&noted.notes, &files);
            noted.value
        }
        Err(faults) => return check_faults(&faults, &files),
    };
    let Ok(shop) = read_shop_of(&folder) else { return };
    let mut job = job;
    workflow::complete(&mut job, &shop.value.shop);
    let offers = offers("catalog.csv", folder.or("catalog.csv", CATALOG), &shop.value);
    let after = folder.get("after.csv").filter(|bytes| read_after(NamedBytes { name: "after.csv", bytes }).is_ok());
    let rows = after.map(after_rows).unwrap_or_default();
    if let Some((reference, part)) = folder.get("check").and_then(|b| std::str::from_utf8(b).ok()?.split_once('\n')) {
        drop(workflow::check(&job, &shop.value.shop, reference.trim(), (part.trim(), &offers)));
    }
    let texts = [chassis, parts].map(|b| String::from_utf8_lossy(b).into_owned());
    check_job((&job, &texts.each_ref().map(String::as_str)), &shop.value.shop, &offers, &rows);
});
