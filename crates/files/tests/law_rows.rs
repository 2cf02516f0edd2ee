//! Tables: every form holds what was written, and whatever bytes a file holds, reading ends with rows or a fault.

use boardwise_files::rows::{Cell, Cells, Form, Kind, Table, Writer, as_it_is};
use proptest::prelude::*;
use std::borrow::Cow;
use std::fs;
use std::path::Path;

/// The columns of a table with numbers, whole numbers and words, and gaps among them.
fn columns(rows: usize) -> [Cells<'static>; 3] {
    let gap = |k: usize| k % 7 == 3;
    [
        Cells::Numbers((0..rows).map(|k| (!gap(k)).then(|| (k as f64).sqrt() - 3.0)).collect()),
        Cells::Whole((0..rows).zip(-5..).map(|(k, number)| (!gap(k + 1)).then_some(number)).collect()),
        Cells::Words((0..rows).map(|k| (!gap(k + 2)).then(|| Cow::Owned(format!("ball, {}", k % 5)))).collect()),
    ]
}

fn write(path: &Path, rows: usize) {
    let named = [("board", Kind::Numbers), ("id", Kind::Whole), ("ball", Kind::Words)];
    let mut table = Writer::new(Form::of(path).unwrap(), &named, Vec::new(), as_it_is).unwrap();
    table.write(&columns(rows)).unwrap();
    table.write(&columns(2)).unwrap();
    fs::write(path, table.finish().unwrap()).unwrap();
}

/// Reads it to the end, a few rows at a time.
fn read(path: &Path) -> Result<Vec<[String; 3]>, boardwise_files::Fault> {
    let mut table = Table::open("--batch", path, Form::of(path).unwrap())?;
    let mut rows = Vec::new();
    while let Some(block) = table.next(5)? {
        assert!((1..=5).contains(&block.rows()));
        let words = |row, column| {
            let cell: Cell<'_> = block.cell(row, column);
            cell.words().into_owned()
        };
        rows.extend((0..block.rows()).map(|row| [words(row, 0), words(row, 1), words(row, 2)]));
    }
    assert!((0.0..=1.0).contains(&table.share()));
    Ok(rows)
}

fn forms() -> Vec<&'static str> {
    if cfg!(feature = "columns") { vec!["t.csv", "t.parquet", "t.arrow"] } else { vec!["t.csv"] }
}

#[test]
fn law_every_form_holds_what_was_written() {
    let folder = tempfile::tempdir().unwrap();
    for name in forms() {
        let path = folder.path().join(name);
        write(&path, 23);
        let rows = read(&path).unwrap();
        assert_eq!(rows.len(), 25, "{name}");
        assert_eq!(rows[0], ["-3", "-5", "ball, 0"], "{name}");
        assert_eq!(rows[3], ["", "-2", "ball, 3"], "{name}: a gap is empty");
        assert_eq!(rows[23], ["-3", "-5", "ball, 0"], "{name}: the second block follows the first");
        assert_eq!(rows[24], ["-2", "-4", ""], "{name}");
        let first = fs::read(&path).unwrap();
        write(&path, 23);
        assert_eq!(fs::read(&path).unwrap(), first, "{name}: the same rows give the same bytes");
    }
}

#[test]
fn law_the_name_says_the_form() {
    assert_eq!(Form::of(Path::new("a/b.csv")), Ok(Form::Csv));
    assert_eq!(Form::of(Path::new("/dev/stdin")), Ok(Form::Csv));
    #[cfg(feature = "columns")]
    for (name, form) in [("a.parquet", Form::Parquet), ("A.PARQUET", Form::Parquet), ("x.y.arrow", Form::Arrow)] {
        assert_eq!(Form::of(Path::new(name)), Ok(form));
    }
    #[cfg(not(feature = "columns"))]
    assert!(Form::of(Path::new("a.parquet")).is_err());
}

#[cfg(feature = "columns")]
mod columns_of_others {
    use super::*;
    use arrow_array::types::Int8Type;
    use arrow_array::{
        ArrayRef, BooleanArray, DictionaryArray, Float32Array, LargeStringArray, RecordBatch, StringViewArray,
        UInt16Array,
    };
    use arrow_ipc::writer::FileWriter;
    use std::sync::Arc;

    fn file(path: &Path, columns: Vec<(&str, ArrayRef)>) {
        let batch = RecordBatch::try_from_iter(columns).unwrap();
        let mut out = FileWriter::try_new(fs::File::create(path).unwrap(), &batch.schema()).unwrap();
        out.write(&batch).unwrap();
        out.finish().unwrap();
    }

    #[test]
    fn law_other_types_of_numbers_and_words_are_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("t.arrow");
        let listed: DictionaryArray<Int8Type> = ["pearl", "solid", "pearl"].into_iter().collect();
        file(
            &path,
            vec![
                ("laydown", Arc::new(Float32Array::from(vec![15.5, 16.0, 17.25])) as ArrayRef),
                ("id", Arc::new(UInt16Array::from(vec![Some(1), None, Some(3)]))),
                ("ball", Arc::new(listed)),
                ("lane", Arc::new(StringViewArray::from(vec!["short", "house", "a name longer than a view holds"]))),
                ("bowler", Arc::new(LargeStringArray::from(vec![Some("left"), None, Some("right")]))),
            ],
        );
        let mut table = Table::open("--batch", &path, Form::Arrow).unwrap();
        assert_eq!((table.kind(0), table.kind(1), table.kind(2)), (Kind::Numbers, Kind::Whole, Kind::Words));
        let block = table.next(10).unwrap().unwrap();
        assert_eq!(
            (block.cell(2, 0), block.cell(0, 1), block.cell(1, 1)),
            (Cell::Number(17.25), Cell::Whole(1), Cell::Empty)
        );
        assert_eq!((block.cell(2, 2), block.cell(1, 2)), (Cell::Words("pearl"), Cell::Words("solid")));
        assert_eq!(block.cell(2, 3), Cell::Words("a name longer than a view holds"));
        assert_eq!((block.cell(0, 4), block.cell(1, 4)), (Cell::Words("left"), Cell::Empty));
    }

    #[test]
    fn law_a_column_that_is_neither_numbers_nor_words_is_named() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("t.arrow");
        file(&path, vec![("laydown", Arc::new(BooleanArray::from(vec![true])) as ArrayRef)]);
        let fault = Table::open("--batch", &path, Form::Arrow).unwrap_err().to_string();
        assert!(fault.contains("t.arrow, column \"laydown\": holds Boolean; give numbers or words"), "{fault}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(if cfg!(debug_assertions) { 1500 } else { 6000 }))]

        /// A file with some bytes changed and an end cut off is read, or refused in words.
        #[test]
        fn law_a_broken_file_is_refused_in_words(
            parquet in any::<bool>(),
            changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..4),
            kept in prop_oneof![4 => Just(1.0), 1 => 0.0..1.0f64],
        ) {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join(if parquet { "t.parquet" } else { "t.arrow" });
            write(&path, 40);
            let mut bytes = fs::read(&path).unwrap();
            for (at, byte) in changes {
                let at = at.index(bytes.len());
                bytes[at] = byte;
            }
            bytes.truncate((bytes.len() as f64 * kept) as usize);
            fs::write(&path, bytes).unwrap();
            if let Err(fault) = read(&path) {
                let words = fault.to_string();
                prop_assert!(words.contains("cannot be read") || words.contains("give numbers or words"), "{words}");
            }
        }
    }
}
