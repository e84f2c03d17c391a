//! The open texts as they are between two changes: each read and judged at most once, when it is first asked about.

use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::path::Path;
use std::time::{Duration, Instant};

use super::address::address_of;
use super::documents::{Document, Documents, texts};
use super::look::Look;
use super::place::{Encoding, Lines};
use crate::files::{Files, Overlay};
use crate::inspect::Analysis;
use crate::pack::PackError;
use crate::rules::Date;
use crate::workspace::{Homes, Judged, SheetFile, Workspace, sheets_in};

/// Nobody tells when files change that are not open: what was read of them is believed so long.
const BELIEVED: Duration = Duration::from_secs(1);

/// What every moment of a conversation reads from.
#[derive(Clone, Copy)]
pub(super) struct Shop<'f> {
    pub(super) files: &'f dyn Files,
    pub(super) homes: &'f Homes,
    pub(super) today: Option<Date>,
    pub(super) encoding: Encoding,
    /// What was judged in the moment before, where that is kept.
    pub(super) judged: Option<&'f Judged>,
}

/// The workspace of each open text.
type Workspaces<'f> = BTreeMap<&'f str, OnceCell<Result<Workspace<'f>, Box<PackError>>>>;

pub(super) struct Moment<'m, 'f> {
    shop: Shop<'f>,
    pub(super) documents: &'f Documents,
    overlay: &'f Overlay<'f>,
    workspaces: &'m Workspaces<'f>,
    looks: BTreeMap<&'f str, OnceCell<Option<Look<'m>>>>,
    began: Instant,
}

/// Runs something with the texts as they are now.
pub(super) fn within<T>(documents: &Documents, shop: Shop, run: impl FnOnce(&Moment) -> T) -> T {
    let overlay = Overlay::over(shop.files, texts(documents));
    over(documents, &overlay, shop, run)
}

fn over<'f, T>(
    documents: &'f Documents,
    overlay: &'f Overlay<'f>,
    shop: Shop<'f>,
    run: impl FnOnce(&Moment) -> T,
) -> T {
    let workspaces: Workspaces = documents.keys().map(|address| (address.as_str(), OnceCell::new())).collect();
    let looks = documents.keys().map(|address| (address.as_str(), OnceCell::new())).collect();
    let moment = Moment { shop, documents, overlay, workspaces: &workspaces, looks, began: Instant::now() };
    let result = run(&moment);
    if let Some(judged) = shop.judged {
        judged.retain(|path| documents.values().any(|document| document.path == *path));
        for look in moment.looks.into_values().filter_map(|cell| cell.into_inner().flatten()) {
            judged.keep(look.sheet, look.analysis);
        }
    }
    result
}

impl<'m, 'f> Moment<'m, 'f> {
    /// Whether files that are not open may have changed since.
    pub(super) fn is_stale(&self) -> bool {
        self.began.elapsed() > BELIEVED
    }

    /// The workspace of an open text. `Err` holds what is wrong with its project's packs; nothing where it is not open.
    pub(super) fn workspace(&self, address: &str) -> Result<(&'m Workspace<'f>, &'f Document), Option<&'m PackError>> {
        let document = self.documents.get(address).ok_or(None)?;
        let cell = self.workspaces.get(address).ok_or(None)?;
        let Shop { homes, today, .. } = self.shop;
        let read = cell.get_or_init(|| Workspace::keeping(self.overlay, [&document.path], today, homes));
        read.as_ref().map(|workspace| (workspace, document)).map_err(|error| Some(&**error))
    }

    /// A look at an open text; `Err` as [`Moment::workspace`].
    pub(super) fn look(&self, address: &str) -> Result<&Look<'m>, Option<&'m PackError>> {
        let (workspace, document) = self.workspace(address)?;
        let look = || {
            let sheet = workspace.sheet_of(&document.path, document.text.clone()).ok()?;
            let (address, _) = self.documents.get_key_value(address)?;
            let analysis = self.shop.judged.map_or_else(|| sheet.analysis(), |judged| judged.analysis(&sheet));
            Some(self.look_with(analysis, sheet, (&document.text, address)))
        };
        self.looks.get(address).and_then(|cell| cell.get_or_init(look).as_ref()).ok_or(None)
    }

    /// Shows each sheet below a folder, as long as that is wanted.
    pub(super) fn below(&self, root: &Path, mut show: impl FnMut(&Look) -> bool) {
        let Shop { homes, today, .. } = self.shop;
        let paths = sheets_in(self.overlay, root);
        let Ok(workspace) = Workspace::keeping(self.overlay, &paths, today, homes) else { return };
        for sheet in paths.iter().filter_map(|path| workspace.sheet(path).ok()) {
            let (text, own) = (sheet.text.clone(), address_of(&sheet.full));
            if !show(&self.look_at(sheet, (&text, &own))) {
                return;
            }
        }
    }

    /// A look at a sheet, with its text and address.
    pub(super) fn look_at<'a>(&self, sheet: SheetFile<'a>, (text, address): (&'a str, &'a str)) -> Look<'a>
    where
        'f: 'a,
    {
        self.look_with(sheet.analysis(), sheet, (text, address))
    }

    fn look_with<'a>(
        &self,
        analysis: Analysis<'a>,
        sheet: SheetFile<'a>,
        (text, address): (&'a str, &'a str),
    ) -> Look<'a>
    where
        'f: 'a,
    {
        let encoding = self.shop.encoding;
        let lines = Lines::of(text, encoding);
        Look { sheet, analysis, ledger: OnceCell::new(), lines, text, address, encoding, files: self.overlay }
    }
}
