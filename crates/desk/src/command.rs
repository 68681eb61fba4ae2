//! The one table of commands: every menu, key and button comes from it.

use crate::state::Station;
use egui::{Key, KeyboardShortcut, Modifiers};

/// Everything that can be asked for from a menu or by a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is told by its row in the table")]
pub enum Command {
    New,
    /// Choose one of the finished blanks.
    Starters,
    /// Ask for a bar and draw on it.
    DrawNew,
    /// A tab of its own for another knife.
    NewTab,
    NextTab,
    PreviousTab,
    CloseTab,
    Open,
    ImportOutline,
    /// Ask for a picture and trace it.
    TracePicture,
    /// Show or hide the picture under the blank.
    Picture,
    Save,
    SaveAs,
    /// Keep a dated copy beside the file.
    SaveVersion,
    /// The dated copies.
    Versions,
    Print,
    /// Show the PDF that was written last.
    OpenPdf,
    Proof,
    /// Print the tracing mat.
    Mat,
    /// Ask what to export, and how.
    Export,
    Quit,
    Undo,
    Redo,
    /// Every step, to go back to one.
    History,
    /// Another knife under this one.
    Compare,
    SelectAll,
    SelectNone,
    Delete,
    Cut,
    Copy,
    Paste,
    Duplicate,
    Preferences,
    DrawOutline,
    CloseOutline,
    AddNode,
    MakeCorner,
    MakeSmooth,
    MakeSymmetric,
    /// The curvature is the same on both sides of a node.
    MakeContinuous,
    Fair,
    Measure,
    Straighten,
    MakeCurved,
    MarkTip,
    MarkHeel,
    FlipVertical,
    FlipHorizontal,
    AddHole,
    AddLinePoint,
    RotateToFit,
    Heat,
    Shop,
    /// Several knives on one bar.
    PlanBar,
    Station(Station),
    Fit,
    FitSelection,
    TrueSize,
    MatchScreen,
    ZoomIn,
    ZoomOut,
    Grid,
    Comb,
    CombRadii,
    Section,
    PinSection,
    Chain,
    Shaded,
    /// Turn the finished knife in place of the canvas.
    Turn,
    Stiffness,
    Unit,
    /// Show or hide the card.
    Card,
    /// Show or hide the findings.
    Findings,
    Theme,
    Larger,
    Smaller,
    Shortcuts,
    Manual,
    About,
}

/// Where a command stands in the menus.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Menu {
    /// The file.
    File,
    /// What was done, and what is chosen.
    Edit,
    /// The work at the stations.
    Work,
    /// What is seen.
    View,
    /// The stations themselves; not in a menu of their own.
    Stations,
    /// Help.
    Help,
}

impl Menu {
    /// The menus in their order.
    pub const ALL: [Self; 5] = [Self::File, Self::Edit, Self::Work, Self::View, Self::Help];

    /// The letter that opens it with Alt: the first of its name.
    pub fn key(self) -> Key {
        match self {
            Self::File => Key::F,
            Self::Edit => Key::E,
            Self::Work => Key::W,
            Self::View => Key::V,
            Self::Stations => Key::S,
            Self::Help => Key::H,
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::File => "File",
            Self::Edit => "Edit",
            Self::Work => "Work",
            Self::View => "View",
            Self::Stations => "Stations",
            Self::Help => "Help",
        }
    }
}

/// A command as people meet it.
#[derive(Clone, Copy, Debug)]
pub struct CommandInfo {
    /// The command.
    pub command: Command,
    /// Its name in menus.
    pub label: &'static str,
    /// What it does, in one sentence.
    pub tooltip: &'static str,
    /// Its key.
    pub shortcut: Option<KeyboardShortcut>,
    /// A second key for the same.
    pub also: Option<KeyboardShortcut>,
    /// Where it stands.
    pub menu: Menu,
    /// Whether it asks something before it is done.
    pub asks: bool,
}

const fn row(
    command: Command,
    menu: Menu,
    label: &'static str,
    tooltip: &'static str,
) -> CommandInfo {
    CommandInfo { command, label, tooltip, shortcut: None, also: None, menu, asks: false }
}

