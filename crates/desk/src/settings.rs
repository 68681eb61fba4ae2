//! What is kept between runs: never part of the knife, never undone.

use crate::theme::ColorTheme;
use host::{FileError, FileProblem, Host};
use knife::file::{Faults, Unreadable, read_json};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::Value;
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};
use units::LengthUnit;

/// The most recent files that are remembered.
const RECENTS: usize = 12;
/// How large everything may be drawn.
pub(crate) const SCALE: RangeInclusive<f32> = 1.0..=2.0;
/// What a screen may have of dots to the millimetre (25 to 1250 dpi).
const PIXELS_PER_MM: RangeInclusive<f64> = 1.0..=50.0;
/// How far apart the lines of the grid may be, mm.
pub(crate) const GRID_MM: RangeInclusive<f64> = 0.1..=100.0;
/// The file's name in the program's own folder.
const FILE: &str = "settings.json";

/// The maker's settings.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// The unit of a new blank.
    #[serde(with = "symbol")]
    pub unit: LengthUnit,
    /// Light or dark.
    #[serde(rename = "room")]
    pub color_theme: ColorTheme,
    /// How large everything is drawn, 1 to 2.
    pub scale: f32,
    /// Screen dots to the millimetre, once matched against a ruler or a card.
    pub pixels_per_mm: Option<f64>,
    /// The paper printed on last, by its name.
    pub paper: Option<String>,
    /// Whether the grid is shown, and dragged places stick to it.
    pub grid: bool,
    /// How far apart its lines are, mm; `None` for the usual pitch.
    pub grid_mm: Option<f64>,
    /// Whether the cross-section is shown.
    pub section: bool,
    /// Whether the canvas shows the finished knife in light from the side.
    pub shaded: bool,
    /// Whether the stiffness along the knife is shown.
    pub stiffness: bool,
    /// Whether the card is shown.
    pub card: bool,
    /// Whether the list of findings is shown.
    pub findings: bool,
    /// Whether the last file is opened again at the start.
    pub reopen: bool,
    /// Whether changes are saved to the blank's own file without being asked.
    pub autosave: bool,
    /// The last files, the newest first.
    #[serde(deserialize_with = "recents", serialize_with = "unicode")]
    pub recents: Vec<PathBuf>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            unit: LengthUnit::Inch,
            color_theme: ColorTheme::default(),
            scale: 1.0,
            pixels_per_mm: None,
            paper: None,
            grid: false,
            grid_mm: None,
            section: true,
            shaded: false,
            stiffness: false,
            card: true,
            findings: true,
            reopen: false,
            autosave: false,
            recents: Vec::new(),
        }
    }
}

impl Settings {
    /// The settings as they were kept. What is missing, of the wrong kind or out of range
    /// stands at its default, and what this version doesn't know is passed over; a file that
    /// isn't there gives the defaults. With a sentence when a file is there but says nothing.
    pub fn read(host: &dyn Host) -> (Self, Option<String>) {
        let Some(path) = path(host) else { return (Self::default(), None) };
        let bytes = match host.read(&path) {
            Ok(bytes) => bytes,
            Err(FileError { problem: FileProblem::NotFound, .. }) => {
                return (Self::default(), None);
            }
            Err(fault) => {
                return (
                    Self::default(),
                    Some(format!(
                        "{fault}; the usual settings are \
                                                                 used"
                    )),
                );
            }
        };
        match read_json(&bytes, &mut Faults::default()) {
            Ok(Value::Object(fields)) => (Self::from_json(&Value::Object(fields)), None),
            _ => {
                let path = path.display();
                let message = format!(
                    "the settings in {path} can't be read; the usual ones are \
                                       used"
                );
                (Self::default(), Some(message))
            }
        }
    }

    /// Keeps the settings, whole or not at all. Does nothing where the program has no folder.
    ///
    /// # Errors
    /// [`FileError`] when they can't be written; what was kept before stays.
    pub fn write(&self, host: &mut dyn Host) -> Result<(), FileError> {
        let Some(path) = path(host) else { return Ok(()) };
        if let Some(folder) = path.parent() {
            host.create_private_folder(folder)?;
        }
        let mut text = serde_json::to_string_pretty(&self.to_json()).unwrap_or_default();
        text.push('\n');
        self.read_back(text.as_bytes()).map_err(|why| FileError::unreadable(&path, why))?;
        host.write(&path, text.as_bytes())
    }

    /// Whether these bytes say what the settings are; else the first that would be lost.
    fn read_back(&self, bytes: &[u8]) -> Result<(), Unreadable> {
        let Ok(value) = read_json(bytes, &mut Faults::default()) else {
            return Err(Unreadable("it would be no settings".to_owned()));
        };
        let (mine, again) = (self.to_json(), Self::from_json(&value).to_json());
        let lost =
            mine.as_object().into_iter().flatten().find(|(key, it)| again.get(key) != Some(*it));
        lost.map_or(Ok(()), |(key, it)| Err(Unreadable(format!("{key} can't be {it}"))))
    }

    /// The pitch of the grid, mm: the one that was typed, else 1/8 in or 5 mm (this program's
    /// own choice).
    pub fn pitch_mm(&self, unit: LengthUnit) -> f64 {
        let usual = match unit {
            LengthUnit::Inch => 25.4 / 8.0,
            LengthUnit::Millimetre => 5.0,
        };
        self.grid_mm.unwrap_or(usual)
    }

    /// Puts a file first among the recent ones.
    pub fn opened(&mut self, path: &Path) {
        self.forget(path);
        self.recents.insert(0, path.to_owned());
        self.recents.truncate(RECENTS);
    }

