//! What was typed, nothing else.

use clap::{Args, Parser, Subcommand, ValueEnum};
use reckon::tables::HandSize;
use std::path::PathBuf;
use units::LengthUnit;

/// Lays out a knife blank on a bar of steel, works out the bench's numbers and prints
/// templates that are truly full size.
#[derive(Debug, Parser)]
#[command(name = "blankwright", version, disable_help_subcommand = true)]
pub(crate) struct Cli {
    /// The command; `None` opens the desk.
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
    /// Print no progress and no closing message; errors and warnings are still printed
    #[arg(long, short, global = true)]
    pub(crate) quiet: bool,
}

/// The shop to work by.
#[derive(Debug, Args)]
pub(crate) struct ShopArg {
    /// The shop file to use; default: the built-in usual shop, not the one that the desk keeps
    #[arg(long, value_name = "FILE")]
    pub(crate) shop: Option<PathBuf>,
}

/// Blanks to lay on a bar, and the bar.
#[derive(Debug, Args)]
pub(crate) struct BarArgs {
    /// The blank files, all of one thickness and grade; - is standard input
    #[arg(required = true, value_name = "FILE")]
    pub(crate) files: Vec<PathBuf>,
    /// How many of each
    #[arg(
        long,
        value_name = "N",
        default_value_t = 1,
        conflicts_with = "fill",
        allow_negative_numbers = true
    )]
    pub(crate) copies: usize,
    /// As many as fit on one bar
    #[arg(long)]
    pub(crate) fill: bool,
    /// Length of the bar, such as 48in; default: the shortest that holds all
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) length: Option<String>,
    /// Width of the bar; default: the widest of the blanks' own bars
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) width: Option<String>,
    /// Room for the saw between two blanks; default: 2 mm
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) kerf: Option<String>,
    /// Clear steel along the bar's edges and ends; default: 2 mm
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) margin: Option<String>,
    /// Blanks may lie on their other face too
    #[arg(long)]
    pub(crate) flip: bool,
    /// Drill the blanks out: room for a row of holes between them, and the holes on the sheet
    #[arg(long)]
    pub(crate) drill: bool,
    /// Search for this many seconds instead of a number of steps; the result then depends on the
    /// machine
    #[arg(long, value_name = "N", conflicts_with = "steps", allow_negative_numbers = true)]
    pub(crate) seconds: Option<f64>,
    /// Search this many steps; the same number always gives the same result
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub(crate) steps: Option<u64>,
    /// The PDF to write, or a DXF with every outline for a cutting shop; - is standard output
    #[arg(long, value_name = "PDF-or-DXF", required_unless_present = "json")]
    pub(crate) out: Option<PathBuf>,
    /// For a DXF: which holes are cut with the outlines; default: all
    #[arg(long, value_enum)]
    pub(crate) holes: Option<HolesArg>,
    /// For a DXF: the unit of its numbers; default: the first knife's own
    #[arg(long, value_enum)]
    pub(crate) units: Option<UnitArg>,
    /// Paper as for print
    #[arg(long)]
    pub(crate) paper: Option<String>,
    /// A date to print on every sheet; default: none
    #[arg(long)]
    pub(crate) date: Option<String>,
    /// Write JSON, documented in the manual's page json
    #[arg(long)]
    pub(crate) json: bool,
    #[command(flatten)]
    pub(crate) shop: ShopArg,
    /// As [`Typed::quiet`].
    #[arg(skip)]
    pub(crate) quiet: bool,
}