impl CommandInfo {
    const fn key(mut self, modifiers: Modifiers, key: Key) -> Self {
        self.shortcut = Some(KeyboardShortcut::new(modifiers, key));
        self
    }

    const fn or(mut self, modifiers: Modifiers, key: Key) -> Self {
        self.also = Some(KeyboardShortcut::new(modifiers, key));
        self
    }

    const fn asks(mut self) -> Self {
        self.asks = true;
        self
    }
}

const PLAIN: Modifiers = Modifiers::NONE;
const CTRL: Modifiers = Modifiers::COMMAND;
const SHIFT: Modifiers = Modifiers::SHIFT;
const CTRL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

/// Every command, in the order of the menus.
#[rustfmt::skip]
pub static COMMANDS: &[CommandInfo] = &[
    row(Command::New, Menu::File, "New…", "Choose a bar and how to begin: from a finished knife, a drawing of your own, a picture or an outline").key(CTRL, Key::N).asks(),
    row(Command::Starters, Menu::File, "Start from a knife…", "Begin with one of the finished blanks").key(CTRL_SHIFT, Key::N).asks(),
    row(Command::DrawNew, Menu::File, "Draw my own…", "Begin with an empty bar and draw the outline on it").key(CTRL, Key::D).asks(),
    row(Command::NewTab, Menu::File, "New tab…", "Open another knife beside this one").key(CTRL_SHIFT, Key::O).asks(),
    row(Command::Open, Menu::File, "Open…", "Open a blank file").key(CTRL, Key::O).asks(),
    row(Command::ImportOutline, Menu::File, "Import outline…", "Import the closed outline and the holes of an SVG or DXF drawing in true units").key(CTRL, Key::T).asks(),
    row(Command::TracePicture, Menu::File, "Trace a picture…", "Trace the outline and the holes of a scan or a photo at true size").key(CTRL_SHIFT, Key::T).asks(),
    row(Command::Save, Menu::File, "Save", "Save the blank to its file").key(CTRL, Key::S),
    row(Command::SaveAs, Menu::File, "Save as…", "Save the blank to another file").key(CTRL_SHIFT, Key::S).asks(),
    row(Command::SaveVersion, Menu::File, "Save a version", "Keep a dated copy in a folder beside the file").key(PLAIN, Key::F6),
    row(Command::Versions, Menu::File, "Versions…", "The dated copies: compare with one, or go back to it").asks(),
    row(Command::Print, Menu::File, "Print to PDF…", "Write the sheets, full size, to a PDF for any printer").key(CTRL, Key::P).asks(),
    row(Command::OpenPdf, Menu::File, "Open the PDF", "Show the PDF written last in this computer's own viewer, to print it from there at actual size"),
    row(Command::Proof, Menu::File, "Print a proof…", "Write the page that measures a printer, for the paper chosen at the Paper station").asks(),
    row(Command::Mat, Menu::File, "Print the tracing mat…", "Write the sheet on which a knife or a cut-out is photographed to be traced, for the paper chosen at the Paper station").asks(),
    row(Command::Export, Menu::File, "Export…", "Write the solid as 3MF or STL, or what is cut of it as DXF or SVG").key(CTRL, Key::E).asks(),
    row(Command::NextTab, Menu::View, "Next tab", "Bring the next open knife to the front").key(CTRL, Key::PageDown),
    row(Command::PreviousTab, Menu::View, "Previous tab", "Bring the open knife before this one to the front").key(CTRL, Key::PageUp),
    row(Command::CloseTab, Menu::File, "Close tab", "Close this knife; unsaved work is asked about first").key(CTRL, Key::W),
    row(Command::Quit, Menu::File, "Quit", "Close Blankwright; asks first if there is unsaved work").key(CTRL, Key::Q),

    row(Command::Undo, Menu::Edit, "Undo", "Undo the last step").key(CTRL, Key::Z),
    row(Command::Redo, Menu::Edit, "Redo", "Redo the step that was undone").key(CTRL_SHIFT, Key::Z).or(CTRL, Key::Y),
    row(Command::History, Menu::Edit, "History…", "Every step by its name; go back to one, or forward again").key(CTRL, Key::H).asks(),
    row(Command::Compare, Menu::Edit, "Compare…", "Show another version, starter or file under this knife, with the differences").key(CTRL, Key::K).asks(),
    row(Command::SelectAll, Menu::Edit, "Select all", "Select every node, or every hole, of this station").key(CTRL, Key::A),
    row(Command::SelectNone, Menu::Edit, "Select none", "Clear the selection, or cancel a drag").key(PLAIN, Key::Escape),
    row(Command::Delete, Menu::Edit, "Remove", "Remove the selected nodes or holes").key(PLAIN, Key::Delete).or(PLAIN, Key::Backspace),

    row(Command::Cut, Menu::Edit, "Cut", "Copy the selected holes or nodes and remove them").key(CTRL, Key::X),
    row(Command::Copy, Menu::Edit, "Copy", "Copy the selected holes, or a piece of the outline from node to node").key(CTRL, Key::C),
    row(Command::Paste, Menu::Edit, "Paste", "Put copied holes where the pointer is, or a copied piece into the segment that was clicked").key(CTRL, Key::V),
    row(Command::Duplicate, Menu::Edit, "Duplicate", "Make a second copy of the selected holes, or of the selected piece of the outline").key(CTRL_SHIFT, Key::D),
    row(Command::Preferences, Menu::Edit, "Preferences…", "Theme, units, text size and what happens at startup").key(CTRL, Key::Comma).asks(),

    row(Command::DrawOutline, Menu::Work, "Draw the outline", "Draw on this bar, point by point; for a bar without an outline").key(PLAIN, Key::O),
    row(Command::CloseOutline, Menu::Work, "Close the outline", "Join the last point of the drawing to the first; it is then the blank's outline. Enter does the same"),
    row(Command::AddNode, Menu::Work, "Add node", "Add a node where the outline is nearest to the pointer; its shape stays").key(PLAIN, Key::A),
    row(Command::MakeCorner, Menu::Work, "Make corner", "Let the two handles of a node point in different directions").key(PLAIN, Key::C),
    row(Command::MakeSmooth, Menu::Work, "Make smooth", "Bring the two handles of a node in line").key(PLAIN, Key::S),
    row(Command::MakeSymmetric, Menu::Work, "Make symmetric", "Keep the two handles of a node in line and equally long").key(SHIFT, Key::S),
    row(Command::MakeContinuous, Menu::Work, "Keep curvature continuous", "Keep the outline equally curved on both sides of a node, whatever is moved").key(SHIFT, Key::K),
    row(Command::Fair, Menu::Work, "Fair", "Preview how the selected nodes, or all of them, would move to make the curvature change evenly; then accept or discard it").key(SHIFT, Key::F),
    row(Command::Measure, Menu::Work, "Measure", "Measure distances, angles, radii and lengths along the outline; Escape stops").key(PLAIN, Key::M),
    row(Command::Straighten, Menu::Work, "Straighten", "Make the selected segment a straight line").key(PLAIN, Key::L),
    row(Command::MakeCurved, Menu::Work, "Make curved", "Give the selected straight segment handles; its shape stays until they are moved").key(PLAIN, Key::B),
    row(Command::MarkTip, Menu::Work, "Set as tip", "The selected node is the tip, where edge and spine meet").key(SHIFT, Key::T),
    row(Command::MarkHeel, Menu::Work, "Set as heel", "The selected node is the heel, where the edge ends").key(SHIFT, Key::H),
    row(Command::FlipVertical, Menu::Work, "Flip vertical", "Swap spine and edge"),
    row(Command::FlipHorizontal, Menu::Work, "Flip horizontal", "Swap tip and butt"),
    row(Command::AddHole, Menu::Work, "Add hole", "The next click on the tang puts a hole there").key(PLAIN, Key::H),
    row(Command::AddLinePoint, Menu::Work, "Add grind line point", "Add a point to the grind line at the pointer, or in its widest gap; the line then runs through your own points").key(SHIFT, Key::A),
    row(Command::RotateToFit, Menu::Work, "Rotate to fit", "Rotate the blank so that it leaves the most steel around it").key(PLAIN, Key::T),
    row(Command::Heat, Menu::Work, "Heat and finish…", "How it is hardened, tempered and finished, with the temper chart").key(PLAIN, Key::Q).asks(),
    row(Command::PlanBar, Menu::Work, "Plan a bar…", "Lay several knives on one bar: how many go on, what is left and what the steel costs").key(CTRL, Key::B).asks(),
    row(Command::Shop, Menu::Work, "Shop…", "What is on hand, and the limits that problems are judged by").asks(),

    row(Command::Station(Station::Bar), Menu::Stations, "Bar", "The steel, and where the blank lies on it").key(PLAIN, Key::Num1),
    row(Command::Station(Station::Profile), Menu::Stations, "Profile", "The outline to be cut").key(PLAIN, Key::Num2),
    row(Command::Station(Station::Holes), Menu::Stations, "Holes", "Pin, relief and lanyard holes").key(PLAIN, Key::Num3),
    row(Command::Station(Station::Bevels), Menu::Stations, "Bevels", "Plunge line, grind line and edge").key(PLAIN, Key::Num4),
    row(Command::Station(Station::Handle), Menu::Stations, "Handle", "The pair of scales").key(PLAIN, Key::Num5),
    row(Command::Station(Station::Sheath), Menu::Stations, "Sheath", "Leather or thermoplastic round the knife").key(PLAIN, Key::Num6),
    row(Command::Station(Station::Paper), Menu::Stations, "Paper", "The pages as they will print").key(PLAIN, Key::Num7),

    row(Command::Fit, Menu::View, "Fit", "Show all that this station works on").key(PLAIN, Key::F),
    row(Command::FitSelection, Menu::View, "Fit selection", "Show the selection as large as it fits").key(PLAIN, Key::Z),
    row(Command::TrueSize, Menu::View, "True size", "Show it at its true size; match the screen once before").key(PLAIN, Key::Num0),
    row(Command::MatchScreen, Menu::View, "Match the screen…", "Hold a bank card against the screen so that true size is exact").asks(),
    row(Command::ZoomIn, Menu::View, "Zoom in", "Show it larger").key(PLAIN, Key::Plus).or(PLAIN, Key::Equals),
    row(Command::ZoomOut, Menu::View, "Zoom out", "Show it smaller").key(PLAIN, Key::Minus),
    row(Command::Grid, Menu::View, "Grid", "Show or hide the grid; while it is shown, whatever is dragged snaps to it").key(PLAIN, Key::G),
    row(Command::Picture, Menu::View, "Picture", "Show or hide the picture that lies under the blank").key(SHIFT, Key::P),
    row(Command::Comb, Menu::View, "Curvature comb", "Show the outline's curvature as a row of teeth, to judge whether it is fair").key(PLAIN, Key::K),
    row(Command::CombRadii, Menu::View, "Radii on the comb", "Show the radius where the outline bends most and least").key(SHIFT, Key::R),
    row(Command::Section, Menu::View, "Cross-section", "Show or hide the knife cut through at the pointer, square to its length").key(PLAIN, Key::X),
    row(Command::PinSection, Menu::View, "Pin the cross-section", "Keep the cross-section where it is, or let it follow the pointer again").key(PLAIN, Key::P),
    row(Command::Chain, Menu::View, "Chain drilling", "Show or hide, on the bar, the holes and saw cuts that cut the blank out").key(PLAIN, Key::D),
    row(Command::Shaded, Menu::View, "Shaded view", "Show the finished knife lit from the side, or the painted bar again").key(PLAIN, Key::V),
    row(Command::Turn, Menu::View, "Knife in the round", "Turn the finished knife freely, each part looking like its material, and cut it open; or go back to the blank").key(SHIFT, Key::V),
    row(Command::Stiffness, Menu::View, "Stiffness along the knife", "Show or hide how stiff each section is against bending flatwise").key(PLAIN, Key::I),
    row(Command::Unit, Menu::View, "Inches or millimetres", "Show lengths in the other unit").key(PLAIN, Key::U),
    row(Command::Card, Menu::View, "Card", "Show or hide the card at the right").key(PLAIN, Key::F9),
    row(Command::Findings, Menu::View, "Problems", "Show or hide the list of problems at the bottom").key(PLAIN, Key::F8),
    row(Command::Theme, Menu::View, "Light or dark theme", "Switch between the light and the dark theme").key(PLAIN, Key::F7),
    row(Command::Larger, Menu::View, "Larger text", "Show text and buttons larger, up to twice the size").key(CTRL, Key::Plus).or(CTRL, Key::Equals),
    row(Command::Smaller, Menu::View, "Smaller text", "Show text and buttons smaller again").key(CTRL, Key::Minus),

    row(Command::Shortcuts, Menu::Help, "Keyboard shortcuts", "Every key and everything the pointer does").key(PLAIN, Key::F1),
    row(Command::Manual, Menu::Help, "Manual…", "How to go from an idea to a knife, with every page of the manual").key(SHIFT, Key::F1).asks(),
    row(Command::About, Menu::Help, "About Blankwright", "Which version this is, its licence and what it is made of"),
];

