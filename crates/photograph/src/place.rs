//! Where was a photograph taken, and nothing else that its file says?

use std::io::Cursor;

use exif::{Context, Field, In, Reader, Value, experimental::Writer};

/// The place alone, as EXIF data; none when the file does not say it.
pub(crate) fn taken_at(bytes: &[u8]) -> Option<Vec<u8>> {
    let exif = Reader::new()
        .read_from_container(&mut Cursor::new(bytes))
        .ok()?;
    let fields: Vec<&Field> = (exif.fields())
        .filter(|field| field.tag.context() == Context::Gps && field.ifd_num == In::PRIMARY)
        .filter(|field| is_small(&field.value))
        .collect();
    if fields.is_empty() {
        return None;
    }
    let mut writer = Writer::new();
    for field in fields {
        writer.push_field(field);
    }
    let mut out = Cursor::new(Vec::new());
    writer.write(&mut out, false).ok()?;
    Some(out.into_inner())
}

/// Numbers and short texts: a place needs no more, and a file must not smuggle more along.
fn is_small(value: &Value) -> bool {
    match value {
        Value::Rational(numbers) => numbers.len() <= 3,
        Value::Ascii(texts) => texts.iter().map(Vec::len).sum::<usize>() <= 16,
        Value::Byte(bytes) => bytes.len() <= 4,
        _ => false,
    }
}
