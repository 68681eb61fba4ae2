//! What the desk does with the picture under the blank: trace it, lay it, replace it, read it.

use super::Desk;
use crate::beside::picture_path;
use crate::state::{Dialog, PictureTexture, Tracing, UseOf};
use egui::Context;
use host::Host;
use knife::{Edit, Knife, Picture, limits};
use kurbo::{Affine, Point};
use std::path::Path;
use std::sync::Arc;
use trace::Traced;
use units::LengthUnit;

impl Desk {
    /// Opens a picture to be traced.
    pub(super) fn trace_picture(&mut self, path: &Path, ctx: &Context, host: &dyn Host) {
        let path = host.absolute(path);
        let Some(bytes) = self.session.toasts.report(host.read(&path)) else { return };
        let tracing = Tracing::begin(&path, bytes, waker(ctx));
        self.session.dialogs.open = Some(Dialog::TracePicture(Box::new(tracing)));
    }

    /// Writes the tracing mat.
    pub(super) fn print_mat(&mut self, path: &Path, host: &mut dyn Host) {
        let shop = self.derived.shop();
        let request = self.session.print.request(self.document.knife().unit, shop);
        let written = sheets::mat_setup(&request, shop)
            .and_then(|setup| sheets::mat_pdf(&setup, shop))
            .map_err(|why| why.to_string())
            .and_then(|bytes| host.write(path, &bytes).map_err(|why| why.to_string()));
        if self.session.toasts.report(written).is_some() {
            self.session.print.printed = Some(path.to_owned());
            self.session.toasts.push(format!(
                "Wrote the tracing mat to {}. Print it at actual size (100 %) and measure both \
                 rulers before you use it.",
                path.display()
            ));
        }
    }

    /// Squares up the picture under the blank anew, beginning with what was chosen last.
    pub(super) fn square_up_picture(&mut self, ctx: &Context, host: &dyn Host) {
        let knife = self.document.knife();
        let (Some(picture), Some(file)) = (&knife.picture, self.document.picture_file()) else {
            return;
        };
        let same = |tracing: &Tracing| tracing.sum == picture.sum;
        match self.session.picture.tracing.clone().filter(|tracing| same(tracing)) {
            Some(tracing) => self.session.dialogs.open = Some(Dialog::TracePicture(tracing)),
            None => self.trace_picture(&file, ctx, host),
        }
    }

    /// Uses what was traced, as one step.
    pub(super) fn use_tracing(&mut self, mut tracing: Box<Tracing>, of: UseOf, ctx: &Context) {
        tracing.stop();
        let (Some(placement), Some(read)) = (tracing.placement(), tracing.picture.clone()) else {
            return;
        };
        let path = picture_path(&tracing.path, self.document.base());
        let lay = |placement| Picture { path: path.clone(), sum: tracing.sum, placement };
        let mut edits = Vec::new();
        match (of, tracing.outline()) {
            (UseOf::Outline, Some(traced)) => {
                edits = self.outline_edits(&blank(&tracing.name, traced));
                let picture = tracing.keeps_picture.then(|| lay(placement));
                edits.push(Edit::SetPicture(picture));
            }
            (UseOf::Outline, None) => return,
            (UseOf::Picture, traced) => {
                let from = traced.map_or_else(
                    || placement.place(Point::ORIGIN),
                    |traced| traced.levelled().0.outline.bounds().center(),
                );
                let by = Affine::translate(self.middle() - from);
                edits.push(Edit::SetPicture(Some(lay(placement.transformed(by)))));
            }
        }
        self.edit(&edits);
        if self.document.knife().picture.as_ref().is_some_and(|picture| picture.path == path) {
            self.session.picture.take((&path, tracing.sum), read, waker(ctx));
            self.session.picture.visible = true;
            self.session.form.expanded.insert(crate::stations::picture::SECTION);
        }
        tracing.texture = PictureTexture::default();
        self.session.picture.tracing = Some(tracing);
        self.show_outline();
    }

    /// The middle of the blank, or of the bar where there is none, in the knife's plane.
    fn middle(&self) -> Point {
        let knife = self.document.knife();
        let bar = &knife.bar;
        let on_bar = Point::new(bar.length_mm / 2.0, bar.width_mm / 2.0);
        let outline = knife.profile.outline().ok();
        outline.map_or_else(
            || bar.placement.bar_from_knife().inverse() * on_bar,
            |outline| outline.bounds().center(),
        )
    }

    /// Lays another picture in the place of the one under the blank.
    pub(super) fn swap_picture(&mut self, path: &Path, ctx: &Context, host: &dyn Host) {
        let Some(now) = self.document.knife().picture.clone() else { return };
        let path = host.absolute(path);
        let Some(bytes) = self.session.toasts.report(host.read(&path)) else { return };
        match trace::decode_to_show(&bytes) {
            Err(why) => {
                self.session.toasts.push(format!("{} can't be used: {why}", path.display()));
            }
            Ok(read) => {
                let sum = crate::stamp::sum(&bytes);
                let path = picture_path(&path, self.document.base());
                self.edit(&[Edit::SetPicture(Some(Picture { path: path.clone(), sum, ..now }))]);
                self.session.picture.take((&path, sum), Arc::new(read), waker(ctx));
            }
        }
    }

    /// Reads the picture of the knife that is open, once; what is wrong with it is told.
    pub(super) fn refresh_picture(&mut self, ctx: &Context, host: &dyn Host) {
        let knife = self.document.knife().clone();
        let file = self.document.picture_file();
        let wanted = knife.picture.as_ref().zip(file.as_deref());
        let message = self.session.picture.refresh(wanted, host, waker(ctx));
        if let Some(message) = message {
            self.session.toasts.push(message);
            ctx.request_repaint();
        }
    }
}

/// What wakes the desk when a thread is done.
fn waker(ctx: &Context) -> impl Fn() + Send + 'static {
    let ctx = ctx.clone();
    move || ctx.request_repaint()
}

/// The knife of a traced outline, laid level.
fn blank(name: &str, traced: &Traced) -> Knife {
    let (level, _) = traced.levelled();
    let error_mm = level.error_mm().min(*limits::TRACED_MM.end());
    let imported = knife::svg_import::ImportedOutline {
        outline: level.outline,
        holes: level.holes,
        unit: LengthUnit::Millimetre,
        warnings: Vec::new(),
    };
    let mut knife = imported.into_knife(name, Knife::empty().bar);
    knife.traced_mm = Some(error_mm);
    knife
}