/// How people meet a command.
pub(crate) fn info_of(command: Command) -> Option<&'static CommandInfo> {
    COMMANDS.iter().find(|row| row.command == command)
}

/// A key as people read it: `Ctrl+S`.
pub fn shortcut_text(ctx: &egui::Context, shortcut: &KeyboardShortcut) -> String {
    ctx.format_shortcut(shortcut)
}

/// The commands whose keys were pressed, taken out of the input. The most modifiers first, so
/// that Ctrl+Shift+S is not taken for Ctrl+S.
pub(crate) fn pressed(ctx: &egui::Context) -> Vec<Command> {
    let typing = ctx.text_edit_focused();
    let mut keys: Vec<(KeyboardShortcut, Command)> = COMMANDS
        .iter()
        .flat_map(|row| {
            [row.shortcut, row.also].into_iter().flatten().map(|key| (key, row.command))
        })
        .filter(|(key, _)| !typing || is_free(key))
        .collect();
    keys.sort_by_key(|(key, _)| {
        let m = key.modifiers;
        std::cmp::Reverse(u8::from(m.command) + u8::from(m.shift) + u8::from(m.alt))
    });
    ctx.input_mut(|input| {
        keys.iter().filter(|(key, _)| input.consume_shortcut(key)).map(|(_, c)| *c).collect()
    })
}

