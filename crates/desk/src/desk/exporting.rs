//! What the desk exports, by the same calls as the command line, and the DXF that it imports.

use super::Desk;
use crate::state::{Dialog, DxfImport, Prompt, Purpose, Question};
use crate::text::sentence;
use exchange::export::{ExportFormat, blank_file, solid_files};
use host::Host;
use reckon::tables::Tables;
use std::path::{Path, PathBuf};

impl Desk {
    /// A path was chosen for an export.
    pub(super) fn export_to(&mut self, format: ExportFormat, path: PathBuf, host: &mut dyn Host) {
        let named = host.absolute(&path);
        let mut path = named.clone();
        if path.extension().is_none() {
            path.set_extension(format.ending());
        }
        if ExportFormat::of_path(&path) != Some(format) {
            let (path, ending) = (path.display(), format.ending());
            let message = format!("{path} should end in .{ending}, so that its kind is known");
            return self.session.toasts.push(message);
        }
        let asked = self.session.dialogs.native && path == named;
        if host.exists(&path) && !asked {
            let question = Question::Replace(Purpose::Export(format), path);
            self.session.dialogs.prompt = Some(Prompt::Question(question));
        } else {
            self.export(format, &path, asked, host);
        }
    }

    /// Writes it and says so, or why not. What a file for each part would replace is asked about,
    /// unless it has been.
    pub(super) fn export(
        &mut self,
        format: ExportFormat,
        path: &Path,
        asked: bool,
        host: &mut dyn Host,
    ) {
        match self.exported(format, path, asked, host) {
            Ok(message) => self.session.toasts.push(message),
            Err(NotExported::Why(message)) => self.session.toasts.push(message),
            Err(NotExported::WouldReplace(files)) => {
                let question = Question::ReplaceParts(format, path.to_owned(), files);
                self.session.dialogs.prompt = Some(Prompt::Question(question));
            }
        }
    }

    fn exported(
        &mut self,
        format: ExportFormat,
        path: &Path,
        asked: bool,
        host: &mut dyn Host,
    ) -> Result<String, NotExported> {
        let knife = self.document.knife().clone();
        self.catch_up();
        if self.derived.is_behind() {
            let why = "The blank can't be worked out as it stands: undo the last change, and \
                       export again";
            return Err(why.to_owned().into());
        }
        let (reckoning, choices) = (&self.derived.reckoning, &self.session.export);
        let mut message = match format {
            ExportFormat::ThreeMf | ExportFormat::Stl => {
                let (tables, request) = (Tables::built_in(), choices.solid());
                let solid = solid_files(&knife, reckoning, tables, &request, path);
                let solid = solid.map_err(|why| sentence(&why.to_string()))?;
                let others =
                    solid.files.iter().map(|(path, _)| path).filter(|other| *other != path);
                let there: Vec<PathBuf> =
                    others.filter(|other| host.exists(other)).cloned().collect();
                if !there.is_empty() && !asked {
                    return Err(NotExported::WouldReplace(there));
                }
                for (path, bytes) in &solid.files {
                    host.write(path, bytes).map_err(|why| why.to_string())?;
                }
                solid.describe()
            }
            ExportFormat::Dxf => {
                let unit = choices.unit.unwrap_or(knife.unit);
                let file = blank_file(&knife, reckoning, choices.holes, unit);
                let file = file.map_err(|why| sentence(&why.to_string()))?;
                host.write(path, &file.bytes).map_err(|why| why.to_string())?;
                let warned =
                    file.warnings.iter().map(|w| format!("\n{}", sentence(&w.to_string())));
                file.describe(path) + &warned.collect::<String>()
            }
            ExportFormat::Svg => {
                let bytes = sheets::bare_svg(&knife, reckoning);
                host.write(path, &bytes).map_err(|why| why.to_string())?;
                format!("Wrote outline and holes at true size to {}.", path.display())
            }
        };
        if reckoning.stops() > 0 {
            message.push_str("\nA problem says stop: don't cut steel from it.");
        }
        Ok(message)
    }

    /// Opens a DXF drawing, to show what is in it and to ask what it leaves open.
    pub(super) fn import_dxf(&mut self, path: &Path, host: &dyn Host) {
        let Some(bytes) = self.session.toasts.report(host.read(path)) else { return };
        let import = DxfImport::begin(path, bytes);
        self.session.dialogs.open = Some(Dialog::ImportDxf(Box::new(import)));
    }
}

/// Why nothing was exported.
enum NotExported {
    /// In a sentence.
    Why(String),
    /// These files are there, and nobody was asked about them.
    WouldReplace(Vec<PathBuf>),
}

impl From<String> for NotExported {
    fn from(why: String) -> Self {
        Self::Why(why)
    }
}
