//! What an edit is called in menus and in the list of steps.

use super::Edit;
use crate::PartId;

impl Edit {
    /// What the edit does, as an undo step is called: `Move node`, `Add pin hole`.
    pub fn label(&self) -> String {
        match self {
            Self::Rename(_) => "Rename".into(),
            Self::SetNotes(_) => "Write notes".into(),
            Self::SetUnit(_) => "Change unit".into(),
            Self::SetOrigin(_) => "Change origin".into(),
            Self::SetTraced(Some(_)) => "Mark as traced".into(),
            Self::SetTraced(None) => "Clear traced mark".into(),
            Self::SetPicture(Some(_)) => "Lay picture under blank".into(),
            Self::SetPicture(None) => "Remove picture".into(),
            Self::PlacePicture(_) => "Move picture".into(),
            Self::SetBar { .. } => "Change bar".into(),
            Self::Place(_) => "Place blank on bar".into(),
            Self::SetReference(_) => "Change reference".into(),
            Self::MoveNodes { nodes, .. } if nodes.len() > 1 => {
                format!("Move {} nodes", nodes.len())
            }
            Self::MoveNodes { .. } | Self::PlaceNode { .. } => "Move node".into(),
            Self::MoveHandle { .. } => "Move handle".into(),
            Self::AddNode { .. } => "Add node".into(),
            Self::RemoveNode(_) => "Remove node".into(),
            Self::MakeCorner(_) => "Make corner".into(),
            Self::MakeSmooth(_) => "Make smooth".into(),
            Self::MakeSymmetric(_) => "Make symmetric".into(),
            Self::MakeCurvatureContinuous(_) => "Make curvature continuous".into(),
            Self::PullStretch { .. } => "Bend segment".into(),
            Self::SplitStretch { .. } => "Split segment".into(),
            Self::RemoveNodes(nodes) => counted("Remove", nodes.len(), "node"),
            Self::Simplify { .. } => "Simplify".into(),
            Self::FairNodes { .. } => "Fair".into(),
            Self::PasteStretch { .. } => "Paste outline".into(),
            Self::MoveParts { parts, .. } => with_parts("Move", parts),
            Self::TurnParts { parts, .. } => with_parts("Rotate", parts),
            Self::ScaleParts { parts, x, y, .. } => {
                with_parts(if x * y < 0.0 { "Mirror" } else { "Scale" }, parts)
            }
            Self::AlignParts { parts, .. } => with_parts("Align", parts),
            Self::DistributeParts { parts, .. } => with_parts("Distribute", parts),
            Self::AddHoles(holes) => counted("Add", holes.len(), "hole"),
            Self::AddDimension(_) => "Keep dimension".into(),
            Self::RemoveDimension(_) => "Remove dimension".into(),
            Self::ClearDimensions => "Remove all dimensions".into(),
            Self::Straighten { .. } => "Straighten".into(),
            Self::Bend { .. } => "Make curved".into(),
            Self::RoundCorner { .. } => "Round corner".into(),
            Self::InsertNotch { .. } => "Cut groove or choil".into(),
            Self::MarkTip(_) => "Set tip".into(),
            Self::MarkHeel(_) => "Set heel".into(),
            Self::TakeProfile(_) => "Import outline".into(),
            Self::DrawProfile(_) => "Draw outline".into(),
            Self::MirrorAcross => "Flip vertical".into(),
            Self::MirrorAlong => "Flip horizontal".into(),
            Self::Turn(_) => "Rotate".into(),
            Self::Shift(_) => "Move knife".into(),
            Self::ScaleToLength(_) => "Scale to length".into(),
            Self::AddHole { kind, .. } => format!("Add {}", kind.label()),
            Self::AddHoleRow { kind, count, .. } => match count {
                1 => format!("Add {}", kind.label()),
                _ => format!("Add {count} {}s", kind.label()),
            },
            Self::AddReliefRow(row) => match row.at.len() {
                1 => "Add relief hole".into(),
                n => format!("Add {n} relief holes"),
            },
            Self::CentreHole(_) => "Centre hole".into(),
            Self::MoveHole { .. } => "Move hole".into(),
            Self::SizeHole { .. } => "Size hole".into(),
            Self::SetHoleKind { .. } => "Change hole's use".into(),
            Self::RenameHole { .. } => "Rename hole".into(),
            Self::RemoveHole(_) => "Remove hole".into(),
            Self::SetBevel(None) => "Remove bevels".into(),
            Self::SetBevel(_) => "Change bevels".into(),
            Self::SetGrindLine(_) => "Change grind line".into(),
            Self::SetTaper(None) => "Remove taper".into(),
            Self::SetTaper(_) => "Change taper".into(),
            Self::SetSwedge(None) => "Remove swedge".into(),
            Self::SetSwedge(_) => "Change swedge".into(),
            Self::SetFiling(None) => "Go back to usual filing".into(),
            Self::SetFiling(_) => "Change filing".into(),
            Self::SetSharpening(None) => "Remove sharpening".into(),
            Self::SetSharpening(_) => "Change sharpening".into(),
            Self::SetScales(None) => "Remove scales".into(),
            Self::SetScales(_) => "Change scales".into(),
            Self::ChooseTemper(_) => "Choose temper".into(),
            Self::ChooseFinish(_) => "Choose finish".into(),
            Self::ChooseHeating(_) => "Choose heating".into(),
            Self::SetHandle(_) => "Change handle".into(),
            Self::SetFront(_) => "Shape front of scales".into(),
            Self::SetLiners(None) => "Remove liners".into(),
            Self::SetLiners(_) => "Change liners".into(),
            Self::SetBolsters { front: None, rear: None } => "Remove bolsters".into(),
            Self::SetBolsters { .. } => "Change bolsters".into(),
            Self::SetFixing { fixing: None, .. } => "Use a solid pin".into(),
            Self::SetFixing { .. } => "Change fixing".into(),
            Self::SetJimping(None) => "Remove jimping".into(),
            Self::SetJimping(_) => "Change jimping".into(),
            Self::SetShaping(_) => "Shape scales".into(),
            Self::SetScallops(None) => "Remove scallops".into(),
            Self::SetScallops(_) => "Change scallops".into(),
            Self::SetSheath(None) => "Remove sheath".into(),
            Self::SetSheath(_) => "Change sheath".into(),
            Self::SetAside(_) => "Accept problem".into(),
            Self::TakeUp { .. } => "Stop accepting problem".into(),
            Self::SetCutting(None) => "Go back to usual cutting out".into(),
            Self::SetCutting(_) => "Change chain drilling".into(),
        }
    }
}

/// `Remove node`, `Remove 3 nodes`.
fn counted(done: &str, count: usize, what: &str) -> String {
    if count == 1 { format!("{done} {what}") } else { format!("{done} {count} {what}s") }
}

/// What was done, and to nodes, holes or both.
fn with_parts(done: &str, parts: &[PartId]) -> String {
    let is_hole = |part: &PartId| matches!(part, PartId::Hole(_));
    let what = if parts.iter().all(is_hole) {
        "hole"
    } else if parts.iter().any(is_hole) {
        "part"
    } else {
        "node"
    };
    counted(done, parts.len(), what)
}