/// Whether a key means nothing to a field that is being typed in.
fn is_free(key: &KeyboardShortcut) -> bool {
    let in_text = [Key::A, Key::Z, Key::Y, Key::C, Key::X, Key::V];
    let function = matches!(key.logical_key, Key::F1 | Key::F6 | Key::F7 | Key::F8 | Key::F9);
    function || key.modifiers.command && !in_text.contains(&key.logical_key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_words_a_person_reads() {
        for row in COMMANDS {
            let mut words = row.label.split(' ');
            let first = words.next().unwrap();
            assert!(first.starts_with(char::is_uppercase), "{}", row.label);
            for word in
                words.filter(|word| !["PDF", "Blankwright"].contains(&word.trim_end_matches('…')))
            {
                assert!(word.starts_with(char::is_lowercase), "{}", row.label);
            }
            assert!(!row.label.ends_with('.') && !row.tooltip.ends_with('.'), "{}", row.label);
            assert_eq!(row.label.ends_with('…'), row.asks, "{}", row.label);
            assert!(!row.tooltip.is_empty());
        }
    }

    #[test]
    fn keys_and_names_are_unique() {
        let mut keys: Vec<String> = COMMANDS
            .iter()
            .flat_map(|row| [row.shortcut, row.also].into_iter().flatten())
            .map(|key| format!("{key:?}"))
            .collect();
        let all = keys.len();
        keys.sort();
        keys.dedup();
        assert_eq!(keys.len(), all);
        let mut labels: Vec<&str> = COMMANDS.iter().map(|row| row.label).collect();
        labels.sort_unstable();
        labels.dedup();
        assert_eq!(labels.len(), COMMANDS.len());
        for (i, row) in COMMANDS.iter().enumerate() {
            assert!(COMMANDS[i + 1..].iter().all(|other| other.command != row.command));
        }
    }

    #[test]
    fn every_station_has_its_key() {
        for station in Station::ALL {
            assert!(info_of(Command::Station(station)).is_some_and(|row| row.shortcut.is_some()));
        }
    }
}
