//! Every row of the table of reference figures against the public functions of the library.
//!
//! A row is computed from its own input text and held to its own tolerance. Rows of section 4
//! (values and marks) are held to the reading of marks in a test of their own.

#[cfg(test)]
mod electrolytic;
#[cfg(test)]
mod mains;
#[cfg(test)]
mod ratings;
#[cfg(test)]
mod resistors;
#[cfg(test)]
mod row;

#[cfg(test)]
mod tests {
    use super::row::{Answer, Row, read_rows};
    use super::{electrolytic, mains, ratings, resistors};

    /// The answer of the library to one row, by the section that its number begins with.
    fn answer(row: &Row, rows: &[Row]) -> Option<Answer> {
        match row.id.split('.').next()? {
            "1" => electrolytic::answer(row, rows),
            "2" | "3" => ratings::answer(row, rows),
            "5" => mains::answer(row),
            "6" | "7" => resistors::answer(row),
            _ => None,
        }
    }

    #[test]
    fn every_row_holds() {
        let rows = read_rows();
        let mut faults = Vec::new();
        let mut held = 0;
        for row in rows.iter().filter(|row| !row.id.starts_with("4.")) {
            match answer(row, &rows) {
                None => faults.push(format!("{row}: no part of the library answers this row")),
                Some(answer) => match row.compare(&answer) {
                    Ok(()) => held += 1,
                    Err(fault) => faults.push(fault),
                },
            }
        }
        assert!(faults.is_empty(), "{} rows differ:\n{}", faults.len(), faults.join("\n"));
        // The whole table has 285 rows; 41 of them are of section 4.
        assert_eq!((rows.len(), held), (285, 285 - 41));
    }

    #[test]
    fn a_wrong_answer_is_seen() {
        let rows = read_rows();
        for row in rows.iter().filter(|row| !row.id.starts_with("4.")) {
            let right = answer(row, &rows).expect("answered, as the other test shows");
            let wrong = right.spoiled();
            assert!(row.compare(&wrong).is_err(), "{row} takes a wrong answer too");
        }
    }
}
