//! `after.csv` from any bytes, held against the plan of a small job: faults point inside the text,
//! a reading is what its line says, and every check is made without a panic.
#![no_main]

use std::sync::OnceLock;

use capjob::documents::machine::verify::VerifyDocument;
use capjob::export::json;
use capjob::input::{NamedBytes, read_after, read_job};
use capjob::model::chassis::Job;
use capjob::model::plan::Plan;
use capjob::verify::verify;
use capjob_fuzz::{Folder, after_rows, check_faults, check_notes, offers, plan, read_shop_of};
use libfuzzer_sys::fuzz_target;

const JOB: &[u8] = include_bytes!("../corpus/jobs/small-radio");

/// The job and its plan, made once.
fn planned() -> &'static (Job, Plan) {
    static PLANNED: OnceLock<(Job, Plan)> = OnceLock::new();
    PLANNED.get_or_init(|| {
        let folder = Folder::new(JOB);
        let file = |name: &'static str| NamedBytes { name, bytes: folder.get(name).expect("a file of the job") };
        let mut job = read_job("job", file("chassis.toml"), file("parts.csv")).expect("a job without faults").value;
        let shop = read_shop_of(&folder).expect("a shop without faults").value;
        capjob::workflow::complete(&mut job, &shop.shop);
        let offers = offers("catalog.csv", file("catalog.csv").bytes, &shop);
        let plan = plan(&job, &shop.shop, &offers).expect("a plan");
        assert!(!plan.fits.is_empty());
        (job, plan)
    })
}

fuzz_target!(|bytes: &[u8]| {
    if bytes.len() > 2048 {
        return;
    }
    let files: [(&str, &[u8]); 1] = [("after.csv", bytes)];
    match read_after(NamedBytes { name: "after.csv", bytes }) {
        Err(faults) => check_faults(&faults, &files),
        Ok(noted) => {
            check_notes(&noted.notes, &files);
            assert!(noted.value.windows(2).all(|w| w[0].line < w[1].line));
            let rows = after_rows(bytes);
            assert_eq!(rows.len(), noted.value.len());
            let (job, plan) = planned();
            if let Ok(verification) = verify(job, plan, &rows) {
                assert!(!verification.pass || verification.checks.iter().all(|c| c.ok != Some(false)));
                json::write(&VerifyDocument::new(job, plan, &verification)).expect("JSON");
            }
        }
    }
});
