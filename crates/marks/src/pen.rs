//! The closed list of line meanings.

/// What a line means. Every surface has one table from pen to stroke.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Pen {
    /// The outline to be cut.
    Cut,
    /// The blank's outline where it is shown but not cut by.
    Blank,
    /// Where a template is cut out of its paper, outside the outline.
    Scissor,
    /// A hole to be drilled.
    Hole,
    /// Centre marks and centre lines.
    Centre,
    /// A hand round the handle, to look at only.
    Hand,
    /// What is drilled and sawn away to part the blank from its bar.
    Waste,
    /// The bar's edges, ends and break lines.
    Bar,
    /// Plunge and grind lines, jimping's notches, scallops' rims.
    Bevel,
    /// Lines to scribe for filing a bevel facet by facet, and a scale's corners.
    Guide,
    /// The faces of a section, at true size or enlarged.
    Section,
    /// The scales' outline.
    Scale,
    /// Dimension, extension and leader lines, their arrows and figures.
    Dimension,
    /// Names, notes and titles.
    Lettering,
    /// Rulers and the proof square.
    Ruler,
    /// Where tiled pages are joined.
    Register,
    /// The sheet's frame and tables.
    Frame,
}

impl Pen {
    /// Every pen, in drawing order (later ones lie on top).
    pub const ALL: [Self; 17] = [
        Self::Frame,
        Self::Ruler,
        Self::Register,
        Self::Bar,
        Self::Scissor,
        Self::Blank,
        Self::Hand,
        Self::Waste,
        Self::Scale,
        Self::Section,
        Self::Guide,
        Self::Bevel,
        Self::Centre,
        Self::Dimension,
        Self::Hole,
        Self::Cut,
        Self::Lettering,
    ];

    /// The name a person reads: of the PDF layer, the SVG group, the screen's legend.
    pub fn name(self) -> &'static str {
        match self {
            Self::Cut => "Cut line",
            Self::Blank => "Blank",
            Self::Scissor => "Scissor line",
            Self::Hand => "Hand",
            Self::Hole => "Holes",
            Self::Centre => "Centre marks",
            Self::Waste => "Chain holes and saw cuts",
            Self::Bar => "Bar",
            Self::Bevel => "Plunge and grind lines",
            Self::Guide => "Guide lines",
            Self::Section => "Sections",
            Self::Scale => "Scales",
            Self::Dimension => "Dimensions",
            Self::Lettering => "Lettering",
            Self::Ruler => "Rulers and proof square",
            Self::Register => "Register marks",
            Self::Frame => "Frame",
        }
    }
}