    /// Takes a file from the recent ones.
    pub fn forget(&mut self, path: &Path) {
        self.recents.retain(|known| known != path);
    }

    /// Each field that says what it can; the others stand at their defaults.
    fn from_json(value: &Value) -> Self {
        let mut kept = Self::default().to_json();
        for (name, stated) in value.as_object().into_iter().flatten() {
            let Some(field) = kept.get_mut(name) else { continue };
            let before = std::mem::replace(field, stated.clone());
            if !Self::deserialize(&kept).is_ok_and(|settings| settings.is_in_range()) {
                kept[name] = before;
            }
        }
        Self::deserialize(&kept).unwrap_or_default()
    }

    fn is_in_range(&self) -> bool {
        SCALE.contains(&self.scale)
            && self.pixels_per_mm.is_none_or(|dots| PIXELS_PER_MM.contains(&dots))
            && self.grid_mm.is_none_or(|mm| GRID_MM.contains(&mm))
    }

    fn to_json(&self) -> Value {
        serde_json::to_value(self).unwrap_or_default()
    }
}

/// A unit by its symbol.
mod symbol {
    use serde::{Deserialize as _, Deserializer, Serializer, de::Error as _};
    use units::LengthUnit;

    pub(super) fn serialize<S: Serializer>(unit: &LengthUnit, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(unit.symbol())
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<LengthUnit, D::Error> {
        let text = String::deserialize(from)?;
        let mut all = [LengthUnit::Inch, LengthUnit::Millimetre].into_iter();
        all.find(|unit| unit.symbol() == text).ok_or_else(|| D::Error::custom("no unit"))
    }
}

/// Files by their paths, each once, the first said first; what is no path is passed over.
fn recents<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<PathBuf>, D::Error> {
    let all = Vec::<Value>::deserialize(from)?;
    let mut settings = Settings::default();
    for path in all.iter().rev().filter_map(Value::as_str) {
        settings.opened(Path::new(path));
    }
    Ok(settings.recents)
}

/// A name that is no Unicode can't stand in JSON; that file is opened by hand again.
fn unicode<S: Serializer>(paths: &[PathBuf], to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(paths.iter().filter_map(|path| path.to_str()))
}

fn path(host: &dyn Host) -> Option<PathBuf> {
    Some(host.data_folder()?.join(FILE))
}

#[cfg(test)]
mod tests {
    use super::*;
    use host::MemoryHost;
    use proptest::prelude::*;

    fn read(text: &str) -> (Settings, Option<String>) {
        let mut host = MemoryHost::with_data();
        host.files.insert("/data/settings.json".into(), text.as_bytes().to_vec());
        Settings::read(&host)
    }

    #[test]
    fn what_is_kept_comes_back() {
        let mut host = MemoryHost::with_data();
        assert_eq!(Settings::read(&host), (Settings::default(), None));
        let mut settings = Settings {
            unit: LengthUnit::Millimetre,
            color_theme: ColorTheme::Light,
            scale: 1.25,
            pixels_per_mm: Some(5.117),
            paper: Some("a4".into()),
            grid: true,
            grid_mm: Some(2.5),
            section: false,
            shaded: true,
            stiffness: true,
            card: false,
            findings: false,
            reopen: true,
            autosave: true,
            recents: Vec::new(),
        };
        for i in 0..20 {
            settings.opened(&PathBuf::from(format!("/knives/{i}.blank.json")));
        }
        settings.opened(Path::new("/knives/15.blank.json"));
        assert_eq!(settings.recents.len(), 12);
        assert_eq!(settings.recents[0], Path::new("/knives/15.blank.json"));
        assert_eq!(settings.recents[1], Path::new("/knives/19.blank.json"));
        settings.write(&mut host).unwrap();
        assert_eq!(Settings::read(&host), (settings.clone(), None));
        settings.forget(Path::new("/knives/19.blank.json"));
        assert_eq!(settings.recents.len(), 11);

        // A full disk: told, and what was kept stays.
        host.write_problem = Some(FileProblem::DiskFull);
        assert!(settings.write(&mut host).unwrap_err().to_string().contains("disk is full"));
        assert_eq!(Settings::read(&host).0.recents.len(), 12);
        // No folder of its own: nothing to keep, nothing to complain about.
        assert_eq!(settings.write(&mut MemoryHost::default()), Ok(()));
    }

    #[test]
    fn what_is_wrong_stands_at_its_default_and_the_rest_is_kept() {
        let (settings, told) = read(
            r#"{"later": [1], "room": "light", "scale": 7, "unit": 3, "pixels_per_mm": "x",
                "grid_mm": -1, "section": 7, "shaded": "yes",
                "recents": [4, "/a", "/b", "/a"]}"#,
        );
        assert_eq!(told, None);
        assert_eq!(settings.color_theme, ColorTheme::Light);
        assert_eq!((settings.scale, settings.unit), (1.0, LengthUnit::Inch));
        assert_eq!(settings.pixels_per_mm, None);
        assert_eq!((settings.grid_mm, settings.section, settings.shaded), (None, true, false));
        assert_eq!(settings.recents, ["/a", "/b"].map(PathBuf::from));
        let (settings, told) = read("{\"room\": \"li");
        assert_eq!(settings, Settings::default());
        assert!(told.unwrap().contains("the usual ones are used"));
    }

    proptest! {
        #[test]
        fn no_text_makes_it_panic(text in any::<String>()) {
            let (settings, _) = read(&text);
            prop_assert!(SCALE.contains(&settings.scale));
        }
    }
}
