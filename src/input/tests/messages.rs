//! Every message has one form, and is written for the one who must mend it.

use super::*;

/// Sheets and tables with a fault of every kind that bytes alone can have.
fn all_faults() -> Vec<Fault> {
    let chassis = "bare = 3\nx = 1\n[chassis]\nyear = 1\nsupply = \"y\"\ninspected = 3\nceiling = \"a\"\n[mains]\nhz = \"50\"\n\
        [[ht]]\nname = \"\"\ncircuit = \"brige\"\nmiddle = \"M\"\nprimary_ohm = 3\ntype = 4\n[[ht.node]]\nname = \"CH\"\nthrough = \"R1\"\n\
        [[ht.node]]\nname = \"A\"\nchoke_ohm = 3\nmeasured_v = -3\n[[ht.node]]\nname = \"A\"\nohm = 3\nthrough = \"Q\"\n";
    let parts = "ref,part,marked,place,esr_ohm,reads,in_circuit,rated_v\n\
        C1,papre,.1,x,1,,,\nC1,paper,\"2,2\",copling,0.001,perhaps,maybe,abc\n,,,,,,,,extra\nC3,electrolytic,8+8uF 450V,,,7F,,\nC4,paper,40,,,,,\nC5,paper,\"x\n";
    let job = job_of(chassis, "parts.csv", parts.as_bytes()).map(|_| ()).unwrap_err();
    let mut faults: Vec<Fault> = job.iter().cloned().collect();
    for bytes in [
        b"".as_slice(),
        b"%PDF",
        b"PK\x03\x04",
        b"\x1f\x8b\x08",
        b"a\0b\0",
        b"\xd0\xcf\x11\xe0",
        b"\0\0\0\0",
        b"x,y\n",
        b"ref,ref,part,marked\n",
    ] {
        let job = job_of("[chassis\n", "parts.csv", bytes).map(|_| ()).unwrap_err();
        faults.extend(job.iter().cloned());
    }
    for bytes in [b"text".as_slice(), b"PK\x03\x04broken", b"%PDF"] {
        let job = job_of(CHASSIS, "parts.xlsx", bytes).map(|_| ()).unwrap_err();
        faults.extend(job.iter().cloned());
    }
    for kind in [
        std::io::ErrorKind::NotFound,
        std::io::ErrorKind::IsADirectory,
        std::io::ErrorKind::PermissionDenied,
        std::io::ErrorKind::TimedOut,
    ] {
        faults.push(unreadable("parts.csv", kind));
    }
    faults
}

/// `file:line:column: error: ` and a message that begins in lower case and has no final stop.
#[test]
fn every_message_has_the_one_form() {
    let faults = all_faults();
    assert!(faults.len() > 50, "{}", faults.len());
    for fault in faults {
        let shown = fault.to_string();
        let first = shown.lines().next().unwrap();
        let (place, message) = first.split_once(": error: ").unwrap();
        let mut place = place.rsplitn(3, ':');
        assert!(place.next().unwrap().parse::<usize>().unwrap() >= 1, "{first}");
        assert!(place.next().unwrap().parse::<usize>().unwrap() >= 1, "{first}");
        assert!(!place.next().unwrap().is_empty());
        assert!(message.starts_with(|c: char| c.is_ascii_lowercase()), "{first}");
        assert!(!message.ends_with(['.', '!', ' ', ':']) && !message.contains("failed to"), "{first}");
        let help = fault.help.as_deref().unwrap_or_default();
        assert!(!help.is_empty() && !help.ends_with('.'), "{shown}");
        assert!(help.starts_with(|c: char| c.is_ascii_lowercase()), "{shown}");
    }
}

#[test]
fn faults_of_a_job_as_shown() {
    let chassis = CHASSIS.replace("hz = 50", "hz = 5").replace("tapping_v", "taping_v");
    let parts = "ref,part,marked,place,esr_ohm\nC1,papre,.1/400,coupling,\n\"C2\",paper,\"multi\nline\",copling,0.002\nC2,\u{1b}[2J\u{202e},\"2,2uF\",,\n";
    let faults = job_of(&chassis, "job/parts.csv", parts.as_bytes()).map(|_| ()).unwrap_err();
    insta::assert_snapshot!(faults.to_string());
}

#[test]
fn all_faults_as_shown() {
    let shown: Vec<String> = all_faults().iter().map(ToString::to_string).collect();
    insta::assert_snapshot!(shown.join("\n"));
}