/// The sheets to print, and on what.
#[derive(Debug, Args)]
pub(crate) struct PrintArgs {
    /// The blank file; - is standard input, and the tracing mat alone needs none
    pub(crate) file: Option<PathBuf>,
    /// The PDF to write; - is standard output
    #[arg(long, value_name = "PDF")]
    pub(crate) out: PathBuf,
    /// letter, legal, tabloid, ledger, c, d, e, a0, a1, a2, a3, a4 or a5, two sides such as
    /// 300x600mm, or a roll such as roll:610mm; default: letter for a knife in inches, else a4
    #[arg(long)]
    pub(crate) paper: Option<String>,
    /// The border in which the printer prints nothing; default: 10 mm
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) margin: Option<String>,
    /// The sheets, in this order, separated by commas, or by + to share a page; proof and mat (the
    /// tracing mat) may be among them, and all means every sheet of the knife that isn't named
    /// itself. Default: the shop set, profile, drilling, bevels, scales, strips, plan
    #[arg(long, value_delimiter = ',')]
    pub(crate) sheets: Vec<String>,
    /// A hand around the handle on the profile sheet, drawn lightly, to judge the room for fingers
    #[arg(long, value_enum, value_name = "SIZE")]
    pub(crate) hand: Option<HandArg>,
    /// One file for each sheet, with the sheet's name before the extension
    #[arg(long)]
    pub(crate) split: bool,
    /// Each sheet on pages of its own; by default sheets share a page where it is large enough
    #[arg(long)]
    pub(crate) apart: bool,
    /// A date to print on every sheet; default: none
    #[arg(long)]
    pub(crate) date: Option<String>,
    /// The printer whose correction to print with, by its name in the shop
    #[arg(long, value_name = "NAME")]
    pub(crate) trim: Option<String>,
    #[command(flatten)]
    pub(crate) shop: ShopArg,
    /// As [`Typed::quiet`].
    #[arg(skip)]
    pub(crate) quiet: bool,
}

/// The paper of a proof.
#[derive(Debug, Args)]
pub(crate) struct ProofArgs {
    /// The PDF to write; - is standard output
    #[arg(long, value_name = "PDF")]
    pub(crate) out: PathBuf,
    /// Paper as for print
    #[arg(long)]
    pub(crate) paper: String,
    /// The border in which the printer prints nothing; default: 10 mm
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) margin: Option<String>,
    /// A date to print on it
    #[arg(long)]
    pub(crate) date: Option<String>,
    /// A second proof, printed with this printer's correction
    #[arg(long, value_name = "NAME", requires = "shop")]
    pub(crate) trim: Option<String>,
    #[command(flatten)]
    pub(crate) shop: ShopArg,
}

/// What an outline drawn elsewhere is taken from.
#[derive(Debug, Args)]
pub(crate) struct OutlineArgs {
    /// A vector drawing, SVG or DXF; its largest closed outline becomes the profile, circles
    /// inside it become holes
    #[arg(long, value_name = "SHAPE", conflicts_with = "picture")]
    pub(crate) outline: Option<PathBuf>,
    /// Ends in a DXF up to this far apart are joined, default: 0.01 mm; gaps in a picture's drawn
    /// line up to this width are closed, default: 0.6 mm
    #[arg(long, value_name = "WIDTH", conflicts_with = "starter", allow_hyphen_values = true)]
    pub(crate) gap: Option<String>,
    /// For a DXF that doesn't state it: the unit of its numbers
    #[arg(long, value_enum, requires = "outline")]
    pub(crate) units: Option<UnitArg>,
}

