//! What a person's hand does at the desk: drag, type, look for a name.

use egui::{Key, Pos2, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

/// Presses, moves in several steps and lets go.
pub(crate) fn drag<S>(harness: &mut Harness<'_, S>, from: Pos2, by: egui::Vec2) {
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    for part in [0.1_f32, 0.4, 0.8, 1.0] {
        harness.hover_at(from + by * part);
        harness.run_steps(1);
    }
    harness.drop_at(from + by);
    harness.run_steps(3);
}

/// A click on this point.
pub(crate) fn click_at<S>(harness: &mut Harness<'_, S>, at: Pos2) {
    harness.hover_at(at);
    harness.run_steps(1);
    harness.drag_at(at);
    harness.run_steps(1);
    harness.drop_at(at);
    harness.run_steps(4);
}

/// Types into the field of this name and presses Enter.
pub(crate) fn fill<S>(harness: &mut Harness<'_, S>, name: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, name).focus();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::TextInput, name).type_text(text);
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
}

/// Clicks on the thing of this name; what lies below the foot of a card is scrolled to first.
pub(crate) fn pick<S>(harness: &mut Harness<'_, S>, role: Role, name: &str) {
    harness.get_by_role_and_label(role, name).scroll_to_me();
    harness.run_steps(4);
    harness.get_by_role_and_label(role, name).click();
    harness.run_steps(4);
}

/// Where the thing of this name is that can be taken hold of.
pub(crate) fn middle_of<S>(harness: &Harness<'_, S>, name: &str) -> Pos2 {
    harness.get_by_role_and_label(Role::Button, name).rect().center()
}

/// The name of a node that is neither tip nor heel and stands well apart from every other.
pub(crate) fn plain_node(knife: &knife::Knife) -> String {
    let profile = &knife.profile;
    let marked = [profile.tip, profile.heel];
    let apart = |node: &&knife::Node| {
        let others = profile.nodes.iter().filter(|other| other.id != node.id);
        others.map(|other| other.at.distance(node.at)).fold(f64::INFINITY, f64::min)
    };
    let plain = profile.nodes.iter().filter(|node| !marked.contains(&Some(node.id)));
    let node = plain.max_by(|a, b| apart(a).total_cmp(&apart(b)));
    format!("Node {}", node.map_or(0, |node| node.id.0))
}
