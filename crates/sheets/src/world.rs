//! How is typst run without files, clock, packages or font search?

use std::collections::BTreeMap;
use std::sync::LazyLock;

use drawing::font::{BOLD, REGULAR};
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::PdfOptions;

use crate::SheetError;
use crate::data::Gathered;

const TEMPLATE: &str = include_str!("template.typ");

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));
static FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| {
    [REGULAR, BOLD]
        .into_iter()
        .flat_map(|bytes| Font::iter(Bytes::new(bytes)))
        .collect()
});
static BOOK: LazyLock<LazyHash<FontBook>> =
    LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FONTS.iter())));

struct Set {
    main: Source,
    files: BTreeMap<String, Bytes>,
}

fn id_of(path: &str) -> FileId {
    let path = VirtualPath::new(path).expect("our own file names are plain words");
    RootedPath::new(VirtualRoot::Project, path).intern()
}

impl World for Set {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() {
            Ok(self.main.clone())
        } else {
            Err(FileError::Other(None))
        }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let name = id.vpath().get_without_slash().to_string();
        self.files.get(&name).cloned().ok_or(FileError::Other(None))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}

fn first_message(errors: impl IntoIterator<Item = SourceDiagnostic>) -> SheetError {
    let messages: Vec<String> = errors.into_iter().map(|e| e.message.to_string()).collect();
    SheetError::Typesetting(messages.join("; "))
}

/// Sets all pages.
pub(crate) fn document(gathered: &Gathered) -> Result<PagedDocument, SheetError> {
    let files = gathered
        .files
        .iter()
        .map(|(name, bytes)| (name.clone(), Bytes::new(bytes.clone())))
        .collect();
    let set = Set {
        main: Source::new(id_of("main.typ"), TEMPLATE.to_string()),
        files,
    };
    let document = typst::compile::<PagedDocument>(&set)
        .output
        .map_err(first_message);
    // The cache would grow with each job that a server prints; what the last few sets shared stays.
    typst::comemo::evict(4);
    document
}

/// The pages as PDF bytes.
pub(crate) fn written(document: &PagedDocument) -> Result<Vec<u8>, SheetError> {
    let options = PdfOptions {
        creator: Smart::Custom(Some("dryfit".to_string())),
        ..PdfOptions::default()
    };
    typst_pdf::pdf(document, &options).map_err(first_message)
}