/// How a picture is squared up and traced.
#[derive(Debug, Args)]
pub(crate) struct PictureArgs {
    /// The scan's density in dots per inch
    #[arg(
        long,
        value_name = "N",
        requires = "picture",
        conflicts_with_all = ["between", "rectangle", "mat"],
        allow_negative_numbers = true
    )]
    pub(crate) dpi: Option<f64>,
    /// Two points of the picture in pixels and their distance; only for a picture taken square
    /// from above
    #[arg(
        long,
        value_name = "X1,Y1,X2,Y2=LENGTH",
        requires = "picture",
        conflicts_with_all = ["rectangle", "mat"],
        allow_hyphen_values = true
    )]
    pub(crate) between: Option<String>,
    /// The sheet it lies on: a paper's name or two sides such as 100x150mm
    #[arg(long, value_name = "PAPER", requires = "picture", conflicts_with = "mat")]
    pub(crate) rectangle: Option<String>,
    /// That sheet's corners in pixels: top left, top right, bottom right, bottom left; default:
    /// found in the picture
    #[arg(
        long,
        value_name = "X,Y,X,Y,X,Y,X,Y",
        requires = "rectangle",
        allow_hyphen_values = true
    )]
    pub(crate) corners: Option<String>,
    /// The tracing mat that print --sheets mat prints
    #[arg(long, requires = "picture")]
    pub(crate) mat: bool,
    /// Trace a drawn line by its centre, outer or inner side; default: a filled shape or a line's
    /// centre, whichever it looks like
    #[arg(long, value_name = "SIDE", requires = "picture")]
    pub(crate) line: Option<String>,
    /// The thickness of what lies on the mat or sheet, because its upper rim is nearer to the
    /// camera; default: none
    #[arg(long, value_name = "LENGTH", requires = "picture", allow_hyphen_values = true)]
    pub(crate) thickness: Option<String>,
    /// How far the outline may lie from the traced contour; default: 0.15 mm
    #[arg(long, value_name = "LENGTH", requires = "picture", allow_hyphen_values = true)]
    pub(crate) tolerance: Option<String>,
}

impl PictureArgs {
    /// The first option given. (What an option requires is not asked for by clap where something
    /// given rules it out: a starter rules out a picture.)
    pub(crate) fn first(&self) -> Option<&'static str> {
        let options = [
            ("--dpi", self.dpi.is_some()),
            ("--between", self.between.is_some()),
            ("--rectangle", self.rectangle.is_some()),
            ("--corners", self.corners.is_some()),
            ("--mat", self.mat),
            ("--line", self.line.is_some()),
            ("--thickness", self.thickness.is_some()),
            ("--tolerance", self.tolerance.is_some()),
        ];
        options.into_iter().find_map(|(name, is_given)| is_given.then_some(name))
    }
}

/// A unit of length.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum UnitArg {
    /// Millimetres
    Mm,
    /// Inches
    In,
}

impl From<UnitArg> for LengthUnit {
    fn from(unit: UnitArg) -> Self {
        match unit {
            UnitArg::Mm => Self::Millimetre,
            UnitArg::In => Self::Inch,
        }
    }
}

/// What a mock-up is made as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum MockUpArg {
    /// Everything in one piece
    OnePiece,
    /// Halves of blade and handle that print flat, with holes for pins
    Halves,
}

/// How large a hand is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum HandArg {
    /// 5th percentile of women
    Small,
    /// Half way between the medians of women and men
    Medium,
    /// 95th percentile of men
    Large,
}

impl From<HandArg> for HandSize {
    fn from(hand: HandArg) -> Self {
        match hand {
            HandArg::Small => Self::Small,
            HandArg::Medium => Self::Medium,
            HandArg::Large => Self::Large,
        }
    }
}

/// Which holes are cut with the outline.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum HolesArg {
    /// Every hole
    #[default]
    All,
    /// Relief holes; pin and lanyard holes are drilled later
    Relief,
    /// No hole; all are drilled later
    None,
}

/// What to export, and how.
#[derive(Debug, Args)]
pub(crate) struct ExportArgs {
    /// The blank file
    pub(crate) file: PathBuf,
    /// The file to write: .3mf or .stl for the solid, .dxf or .svg for what is cut
    #[arg(long, value_name = "3MF-STL-DXF-or-SVG")]
    pub(crate) out: PathBuf,
    /// A mock-up to print and hold, instead of the knife's parts
    #[arg(long, value_enum, value_name = "HOW")]
    pub(crate) mock_up: Option<MockUpArg>,
    /// For an STL: one file for each part, with the part's name before the extension
    #[arg(long)]
    pub(crate) each: bool,
    /// How far the solid's surface may lie from the exact shape; default: 0.05 mm
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) tolerance: Option<String>,
    /// For a DXF: which holes are cut with the outline; default: all
    #[arg(long, value_enum)]
    pub(crate) holes: Option<HolesArg>,
    /// For a DXF: the unit of its numbers; default: the knife's own
    #[arg(long, value_enum)]
    pub(crate) units: Option<UnitArg>,
    #[command(flatten)]
    pub(crate) shop: ShopArg,
}

