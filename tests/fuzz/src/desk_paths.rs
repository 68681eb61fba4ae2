//! The desk without its window: what it reads by itself, and work that a kill left.

use desk::{Action, Desk, MemoryHost, Purpose, Settings};
use knife::{Edit, file};
use std::path::Path;

const KEPT: &str = "/data/recovery/one-1.recovery.json";

/// Any bytes as settings, shop and unsaved work: the desk starts with what can be used of it. Any
/// bytes as a blank: opened, edited, killed and restored it is the same work.
pub fn desk_any_recovery(data: &[u8]) {
    let ctx = egui::Context::default();
    let mut host = MemoryHost::with_data();
    for path in ["/data/settings.json", "/data/shop.json", KEPT] {
        host.files.insert(path.into(), data.to_owned());
    }
    let mut desk = started(&mut host, "two-2");
    act(&mut desk, Action::Recover(0), &ctx, &mut host);
    desk.logic();

    let mut host = MemoryHost::with_data();
    host.files.insert("/a.blank.json".into(), data.to_owned());
    let mut desk = started(&mut host, "one-1");
    act(&mut desk, Action::PathChosen(Purpose::Open, "/a.blank.json".into()), &ctx, &mut host);
    if desk.document.path().is_none() || desk.document.knife().profile.nodes.len() > 300 {
        return;
    }
    act(&mut desk, Action::Edit(vec![Edit::Rename("heron".to_owned())]), &ctx, &mut host);
    let work = desk.document.knife().clone();
    let dirty = desk.document.is_dirty();
    // Killed: nothing runs any more that claims anything.
    host.claimed.clear();
    let mut desk = started(&mut host, "two-2");
    if desk.session.dialogs.found.is_empty() {
        assert!(!dirty || file::open(&file::save(&work)).is_err(), "unsaved work is not offered");
        return;
    }
    act(&mut desk, Action::Recover(0), &ctx, &mut host);
    let sound = file::save_read_back(&work).is_ok();
    assert!(!sound || **desk.document.knife() == *work, "restored it is another");
    assert_eq!(host.files.get(Path::new("/a.blank.json")).map(Vec::as_slice), Some(data));
}

fn started(host: &mut MemoryHost, session: &str) -> Desk {
    let (settings, _) = Settings::read(host);
    let mut desk = Desk::new(settings);
    desk.open_shop(host);
    desk.start_recovery(session, host);
    host.now_ms += 5000;
    desk
}

fn act(desk: &mut Desk, action: Action, ctx: &egui::Context, host: &mut MemoryHost) {
    desk.actions.push(action);
    desk.act(ctx, host);
    host.now_ms += 5000;
}
