//! Media types of what is sent as a file.

/// Each by its place here.
pub const KINDS: [&str; 8] = [
    "text/plain; charset=utf-8",
    "application/zip",
    "application/pdf",
    "image/svg+xml",
    "image/jpeg",
    "text/csv; charset=utf-8",
    "application/octet-stream",
    "application/x-x509-ca-cert",
];
/// A text.
pub const TEXT: usize = 0;
/// A bundle.
pub const ZIP: usize = 1;
/// Pages.
pub const PDF: usize = 2;
/// A drawing.
pub const SVG: usize = 3;
/// A photograph.
pub const JPEG: usize = 4;
/// A table.
pub const CSV: usize = 5;
/// A workbook, or anything else.
pub const BYTES: usize = 6;
/// What a device is told to trust.
pub const CERTIFICATE: usize = 7;
