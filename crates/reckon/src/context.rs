//! The stages of a reckoning: inputs, the sound blank with its solid, figures, findings.

use crate::solid::{Field, Sections};
use crate::tables::Tables;
use crate::{BevelFigures, ProfileFigures, Shop, SwedgeFigures, bevel, swedge};
use knife::Knife;
use outline::Outline;
use std::sync::Arc;

/// What everything is worked out from.
#[derive(Clone, Copy)]
pub(crate) struct Inputs<'a> {
    pub knife: &'a Knife,
    pub shop: &'a Shop,
    pub tables: &'a Tables,
}

/// The solid of a blank whose outline doesn't cross itself.
pub(crate) struct Solid {
    pub bevel: Option<BevelFigures>,
    pub swedge: Option<SwedgeFigures>,
    pub field: Arc<Field>,
    pub sections: Sections,
}

impl Solid {
    pub(crate) fn of(knife: &Knife, outline: &Outline, profile: &ProfileFigures) -> Self {
        let bevel = bevel::figures(knife, outline, profile);
        let swedge = swedge::figures(knife, outline, profile);
        let field = Arc::new(Field::of(knife, profile, bevel.as_ref(), swedge.as_ref()));
        let sections = Sections::of(&field, outline);
        Self { bevel, swedge, field, sections }
    }
}

/// A blank whose outline doesn't cross itself, with its solid: what figures are worked out from.
#[derive(Clone, Copy)]
pub(crate) struct FigureContext<'a> {
    pub knife: &'a Knife,
    pub shop: &'a Shop,
    pub tables: &'a Tables,
    pub outline: &'a Outline,
    pub profile: &'a ProfileFigures,
    pub bevel: Option<&'a BevelFigures>,
    pub field: &'a Field,
    pub sections: &'a Sections,
}

impl<'a> FigureContext<'a> {
    pub(crate) fn new(
        Inputs { knife, shop, tables }: Inputs<'a>,
        (outline, profile): (&'a Outline, &'a ProfileFigures),
        Solid { bevel, field, sections, .. }: &'a Solid,
    ) -> Self {
        let bevel = bevel.as_ref();
        Self { knife, shop, tables, outline, profile, bevel, field, sections }
    }
}