/// From which side the knife is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum ViewArg {
    /// Over the spine, half turned
    ThreeQuarter,
    /// The face seen with the tip to the left and the edge down
    Left,
    /// The other face
    Right,
    /// From the edge up
    Edge,
    /// From the spine down
    Spine,
    /// From the tip along the knife
    Tip,
    /// From the butt along the knife
    Butt,
}

/// What was measured on a proof.
#[derive(Debug, Args)]
pub(crate) struct TrimArgs {
    /// The printer's name
    pub(crate) name: String,
    /// The shop file that keeps the correction; created if it doesn't exist
    #[arg(long, value_name = "FILE")]
    pub(crate) shop: PathBuf,
    /// The paper the proof was printed on
    #[arg(long)]
    pub(crate) paper: Option<String>,
    /// The margin that was given for the proof, if any
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) margin: Option<String>,
    /// Readings of the lines A and B, as many as were made, separated by commas
    #[arg(long, value_name = "A,B", allow_hyphen_values = true)]
    pub(crate) across: Vec<String>,
    /// Readings of the lines C and D
    #[arg(long, value_name = "C,D", allow_hyphen_values = true)]
    pub(crate) up: Vec<String>,
    /// Readings of the rising diagonal E
    #[arg(long, value_name = "E", allow_hyphen_values = true)]
    pub(crate) rising: Vec<String>,
    /// Readings of the falling diagonal F
    #[arg(long, value_name = "F", allow_hyphen_values = true)]
    pub(crate) falling: Vec<String>,
    /// The proof was printed with this printer's correction: confirm it; all readings count
    /// together
    #[arg(long)]
    pub(crate) confirm: bool,
    /// The proof was printed without a correction: replace the one that this printer has
    #[arg(long, conflicts_with = "confirm")]
    pub(crate) anew: bool,
    /// Write what is kept as JSON, documented in the manual's page json-fields
    #[arg(long)]
    pub(crate) json: bool,
}

impl TrimArgs {
    /// Whether anything was measured.
    pub(crate) fn has_readings(&self) -> bool {
        [&self.across, &self.up, &self.rising, &self.falling].iter().any(|all| !all.is_empty())
    }
}

