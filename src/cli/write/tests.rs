//! Whole sets of files, from the outside of this room.

use super::*;

const PLAIN: Policy = Policy { overwrite: false, dry_run: false };
const OVERWRITE: Policy = Policy { overwrite: true, dry_run: false };

#[test]
fn a_file_in_the_way_stops_all_of_them() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("b.csv"), "mine").unwrap();
    let files = [OutFile::text("a.csv", "new".to_owned()), OutFile::text("b.csv", "new".to_owned())];
    let failure = write_all(folder.path(), &files, PLAIN).unwrap_err();
    assert_eq!(failure.code, super::super::exit::BAD_INPUT);
    assert!(!folder.path().join("a.csv").exists());
    assert_eq!(fs::read_to_string(folder.path().join("b.csv")).unwrap(), "mine");
    let written = write_all(folder.path(), &files, OVERWRITE).unwrap();
    assert_eq!(written, Written { states: vec![State::New, State::Changed], undone: false });
    assert_eq!(fs::read_to_string(folder.path().join("b.csv")).unwrap(), "new");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    assert_eq!(write_all(folder.path(), &files, PLAIN).unwrap().states, [State::Unchanged, State::Unchanged]);
}

#[cfg(unix)]
#[test]
fn a_link_is_never_written_through() {
    let folder = tempfile::tempdir().unwrap();
    let elsewhere = folder.path().join("elsewhere.txt");
    fs::write(&elsewhere, "precious").unwrap();
    let out = folder.path().join("out");
    fs::create_dir(&out).unwrap();
    std::os::unix::fs::symlink(&elsewhere, out.join("a.csv")).unwrap();
    let files = [OutFile::text("a.csv", "new".to_owned())];
    assert!(write_all(&out, &files, PLAIN).is_err());
    write_all(&out, &files, OVERWRITE).unwrap();
    assert_eq!(fs::read_to_string(&elsewhere).unwrap(), "precious");
    assert_eq!(fs::read_to_string(out.join("a.csv")).unwrap(), "new");
}

#[test]
fn a_missing_folder_appears_with_all_its_files_and_nothing_is_left_beside_it() {
    let outer = tempfile::tempdir().unwrap();
    // What a killed run left aside is removed, what bears another name is not.
    fs::create_dir(outer.path().join(".capjob-killed.tmp")).unwrap();
    fs::write(outer.path().join(".capjob-killed.tmp/a.csv"), "half").unwrap();
    fs::create_dir(outer.path().join(".capjob-mine")).unwrap();
    let folder = outer.path().join("deep/er/out");
    let files = [OutFile::text("below/a.csv", "a".to_owned()), OutFile::text("b.csv", "b".to_owned())];
    assert_eq!(write_all(&folder, &files, PLAIN).unwrap().states, [State::New, State::New]);
    assert_eq!(fs::read_to_string(folder.join("below/a.csv")).unwrap(), "a");
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 2);
    assert_eq!(fs::read_dir(outer.path()).unwrap().count(), 2);
}

#[test]
fn what_cannot_be_written_leaves_no_folder() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("deep/out");
    let long = "x".repeat(300);
    let files = [OutFile::text("a.csv", "a".to_owned()), OutFile::text(&long, "b".to_owned())];
    assert_eq!(write_all(&folder, &files, PLAIN).unwrap_err().code, super::super::exit::CANNOT_READ_OR_WRITE);
    assert_eq!(fs::read_dir(outer.path()).unwrap().count(), 0);
    fs::create_dir_all(&folder).unwrap();
    assert_eq!(write_all(&folder, &files, PLAIN).unwrap_err().code, super::super::exit::CANNOT_READ_OR_WRITE);
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 0);
}

#[test]
fn a_path_that_leads_up_is_made_in_place() {
    let outer = tempfile::tempdir().unwrap();
    fs::create_dir(outer.path().join("here")).unwrap();
    let folder = outer.path().join("here/../out");
    let files = [OutFile::text("a.csv", "a".to_owned())];
    write_all(&folder, &files, PLAIN).unwrap();
    assert_eq!(fs::read_to_string(outer.path().join("out/a.csv")).unwrap(), "a");
}

#[test]
fn two_runs_at_once_do_not_mix() {
    for round in 0..8 {
        let outer = tempfile::tempdir().unwrap();
        let folder = outer.path().join("out");
        if round % 2 == 0 {
            fs::create_dir(&folder).unwrap();
        }
        std::thread::scope(|scope| {
            for text in ["one", "two", "three"] {
                let folder = &folder;
                scope.spawn(move || {
                    let files: Vec<OutFile> =
                        (0..6).map(|n| OutFile::text(&format!("{n}.csv"), text.repeat(n + 1))).collect();
                    write_all(folder, &files, OVERWRITE).unwrap();
                });
            }
        });
        let text = |n: usize| fs::read_to_string(folder.join(format!("{n}.csv"))).unwrap();
        let first = text(0);
        assert!((0..6).all(|n| text(n) == first.repeat(n + 1)), "{round}");
        assert_eq!(fs::read_dir(&folder).unwrap().count(), 6);
        assert_eq!(fs::read_dir(outer.path()).unwrap().count(), 1);
    }
}
