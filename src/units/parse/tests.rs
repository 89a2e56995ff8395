//! Spellings with the values meant, typed by hand, and properties of all readers.

mod marks;
mod properties;
mod single;

/// Whether two figures agree to the last bits.
fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * b.abs()
}