/// One command of the program.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Open the desk on a blank
    Open {
        /// The blank file
        file: PathBuf,
    },
    /// List the starter blanks, one per line, name first
    Starters {
        /// Write JSON, documented in the manual's page json-fields
        #[arg(long)]
        json: bool,
    },
    /// Start a blank from a starter, a closed outline drawn elsewhere, or a picture
    New {
        /// The starter's name; blankwright starters lists them
        #[arg(
            required_unless_present_any = ["outline", "picture"],
            conflicts_with_all = ["outline", "picture"]
        )]
        starter: Option<String>,
        #[command(flatten)]
        shape: OutlineArgs,
        /// A scan or photograph (PNG, JPEG, WebP, TIFF, BMP) of a drawn line, a cut-out or a
        /// knife; its outline is traced. Without --dpi, --between, --rectangle or --mat it is
        /// squared up by a tracing mat, a sheet of letter or A4 paper, or its scan density,
        /// whichever is found first
        #[arg(long, value_name = "PICTURE")]
        picture: Option<PathBuf>,
        #[command(flatten)]
        tracing: PictureArgs,
        /// The blank file to write; - is standard output
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
    },
    /// Report problems before steel is cut
    Check {
        /// The blank file; - is standard input
        file: PathBuf,
        /// Write JSON, documented in the manual's page json
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        shop: ShopArg,
    },
    /// Print all computed values
    Numbers {
        /// The blank file; - is standard input
        file: PathBuf,
        /// Write JSON, documented in the manual's page json
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        shop: ShopArg,
    },
    /// Print the JSON Schema of what a command writes with --json
    Schema {
        /// numbers, check, bar, materials, build, papers, starters or trim
        #[arg(value_name = "COMMAND")]
        of: String,
    },
    /// Give the steps from bar to finished knife, to tick off
    Build {
        /// The blank file; - is standard input
        file: PathBuf,
        /// Write JSON, documented in the manual's page json-fields
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        shop: ShopArg,
    },
    /// List the materials: bar, scales, liners, bolsters, pins, glue
    Materials {
        /// The blank file; - is standard input
        file: PathBuf,
        /// Write CSV, documented in the manual's page commands
        #[arg(long)]
        csv: bool,
        /// Write JSON, documented in the manual's page json-fields
        #[arg(long, conflicts_with = "csv")]
        json: bool,
        #[command(flatten)]
        shop: ShopArg,
    },
    /// Print the sheets, full size, to a PDF
    Print(PrintArgs),
    /// List papers, with the longest blank that each takes in one piece
    Papers {
        /// Only these, as for print
        papers: Vec<String>,
        /// Width of the blank's bar; default: 1 1/2 in
        #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
        width: Option<String>,
        /// Write JSON, documented in the manual's page json-fields
        #[arg(long)]
        json: bool,
    },
    /// Print the page that measures a printer
    Proof(ProofArgs),
    /// Keep what you measured on a proof as that printer's correction; without readings, show it
    Trim(TrimArgs),
    /// Lay many blanks on a bar, head to tail where that saves steel
    Bar(BarArgs),
    /// Write the drawing at true size as SVG or PNG
    Draw {
        /// The blank file; - is standard input
        file: PathBuf,
        /// The file to write, ending in .svg or .png; - is standard output, a PNG where --dpi is given
        #[arg(long, value_name = "SVG-or-PNG")]
        out: PathBuf,
        /// Dots per inch of a PNG; default: 300
        #[arg(long, allow_negative_numbers = true)]
        dpi: Option<f64>,
        /// The sheet to draw; default: profile
        #[arg(long, value_name = "SHEET", conflicts_with = "bare")]
        sheet: Option<String>,
        /// Only what is cut: outline and holes
        #[arg(long)]
        bare: bool,
        /// The knife as it will look, from this side, as PNG
        #[arg(long, value_enum, value_name = "SIDE", conflicts_with_all = ["sheet", "bare"])]
        view: Option<ViewArg>,
        /// For a view: cut open at this place along the knife, counted from the origin
        #[arg(long, value_name = "X", requires = "view", allow_hyphen_values = true)]
        cut: Option<String>,
        #[command(flatten)]
        shop: ShopArg,
    },
    /// Write the knife as a solid (3MF, STL) or what is cut of it (DXF, SVG)
    Export(ExportArgs),
    /// Write shell completions to standard output
    #[command(hide = true)]
    Completions {
        /// Which shell
        shell: clap_complete::Shell,
    },
    /// Write the manual page of the program, or of one of its commands, to standard output
    #[command(hide = true)]
    Man {
        /// The command; default: the whole program
        command: Option<String>,
    },
    /// Print a page of the manual, or the options of a command; without a topic list them
    Help {
        /// A page of the manual, such as first-knife, or a command
        topic: Vec<String>,
    },
}

impl Command {
    /// Empty names in a list, as after a trailing comma, are no names.
    pub(crate) fn tidied(mut self, quiet: bool) -> Self {
        match &mut self {
            Self::Print(args) => {
                args.sheets.retain(|name| !name.trim().is_empty());
                args.quiet = quiet;
            }
            Self::Bar(args) => args.quiet = quiet,
            _ => {}
        }
        self
    }

    /// Whether what it says is only that it did something: the result is a file.
    pub(crate) fn only_tells(&self) -> bool {
        match self {
            Self::New { .. } | Self::Print(_) | Self::Proof(_) | Self::Draw { .. } => true,
            Self::Bar(args) => !args.json,
            Self::Trim(args) => args.has_readings() && !args.json,
            _ => false,
        }
    }
}
