//! Reads the tables of `tests/reference`: tabs between columns, `#` starts a comment, the first
//! other line names the columns.

/// Returns the rows of a table, each as the values of `columns`.
#[track_caller]
pub fn rows<const N: usize>(table: &'static str, columns: [&str; N]) -> Vec<[&'static str; N]> {
    let mut lines = table.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty());
    let names: Vec<&str> = lines.next().expect("a table names its columns").split('\t').collect();
    let place = |wanted: &str| names.iter().position(|name| *name == wanted).expect("the table has the column");
    let places = columns.map(place);
    let rows: Vec<_> = lines
        .map(|line| {
            let cells: Vec<&str> = line.split('\t').collect();
            places.map(|place| cells.get(place).copied().unwrap_or(""))
        })
        .collect();
    assert!(!rows.is_empty(), "the table has rows");
    rows
}
